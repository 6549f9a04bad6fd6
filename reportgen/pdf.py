"""Writes the report as one PDF for portals and archives: tagged, with bookmarks, and with its data attached.

It is built to PDF/A-3a (ISO 19005-3, level A) by WeasyPrint, which the extra `pdf` installs. No program that
validates this level was to be had; tests/test_pdf.py looks at what the standard asks for piece by piece.
The same report gives the same bytes with the same versions of WeasyPrint, Pango, HarfBuzz and fontTools:
the letters come with matplotlib, dates are the report's, and the file's identifier is a sum of what is in it.
"""

from __future__ import annotations

import base64
import datetime
import hashlib
import html as markup
import importlib
import importlib.util
import re
import warnings
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from reportgen import onefile
from reportgen.errors import PacketError, ThemeError
from reportgen.wording import later, say

# BOTH has the width of A4 and the height of Letter, so that either paper takes it as it is
PAPERS: Mapping[str, str] = {"A4": "210mm 297mm", "Letter": "8.5in 11in", "both": "210mm 11in"}
DATA = "report.json"
_HERE = "packet:"
_TYPES = {".ttf": "font/ttf", ".svg": "image/svg+xml", ".jpg": "image/jpeg", ".png": "image/png"}
# letters of a user's own theme, which stand in its style
_LETTERS = re.compile(r"data:(font/[a-z0-9]+);base64,([A-Za-z0-9+/=]+)")
_ATTACHED = later("The data of this report is attached to this file as report.json.")


@dataclass(frozen=True)
class Head:
    """What stands at the head and foot of each sheet, and in the file's properties.

    left: boat, number, version. foot: fingerprint. day: of the report. author: who signs, "" if not shown.
    """

    left: str
    foot: str
    day: datetime.date
    author: str = ""


def check() -> None:
    """See that a PDF can be made here.

    Raises PacketError that says what to install when WeasyPrint or the libraries it draws with are missing.
    """
    try:
        _weasyprint()
    except ImportError:
        raise PacketError(
            "--pdf: WeasyPrint is not installed; install reportgen with its extra pdf (reportgen[pdf])"
        ) from None
    except OSError as error:
        # it loads Pango and its like by their names in the system
        raise PacketError(
            f"--pdf: WeasyPrint lacks a library of the system, {str(error).splitlines()[0]}: install Pango "
            "(Debian: libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0)"
        ) from None


def write(files: Mapping[str, bytes], head: Head, style: str, paper: str = "both", drawn: str = "") -> bytes:
    """Give a packet's pages as one PDF with report.json attached.

    files: a packet's files by name. style: a theme's rules for the PDF. paper: one of PAPERS.
    drawn: a theme's rules for drawings, which those for the pages don't reach.
    Raises PacketError as `check` does, ThemeError when a page can't be put into one document.
    """
    check()
    weasyprint = _weasyprint()
    shelf = _Shelf(files, drawn)
    beside = f"{say(_ATTACHED)} {say(onefile.CHECK)}"
    pictures = onefile.Pictures(lambda name: f"{_HERE}{name}", shelf.drawing, opens=False, beside=beside)
    text = onefile.joined(files, pictures, _sheet(head, paper) + style)
    text = text.replace("</title>", f"</title>{_properties(head)}", 1)
    day = datetime.datetime.combine(head.day, datetime.time(), datetime.UTC)
    data = weasyprint.Attachment(
        string=files[DATA].decode("utf-8"),
        name=DATA,
        description=say("The data of this report"),
        created=day,
        modified=day,
        relationship="Data",
    )
    whole = weasyprint.HTML(string=text, base_url=_HERE, url_fetcher=_fetcher(shelf))
    identifier = hashlib.sha256(text.encode("utf-8") + files[DATA]).digest()[:16]
    with warnings.catch_warnings():
        # it leaves its colour profile for Python to close
        warnings.simplefilter("ignore", ResourceWarning)
        made: bytes = whole.write_pdf(
            pdf_variant="pdf/a-3a",
            pdf_tags=True,
            attachments=[data],
            pdf_identifier=identifier,
            finisher=_attach_once,
        )
    if shelf.missing:
        raise ThemeError(f"the PDF asks for {', '.join(shelf.missing)}, which is not in the packet")
    return made


