"""Makes one survey into the files of its report, here, in another process or on another machine."""

from __future__ import annotations

import datetime
import gc
import hashlib
import itertools
import os
import sys
from collections.abc import Mapping
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, fields, replace
from functools import cache
from pathlib import Path
from typing import Any

from reportgen import (
    asjson,
    edition,
    notes,
    owntheme,
    pages,
    photonames,
    photos,
    proof,
    report,
    sending,
    spreadsheet,
    standing,
    swap,
    theme,
    wording,
)
from reportgen.block import Blur, Mark, PhotoNote
from reportgen.edition import Edition
from reportgen.errors import PhotoError, Problem, Problems, ThemeError
from reportgen.model import Survey
from reportgen.pages import Entry
from reportgen.photos import PublishedPhoto
from reportgen.record import Made, Read, Salted
from reportgen.report import Report
from reportgen.sending import Forms, Sent
from reportgen.sums import read_sums

# what outlives its survey in circles would otherwise lie about until it fills megabytes [surveys]
_SWEEP = 50
_count = itertools.count(1)
_TURN = 0.0005  # how long a thread may keep the others waiting while photos are made [s]


@dataclass(frozen=True)
class Wish:
    """What the user asked for.

    today: the day to count on, None for the notes' own. charts: drawn or not. key: the SSH key to sign with,
    None for no signature. forms: what is made beside the pages. fresh: make all anew, whatever the record
    says. jobs: how many surveys are worked on at once, 0 for as many as pay. cluster: address of a Dask
    scheduler that has the work done, "" for this machine. language, units: instead of the notes' own, "" for
    theirs. base: address at which the site will stand, for its feed; "" if not said.
    """

    edition: Edition
    theme: theme.Theme
    today: datetime.date | None = None
    charts: bool = True
    key: Path | None = None
    forms: Forms = Forms()
    language: str = ""
    units: str = ""
    base: str = ""
    fresh: bool = False
    jobs: int = 0
    cluster: str = ""

    def __reduce__(self) -> tuple[object, ...]:
        """Let another process find the theme for itself, since templates can't be sent."""
        said = {f.name: getattr(self, f.name) for f in fields(self) if f.name != "theme"}
        return _again, (said, self.theme.name, self.theme.own)


def _again(said: Mapping[str, Any], name: str, own: Path | None) -> Wish:
    return Wish(theme=_theme(name, own), **said)


@cache
def _theme(name: str, own: Path | None) -> theme.Theme:
    found = owntheme.read(own, Problems()) if own else theme.find(name)
    if found is None:
        raise ThemeError(f"{own} can't be read any longer")
    return found


@dataclass(frozen=True)
class Task:
    """One survey to be made into a report.

    room: folder to write it to. known: what is remembered of its last report, which stands in `packet`.
    salt: of the record. threads: how many photos are worked on at once. many: whether it is one of a site's.
    """

    path: Path
    room: Path
    wish: Wish
    many: bool
    salt: str
    known: Made | None
    packet: Path
    threads: int


@dataclass(frozen=True)
class Done:
    """What has become of a task; no entry where the notes are at fault, no made where it can't be told."""

    told: tuple[Problem, ...]
    entry: Entry | None = None
    made: Made | None = None
    email: str = ""
    sent: tuple[Sent, ...] = ()
    fingerprint: str = ""


def done(task: Task) -> Done:
    """Do a task: read the survey, compute its report, and write what its edition shows into the room."""
    made = _done(task)
    if task.many:  # hardly anything of the survey is in use any longer: its rubbish is found at once
        gc.collect(2 if next(_count) % _SWEEP == 0 else 1)
    return made


def _done(task: Task) -> Done:
    salted, problems, wish = Salted(task.salt), Problems(), task.wish
    before = salted.read(task.path)
    survey = notes.read(task.path, problems)
    if survey is None:
        return Done(tuple(problems))
    survey = replace(survey, cover=survey.cover.spoken(wish.language, wish.units))
    with wording.speaking(survey.cover.language, survey.cover.units, survey.cover.notes_language):
        return _made(task, survey, problems, before)


