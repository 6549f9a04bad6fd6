"""Puts finished files in the place of old ones so that no reader ever finds half of each.

Everything is prepared in a hidden working folder beside the packet, on the same disk, and moved by renaming.
What a run that was killed has left half done can be read off its working folder, so one function,
`recover`, puts things right both after an error and at the start of the next run:

    new/            the finished tree; after changing places, the old one
    aside/NAME      the old folder NAME, while only renaming in two steps is possible
    aside-whole     the same, where the packet is the report itself
    index/          the old index files, from before the first is replaced until after the last
"""

from __future__ import annotations

import contextlib
import ctypes
import errno
import hashlib
import itertools
import json
import os
import shutil
import sys
import tempfile
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from reportgen.errors import PacketError
from reportgen.sums import SUMS, check_names, is_inside, sums

if sys.platform != "win32":
    import fcntl

Data = bytes | Iterable[bytes]  # of a file, whole or piece by piece
_AT_CWD = -100  # AT_FDCWD of Linux's fcntl.h
_EXCHANGE = 2  # RENAME_EXCHANGE of Linux's fs.h
_NOT_HERE = {errno.ENOSYS, errno.EINVAL, errno.EOPNOTSUPP, errno.ENOTSUP}
_NO_LINK = {errno.EPERM, errno.EACCES, errno.EXDEV, errno.EMLINK, errno.EOPNOTSUPP, errno.ENOSYS}
_MANY = 500  # from so many files on, one flush of the disk is quicker than one of each file
_AT_ONCE = 8  # files


@cache
def _system_call(name: str) -> Callable[..., int] | None:
    if sys.platform != "linux":
        return None
    return getattr(ctypes.CDLL(None, use_errno=True), name, None)


def exchange(one: Path, other: Path) -> bool:
    """Let two folders change places in one step; give False where the system or the disk can't.

    Raises OSError when it could, but failed.
    """
    call = _system_call("renameat2")
    if call is None:
        return False
    if call(_AT_CWD, os.fsencode(one), _AT_CWD, os.fsencode(other), _EXCHANGE) == 0:
        return True
    number = ctypes.get_errno()
    if number in _NOT_HERE:
        return False
    raise OSError(number, os.strerror(number), str(other))


def put_in_place(new: Path, target: Path, aside: Path) -> Path | None:
    """Put the folder `new` where `target` is; give where the old one stands now, None if there was none.

    `aside` is where it goes if the two can't change places in one step.
    """
    if not os.path.lexists(target):
        new.rename(target)
        return None
    if exchange(new, target):
        return new
    aside.parent.mkdir(exist_ok=True)
    target.rename(aside)
    new.rename(target)  # broken off before this, `recover` moves the old one back
    return aside


def _put_back(aside: Path, target: Path) -> None:
    if os.path.lexists(aside) and not os.path.lexists(target):
        aside.rename(target)


def replace_files(work: Path, target: Path, names: Sequence[str], stale: Sequence[str]) -> None:
    """Replace files of `target` one by one with those of `new/`, the last name last; take away stale ones.

    If it is broken off anywhere, `recover` brings all of the old ones back.
    """
    keep = work / "index-begun"
    for name in (*names, *stale):
        if os.path.lexists(target / name):
            make_folder(keep, (keep / name).parent)
            link_or_copy(target / name, keep / name)
    make_folder(work, keep)
    keep.rename(work / "index")
    for name in names[:-1]:
        make_folder(target, (target / name).parent)
        (work / "new" / name).replace(target / name)
    for name in stale:
        (target / name).unlink(missing_ok=True)
    (work / "new" / names[-1]).replace(target / names[-1])
    (work / "index").rename(work / "index-done")
    for name in stale:
        _remove_empty((target / name).parent, target)


def recover(work: Path, target: Path, index: Iterable[str]) -> None:
    """Bring back what was moved out of `target` and never replaced.

    index: the files that the old and the new index consist of.
    """
    _put_back(work / "aside-whole", target)
    if (work / "aside").is_dir():
        for old in sorted((work / "aside").iterdir()):
            _put_back(old, target / old.name)
    kept = work / "index"
    if not kept.is_dir():
        return
    names = files_below(kept)
    for name in names:
        # a second link is moved, so that a recovery that is itself killed can be done again
        (work / "copy").unlink(missing_ok=True)
        link_or_copy(kept / name, work / "copy")
        make_folder(target, (target / name).parent)
        (work / "copy").replace(target / name)
    for name in set(index) - set(names):
        (target / name).unlink(missing_ok=True)
        _remove_empty((target / name).parent, target)
    kept.rename(work / "index-done")


