"""Which boat it is: what was advertised beside what was found, and what the hull number tells."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen.edition import Edition
from reportgen.identity import Line, Value
from reportgen.passage import Passage, capital, rich
from reportgen.report import Report
from reportgen.wording import say, say_in, say_n, term

SIDES = ("port", "starboard")


def _build(report: Report, edition: Edition) -> Mapping[str, Any] | None:
    if not report.identity and report.hull_number is None:
        return None
    compared = any(line.advertised not in (None, "") for line in report.identity)
    return {
        "heading": "" if compared else say("The boat as found"),
        "lines": [
            {
                "what": _named(line.what),
                "advertised": _printed(line.advertised),
                "found": _printed(line.found),
                "agrees": line.agrees,
                "note": _note(line),
                "listed": line.agrees is not None
                or line.advertised not in (None, "")
                or bool(line.source_id),
            }
            for line in report.identity
            if not _of_a_machine(line)
        ],
        "waters": report.cover.vessel.waters,
        "hull": _hull(report),
        "ask": _ask(report, edition),
        "engines": _engines(report),
    }


def _named(what: str) -> str:
    """Give what a line is of in the reader's language: a key of the boat, of its plate or of a machine."""
    label, colon, key = what.rpartition(": ")
    return f"{_machine(label)}: {term(key)}" if colon else term(what)


def _machine(label: str) -> str:
    for machine in ("engine", "drive", "gearbox", "generator"):
        if label.endswith(f" {machine}"):
            return _sided(label.removesuffix(f" {machine}"), machine)
        number = label.removeprefix(f"{machine} ")
        if number.isdigit():
            return f"{term(machine)} {number}"
    return term(label)


def _sided(name: str, machine: str) -> str:
    """Give a machine by its name, a side's in the reader's language."""
    side = name.lower() in SIDES
    return say("{name} {machine}", name=term(name.lower()) if side else name, machine=term(machine))


def _note(line: Line) -> str:
    """Give what a reader has to know of a line, as a sentence where a verdict stands before it."""
    if line.agrees is None or not line.note:
        return line.note
    return f"{capital(line.note).removesuffix('.')}."


def _of_a_machine(line: Line) -> bool:
    """Say whether a line tells what the list of engines and drives says already."""
    machine = ": " in line.what and not line.what.lower().startswith("capacity plate")
    return machine and line.agrees is None and line.advertised in (None, "")


def _printed(value: Value) -> str | None:
    return None if value is None else str(value)


def _hull(report: Report) -> Mapping[str, Any] | None:
    hull = report.hull_number
    return (
        None
        if hull is None
        else {
            "text": hull.text,
            "valid": hull.valid,
            "format": hull.format,
            "problems": hull.problems,
            "tells": hull.tells[1:],  # the form, which a sentence of its own gives
            "cannot_tell": hull.cannot_tell,
        }
    )


def _ask(report: Report, edition: Edition) -> Mapping[str, Any] | None:
    """Say whom a buyer asks for the full hull number, where the edition masks it."""
    if "hull number" not in edition.masked or report.hull_number is None:
        return None
    release = report.cover.release
    return {"who": release.by if release else "", "how": rich(release.ask) if release else ""}


def _engines(report: Report) -> list[Mapping[str, Any]]:
    found = report.cover.found
    rows: list[Mapping[str, Any]] = []
    for what, machine, units in (
        (say("Engine"), "engine", found.engines),
        (say("Drive"), "drive", found.drives),
        (say("Gearbox"), "gearbox", found.gearboxes),
        (say("Generator"), "generator", found.generators),
    ):
        for unit in units:
            words = (
                unit.maker,
                unit.model,
                str(unit.power or ""),
                say("serial {serial}", serial=unit.serial) if unit.serial else "",
            )
            hours = say("{hours} run", hours=unit.hours) if unit.hours else ""
            sided = unit.name.lower() in SIDES
            built = say("built {built}", built=unit.built) if unit.built else ""
            more = (
                say_n("{n} cylinder", "{n} cylinders", unit.cylinders) if unit.cylinders else "",
                say_in("fuel", unit.fuel),
                say("{n}-stroke", n=unit.strokes) if unit.strokes else "",
            )
            rows.append(
                {
                    "what": capital(_sided(unit.name, machine)) if sided else what,
                    "name": "" if sided else rich(unit.name),
                    "facts": [w for w in (*words, *more, built, hours) if w],
                }
            )
    return rows


PASSAGE = Passage("identity", "Advertised and found", _build)
