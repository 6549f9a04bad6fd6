"""Reads a folder of notes into a survey and tells every mistake at once."""

from __future__ import annotations

import dataclasses
import datetime
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from reportgen import crosscheck, earlier, notefiles, prose, racks, tables, takeover, units
from reportgen.block import UNFILLED, PhotoNote, keys_of, read_block
from reportgen.blocks.note import NoteKeys
from reportgen.cells import Table
from reportgen.errors import Place, Problems, listed, nearest
from reportgen.kind import Kind
from reportgen.model import EARLIER, Cover, Earlier, Finding, Gap, Narrative, Reading, Survey, finding_photos
from reportgen.notefiles import MAX_BYTES, MAX_NOTES, PAGE, Note, find, notes_in
from reportgen.sections import Section
from reportgen.values import Context
from reportgen.yamltext import Keys, Scalar

__all__ = ["MAX_BYTES", "MAX_NOTES", "find", "read", "what_was_read"]

# money is still read where the notes name no usable currency; that one mistake is told once
UNSAID = "XXX"
APART = "move it into a folder of its own, beside those of the surveys"


def read(path: Path, problems: Problems) -> Survey | None:
    """Read one survey: a note, or a folder of notes.

    Gives None when there is no cover note to build on; problems get every mistake and warning.
    """
    files = [path] if path.is_file() else notes_in(path)
    if len(files) > MAX_NOTES:
        problems.error(Place(str(path)), f"{len(files)} notes", f"keep a survey to {MAX_NOTES} notes")
        return None
    notes = notefiles.read(files, problems)
    cover = _cover_of(notes, problems)
    if cover is None and len(notes) == len(files):
        _no_cover(notes, path, problems)
    folder = path.parent if path.is_file() else path
    name = path.stem if path.is_file() else path.resolve().name
    survey = _Reader(folder, name, cover, notes, problems).survey()
    return survey if cover else None


def _cover_of(notes: Sequence[Note], problems: Problems) -> Note | None:
    covers = [n for n in notes if n.keys.get("survey") is not None]
    for extra in covers[1:]:
        problems.error(
            extra.keys.place.at("survey"),
            f"a second cover note; {covers[0].file} is one already",
            "keep survey: in one note",
        )
    return covers[0] if covers else None


def _no_cover(notes: Sequence[Note], path: Path, problems: Problems) -> None:
    for note in notes:
        for name, _ in note.keys.entries:
            if nearest(name.text, ["survey"]):
                problems.error(name.place, f"unknown key {name.text!r} and no cover note", "write survey")
                return
    write = "begin one note with --- and survey: pre-purchase in its front matter"
    problems.error(Place(str(path)), "no cover note", write)


