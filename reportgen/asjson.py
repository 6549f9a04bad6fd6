"""The report as data: report.json, sorted and stable, with nothing in it that the edition may not show."""

from __future__ import annotations

import dataclasses
import datetime
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from functools import cache
from typing import Any

from reportgen import identity, jsonin, jsontext
from reportgen.aboard import Requirement
from reportgen.block import Spot
from reportgen.cells import Cell, Table
from reportgen.edition import NEVER, Edition
from reportgen.fieldtable import Kind, fields_of
from reportgen.hullnumber import HullNumber
from reportgen.kind import Judged, Step
from reportgen.model import Past, Prose
from reportgen.photos import PublishedPhoto
from reportgen.report import JudgedReading, ListedFinding, Report, photos_of
from reportgen.units import Quantity, Span

FORMAT = "reportgen report 1"
fingerprint = jsonin.fingerprint
EMPTY: tuple[Any, ...] = (None, "", [], {})
_AS_IT_IS = frozenset({str, int, bool, float, type(None)})  # alike in a report and in JSON
# fields in percent; every other decimal number of a report is money
SHARES = frozenset(
    """pays share threshold material_threshold contingency labour_tax parts_tax supplies tax weight
    net_share gross_share gross_limit""".split()  # noqa: SIM905
)


def document(
    report: Report, edition: Edition, pictures: Mapping[str, PublishedPhoto] | None = None
) -> dict[str, Any]:
    """Give report.json of a report as the edition shows it.

    pictures: published photos by name, for their sizes and what may be told of their originals.
    Money is a string with the currency's decimals, quantities are {value, unit}, shares are numbers [%],
    dates ISO 8601. What the edition does not show is absent; what is not known is null or empty.
    """
    cover = report.cover
    whole = {
        "format": FORMAT,
        "edition": edition.name,
        "survey": _survey(report),
        "vessel": plain(cover.vessel),
        "people": plain(cover.people),
        "conditions": plain(cover.conditions),
        "use_limits": [{"what": u.what, "because": list(u.because)} for u in report.use_limits],
        "use_limits_lifted": [plain(u) for u in report.lifted],
        "headline": report.headline,
        "counted": report.counted,
        "findings": [_finding(f) for f in report.findings],
        "readings": [_reading(r, report) for r in report.readings],
        "measurements": [plain(m) for m in report.measurements],
        "narrative": [plain(n) for n in report.narrative],
        "photos": _photos(report, pictures or {}),
        "coverage": _coverage(report),
        "identity": [_line(line) for line in report.identity],
        "carriage": [_requirement(line) for line in report.carriage.lines],
        "carriage_says": list(report.carriage.says),
        "jurisdiction": report.carriage.jurisdiction,
        "safety_equipment": plain(cover.safety_equipment),
        "capacity": plain(cover.capacity),
        "hull_number": report.hull_number and _whole(report.hull_number),
        "unpriced": report.unpriced,
        "estimate": _estimate(report),
        # whoever gets the estimate finds them in it
        "cost_totals": None if report.estimate else plain(report.cost_totals) or None,
        "settlement": _settlement(report),
        "valuation": _valuation(report),
        "work_list": plain(report.work_list),
        "price": _price(report),
        "disclosure": plain(cover.disclosure),
        "release": plain(cover.release),
        "cautions": [plain(c) for c in report.cautions],
        "sources": [
            {"id": s.id, "title": str(s), "clause": s.clause, "read": s.read} for s in report.sources
        ],
        "left_out": {"findings": dict(report.left_out.findings), "photos": report.left_out.photos},
        "counted_on": report.counted_on.isoformat(),
        "follow_up": _follow_up(report),
        "not_looked_at_again": [f.finding.id for f in report.findings if f.finding.taken_over],
        "last_ref": report.last_ref,
    }
    return {name: v for name, v in whole.items() if v is not None} | {"language": cover.language}


def text(data: Mapping[str, Any]) -> str:
    """Give a document as the text of its file; ValueError for a number that JSON does not know."""
    return jsontext.written(data) + "\n"


