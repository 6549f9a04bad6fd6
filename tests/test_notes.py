"""Whole notes through `check` and `read`: exact messages for bad input, and what is read of good input."""

from __future__ import annotations

import datetime
import json
import os
import re
import zlib
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image

from reportgen import cli, notes, publish
from reportgen.errors import NotesError, Problems
from reportgen.model import Survey
from reportgen.units import Span
from tests.nasty import MARKDOWN, YAML, edited, unsafe
from tests.notes_cases import Case, cases, cover
from tests.timing import within

UNMENTIONED = re.compile(r" warning: .*: \d+ of \d+ items? not mentioned: ")
MOST_SECONDS = 2.0  # of the processor: a busy machine is no hang


@pytest.fixture
def survey(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give an empty survey's folder, named from beside it as a writer would."""
    monkeypatch.chdir(tmp_path)
    Path("survey").mkdir()
    return Path("survey")


def check(*arguments: str, capsys: pytest.CaptureFixture[str]) -> tuple[int, list[str], str]:
    """Run `reportgen check`; give exit code, lines of problems, and what is said of the notes.

    What the checklist misses in such short notes is left out, and out of the count: test_coverage.py has it;
    so is what would make the report better: test_advice.py has that.
    """
    code = cli.main(["check", *arguments])
    said = capsys.readouterr()
    plain = re.sub(r"^What would make it better.*\n(?=\d+ mistake)", "", said.out, flags=re.M | re.S)
    lines = said.err.splitlines()
    kept = [line for line in lines if not UNMENTIONED.search(line)]
    out = re.sub(r"(?<=, )(\d+) warnings?\.$", lambda m: _warnings(int(m[1]) - len(lines) + len(kept)), plain)
    return code, kept, out


def _warnings(count: int) -> str:
    return f"{count} warning{'s' * (count != 1)}."


def read(folder: Path) -> tuple[Survey | None, Problems]:
    """Read one survey with its problems."""
    problems = Problems()
    return notes.read(folder, problems), problems


# ---- the text cases


@pytest.mark.parametrize("case", cases(), ids=lambda c: f"{c.topic}: {c.title}")
def test_case(case: Case, survey: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Every mistake of a case is told in one exact line, at its place, in order, and nothing else is."""
    case.write(survey)
    Image.new("RGB", (8, 8)).save(survey / "hose.jpg")
    code, lines, out = check("survey", capsys=capsys)
    assert lines == list(case.says)
    mistakes = [line for line in lines if " warning: " not in line]
    assert code == (1 if mistakes else 0)
    warned = len(lines) - len(mistakes)
    counts = f"{len(mistakes)} mistake{'s' * (len(mistakes) != 1)}, {warned} warning{'s' * (warned != 1)}.\n"
    assert out.endswith(counts)


def test_cases_are_all_read() -> None:
    """No file of tests/notes loses a case: every heading that is no note's own is one."""
    for topic in {c.topic for c in cases()}:
        text = (Path(__file__).parent / "notes" / f"{topic}.md").read_text(encoding="utf-8")
        said = text.count("\n~~~~ says\n")
        assert said == sum(c.topic == topic for c in cases())


def test_ten_mistakes_make_ten_lines() -> None:
    """The issue's own measure: ten different mistakes in one note, ten lines."""
    (ten,) = [c for c in cases() if c.topic == "ten"]
    assert len(ten.says) == 10
    assert not [line for line in ten.says if "warning" in line]


# ---- files and folders


def test_an_empty_folder(survey: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """An empty folder is told by its name."""
    code, lines, _ = check("survey", capsys=capsys)
    assert (code, lines) == (1, ["survey: no notes here; put the survey's *.md files into this folder"])


def test_a_path_that_is_not_there(survey: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A path with a slip is told as it was typed."""
    code, lines, _ = check("survey/covr.md", capsys=capsys)
    write = "name a note, a survey's folder, or a folder of surveys"
    assert (code, lines) == (1, [f"survey/covr.md: no such note or folder; {write}"])


def test_a_folder_that_cannot_be_read(survey: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A folder without permission is a mistake, not a traceback."""

    def refuse(folder: Path) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("os.scandir", refuse)
    monkeypatch.setattr(Path, "iterdir", refuse)
    with pytest.raises(NotesError) as error:
        notes.find(survey)
    assert str(error.value) == "survey: can't be read (Permission denied); look at the permissions"


def test_not_utf8(survey: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A byte that is no UTF-8 is told at its line and column, and the rest is still checked."""
    (survey / "cover.md").write_bytes(cover("scope: d\u00e9fense, b\u00e2che\nscop: x\n").encode("latin-1"))
    _, lines, _ = check("survey", capsys=capsys)
    assert lines == [
        "survey/cover.md:9:9: a sign that is not UTF-8; save the note as UTF-8 in the editor",
        "survey/cover.md:10:1: scop: unknown key 'scop' in the cover note; write scope",
    ]


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-be"])
def test_utf16_is_told_once(encoding: str, survey: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A note in another encoding altogether makes one line, not one for every sign."""
    (survey / "cover.md").write_bytes(b"\xff" * (encoding == "utf-16-be") + cover().encode(encoding))
    _, lines, _ = check("survey", capsys=capsys)
    assert lines == ["survey/cover.md:1:1: a sign that is not UTF-8; save the note as UTF-8 in the editor"]


def test_bom_and_crlf_are_accepted(survey: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A note from another system reads the same, with the same places."""
    text = cover("scope: all\n", "## Hose cracked\n```finding\nseverity: sound\nwher: aft\n```\nText.\n")
    (survey / "cover.md").write_bytes(b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode())
    code, lines, out = check("survey", capsys=capsys)
    assert lines == ["survey/cover.md:14:1: wher: unknown key 'wher' in a finding; write where"]
    assert (code, out) == (1, "survey: 1 finding, 0 readings: hose-cracked\n1 mistake, 0 warnings.\n")
    read_survey, _ = read(survey)
    assert read_survey is not None
    assert read_survey.cover.scope == "all"
    assert read_survey.findings[0].prose.markdown == "Text."


def test_a_note_too_large(survey: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A note of over 2 MB is refused unread; one of 2 MB is not."""
    (survey / "cover.md").write_text(cover(), encoding="utf-8")
    (survey / "large.md").write_bytes(b"\n" * (notes.MAX_BYTES + 1))
    code, lines, _ = check("survey", capsys=capsys)
    write = "split it, and list photos under photos:"
    assert (code, lines) == (1, [f"survey/large.md: a note of over 2 MB; {write}"])
    (survey / "large.md").write_bytes(b"\n" * notes.MAX_BYTES)
    assert check("survey", capsys=capsys)[:2] == (0, [])


def test_too_many_notes(survey: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A folder of thousands of notes is no survey."""
    for number in range(notes.MAX_NOTES + 1):
        (survey / f"{number}.md").write_text("", encoding="utf-8")
    _, lines, _ = check("survey", capsys=capsys)
    assert lines == ["survey: 501 notes; keep a survey to 500 notes"]


def test_names_with_a_dot_or_line_before_are_passed_over(survey: Path) -> None:
    """Drafts beginning with `_` or `.` are no notes."""
    (survey / "cover.md").write_text(cover(), encoding="utf-8")
    for name in ("_draft.md", ".hidden.md"):
        (survey / name).write_text(cover(), encoding="utf-8")
    found, problems = read(survey)
    assert found is not None
    assert not list(problems)


def test_one_note_is_a_survey(survey: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A single file is a survey of its own, named by its file."""
    (survey / "Ember Lark.md").write_text(cover(), encoding="utf-8")
    code, lines, out = check("survey/Ember Lark.md", capsys=capsys)
    assert (code, lines) == (0, [])
    assert out == "ember-lark: 0 findings, 0 readings: \n0 mistakes, 0 warnings.\n"


def test_mistakes_of_every_survey_of_a_folder(survey: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A folder of surveys tells the mistakes of each, in the order of files."""
    for name in ("b", "a"):
        (survey / name).mkdir()
        (survey / name / "cover.md").write_text(cover("scop: x\n"), encoding="utf-8")
    _, lines, _ = check("survey", capsys=capsys)
    told = "scop: unknown key 'scop' in the cover note; write scope"
    assert lines == [f"survey/{name}/cover.md:9:1: {told}" for name in ("a", "b")]


def test_the_same_as_json(survey: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """`--json` gives the same problems in fields."""
    (survey / "cover.md").write_text(cover("scope:\nscop: x\n"), encoding="utf-8")
    code = cli.main(["check", "survey", "--json"])
    said = capsys.readouterr()
    assert (code, said.err) == (1, "")
    found = json.loads(said.out)
    assert found["counts"] == {"surveys": 1, "errors": 1, "warnings": 1, "advice": 0}
    assert found["format"] == "reportgen check 1"
    assert found["problems"] == [
        {
            "file": "survey/cover.md",
            "line": 9,
            "column": 1,
            "key": "scope",
            "level": "warning",
            "message": "nothing filled in; fill it in or take the line out",
        },
        {
            "file": "survey/cover.md",
            "line": 10,
            "column": 1,
            "key": "scop",
            "level": "error",
            "message": "unknown key 'scop' in the cover note; write scope",
        },
    ]


# ---- photos that are files


def _bomb() -> bytes:
    """Give a PNG of a few bytes that claims 40,000 by 40,000 pixels."""

    def chunk(name: bytes, data: bytes) -> bytes:
        body = name + data
        return len(data).to_bytes(4, "big") + body + zlib.crc32(body).to_bytes(4, "big")

    size = (40_000).to_bytes(4, "big") * 2 + b"\x08\x02\x00\x00\x00"
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", size) + chunk(b"IDAT", b"") + chunk(b"IEND", b"")


PHOTOS = {
    "gone.jpg": "there is no photo gone.jpg in the survey's folder; put it there",
    "../out.jpg": (
        "../out.jpg leads out with ..; photos come from the survey's own folder: write the path from there"
    ),
    "link.jpg": "link.jpg is a link that leads out of the survey's folder; copy the photo into it",
    "text.jpg": "text.jpg is no JPEG, PNG or WebP photo; save it as JPEG, PNG or WebP",
    "bomb.png": "bomb.png claims more than 80 megapixels; save it smaller",
    "empty.jpg": "empty.jpg is empty; copy it from the camera again or leave it out",
    "sub.jpg": "sub.jpg is a folder; name a photo in it, as sub.jpg/PHOTO",
}


@pytest.mark.parametrize("name", PHOTOS)
def test_photos_that_cannot_be_published(name: str, survey: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A photo missing, outside the folder, no image or a bomb is told where the note lists it."""
    Image.new("RGB", (8, 8)).save(survey.parent / "out.jpg")
    (survey / "link.jpg").symlink_to(survey.parent.resolve() / "out.jpg")
    (survey / "text.jpg").write_text("no photo", encoding="utf-8")
    (survey / "bomb.png").write_bytes(_bomb())
    (survey / "empty.jpg").touch()
    (survey / "sub.jpg").mkdir()
    if name == "gone.jpg":
        for other in survey.iterdir():
            other.rmdir() if other.is_dir() else other.unlink()
    front = f"photos:\n  - {name}: the boat\n  - {{photo: {name}, shows: the boat again}}\n"
    (survey / "cover.md").write_text(cover(front), encoding="utf-8")
    _, lines, _ = check("survey", capsys=capsys)
    assert lines == [
        f"survey/cover.md:10:5: photos: {PHOTOS[name]}",
        f"survey/cover.md:11:5: photos: {PHOTOS[name]}",
    ]


# ---- what good notes mean


def test_values_mean_what_the_field_says(survey: Path) -> None:
    """`no`, `12:30`, `0123`, `1e3` and `on` stay text where text is wanted; `no` is no where yes or no is."""
    front = 'scope: no\nstandards: ["12:30", 0123, 1e3, on, 2026-05-14]\nterms: 12:30\nnumber: 0123\n'
    body = "## Hose\n```finding\nseverity: sound\nnormal for age: no\nwhere: 0x1F\n```\n"
    (survey / "cover.md").write_text(cover(front, body), encoding="utf-8")
    found, problems = read(survey)
    assert found is not None
    assert not list(problems)
    assert found.cover.scope == "no"
    assert found.cover.standards == ("12:30", "0123", "1e3", "on", "2026-05-14")
    assert (found.cover.terms, found.cover.number) == ("12:30", "0123")
    assert found.findings[0].normal_for_age is False
    assert found.findings[0].where == "0x1F"


def test_minus_and_hard_blanks(survey: Path) -> None:
    """The typographic minus is a minus; hard and thin blanks are blanks, in keys as well."""
    front = "conditions: {air: −4\u202f°C, ashore\u00a0for: 12\u2009days}\n"
    (survey / "cover.md").write_text(cover(front), encoding="utf-8")
    found, problems = read(survey)
    assert found is not None
    assert not list(problems)
    (day,) = found.cover.conditions
    assert day.air is not None
    assert (day.air.value, day.air.unit) == (Decimal(-4), "°C")
    assert str(day.ashore_for) == "12 days"


def test_absent_keys(survey: Path) -> None:
    """Without status, number and day the report is preliminary, numbered by its folder, of the last day."""
    front = cover().replace("reported: 2026-05-16\n", "").replace("2026-05-14", "[2026-05-14, 2026-05-13]")
    (survey / "cover.md").write_text(front, encoding="utf-8")
    found, problems = read(survey)
    assert found is not None
    assert not list(problems)
    assert (found.cover.status, found.cover.number) == ("preliminary", "survey")
    assert found.cover.counted_on == datetime.date(2026, 5, 14)


def test_an_empty_key_makes_it_preliminary(survey: Path) -> None:
    """While a key waits to be filled in, no status but preliminary is shown."""
    (survey / "cover.md").write_text(cover("status: final\nscope:\n"), encoding="utf-8")
    found, _ = read(survey)
    assert found is not None
    assert found.cover.status == "preliminary"


def test_the_whole_format(survey: Path) -> None:
    """The complete note reads: what is written stands where it belongs."""
    (case,) = [c for c in cases() if c.topic == "complete"]
    case.write(survey)
    Image.new("RGB", (8, 8)).save(survey / "hose.jpg")
    problems = Problems()
    (found,) = publish.check(survey, problems)
    assert not [p for p in problems if not UNMENTIONED.search(str(p))]
    assert [f.state for f in found.findings] == ["open", "checked", "open"]
    assert found.findings[0].evidence == ("compression-of-the-main-engine",)
    assert found.findings[0].payers == {"seller": Decimal(60), "buyer": Decimal(40)}
    assert found.findings[0].repair is not None
    assert found.findings[0].repair.labour == Span(Decimal(2), Decimal("2.5"), Decimal(4), "h")
    assert found.findings[0].repair.parts[0].count == 2
    assert found.readings[0].fields.cylinders[2].quantity is None
    assert found.cover.people.seller is not None
    assert found.cover.people.seller.name == "Otto Brandt-Lisle"
    assert [g.part for g in found.not_inspected] == ["fuel tank", "mast step"]
    assert found.private == ("the key hangs behind the door",)


def test_evidence_by_heading(survey: Path) -> None:
    """A finding may name a reading by its heading, word for word."""
    body = (
        "## Compression, warm\n```reading\nkind: compression\nunit: psi\ncylinders: {1: 150, 2: 150}\n```\n"
        "## Low\n```finding\nseverity: sound\nevidence: ['Compression, warm']\n```\n"
    )
    (survey / "cover.md").write_text(cover("", body), encoding="utf-8")
    found, _ = read(survey)
    assert found is not None
    assert found.findings[0].evidence == ("compression-warm",)


def test_order_is_cover_then_path_then_line(survey: Path) -> None:
    """Findings stand in the order of notes: the cover note first, whatever its name."""
    part = "## {}\n```finding\nseverity: sound\n```\n"
    (survey / "z.md").write_text(cover("", part.format("Z1") + part.format("Z2")), encoding="utf-8")
    (survey / "a.md").write_text(part.format("A"), encoding="utf-8")
    found, _ = read(survey)
    assert found is not None
    assert [f.title for f in found.findings] == ["Z1", "Z2", "A"]


# ---- hostile input

VALID = {c.topic: c.notes["cover.md"] for c in cases() if c.topic in ("complete", "ten")}


def _hold(text: str, folder: Path) -> None:
    """Read a text as a survey: problems are all that may come of it, in time, and its HTML is harmless."""
    (folder / "cover.md").write_bytes(text.encode("utf-8", "surrogatepass"))
    problems = Problems()
    with within(MOST_SECONDS):
        found = notes.read(folder, problems)
    for problem in problems:
        assert re.fullmatch(r"[^\n]+", problem.place.file)
        assert problem.found
        assert problem.write
    assert list(problems) == sorted(problems)
    if found:
        prose = [*(f.prose for f in found.findings), *(r.prose for r in found.readings)]
        prose += [n.prose for n in found.narrative]
        for piece in prose:
            assert not unsafe(piece.html)
        publish.check(folder, Problems())


EXAMPLES = int(os.environ.get("REPORTGEN_EXAMPLES", "60"))


@settings(max_examples=EXAMPLES, suppress_health_check=[HealthCheck.too_slow])
@given(text=st.sampled_from(sorted(VALID.values())).flatmap(edited))
def test_edits_of_a_valid_note(text: str, tmp_path_factory: pytest.TempPathFactory) -> None:
    """Whatever is cut, doubled or slipped in: mistakes are told, no error of ours escapes."""
    _hold(text, tmp_path_factory.getbasetemp())


@settings(max_examples=EXAMPLES, suppress_health_check=[HealthCheck.too_slow])
@given(front=YAML, fence=YAML, prose=MARKDOWN)
def test_nasty_notes(front: str, fence: str, prose: str, tmp_path_factory: pytest.TempPathFactory) -> None:
    """Nasty YAML in front matter and fence, nasty Markdown below."""
    text = f"{cover(front)}## Hose\n```finding\nseverity: sound\n{fence}\n```\n{prose}\n"
    _hold(text, tmp_path_factory.getbasetemp())


@settings(max_examples=EXAMPLES, suppress_health_check=[HealthCheck.too_slow])
@given(text=st.text(max_size=400))
def test_any_text(text: str, tmp_path_factory: pytest.TempPathFactory) -> None:
    """Any text at all, lone surrogates too."""
    _hold(text, tmp_path_factory.getbasetemp())
