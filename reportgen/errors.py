"""Where a mistake stands in the notes, how it is told, and the errors that reportgen raises.

ReportgenError            anything a caller may want to catch
    UsageError            the command line was used wrongly (exit code 2)
    NotesError            the notes are at fault; carries every problem found
    ThemeError            a theme's template or style is at fault; points into its file
    PacketError           a packet can't be written or read (disk full, foreign file in the way)
    PhotoError            a photo is missing, damaged, too large or no photo
"""

from __future__ import annotations

import difflib
import errno
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

_FULL = "the disk is full: make room and publish again"
_FORBIDDEN = "you may not write there: choose another folder"
# why a packet can't be written, by the system's number, and what to do
NOT_WRITTEN = {
    errno.ENOSPC: _FULL,
    errno.EDQUOT: _FULL,
    errno.EROFS: "that disk can only be read: choose another folder",
    errno.EACCES: _FORBIDDEN,
    errno.EPERM: _FORBIDDEN,
    errno.EXDEV: "it lies on several disks: name a folder inside one of them",
    errno.EBUSY: "it is in use as a disk of its own: name a folder inside it",
    errno.ENAMETOOLONG: "a name gets too long there: choose another folder",
    errno.ENOTDIR: "a file stands where a folder is needed: choose another folder",
    errno.EEXIST: "a file stands where a folder is needed: choose another folder",
}


@dataclass(frozen=True, order=True)
class Place:
    """A spot in a note.

    file: path as the writer knows it, relative to the folder that was named.
    line, column: counted from 1; 0 means the file as a whole.
    key: the note's key that the spot belongs to, empty if none.
    inside: (key, line, column) of each key of the block that begins here, (keys,).
    """

    file: str = ""
    line: int = 0
    column: int = 0
    key: str = ""
    inside: tuple[tuple[str, int, int], ...] = field(default=(), compare=False, repr=False)

    def at(self, key: str) -> Place:
        """Give the spot of a key of the block, or the block's own where the key is missing."""
        for name, line, column in self.inside:
            if name == key:
                return Place(self.file, line, column, key)
        return Place(self.file, self.line, self.column, key)

    def holding(self, inside: tuple[tuple[str, int, int], ...]) -> Place:
        """Give the same spot as the beginning of a block with the keys `inside`."""
        return Place(self.file, self.line, self.column, self.key, inside)

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}" if self.line else self.file


@dataclass(frozen=True, order=True)
class Problem:
    """One mistake or warning: where it is, what was found, what to write instead."""

    place: Place
    found: str
    write: str
    level: str = "error"

    def __str__(self) -> str:
        key = f" {self.place.key}:" if self.place.key else ""
        word = "warning: " if self.level == "warning" else ""
        return f"{self.place}:{key} {word}{self.found}; {self.write}"

    def as_json(self) -> dict[str, object]:
        """Give the problem in the shape that `check --json` prints."""
        place = self.place
        return {
            "file": place.file,
            "line": place.line,
            "column": place.column,
            "key": place.key,
            "level": self.level,
            "message": f"{self.found}; {self.write}",
        }


class ReportgenError(Exception):
    """Anything reportgen raises on purpose."""


class UsageError(ReportgenError):
    """The command line was used wrongly."""


class NotesError(ReportgenError):
    """The notes are at fault; `problems` holds every one, in file order."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(sorted(problems))
        super().__init__("\n".join(str(p) for p in self.problems))


class ThemeError(ReportgenError):
    """A theme is at fault; the message points into its file."""


class PacketError(ReportgenError):
    """A packet can't be written or read."""


class PhotoError(ReportgenError):
    """A photo can't be published; `write` says what to do instead."""

    def __init__(self, found: str, write: str) -> None:
        self.found, self.write = found, write
        super().__init__(f"{found}; {write}")


class Problems:
    """Collects mistakes so that a folder's worth is told at once."""

    def __init__(self) -> None:
        self._all: list[Problem] = []

    def error(self, place: Place, found: str, write: str) -> None:
        """Note a mistake that stops publishing."""
        self._all.append(Problem(place, found, write))

    def warn(self, place: Place, found: str, write: str) -> None:
        """Note something the writer can better but that stops nothing."""
        self._all.append(Problem(place, found, write, "warning"))

    def take(self, other: Problems, without: str = "") -> None:
        """Take over what another found; without: but for warnings that begin with these words."""
        gone = [p for p in other if without and p.level == "warning" and p.found.startswith(without)]
        self._all += [p for p in other if p not in gone]

    def __iter__(self) -> Iterator[Problem]:
        # one mistake met on two ways is told once
        return iter(sorted(set(self._all)))

    @property
    def errors(self) -> tuple[Problem, ...]:
        """Give the mistakes alone, in file order."""
        return self._of("error")

    @property
    def warnings(self) -> tuple[Problem, ...]:
        """Give the warnings alone, in file order."""
        return self._of("warning")

    def _of(self, level: str) -> tuple[Problem, ...]:
        return tuple(sorted({p for p in self._all if p.level == level}))

    def stop_if_any(self) -> None:
        """Raise NotesError with every problem if one of them is an error."""
        if self.errors:
            raise NotesError(self)


def nearest(word: str, known: Iterable[str]) -> str | None:
    """Give the known word most like `word`, or None if none is near."""
    choices = {k.lower(): k for k in known}
    found = difflib.get_close_matches(word.lower(), list(choices), n=1, cutoff=0.7)
    return choices[found[0]] if found else None


def listed(words: Iterable[str], joint: str = "or") -> str:
    """Give words as a phrase: `a, b or c`."""
    items = list(words)
    return items[0] if len(items) == 1 else f"{', '.join(items[:-1])} {joint} {items[-1]}" if items else ""
