"""Adds to a page what only the preview shows: the problems with their places, and the refreshing."""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from urllib.parse import quote

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from reportgen.errors import Place, Problem, UsageError
from reportgen.previewing import State

NONE = "default-src 'none'; base-uri 'none'; form-action 'none'"
AROUND = 8  # lines shown before and after the one that is marked [-]
MOST_BYTES = 2_000_000  # longest file whose lines are shown [bytes]
_PARTS = Path(__file__).resolve().parent / "previewer"
# an address that a browser would run, or load into the page, is no way to an editor
_NO_EDITORS = ("javascript", "data", "vbscript", "blob", "about", "http", "https", "ws", "wss")
_SCHEME = re.compile(r"([A-Za-z][A-Za-z0-9+.-]*):")
_PHOTO = re.compile(rb'((?:src|href)=")(photos/[^"?#]+)(")')


@dataclass(frozen=True)
class Look:
    """How pages are dressed. top: address of the report, `/TOKEN/`. editor: address that opens a file."""

    top: str
    editor: str = ""


def editor(template: str) -> str:
    """Give the template of an address that opens an editor, checked.

    Raises UsageError when it names no file, or when a browser would run it or load it as a page.
    """
    scheme = _SCHEME.match(template)
    if not scheme or "{file}" not in template:
        raise UsageError(f"{template!r} opens no file; write SCHEME://...{{file}}...{{line}}")
    if scheme[1].lower() in _NO_EDITORS:
        raise UsageError(f"{scheme[1]}: is no editor's scheme; write the one of your editor, or file:")
    return template


def policy(theme: str = NONE) -> str:
    """Give a theme's content policy with the preview's own script and style added, by their hashes."""
    words = [part.split() for part in theme.split(";") if part.strip()]
    rules = {name: values for name, *values in words}
    rules["style-src"] = [*(v for v in rules.get("style-src", []) if v != "'none'"), _hash("preview.css")]
    rules["script-src"] = [_hash("preview.js")]
    rules["connect-src"] = ["'self'"]
    return "; ".join(" ".join([name, *values]) for name, values in rules.items())


def look_of(policy: str) -> str:
    """Give a word for a content policy: a page whose word changes has to be loaded anew."""
    return hashlib.sha256(policy.encode()).hexdigest()[:12]


def dressed(page: bytes, policy: str, state: State, look: Look, folder: str = "") -> bytes:
    """Give a page with the preview's style, problems and script.

    policy: that the page is served with. folder: that of the page below the preview's address, with a slash
    at its end, or "".
    """

    def marked(found: re.Match[bytes]) -> bytes:
        # a photo saved anew keeps its name: without another address the browser would show the old one
        file = state.files.get(folder + found[2].decode("utf-8", "replace"))
        mark = f"?{hashlib.sha256(file.data).hexdigest()[:12]}".encode() if file else b""
        return found[1] + found[2] + mark + found[3]

    page = _PHOTO.sub(marked, page)
    style = f"<style>{_part('preview.css')}</style>\n</head>"
    end = f"{panel(state, look, policy)}<script>{_part('preview.js')}</script>\n</body>"
    head, closing, rest = page.partition(b"</head>")
    page = head + style.encode() + rest if closing else page
    before, closing, after = page.rpartition(b"</body>")
    return before + end.encode() + after if closing else page + end.encode()


def panel(state: State, look: Look, policy: str) -> str:
    """Give the problems as HTML, each with a link to its line; warnings alone are folded and counted."""
    errors = sum(1 for problem in state.problems if problem.level == "error")
    warnings = len(state.problems) - errors
    counted = f"{errors} mistake{'s' * (errors != 1)}, {warnings} warning{'s' * (warnings != 1)}"
    # mistakes first: they keep the report from being published
    ordered = sorted(state.problems, key=lambda p: (p.level != "error", p))
    lines = [_line(problem, look) for problem in ordered]
    made = _environment().get_template("panel.html")
    return made.render(
        look=look_of(policy),
        version=state.version,
        top=look.top,
        lines=lines,
        mistakes=errors,
        counted=counted,
        stale=", ".join(state.stale),
    )


def _line(problem: Problem, look: Look) -> Mapping[str, str]:
    place = problem.place
    return {
        "level": problem.level,
        "folder": str(place).removesuffix(name := str(place).rpartition("/")[2]),
        "name": name,
        "to": f"{look.top}-/line/{file_key(place.file)}/{place.line}" if place.line else "",
        "editor": _opened(place, look),
        "key": place.key,
        "found": problem.found,
        "write": problem.write,
    }


def _opened(place: Place, look: Look) -> str:
    if not look.editor or not place.file:
        return ""
    path = quote(Path(place.file).absolute().as_posix())
    filled = look.editor.replace("{file}", path).replace("{line}", str(place.line or 1))
    return filled.replace("{column}", str(place.column or 1))


def file_key(file: str) -> str:
    """Give the word by which an address names a file with problems, whose path it does not show."""
    return hashlib.sha256(file.encode("utf-8", "surrogatepass")).hexdigest()[:16]


def without_report(state: State, look: Look) -> bytes:
    """Give the page that stands in the report's place as long as it can't be made."""
    words = "The report is shown as soon as its notes hold no mistake; the list stands below."
    if not state.version:
        words = "It is being made."
    return _bare(title="No report yet", lines=(), words=words, top="")


def lines_page(state: State, look: Look, key: str, line: int) -> bytes:
    """Give the page with the lines around a problem; no other file than one with problems can be seen.

    line: counted from 1. The file is read anew, as it now stands.
    """
    there = [p for p in state.problems if p.place.line and file_key(p.place.file) == key]
    if not there:
        return _bare(
            title="Put right", lines=(), words="Nothing is wrong in that file any more.", top=look.top
        )
    file = there[0].place.file
    told = [problem for problem in there if problem.place.line == line]
    place = told[0].place if told else Place(file, line, 1)
    return _bare(
        title=f"Line {line} of {Path(file).name}",
        lines=_around(Path(file), line),
        place=f"{file}:{line}",
        editor=_opened(place, look),
        told=[f"{problem.found}; {problem.write}" for problem in told],
        top=look.top,
        words="The file can't be read now.",
    )


def _around(file: Path, line: int) -> Sequence[tuple[int, str, bool]]:
    try:
        if not file.is_file() or file.stat().st_size > MOST_BYTES:
            return ()
        text = file.read_bytes().decode("utf-8-sig", "replace")
    except OSError:
        return ()
    every = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    first = max(1, line - AROUND)
    return [(n, t, n == line) for n, t in enumerate(every[first - 1 : line + AROUND], first)]


def _bare(**values: object) -> bytes:
    return _environment().get_template("bare.html").render(policy=policy(), **values).encode()


@cache
def _environment() -> Environment:
    return Environment(
        loader=FileSystemLoader(_PARTS),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


@cache
def _part(name: str) -> str:
    return (_PARTS / name).read_text(encoding="utf-8")


def _hash(name: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(_part(name).encode()).digest()).decode()}'"
