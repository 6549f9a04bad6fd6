"""The PDF, piece by piece: what PDF/A-3a asks for and can be seen from here, its words, links and size.

No program that validates PDF/A-3 or PDF/UA was to be had; qpdf and pikepdf read the file instead, and the
tests name the clause of ISO 19005-3 that each looks at where there is one (clauses from memory).
"""

from __future__ import annotations

import datetime
import importlib
import io
import json
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from reportgen import pdf, photos, publish, sending, theme
from reportgen.errors import PacketError, PhotoError, ThemeError
from reportgen.sending import Forms
from tests.browser.tools import REQUIRED
from tests.project import CONTENT, run
from tests.test_onefile import page

HEAD = pdf.Head('A "b" \\ boat\n{}', "Fingerprint é", datetime.date(2026, 5, 14), "A. Linden")


def _gone() -> str:
    try:
        pdf.check()
        importlib.import_module("pikepdf")
    except (ImportError, PacketError) as error:
        return str(error)
    return "" if shutil.which("qpdf") and shutil.which("pdftotext") else "qpdf or pdftotext is missing"


@pytest.fixture(scope="module", autouse=True)
def _tools() -> None:
    """Skip with the reason where no PDF can be made or read; in .ci/run that is a failure."""
    if gone := _gone():
        (pytest.fail if REQUIRED else pytest.skip)(gone)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a demo boat's packet with one file and PDF."""
    to = tmp_path_factory.mktemp("pdf") / "packet"
    wish = publish.Wish(publish.edition_named("buyer"), theme.find(), forms=Forms(True, "A4"))
    publish.publish(CONTENT / "packhorse", to, wish)
    return to


@pytest.fixture(scope="module")
def made(folder: Path) -> Path:
    """Give the PDF."""
    (path,) = folder.glob("*.pdf")
    return path


@pytest.fixture(scope="module")
def opened(made: Path) -> Iterator[Any]:
    """Give the PDF as pikepdf reads it."""
    with importlib.import_module("pikepdf").open(made) as read:
        yield read


def _words(path: Path, *options: str) -> str:
    command = ["pdftotext", *options, str(path), "-"]
    return subprocess.run(command, capture_output=True, text=True, check=True).stdout


def _elements(node: Any) -> Iterator[Any]:
    """Give every element of a structure tree."""
    import pikepdf

    kids = node.get("/K", [])
    for kid in kids if isinstance(kids, pikepdf.Array) else [kids]:
        if isinstance(kid, pikepdf.Dictionary) and "/S" in kid:
            yield kid
            yield from _elements(kid)


def _images(opened: Any) -> list[Any]:
    import pikepdf

    streams = (each for each in opened.objects if isinstance(each, pikepdf.Stream))
    return [each for each in streams if each.get("/Subtype") == "/Image"]


# ---- the file as an archive takes it


def test_file_is_sound(made: Path) -> None:
    """qpdf finds no fault in its syntax and streams."""
    result = subprocess.run(["qpdf", "--check", str(made)], capture_output=True, text=True)
    assert result.returncode == 0, result.stdout + result.stderr


def test_it_claims_its_level(opened: Any) -> None:
    """The metadata names part 3 and level A (6.6.4), and says the same as the file's properties (6.6.3)."""
    told = opened.Root.Metadata.read_bytes().decode()
    assert 'pdfaid:part="3"' in told
    assert 'pdfaid:conformance="A"' in told
    assert "Packhorse: Condition report" in told
    day = re.findall(r"<xmp:CreateDate>(\d{4})-(\d\d)-(\d\d)", told)[0]
    assert str(opened.docinfo.CreationDate).startswith(f"D:{''.join(day)}")
    assert str(opened.docinfo.Title) in told
    assert str(opened.docinfo.Author) in told


def test_it_says_language_and_title(opened: Any) -> None:
    """A reader that reads aloud knows the language (6.7.4), and a window shows the title."""
    assert str(opened.Root.Lang) == "en"
    assert opened.Root.ViewerPreferences.DisplayDocTitle
    assert str(opened.docinfo.Title).startswith("Packhorse: Condition report")


