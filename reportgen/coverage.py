"""Holds what the notes mention against the checklist: found sound, finding, not inspected, not mentioned."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from reportgen import checklist
from reportgen.block import shown
from reportgen.blocks.note import NotInspected
from reportgen.checklist import Checklist, Item, System
from reportgen.errors import Place, Problems
from reportgen.kind import Assessment, Kind
from reportgen.model import Finding, Gap, Reading, Survey

FINDING, GAP, SOUND = "finding", "not inspected", "sound"
UNMENTIONED, UNFITTED = "not mentioned", "not fitted"
# a reading that no limit judges tells that a thing was measured, not that it is sound
MEASURED = "measured, not judged"
# the first of these that is said of an item stands: the weaker claim wins over the stronger
_RANK = (FINDING, GAP, "told by others", "powered up only", "operated", SOUND, MEASURED, UNFITTED)

SEA_TRIAL = "sea trial"  # a system of every checklist
_NO = re.compile(r"no(t made)?\b[\s,:;-]*", re.I)

# looking for a like name takes its time; in notes with more strange names it is no slip of the pen
_MOST_STRANGE = 100

Judged = tuple[Reading, Assessment, Kind]


def _is_open(finding: Finding) -> bool:
    return finding.severity != "sound" and finding.state != "checked"


@dataclass(frozen=True)
class CoveredItem:
    """An item of the checklist and what became of it.

    outcome: finding, not inspected, sound, not mentioned, not fitted, or as noted (operated, ...).
    parts: names in the notes that mean it. only: those looked at, where they are parts or one side of it
    and nothing names the whole. findings, readings: ids. could_hide, would_take: usual for such
    an item, by the checklist; filled in where it or a part of it was not looked at.
    """

    name: str = shown("open", "")
    system: str = shown("open", "")
    outcome: str = shown("open", UNMENTIONED)
    parts: tuple[str, ...] = shown("open", ())
    only: tuple[str, ...] = shown("open", ())
    findings: tuple[str, ...] = shown("open", ())
    readings: tuple[str, ...] = shown("open", ())
    could_hide: str = shown("open", "")
    would_take: str = shown("open", "")


@dataclass(frozen=True)
class Beyond:
    """A part that the notes name and the checklist doesn't have; it is in no count."""

    part: str = shown("open", "")
    system: str = shown("open", "")
    outcome: str = shown("open", "")


@dataclass(frozen=True)
class Counts:
    """How many items came out how; all but not_fitted add up to items, what is fitted on this boat."""

    items: int = shown("open", 0)
    sound: int = shown("open", 0)
    findings: int = shown("open", 0)
    not_inspected: int = shown("open", 0)
    not_mentioned: int = shown("open", 0)
    others: int = shown("open", 0)
    not_fitted: int = shown("open", 0)


@dataclass(frozen=True)
class Coverage:
    """What the inspection covered: every item of the type's checklist, (items,), and what goes beyond it."""

    type: str = shown("open", "")
    counts: Counts = shown("open", Counts())
    items: tuple[CoveredItem, ...] = shown("open", ())
    beyond: tuple[Beyond, ...] = shown("open", ())


@dataclass(frozen=True)
class _Mention:
    """One place where the notes speak of a part. place: where a near miss is told."""

    part: str
    outcome: str
    system: str = ""
    finding: str = ""
    reading: str = ""
    place: Place = field(default=Place())


def build(survey: Survey, judged: Sequence[Judged]) -> Coverage | None:
    """Hold a survey against the checklist of its type; None where the type isn't known."""
    try:
        listed = checklist.of(survey.cover.vessel.type)
    except KeyError:
        return None
    return _Sorter(listed, survey, judged).coverage()


def left_out(reading: Reading, gaps: Iterable[Gap]) -> bool:
    """Say whether the notes tell under `not inspected`, by the reading's name, why it was not taken."""
    names = {checklist.plain(reading.title), checklist.plain(reading.kind)}
    return any(gap.entry.why and checklist.plain(gap.part) in names for gap in gaps)


