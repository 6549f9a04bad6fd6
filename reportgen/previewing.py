"""Keeps a report up to date while its notes are written: only what changed is made anew."""

from __future__ import annotations

import datetime
import gc
import hashlib
import os
import re
import sys
import threading
import time
import traceback
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from pathlib import Path

from reportgen import (
    asjson,
    edition,
    making,
    notes,
    ownedition,
    owntheme,
    pages,
    photos,
    plainpages,
    report,
    siteindex,
    theme,
    wording,
)
from reportgen.block import PhotoNote
from reportgen.chart import Chart
from reportgen.edition import Edition
from reportgen.errors import NotesError, PhotoError, Place, Problem, Problems, ReportgenError, ThemeError
from reportgen.model import Survey
from reportgen.pages import Entry
from reportgen.photos import PublishedPhoto
from reportgen.plainpages import PlainPage
from reportgen.report import Report

KEPT = 512  # charts and photos that are kept, whichever were used last [-]
Made = Callable[[], bytes]

_THEME_PLACE = re.compile(r"(.+?):(\d+): (.*)", re.DOTALL)


@dataclass(frozen=True)
class Wish:
    """What the user asked for. today: the day to count on, None for the notes' own.

    language, units: instead of the notes' own, "" for theirs.
    """

    edition: Edition
    theme: theme.Theme
    today: datetime.date | None = None
    language: str = ""
    units: str = ""


@dataclass(frozen=True)
class File:
    """A file to be served. made: gives it; policy: the content policy of the theme it was made with."""

    made: Made
    policy: str

    @cached_property
    def data(self) -> bytes:
        """Give the file, made when it is first asked for."""
        return self.made()


@dataclass(frozen=True)
class State:
    """What a reader of the preview sees.

    version: counted up with each change. files: by their path below the preview's address.
    problems: of all notes. stale: the surveys that are shown as they last were, since mistakes stand in them.
    seconds: that the last change took to make [s].
    """

    version: int
    files: Mapping[str, File]
    problems: tuple[Problem, ...]
    stale: tuple[str, ...] = ()
    seconds: float = 0.0


@dataclass(frozen=True)
class _Survey:
    """One survey as last read. entry and files: of its last good report; none before there is one."""

    problems: tuple[Problem, ...]
    entry: Entry | None = None
    files: Mapping[str, File] | None = None
    good: bool = True