def published(document: Mapping[str, Any]) -> tuple[str, str]:
    """Give the fingerprint of a document, and the text of its file with the fingerprint in it.

    As `fingerprint` and `text` do one after the other, in half the time.
    """
    # no text within JSON holds a line end or a tab: this line is the one added here, ahead of `format`
    line = '\n\t"fingerprint":\t"'
    tabbed = jsontext.tabbed({**document, "fingerprint": ""})
    print_ = jsonin.digest(jsontext.packed(tabbed.replace(f'{line}",', "", 1)))
    return print_, jsontext.spaced(tabbed.replace(line, f"{line}{print_}", 1)) + "\n"


def _survey(report: Report) -> dict[str, Any]:
    names = (
        "changes", "made_for", "scope", "agreed_scope_on", "standards", "instruments", "tests_not_made",
        "equipment", "certification", "terms", "signed", "not_to_be_relied_on_after", "replaced_by",
    )  # fmt: skip
    cover = report.cover
    values = {name: plain(getattr(cover, name)) for name in names}
    return {name: value for name, value in values.items() if value not in EMPTY} | {
        "kind": cover.survey,
        "number": cover.number,
        "version": cover.version,
        "status": cover.status,
        "follows": report.follow_up.number if report.follow_up else "",
        "inspected": plain(cover.inspected),
        "reported": plain(cover.reported),
        "age_days": report.age_days,
    }


def _photos(report: Report, pictures: Mapping[str, PublishedPhoto]) -> list[dict[str, Any]]:
    """Give each published photo once: its files, what was done to it, and what is told of its original."""
    listed = {note.name: note for note in photos_of(report)}
    return [
        {
            "name": name,
            "file": f"photos/{name}.jpg",
            "blurred": len(note.blur),
            "marked": [mark.form for mark in note.mark],
        }
        | (_picture(pictures[name]) if name in pictures else {})
        for name, note in sorted(listed.items())
    ]


def _picture(picture: PublishedPhoto) -> dict[str, Any]:
    told = {
        "original_sha256": picture.original,
        "camera_clock": picture.taken.isoformat(timespec="minutes") if picture.taken else "",
    }
    size = {"width": picture.width, "height": picture.height}
    return size | {name: value for name, value in told.items() if value}


def _coverage(report: Report) -> dict[str, Any]:
    """Give what was looked at, what was left out, and how the items of the checklist came out.

    Counts and items are absent where the boat's type has no checklist.
    """
    items = [{"item": item, "system": system, "outcome": outcome} for item, system, outcome in report.items]
    return {
        "sound": [i["item"] for i in items if i["outcome"] == "sound"],
        "others": [i for i in items if i["outcome"] != "sound"],
        "findings": len(report.findings),
        "not_inspected": [
            {"part": g.part, "system": g.system} | plain(g.entry) for g in report.not_inspected
        ],
    } | _checklist(report)


def _checklist(report: Report) -> dict[str, Any]:
    covered = report.coverage
    if covered is None:
        return {"not_mentioned": []}
    unmentioned = [i for i in covered.items if i.outcome == "not mentioned"]
    return {
        "counts": plain(covered.counts),
        "not_mentioned": [{"item": i.name, "system": i.system} for i in unmentioned],
        "items": [plain(i) for i in covered.items],
        "beyond_checklist": [plain(b) for b in covered.beyond],
    }


def _line(line: identity.Line) -> dict[str, Any]:
    always = {"advertised": plain(line.advertised), "found": plain(line.found), "agrees": line.agrees}
    found: dict[str, Any] = plain(line)
    return found | always


def _requirement(line: Requirement) -> dict[str, Any]:
    """Give a line of carriage; met is null where it could not be judged, and `why` says what is missing."""
    names = ("what", "required", "found", "met", "why", "in_force", "part")
    told = {name: getattr(line, name) for name in names}
    return told | {"source": line.source_id, "answered_by": list(line.answered_by)}