def untried(survey: Survey) -> tuple[Gap, ...]:
    """Give parts of the checklist that the notes tell only as tests not made, or as no sea trial.

    Who writes that there was no sea trial has said why its items were not inspected.
    """
    cover = survey.cover
    try:
        listed = checklist.of(cover.vessel.type)
    except KeyError:
        return ()
    tests = cover.tests_not_made or {}
    told = dict(tests) if isinstance(tests, Mapping) else dict.fromkeys(tests, "")
    trials = [c.sea_trial for c in cover.conditions if c.sea_trial]
    if trials and all(_NO.match(trial) for trial in trials):
        told.setdefault(SEA_TRIAL, _NO.sub("", trials[-1]))
    named = {checklist.plain(m.part) for m in _mentions(survey)}
    place = cover.place.at("tests not made")
    gaps = []
    for part, why in told.items():
        item, system = listed.item(part), listed.system(part)
        if (item or system) and checklist.plain(part) not in named:
            within = item and next(s.name for s in listed.systems if item in s.items)
            gaps.append(Gap(part, within or part, NotInspected(why, place=place)))
    return tuple(gaps)


def problems(coverage: Coverage | None, survey: Survey, problems: Problems) -> None:
    """Warn, a line a system, of items that the notes don't mention, and of names that nearly are items."""
    if coverage is None or survey.earlier:  # what a later visit leaves alone is told by its scope
        return
    fitted = [i for i in coverage.items if i.outcome != UNFITTED]
    for system in dict.fromkeys(i.system for i in fitted):
        whole = [i for i in fitted if i.system == system]
        missing = [i.name for i in whole if i.outcome == UNMENTIONED]
        if missing:
            count = f"{len(missing)} of {len(whole)} item{'s' * (len(whole) != 1)}"
            found = f"{system}: {count} not mentioned: {', '.join(missing)}"
            write = "write them under items, inspected items or not inspected, with why"
            problems.warn(_place_of(system, survey), found, write)
    _near_misses(coverage, survey, problems)


def _place_of(system: str, survey: Survey) -> Place:
    """Give where a system's items are listed: in its own note, else in the cover note."""
    own = survey.places.get(system)
    return own.at("items") if own else survey.cover.place.at("inspected items")


def _near_misses(coverage: Coverage, survey: Survey, problems: Problems) -> None:
    """Tell of a part whose name is nearly an item's, where that item would else go unmentioned."""
    listed = checklist.of(coverage.type)
    unmentioned = {i.name for i in coverage.items if i.outcome == UNMENTIONED}
    strange = {b.part: listed.nearest(b.part) for b in coverage.beyond[:_MOST_STRANGE]}
    for mention in _mentions(survey):
        near = strange.get(mention.part)
        if near and near.name in unmentioned:
            found = f"{mention.part!r} is not on the checklist of this type"
            problems.warn(mention.place, found, f"write {near.name}, if that is meant")


def _mentions(survey: Survey) -> Iterator[_Mention]:
    """Give every part that the notes name, in their order: findings, parts left out, items."""
    for f in survey.findings:
        if f.item:
            yield _Mention(f.item, _outcome(f), f.system, finding=f.id, place=f.place.at("item"))
    for gap in survey.not_inspected:
        yield _Mention(gap.part, GAP, gap.system, place=gap.entry.place.at("not inspected"))
    place = survey.cover.place.at("inspected items")
    for part, system, outcome in survey.items:
        yield _Mention(part, outcome, system, place=place)


def _outcome(finding: Finding) -> str:
    return SOUND if finding.severity == "sound" else FINDING


