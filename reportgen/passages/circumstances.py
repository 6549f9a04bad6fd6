"""How the inspection was done: day, weather, scope, yardsticks, instruments, people, equipment aboard."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen.blocks.conditions import Conditions
from reportgen.edition import Edition
from reportgen.passage import Passage, day, rich
from reportgen.report import Report
from reportgen.wording import all_of, say, say_in


def _build(report: Report, edition: Edition) -> Mapping[str, Any]:
    cover = report.cover
    return {
        "days": [_day(c) for c in cover.conditions],
        "scope": rich(cover.scope),
        "agreed_on": day(cover.agreed_scope_on),
        "standards": [rich(s) for s in cover.standards],
        "instruments": [{"what": rich(i.what), "calibrated": day(i.calibrated)} for i in cover.instruments],
        "people": _people(report),
        "equipment": [rich(e) for e in cover.equipment],
        "made_for": rich(cover.made_for),
    }


def _day(c: Conditions) -> list[tuple[str, Any]]:
    rows = [
        (say("Day"), day(c.on)),
        (say("Place"), rich(c.place)),
        (say("State"), all_of(say_in("where the boat is", state) for state in c.state)),
        (say("Ashore for"), str(c.ashore_for or "")),
        (say("Weather"), rich(c.weather)),
        (say("Air"), str(c.air or "")),
        (say("Water"), str(c.water or "")),
        (say("Humidity"), str(c.humidity or "")),
        (say("Height above sea level"), str(c.altitude or "")),
        (say("Shore power and water"), rich(c.power_and_water)),
        (say("Sea trial"), rich(c.sea_trial)),
        (say("Attended"), ", ".join(c.attended)),
    ]
    return [(name, value) for name, value in rows if value]


def _people(report: Report) -> list[tuple[str, list[str]]]:
    people = report.cover.people
    rows: list[tuple[str, list[str]]] = []
    for role in ("client", "buyer", "seller", "owner", "broker", "yard"):
        person = getattr(people, role)
        words = [w for w in (person.name, person.contact) if w] if person else []
        if words:
            rows.append((say_in("role", role.capitalize()), words))
    return rows


PASSAGE = Passage("circumstances", "How it was inspected", _build)
