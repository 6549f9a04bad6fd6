"""The shape of report.json as JSON Schema, made from the declarations that report.json is made from."""

from __future__ import annotations

import dataclasses
import datetime
import types
import typing
from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any, Union

from reportgen import asjson, racks, wording
from reportgen.aboard import Requirement
from reportgen.block import Spot
from reportgen.blocks.note import NotInspected
from reportgen.cells import Cell, Head, Word
from reportgen.coverage import Coverage
from reportgen.edition import NEVER
from reportgen.estimate import Estimate
from reportgen.followup import FollowUp
from reportgen.hullnumber import HullNumber
from reportgen.identity import Line
from reportgen.kind import OUTCOMES, Step
from reportgen.model import Cover, Finding, OldReading, Prose, Reading
from reportgen.report import JudgedReading, Report
from reportgen.schema import DRAFT, reached
from reportgen.settlement import Settlement
from reportgen.units import Quantity, Span
from reportgen.valuation import Valuation

Schema = dict[str, Any]
TEXT: Schema = {"type": "string"}
TEXTS: Schema = {"type": "array", "items": TEXT}
WHOLE: Schema = {"type": "integer"}
NUMBER: Schema = {"type": "number"}
YES: Schema = {"type": "boolean"}
DATE: Schema = {"type": "string", "format": "date", "pattern": r"^\d{4}-\d{2}-\d{2}$"}
MONEY: Schema = {"type": "string", "pattern": r"^-?\d+(\.\d+)?$", "description": "in the survey's currency"}
QUANTITY: Schema = {
    "type": "object",
    "properties": {"value": NUMBER, "unit": TEXT},
    "required": ["value", "unit"],
    "additionalProperties": False,
}
SPAN: Schema = {
    "type": "object",
    "properties": {"low": MONEY, "likely": MONEY, "high": MONEY, "unit": TEXT},
    "required": ["low", "likely", "high"],
    "additionalProperties": False,
}
_PLAIN: Mapping[Any, Schema] = {
    str: TEXT,
    int: WHOLE,
    float: NUMBER,
    bool: YES,
    Decimal: MONEY,
    datetime.date: DATE,
    Quantity: QUANTITY,
    Span: SPAN,
    Prose: TEXT | {"description": "Markdown, as written"},
    type(None): {"type": "null"},
}


def document() -> Schema:
    """Give the JSON Schema (draft 2020-12) of report.json, of whatever edition.

    It is closed: a key that it doesn't name is in no report of this format.
    """
    made = _Maker()
    keys = made.top()
    return {
        "$schema": DRAFT,
        "title": asjson.FORMAT,
        "type": "object",
        "properties": keys,
        "required": [
            "format",
            "edition",
            "survey",
            "vessel",
            "people",
            "findings",
            "readings",
            "fingerprint",
        ],
        "additionalProperties": False,
        "$defs": {name: made.defs[name] for name in sorted(reached(keys, made.defs))},
    }


def _list(item: Schema) -> Schema:
    return {"type": "array", "items": item}


def _maybe(schema: Schema) -> Schema:
    return {"anyOf": [schema, {"type": "null"}]}


def _closed(properties: Mapping[str, Schema], required: Sequence[str] = ()) -> Schema:
    return {
        "type": "object",
        "properties": dict(properties),
        "required": list(required),
        "additionalProperties": False,
    }


