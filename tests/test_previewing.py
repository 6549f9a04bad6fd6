"""Tests for reportgen.previewing: what publish would write, made anew only where something changed."""

from __future__ import annotations

import hashlib
import shutil
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from reportgen import photos, previewing, publish, report, theme
from reportgen.previewing import Bench, State, Wish
from tests import made
from tests.project import CONTENT

BOATS = ("packhorse", "quillback")


def _wish() -> Wish:
    return Wish(publish.edition_named("buyer"), theme.find())


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Give two of the demo's surveys in a folder."""
    for boat in BOATS:
        shutil.copytree(CONTENT / boat, tmp_path / boat)
    return tmp_path


@pytest.fixture
def counted(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Count what is made: a word for each report and photo."""
    made: list[str] = []
    build, picture = report.build, photos.publish
    monkeypatch.setattr(report, "build", lambda *a, **k: made.append("report") or build(*a, **k))
    monkeypatch.setattr(photos, "publish", lambda *a, **k: made.append("photo") or picture(*a, **k))
    return made


def _change(note: Path, change: Callable[[str], str]) -> Path:
    note.write_text(change(note.read_text(encoding="utf-8")), encoding="utf-8")
    return note


def test_files_are_those_of_publish(demo: Mapping[str, Path]) -> None:
    """What the preview serves is byte for byte what publish writes, but for sums and the theme's policy."""
    state = Bench(CONTENT / "quillback", _wish).make()
    packet = demo["buyer"] / "quillback"
    written = {p.relative_to(packet).as_posix(): p for p in packet.rglob("*") if p.is_file()}
    assert state.files.keys() == written.keys() - {"SHA256SUMS"}
    other = [n for n, f in state.files.items() if f.data != written[n].read_bytes()]
    assert not other


def test_preview_speaks_the_language_asked_for(tmp_path: Path) -> None:
    """The report and its list are in the language and units of the wish, as publish makes them."""
    notes = made.write(tmp_path / "notes" / "one", made.TINY)
    wish = Wish(publish.edition_named("buyer"), theme.find(), language="nl")
    state = Bench(notes.parent, lambda: wish).make()
    assert {b'<html lang="nl"' in state.files[f].data for f in state.files if f.endswith(".html")} == {True}
    assert "index.html" in state.files


def test_only_what_changed_is_made(folder: Path, counted: list[str]) -> None:
    """A changed note makes its survey anew and no photo; a photo saved anew makes itself and no other."""
    bench = Bench(folder, _wish)
    first = bench.make()
    assert set(BOATS) | {"index.html"} == {n.split("/")[0] for n in first.files}
    assert counted.count("report") == len(BOATS)
    counted.clear()
    note = _change(folder / "packhorse" / "hull.md", lambda text: f"{text}\n\n## Remark\nmarlinspike\n")
    second = bench.make([note])
    assert counted == ["report"]
    assert b"marlinspike" in second.files["packhorse/index.html"].data
    assert second.version == first.version + 1
    assert second.files["quillback/index.html"] is first.files["quillback/index.html"]
    counted.clear()
    photo = folder / "packhorse" / "tie-bar-new.jpg"
    shutil.copy(folder / "packhorse" / "tie-bar-crack.jpg", photo)
    third = bench.make([photo])
    assert counted == ["report", "photo"]
    assert _photos(third) != _photos(second)
    # the note is left as it was found: nothing lies beside it
    assert {p.name for p in (folder / "packhorse").iterdir()} == {
        p.name for p in (CONTENT / "packhorse").iterdir()
    }


def _photos(state: State) -> dict[str, str]:
    return {n: hashlib.sha256(f.data).hexdigest() for n, f in state.files.items() if "/photos/" in n}


def test_last_good_report_stays_while_a_mistake_stands(folder: Path) -> None:
    """A mistake is told with its line and the report stays; put right, the report goes on."""
    bench, note = Bench(folder / "packhorse", _wish), folder / "packhorse" / "hull.md"
    good = bench.make()
    whole = note.read_text(encoding="utf-8")
    _change(note, lambda text: text.replace("severity: ", "severity: wobbly", 1))
    bad = bench.make([note])
    assert bad.stale == ("packhorse",)
    assert bad.files["index.html"] is good.files["index.html"]
    told = [p for p in bad.problems if p.level == "error"]
    assert [p.place.line for p in told] == [whole[: whole.index("severity: ")].count("\n") + 1]
    note.write_text(whole, encoding="utf-8")
    again = bench.make([note])
    assert not again.stale
    assert not [p for p in again.problems if p.level == "error"]


def test_no_report_before_a_good_one(tmp_path: Path) -> None:
    """Notes that were never right give their problems and no page; an empty folder says what it lacks."""
    bench = Bench(tmp_path, _wish)
    assert [p.found for p in bench.make().problems] == ["no notes here"]
    note = tmp_path / "a.md"
    note.write_text("# No cover\n", encoding="utf-8")
    state = bench.make([note])
    assert [p.found for p in state.problems] == ["no cover note"]
    assert not state.files


def test_survey_comes_and_goes(folder: Path) -> None:
    """A survey's folder taken away leaves the index; one put there joins it."""
    bench = Bench(folder, _wish)
    bench.make()
    (folder / "packhorse").rename(folder / ".away")
    gone = bench.make([folder / "packhorse" / "hull.md"])
    assert {n.split("/")[0] for n in gone.files} == {"quillback", "index.html"}
    assert b"packhorse/" not in gone.files["index.html"].data
    (folder / ".away").rename(folder / "packhorse")
    back = bench.make([folder / "packhorse" / "hull.md"])
    assert b"packhorse/" in back.files["index.html"].data


def test_own_edition_and_its_mistakes_are_followed(folder: Path) -> None:
    """A changed file of an edition makes every survey anew; a mistake in it is told with its line."""
    own = folder / "quillback" / "editions" / "club.yaml"
    own.parent.mkdir()
    own.write_text("starts from: insurer\ntitle: For the club\nreader: the club\n", encoding="utf-8")
    source = folder / "quillback"
    bench = Bench(source, lambda: Wish(publish.edition_named("club", source), theme.find()))
    assert b"For the club" in bench.make().files["index.html"].data
    _change(own, lambda text: text.replace("For the club", "For the yacht club"))
    assert b"For the yacht club" in bench.make([own]).files["index.html"].data
    _change(own, lambda text: text.replace("insurer", "everybody"))
    wrong = bench.make([own])
    assert [p.place.line for p in wrong.problems if p.level == "error"] == [1]
    assert "index.html" in wrong.files


def test_fault_of_ours_does_not_end_the_preview(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An unforeseen error is told on the page like a problem, and the next save is tried again."""
    bench = Bench(folder / "packhorse", _wish)
    bench.make()
    with monkeypatch.context() as patch:
        patch.setattr(report, "build", lambda *a, **k: 1 / 0)
        state = bench.make()
    assert "a fault of reportgen itself (ZeroDivisionError" in state.problems[0].found
    assert "index.html" in state.files
    assert not [p for p in bench.make().problems if p.level == "error"]


def test_charts_are_drawn_once(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A chart whose numbers stay is not drawn again."""
    drawn: list[str] = []
    draw = previewing.pages.draw
    monkeypatch.setattr(previewing.pages, "draw", lambda c, k: drawn.append(c.title) or draw(c, k))
    bench = Bench(folder / "packhorse", _wish)
    bench.make()
    assert drawn
    drawn.clear()
    bench.make([folder / "packhorse" / "hull.md"])
    assert not drawn
