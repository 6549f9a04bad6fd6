"""Keeps account of what each report was made from, so that only what has changed is made again.

    record = Record(kept, common)
    known = record.standing("marsh-wren", notes, packet)   # None: make it again

The record lies beside the packet and holds names and salted digests alone. It is never trusted blindly:
what a look at times and sizes can't confirm is read and held against the digest, the notes' files as well
as the published ones. A file's times say nothing if it was changed within two seconds of the look.
"""

from __future__ import annotations

import contextlib
import dataclasses
import hashlib
import operator
import os
import re
import secrets
import stat
import sys
import time
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from importlib import metadata
from pathlib import Path
from typing import Any, NamedTuple

from reportgen import __version__
from reportgen.sums import SIGNATURE, SUMS, is_inside, read_sums

FORMAT = 1
MOST_FILES = 5_000  # a folder that holds more is no survey's own: its report is made every time
LARGEST = 100_000_000  # no note and no photo is so large; of such a file only the times count [bytes]
_SOON = 2_000_000_000  # so coarse may the clock of a disk be [ns]
_DIGEST = re.compile(r"[0-9a-f]{32}|")


class Made(NamedTuple):
    """What one report was made from, as digests: a row of the record.

    folder: where it stands in the packet. seen: times and sizes of the notes' files, "" where they say
    nothing. content: of what is in them. placed: times and sizes of the published files, "" if not known.
    sums: of the published list of sums. more: files outside the survey's folder, as written from there.
    photos: name of a published photo by the digest of what it was made from.
    """

    folder: str
    seen: str
    content: str
    sums: str
    placed: str
    more: tuple[str, ...]
    photos: Mapping[str, str]


@dataclass(frozen=True)
class Read:
    """A survey's files as they were before they were read. sums: SHA-256 of each by its path."""

    seen: str
    content: str
    sums: Mapping[str, str]


class Salted:
    """Makes digests that nobody can guess at who doesn't have the record."""

    def __init__(self, salt: str) -> None:
        self.salt = salt
        self._begun = hashlib.blake2b(digest_size=16, key=salt.encode()[:64])

    def of(self, *parts: str | bytes) -> str:
        """Give the digest of parts, 32 hexadecimal digits."""
        made = self._begun.copy()
        for part in parts:
            data = part if isinstance(part, bytes) else part.encode("utf-8", "surrogateescape")
            made.update(b"%d:" % len(data) + data)
        return made.hexdigest()

    def seen(self, path: Path, more: Iterable[str] = ()) -> str:
        """Give the digest of the times and sizes of a survey's files; "" where they say nothing."""
        told: list[str] = []
        try:
            newest = _looked_at(str(path), "", told, MOST_FILES)
        except NotADirectoryError:
            newest = max(
                _told_of(path.name, path.stat(), told), _looked_at(str(path.parent), "", told, MOST_FILES)
            )
        for name in more:
            newest = max(newest, _told_of(name, _below(path, name).stat(), told))
        known = len(told) <= MOST_FILES and newest < time.time_ns() - _SOON
        return self.of("\0".join(told)) if known else ""

    def placed(self, folder: Path) -> str:
        """Give the digest of the times and sizes of a published folder; "" if there is none."""
        told: list[str] = []
        try:
            _looked_at(str(folder), "", told)
        except OSError:
            return ""
        return self.of("\0".join(told))

    def read(self, path: Path, more: Iterable[str] = ()) -> Read | None:
        """Read a survey's files for their digests; None where they are too many or can't be read."""
        sums: dict[str, str] = {}
        parts: list[str] = []
        try:
            seen = self.seen(path, more)
            for name, found in _files_of(path, more):
                if len(parts) >= MOST_FILES * 2:
                    return None
                file = _below(path, name)
                if stat.S_ISREG(found.st_mode) and found.st_size <= LARGEST:
                    with file.open("rb") as opened:
                        sum_ = hashlib.file_digest(opened, "sha256").hexdigest()
                    sums[os.path.realpath(file)] = sum_
                    parts += (name, sum_)
                else:
                    parts += (name, _told("", found))
        except OSError:
            return None
        return Read(seen, self.of(*parts), sums)

    def list_of_sums(self, folder: Path) -> str:
        """Give the digest of a published folder's list of sums and its signature."""
        parts = []
        for name in (SUMS, SIGNATURE):
            file = folder / name
            parts.append(file.read_bytes() if file.is_file() and not file.is_symlink() else b"")
        return self.of(*parts)

    def is_whole(self, folder: Path, sums: str) -> bool:
        """Tell whether a published folder holds what its list says, and the list has this digest."""
        try:
            listed = read_sums(folder)
            return bool(listed) and self.list_of_sums(folder) == sums and _hold(folder, listed or {})
        except OSError:
            return False


