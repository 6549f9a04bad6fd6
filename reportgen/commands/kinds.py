"""Lists the readings that can be judged, with their limits and the sources of these."""

from __future__ import annotations

import argparse
import sys
import textwrap
from typing import TYPE_CHECKING

from reportgen.command import Command
from reportgen.errors import nearest

if TYPE_CHECKING:
    from reportgen.kind import Kind


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("kind", metavar="KIND", nargs="?", help="one kind, in full")


def _run(arguments: argparse.Namespace) -> int:
    from reportgen import racks

    kinds = {kind.name: kind for kind in racks.all_of("kinds", "KIND").values()}
    if arguments.kind is None:
        for kind in kinds.values():
            print(f"{kind.name:14} {kind.measures}")
        return 0
    kind = kinds.get(arguments.kind)
    if kind is None:
        near = nearest(arguments.kind, kinds)
        print(f"reportgen: no kind {arguments.kind!r}; write {near or ', '.join(kinds)}", file=sys.stderr)
        return 2
    print("\n".join(_in_full(kind)))
    return 0


def _in_full(kind: Kind) -> list[str]:
    from reportgen import sources
    from reportgen.block import keys_of

    lines = [kind.title, *textwrap.wrap(kind.measures, 78), "", "Keys in the fence:"]
    lines += [
        f"  {name}: {spec.metadata['type'].words}. {spec.metadata['help']}"
        for name, spec in keys_of(kind.fields).items()
    ]
    lines += ["", f"Units: {', '.join(kind.units)}", "", "General limits, used where the note brings none:"]
    lines += [f"  {li.word}: {li.side} {li.value:g} {li.unit}. {li.source}" for li in kind.limits] or [
        "  none"
    ]
    lines += ["", "It can show:", *(f"  {text}" for text in kind.proves)]
    lines += ["", "It can't show:", *(f"  {text}" for text in kind.proves_not)]
    lines += [
        "",
        "Sources:",
        *(f"  {sources.get(id)} (read: {sources.get(id).read})" for id in kind.source_ids),
    ]
    return lines


COMMAND = Command(
    "list the readings it can judge, their limits and sources",
    "Lists the kinds of reading; with KIND, its keys, limits, sources and what it can and can't show.",
    _arguments,
    _run,
)