class _Sorter:
    """Sorts what the notes mention to the items of a checklist."""

    def __init__(self, listed: Checklist, survey: Survey, judged: Sequence[Judged]) -> None:
        self.listed, self.survey, self.judged = listed, survey, judged
        self.by_item: dict[str, list[_Mention]] = {}
        self.by_system: dict[str, list[_Mention]] = {}
        self.beyond: list[Beyond] = []
        found = survey.cover.found
        names = [e.name for e in (*found.engines, *found.drives, *found.gearboxes) if e.name]
        self.sides = tuple(checklist.plain(name) for name in (*names, "port", "starboard"))

    def coverage(self) -> Coverage:
        """Give every item with its outcome, and the counts."""
        for mention in _mentions(self.survey):
            self._sort(mention)
        for reading, assessment, kind in self.judged:
            self._measured(reading, assessment, kind)
        items = tuple(self._item(s, i) for s in self.listed.systems for i in s.items)
        return Coverage(self.listed.type, _counts(items), items, tuple(dict.fromkeys(self.beyond)))

    def _named(self, part: str) -> Item | None:
        """Give the item that a part means; on a boat with two engines "port plugs" means plugs."""
        item = self.listed.item(part)
        if item:
            return item
        bare = checklist.plain(part)
        for side in self.sides:
            bare = re.sub(rf"^{re.escape(side)}( engine)? | {re.escape(side)}( engine)?$", "", bare)
        return self.listed.item(bare)

    def _sort(self, mention: _Mention) -> None:
        item = self._named(mention.part)
        # of a system as a whole only its absence can be said in one word; praise takes its items
        system = self.listed.system(mention.part) if mention.outcome in (GAP, UNFITTED) else None
        if item and mention.outcome == UNFITTED and not item.is_all_of(mention.part):
            return
        if item:
            self.by_item.setdefault(item.name, []).append(mention)
        elif system:
            self.by_system.setdefault(system.name, []).append(mention)
        else:
            self.beyond.append(Beyond(mention.part, mention.system, mention.outcome))

    def _measured(self, reading: Reading, assessment: Assessment, kind: Kind) -> None:
        if assessment.outcome == "not taken":
            return
        outcome = {"outside": FINDING, "within": SOUND}.get(assessment.outcome, MEASURED)
        # gaps of plugs may be right while their colour proves a fault
        if not reading.item and any(reading.id in f.evidence for f in self.survey.findings if _is_open(f)):
            outcome = FINDING
        mention = _Mention(reading.item, outcome, reading=reading.id, place=reading.place.at("item"))
        if parts := [reading.item] if reading.item else self._parts_of(reading, kind):
            for part in parts:
                self._sort(replace(mention, part=part))
            return
        for item in (i for s in self.listed.systems for i in s.items if kind.name in i.readings):
            if self._suits(reading, item):
                self.by_item.setdefault(item.name, []).append(mention)

    def _parts_of(self, reading: Reading, kind: Kind) -> list[str]:
        """Give the items of the findings that rest on a reading which may be taken anywhere.

        A transom that sounds dull says nothing of the bottom, though a bottom is sounded as well.
        """
        resting = [f.item for f in self.survey.findings if f.item and reading.id in f.evidence]
        return list(dict.fromkeys(resting)) if kind.anywhere else []

    def _suits(self, reading: Reading, item: Item) -> bool:
        """Keep a generator's reading off the main engine's items, and a gasoline engine's off a diesel's."""
        engine = self.survey.engine_at(reading.at)
        at_generator = engine is not None and engine in self.survey.cover.found.generators
        gasoline = engine is not None and engine.fuel == "gasoline"
        return item.name.startswith("generator") == at_generator and not (
            gasoline and item.name.startswith("diesel")
        )

    def _item(self, system: System, item: Item) -> CoveredItem:
        own = self.by_item.get(item.name, [])
        named = [m for m in own if m.part]
        whole = self.by_system.get(system.name, [])
        if not own and not whole:  # most of a checklist's items, as a rule
            return CoveredItem(item.name, system.name, could_hide=item.could_hide, would_take=item.would_take)
        # what is said of the item by name comes first, then that its system isn't there, then readings
        if not named and any(m.outcome == UNFITTED for m in whole):
            own = [m for m in whole if m.outcome == UNFITTED]
        said = own or whole
        outcome = min((m.outcome for m in said), key=_RANK.index, default=UNMENTIONED)
        seen = [m for m in own if m.outcome != GAP]
        whole_named = any(m.reading or item.is_all_of(m.part) for m in seen)
        blind = outcome == UNMENTIONED or any(m.outcome == GAP for m in said)
        return CoveredItem(
            item.name,
            system.name,
            outcome,
            tuple(dict.fromkeys(m.part for m in said if m.part)),
            () if whole_named else tuple(dict.fromkeys(m.part for m in seen)),
            tuple(dict.fromkeys(m.finding for m in said if m.finding)),
            tuple(dict.fromkeys(m.reading for m in said if m.reading)),
            item.could_hide if blind else "",
            item.would_take if blind else "",
        )


def _counts(items: Sequence[CoveredItem]) -> Counts:
    told = [i.outcome for i in items]
    sound, found, gaps, unmentioned, unfitted = map(told.count, (SOUND, FINDING, GAP, UNMENTIONED, UNFITTED))
    fitted = len(told) - unfitted
    others = fitted - sound - found - gaps - unmentioned
    return Counts(fitted, sound, found, gaps, unmentioned, others, unfitted)
