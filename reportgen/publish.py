"""From notes to a published packet, step by step: read this first."""

from __future__ import annotations

import dataclasses
import datetime
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from reportgen import (
    feed,
    making,
    notes,
    ownedition,
    owntheme,
    packet,
    plainpages,
    racks,
    record,
    report,
    reportlist,
    signing,
    siteindex,
    theme,
    wording,
    workers,
)
from reportgen.edition import Edition
from reportgen.errors import (
    NotesError,
    PacketError,
    Place,
    Problem,
    Problems,
    ThemeError,
    UsageError,
    nearest,
)
from reportgen.making import Done, Task, Wish
from reportgen.model import Survey
from reportgen.pages import Entry
from reportgen.plainpages import PlainPage
from reportgen.record import Made, Record
from reportgen.report import Report
from reportgen.sending import Sent
from reportgen.swap import Data

__all__ = ["Published", "Wish", "check", "edition_named", "publish", "theme_named"]

MOST_TOLD = 1_000  # warnings
Progress = Callable[[int, int, str], None]


@dataclass(frozen=True)
class Published:
    """What a publishing has done: an entry a report that was made, warnings, and what the writer did.

    unchanged: how many reports stand as they were. ignored: whether the record could not be read.
    untold: how many warnings there are beyond the first thousand.
    fingerprints: of each packet, by its folder in the site. signers: the line by which a reader can check
    the signature, empty if nothing was signed. sent: one files and PDFs of each report, by its folder.
    """

    entries: tuple[Entry, ...]
    warnings: tuple[Problem, ...]
    written: packet.Written
    fingerprints: Mapping[str, str] = field(default_factory=dict)
    signers: str = ""
    sent: Mapping[str, tuple[Sent, ...]] = field(default_factory=dict)
    unchanged: int = 0
    ignored: bool = False
    untold: int = 0


def edition_named(name: str, source: Path | None = None) -> Edition:
    """Give an edition by name: one of ours, or the user's own whose file lies beside the notes.

    Raises UsageError that names the nearest, NotesError with what is wrong with the user's file.
    """
    known: Mapping[str, Edition] = racks.all_of("editions", "EDITION")
    if name in known:
        return known[name]
    own = ownedition.files(_beside(source)) if source else {}
    if name not in own:
        near = nearest(name, [*known, *own])
        raise UsageError(f"no edition is called {name!r}; write {near or ', '.join([*known, *own])}")
    problems = Problems()
    made = ownedition.read(own[name], problems)
    if made is None:
        raise NotesError(problems)
    return made


def theme_named(name: str, source: Path) -> theme.Theme:
    """Give a theme by name: one of ours, or the user's own whose folder lies beside the notes.

    Raises ThemeError that names the nearest, NotesError with what is wrong with the user's own.
    """
    own = owntheme.folders(_beside(source))
    if name in theme.names():
        return theme.find(name)
    if name not in own:
        known = [*theme.names(), *own]
        raise ThemeError(f"no theme is called {name!r}; write {nearest(name, known) or ', '.join(known)}")
    problems = Problems()
    made = owntheme.read(own[name], problems)
    if made is None:
        raise NotesError(problems)
    return made


def _beside(source: Path) -> Path:
    """Give the folder in which the user's own editions lie: that of the notes that were named."""
    return source if source.is_dir() else source.parent


def publish(
    source: Path, to: Path, wish: Wish, progress: Progress = lambda done, of, name: None
) -> Published:
    """Publish a survey, or a folder of surveys as a site with an index, into the folder `to`.

    Raises NotesError with every problem of every survey, ThemeError or PacketError; the old packet is
    whole then.
    """
    wish.forms.check()
    found, many = notes.find(source)
    many = many or bool(plainpages.apart(found)[1])
    if not many:
        _refuse_site(to)
    if wish.key is not None:
        signing.ready(wish.key)
    with packet.Staging(to, notes=source) as staging:
        run = _Run(to, wish, many, staging)
        run.look(found)
        found, plain = plainpages.apart(found, run.standing)
        run.read_guides(plain, source)
        left = run.keep(found)
        del found  # of ten thousand paths, each goes as soon as its report is made
        run.make(left, progress)
        if any(problem.level == "error" for problem in run.told):
            raise NotesError(run.told)
        run.index()
        signers = _signed(staging, wish.key, run.emails - {""}) if wish.key and run.changes else ""
        written = staging.publish() if run.changes else packet.Written((), (), (), True)
        run.remember()
    return Published(
        entries=tuple(run.entries),
        warnings=tuple(run.told),
        written=written,
        fingerprints=run.fingerprints,
        signers=signers,
        sent=run.sent,
        unchanged=len(run.kept),
        untold=run.untold,
        ignored=staging.broken or run.record.broken,
    )


