"""Reads the report.json of an earlier report, trusting nothing in it, into findings and readings as noted.

What it says is put back into the form of a note and read by the same rules, so that whatever would not pass
in the notes passes from here neither, and so that every value keeps its privacy category.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

from reportgen import jsonin, past, photopaths, photos, units
from reportgen.block import PhotoNote, keys_of, read_block
from reportgen.blocks.cover import STATUSES, SURVEYS
from reportgen.blocks.deal import Price
from reportgen.blocks.note import NotInspected
from reportgen.blocks.people import People
from reportgen.blocks.vessel import Vessel
from reportgen.errors import PhotoError, Place, Problems
from reportgen.jsonin import BadFileError
from reportgen.kind import OUTCOMES
from reportgen.model import EARLIER, Earlier, Finding, Gap, OldFinding, OldReading, Past
from reportgen.values import Context
from reportgen.yamltext import Items, Keys, Node, Scalar

MOST_PAST = 20  # earlier surveys whose values are kept for a trend [-]
UNTOLD = "not named"
_SHARES = ("pays", "tax", "material_threshold")
_UNSAID = "XXX"
# a link to a place of the earlier page leads nowhere on this one
_ANCHOR = re.compile(r"\[([^\[\]]*)\]\(#[^()\s]*\)")


def read(name: str, folder: Path, place: Place, problems: Problems) -> Earlier | None:
    """Read the report that `follows` names; None after telling, at its place, why it can't be used.

    name: path from the survey's folder; the one path of the notes that may lead out of it.
    """
    try:
        path = jsonin.path(name, folder)
        made = _Reader(jsonin.parsed(path), path.parent, place.at("follows")).earlier()
        return replace(made, file=path)
    except BadFileError as bad:
        where = f"{bad.where}: " if bad.where else ""
        problems.error(place.at("follows"), f"{name}: {where}{bad.what}", bad.write)
    except RecursionError:
        found = f"{name}: is nested deeper than any report"
        problems.error(place.at("follows"), found, jsonin.AS_PUBLISHED)
    return None


class _Reader:
    """Takes a parsed file apart; the first thing that can't be ends it."""

    def __init__(self, data: Mapping[str, Any], folder: Path, place: Place) -> None:
        self.data, self.folder, self.place = data, folder, place
        price = data.get("price")
        code = price.get("currency") if isinstance(price, dict) else ""
        self.currency = code if isinstance(code, str) and units.currency_known(code) else _UNSAID
        survey = jsonin.object_(data.get("survey"), "survey")
        self.number = jsonin.text(survey.get("number"), "survey.number")
        self.inspected = tuple(
            jsonin.day(d, f"survey.inspected[{n}]")
            for n, d in enumerate(jsonin.list_(survey.get("inspected"), "survey.inspected"))
        )
        if not self.inspected:
            raise BadFileError("survey.inspected", "names no day")
        self.survey = survey
        reported = survey.get("reported")
        self.reported = None if reported is None else jsonin.day(reported, "survey.reported")
        self.on = max(self.inspected)

    def earlier(self) -> Earlier:
        """Give the whole of it."""
        readings = self._readings()
        findings = self._findings({r.id for r in readings})
        left_out = _left_out(jsonin.object_(self.data.get("left_out", {}), "left_out"))
        highest = max((f.ref for f in findings), default=0)
        last = jsonin.whole(self.data.get("last_ref", highest + sum(n for _, n in left_out)), "last_ref")
        return Earlier(
            self.number,
            jsonin.whole(self.survey.get("version", 1), "survey.version"),
            jsonin.word(self.survey.get("status", "final"), STATUSES, "survey.status"),
            jsonin.word(self.survey.get("kind", SURVEYS[0]), SURVEYS, "survey.kind"),
            jsonin.text(self.data.get("edition", ""), "edition"),
            self.inspected,
            self.reported,
            max(last, highest),
            left_out,
            findings,
            readings,
            tuple(self._gaps()),
            self._block(Vessel, "vessel"),
            self._block(People, "people", self._people()),
            self._block(Price, "price") if self.currency != _UNSAID else None,
        )

    def _gaps(self) -> Iterator[Gap]:
        covered = jsonin.object_(self.data.get("coverage", {}), "coverage")
        listed = jsonin.list_(covered.get("not_inspected", []), "coverage.not_inspected")
        for n, each in enumerate(listed):
            where = f"coverage.not_inspected[{n}]"
            given = jsonin.object_(each, where)
            part = jsonin.text(given.get("part"), f"{where}.part")
            entry = self._read(NotInspected, _keys(NotInspected, given, where), where)
            yield Gap(part, jsonin.text(given.get("system", ""), f"{where}.system"), entry)

    def _people(self) -> Mapping[str, Any]:
        people = dict(jsonin.object_(self.data.get("people", {}), "people"))
        people.setdefault("surveyor", {"name": UNTOLD})
        return people

    def _block(self, block: type, where: str, value: Mapping[str, Any] | None = None) -> Any:
        given = jsonin.object_(self.data.get(where), where) if value is None else value
        return self._read(block, _keys(block, given, where), where)

    def _read(self, block: type, keys: Keys, where: str) -> Any:
        problems = Problems()
        found: Any = read_block(block, keys, Context(problems, self.currency), "it")
        for problem in problems.errors:
            raise BadFileError(problem.place.key or where, problem.found)
        return found

    def _findings(self, readings: set[str]) -> tuple[OldFinding, ...]:
        listed = jsonin.list_(self.data.get("findings", []), "findings")
        names = {f.get("id") for f in listed if isinstance(f, dict) and isinstance(f.get("id"), str)}
        found = [
            self._finding(jsonin.object_(f, f"findings[{n}]"), f"findings[{n}]", readings, names)
            for n, f in enumerate(listed)
        ]
        jsonin.unlike((f.id for f in found), "findings")
        jsonin.unlike((f.ref for f in found), "findings", "number")
        return tuple(found)

    def _finding(
        self, value: Mapping[str, Any], where: str, readings: set[str], findings: set[Any]
    ) -> OldFinding:
        id = jsonin.id_(value.get("id"), f"{where}.id")
        title = jsonin.text(value.get("title"), f"{where}.title")
        bare = {n: v for n, v in value.items() if n not in ("photos", "private", "withdrawn", "instead_of")}
        bare.setdefault("first_reported", (self.reported or self.on).isoformat())
        bare["evidence"] = _named(bare.get("evidence"), f"{where}.evidence", readings, findings)
        for name in ("reported_done", "checked", "looked_at_again"):
            if isinstance(bare.get(name), dict):  # names may have been hidden from the file's readers
                bare[name] = {"by": UNTOLD} | {n: v for n, v in bare[name].items() if "photo" not in n}
        repair = bare.get("repair")
        if isinstance(repair, dict) and isinstance(repair.get("quote"), dict):
            bare["repair"] = repair | {"quote": {"from": UNTOLD} | repair["quote"]}
        was = bare.get("severity_was")
        if isinstance(was, dict):
            bare["severity_was"] = {was.get("severity"): was.get("why"), "on": was.get("on")}
        if isinstance(checked := bare.get("checked"), dict):
            checked["evidence"] = _named(checked.get("evidence"), f"{where}.checked", readings, findings)
        keys = _keys(Finding, bare, where)
        return OldFinding(
            id,
            jsonin.whole(value.get("ref"), f"{where}.ref"),
            title,
            self._read(Finding, keys, where),
            keys,
            _without_anchors(jsonin.text(value.get("prose", ""), f"{where}.prose", lines=True)),
            tuple(
                photo
                for name in ("photos_before", "photos")
                for photo in self._photos(value.get(name, []), f"{where}.{name}")
            ),
            value.get("listed_by_tool") is True,
        )

    def _photos(self, value: object, where: str) -> Iterator[PhotoNote]:
        """Give the photos that lie beside the file, where the whole folder was kept."""
        for n, each in enumerate(jsonin.list_(value, where)):
            photo = jsonin.object_(each, f"{where}[{n}]")
            name = jsonin.id_(photo.get("name"), f"{where}[{n}].name")
            path = self.folder / "photos" / f"{name}.jpg"
            if _shows(path):
                shows = _without_anchors(jsonin.text(photo.get("shows", ""), f"{where}[{n}].shows"))
                taken = photo.get("taken")
                day = None if taken is None else jsonin.day(taken, f"{where}[{n}].taken")
                day = day or (self.on if len(self.inspected) == 1 else None)
                yield PhotoNote(photo=str(path.resolve()), shows=shows, taken=day, place=self.place)

    def _readings(self) -> tuple[OldReading, ...]:
        own = jsonin.list_(self.data.get("readings", []), "readings")
        found = [
            self._reading(jsonin.object_(r, f"readings[{n}]"), f"readings[{n}]") for n, r in enumerate(own)
        ]
        jsonin.unlike((r.id for r in found), "readings")
        follow_up = jsonin.object_(self.data.get("follow_up", {}), "follow_up")
        known = {r.id for r in found}
        for n, each in enumerate(jsonin.list_(follow_up.get("readings", []), "follow_up.readings")):
            where = f"follow_up.readings[{n}]"
            older = self._reading(jsonin.object_(each, where), where, own=False)
            if older.id not in known and older.past:
                found.append(older)
                known.add(older.id)
        return tuple(found)

    def _reading(self, value: Mapping[str, Any], where: str, own: bool = True) -> OldReading:
        before = [
            past.past(jsonin.object_(p, f"{where}.past[{n}]"), f"{where}.past[{n}]")
            for n, p in enumerate(jsonin.list_(value.get("past", []), f"{where}.past"))
        ][-MOST_PAST:]
        if own:
            outcome = jsonin.word(value.get("outcome"), OUTCOMES, f"{where}.outcome")
            before.append(Past(self.on, self.number, outcome, past.values(value, where)))
        days = [p.on for p in before]
        if days != sorted(set(days)):
            raise BadFileError(f"{where}.past", "days are not in order")
        return OldReading(
            jsonin.id_(str(value.get("id", "")).removeprefix(EARLIER), f"{where}.id"),
            jsonin.text(value.get("kind"), f"{where}.kind"),
            jsonin.text(value.get("title", ""), f"{where}.title"),
            jsonin.text(value.get("at", ""), f"{where}.at"),
            tuple(before),
        )


