"""Writes packets: each report's folder changes as a whole or not at all, and foreign files stay untouched.

    with packet.Staging(Path("site")) as staging:
        staging.report("marsh-wren", {"index.html": b"...", "photos/1.jpg": b"..."})
        staging.index([("index.html", b"...")])
        written = staging.publish()

A file is foreign if it is not listed in the SHA256SUMS that stands over it. Nothing is changed before
`publish`; after an error or a kill each report's folder is entirely old or entirely new.
"""

from __future__ import annotations

import contextlib
import os
import tempfile
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType

from reportgen import swap
from reportgen.errors import NOT_WRITTEN, PacketError
from reportgen.sums import (
    MOST_FOREIGN,
    PAGE,
    SIGNATURE,
    SUMS,
    check_names,
    clashes,
    foreign,
    joined,
    names_below,
    read_sums,
    shown,
)


@dataclass(frozen=True)
class Written:
    """What a publishing has done.

    folders: report folders written, sorted; "" where the packet is the report itself.
    removed: folders of reports that are gone, sorted.
    foreign: files that reportgen did not write and left as they are, relative to the packet, sorted.
    in_one_step: False where the disk can't let two folders change places, so that each was missing a moment.
    """

    folders: tuple[str, ...]
    removed: tuple[str, ...]
    foreign: tuple[str, ...]
    in_one_step: bool


@dataclass(frozen=True)
class _Change:
    """One folder that is about to be replaced: `new` by what stands at `old`, with what may go of it."""

    name: str
    new: Path
    old: Path
    aside: Path
    owned: frozenset[str]
    foreign: tuple[str, ...]