class Bench:
    """Makes the report anew when files change, and keeps all that a change leaves as it was.

    Photos are kept by their file's place, date and size, charts by what they show; nothing is written.
    """

    def __init__(self, source: Path, wish: Callable[[], Wish]) -> None:
        self._source, self._ask = source, wish
        self._surveys: dict[Path, _Survey] = {}
        self._guides: dict[str, tuple[PlainPage, ...]] = {}
        self._wish: Wish | None = None
        # what is wrong with the edition or theme, and with the folder as a whole
        self._own: tuple[Problem, ...] = ()
        self._lost: tuple[Problem, ...] = ()
        self._changed = threading.Condition()
        self._state = State(0, {}, ())
        self._photo = lru_cache(KEPT)(_photo)
        self._charts: dict[str, str] = {}

    @property
    def state(self) -> State:
        """Give what is to be shown now."""
        return self._state

    @property
    def tops(self) -> tuple[Path, ...]:
        """Give the folders to watch: that of the notes and those of the themes."""
        return (self._folder, theme.home())

    @property
    def _folder(self) -> Path:
        return self._source if self._source.is_dir() else self._source.parent

    def wait(self, version: int, seconds: float) -> State:
        """Wait until the state is another than `version`, for so long at most; give it in any case."""
        with self._changed:
            self._changed.wait_for(lambda: self._state.version != version, seconds)
        return self._state

    def let_go(self) -> None:
        """Wake whoever waits, though nothing changed: the preview ends."""
        with self._changed:
            self._state = replace(self._state, version=self._state.version + 1)
            self._changed.notify_all()

    def make(self, changed: Iterable[Path] | None = None) -> State:
        """Bring the state forward after these files changed; None makes everything."""
        began = time.perf_counter()
        # the collector would go through every note and chart several times, for a tenth of the time
        gc.disable()
        try:
            self._make(changed)
        finally:
            gc.enable()
        problems = Problems()
        told = {p for survey in self._surveys.values() for p in survey.problems}
        told |= {*self._own, *self._lost}
        state = State(
            self._state.version + 1,
            self._files(problems),
            tuple(sorted(told | set(problems))),
            tuple(path.name for path, survey in self._surveys.items() if not survey.good and survey.files),
            time.perf_counter() - began,
        )
        with self._changed:
            self._state = state
            self._changed.notify_all()
        return state

    def _make(self, changed: Iterable[Path] | None) -> None:
        files = None if changed is None else tuple(changed)
        if files is None or self._wish is None or any(map(self._touches_all, files)):
            files = None
            self._wish = self._wished()
        self._lost = ()
        try:
            found, _ = notes.find(self._source)
        except NotesError as error:
            self._lost, self._surveys = error.problems, {}
            return
        found, plain = plainpages.apart(found)
        self._read_guides(plain)
        known = self._surveys
        self._surveys = {path: known[path] for path in found if path in known}
        if self._wish is None:
            return
        for path in found:
            if files is None or path not in known or any(self._belongs(file, path) for file in files):
                self._surveys[path] = self._read(path, known.get(path), self._wish)
        self._surveys = {path: self._surveys[path] for path in found}

    def _read_guides(self, plain: Iterable[Path]) -> None:
        """Read the folders of plain pages; the last good ones stay where mistakes stand."""
        problems, known = Problems(), self._guides
        self._guides = {}
        for path in plain:
            folder = plainpages.folder_of(path) if path != self._source else ""
            read = plainpages.read(path, problems)
            kept = read or known.get(folder)
            if kept:
                self._guides[folder] = kept
        self._lost += tuple(problems)

    def _touches_all(self, file: Path) -> bool:
        own = {ownedition.FOLDER, owntheme.FOLDER} & set(file.parts)
        return bool(own) or file.is_relative_to(theme.home())

    def _belongs(self, file: Path, survey: Path) -> bool:
        return file.is_relative_to(survey if survey.is_dir() else survey.parent)

    def _wished(self) -> Wish | None:
        """Give the wish with the edition and the theme as they now stand; None where they can't be used."""
        theme.find.cache_clear()
        self._own = ()
        try:
            return self._ask()
        except NotesError as error:
            self._own = error.problems
        except ReportgenError as error:
            self._own = (_told(error, self._folder),)
        return None

    def _read(self, path: Path, before: _Survey | None, wish: Wish) -> _Survey:
        """Make one survey's files; where mistakes stand in the way, keep its last good ones."""
        problems, made = Problems(), None
        try:
            made = self._one(path, wish, problems)
        except NotesError as error:
            return self._kept(before, (*problems, *error.problems))
        except (ReportgenError, OSError) as error:
            return self._kept(before, (*problems, _told(error, path)))
        except Exception as error:  # noqa: BLE001 - a fault of ours must not end the writer's session
            traceback.print_exc(file=sys.stderr)
            return self._kept(before, (*problems, _told(error, path)))
        if made is None:
            return self._kept(before, tuple(problems))
        shown, entry, files = made
        folder = shown.slug if path != self._source else ""
        at = f"{folder}/" if folder else ""
        served = {f"{at}{name}": File(data, wish.theme.policy) for name, data in files.items()}
        return _Survey(tuple(problems), replace(entry, folder=folder), served)

    def _one(
        self, path: Path, wish: Wish, problems: Problems
    ) -> tuple[Report, Entry, dict[str, Made]] | None:
        """Make the files that publish would write for one survey; None where a mistake stands in the way."""
        survey = notes.read(path, problems)
        if survey is None:
            return None
        survey = replace(survey, cover=survey.cover.spoken(wish.language, wish.units))
        with wording.speaking(survey.cover.language, survey.cover.units, survey.cover.notes_language):
            return self._shown(survey, wish, problems)

    def _shown(
        self, survey: Survey, wish: Wish, problems: Problems
    ) -> tuple[Report, Entry, dict[str, Made]] | None:
        whole = report.build(survey, problems, wish.today)
        if problems.errors:
            return None
        shown = edition.view(whole, wish.edition, problems)
        pictures = self._pictures(shown, wish, problems)
        if problems.errors:
            return None
        data = asjson.document(shown, wish.edition, pictures)
        print_ = asjson.fingerprint(data)
        placed = owntheme.arranged(wish.edition, wish.theme)
        parts = pages.drawn(shown, placed, draw=self._kept_chart)
        arranged = pages.arrange(shown, placed, pictures, print_, parts=parts)
        files: dict[str, Made] = {page.file: _of(theme.render(page, wish.theme)) for page in arranged}
        plain = dict(wish.theme.files) | making.beside(shown, pictures)
        files |= {name: _of(file) for name, file in plain.items()}
        # what nobody looks at while writing is made when it is asked for
        files["report.json"] = lambda: asjson.text({**data, "fingerprint": print_}).encode("utf-8")
        return shown, pages.entry(shown, wish.edition, ""), files

    def _pictures(self, shown: Report, wish: Wish, problems: Problems) -> dict[str, PublishedPhoto]:
        """Make the photos that the edition shows, as publish does."""
        listed = {note.name: note for note in report.photos_of(shown)}
        files, made = shown.photo_files, {}
        with ThreadPoolExecutor(min(4, os.cpu_count() or 1)) as workers:
            tasks = {n: workers.submit(self._kept_photo, files[n].path, note) for n, note in listed.items()}
            for name, task in tasks.items():
                try:
                    picture = task.result()
                    hidden = wish.edition.public
                    made[name] = replace(picture, original="", taken=None) if hidden else picture
                except PhotoError as error:
                    problems.error(files[name].place, error.found, error.write)
        return made

    def _kept(self, before: _Survey | None, problems: tuple[Problem, ...]) -> _Survey:
        if before is None:
            return _Survey(problems, good=False)
        return replace(before, problems=problems, good=False)

    def _files(self, problems: Problems) -> dict[str, File]:
        """Give the files of all surveys, and an index if there are several."""
        files: dict[str, File] = {}
        for path, survey in self._surveys.items():
            mine = survey.files or {}
            if mine.keys() & files.keys():
                problems.error(
                    Place(str(path)), "its report would stand in the same folder as another", "rename it"
                )
                continue
            files |= mine
        entries = [s.entry for s in self._surveys.values() if s.entry]
        if self._wish and (entries or self._guides) and self._source not in self._surveys:
            try:
                # in the language that all reports share
                spoken = {entry.language for entry in entries}
                with wording.speaking(self._wish.language or (spoken.pop() if len(spoken) == 1 else "en")):
                    made = dict(self._site(entries, self._wish))
                files |= {name: File(_of(data), self._wish.theme.policy) for name, data in made.items()}
            except ThemeError as error:
                told = _told(error, self._folder)
                problems.error(told.place, told.found, told.write)
        return files

    def _site(self, entries: Sequence[Entry], wish: Wish) -> Iterator[tuple[str, bytes]]:
        """Give the pages that belong to no report: the lists of reports, and plain pages."""
        beside = {f"{folder}/" if folder else "": plain for folder, plain in self._guides.items()}
        titles = [(f"{folder}{plain[0].file}", plain[0].title) for folder, plain in beside.items()]
        if "" not in beside:
            yield from siteindex.made(entries, wish.edition, wish.theme, titles, "")
        for folder, plain in beside.items():
            for page in plainpages.pages(plain, wish.edition, "../index.html" if folder else ""):
                yield f"{folder}{page.file}", theme.render(page, wish.theme)

    def _kept_photo(self, path: Path, note: PhotoNote) -> PublishedPhoto:
        seen = path.stat()
        # nothing else of the note shows in the picture
        drawn = PhotoNote(note.photo, blur=note.blur, mark=note.mark)
        return self._photo(path, drawn, seen.st_mtime_ns, seen.st_size, seen.st_ino)

    def _kept_chart(self, chart: Chart, key: str) -> str:
        name = hashlib.sha256(f"{key} {chart!r}".encode()).hexdigest()
        # taken out and put in again, so that the first one is the one longest out of use
        svg = self._charts.pop(name, None) or pages.draw(chart, key)
        self._charts[name] = svg
        if len(self._charts) > KEPT:
            del self._charts[next(iter(self._charts))]
        return svg


def _of(data: bytes) -> Made:
    return lambda: data


def _photo(path: Path, note: PhotoNote, *_mark: int) -> PublishedPhoto:
    return photos.publish(path, note)


def _told(error: Exception, where: Path) -> Problem:
    """Give an error as a problem, with its place if it points into a theme's file."""
    if isinstance(error, ThemeError) and (found := _THEME_PLACE.match(str(error))):
        place = Place(str(theme.home() / found[1]), int(found[2]))
        return Problem(place, found[3], "put it right in the theme")
    if isinstance(error, ReportgenError):
        return Problem(Place(str(where)), str(error), "the report can't be made until then")
    if isinstance(error, OSError):
        return Problem(Place(str(where)), f"can't be read ({error.strerror})", "save it again")
    found_ = f"a fault of reportgen itself ({type(error).__name__}: {error})"
    return Problem(Place(str(where)), found_, "tell its makers; the last words on the terminal say more")
