"""Holds the safety equipment found aboard, and the capacity plate, against the rules of a jurisdiction."""

from __future__ import annotations

import dataclasses
import datetime
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from reportgen import capacity, distress, equipment, extinguishers, identity, ventilation
from reportgen.aboard import Facts, Requirement, facts, not_noted
from reportgen.block import shown
from reportgen.blocks.cover import NO_JURISDICTION
from reportgen.errors import Problems
from reportgen.hullnumber import HullNumber
from reportgen.model import Cover, Finding, Survey
from reportgen.wording import later, say

GOVERNS = later(
    "Held against the federal rules of the United States for recreational boats, as read;"
    " other countries and single states ask other things or more, and the coast guard's "
    "own text governs."
)
NO_RULES = later(
    "No rules on safety equipment were applied. What the boat must carry is for the law of her flag"
    " and her waters."
)
NOTHING_NOTED = later(
    "No safety equipment is listed, so nothing was held against the rules on what a boat must carry."
)
COMMERCIAL = later(
    "Not judged: the boat is noted as in commercial use, for which other rules stand than"
    " those for recreational boats."
)


@dataclass(frozen=True)
class Carriage:
    """What a boat must carry against what was found.

    jurisdiction: whose rules; lines: one a rule, equipment first, then the capacity plate. says: sentences.
    """

    jurisdiction: str = shown("open", "")
    lines: tuple[Requirement, ...] = shown("open", ())
    says: tuple[str, ...] = shown("open", ())

    @property
    def source_ids(self) -> frozenset[str]:
        """Give the ids of every source that a line rests on."""
        return frozenset(line.source_id for line in self.lines if line.source_id)


def _united_states(known: Facts) -> tuple[Requirement, ...]:
    return (
        equipment.life_jackets(known),
        equipment.throwable(known),
        extinguishers.line(known),
        distress.line(known),
        equipment.sound_signals(known),
        ventilation.line(known),
        *ventilation.capacity(known),
        equipment.flame_control(known),
        equipment.cut_off(known),
    )


# a further jurisdiction is one more row, and its word in blocks/cover.py
RULES: Mapping[str, Callable[[Facts], tuple[Requirement, ...]]] = {"US": _united_states}


def build(
    cover: Cover,
    hull: HullNumber | None,
    compared: Iterable[identity.Line],
    findings: Iterable[Finding],
    day: datetime.date,
) -> Carriage:
    """Give every line of a boat, judged on the day of the report.

    hull: hull number as read, None if there is none. compared: advertised against found.
    findings: of the survey; one answers a line by naming its clause under `standard`.
    """
    where = cover.jurisdiction
    if where == NO_JURISDICTION:
        return Carriage(where, (), (*_noted(cover, facts(cover, hull, day)), say(NO_RULES)))
    known = facts(cover, hull, day)
    if known.aboard.use == "commercial":
        return Carriage(where, (), (*_noted(cover, known), say(COMMERCIAL), say(GOVERNS)))
    plate = capacity.lines(known, cover.found.capacity_plate, compared)
    every = (*(RULES[where](known) if cover.safety_equipment else ()), *plate)
    silent = () if cover.safety_equipment else (say(NOTHING_NOTED),)
    says = (*silent, say(GOVERNS)) if every else silent
    given = tuple(findings)
    return Carriage(where, tuple(_answered(line, given) for line in every), says)


def _noted(cover: Cover, known: Facts) -> tuple[str, ...]:
    """Say what was found aboard, and what the plate states, where no rule is applied to it."""
    rows = [equipment.life_jackets(known), equipment.throwable(known), extinguishers.line(known)]
    rows += [distress.line(known), equipment.sound_signals(known)]
    found = [f"{row.what}: {row.found}" for row in rows if row.found != not_noted()]
    if plate := cover.found.capacity_plate and capacity.stated(cover.found.capacity_plate):
        found.append(say("capacity plate: {figures}", figures=plate))
    return (say("Found aboard: {things}.", things="; ".join(found)),) if found else ()


def _answered(line: Requirement, findings: tuple[Finding, ...]) -> Requirement:
    if line.met is not False:
        return line
    clauses = "|".join(re.escape(clause) for clause in line.clauses)
    named = tuple(f.id for f in findings if re.search(rf"(?<![\d.])({clauses})(?!\d)", f.standard))
    return dataclasses.replace(line, answered_by=named)


def problems(survey: Survey, carriage: Carriage, told: Problems) -> None:
    """Warn of every line that is not met and that no finding names by its clause."""
    place = survey.cover.place
    for line in carriage.lines:
        if line.met is False and not line.answered_by:
            key = "safety equipment" if line.part == "equipment" else "vessel"
            law = "required by law" if line.part == "equipment" else "published standard"
            told.warn(
                place.at(key),
                f"{line.what}: {line.found} found, {line.required} required",
                f"add a finding with basis: {law} and the clause ({line.clauses[0]}) under standard:",
            )
