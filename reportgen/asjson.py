"""The report as data: report.json, sorted and stable, with nothing in it that the edition may not show."""

from __future__ import annotations

import dataclasses
import datetime
import hashlib
import json
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from reportgen.edition import Edition
from reportgen.model import Prose
from reportgen.report import JudgedReading, ListedFinding, Report
from reportgen.units import Quantity, Span

FORMAT = "reportgen report 1"


def document(report: Report, edition: Edition) -> dict[str, Any]:
    """Give report.json of a report as the edition shows it.

    Money is a string with the currency's decimals, quantities are {value, unit}, dates ISO 8601.
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
        "findings": [_finding(f) for f in report.findings],
        "readings": [_reading(r) for r in report.readings],
        "not_inspected": [
            {"part": g.part, "system": g.system, **plain(g.entry)} for g in report.not_inspected
        ],
        "inspected": [{"item": i, "system": s, "outcome": o} for i, s, o in report.items],
        "identity": [plain(line) for line in report.identity],
        "hull_number": plain(report.hull_number),
        "unpriced": report.unpriced,
        "estimate": plain(report.estimate),
        "settlement": _settlement(report),
        "price": plain(cover.price) if report.settlement else None,
        "disclosure": plain(cover.disclosure),
        "release": plain(cover.release),
        "cautions": [plain(c) for c in report.cautions],
        "sources": [
            {"id": s.id, "title": str(s), "clause": s.clause, "read": s.read} for s in report.sources
        ],
        "left_out": {"findings": dict(report.left_out.findings), "photos": report.left_out.photos},
        "counted_on": report.counted_on.isoformat(),
    }
    return {name: value for name, value in whole.items() if value is not None}


def fingerprint(data: Mapping[str, Any]) -> str:
    """Give a short fingerprint of a document: 16 hexadecimal digits in groups of four, over its sorted JSON."""
    bare = {name: value for name, value in data.items() if name != "fingerprint"}
    canonical = json.dumps(bare, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    digest = hashlib.sha256(canonical.encode("utf-8")).hexdigest()[:16]
    return " ".join(digest[n : n + 4] for n in range(0, 16, 4))


def text(data: Mapping[str, Any]) -> str:
    """Give a document as the text of its file."""
    return json.dumps(data, ensure_ascii=False, sort_keys=True, indent=1) + "\n"


def _survey(report: Report) -> dict[str, Any]:
    names = (
        "survey", "number", "version", "status", "changes", "inspected", "reported", "made_for", "scope",
        "agreed_scope_on", "standards", "instruments", "tests_not_made", "equipment", "certification", "terms",
        "signed", "not_to_be_relied_on_after",
    )  # fmt: skip
    values = {name: plain(getattr(report.cover, name)) for name in names}
    values["kind"] = values.pop("survey")
    return {name: value for name, value in values.items() if value not in (None, "", [], {})} | {
        "age_days": report.age_days
    }


def _settlement(report: Report) -> dict[str, Any] | None:
    if report.settlement is None:
        return None
    whole: dict[str, Any] = plain(report.settlement)
    material = report.settlement.material
    threshold = material.threshold if material else None
    return whole | {
        "material_share": _number(material.share) if material else None,
        "material_threshold": _number(threshold) if threshold is not None else None,
    }


def _finding(listed: ListedFinding) -> dict[str, Any]:
    finding: dict[str, Any] = plain(listed.finding)
    finding.pop("by_tool")
    always = {
        "ref": listed.ref,
        "state": listed.state,
        "severity": listed.finding.severity,
        "forbids": list(listed.finding.forbids),
        "basis": listed.finding.basis,
        "confidence": listed.finding.confidence,
        "unpriced": listed.unpriced,
        "listed_by_tool": listed.finding.by_tool,
    }
    cost = {"cost": plain(listed.cost)} if listed.cost else {}
    return finding | always | cost


def _reading(judged: JudgedReading) -> dict[str, Any]:
    reading, found = judged.reading, judged.assessment
    common: dict[str, Any] = plain(dataclasses.replace(reading, fields=None))
    own = plain(reading.fields) or {}
    own.pop("limit", None)
    return common | {
        "id": reading.id,
        "kind": reading.kind,
        "at": reading.at,
        "unit": reading.unit,
        "fields": own,
        "outcome": found.outcome,
        "because": found.because,
        "values": {series: [plain(c) | {"state": c.state} for c in cells] for series, cells in found.values},
        "limits": [
            {
                "what": j.limit.word,
                "value": j.limit.value,
                "unit": j.limit.unit,
                "source": j.limit.source,
                "from": j.limit.origin,
                "found": j.value,
                "outcome": j.outcome,
                "where": list(j.where),
            }
            for j in found.judged
        ],
        "working": [plain(step) for step in found.working],
        "says": list(found.says),
        "suggests": list(found.suggests),
        "other_criteria": list(found.criteria),
        "answered_by": list(judged.answered_by),
    }


def plain(value: Any) -> Any:
    """Give a value of the report as plain JSON; private, empty and unfilled fields are not in it."""
    if isinstance(value, Quantity):
        return {"value": _number(value.value), "unit": value.unit}
    if isinstance(value, Span):
        return {"low": str(value.low), "likely": str(value.likely), "high": str(value.high)} | (
            {"unit": value.unit} if value.unit else {}
        )
    if isinstance(value, Prose):
        return value.markdown
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return _fields(value)
    if isinstance(value, Decimal):
        return str(value)
    if isinstance(value, datetime.date):
        return value.isoformat()
    if isinstance(value, Mapping):
        return {str(k): plain(v) for k, v in value.items()}
    if isinstance(value, (tuple, list)):
        return [plain(v) for v in value]
    return value


def _fields(value: Any) -> dict[str, Any]:
    specs = [s for s in dataclasses.fields(value) if s.metadata]
    named = {s.name.rstrip("_"): plain(getattr(value, s.name)) for s in specs or dataclasses.fields(value)}
    return {name: item for name, item in named.items() if item not in (None, "", [], {})}


def _number(value: Decimal) -> int | float:
    return int(value) if value == value.to_integral_value() else float(value)