def carry(old: Path, new: Path, names: Iterable[str]) -> None:
    """Give `new` the named files of `old`, contents, mode and times untouched; a name with / is a folder."""
    made: list[str] = []
    for name in names:
        parts = name.rstrip("/").split("/")
        for depth in range(1, len(parts) + name.endswith("/")):
            folder = "/".join(parts[:depth])
            if not (new / folder).is_dir():
                (new / folder).mkdir()
                made.append(folder)
        if not name.endswith("/") and not _same_file(old / name, new / name):
            (new / name).unlink(missing_ok=True)
            link_or_copy(old / name, new / name)
    for folder in reversed(made):  # last, since filling a folder changes its time
        shutil.copystat(old / folder, new / folder)


def _same_file(one: Path, other: Path) -> bool:
    if not os.path.lexists(other):
        return False
    a, b = one.lstat(), other.lstat()
    return os.path.samestat(a, b) or (a.st_size, a.st_mtime_ns) == (b.st_size, b.st_mtime_ns)


def link_or_copy(source: Path, copy: Path) -> None:
    """Give a file a second name, or a copy with its mode and times where the disk knows no second names."""
    try:
        os.link(source, copy, follow_symlinks=False)
    except NotImplementedError:
        shutil.copy2(source, copy, follow_symlinks=False)
    except OSError as error:
        if error.errno not in _NO_LINK:
            raise
        shutil.copy2(source, copy, follow_symlinks=False)


def make_folder(top: Path, folder: Path) -> None:
    """Make `folder` and those between it and `top`, open to read for all whatever the umask."""
    if folder != top and not folder.is_dir():
        make_folder(top, folder.parent)
        folder.mkdir()
        folder.chmod(0o755)
    elif folder == top:
        folder.mkdir(exist_ok=True)


def write(folder: Path, files: Iterable[tuple[str, Data]]) -> frozenset[str]:
    """Write files, each as it comes, and their sums into a folder open to read for all; give their names."""
    make_folder(folder.parent, folder)
    folder.chmod(0o755)
    found: dict[str, str] = {}
    made: set[str] = set()
    for name, data in files:
        check_names([name])
        if name == SUMS:
            raise PacketError(f"{SUMS} is written by the packet itself: this is a mistake in reportgen")
        if (below := name.rpartition("/")[0]) and below not in made:
            make_folder(folder, folder / below)
            made.add(below)
        found[name] = _write(folder, name, data)
    check_names(found)
    _write(folder, SUMS, sums(found))
    return frozenset(found)


def _write(folder: Path, name: str, data: Data) -> str:
    """Write a file open to read for all, and give its SHA-256."""
    path, sum_ = folder / name, hashlib.sha256()
    with path.open("wb") as file:
        for piece in (data,) if isinstance(data, bytes) else data:
            file.write(piece)
            sum_.update(piece)
    path.chmod(0o644)
    return sum_.hexdigest()


def files_below(folder: Path) -> list[str]:
    """Give the relative names of all that isn't a folder, sorted."""
    return sorted(
        (Path(where) / name).relative_to(folder).as_posix()
        for where, folders, files in os.walk(folder)
        for name in (*files, *(f for f in folders if (Path(where) / f).is_symlink()))
    )


def remove(folder: Path) -> None:
    """Delete a folder of ours, also one that holds folders which can't be written to."""
    shutil.rmtree(folder, ignore_errors=True)
    if folder.exists():
        for where, folders, _ in os.walk(folder):
            for path in (Path(where) / name for name in folders):
                if not path.is_symlink():  # a link may lead out to what isn't ours
                    path.chmod(0o700)
        shutil.rmtree(folder, ignore_errors=True)


def _remove_empty(folder: Path, top: Path) -> None:
    with contextlib.suppress(OSError):
        while folder != top:
            folder.rmdir()
            folder = folder.parent


def flush(folder: Path) -> None:
    """Have all below `folder` written to the disk itself. Raises OSError when the disk can't."""
    every = (Path(where) / name for where, _, files in os.walk(folder) for name in (*files, "."))
    some = list(itertools.islice(every, _MANY + 1))
    together = _system_call("syncfs") if len(some) > _MANY else None
    if together is None:
        # several at once, which the disk then writes in one go
        with ThreadPoolExecutor(_AT_ONCE) as crew:
            while some:
                ours = [p for p in some if not p.is_symlink() and (p.is_file() or p.is_dir())]
                for _ in crew.map(_flush_one, ours):
                    pass
                some = list(itertools.islice(every, _MANY))
        return
    with _descriptor(folder) as number:
        if together(number) != 0:
            raise OSError(ctypes.get_errno(), os.strerror(ctypes.get_errno()), str(folder))


