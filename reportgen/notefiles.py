"""Finds the notes of a survey and reads them as text, keys and sections."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from reportgen import sections
from reportgen.errors import NotesError, Place, Problems
from reportgen.sections import Section
from reportgen.yamltext import Keys

MAX_BYTES = 2_000_000
MAX_NOTES = 500
PAGE = "page"  # the key that makes a note a plain page
_UTF16 = (b"\xff\xfe", b"\xfe\xff")


@dataclass(frozen=True)
class Note:
    """One note as read. file: path as the writer typed it. keys: of its front matter."""

    file: str
    keys: Keys
    sections: tuple[Section, ...]


def find(path: Path) -> tuple[tuple[Path, ...], bool]:
    """Give the surveys under `path`, and whether it is a folder of surveys.

    A survey is a note, or a folder with notes directly in it.
    Raises NotesError when there is nothing to read.
    """
    if path.is_file():
        return (path,), False
    if not path.is_dir():
        write = "name a note, a survey's folder, or a folder of surveys"
        raise _nothing(path, "no such note or folder", write)
    try:
        if any(_notes(path)):
            return (path,), False
        folders = tuple(path / name for name in _folders(path) if _has_notes(path / name))
    except OSError as error:
        raise _nothing(path, f"can't be read ({error.strerror})", "look at the permissions") from None
    if not folders:
        raise _nothing(path, "no notes here", "put the survey's *.md files into this folder")
    return folders, True


def _nothing(path: Path, found: str, write: str) -> NotesError:
    problems = Problems()
    problems.error(Place(str(path)), found, write)
    return NotesError(problems)


def _folders(path: Path) -> list[str]:
    """Give the names of the folders in which surveys may lie, sorted."""
    with os.scandir(path) as found:
        return sorted(e.name for e in found if _visible(e.name) and _has(e, Path.is_dir))


def _has_notes(folder: Path) -> bool:
    # of ten thousand folders, each is looked into on every run
    try:
        with os.scandir(folder) as found:
            return any(_is_note(entry.name) and _has(entry, Path.is_file) for entry in found)
    except (PermissionError, FileNotFoundError, NotADirectoryError):
        return False


def _has(entry: os.DirEntry[str], what: Callable[[Path], bool]) -> bool:
    """Say whether an entry is a file or a folder, whichever is asked; of a link, what it leads to."""
    asked = entry.is_dir if what is Path.is_dir else entry.is_file
    return asked(follow_symlinks=False) or (entry.is_symlink() and what(Path(entry.path)))


def _visible(name: str) -> bool:
    return not name.startswith((".", "_"))


def _is_note(name: str) -> bool:
    return _visible(name) and os.path.normcase(name).endswith(".md")


def notes_in(folder: Path) -> list[Path]:
    """Give the notes directly in a survey's folder, sorted; names beginning with `_` or `.` are none."""
    return list(_notes(folder))


def _notes(folder: Path) -> Iterator[Path]:
    try:
        with os.scandir(folder) as found:
            names = sorted(entry.name for entry in found if _is_note(entry.name))
    except (PermissionError, FileNotFoundError, NotADirectoryError):
        return
    yield from (p for name in names if (p := folder / name).is_file())


def read(files: Iterable[Path], problems: Problems) -> list[Note]:
    """Read each note that can be read; problems get what is wrong with the others."""
    return [note for file in files if (note := _note(file, problems)) is not None]


def _note(file: Path, problems: Problems) -> Note | None:
    text = text_of(file, problems)
    if text is None:
        return None
    keys, found = sections.split(text, str(file), problems)
    return Note(str(file), keys, tuple(found))


def text_of(file: Path, problems: Problems) -> str | None:
    """Give a note's text with \\n line ends; None for what can't be read, which problems get."""
    label = str(file)
    try:
        if file.stat().st_size > MAX_BYTES:
            problems.error(Place(label), "a note of over 2 MB", "split it, and list photos under photos:")
            return None
        raw = file.read_bytes()
    except OSError as error:
        problems.error(Place(label), f"can't be read ({error.strerror})", "look at the file's permissions")
        return None
    return _text(raw, label, problems)


def lines(file: str) -> tuple[str, ...]:
    """Give the lines of a note that was read before; none where it can't be read any more."""
    try:
        text = _text(Path(file).read_bytes(), file, Problems())
    except OSError:
        return ()
    return tuple((text or "").split("\n"))


def _text(raw: bytes, label: str, problems: Problems) -> str | None:
    """Give the text with \\n line ends and no BOM; None for what is no text."""
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        start = 0 if raw.startswith(_UTF16) else error.start
        line = raw[:start].count(b"\n") + 1
        begin = raw.rfind(b"\n", 0, start) + 1
        column = len(raw[begin:start].decode("utf-8-sig", "replace")) + 1
        problems.error(
            Place(label, line, column), "a sign that is not UTF-8", "save the note as UTF-8 in the editor"
        )
        if b"\0" in raw:
            return None
        # one byte a sign, so that the rest is still checked at the right line
        text = raw.decode("latin-1")
        text = "".join(" " if 0x7F <= ord(c) < 0xA0 else c for c in text)
    return text.replace("\r\n", "\n").replace("\r", "\n")
