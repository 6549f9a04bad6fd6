"""From notes to a published packet, step by step: read this first."""

from __future__ import annotations

import datetime
import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from pathlib import Path

from reportgen import (
    asjson,
    edition,
    feed,
    notes,
    ownedition,
    owntheme,
    packet,
    pages,
    photos,
    plainpages,
    proof,
    racks,
    report,
    sending,
    signing,
    siteindex,
    spreadsheet,
    standing,
    theme,
    wording,
)
from reportgen.edition import Edition
from reportgen.errors import (
    NotesError,
    PacketError,
    PhotoError,
    Place,
    Problem,
    Problems,
    ThemeError,
    UsageError,
    nearest,
)
from reportgen.model import Cover, Survey
from reportgen.pages import Entry
from reportgen.photos import PublishedPhoto
from reportgen.plainpages import PlainPage
from reportgen.report import Report
from reportgen.sending import Forms, Sent

Progress = Callable[[int, int, str], None]


@dataclass(frozen=True)
class Published:
    """What a publishing has done: an entry a report, the notes' warnings, and what the writer did.

    fingerprints: of each packet, by its folder in the site. signers: the line by which a reader can check
    the signature, empty if nothing was signed. sent: one files and PDFs of each report, by its folder.
    """

    entries: tuple[Entry, ...]
    warnings: tuple[Problem, ...]
    written: packet.Written
    fingerprints: Mapping[str, str] = field(default_factory=dict)
    signers: str = ""
    sent: Mapping[str, tuple[Sent, ...]] = field(default_factory=dict)


@dataclass(frozen=True)
class Wish:
    """What the user asked for.

    today: the day to count on, None for the notes' own. charts: drawn or not. key: the SSH key to sign with,
    None for no signature. forms: what is made beside the pages. language, units: instead of the notes' own,
    "" for theirs. base: address at which the site will stand, for its feed; "" if not said.
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

    def wanted(self, cover: Cover) -> Cover:
        """Give a cover note with the language and units asked for; its notes stay in the writer's own."""
        spoken = self.language or cover.language
        return replace(
            cover,
            language=spoken,
            notes_language=cover.notes_language or cover.language,
            units=self.units or cover.units,
        )


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
    found, plain = plainpages.apart(found)
    many = many or not found
    if not many:
        _refuse_site(to)
    if wish.key is not None:
        signing.ready(wish.key)
    emails: set[str] = set()
    told: list[Problem] = []
    entries: list[Entry] = []
    sent: dict[str, tuple[Sent, ...]] = {}
    spoken: set[str] = set()
    with packet.Staging(to, notes=source) as staging:
        folders: dict[str, Path] = {}
        guides = _guides(plain, source, folders, told)
        for number, path in enumerate(found):
            progress(number, len(found), path.name)
            problems = Problems()
            survey = notes.read(path, problems)
            if survey is not None:
                survey = replace(survey, cover=wish.wanted(survey.cover))
                spoken.add(survey.cover.language)
                with wording.speaking(survey.cover.language, survey.cover.units, survey.cover.notes_language):
                    shown = _view(survey, wish, problems)
                    folder = _folder(shown, path, folders, problems) if shown and many else ""
                    files = _files(shown, wish, problems) if shown else {}
                    if shown and not problems.errors:
                        more, sent[folder] = sending.made(
                            shown, wish.edition.name, files, wish.forms, wish.theme
                        )
                        staging.report(folder, files | more)
                        entries.append(pages.entry(shown, wish.edition, folder))
                        emails |= {standing.email_of(shown.cover.people.surveyor.contact)}
            told += problems
        if any(problem.level == "error" for problem in told):
            raise NotesError(told)
        progress(len(found), len(found), "")
        if many:
            # in the language that all reports share
            with wording.speaking(wish.language or (spoken.pop() if len(spoken) == 1 else "en")):
                staging.index(_index(entries, guides, wish))
        signers = _signed(staging, wish.key, emails - {""}) if wish.key is not None else ""
        written = staging.publish()
    fingerprints = {entry.folder: proof.fingerprint_of(to / entry.folder) for entry in entries}
    return Published(tuple(entries), tuple(told), written, fingerprints, signers, sent)