def _made(task: Task, survey: Survey, problems: Problems, before: Read | None) -> Done:
    """Make a survey's report in the language that is spoken now."""
    salted, wish = Salted(task.salt), task.wish
    used = _Pictures(task, before, salted)
    try:
        if not problems.errors:
            used.begin(survey)
        whole = report.build(survey, problems, wish.today)
        shown = None if problems.errors else edition.view(whole, wish.edition, problems)
        if shown is None or problems.errors:
            return Done(tuple(problems))
        made = files(shown, wish, problems, used)
    finally:
        used.end()
    folder = shown.slug if task.many else ""
    if problems.errors:
        return Done(tuple(problems))
    more, sent = sending.made(shown, wish.edition.name, made, wish.forms, wish.theme)
    swap.write(task.room, (made | more).items())
    outside = _outside(task.path, survey.earlier.file if survey.earlier else None, shown)
    if outside:
        before = salted.read(task.path, outside)
    row = before and Made(folder, before.seen, before.content, "", "", outside, used.keys)
    return Done(
        tuple(problems),
        pages.entry(shown, wish.edition, folder),
        row or None,
        standing.email_of(shown.cover.people.surveyor.contact),
        sent,
        proof.fingerprint_of(task.room),
    )


def _outside(path: Path, followed: Path | None, shown: Report) -> tuple[str, ...]:
    """Give the files outside the survey's folder that the report rests on, as seen from there."""
    folder = path.parent if path.is_file() else path
    real = Path(os.path.realpath(folder))
    used = [*([followed] if followed else []), *(file.path for file in shown.photo_files.values())]
    away = {p for p in used if not Path(os.path.realpath(p)).is_relative_to(real)}
    return tuple(sorted(os.path.relpath(p, folder) for p in away))


@dataclass(frozen=True)
class _Drawn:
    """What a published photo is made from."""

    path: Path
    blur: tuple[Blur, ...]
    mark: tuple[Mark, ...]


def _drawn(note: PhotoNote, path: Path) -> _Drawn:
    return _Drawn(path, note.blur, note.mark)


def _shown(shown: Report) -> dict[str, PhotoNote]:
    return {note.name: note for note in report.photos_of(shown)}


class _Pictures:
    """Publishes the photos of one report, or takes them from the last packet if nothing in them changed."""

    def __init__(self, task: Task, before: Read | None, salted: Salted) -> None:
        self._folder, self._threads, self._salted = task.packet, task.threads, salted
        self._sums = before.sums if before else {}
        self._known: dict[str, str] = {}
        self.keys: dict[str, str] = {}
        self._listed: Mapping[str, str] = {}
        self._pool: ThreadPoolExecutor | None = None
        self._turn = sys.getswitchinterval()
        self._begun: dict[_Drawn, Future[PublishedPhoto]] = {}
        if task.known and not task.wish.fresh:
            self._folder = task.packet / task.known.folder
            self._known = dict(task.known.photos)
            if self._known and salted.list_of_sums(self._folder) == task.known.sums:
                self._listed = read_sums(self._folder) or {}

    def begin(self, survey: Survey) -> None:
        """Begin with all photos of a survey, so that they are worked on while its report is computed."""
        named, found = photonames.renamed(survey)
        for note in photonames.listed(named):
            self._submit(note, found[note.name].path)

    def foreseen(self, shown: Report, problems: Problems) -> dict[str, PublishedPhoto]:
        """Tell what the photos of an edition will be, and let the others alone that were begun."""
        wanted = {name: _drawn(note, shown.photo_files[name].path) for name, note in _shown(shown).items()}
        for other in self._begun.keys() - set(wanted.values()):
            self._begun.pop(other).cancel()
        for name, note in _shown(shown).items():
            self._submit(note, wanted[name].path)
        found = {}
        for name, drawn in wanted.items():
            try:
                found[name] = photos.foreseen(drawn.path, self._sums.get(os.path.realpath(drawn.path), ""))
            except PhotoError as error:
                problems.error(shown.photo_files[name].place, error.found, error.write)
        return found

    def made(self, shown: Report, problems: Problems) -> dict[str, PublishedPhoto]:
        """Give the photos of an edition when they are done."""
        found: dict[str, PublishedPhoto] = {}
        for name, note in _shown(shown).items():
            file = shown.photo_files[name]
            try:
                found[name] = self._begun[_drawn(note, file.path)].result()
            except PhotoError as error:
                problems.error(file.place, error.found, error.write)
                continue
            key = self._key(file.path, note)
            if key:
                self.keys[key] = name
        return found

    def end(self) -> None:
        """Let no photo be worked on any longer."""
        if self._pool is not None:
            self._pool.shutdown(cancel_futures=True)
            sys.setswitchinterval(self._turn)
            photos.keep_room(0)

    def _submit(self, note: PhotoNote, path: Path) -> None:
        drawn = _drawn(note, path)
        if drawn in self._begun:
            return
        if self._pool is None:
            # Pillow lets go of the interpreter while it works, so threads are enough; what they do between
            # takes microseconds, for which they should not wait until the report's 5 ms are over
            sys.setswitchinterval(_TURN)
            photos.keep_room(2 * self._threads)
            self._pool = ThreadPoolExecutor(self._threads)
        self._begun[drawn] = self._pool.submit(self._one, path, note)

    def _one(self, path: Path, note: PhotoNote) -> PublishedPhoto:
        key = self._key(path, note)
        again = self._again(self._known.get(key, ""), path) if key else None
        return again or photos.publish(path, note)

    def _key(self, path: Path, note: PhotoNote) -> str:
        """Give the digest of what a published photo is made from; "" if that can't be told."""
        sum_ = self._sums.get(os.path.realpath(path))
        return self._salted.of(sum_, repr((note.blur, note.mark)), photos.version()) if sum_ else ""

    def _again(self, name: str, path: Path) -> PublishedPhoto | None:
        """Give a photo as the last packet has it; None if it is not there as it was."""
        copies = []
        for file in (f"photos/{name}.jpg", f"photos/{name}-small.jpg"):
            if file not in self._listed:
                return None
            try:
                data = (self._folder / file).read_bytes()
            except OSError:
                return None
            if hashlib.sha256(data).hexdigest() != self._listed[file]:
                return None
            copies.append(data)
        return photos.again(path, *copies)