class Staging:
    """Prepares a packet in a hidden folder beside `to` and then puts it in its place.

    to: the packet's folder.
    notes: the notes it is made from, which may not lie in it, nor it in their folder.
    wait: how long another publisher of the same packet is waited for [s].

    Raises PacketError, each saying what to do, when the place won't do, the disk is full or can't be
    written to, another publisher is at work, or a foreign file stands in the way; each report is whole then.
    """

    def __init__(self, to: Path, *, notes: Path | None = None, wait: float = 30.0) -> None:
        self._said = to
        self._notes = notes
        self._wait = wait
        self._to = Path(os.path.realpath(to))
        self._hidden = f".{self._to.name}.reportgen"
        self._journal = swap.Journal(self._to.parent / self._hidden)
        self._work = Path()
        self._kept: set[str] = set()
        self._index: tuple[str, ...] = ()
        self._made: list[Path] = []

    def __enter__(self) -> Staging:
        with self.told():
            self._refuse_place()
            try:
                self._begin()
            except BaseException:
                self._end()
                raise
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        with self.told():
            self._end()

    def report(self, folder: str, files: Mapping[str, bytes]) -> None:
        """Stage one report: files by their name inside `folder`; "" is the packet's own folder."""
        self._refuse_report(folder, PAGE in files)
        with self.told():
            swap.write(self._vacant(folder), files.items())

    def room(self, name: str) -> Path:
        """Give a path in the hidden folder to which one report may be written, by a worker too."""
        return self._work / "rooms" / name

    def take(self, room: Path, folder: str) -> None:
        """Stage the report that `swap.write` has put into a room; folder: as in `report`."""
        self._refuse_report(folder, (room / PAGE).is_file())
        with self.told():
            room.rename(self._vacant(folder))

    def _refuse_report(self, folder: str, whole: bool) -> None:
        if folder:
            check_names([folder])
        if "/" in folder or not whole:
            raise PacketError(
                f"{folder or self._said} is no report with a page: this is a mistake in reportgen"
            )

    def _vacant(self, folder: str) -> Path:
        new = self._work / "new" / folder
        if folder and new.exists():
            raise PacketError(f"two reports are to stand in {folder}: give one of them another number")
        return new

    def keep(self, folder: str, *, sure: bool = False) -> None:
        """Leave a report's folder as it is, because nothing in its notes has changed.

        sure: whether somebody has seen already that a report stands there.
        """
        if not sure and read_sums(self._to / folder) is None:
            raise PacketError(f"{folder} holds no report to keep: publish with --fresh")
        self._kept.add(folder)

    @property
    def before(self) -> swap.Contents:
        """Give what the record says of the last publishing."""
        return self._journal.contents

    @property
    def broken(self) -> bool:
        """Tell whether the record can't be read."""
        return self._journal.broken

    def remembered(self, name: str) -> object:
        """Give what `remember` kept in the record under a name; a stranger may have edited it."""
        return self._journal.kept(name)

    def remember(self, **kept: object) -> None:
        """Keep more in the record beside the packet: names and digests, no values."""
        with self.told():
            self._journal.write(self._journal.contents, self._work, **kept)

    def index(self, files: Iterable[tuple[str, swap.Data]]) -> None:
        """Stage the files of a site's index, each as it comes; they stand beside its reports' folders."""
        with self.told():
            names = swap.write(self._work / "new", files)
        if PAGE not in names:
            raise PacketError("a site's index has no page: this is a mistake in reportgen")
        self._index = (*sorted(names - {SIGNATURE}), *sorted({SIGNATURE} & names), SUMS)

    def sign(self, signer: Callable[[Sequence[Path]], object]) -> None:
        """Have every list of sums that was staged signed; `signer` puts a signature beside each."""
        with self.told():
            new = self._work / "new"
            lists = sorted([*new.glob(SUMS), *new.glob(f"*/{SUMS}")])
            signer(lists)
            for path in lists:
                path.with_name(SIGNATURE).chmod(0o644)
        if self._index and SIGNATURE not in self._index:
            self._index = (*self._index[:-1], SIGNATURE, SUMS)

    def publish(self) -> Written:
        """Put all that was staged in its place, take away reports that are gone, and say what was done."""
        with self.told():
            staged = self._staged()
            if not (staged or self._kept or self._index):
                raise PacketError("nothing was staged to publish: this is a mistake in reportgen")
            if not os.path.lexists(self._to):
                return self._first(staged)
            return self._next(staged)

    # -- the place

    def _refuse_place(self) -> None:
        to, said = self._to, self._said
        if not to.name:
            raise PacketError(f"{said} can't be a packet: name a folder in it")
        if os.path.lexists(to) and not to.is_dir():
            raise PacketError(f"{said} is a file, not a folder: choose another name")
        if to.is_mount():
            raise PacketError(f"{said} is a disk of its own: name a folder inside it")
        if self._notes is not None:
            notes = Path(os.path.realpath(self._notes))
            if notes.is_relative_to(to):
                raise PacketError(f"the notes lie in {said}: choose a folder outside for the packet")
            if notes.is_dir() and to.is_relative_to(notes):
                raise PacketError(f"{said} lies among the notes: choose a folder outside for the packet")
        for above in to.parents:
            if (above.parent / f".{above.name}.reportgen").exists() and read_sums(above) is not None:
                raise PacketError(f"{said} lies inside the packet {above.name}: choose a folder outside")

    def _begin(self) -> None:
        parent = self._to.parent
        self._made = [above for above in (parent, *parent.parents) if not above.exists()]
        parent.mkdir(parents=True, exist_ok=True)
        self._journal.open(self._wait, self._who_holds_it)
        for left in self._working_folders():
            swap.recover(left, self._to, self._journal.contents.index)
            swap.remove(left)
        self._work = Path(tempfile.mkdtemp(prefix=f"{self._hidden}-new-{os.getpid()}-", dir=parent))
        (self._work / "new").mkdir()
        (self._work / "rooms").mkdir()
        (self._work / "new").chmod(0o755)

    def _end(self) -> None:
        """Leave nothing behind but the packet and its record; what was moved and not replaced goes back."""
        try:
            if self._work != Path():
                swap.recover(self._work, self._to, self._journal.contents.index)
                swap.remove(self._work)
        finally:
            absent = not os.path.lexists(self._to)
            self._journal.close(forget=absent)
        for folder in self._made if absent else ():
            with contextlib.suppress(OSError):
                folder.rmdir()

    def _working_folders(self) -> list[Path]:
        begin = f"{self._hidden}-new-"
        return sorted(p for p in self._to.parent.iterdir() if p.name.startswith(begin) and p.is_dir())

    def _who_holds_it(self) -> str:
        numbers = [p.name.removeprefix(f"{self._hidden}-new-").split("-")[0] for p in self._working_folders()]
        who = f"process {numbers[-1]}" if numbers else "another process"
        return f"{self._said} is being published by {who}: wait until it is done"

    @contextlib.contextmanager
    def told(self) -> Iterator[None]:
        """Tell the system's errors in words that say what to do."""
        try:
            yield
        except OSError as error:
            reason = NOT_WRITTEN.get(error.errno or 0, f"the system says: {error.strerror or error}")
            raise PacketError(f"{self._said} can't be written: {reason}") from error

    # -- publishing

    def _staged(self) -> tuple[str, ...]:
        """Give the report folders that were staged, as the disk has them: workers may have staged some."""
        new = self._work / "new"
        if not self._index and (new / PAGE).exists():
            return ("",)
        mine = {name.split("/")[0] for name in self._index}
        found = sorted(p.name for p in new.iterdir() if p.is_dir() and p.name not in mine)
        check_names([*found, *self._kept, *self._index])
        return tuple(found)

    def _first(self, staged: tuple[str, ...]) -> Written:
        """Publish where nothing stands yet: everything appears at once."""
        swap.flush(self._work)
        self._record(staged, self._index)
        (self._work / "new").rename(self._to)
        swap.flush_names(self._to.parent)
        return Written(staged, (), (), True)

    def _next(self, staged: tuple[str, ...]) -> Written:
        """Bring a packet that stands forward: reports first, then the index, then what is gone."""
        before = self._journal.contents
        gone = sorted(set(before.folders) - set(staged) - self._kept - {""})
        if staged == ("",):
            changes, ends = [self._change_of_whole(gone)], []
        else:
            changes = [self._change(name, self._work / "new" / name) for name in staged]
            ends = [change for change in map(self._change_of_gone, gone) if change]
        stale = self._stale((*staged, *self._kept, *gone)) if self._index else ()
        swap.flush(self._work)
        folders, touched = {*staged, *self._kept}, [change.name for change in (*changes, *ends)]
        index = self._index or (() if staged == ("",) else before.index)
        self._record(folders.union(before.folders), {*before.index, *index}, touched)
        one_step = [_make(change) for change in changes]
        if self._index:
            swap.replace_files(self._work, self._to, self._index, stale)
        one_step += [_make(change) for change in ends]
        self._record(folders, index)
        swap.flush_names(self._to)
        swap.flush_names(self._to.parent)
        left = [joined(change.name, name) for change in (*changes, *ends) for name in change.foreign]
        removed = gone if staged == ("",) else [change.name for change in ends]
        return Written(staged, tuple(removed), tuple(sorted(map(shown, left))), all(one_step))

    def _record(self, folders: Iterable[str], index: Iterable[str], swapping: Iterable[str] = ()) -> None:
        self._journal.write(swap.Contents(tuple(folders), tuple(index), tuple(swapping)), self._work)

    def _change(self, name: str, new: Path) -> _Change:
        old = self._to / name
        if not os.path.lexists(old):
            return _Change(name, new, old, self._work / "aside" / name, frozenset(), ())
        if old.is_symlink() or not old.is_dir():
            raise self._in_the_way([name])
        owned = self._owned(name) | names_below(name, self._owned(""))
        return self._carried(_Change(name, new, old, self._work / "aside" / name, owned, ()))

    def _change_of_whole(self, gone: Iterable[str]) -> _Change:
        """Plan the report that is the packet itself; folders of an earlier site go with the old one."""
        owned = set(self._owned(""))
        for name in gone:
            owned |= {joined(name, file) for file in self._owned(name)}
        whole = _Change("", self._work / "new", self._to, self._work / "aside-whole", frozenset(owned), ())
        return self._carried(whole)

    def _change_of_gone(self, name: str) -> _Change | None:
        """Plan what is left of a report that is gone: its foreign files, or nothing at all."""
        old, rest = self._to / name, self._work / "rest" / name
        owned = self._owned(name)
        if old.is_symlink() or not owned:
            return None
        swap.make_folder(self._work, rest)
        return self._carried(_Change(name, rest, old, self._work / "aside" / name, owned, ()))

    def _carried(self, change: _Change) -> _Change:
        """Carry foreign files over into the new folder, or refuse if one stands where ours should."""
        found = foreign(change.old, change.owned)
        if len(found) > MOST_FOREIGN:
            raise PacketError(
                f"{self._said} holds more than {MOST_FOREIGN} files that reportgen did not write: "
                "choose a folder of its own"
            )
        ours = swap.files_below(change.new)
        clash = clashes(ours, found)
        if clash:
            raise self._in_the_way([joined(change.name, name) for name in clash])
        swap.carry(change.old, change.new, found)
        return _Change(
            change.name, change.new, change.old, change.aside, change.owned | set(ours), tuple(found)
        )

    def _stale(self, folders: Iterable[str]) -> tuple[str, ...]:
        """Give index files of the last time that are no more; refuse if a foreign file stands in the way."""
        owned = self._owned("")
        below = tuple(f"{name}/" for name in folders)
        blocked = [name for name in self._index if name not in owned and os.path.lexists(self._to / name)]
        blocked += [
            str(above)
            for name in self._index
            for above in list(Path(name).parents)[:-1]
            if (self._to / above).is_symlink() or (self._to / above).is_file()
        ]
        blocked += [name for name in self._index if (self._to / name).is_dir()]
        if blocked:
            raise self._in_the_way(sorted(set(blocked)))
        gone = owned - set(self._index)
        return tuple(sorted(n for n in gone if not n.startswith(below) and _is_file(self._to / n)))

    def _owned(self, name: str) -> frozenset[str]:
        """Give the files of a folder that reportgen wrote, by its sums; none if the sums aren't ours."""
        listed = read_sums(self._to / name)
        if listed is None or PAGE not in listed:
            return frozenset()
        return frozenset({*listed, SUMS, SIGNATURE})

    def _in_the_way(self, names: list[str]) -> PacketError:
        more = f" and {len(names) - 3} more" if len(names) > 3 else ""
        what = ", ".join(shown(name) for name in names[:3])
        return PacketError(
            f"in {self._said} stands what reportgen did not write, where the packet should go: {what}{more}: "
            "choose another folder"
        )


def _make(change: _Change) -> bool:
    """Make one change; give False if it took two steps."""
    if change.new.parent.name == "rest" and not any(change.new.iterdir()):
        change.new.rmdir()
        change.old.rename(change.new)  # nothing of it stays
        return True
    old = swap.put_in_place(change.new, change.old, change.aside)
    if old is not None:
        # what came into the old folder while the new one was being made
        swap.carry(old, change.old, foreign(old, change.owned))
    return old != change.aside


def _is_file(path: Path) -> bool:
    return path.is_symlink() or path.is_file()