def flush_names(folder: Path) -> None:
    """Have the names in `folder` written to the disk itself."""
    _flush_one(folder)


def _flush_one(path: Path) -> None:
    if sys.platform == "win32" and path.is_dir():
        return
    # a file that was carried over may be one that we may not read: it was on the disk before
    with contextlib.suppress(PermissionError), _descriptor(path) as number:
        os.fsync(number)


@contextlib.contextmanager
def _descriptor(path: Path) -> Iterator[int]:
    number = os.open(path, os.O_RDONLY)
    try:
        yield number
    finally:
        os.close(number)


@dataclass(frozen=True)
class Contents:
    """What the record beside a packet says; names only.

    folders: report folders that reportgen wrote; "" where the packet is the report itself.
    index: files of the index.
    swapping: folders that were being changed when it was written; empty when all was done.
    """

    folders: tuple[str, ...] = ()
    index: tuple[str, ...] = ()
    swapping: tuple[str, ...] = ()


class Journal:
    """The hidden record beside a packet, `.NAME.reportgen`, which is also the lock of its publisher."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.contents = Contents()
        self.broken = False
        self._number = -1
        self._all: dict[str, object] = {}

    def open(self, wait: float, holder: Callable[[], str]) -> None:
        """Lock the record and read it; wait at most `wait` seconds [s] for another publisher.

        Raises PacketError when the other one is still at work; `holder` says who it is.
        """
        end = time.monotonic() + wait
        while not self._lock():
            if time.monotonic() >= end:
                raise PacketError(holder())
            time.sleep(0.05)
        self._read()

    def _lock(self) -> bool:
        number = os.open(self.path, os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), 0o600)
        try:
            if sys.platform != "win32":
                fcntl.flock(number, fcntl.LOCK_EX | fcntl.LOCK_NB)
            # the one who held it may have put a new file in its place or taken it away
            mine = os.path.samestat(os.fstat(number), self.path.lstat())
        except (BlockingIOError, FileNotFoundError):
            mine = False
        except BaseException:
            os.close(number)
            raise
        if not mine:
            os.close(number)
            return False
        self._number = number
        return True

    def _read(self) -> None:
        try:
            found = json.loads(self.path.read_bytes() or b"{}")
        except (ValueError, RecursionError):
            found = None
        self.broken = not isinstance(found, dict)
        if isinstance(found, dict):
            self._all = found
            self.contents = Contents(*(_names(found.get(key)) for key in ("folders", "index", "swapping")))

    def kept(self, name: str) -> object:
        """Give what was kept under a name, None if nothing was; a stranger may have edited it."""
        return self._all.get(name)

    def write(self, contents: Contents, work: Path, **kept: object) -> None:
        """Put new contents in place of the old in one step, keeping the lock and what others wrote there."""
        self._all |= {"format": 1, **{key: sorted(value) for key, value in vars(contents).items()}, **kept}
        number, name = tempfile.mkstemp(dir=work)
        try:
            with open(number, "w", encoding="utf-8", closefd=False) as file:
                file.write(json.dumps(self._all, sort_keys=True))
                file.write("\n")
            os.fsync(number)
            if sys.platform != "win32":
                os.fchmod(number, 0o600)
                fcntl.flock(number, fcntl.LOCK_EX)
            Path(name).replace(self.path)
        except BaseException:
            os.close(number)
            raise
        self._number, old = number, self._number
        os.close(old)
        self.contents = contents

    def close(self, *, forget: bool) -> None:
        """Unlock the record; take it away if it says nothing or there is nothing left to say it of."""
        if self._number < 0:
            return
        try:
            if forget or os.fstat(self._number).st_size == 0:
                self.path.unlink(missing_ok=True)
        finally:
            number, self._number = self._number, -1
            os.close(number)


def _names(value: object) -> tuple[str, ...]:
    """Give the names in a record that mean something inside the packet; a stranger may have edited it."""
    if not isinstance(value, list):
        return ()
    return tuple(n for n in value if isinstance(n, str) and is_inside(n))