def test_colours_have_one_meaning(opened: Any) -> None:
    """One output intent with its profile (6.2.3), and no picture that is to be smoothed (6.2.8)."""
    (intent,) = opened.Root.OutputIntents
    assert intent.S == "/GTS_PDFA1"
    assert intent.DestOutputProfile.read_bytes()[36:40] == b"acsp"
    pictures = _images(opened)
    assert len(pictures) >= 8
    assert not [p for p in pictures if p.get("/Interpolate")]
    assert {str(p.ColorSpace) for p in pictures} == {"/DeviceRGB"}


def test_nothing_acts_and_nothing_is_locked(opened: Any) -> None:
    """No script, no action on opening, no encryption (6.1.3, 6.5), and an identifier (6.1.3)."""
    assert not opened.is_encrypted
    assert not {"/AA", "/OpenAction", "/AcroForm"} & set(opened.Root.keys())
    assert "/JavaScript" not in opened.Root.Names
    assert len(opened.trailer.ID) == 2
    actions = [a.A.S for p in opened.pages for a in p.get("/Annots", []) if "/A" in a]
    assert {str(a) for a in actions} <= {"/URI"}
    assert all(int(a.F) & 4 for p in opened.pages for a in p.get("/Annots", []))  # links print (6.3.2)


def test_letters_are_inside(opened: Any) -> None:
    """Every font is embedded (6.2.11.4), says what its signs mean (6.2.11.7), and is matplotlib's."""
    names = set()
    for sheet in opened.pages:
        for font in sheet.Resources.get("/Font", {}).values():
            names.add(str(font.BaseFont).partition("+")[2])
            described = font.DescendantFonts[0].FontDescriptor
            assert {"/FontFile2", "/FontFile3"} & set(described.keys())
            assert "/ToUnicode" in font
    assert names
    assert all(name.startswith("Report-") for name in names), names


# ---- the structure


def test_structure_tells_what_is_what(opened: Any) -> None:
    """The tree (6.7.3) has one first heading, lists, tables with heads, and pictures with words."""
    assert opened.Root.MarkInfo.Marked
    found: dict[str, list[Any]] = {}
    for element in _elements(opened.Root.StructTreeRoot):
        found.setdefault(str(element.S), []).append(element)
    assert {
        "/Document",
        "/H1",
        "/H2",
        "/H3",
        "/P",
        "/L",
        "/LI",
        "/Table",
        "/TR",
        "/TH",
        "/TD",
        "/Link",
    } <= set(found)
    assert len(found["/H1"]) == 1
    assert len(found["/Figure"]) >= 10
    assert all(str(figure.get("/Alt", "")).strip() for figure in found["/Figure"])
    assert all("/Headers" in repr(cell.A.keys()) for cell in found["/TD"])
    assert all(sheet.get("/StructParents") is not None for sheet in opened.pages)


def test_bookmarks_lead_to_every_part(opened: Any, folder: Path) -> None:
    """The bookmarks are the headings of all pages, in their order and depth."""

    def told(items: Any, depth: int = 0) -> Iterator[tuple[int, str]]:
        for item in items:
            yield depth, item.title
            yield from told(item.children, depth + 1)

    with opened.open_outline() as outline:
        marks = list(told(outline.root))
    assert marks[0] == (0, "Packhorse")
    titles = [title.replace("\N{NO-BREAK SPACE}", " ") for _, title in marks]
    data = json.loads((folder / "report.json").read_text("utf-8"))
    for finding in data["findings"]:
        assert f"{finding['ref']}. {finding['title']}" in titles
    assert (1, "Work list for the yard") in marks
    assert [depth for depth, title in marks if title.startswith("Measurements in full")] == [1]