class _Maker:
    """Makes schemas of type hints; a block stands once, in `defs`, and is pointed to."""

    def __init__(self) -> None:
        self.defs: dict[str, Schema] = {}
        self.blocks: dict[str, type] = {}

    def fields(self, block: type, but: Sequence[str] = ()) -> dict[str, Schema]:
        """Give the schemas of a block's fields that an edition may show, by their names in report.json."""
        hints = typing.get_type_hints(block)
        place = issubclass(block, Spot)
        return {
            spec.name.rstrip("_"): self.field(spec.name, hints[spec.name], place)
            for spec in dataclasses.fields(block)
            if spec.metadata.get("share", "") not in NEVER and spec.name not in but
        }

    def field(self, name: str, hint: Any, share: bool) -> Schema:
        """Give the schema of a field; a share [%] is a number where money is a string."""
        if not share and name not in asjson.SHARES:
            return self.of(hint)
        return _shares(self.of(hint))

    def of(self, hint: Any) -> Schema:
        """Give the schema of what `asjson.plain` makes of a value of a type."""
        if hint in _PLAIN:
            return _PLAIN[hint]
        origin, inner = typing.get_origin(hint), typing.get_args(hint)
        if origin in (Union, types.UnionType):
            each = [self.of(one) for one in inner if one is not type(None)]
            every = [*each, {"type": "null"}] if type(None) in inner else each
            return every[0] if len(every) == 1 else {"anyOf": every}
        if origin is tuple and inner[-1] is not Ellipsis:
            return {"type": "array", "prefixItems": [self.of(one) for one in inner], "items": False}
        if origin in (tuple, list):
            return _list(self.of(inner[0]))
        if isinstance(origin, type) and issubclass(origin, Mapping):
            return {"type": "object", "additionalProperties": self.of(inner[1])}
        if dataclasses.is_dataclass(hint) and isinstance(hint, type):
            return self.block(hint)
        return {}

    def block(self, block: type) -> Schema:
        name = block.__name__
        if self.blocks.setdefault(name, block) is not block:
            name = f"{name} of {block.__module__.rpartition('.')[2]}"
        if name not in self.defs:
            self.defs[name] = {}  # a block that holds itself points here
            self.defs[name] = _closed(self.fields(block))
        return {"$ref": f"#/$defs/{name}"}

    def top(self) -> dict[str, Schema]:
        report = self.fields(
            Report, but=("slug", "cover", "age_days", "lifted", "private", "items", "compared")
        )
        unlike = ("coverage", "hull_number", "identity", "carriage", "sources", "follow_up", "not_inspected")
        cover = self.fields(Cover)
        like = {name: schema for name, schema in report.items() if name not in unlike}
        return like | {
            "format": {"const": asjson.FORMAT},
            "edition": TEXT,
            "language": {"enum": list(wording.SPOKEN)},
            "fingerprint": {"type": "string", "pattern": "^[0-9a-f -]+$"},
            "survey": self.survey(cover),
            **{name: cover[name] for name in ("vessel", "people", "conditions")},
            **{
                name: _maybe(cover[name])
                for name in ("safety_equipment", "capacity", "disclosure", "release")
            },
            "use_limits": _list(_closed({"what": TEXT, "because": TEXTS}, ["what", "because"])),
            "use_limits_lifted": self.fields(Report)["lifted"],
            "findings": _list(self.finding()),
            "readings": _list(self.reading()),
            "photos": _list(_PHOTO),
            "coverage": self.coverage(),
            "identity": _list(self.line()),
            "carriage": _list(self.requirement()),
            "carriage_says": TEXTS,
            "jurisdiction": TEXT,
            "hull_number": self.hull_number(),
            "estimate": self.extended(Estimate, {}),
            "settlement": self.extended(Settlement, _MATERIAL),
            "valuation": self.extended(Valuation, dict.fromkeys(("low", "likely", "high"), _maybe(MONEY))),
            "price": cover["price"],
            "sources": _list(
                _closed(dict.fromkeys(("id", "title", "clause", "read"), TEXT), ["id", "title"])
            ),
            "left_out": _closed(
                {"findings": {"type": "object", "additionalProperties": WHOLE}, "photos": WHOLE}
            ),
            "follow_up": self.follow_up(),
            "not_looked_at_again": TEXTS,
        }

    def survey(self, cover: Mapping[str, Schema]) -> Schema:
        names = (
            "changes", "made_for", "scope", "agreed_scope_on", "standards", "instruments", "tests_not_made",
            "equipment", "certification", "terms", "signed", "not_to_be_relied_on_after", "replaced_by",
            "number", "version", "status", "inspected",
        )  # fmt: skip
        more = {"kind": TEXT, "follows": TEXT, "reported": _maybe(DATE), "age_days": WHOLE}
        always = ["kind", "number", "version", "status", "inspected", "reported", "age_days"]
        return _closed({name: cover[name] for name in names} | more, always)

    def finding(self) -> Schema:
        listed = self.fields(Finding, but=("by_tool", "taken_over"))
        more: dict[str, Schema] = {
            "ref": {"type": "integer", "minimum": 1},
            "state": {"enum": ["open", "reported done", "checked"]},
            "unpriced": YES,
            "listed_by_tool": YES,
            "not_looked_at_again": YES,
            "cost": self.of(_hint(_listed_finding(), "cost")),
        }
        always = ("id", "title", "system", "severity", "forbids", "basis", "confidence", "evidence")
        return _closed(listed | more, [*always, *(name for name in more if name != "cost")])

    def reading(self) -> Schema:
        common = self.fields(Reading, but=("fields", "table"))
        own = [self.kind(k.fields) for k in racks.all_of("kinds", "KIND").values()]
        judged = self.fields(JudgedReading)
        value = {"type": "object", "additionalProperties": _list(self.cell())}
        more: dict[str, Schema] = {
            "fields": {"anyOf": own},
            "outcome": {"enum": list(OUTCOMES)},
            "because": TEXT,
            "values": value,
            "table": _maybe(self.table()),
            "limits": _list(_LIMIT),
            "working": _list(_closed(self.fields(Step))),
            **dict.fromkeys(("says", "suggests", "other_criteria"), TEXTS),
            "answered_by": judged["answered_by"],
            "past": _list(self.past()),
            "repeats": TEXT,
            "then_and_now": self.then_and_now(),
        }
        return _closed(common | more, ["id", "kind", "title", *more])

    def kind(self, block: type) -> Schema:
        return _closed({n: s for n, s in self.fields(block).items() if n != "limit"})

    def cell(self) -> Schema:
        more = {"name": TEXT, "quantity": _maybe(QUANTITY), "outcome": {"enum": list(OUTCOMES)}}
        state = {"enum": ["value", "below detection", "not taken"]}
        return _closed(self.fields(Cell) | more | {"state": state}, ["name", "quantity", "state"])

    def table(self) -> Schema:
        row = {"name": TEXT, "remark": TEXT, "cells": _list(self.cell())}
        rows = _list(_closed(row | {"words": _list(_closed(self.fields(Word)))}, ["name", "cells"]))
        columns = _list(_closed(self.fields(Head)))
        return _closed({"first": TEXT, "columns": columns, "rows": rows}, ["first", "columns", "rows"])

    def past(self) -> Schema:
        values = {"type": "object", "additionalProperties": _list(self.cell())}
        past = {"on": DATE, "number": TEXT, "outcome": TEXT, "values": values}
        return _closed(past, list(past))

    def then_and_now(self) -> Schema:
        compared = typing.get_args(_hint(Report, "compared"))[0]
        return self.fields(compared)["values"]

    def coverage(self) -> Schema:
        item = _closed(dict.fromkeys(("item", "system", "outcome"), TEXT), ["item", "system"])
        gap = _closed({"part": TEXT, "system": TEXT} | self.fields(NotInspected), ["part", "system"])
        covered = self.fields(Coverage)
        known = {
            "sound": TEXTS,
            "others": _list(item),
            "findings": WHOLE,
            "not_inspected": _list(gap),
            "not_mentioned": _list(item),
            "counts": covered["counts"],
            "items": covered["items"],
            "beyond_checklist": covered["beyond"],
        }
        return _closed(known, ["sound", "others", "findings", "not_inspected", "not_mentioned"])

    def line(self) -> Schema:
        found = self.fields(Line)
        always: dict[str, Schema] = {name: _maybe(found[name]) for name in ("advertised", "found", "agrees")}
        return _closed(found | always, list(always))

    def requirement(self) -> Schema:
        found = self.fields(Requirement, but=("source_id", "clauses")) | {"source": TEXT}
        return _closed(found, list(found))

    def hull_number(self) -> Schema:
        hints = typing.get_type_hints(HullNumber)
        found = {spec.name: self.of(hints[spec.name]) for spec in dataclasses.fields(HullNumber)}
        return _closed(found, list(found))

    def extended(self, block: type, more: Mapping[str, Schema]) -> Schema:
        return _closed(self.fields(block) | dict(more))

    def follow_up(self) -> Schema:
        found = self.fields(FollowUp, but=("vessel", "people", "price"))
        old = self.fields(OldReading) | {"past": _list(self.past())}
        return _closed(found | {"readings": _list(_closed(old))}, ["accounts", "new"])