def _index(
    entries: Sequence[Entry], guides: Mapping[str, tuple[PlainPage, ...]], wish: Wish
) -> dict[str, bytes]:
    """Give all files of a site that belong to no report: its lists, its feed, its plain pages."""
    beside = {f"{folder}/" if folder else "": plain for folder, plain in guides.items()}
    titles = [(f"{folder}{plain[0].file}", plain[0].title) for folder, plain in beside.items()]
    told = feed.made(entries, wish.edition, wish.base)
    files = {feed.FILE: told} if told else {}
    # a folder of plain pages alone is its own first page
    if "" not in beside:
        files |= siteindex.made(entries, wish.edition, wish.theme, titles, feed.FILE if told else "")
    for folder, plain in beside.items():
        home = "../index.html" if folder else ""
        for page in plainpages.pages(plain, wish.edition, home):
            files[f"{folder}{page.file}"] = theme.render(page, wish.theme)
    return files


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


def _view(survey: Survey, wish: Wish, problems: Problems) -> Report | None:
    """Compute a survey's report, and limit it to what the edition shows."""
    whole = report.build(survey, problems, wish.today)
    return None if problems.errors else edition.view(whole, wish.edition, problems)


def _folder(shown: Report, path: Path, folders: dict[str, Path], problems: Problems) -> str:
    """Give the report's folder in the site; two surveys of one name are an error."""
    name = shown.slug
    if name in folders:
        problems.error(
            Place(str(path)),
            f"its report would stand in the same folder as that of {folders[name]}",
            "rename one of the two",
        )
    folders[name] = path
    return name


def _guides(
    paths: Sequence[Path], source: Path, folders: dict[str, Path], told: list[Problem]
) -> dict[str, tuple[PlainPage, ...]]:
    """Read the folders of plain pages, by their folder in the site; mistakes are told."""
    guides: dict[str, tuple[PlainPage, ...]] = {}
    for path in paths:
        problems = Problems()
        folder = plainpages.folder_of(path) if path != source else ""
        read = plainpages.read(path, problems)
        told += problems
        if read:
            guides[folder], folders[folder] = read, path
    return guides


def _files(shown: Report, wish: Wish, problems: Problems) -> dict[str, bytes]:
    """Make every file of a report's packet; none where a photo can't be published."""
    pictures = _pictures(shown, wish.edition.public, problems)
    if problems.errors:
        return {}
    data = asjson.document(shown, wish.edition, pictures)
    print_ = asjson.fingerprint(data)
    sent = tuple(sending.names(shown, wish.edition.name, wish.forms).values())
    placed = owntheme.arranged(wish.edition, wish.theme)
    arranged = pages.arrange(shown, placed, pictures, print_, wish.charts, sent)
    files = {page.file: theme.render(page, wish.theme) for page in arranged} | dict(wish.theme.files)
    files["report.json"] = asjson.text({**data, "fingerprint": print_}).encode("utf-8")
    sheets = {"costs.csv": spreadsheet.costs(shown), "work-list.csv": spreadsheet.work(shown)}
    files |= {name: sheet.encode("utf-8-sig") for name, sheet in sheets.items() if sheet is not None}
    for name, picture in pictures.items():
        files[f"photos/{name}.jpg"] = picture.large
        files[f"photos/{name}-small.jpg"] = picture.small
    return files


def _pictures(shown: Report, public: bool, problems: Problems) -> dict[str, PublishedPhoto]:
    """Publish the photos that the edition shows, and no other; what is told of their originals is private."""
    listed = {note.name: note for note in report.photos_of(shown)}
    made: dict[str, PublishedPhoto] = {}
    if not listed:
        return made
    # Pillow lets go of the interpreter while it works, so threads are enough
    with ThreadPoolExecutor(min(4, os.cpu_count() or 1)) as workers:
        files = shown.photo_files
        tasks = {n: workers.submit(photos.publish, files[n].path, note) for n, note in listed.items()}
        for name, task in tasks.items():
            try:
                picture = task.result()
                made[name] = replace(picture, original="", taken=None) if public else picture
            except PhotoError as error:
                problems.error(files[name].place, error.found, error.write)
    return made
