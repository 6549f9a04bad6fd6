"""Tests for reportgen.watching: changes of every kind are seen once, when they are saved."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from reportgen import watching


def _by_name(note: Path) -> None:
    new = note.with_name("other")
    new.write_text("new")
    new.replace(note)


def _below(note: Path) -> None:
    (note.parent / "photos").mkdir()
    (note.parent / "photos" / "a.jpg").write_bytes(b"photo")


WAYS: dict[str, Callable[[Path], object]] = {
    "written over": lambda note: note.write_text("longer than it was"),
    "saved by another name": _by_name,
    "taken away": lambda note: note.unlink(),
    "added beside": lambda note: note.with_name("added.jpg").write_bytes(b"photo"),
    "added below": _below,
}


def _note(folder: Path) -> Path:
    note = folder / "note.md"
    note.write_text("old")
    return note


@pytest.mark.parametrize("way", WAYS)
def test_every_change_is_seen(tmp_path: Path, way: str) -> None:
    """However an editor saves, the watch tells one file, and nothing is told twice."""
    note = _note(tmp_path)
    watch = watching.Watch([tmp_path])
    WAYS[way](note)
    changed = watch.changes(threading.Event())
    assert {p.name for p in changed} <= {"note.md", "added.jpg", "a.jpg"}
    assert len(changed) == 1
    stop = threading.Event()
    threading.Timer(0.15, stop.set).start()
    assert watch.changes(stop) == frozenset()


def test_hidden_files_are_no_change(tmp_path: Path) -> None:
    """What an editor keeps for itself makes nothing anew, and a lock that leads nowhere does no harm."""
    note = _note(tmp_path)
    before = watching.marks([tmp_path])
    (tmp_path / ".note.md.swp").write_text("x")
    (tmp_path / ".git").mkdir()
    (tmp_path / ".git" / "index").write_text("x")
    (tmp_path / "lock").symlink_to("nobody@nowhere.1")
    assert watching.marks([tmp_path]) == before
    assert list(before) == [note]


def test_linked_folder_is_followed_unless_it_leads_up(tmp_path: Path) -> None:
    """A survey kept elsewhere is watched through its link; a link to a folder above is not."""
    (tmp_path / "here").mkdir()
    (tmp_path / "elsewhere").mkdir()
    _note(tmp_path / "elsewhere")
    (tmp_path / "here" / "again").symlink_to(tmp_path)
    (tmp_path / "here" / "survey").symlink_to(tmp_path / "elsewhere")
    names = [p.relative_to(tmp_path).as_posix() for p in watching.marks([tmp_path / "here"])]
    assert names == ["here/survey/note.md"]


def test_half_written_note_is_waited_for(tmp_path: Path) -> None:
    """A note that is emptied first is told when its words are there."""
    note = _note(tmp_path)
    watch = watching.Watch([tmp_path])
    note.write_text("")
    threading.Timer(0.1, note.write_text, ["the whole note"]).start()
    assert watch.changes(threading.Event()) == {note}
    assert note.read_text() == "the whole note"


def test_note_left_empty_is_told_all_the_same(tmp_path: Path) -> None:
    """An empty note is waited for no longer than it takes an editor."""
    note = _note(tmp_path)
    watch = watching.Watch([tmp_path])
    note.write_text("")
    began = time.monotonic()
    assert watch.changes(threading.Event()) == {note}
    assert time.monotonic() - began >= watching.LONGEST


def test_folder_that_is_gone_has_no_files(tmp_path: Path) -> None:
    """A survey taken away while it is looked at is no mistake."""
    assert watching.marks([tmp_path / "gone"]) == {}


def test_watch_leaves_the_processor_alone(tmp_path: Path) -> None:
    """Idle, it uses no more than two hundredths of a processor (here: of half a second)."""
    for number in range(200):
        (tmp_path / f"{number}.jpg").write_bytes(b"photo")
    watch = watching.Watch([tmp_path])
    stop = threading.Event()
    threading.Timer(0.5, stop.set).start()
    began, clock = time.thread_time(), time.monotonic()
    watch.changes(stop)
    # twice the share that is aimed at, for the first look comes before any pause
    assert time.thread_time() - began < 0.04 * (time.monotonic() - clock)