def _whole(value: HullNumber | Step) -> dict[str, Any]:
    """Give every field of a value that an edition shows as a whole."""
    return {spec.name: plain(getattr(value, spec.name)) for spec in dataclasses.fields(value)}


def _estimate(report: Report) -> dict[str, Any] | None:
    if report.estimate is None:
        return None
    found: dict[str, Any] = plain(report.estimate)
    return {"lines": [], "strip_downs": [], "by_finding": [], "unpriced_ids": []} | found


def _price(report: Report) -> dict[str, Any] | None:
    """Give the price talk; a reader who gets no more than the price agreed has that alone."""
    price = report.cover.price
    if price is None or (report.settlement is None and price.agreed is None):
        return None
    whole: dict[str, Any] = plain(price)
    return whole if report.settlement else {name: whole[name] for name in ("currency", "agreed")}


def _settlement(report: Report) -> dict[str, Any] | None:
    if report.settlement is None:
        return None
    whole: dict[str, Any] = plain(report.settlement)
    material = report.settlement.material
    threshold = material.threshold if material else None
    shares = {
        "material_share": _number(material.share) if material else None,
        "material_threshold": _number(threshold) if threshold is not None else None,
    }
    return {"ways": []} | whole | shares


def _valuation(report: Report) -> dict[str, Any] | None:
    """Give the value; low, likely and high are null where it is stated without comparables."""
    if report.valuation is None:
        return None
    whole: dict[str, Any] = plain(report.valuation)
    return {"low": None, "likely": None, "high": None, "comparables": []} | whole


def _finding(listed: ListedFinding) -> dict[str, Any]:
    finding, told = listed.finding, plain(listed.finding)
    told.pop("by_tool")
    told.pop("taken_over")
    names = ("id", "title", "system", "severity", "basis", "confidence")
    always = {name: getattr(finding, name) for name in names} | {
        "ref": listed.ref,
        "state": listed.state,
        "forbids": list(finding.forbids),
        "evidence": list(finding.evidence),
        "unpriced": listed.unpriced,
        "listed_by_tool": finding.by_tool,
        "not_looked_at_again": finding.taken_over,
    }
    cost = {"cost": plain(listed.cost)} if listed.cost else {}
    return {**told, **always, **cost}


def _follow_up(report: Report) -> dict[str, Any] | None:
    """Give what became of the earlier report's findings; of the boat and people as they were, nothing."""
    if report.follow_up is None:
        return None
    whole: dict[str, Any] = plain(report.follow_up)
    bare = {name: value for name, value in whole.items() if name not in ("vessel", "people", "price")}
    bare["readings"] = [plain(r) | {"past": [_past(p) for p in r.past]} for r in report.follow_up.readings]
    return {"accounts": [], "new": []} | bare


def _past(past: Past) -> dict[str, Any]:
    values = {series: [_cell(c, {}) for c in cells] for series, cells in past.values}
    return {"on": past.on.isoformat(), "number": past.number, "outcome": past.outcome, "values": values}


def _reading(judged: JudgedReading, report: Report) -> dict[str, Any]:
    repeats = [c for c in report.compared if c.id == judged.reading.id]
    reading, found = judged.reading, judged.assessment
    common: dict[str, Any] = plain(dataclasses.replace(reading, fields=None, table=None))
    own = {key: value for key, value in (plain(reading.fields) or {}).items() if key != "limit"}
    each = dict(found.outcomes)
    return common | {
        "id": reading.id,
        "kind": reading.kind,
        "at": reading.at,
        "unit": reading.unit,
        "fields": own,
        "outcome": found.outcome,
        "because": found.because,
        "values": _values(found.values, each),
        "table": _table(reading.table, each) if reading.table else None,
        "limits": [_limit(j) for j in found.judged],
        "working": [_whole(step) for step in found.working],
        "says": list(found.says),
        "suggests": list(found.suggests),
        "other_criteria": list(found.criteria),
        "answered_by": list(judged.answered_by),
        "past": [_past(p) for c in repeats for p in c.past],
        "repeats": repeats[0].before if repeats else "",
        "then_and_now": [plain(v) for c in repeats for v in c.values],
    }