class _Reader:
    """Holds what the notes of one survey share while they are read."""

    def __init__(
        self, folder: Path, name: str, cover: Note | None, notes: Sequence[Note], problems: Problems
    ) -> None:
        self.folder, self.name, self.cover_note, self.problems = folder, name, cover, problems
        # the cover note is read first: order in the notes is cover, then path, then line
        self.notes = [*([cover] if cover else ()), *(n for n in notes if n is not cover)]
        self.context = Context(problems, self._currency())
        self.ids: dict[str, Place] = {}
        # ids of sections that can't be read: what names them is no mistake of its own
        self.lost: set[str] = set()
        self.earlier: Earlier | None = None

    def _currency(self) -> str:
        if not self.cover_note:
            return UNSAID
        price = self.cover_note.keys.get("price")
        if price is None:
            return ""
        currency = price.get("currency") if isinstance(price, Keys) else Scalar("", price.place, lost=True)
        if not isinstance(currency, Scalar):
            return UNSAID if currency or isinstance(price, Keys) else ""
        code = currency.text.strip().upper()
        return code if units.currency_known(code) else UNSAID

    def survey(self) -> Survey:
        cover = self._follows(self._cover())
        found: list[Finding] = []
        taken: list[Reading] = []
        told: list[Narrative] = []
        gaps: list[Gap] = []
        items: list[tuple[str, str, str]] = []
        pictures: list[PhotoNote] = []
        private: list[str] = []
        for note in self.notes:
            front = self._front(note)
            system = front.system
            gaps += [Gap(part, system, entry) for part, entry in (front.not_inspected or {}).items()]
            items += [(part, system, "sound") for part in front.inspected_items]
            for part, outcome in (front.items or {}).items():
                if isinstance(outcome, str):
                    items.append((part, system, outcome))
                else:
                    gaps.append(Gap(part, system, outcome))
            pictures += front.photos
            private += [front.private] if front.private else []
            for section in note.sections:
                if section.fence == "finding":
                    finding = self._finding(section, system, cover)
                    found += [finding] if finding else []
                elif section.fence == "reading":
                    reading = self._reading(section, cover)
                    taken += [reading] if reading else []
                elif section.tokens:
                    told.append(Narrative(section.title, section.level, section.prose(), system))
        self._cross(found, taken, pictures, gaps, items)
        if self.earlier:
            found = self._taken_over(self.earlier, found, taken, cover)
            named = (*(gap.part for gap in gaps), *(part for part, _, _ in items))
            gaps += takeover.gaps(self.earlier, cover, named)
        withdrawn = tuple(f for f in found if f.withdrawn)
        ids = {f.title: f.id for f in found} | {r.title: r.id for r in taken}
        return Survey(
            self.folder,
            prose.slug(self.name) or "survey",
            cover,
            tuple(self._named(f, ids) for f in found if not f.withdrawn),
            tuple(taken),
            tuple(told),
            tuple(gaps),
            tuple(items),
            tuple(pictures),
            tuple(private),
            self.earlier,
            withdrawn,
            {s.text: n.keys.place for n in self.notes if isinstance(s := n.keys.get("system"), Scalar)},
        )

    def _follows(self, cover: Cover) -> Cover:
        """Read the report that the cover note follows; its path is needed no longer then."""
        if not cover.follows:
            return cover
        self.earlier = earlier.read(cover.follows, self.folder, cover.place, self.problems)
        if self.earlier is None:
            self.lost.add(EARLIER)
            return cover
        return dataclasses.replace(cover, follows="")

    def _taken_over(
        self, before: Earlier, found: list[Finding], taken: Sequence[Reading], cover: Cover
    ) -> list[Finding]:
        """Add what the report that is followed found and these notes don't speak of."""
        known = {**self.ids, **dict.fromkeys(self.lost, Place())}
        rest = takeover.rest(before, cover, found, known, self.problems)
        mine = (takeover.since(f, before) for f in found)
        return [takeover.retested(f, taken) for f in (*mine, *rest)]

    def _cross(
        self,
        found: Sequence[Finding],
        taken: Sequence[Reading],
        pictures: Sequence[PhotoNote],
        gaps: Sequence[Gap],
        items: Sequence[tuple[str, str, str]],
    ) -> None:
        """Check what one part of the notes says of another."""
        crosscheck.parts(gaps, items, self.problems)
        shown = [
            *pictures,
            *(p for f in found for p in finding_photos(f) if p not in f.photos_before),
            *(p for r in taken for p in r.photos),
        ]
        crosscheck.pictures(shown, self.folder, self.problems)
        every = [section for note in self.notes for section in note.sections]
        keys = [*(n.keys for n in self.notes), *(s.data for s in every if s.data)]
        crosscheck.links(every, keys, self.ids, self.problems)

    def _named(self, finding: Finding, ids: Mapping[str, str]) -> Finding:
        """Let `evidence` name a reading by its heading as well as by its id; ids: by heading."""
        if not finding.evidence and not finding.checked:
            return finding

        def named(evidence: tuple[str, ...]) -> tuple[str, ...]:
            unread = EARLIER if EARLIER in self.lost else None
            kept = (e for e in evidence if e not in self.lost and not (unread and e.startswith(unread)))
            return tuple(ids.get(e, e) for e in kept)

        checked = finding.checked and dataclasses.replace(
            finding.checked, evidence=named(finding.checked.evidence)
        )
        return dataclasses.replace(finding, evidence=named(finding.evidence), checked=checked)

    def _cover(self) -> Cover:
        note = self.cover_note
        if note is None:
            return Cover()
        before = len(self.problems.warnings)
        cover = read_block(Cover, note.keys, self.context, "the cover note", also=keys_of(NoteKeys))
        cover = dataclasses.replace(cover, place=note.keys.place)
        unfilled = any(p.found.startswith(UNFILLED) for p in self.problems.warnings[before:])
        return dataclasses.replace(
            cover,
            number=cover.number or prose.slug(self.name),
            status=self._status(cover, unfilled),
            reported=self._reported(cover),
        )

    def _status(self, cover: Cover, unfilled: bool) -> str:
        place = cover.place
        reported = self.cover_note and self.cover_note.keys.get("reported")
        if cover.status == "final" and reported is None:
            found = "status final without the day reported"
            self.problems.error(place.at("status"), found, "write reported: and the date")
        if cover.version > 1 and not cover.changes:
            found = f"version {cover.version} without changes"
            self.problems.error(place.at("version"), found, "write changes: [what changed and why]")
        if unfilled and cover.status != "preliminary":
            found = f"{cover.status}, but keys are left empty"
            self.problems.warn(place.at("status"), found, "the report says preliminary until then")
        return "preliminary" if unfilled else cover.status

    def _reported(self, cover: Cover) -> datetime.date | None:
        """Give the day of the report; None if it lies before the inspection."""
        last = max(cover.inspected, default=None)
        if not (cover.reported and last and cover.reported < last):
            return cover.reported
        found = f"reported on {cover.reported}, before the last inspection on {last}"
        self.problems.error(cover.place.at("reported"), found, "write the day the report was made")
        return None

    def _front(self, note: Note) -> NoteKeys:
        if note is self.cover_note:
            return read_block(NoteKeys, note.keys, self.context, "the cover note", also=keys_of(Cover))
        kept = []
        for name, value in note.keys.entries:
            if name.text == PAGE:
                self.problems.error(name.place, "a plain page among the notes of a survey", APART)
                continue
            # without a cover note, that is the one mistake to tell
            if name.text in keys_of(Cover):
                if name.text != "survey" and self.cover_note:
                    self.problems.error(
                        name.place,
                        f"{name.text!r} in a note that is not the cover note",
                        f"move it to {self.cover_note.file}",
                    )
            elif self.cover_note or not nearest(name.text, ["survey"]):
                kept.append((name, value))
        return read_block(NoteKeys, Keys(tuple(kept), note.keys.place), self.context, "a note")

    def _id(self, section: Section, written: str) -> str:
        """Give a section's id, made from its heading or written; two alike are an error."""
        id = prose.slug(written or section.title)
        if written and id != written:
            place = section.data.place.at("id") if section.data else section.place
            self.problems.error(place, f"{written!r} as an id", f"write {id or 'letters and digits'}")
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
        """Give the fence's keys without `id:`, placed at the heading, and the id written."""
        data = section.data or Keys((), section.place)
        written = data.get("id")
        text = written.text.strip() if isinstance(written, Scalar) else ""
        place = section.place.holding(data.place.inside)
        return Keys(tuple(e for e in data.entries if e[0].text != "id"), place), text

    def _finding(self, section: Section, system: str, cover: Cover) -> Finding | None:
        data, written = self._data(section)
        old = self.earlier.finding(prose.slug(written or section.title)) if self.earlier else None
        told, id = section.prose(), self._id(section, written)
        if old and self.earlier:
            data = takeover.merged(old, data, self.earlier, cover)
            read = takeover.finding(old, data, told, self.context)
            read = dataclasses.replace(read, id=id, title=section.title, place=data.place)
        else:
            given = {"id": id, "title": section.title, "prose": told, "place": data.place, "system": system}
            read = read_block(Finding, data, self.context, "a finding", given=given)
        if not read.severity:
            # the mistake is told; which rules hold and what follows depends on this one word
            self.lost |= {id, section.title}
            return None
        return read if read.system or not system else dataclasses.replace(read, system=system)

    def _reading(self, section: Section, cover: Cover) -> Reading | None:
        data, written = self._data(section)
        kind = self._kind(data)
        id = self._id(section, written)
        if kind is None:
            known = keys_of(Reading)
            data = Keys(tuple(e for e in data.entries if e[0].text in known), data.place)
            read_block(Reading, data, self.context, "a reading")
            self.lost |= {id, section.title}
            return None
        found = Problems()
        context = dataclasses.replace(self.context, unit=self._unit(data, kind), problems=found)
        what = f"a {kind.title.lower()} reading"
        read = read_block(Reading, data, context, what, also=keys_of(kind.fields))
        fields: Any = read_block(kind.fields, data, context, what, also=keys_of(Reading))
        table, pictures = self._table(section, kind, cover, context)
        read = dataclasses.replace(
            read,
            kind=kind.name,
            id=id,
            title=section.title,
            prose=section.prose(),
            fields=fields,
            table=table,
            photos=_with_rows(read.photos, pictures),
            place=data.place,
        )
        self.problems.take(found, without=UNFILLED if read.blank else "")
        if self.cover_note:
            crosscheck.reading(read, kind.of_engine, cover, self.problems)
        return read

    def _table(
        self, section: Section, kind: Kind, cover: Cover, context: Context
    ) -> tuple[Table | None, tuple[PhotoNote, ...]]:
        """Give the values of the table under the fence, where the kind reads one, and its rows' photos."""
        if kind.table is None:
            return None, ()
        raw = section.take_table()
        if raw is None:
            if section.later_table:
                found = "a table that does not stand directly under the fence, so its values are not read"
                self.problems.warn(section.later_table, found, "move it up, before the text")
            return None, ()
        engines = [e.name for e in (*cover.found.engines, *cover.found.generators)]
        return tables.read(raw, kind.table, engines, context)

    def _kind(self, data: Keys) -> Kind | None:
        """Give the kind that a reading names, or after telling the mistake the nearest one."""
        node = data.get("kind")
        name = node.text.strip() if isinstance(node, Scalar) else ""
        found: Kind | None = racks.named("kinds", name, "KIND")
        if not node or not name or found:
            return found
        kinds: dict[str, Kind] = {k.name: k for k in racks.all_of("kinds", "KIND").values()}
        near = nearest(name, kinds)
        advice = f"write {near}" if near else f"kinds known: {', '.join(kinds)}"
        self.problems.error(node.place, f"unknown kind {name!r}", advice)
        return kinds[near] if near else None

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


def _with_rows(listed: tuple[PhotoNote, ...], rows: tuple[PhotoNote, ...]) -> tuple[PhotoNote, ...]:
    """Add the photos that a table's rows name to those of the fence, where they are not listed yet."""
    names = {p.photo for p in listed}
    return (*listed, *(p for p in rows if p.photo not in names))


def what_was_read(survey: Survey) -> str:
    """Say in one line what a survey holds, with all ids."""
    found, taken = len(survey.findings), len(survey.readings)
    ids = ", ".join([*(f.id for f in survey.findings), *(r.id for r in survey.readings)])
    return f"{found} finding{'s' * (found != 1)}, {taken} reading{'s' * (taken != 1)}: {ids}"