def files(shown: Report, wish: Wish, problems: Problems, used: _Pictures) -> dict[str, bytes]:
    """Make every file of a report's packet; none where a photo can't be published."""
    expected = used.foreseen(shown, problems)
    if problems.errors:
        return {}
    placed = owntheme.arranged(wish.edition, wish.theme)
    parts = pages.drawn(shown, placed, wish.charts)
    # the pages need no more of a photo than its header tells, so that they are made meanwhile
    made = _paged(shown, wish, placed, parts, expected)
    pictures = used.made(shown, problems)
    if problems.errors:
        return {}
    if any(replace(picture, large=b"", small=b"") != expected[name] for name, picture in pictures.items()):
        made = _paged(shown, wish, placed, parts, pictures)
    return made | beside(shown, pictures)


def _paged(
    shown: Report, wish: Wish, placed: Edition, parts: pages.Parts, pictures: Mapping[str, PublishedPhoto]
) -> dict[str, bytes]:
    """Make the pages of a report and its data; to the public nothing is told of the photos' originals."""
    if wish.edition.public:
        pictures = {name: replace(p, original="", taken=None) for name, p in pictures.items()}
    data = asjson.document(shown, wish.edition, pictures)
    print_, text = asjson.published(data)
    sent = tuple(sending.names(shown, wish.edition.name, wish.forms).values())
    arranged = pages.arrange(shown, placed, pictures, print_, wish.charts, sent, parts)
    made = {page.file: theme.render(page, wish.theme) for page in arranged} | dict(wish.theme.files)
    made["report.json"] = text.encode("utf-8")
    return made


def beside(shown: Report, pictures: Mapping[str, PublishedPhoto]) -> dict[str, bytes]:
    """Give the files beside a report's pages that need no theme: sheets for a spreadsheet, and photos."""
    sheets = {"costs.csv": spreadsheet.costs(shown), "work-list.csv": spreadsheet.work(shown)}
    made = {name: sheet.encode("utf-8-sig") for name, sheet in sheets.items() if sheet is not None}
    for name, picture in pictures.items():
        made |= {f"photos/{name}.jpg": picture.large, f"photos/{name}-small.jpg": picture.small}
    return made
