"""Watches folders and says which files were changed, saved anew, added or taken away."""

from __future__ import annotations

import os
import threading
import time
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

PAUSE = 0.05  # between two looks [s]
SHARE = 60  # a look that takes longer is followed by a pause this many times as long [-]
SETTLE = 0.015  # a file that hasn't changed for so long is taken as saved [s]
LONGEST = 0.4  # an editor that goes on writing, or leaves a file empty, is waited for so long at most [s]
MOST_DEEP = 4  # folders below one another [-]


@dataclass(frozen=True)
class Mark:
    """What tells a saved file from what it was. modified: time [ns]; size: [bytes]; number: on its disk."""

    modified: int
    size: int
    number: int


Marks = Mapping[Path, Mark]


def marks(tops: Iterable[Path]) -> dict[Path, Mark]:
    """Give the mark of every file below the folders; hidden files and folders are none.

    Asking the disk works everywhere, also where a network disk or another system reports no changes.
    """
    found: dict[Path, Mark] = {}
    for top in tops:
        _look(str(top), MOST_DEEP, found)
    return found


def _look(folder: str, deep: int, found: dict[Path, Mark]) -> None:
    try:
        with os.scandir(folder) as entries:
            for entry in entries:
                if entry.name.startswith("."):
                    continue
                if entry.is_dir():
                    if deep and not _leads_up(entry):
                        _look(entry.path, deep - 1, found)
                    continue
                _mark(entry, found)
    except OSError:
        # a folder taken away while it is looked at has no files
        return


def _leads_up(entry: os.DirEntry[str]) -> bool:
    """Say whether a folder is a link to one that it stands in, which would never end."""
    if not entry.is_symlink():
        return False
    above = Path(os.path.realpath(Path(entry.path).parent))
    return above.is_relative_to(os.path.realpath(entry.path))


def _mark(entry: os.DirEntry[str], found: dict[Path, Mark]) -> None:
    try:
        seen = entry.stat()
    except OSError:
        # gone, or a link that leads nowhere: an editor's lock is one
        return
    found[Path(entry.path)] = Mark(seen.st_mtime_ns, seen.st_size, seen.st_ino)


def differences(old: Marks, new: Marks) -> frozenset[Path]:
    """Give the files that were changed, added or taken away."""
    return frozenset(path for path in old.keys() | new.keys() if old.get(path) != new.get(path))


@dataclass
class Watch:
    """Looks at folders again and again. tops: the folders."""

    tops: Sequence[Path]
    _known: dict[Path, Mark] = field(init=False)

    def __post_init__(self) -> None:
        self._known = marks(self.tops)

    def changes(self, stop: threading.Event) -> frozenset[Path]:
        """Wait until something was changed and is saved; give the files, or none once `stop` is set."""
        while not stop.is_set():
            began = time.thread_time()
            new = marks(self.tops)
            if new != self._known:
                new = self._settled(new, stop)
                changed = differences(self._known, new)
                self._known = new
                if changed:
                    return changed
            # a folder of ten thousand surveys may not keep a processor busy
            stop.wait(max(PAUSE, SHARE * (time.thread_time() - began)))
        return frozenset()

    def _settled(self, new: dict[Path, Mark], stop: threading.Event) -> dict[Path, Mark]:
        """Look again until nothing changes any more: many editors empty a file before they write it."""
        until = time.monotonic() + LONGEST
        while time.monotonic() < until and not stop.is_set():
            stop.wait(SETTLE)
            again = marks(self.tops)
            half = any(p in again and not again[p].size for p in differences(self._known, again))
            if again == new and not half:
                break
            new = again
        return new
