"""Reads a folder of notes into a survey and tells every mistake at once."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from reportgen import photos, prose, racks, sections, units
from reportgen.block import PhotoNote, keys_of, read_block
from reportgen.blocks.note import NoteKeys
from reportgen.errors import NotesError, PhotoError, Place, Problems, listed, nearest
from reportgen.kind import Kind
from reportgen.model import Cover, Finding, Gap, Narrative, Reading, Survey, finding_photos
from reportgen.sections import Section
from reportgen.values import Context
from reportgen.yamltext import Keys, Scalar

MAX_BYTES = 2_000_000
MAX_NOTES = 500


@dataclass(frozen=True)
class _Note:
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
        raise _nothing(
            path, "no such note or folder", "name a note, a survey's folder, or a folder of surveys"
        )
    if _notes_in(path):
        return (path,), False
    folders = tuple(d for d in sorted(path.iterdir()) if d.is_dir() and _visible(d) and _notes_in(d))
    if not folders:
        raise _nothing(path, "no notes here", "put the survey's *.md files into this folder")
    return folders, True


def _nothing(path: Path, found: str, write: str) -> NotesError:
    problems = Problems()
    problems.error(Place(str(path)), found, write)
    return NotesError(problems)


def _visible(path: Path) -> bool:
    return not path.name.startswith((".", "_"))


def _notes_in(folder: Path) -> list[Path]:
    return sorted(p for p in folder.glob("*.md") if p.is_file() and _visible(p))


def read(path: Path, problems: Problems) -> Survey | None:
    """Read one survey: a note, or a folder of notes.

    Gives None when there is no cover note to build on; problems get every mistake and warning.
    """
    files = [path] if path.is_file() else _notes_in(path)
    if len(files) > MAX_NOTES:
        problems.error(Place(str(path)), f"{len(files)} notes", f"keep a survey to {MAX_NOTES} notes")
        return None
    notes = [note for file in files if (note := _note(file, problems)) is not None]
    cover = _cover_of(notes, path, problems)
    if cover is None:
        return None
    folder = path.parent if path.is_file() else path
    return _Reader(
        folder, path.stem if path.is_file() else path.resolve().name, cover, notes, problems
    ).survey()


def _note(file: Path, problems: Problems) -> _Note | None:
    label = str(file)
    try:
        if file.stat().st_size > MAX_BYTES:
            problems.error(Place(label), "a note of over 2 MB", "split it, and list photos under photos:")
            return None
        raw = file.read_bytes()
    except OSError as error:
        problems.error(Place(label), f"can't be read ({error.strerror})", "look at the file's permissions")
        return None
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        column = error.start - raw.rfind(b"\n", 0, error.start)
        problems.error(
            Place(label, line, column), "a sign that is not UTF-8", "save the note as UTF-8 in the editor"
        )
        return None
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    keys, found = sections.split(text, label, problems)
    return _Note(label, keys, tuple(found))


def _cover_of(notes: Sequence[_Note], path: Path, problems: Problems) -> _Note | None:
    covers = [n for n in notes if n.keys.get("survey") is not None]
    for extra in covers[1:]:
        place = next(name.place for name, _ in extra.keys.entries if name.text == "survey")
        problems.error(
            place, f"a second cover note; {covers[0].file} is one already", "keep survey: in one note"
        )
    if covers:
        return covers[0]
    for note in notes:
        for name, _ in note.keys.entries:
            if nearest(name.text, ["survey"]):
                problems.error(name.place, f"unknown key {name.text!r} and no cover note", "write survey")
                return None
    where = Place(str(path)) if not path.is_file() else Place(str(path), 1, 1)
    if not any(p.place.file == n.file for p in problems.errors for n in notes) or notes:
        problems.error(
            where, "no cover note", "begin one note with --- and survey: pre-purchase in its front matter"
        )
    return None


class _Reader:
    """Holds what the notes of one survey share while they are read."""

    def __init__(
        self, folder: Path, name: str, cover: _Note, notes: Sequence[_Note], problems: Problems
    ) -> None:
        self.folder, self.name, self.cover_note, self.problems = folder, name, cover, problems
        # the cover note is read first: order in the notes is cover, then path, then line
        self.notes = [cover, *(n for n in notes if n is not cover)]
        self.context = Context(problems, self._currency())
        self.ids: dict[str, Place] = {}

    def _currency(self) -> str:
        price = self.cover_note.keys.get("price")
        currency = price.get("currency") if isinstance(price, Keys) else None
        code = currency.text.strip().upper() if isinstance(currency, Scalar) else ""
        return code if units.currency_known(code) else ""

    def survey(self) -> Survey:
        cover = self._cover()
        found: list[Finding] = []
        taken: list[Reading] = []
        told: list[Narrative] = []
        gaps: list[Gap] = []
        items: list[tuple[str, str, str]] = []
        pictures: list[PhotoNote] = []
        private: list[str] = []
        for note in self.notes:
            front = self._front(note, cover)
            system = front.system
            gaps += [Gap(part, system, entry) for part, entry in (front.not_inspected or {}).items()]
            items += [(part, system, "sound") for part in front.inspected_items]
            items += [(part, system, outcome) for part, outcome in (front.items or {}).items()]
            pictures += front.photos
            private += [front.private] if front.private else []
            for section in note.sections:
                if section.fence == "finding":
                    found.append(self._finding(section, system))
                elif section.fence == "reading":
                    reading = self._reading(section, cover)
                    taken += [reading] if reading else []
                elif section.tokens:
                    told.append(Narrative(section.title, section.level, section.prose(), system))
        self._twice(gaps, items)
        self._photos(pictures, found, taken)
        names = {f.title: f.id for f in found} | {r.title: r.id for r in taken}
        return Survey(
            self.folder,
            prose.slug(self.name) or "survey",
            cover,
            tuple(_by_id(f, names) for f in found),
            tuple(taken),
            tuple(told),
            tuple(gaps),
            tuple(items),
            tuple(pictures),
            tuple(private),
        )

    def _cover(self) -> Cover:
        note = self.cover_note
        before = len(self.problems.warnings)
        cover = read_block(Cover, note.keys, self.context, "the cover note", also=keys_of(NoteKeys))
        cover = dataclasses.replace(cover, place=Place(note.file, note.keys.place.line, 1))
        unfilled = any(p.found == "nothing filled in" for p in self.problems.warnings[before:])
        self._status(cover, unfilled)
        return dataclasses.replace(
            cover,
            number=cover.number or prose.slug(self.name),
            status="preliminary" if unfilled else cover.status,
        )

    def _status(self, cover: Cover, unfilled: bool) -> None:
        place = cover.place
        if cover.status == "final" and cover.reported is None:
            self.problems.error(
                place.at("reported"), "status final without reported", "write reported: and the date"
            )
        if cover.version > 1 and not cover.changes:
            self.problems.error(
                place.at("changes"),
                f"version {cover.version} without changes",
                "write changes: [what changed and why]",
            )
        if cover.reported and cover.inspected and cover.reported < max(cover.inspected):
            self.problems.error(
                place.at("reported"),
                f"reported on {cover.reported}, before the last inspection",
                "write the day the report was made",
            )
        if unfilled and cover.status != "preliminary":
            self.problems.warn(
                place.at("status"),
                f"{cover.status}, but keys are left empty",
                "the report says preliminary until then",
            )

    def _front(self, note: _Note, cover: Cover) -> NoteKeys:
        if note is self.cover_note:
            return read_block(NoteKeys, note.keys, self.context, "the cover note", also=keys_of(Cover))
        kept = []
        for name, value in note.keys.entries:
            if name.text in keys_of(Cover) and name.text != "survey":
                self.problems.error(
                    name.place,
                    f"{name.text!r} in a note that is not the cover note",
                    f"move it to {self.cover_note.file}",
                )
            elif name.text != "survey":
                kept.append((name, value))
        return read_block(NoteKeys, Keys(tuple(kept), note.keys.place), self.context, "a note")

    def _id(self, section: Section, written: str) -> str:
        """Give a section's id, made from its heading or written; two alike are an error."""
        id = prose.slug(written or section.title)
        if written and id != written:
            self.problems.error(
                section.place.at("id"), f"{written!r} as an id", f"write {id or 'letters and digits'}"
            )
        if not id:
            self.problems.error(
                section.place,
                f"the heading {section.title!r} has no letters to make an id from",
                "write id: in the fence",
            )
        elif id in self.ids:
            self.problems.error(
                section.place,
                f"the id {id!r} stands twice; first at line {self.ids[id].line} of {self.ids[id].file}",
                "add the engine's or the side's name to the heading, or write id: in the fence",
            )
        self.ids.setdefault(id, section.place)
        return id

    def _data(self, section: Section) -> tuple[Keys, str]:
        """Give the fence's keys without `id:`, and the id written."""
        data = section.data or Keys((), section.place)
        written = data.get("id")
        text = written.text.strip() if isinstance(written, Scalar) else ""
        return Keys(tuple(e for e in data.entries if e[0].text != "id"), section.place), text

    def _finding(self, section: Section, system: str) -> Finding:
        data, written = self._data(section)
        read = read_block(Finding, data, self.context, "a finding")
        return dataclasses.replace(
            read,
            id=self._id(section, written),
            title=section.title,
            system=read.system or system,
            prose=section.prose(),
            place=section.place,
        )

    def _reading(self, section: Section, cover: Cover) -> Reading | None:
        data, written = self._data(section)
        kinds: dict[str, Kind] = {k.name: k for k in racks.all_of("kinds", "KIND").values()}
        node = data.get("kind")
        name = node.text.strip() if isinstance(node, Scalar) else ""
        kind = kinds.get(name)
        if kind is None:
            if name:
                near = nearest(name, kinds)
                advice = f"write {near}" if near else f"kinds known: {', '.join(kinds)}"
                place = node.place if node else section.place
                self.problems.error(place, f"unknown kind {name!r}", advice)
            known = keys_of(Reading)
            data = Keys(tuple(e for e in data.entries if e[0].text in known), data.place)
            read_block(Reading, data, self.context, "a reading")
            self._id(section, written)
            return None
        context = dataclasses.replace(self.context, unit=self._unit(data, kind))
        what = f"a {kind.title.lower()} reading"
        read = read_block(Reading, data, context, what, also=keys_of(kind.fields))
        fields: Any = read_block(kind.fields, data, context, what, also=keys_of(Reading))
        read = dataclasses.replace(
            read,
            id=self._id(section, written),
            title=section.title,
            prose=section.prose(),
            fields=fields,
            place=section.place,
        )
        self._told_of(read, data, cover)
        return read

    def _unit(self, data: Keys, kind: Kind) -> str | None:
        node = data.get("unit")
        if not isinstance(node, Scalar) or node.empty:
            return None
        for dimension in units.UNITS:
            try:
                unit = units.unit_named(node.text, dimension)
            except units.UnitError:
                continue
            if unit in kind.units:
                return unit
        self.problems.error(
            node.place, f"{node.text!r} as the unit of {kind.name}", f"write {listed(kind.units)}"
        )
        return None

    def _told_of(self, reading: Reading, data: Keys, cover: Cover) -> None:
        """Check that engine and instruments are ones that the cover note lists."""
        engines = [e.name for e in (*cover.found.engines, *cover.found.generators) if e.name]
        at = reading.at.lower().removesuffix(" engine").strip()
        bare = [e.lower().removesuffix(" engine").strip() for e in engines]
        node = data.get("at")
        if reading.at and engines and at not in bare and node:
            near = nearest(at, bare)
            advice = f"write {engines[bare.index(near)]}" if near else f"write {listed(engines)}"
            self.problems.error(node.place, f"no engine is called {reading.at!r}", advice)
        if not reading.at and len(cover.found.engines) > 1:
            self.problems.error(
                reading.place.at("at"), "which engine is not said", f"write at: {listed(engines)}"
            )
        known = [i.what for i in cover.instruments]
        for name in reading.with_:
            node = data.get("with")
            if name not in known and node:
                near = nearest(name, known)
                self.problems.warn(
                    node.place,
                    f"{name!r} is not among the instruments",
                    f"write {near}" if near else "list it under instruments: in the cover note",
                )

    def _twice(self, gaps: Iterable[Gap], items: Iterable[tuple[str, str, str]]) -> None:
        sound = {part.lower() for part, _, outcome in items if outcome == "sound"}
        for gap in gaps:
            if gap.part.lower() in sound:
                self.problems.error(
                    gap.entry.place.at("not inspected"),
                    f"{gap.part!r} stands under inspected items too",
                    "keep it in one of the two",
                )

    def _photos(
        self, pictures: Iterable[PhotoNote], found: Iterable[Finding], taken: Iterable[Reading]
    ) -> None:
        """Check every photo of the survey: it is there, inside the folder, and a picture."""
        checked: set[str] = set()
        for note in [
            *pictures,
            *(p for f in found for p in finding_photos(f)),
            *(p for r in taken for p in r.photos),
        ]:
            if not note.shows:
                self.problems.warn(
                    note.place,
                    f"{note.photo} has no caption",
                    f"write - {note.photo}: what is to be seen, and where",
                )
            if note.photo in checked or not note.photo:
                continue
            checked.add(note.photo)
            try:
                photos.check(photos.inside(self.folder, note.photo))
            except PhotoError as error:
                self.problems.error(note.place, error.found, error.write)


def _by_id(finding: Finding, names: dict[str, str]) -> Finding:
    """Let `evidence` name a reading by its heading as well as by its id."""
    checked = finding.checked
    if checked:
        checked = dataclasses.replace(checked, evidence=tuple(names.get(e, e) for e in checked.evidence))
    return dataclasses.replace(
        finding, evidence=tuple(names.get(e, e) for e in finding.evidence), checked=checked
    )


def what_was_read(survey: Survey) -> str:
    """Say in one line what a survey holds, with all ids."""
    found, taken = len(survey.findings), len(survey.readings)
    ids = ", ".join([*(f.id for f in survey.findings), *(r.id for r in survey.readings)])
    return f"{found} finding{'s' * (found != 1)}, {taken} reading{'s' * (taken != 1)}: {ids}"