# ---- from JSON back to a note


def _keys(block: type, value: Mapping[str, Any], where: str) -> Keys:
    """Give the keys of a block that a file holds; what this block has no key for is passed over."""
    known = keys_of(block)
    entries = []
    for name, each in value.items():
        key = name.replace("_", " ")
        if key in known and each not in (None, "", []):
            entries.append((Scalar(key, Place(key=where)), _node(name, each, f"{where}.{name}")))
    return Keys(tuple(entries), Place(key=where))


def _node(name: str, value: object, where: str) -> Node:
    place = Place(key=where)
    if isinstance(value, bool):
        return Scalar("yes" if value else "no", place)
    if isinstance(value, int | Decimal):
        number = str(value) if isinstance(value, int) else f"{value:f}"
        return Scalar(number + (" %" if name in _SHARES else ""), place)
    if isinstance(value, str):
        return Scalar(jsonin.text(value, where), place, quoted=True)
    if isinstance(value, list):
        return Items(tuple(_node(name, v, f"{where}[{n}]") for n, v in enumerate(value)), place)
    given = jsonin.object_(value, where)
    if set(given) == {"value", "unit"}:
        return Scalar(f"{given['value']} {given['unit']}", place)
    if {"low", "likely", "high"} <= set(given):
        figures = " / ".join(str(given[n]) for n in ("low", "likely", "high"))
        return Scalar(f"{figures} {given.get('unit', '')}".strip(), place)
    entries = (
        (
            Scalar(n.replace("_", " "), place),
            _node(name if name == "pays" else n, v, f"{where}.{n}"),
        )
        for n, v in given.items()
        if v is not None
    )
    return Keys(tuple(entries), place)


def _named(value: object, where: str, readings: set[str], findings: set[Any]) -> list[str]:
    """Give evidence with `earlier/` before a reading's id; what the file doesn't hold is passed over."""
    names = [jsonin.text(v, f"{where}[{n}]") for n, v in enumerate(jsonin.list_(value or [], where))]
    bare = (name.removeprefix(EARLIER) for name in names)
    return [EARLIER + b if b in readings else b for b in bare if b in readings or b in findings]


def _shows(path: Path) -> bool:
    """Say whether a photo lies there that can be published again."""
    try:
        photos.check(photopaths.inside(path.parent.parent, f"photos/{path.name}"))
    except PhotoError:
        return False
    return True


def _left_out(value: Mapping[str, Any]) -> tuple[tuple[str, int], ...]:
    found = jsonin.object_(value.get("findings", {}), "left_out.findings")
    return tuple(
        (jsonin.text(s, "left_out"), jsonin.whole(n, f"left_out.findings.{s}"))
        for s, n in sorted(found.items())
    )


def _without_anchors(text: str) -> str:
    return _ANCHOR.sub(r"\1", text)