class Record:
    """What is known of the last publishing, and what is to be remembered of this one.

    kept: what was remembered the last time; anybody may have written it. common: digest of what all reports
    are made with (edition, theme, options, versions). fresh: ignore what was remembered.
    """

    def __init__(self, kept: object, common: str, *, fresh: bool = False) -> None:
        found = kept if isinstance(kept, dict) and kept.get("format") == FORMAT and not fresh else {}
        salt = found.get("salt")
        usable = isinstance(salt, str) and re.fullmatch(r"[0-9a-f]{32}", salt)
        self.salted = Salted(str(salt) if usable else secrets.token_hex(16))
        surveys = found.get("surveys")
        self._known: dict[str, Any] = surveys if usable and isinstance(surveys, dict) else {}
        self.broken = bool(kept) and not fresh and not (usable and isinstance(surveys, dict))
        self._common = self.salted.of(common)
        self.same = found.get("common") == self._common
        index = found.get("index")
        self._index = index if isinstance(index, dict) and self.same else {}
        self._surveys: dict[str, Made] = {}
        self._rows: dict[str, Made | None] = {}

    @property
    def names(self) -> tuple[str, ...]:
        """Give the names of all that is remembered."""
        return tuple(map(str, self._known))

    def known(self, name: str) -> Made | None:
        """Give what is remembered of a survey, None if nothing or nothing that makes sense."""
        if name not in self._rows:
            self._rows[name] = _made(self._known.get(name))
        return self._rows[name]

    def standing(self, name: str, notes: Path, packet: Path) -> Made | None:
        """Give what is remembered of a survey if its report stands as it was made and nothing has changed."""
        made = self.known(name) if self.same else None
        if made is None:
            return None
        folder = packet / made.folder
        try:
            seen = self.salted.seen(notes, made.more)
            if not seen or seen != made.seen:
                found = self.salted.read(notes, made.more)
                if found is None or found.content != made.content:
                    return None
                seen = found.seen
        except OSError:
            return None
        placed = self.salted.placed(folder)
        if placed != made.placed or not placed:
            if not self.salted.is_whole(folder, made.sums):
                return None
            placed = self.salted.placed(folder)
        if (seen, placed) != (made.seen, made.placed):
            made = made._replace(seen=seen, placed=placed)
        return made

    def index_stands(self, packet: Path, names: Iterable[str]) -> bool:
        """Tell whether the index files stand as they were made."""
        placed, sums = self._index.get("placed"), self._index.get("sums")
        if not isinstance(placed, str) or not isinstance(sums, str):
            return False
        if placed and placed == self._index_placed(packet, names):
            return True
        return self.salted.is_whole(packet, sums)

    def _index_placed(self, packet: Path, names: Iterable[str]) -> str:
        try:
            return self.salted.of(*(_told(n, (packet / n).lstat()) for n in sorted(names)))
        except OSError:
            return ""

    def remember(self, rows: dict[str, Made]) -> None:
        """Remember of each survey, by its name, what its report was made from; takes the rows over."""
        self._surveys = rows

    def written(self, packet: Path, index: Iterable[str] = ()) -> dict[str, object]:
        """Give what is to be kept, now that all stands in its place. index: names of its files."""
        for name, made in self._surveys.items():
            if not made.placed:
                self._surveys[name] = made._replace(placed=self.salted.placed(packet / made.folder))
        names = sorted(index)
        of_index: dict[str, str] = {}
        if names:
            of_index["placed"] = self._index_placed(packet, names)
            of_index["sums"] = self.salted.list_of_sums(packet)
        return {
            "format": FORMAT,
            "salt": self.salted.salt,
            "common": self._common,
            "index": of_index,
            "surveys": self._surveys,
        }

    @property
    def changed(self) -> bool:
        """Tell whether what is to be remembered differs from what was."""
        known = {name: self.known(name) for name in self._known}
        return not self.same or known != self._surveys


# what is published depends on them too
_LIBRARIES = (
    "Babel",
    "Jinja2",
    "markdown-it-py",
    "matplotlib",
    "numpy",
    "Pillow",
    "Pint",
    "PyYAML",
    "weasyprint",
)


def common(shared: Mapping[str, object]) -> str:
    """Give one text of all that reports are made with beside their notes: options, theme, tool, libraries."""
    versions = []
    for name in _LIBRARIES:
        with contextlib.suppress(metadata.PackageNotFoundError):
            versions.append(f"{name} {metadata.version(name)}")
    package = Path(__file__).parent
    tool = [_told(n, f) for n, f in _walk(str(package)) if "__pycache__" not in n]
    return repr([__version__, versions, tool, _plain(shared)])