def test_links_lead_to_sheets(opened: Any) -> None:
    """What is underlined can be followed: each inner link has a place."""
    named = opened.Root.Names.Dests.Names if "/Dests" in opened.Root.Names else []
    places = {str(name) for name in named[::2]}
    inner = [a for p in opened.pages for a in p.get("/Annots", []) if "/Dest" in a]
    assert len(inner) > 50
    assert {str(a.Dest) for a in inner} <= places


def test_data_is_attached(opened: Any, folder: Path) -> None:
    """report.json is inside word for word, as data that belongs to the document (6.8)."""
    (held,) = opened.Root.AF
    assert held.AFRelationship == "/Data"
    assert str(held.UF) == "report.json"
    assert held.EF.F.Subtype == "/application/json"
    assert held.EF.F.read_bytes() == (folder / "report.json").read_bytes()
    assert list(opened.attachments) == ["report.json"]
    day = str(opened.docinfo.CreationDate)[:10]
    assert day == "D:20260912"  # the day of this boat's report, never today's
    assert {str(held.EF.F.Params[name])[:10] for name in ("/CreationDate", "/ModDate")} == {day}


# ---- what a reader sees


def test_every_sheet_says_whose_it_is(made: Path, opened: Any, folder: Path) -> None:
    """Boat, number, version, reader, page n of N and the fingerprint stand on each sheet."""
    data = json.loads((folder / "report.json").read_text("utf-8"))
    sheets = _words(made, "-layout").split("\f")[:-1]
    assert len(sheets) == len(opened.pages) > 10
    number, version = data["survey"]["number"], data["survey"]["version"]
    for n, text in enumerate(sheets, 1):
        assert f"report {number}, version {version}, " in text
        assert "buyer edition" in text
        assert f"page {n} of {len(sheets)}" in text
        assert f"Content fingerprint {data['fingerprint']}" in text


def test_paper_is_the_one_asked_for(opened: Any) -> None:
    """A4 is 210 by 297 mm."""
    for sheet in opened.pages:
        assert [round(float(x) / 72 * 25.4) for x in sheet.MediaBox] == [0, 0, 210, 297]


def test_words_of_all_pages_are_inside(made: Path, folder: Path) -> None:
    """Findings, use limits, what was folded, and the other pages can be read and searched."""
    text = re.sub(r"\s+", " ", _words(made))
    data = json.loads((folder / "report.json").read_text("utf-8"))
    for finding in data["findings"]:
        assert finding["title"] in text
    assert "The data of this report is attached to this file as report.json." in text
    assert "sha256sum FILE" in text
    assert "costs for a spreadsheet" not in text
    assert "How this was worked out" in text
    assert "Step 1" in text