def _hint(block: type, name: str) -> Any:
    return typing.get_type_hints(block)[name]


def _listed_finding() -> type:
    """Give the block by which a report lists a finding."""
    listed: type = typing.get_args(_hint(Report, "findings"))[0]
    return listed


def _shares(schema: Schema) -> Schema:
    """Give a schema with numbers where money would be: a share is in percent."""
    if schema is MONEY:
        return NUMBER | {"description": "[%]"}
    if "anyOf" in schema:
        return {"anyOf": [_shares(one) for one in schema["anyOf"]]}
    if isinstance(schema.get("additionalProperties"), dict):
        return schema | {"additionalProperties": _shares(schema["additionalProperties"])}
    return schema


_MATERIAL = {"material_share": _maybe(NUMBER), "material_threshold": _maybe(NUMBER)}
_PHOTO = _closed(
    {
        "name": TEXT,
        "file": TEXT,
        "blurred": WHOLE,
        "marked": TEXTS,
        "width": WHOLE,
        "height": WHOLE,
        "original_sha256": TEXT,
        "camera_clock": TEXT,
    },
    ["name", "file", "blurred", "marked"],
)
_LIMIT = _closed(
    {
        **dict.fromkeys(("what", "of", "unit", "source", "from", "at"), TEXT),
        "side": {"enum": ["minimum", "maximum"]},
        "value": NUMBER,
        "found": _maybe(NUMBER),
        "below": YES,
        "outcome": {"enum": list(OUTCOMES)},
        "where": TEXTS,
    },
    ["what", "side", "value", "unit", "source", "outcome"],
)