def _plain(value: object) -> object:
    """Give a value in a form that is printed alike in every run; of a theme, its files."""
    folders = getattr(value, "folders", None)
    if folders is not None:
        own = getattr(value, "own", None)
        tops = [*folders, *([own] if own else [])]
        files = [(n, Path(top) / n) for top in tops for n, _ in _walk(str(top))]
        return [(n, hashlib.sha256(p.read_bytes()).hexdigest()) for n, p in files if p.is_file()]
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return [(f.name, _plain(getattr(value, f.name))) for f in dataclasses.fields(value)]
    if isinstance(value, Mapping):
        return [(name, _plain(value[name])) for name in sorted(value)]
    if isinstance(value, frozenset | set):
        return sorted(map(str, value))
    return [_plain(item) for item in value] if isinstance(value, tuple | list) else str(value)


def _made(row: object) -> Made | None:
    """Give a row of the record as what it says; None if it can't have been written by us."""
    if not isinstance(row, list) or len(row) != 7:
        return None
    folder, *digests, more, photos = row
    good = isinstance(folder, str) and is_inside(folder) and "/" not in folder
    good = good and all(isinstance(d, str) and _DIGEST.fullmatch(d) for d in digests)
    good = good and isinstance(more, list) and all(isinstance(n, str) and "\0" not in n for n in more)
    good = good and isinstance(photos, dict) and all(map(_is_photo, photos.items()))
    if not good:
        return None
    seen, content, sums, placed = digests
    return Made(folder, seen, content, sums, placed, tuple(more), photos)


def _is_photo(pair: tuple[object, object]) -> bool:
    key, name = pair
    return isinstance(key, str) and isinstance(name, str) and re.fullmatch(r"photo-\d{2,6}", name) is not None


def _hold(folder: Path, listed: Mapping[str, str]) -> bool:
    """Tell whether each listed file is there and has its sum."""
    for name, said in listed.items():
        file = folder / name
        if file.is_symlink() or not file.is_file():
            return False
        with file.open("rb") as opened:
            if hashlib.file_digest(opened, "sha256").hexdigest() != said:
                return False
    return True


def _files_of(path: Path, more: Iterable[str]) -> Iterator[tuple[str, os.stat_result]]:
    """Give the files that a survey's report may depend on: all below its folder, and what lies elsewhere."""
    if path.is_file():
        yield path.name, path.stat()
    yield from _walk(str(path.parent if path.is_file() else path))
    for name in more:
        yield name, _below(path, name).stat()


def _below(path: Path, name: str) -> Path:
    return (path.parent if path.is_file() else path) / name


def _walk(top: str, below: str = "") -> Iterator[tuple[str, os.stat_result]]:
    """Give each file below a folder with its times, sorted; of a link, those of what it leads to."""
    with os.scandir(f"{top}/{below}" if below else top) as found:
        entries = sorted(found, key=_name)
    for entry in entries:
        name = f"{below}/{entry.name}" if below else entry.name
        if entry.is_dir(follow_symlinks=False):
            yield from _walk(top, name)
        elif entry.is_symlink():
            yield f"{name} -> {Path(entry.path).readlink()}", entry.stat(follow_symlinks=False)
            if entry.is_file():
                yield name, entry.stat()
        else:
            yield name, entry.stat(follow_symlinks=False)


def _looked_at(top: str, below: str, told: list[str], most: int = sys.maxsize) -> int:
    """Add the times and sizes of each file below a folder to what is told, and give the newest time [ns].

    It is `_walk` for ten thousand surveys: nothing is handed on file by file. It ends after `most` files.
    """
    newest = 0
    with os.scandir(f"{top}/{below}" if below else top) as found:
        entries = sorted(found, key=_name)
    for entry in entries:
        name = f"{below}/{entry.name}" if below else entry.name
        if entry.is_dir(follow_symlinks=False):
            time_ = _looked_at(top, name, told, most)
        elif entry.is_symlink():
            leads = f"{name} -> {Path(entry.path).readlink()}"
            time_ = _told_of(leads, entry.stat(follow_symlinks=False), told)
            time_ = max(time_, _told_of(name, entry.stat(), told)) if entry.is_file() else time_
        else:
            at = entry.stat(follow_symlinks=False)
            changed, time_ = at.st_mtime_ns, at.st_ctime_ns
            told.append(f"{name}\0{at.st_size} {changed} {time_}")  # as _told has it
            time_ = changed if changed > time_ else time_
        if time_ > newest:
            newest = time_
        if len(told) > most:
            break
    return newest


def _told_of(name: str, found: os.stat_result, told: list[str]) -> int:
    told.append(_told(name, found))
    return max(found.st_mtime_ns, found.st_ctime_ns)


_name: Callable[[os.DirEntry[str]], str] = operator.attrgetter("name")


def _told(name: str, found: os.stat_result) -> str:
    return f"{name}\0{found.st_size} {found.st_mtime_ns} {found.st_ctime_ns}"
