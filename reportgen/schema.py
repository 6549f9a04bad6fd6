"""The rules of the notes' YAML as JSON Schema, for editors: made from what blocks and kinds declare."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Callable, Iterable, Mapping
from typing import Any

from reportgen import racks
from reportgen.block import Block, keys_of, named
from reportgen.blocks.note import NoteKeys
from reportgen.cells import Cells, Words
from reportgen.kind import Kind
from reportgen.limits import RANGE, SWITCH, Limits
from reportgen.model import Cover, Finding, Reading
from reportgen.values import (
    Date,
    DateOrWords,
    Either,
    ListOf,
    MapOf,
    Measure,
    Money,
    OneOf,
    Percent,
    SpanOf,
    Text,
    Type,
    Whole,
    YesNo,
)

DRAFT = "https://json-schema.org/draft/2020-12/schema"
PARTS = ("cover", "note", "finding", "reading")
# a finding that an earlier report has needs no severity: it brings its own
_FOLLOWS_UP = ("reported done", "checked", "looked at again", "severity was", "withdrawn", "private")
_NOTHING = {"type": "null"}
_TEXT = {"type": ["string", "number", "boolean"]}
_DATE = {"type": "string", "format": "date", "pattern": r"^\s*\d{4}-\d{2}-\d{2}\s*$"}
_PAGE = {
    "type": "object",
    "description": "A plain page of the site.",
    "properties": {"page": {**_TEXT, "description": "the page's heading"}},
    "additionalProperties": False,
}
_FIGURE = {"type": ["string", "number"], "pattern": r"\d|^\s*not taken"}
_ONE = r"[^/]*\d[^/]*"

Schema = dict[str, Any]


def document(of: str = "") -> Schema:
    """Give the JSON Schema (draft 2020-12) of a part of the notes, or of any front matter.

    of: one of PARTS, empty for front matter: the cover note's where `survey` stands in it, else a note's.
    The parts stand in `$defs` by name, and a reading's keys by its kind as `reading of KIND`.
    """
    made = _Maker()
    parts = {"cover": made.cover(), "note": made.block(NoteKeys), "finding": made.finding()}
    parts["reading"] = made.reading()
    head: Schema = {"$schema": DRAFT, "title": f"reportgen: {of or 'front matter of a note'}"}
    if of:
        head |= {"$ref": f"#/$defs/{of}"}
    else:
        note = {"if": _NOTHING, "then": {}, "else": _ref("note")}
        rest = {"if": {"type": "object", "required": ["page"]}, "then": _PAGE, "else": note}
        head |= {"if": {"type": "object", "required": ["survey"]}, "then": _ref("cover"), "else": rest}
    whole = made.defs | parts
    return head | {"$defs": {name: whole[name] for name in sorted(reached(head, whole))}}


def reached(schema: Any, whole: Mapping[str, Schema], seen: frozenset[str] = frozenset()) -> frozenset[str]:
    """Give the names in `$defs` that a schema points to, near or far."""
    if isinstance(schema, dict):
        target = str(schema.get("$ref", "")).removeprefix("#/$defs/").partition("/")[0]
        if target and target not in seen:
            seen = reached(whole[target], whole, seen | {target})
        schema = list(schema.values())
    for each in schema if isinstance(schema, list) else ():
        seen = reached(each, whole, seen)
    return seen


def _ref(name: str) -> Schema:
    return {"$ref": f"#/$defs/{name}"}


def _any(schemas: Iterable[Schema]) -> Schema:
    """Give the schema of what fits one of several."""
    every = list(schemas)
    return every[0] if len(every) == 1 else {"anyOf": every}


class _Maker:
    """Makes schemas of types; a block of keys stands once, in `defs`, and is pointed to."""

    def __init__(self) -> None:
        self.defs: dict[str, Schema] = {}
        self.blocks: dict[str, type] = {}
        self.forms: dict[str, Type] = {}

    def cover(self) -> Schema:
        both = {**keys_of(Cover), **keys_of(NoteKeys)}
        return self._keys(both, "The cover note: which boat, when, where, for whom, and the money.")

    def finding(self) -> Schema:
        found = self._keys(keys_of(Finding), "A finding.") | {"required": []}
        found["properties"] |= {"id": _id()}
        follows = {"anyOf": [{"required": [name]} for name in _FOLLOWS_UP]}
        return found | {"if": follows, "then": {}, "else": {"required": ["severity"]}}

    def reading(self) -> Schema:
        """Give the schema of a reading: which keys it may have hangs on its kind."""
        kinds: dict[str, Kind] = {k.name: k for k in racks.all_of("kinds", "KIND").values()}
        self.defs["every reading"] = self._keys(keys_of(Reading), "What every reading may say.")
        for name, kind in kinds.items():
            self.defs[f"reading of {name}"] = self._of_kind(kind)
        rules = [
            {
                "if": {"properties": {"kind": {"const": name}}, "required": ["kind"]},
                "then": _ref(f"reading of {name}"),
            }
            for name in kinds
        ]
        what = keys_of(Reading)["kind"].metadata["help"]
        kind_ = {"enum": list(kinds), "description": what}
        head: Schema = {"type": "object", "description": "A reading.", "required": ["kind"]}
        return head | {"properties": {"kind": kind_}, "allOf": rules}

    def _of_kind(self, kind: Kind) -> Schema:
        shared = {name: _ref(f"every reading/properties/{name}") for name in keys_of(Reading)}
        named_ = {"id": _id(), "kind": {"const": kind.name, "description": kind.measures}}
        own = self._keys(keys_of(kind.fields), kind.measures)
        own["properties"] |= shared | named_
        if kind.units:
            own["properties"]["unit"] = _ref("every reading/properties/unit") | {"examples": list(kind.units)}
        return own

    def block(self, block: type) -> Schema:
        first = re.sub(r"\s+", " ", (block.__doc__ or "").split("\n\n")[0]).strip()
        return self._keys(keys_of(block), first)

    def _keys(self, keys: Mapping[str, dataclasses.Field[Any]], description: str) -> Schema:
        return {
            "type": "object",
            "description": description,
            "properties": {named(spec): self._key(spec) for spec in keys.values()},
            "required": [name for name, spec in keys.items() if spec.metadata["need"] == "must"],
            "additionalProperties": False,
        }

    def _key(self, spec: dataclasses.Field[Any]) -> Schema:
        """Give the schema of a key; one that may be left out may also stand empty."""
        found = self.of(spec.metadata["type"])
        schema = found if spec.metadata["need"] == "must" else _any([found, _NOTHING])
        words = spec.metadata["type"].words
        return {"description": f"{spec.metadata['help']} ({words})"} | schema

    def of(self, type: Type) -> Schema:
        """Give the schema of a value of a type."""
        form: tuple[Type, ...] | None = getattr(type, "form", None)
        if form == ():
            return {}
        if form is not None:
            name = _plain(type.words)
            if self.forms.setdefault(name, type) != type:
                return _any(self.of(each) for each in form)  # another type of the same words
            if name not in self.defs:
                self.defs[name] = {}
                self.defs[name] = _any(self.of(each) for each in form)
            return _ref(name)
        for known, make in _WAYS.items():
            if isinstance(type, known):
                return make(self, type)
        raise TypeError(f"no schema for {type!r}: give it a form, or a row in _WAYS")

    def block_of(self, type: Block) -> Schema:
        name = type.block.__name__
        if self.blocks.setdefault(name, type.block) is not type.block:
            raise TypeError(f"two blocks are called {name}: rename one")
        if name not in self.defs:
            self.defs[name] = {}  # a block that holds itself points here
            self.defs[name] = self.block(type.block)
        here = _ref(name)
        alone: Schema = {"type": "array", "items": here, "minItems": 1, "maxItems": 1}
        return _any([here, *([_TEXT] if type.short else []), alone])

    def list_of(self, type: ListOf) -> Schema:
        item = self.of(type.item)
        return _any([item, {"type": "array", "items": _any([item, _NOTHING])}])

    def map_of(self, type: MapOf) -> Schema:
        names = {"type": "object", "additionalProperties": _any([self.of(type.value), _NOTHING])}
        return _any([names, {"type": "array", "items": names}])

    def either(self, type: Either) -> Schema:
        return _any(self.of(each) for each in (type.text, type.items, type.keys) if each is not None)

    def limits(self, type: Limits) -> Schema:
        words = {word: _limit(word, dimension, type) for word, dimension in type.dimensions.items()}
        source = {"description": "manual and section it is from", **_TEXT}
        one = {
            "type": "object",
            "properties": {**words, "source": source},
            "required": ["source"],
            "minProperties": 2,
            "additionalProperties": False,
        }
        return _any([one, {"type": "array", "items": one}])


def _plain(words: str) -> str:
    """Give words that may stand in a pointer: no slash, no brace."""
    return re.sub(r"[^\w ,.-]+", "", words.replace(" / ", " ")).strip()


def _id() -> Schema:
    return {"description": "id, if not made from the heading", "type": "string", "pattern": "^[a-z0-9-]+$"}


def _limit(word: str, dimension: str, type: Limits) -> Schema:
    if dimension == SWITCH:
        return {"enum": ["yes", "no"]}
    figure: Schema = _FIGURE
    if word == RANGE:
        figure = {"type": "array", "items": _FIGURE, "minItems": 2, "maxItems": 2}
    by_name: Schema = {"type": "object", "additionalProperties": figure}
    if type.names:
        by_name = {"type": "object", "properties": dict.fromkeys(type.names, figure)} | {
            "additionalProperties": False
        }
    return _any([*([figure] if dimension else []), *([by_name] if type.by_name else [])])


def _text(maker: _Maker, type: Text) -> Schema:
    maker.defs["one text"] = _any([_TEXT, {"type": "array", "items": _TEXT, "minItems": 1, "maxItems": 1}])
    return _ref("one text")


def _one_of(maker: _Maker, type: OneOf) -> Schema:
    # a bare number is no text to an editor
    numbers = [int(c) for c in type.choices if c.isdecimal()]
    return {"enum": [*type.choices, *numbers]}


def _whole(maker: _Maker, type: Whole) -> Schema:
    return _any(
        [{"type": "integer", "minimum": type.least}, {"type": "string", "pattern": r"^\s*(0|[1-9]\d*)\s*$"}]
    )


def _money(maker: _Maker, type: Money) -> Schema:
    sign = "[-+\N{MINUS SIGN}]?" if type.signed else r"\+?"
    least: Schema = {} if type.signed else {"minimum": 0}
    return {"type": ["number", "string"], "pattern": rf"^\s*{sign}\d+(\.\d+)?\s*$"} | least


def _span(maker: _Maker, type: SpanOf) -> Schema:
    return {"type": ["number", "string"], "minimum": 0, "pattern": f"^{_ONE}(/{_ONE}/{_ONE})?$"}


def _cells(maker: _Maker, type: Cells) -> Schema:
    cell = _any([_FIGURE | {"pattern": r"\d|^\s*(not taken|[-\u2013\u2014]?\s*$)"}, _NOTHING])
    return _any([{"type": "object", "additionalProperties": cell}, {"type": "array", "items": cell}])


def _words(maker: _Maker, type: Words) -> Schema:
    return {"type": "object", "additionalProperties": _any([_TEXT, _NOTHING])}


_WAYS: Mapping[type, Callable[[_Maker, Any], Schema]] = {
    Block: _Maker.block_of,
    ListOf: _Maker.list_of,
    MapOf: _Maker.map_of,
    Either: _Maker.either,
    Limits: _Maker.limits,
    Text: _text,
    OneOf: _one_of,
    YesNo: lambda maker, type: {"enum": ["yes", "no"]},
    Date: lambda maker, type: _DATE,
    DateOrWords: lambda maker, type: {"type": "string"},
    Whole: _whole,
    Money: _money,
    Measure: lambda maker, type: _FIGURE,
    Percent: lambda maker, type: _FIGURE,
    SpanOf: _span,
    Cells: _cells,
    Words: _words,
}