class _Run:
    """One publishing: which reports stand as they were, which are made, and what came of it."""

    def __init__(self, to: Path, wish: Wish, many: bool, staging: packet.Staging) -> None:
        self.to, self.wish, self.many, self.staging = to, wish, many, staging
        self.record = Record(staging.remembered("made"), record.common(_shared(wish)), fresh=wish.fresh)
        self.standing: dict[Path, Made] = {}
        self.kept: dict[str, Path] = {}
        self.entries: list[Entry] = []
        self.told: list[Problem] = []
        self.sent: dict[str, tuple[Sent, ...]] = {}
        self.fingerprints: dict[str, str] = {}
        self.emails: set[str] = set()
        self.changes = self._guides_changed = False
        self.untold = 0
        self.guides: dict[str, tuple[PlainPage, ...]] = {}
        self._folders: dict[str, str] = {}
        self._rows: dict[str, Made] = {}

    def look(self, found: Iterable[Path]) -> None:
        """Find the surveys whose reports stand as they were made."""
        made = ((path, self.record.standing(path.name, path, self.to)) for path in found)
        self.standing = {path: row for path, row in made if row is not None}

    def read_guides(self, paths: Iterable[Path], source: Path) -> None:
        """Read the folders of plain pages, by their folder in the site; mistakes are told."""
        rows = {}
        for path in paths:
            problems = Problems()
            folder = plainpages.folder_of(path) if path != source else ""
            pages = plainpages.read(path, problems)
            self.told += problems
            if pages:
                self.guides[folder], self._folders[folder] = pages, path.name
            # a slash, which no survey's name can have
            read = self.record.salted.read(path)
            content = read.content if read else ""
            rows[f"{path.name}/"] = Made(folder, "", content, "", content, (), {})
        known = {name for name in self.record.names if name.endswith("/")}
        same = known == rows.keys() and all(self.record.known(n) == row for n, row in rows.items())
        self._guides_changed = not same
        self.changes = self._guides_changed
        self._rows |= rows

    def keep(self, found: Iterable[Path]) -> deque[Path]:
        """Leave the reports whose surveys have not changed as they stand, and give all other surveys."""
        for path in found:
            made = self.standing.get(path)
            if made is None or bool(made.folder) != self.many:
                continue
            if made.folder in self.kept or made.folder in self._folders:
                continue  # the second of one name is made again, so that the mistake is told
            self.kept[made.folder] = path
            self._rows[path.name] = made
        if self.many and not self.record.index_stands(self.to, self.staging.before.index):
            self._rows = {n: row for n, row in self._rows.items() if n.endswith("/")}
            self.kept, self.changes = {}, True  # the list of reports can't be made without it
        for folder in self.kept:
            self.staging.keep(folder, sure=True)
        kept = set(self.kept.values())
        return deque(path for path in found if path not in kept)

    def make(self, left: deque[Path], progress: Progress) -> None:
        """Make the reports of the surveys that are left, several at once where that pays."""
        of = len(left)
        threads = workers.threads(of, self.wish.jobs)
        tasks = (self._task(number, left.popleft(), threads) for number in range(of))
        with workers.Workers(self.wish.jobs, self.wish.cluster, of) as crew, self.staging.told():
            for number, (task, done) in enumerate(crew.each(making.done, tasks)):
                progress(number, of, task.path.name)
                self._take(number, task.path, done)
        progress(of, of, "")
        self.changes |= bool(of or set(self.staging.before.folders) - self.kept.keys())

    def _task(self, number: int, path: Path, threads: int) -> Task:
        known, salt = self.record.known(path.name), self.record.salted.salt
        return Task(path, self._room(number), self.wish, self.many, salt, known, self.to, threads)

    def _room(self, number: int) -> Path:
        return self.staging.room(f"{number:06d}")

    def _take(self, number: int, path: Path, done: Done) -> None:
        """Take over what came of one survey."""
        for problem in done.told:
            # ten thousand surveys have more warnings than anybody reads, or than there is room for
            if problem.level == "error" or len(self.told) < MOST_TOLD:
                self.told.append(problem)
            else:
                self.untold += 1
        if done.entry is None:
            return
        folder, problems = done.entry.folder, Problems()
        if folder in self._folders or folder in self.kept:
            other = path.with_name(self._folders.get(folder) or self.kept[folder].name)
            problems.error(
                Place(str(path)),
                f"its report would stand in the same folder as that of {other}",
                "rename one of the two",
            )
            self.told += problems
            return
        self._folders[folder] = path.name
        room = self._room(number)
        if done.made is not None:
            self._rows[path.name] = done.made._replace(sums=self.record.salted.list_of_sums(room))
        self.staging.take(room, folder)
        self.entries.append(reportlist.shared(done.entry))
        self.emails.add(done.email)
        if done.sent:
            self.sent[folder] = done.sent
        self.fingerprints[folder] = done.fingerprint

    def index(self) -> None:
        """Make the list of a site's reports, if anything in it has changed."""
        if not self.many or not self.changes:
            return
        stored = reportlist.read(self.to / reportlist.FILE) if self.kept else {}
        if not stored.keys() >= self.kept.keys():
            raise PacketError(f"{self.to / reportlist.FILE} does not list all reports: publish with --fresh")
        every = [*(stored[folder] for folder in self.kept), *self.entries]
        if stored == {entry.folder: entry for entry in every} and not self._guides_changed:
            return
        every.sort(key=lambda entry: entry.folder)
        # in the language that all reports share
        spoken = {entry.language for entry in every}
        with wording.speaking(self.wish.language or (spoken.pop() if len(spoken) == 1 else "en")):
            self.staging.index(_index(every, self.guides, self.wish))

    def remember(self) -> None:
        """Keep in the record what each report was made from."""
        for name, made in self._rows.items():
            if made.folder in self.fingerprints and self.wish.key:  # a signature has come beside the list
                sums = self.record.salted.list_of_sums(self.to / made.folder)
                self._rows[name] = made._replace(sums=sums)
        self.record.remember(self._rows)
        if self.changes or self.record.changed:
            self.staging.remember(made=self.record.written(self.to, self.staging.before.index))


