"""Lists the readings that can be judged, with their limits and the sources of these."""

from __future__ import annotations

import argparse
import json
import sys
import textwrap
from itertools import groupby
from typing import TYPE_CHECKING

from reportgen.command import Command
from reportgen.errors import nearest

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reportgen.kind import Kind
    from reportgen.limits import Limit

WIDTH = 78


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("kind", metavar="KIND", nargs="?", help="one kind, in full")
    parser.add_argument("--json", action="store_true", help="print keys, limits and sources as JSON")


def _run(arguments: argparse.Namespace) -> int:
    from reportgen import racks

    kinds = {kind.name: kind for kind in racks.all_of("kinds", "KIND").values()}
    if arguments.kind is None and arguments.json:
        print(json.dumps([_as_json(kind) for kind in kinds.values()], ensure_ascii=False, indent=1))
        return 0
    if arguments.kind is None:
        wide = max(len(name) for name in kinds) + 2
        for kind in kinds.values():
            print(_item(kind.measures, f"{kind.name:{wide}}", wide))
        return 0
    kind = kinds.get(arguments.kind)
    if kind is None:
        near = nearest(arguments.kind, kinds)
        print(f"reportgen: no kind {arguments.kind!r}; write {near or ', '.join(kinds)}", file=sys.stderr)
        return 2
    if arguments.json:
        print(json.dumps(_as_json(kind), ensure_ascii=False, indent=1))
    else:
        print("\n".join(_in_full(kind)))
    return 0


def _as_json(kind: Kind) -> dict[str, object]:
    """Give what --json prints of a kind; README.md promises its shape."""
    from reportgen.block import keys_of

    limits = [
        {
            "what": li.word,
            "of": li.of,
            "side": li.side,
            "value": li.value,
            "unit": li.unit,
            "source": li.source,
        }
        for li in kind.limits
    ]
    keys = [
        {"key": name, "help": spec.metadata["help"], "takes": spec.metadata["type"].words}
        for name, spec in keys_of(kind.fields).items()
    ]
    told = {"kind": kind.name, "title": kind.title, "measures": kind.measures, "units": list(kind.units)}
    return told | {"keys": keys, "limits": limits, "no_limit_because": kind.no_source}


def _item(text: str, head: str = "  ", hang: int = 4) -> str:
    return textwrap.fill(text, WIDTH, initial_indent=head, subsequent_indent=" " * hang)


def _in_full(kind: Kind) -> Iterator[str]:
    from reportgen import sources
    from reportgen.kind import fenced

    yield from (kind.title, _item(kind.measures, "", 0), "")
    yield _item(f"How: {kind.how} With: {kind.instrument}.", "", 0)
    yield from ("", "Keys in the fence, beside those of every reading:", *_keys(kind))
    if kind.table:
        yield from ("", "Table under the fence, a row for each " + kind.table.rows + ":", *_columns(kind))
    units = ", ".join(unit or "none" for unit in kind.units)
    yield from ("", f"Units: {units}" if units else "Read in words, without units.")
    yield from ("", "General limits, used where the note brings none:", *_limits(kind))
    yield from ("", "It can show:", *(_item(text) for text in kind.proves))
    yield from ("", "It can't show:", *(_item(text) for text in kind.proves_not))
    found = [sources.get(id) for id in kind.source_ids]
    yield from ("", "Sources:", *([_item(f"{s} (read: {s.read})") for s in found] or ["  none"]))
    yield from ("", "An example to paste:", "", fenced(kind, kind.example).rstrip())


def _keys(kind: Kind) -> Iterator[str]:
    from reportgen.block import keys_of

    for name, spec in keys_of(kind.fields).items():
        yield _item(f"{name}: {spec.metadata['help']} ({spec.metadata['type'].words})")


def _columns(kind: Kind) -> Iterator[str]:
    from reportgen.values import Measure

    shape = kind.table
    for column in (*shape.known.values(), *((shape.others,) if shape.others else ())) if shape else ():
        name = "any other name" if shape and column is shape.others else column.name
        words = Measure(column.dimension, column.default).words if column.dimension else "text"
        yield _item(f"{name}: {column.help} ({words})")


def _limits(kind: Kind) -> Iterator[str]:
    for source, same in groupby(sorted(kind.limits, key=lambda li: li.source), key=lambda li: li.source):
        yield _item("; ".join(_limit(limit) for limit in same) + f". {source}")
    if kind.limits_for:
        yield _item(kind.limits_for)
    if not kind.limits:
        yield _item(kind.no_source or "None: only the maker's figures count, where the note brings them.")


def _limit(limit: Limit) -> str:
    side = "at least" if limit.side == "minimum" else "at most"
    named = f"{limit.of}, " if limit.of else ""
    what = "" if limit.word in (limit.of, "minimum", "maximum") else f"{limit.word} "
    return f"{named.removesuffix(', ')}{': ' * bool(named)}{what}{side} {limit.value:g} {limit.unit}".rstrip()


COMMAND = Command(
    "list the readings it can judge, their limits and sources",
    "Lists the kinds of reading; with KIND, its keys, limits, sources, what it can and can't show, and an "
    "example to paste.",
    _arguments,
    _run,
)