def test_photos_hold_pixels_only(opened: Any) -> None:
    """Photos stand as the packet's large copies: nothing hidden, and as sharp."""
    sides = set()
    for stream in _images(opened):
        with Image.open(io.BytesIO(stream.read_raw_bytes())) as picture:
            assert not picture.getexif()
            assert set(picture.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
            sides.add(max(picture.size))
    assert max(sides) > 900


def test_it_can_be_sent(made: Path) -> None:
    """Under ten million bytes, with a name that portals take."""
    assert made.stat().st_size < 10_000_000
    assert re.fullmatch(r"[A-Za-z0-9_-]{1,96}\.pdf", made.name)


def test_sums_hold_both_files(folder: Path, made: Path) -> None:
    """The one file and the PDF belong to the packet."""
    listed = (folder / "SHA256SUMS").read_text("utf-8")
    assert f"  {made.name}\n" in listed
    assert f"  {made.with_suffix('.html').name}\n" in listed


# ---- small papers of our own


FILES = {
    "index.html": page('<h1 id="a">A</h1><p>x <a href="#a">up</a></p>').replace(b"<main", b"<main lang='en'"),
    "report.json": b"{}",
}


def test_same_report_gives_the_same_bytes() -> None:
    """Nothing of the day, the machine or chance is in it."""
    assert pdf.write(FILES, HEAD, "") == pdf.write(FILES, HEAD, "")
    other = {**FILES, "report.json": b"[]"}
    assert pdf.write(FILES, HEAD, "") != pdf.write(other, HEAD, "")


@pytest.mark.parametrize(("paper", "size"), [("both", "595.276 x 792"), ("Letter", "612 x 792")])
def test_papers(tmp_path: Path, paper: str, size: str) -> None:
    """Letter is 8.5 by 11 inches; what prints on both has the smaller of each."""
    path = tmp_path / "a.pdf"
    path.write_bytes(pdf.write(FILES, HEAD, "", paper))
    told = subprocess.run(["pdfinfo", str(path)], capture_output=True, text=True, check=True).stdout
    assert f"Page size:       {size}" in told


def test_head_takes_any_sign(tmp_path: Path) -> None:
    """A quote, a backslash or a brace in a boat's name stays a letter."""
    path = tmp_path / "a.pdf"
    path.write_bytes(pdf.write(FILES, HEAD, ""))
    text = _words(path)
    assert 'A "b" \\ boat' in text
    assert "{}" in text
    assert "Fingerprint é" in text


ASKED = {
    "file": '<p style="background:url(file:///etc/hostname)">x</p>',
    "web": '<p style="background:url(https://example.com/a.png)">x</p>',
    "font": '<p style="background:url(packet:fonts/../../matplotlibrc)">x</p>',
}


@pytest.mark.parametrize("case", ASKED)
def test_nothing_else_is_read(case: str) -> None:
    """A theme that asks for a file of the machine or for the web is refused."""
    files: Mapping[str, bytes] = {**FILES, "index.html": page(ASKED[case])}
    with pytest.raises(ThemeError, match="not in the packet"):
        pdf.write(files, HEAD, "")


def test_photo_cut_short_is_still_refused(tmp_path: Path) -> None:
    """WeasyPrint lets Pillow take damaged photos, for the whole program; ours goes on refusing them."""
    pdf.check()
    out = io.BytesIO()
    Image.effect_noise((300, 400), 90).save(out, "JPEG")
    (tmp_path / "cut.jpg").write_bytes(out.getvalue()[: len(out.getvalue()) // 2])
    with pytest.raises(PhotoError, match="cut short"):
        photos.publish(tmp_path / "cut.jpg")


# ---- without the extra

MISSING = {
    "extra": (ImportError("no"), "install reportgen with its extra pdf"),
    "library": (OSError("cannot load library 'libpango-1.0-0'\nmore"), "cannot load library.*install Pango"),
}


@pytest.mark.parametrize("case", MISSING)
def test_missing_tool_is_told_and_nothing_is_written(
    case: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The error names the option and the remedy, before any note is read, and no folder appears."""
    error, told = MISSING[case]

    def broken() -> Any:
        raise error

    monkeypatch.setattr(pdf, "_weasyprint", broken)
    wish = publish.Wish(publish.edition_named("buyer"), theme.find(), forms=Forms(pdf="A4"))
    with pytest.raises(PacketError, match=f"^--pdf: .*{told}"):
        publish.publish(CONTENT / "packhorse", tmp_path / "to", wish)
    assert not list(tmp_path.iterdir())
    sending.Forms(one_file=True).check()


def test_command_without_the_extra(tmp_path: Path) -> None:
    """The command ends with 1 and one line."""
    (tmp_path / "weasyprint.py").write_text("raise ImportError('none')\n", "utf-8")
    script = (
        "import sys; sys.path.insert(0, sys.argv.pop(1)); from reportgen import cli; sys.exit(cli.main())"
    )
    command = [sys.executable, "-c", script, str(tmp_path), "publish", "content/packhorse"]
    result = subprocess.run(
        [*command, "--to", str(tmp_path / "to"), "--pdf"], cwd=CONTENT.parent, capture_output=True, text=True
    )
    assert result.returncode == 1
    assert result.stderr.startswith("reportgen: --pdf: WeasyPrint is not installed")
    assert not (tmp_path / "to").exists()
    assert run("publish", "--help").stdout.count("--pdf") == 2