def _shared(wish: Wish) -> dict[str, object]:
    """Give what all reports are made with beside the notes; a new option counts by itself."""
    how_only = ("fresh", "jobs", "cluster")
    shared = {f.name: getattr(wish, f.name) for f in dataclasses.fields(wish) if f.name not in how_only}
    if wish.key is not None:  # another key may have come to stand there
        public = wish.key.with_name(f"{wish.key.name}.pub")
        shared["signer"] = public.read_bytes() if public.is_file() else wish.key.stat().st_mtime_ns
    return shared


def _index(
    entries: Sequence[Entry], guides: Mapping[str, tuple[PlainPage, ...]], wish: Wish
) -> Iterator[tuple[str, Data]]:
    """Give all files of a site that belong to no report, one by one: its lists, its feed, its plain pages."""
    beside = {f"{folder}/" if folder else "": plain for folder, plain in guides.items()}
    titles = [(f"{folder}{plain[0].file}", plain[0].title) for folder, plain in beside.items()]
    told = feed.made(entries, wish.edition, wish.base)
    if told:
        yield feed.FILE, told
    # a folder of plain pages alone is its own first page
    if "" not in beside:
        yield from siteindex.made(entries, wish.edition, wish.theme, titles, feed.FILE if told else "")
    for folder, plain in beside.items():
        home = "../index.html" if folder else ""
        for page in plainpages.pages(plain, wish.edition, home):
            yield f"{folder}{page.file}", theme.render(page, wish.theme)
    if entries:
        yield reportlist.FILE, reportlist.lines(entries)


def _signed(staging: packet.Staging, key: Path, emails: set[str]) -> str:
    """Sign what was staged and give the line that a reader's file of signers needs."""
    made: list[signing.Signature] = []
    staging.sign(lambda lists: made.append(signing.sign(lists, key)))
    # an edition may hide the surveyor's address, which its owner then puts in
    whose = emails.pop() if len(emails) == 1 else "YOUR-E-MAIL"
    return f'{whose} namespaces="{signing.NAMESPACE}" {made[0].public_line}'


def _refuse_site(to: Path) -> None:
    """Keep one report from being published over a site of several, which would take them away."""
    others = [p.parent.name for p in sorted(to.glob("*/report.json"))] if to.is_dir() else []
    if others:
        names = ", ".join(others)
        raise PacketError(
            f"{to} is a site with the reports {names}: publish one report to a folder of its own"
        )


def check(source: Path, problems: Problems, today: datetime.date | None = None) -> tuple[Survey, ...]:
    """Read and compute every survey without writing anything; problems get all there is to tell."""
    return tuple(survey for survey, _ in reviewed(source, problems, today))


def reviewed(
    source: Path, problems: Problems, today: datetime.date | None = None
) -> Iterator[tuple[Survey, Report]]:
    """Give every survey with its whole report, one by one; problems get all there is to tell."""
    found, _ = notes.find(source)
    found, plain = plainpages.apart(found)
    for path in plain:
        plainpages.read(path, problems)
    for folder in dict.fromkeys(_beside(path) for path in (source, *found)):
        for file in ownedition.files(folder).values():
            ownedition.read(file, problems)
        for own in owntheme.folders(folder).values():
            owntheme.read(own, problems)
    for path in found:
        survey = notes.read(path, problems)
        if survey is not None:
            yield survey, report.build(survey, problems, today)