def _values(values: Iterable[tuple[str, Sequence[Cell]]], each: Mapping[str, str]) -> dict[str, Any]:
    """Give each series; a name that an earlier series has is judged there, such as a cylinder dry and wet."""
    known = dict(each)
    return {
        series: [_cell(c, {c.name: known.pop(c.name)} if c.name in known else {}) for c in cells]
        for series, cells in values
    }


def _cell(cell: Cell, each: Mapping[str, str]) -> dict[str, Any]:
    """Give a value with its state and outcome; one that was not taken is null, never zero."""
    shown: dict[str, Any] = plain(cell)
    outcome = {"outcome": each[cell.name]} if cell.name in each else {}
    return {"name": cell.name, "quantity": None} | shown | {"state": cell.state} | outcome


def _table(table: Table, each: Mapping[str, str]) -> dict[str, Any]:
    """Give a reading's table: its columns, and each row with a cell a column."""
    columns = [{"title": h.title, "name": h.name, "of": h.of, "unit": h.unit} for h in table.heads]
    rows = [
        {"name": r.name, "remark": r.remark, "cells": [_cell(c, each) for c in r.cells]}
        | ({"words": [{"name": w.name, "text": w.text, "why": w.why} for w in r.words]} if r.words else {})
        for r in table.rows
    ]
    return {"first": table.first, "columns": columns, "rows": rows}


def _limit(judged: Judged) -> dict[str, Any]:
    limit = judged.limit
    return {
        "what": limit.word,
        "of": limit.of,
        "side": limit.side,
        "value": limit.value,
        "unit": limit.unit,
        "source": limit.source,
        "from": limit.origin,
        "found": judged.value,
        "below": judged.below,
        "at": judged.name,
        "outcome": judged.outcome,
        "where": list(judged.where),
    }


def plain(value: Any) -> Any:
    """Give a value of the report as plain JSON; private, empty and unfilled fields are not in it."""
    kind: Kind = type(value)
    if kind in _AS_IT_IS:
        return value
    if isinstance(value, (tuple, list)):
        return [item if item.__class__ in _AS_IT_IS else plain(item) for item in value]
    if isinstance(value, Decimal):
        return f"{value:f}"
    if isinstance(value, Quantity):
        return {"value": _number(value.value), "unit": value.unit}
    if isinstance(value, Span):
        three = {name: f"{getattr(value, name):f}" for name in ("low", "likely", "high")}
        return three | ({"unit": value.unit} if value.unit else {})
    if isinstance(value, Prose):
        return value.markdown
    if fields_of(kind) is not None:
        return _fields(value)
    if isinstance(value, datetime.date):
        return value.isoformat()
    if isinstance(value, Mapping):
        return {str(k): plain(v) for k, v in value.items()}
    return value


def _fields(value: Any) -> dict[str, Any]:
    """Give a block's fields that have a category; private ones stand at their defaults and tell nothing."""
    place = isinstance(value, Spot)  # a place in a photo: all its decimal numbers are percent
    found = {}
    for name, told in _named(value.__class__):
        item = getattr(value, name)
        if item.__class__ not in _AS_IT_IS:
            item = _field(name, item, place)
        if item or item == 0:  # what is empty tells nothing, a zero does
            found[told] = item
    return found


@cache
def _named(kind: Kind) -> tuple[tuple[str, str], ...]:
    """Give the fields of a type that have a category, each with its name in the file."""
    fields = fields_of(kind) or ()
    return tuple((field.name, field.name.rstrip("_")) for field in fields if field.share not in NEVER)


def _field(name: str, value: Any, share: bool) -> Any:
    """Give a field's value; a share is a number where money is a string."""
    if (share or name in SHARES) and isinstance(value, Decimal):
        return _number(value)
    if name in SHARES and isinstance(value, Mapping):
        return {key: _number(share) for key, share in value.items()}
    return plain(value)


def _number(value: Decimal) -> int | float:
    return int(value) if value == value.to_integral_value() else float(value)