def _attach_once(_document: object, made: Any) -> None:
    """Take out what WeasyPrint lists twice among the associated files."""
    held = made.catalog["AF"]
    held[:] = list(dict.fromkeys(held))


def _weasyprint() -> Any:
    from PIL import ImageFile

    found = importlib.import_module("weasyprint")
    # it tells Pillow to take photos that are cut short, which photos.py has to refuse
    ImageFile.LOAD_TRUNCATED_IMAGES = False
    return found


def _properties(head: Head) -> str:
    """Give the day, and who signs, as the file's properties."""
    day = f"{head.day.isoformat()}T00:00:00Z"
    named = {"dcterms.created": day, "dcterms.modified": day}
    named |= {"generator": "reportgen"} | ({"author": head.author} if head.author else {})
    return "".join(f'<meta name="{key}" content="{markup.escape(value)}">' for key, value in named.items())


def _sheet(head: Head, paper: str) -> str:
    """Give the rules of the sheet: its size, and the lines at its head and foot."""
    boxes = {
        "top-left": _quoted(head.left),
        "top-right": _numbered(say("page {n} of {of}", n=_PAGE, of=_PAGES)),
        "bottom-left": _quoted(head.foot),
    }
    lines = "".join(f"@{place}{{content:{words}}}" for place, words in boxes.items())
    return f"@page{{size:{PAPERS[paper]};{lines}}}\n"


_PAGE, _PAGES = "\ue000", "\ue001"


def _numbered(text: str) -> str:
    """Give a text as strings of a style sheet with the counters of pages between them."""
    counters = {_PAGE: "counter(page)", _PAGES: "counter(pages)"}
    parts = re.split(f"([{_PAGE}{_PAGES}])", text)
    return " ".join(counters.get(part) or _quoted(part) for part in parts if part)


def _quoted(text: str) -> str:
    """Give a text as a string of a style sheet, in which nothing can end it before its end."""
    return '"' + re.sub(r"[^\w ,.:;-]", lambda found: f"\\{ord(found[0]):x} ", text) + '"'


@dataclass
class _Shelf:
    """Hands WeasyPrint what a document asks for, and nothing that is not the packet's or a letter of ours."""

    files: Mapping[str, bytes]
    rules: str = ""
    drawn: dict[str, bytes] = field(default_factory=dict)
    missing: list[str] = field(default_factory=list)

    def drawing(self, svg: str) -> str:
        """Keep a drawing as a picture of its own; give its address."""
        alone = svg.replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1)
        if self.rules:
            alone = alone.replace(">", f"><style>{self.rules}</style>", 1)
        data = alone.replace('font-family="sans-serif"', 'font-family="Report Sans"').encode("utf-8")
        name = f"drawn/{hashlib.sha256(data).hexdigest()[:16]}.svg"
        self.drawn[name] = data
        return f"{_HERE}{name}"

    def find(self, url: str) -> tuple[bytes, str]:
        """Give a file of the packet, a drawing or a font with its type; note and refuse what is neither."""
        if letters := _LETTERS.fullmatch(url):
            return base64.b64decode(letters[2]), letters[1]
        name = url.removeprefix(_HERE)
        data = self.drawn.get(name) or self.files.get(name) or _font(name)
        if data is None:
            self.missing.append(url)
            raise ValueError(f"{url} is not in the packet")
        return data, _TYPES[Path(name).suffix]


def _fetcher(shelf: _Shelf) -> Any:
    """Give WeasyPrint's own kind of fetcher, which asks the shelf alone."""
    urls = importlib.import_module("weasyprint.urls")

    def fetch(_self: object, url: str, _headers: object = None) -> Any:
        data, kind = shelf.find(url)
        return urls.URLFetcherResponse(url, data, {"Content-Type": kind})

    return type("Fetcher", (urls.URLFetcher,), {"fetch": fetch})()


def _font(name: str) -> bytes | None:
    """Give one of the letters that come with matplotlib, so that a PDF doesn't depend on a system's own."""
    found = importlib.util.find_spec("matplotlib")
    folder, _, file = name.partition("/")
    if folder != "fonts" or not re.fullmatch(r"[A-Za-z-]+\.ttf", file) or found is None or not found.origin:
        return None
    path = Path(found.origin).parent / "mpl-data" / "fonts" / "ttf" / file
    return path.read_bytes() if path.is_file() else None
