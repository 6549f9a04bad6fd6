"""What any note may say in its front matter: its system, what was inspected and what was not."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from reportgen.block import PHOTOS, Block, PhotoNote, key
from reportgen.errors import Place, listed, nearest
from reportgen.values import Context, Custom, ListOf, MapOf, Text, wrong
from reportgen.yamltext import Keys, Node, Scalar

OUTCOMES = ("sound", "not fitted", "powered up only", "operated", "told by others")


@dataclass(frozen=True)
class NotInspected:
    """A part that was not inspected. why may be "not stated"; what: the part, filled in from its key."""

    why: str = key(Text(), need="asked", share="open", help="why it was not inspected", default="")
    could_hide: str = key(Text(), share="open", help="what could hide there", default="")
    would_take: str = key(Text(), share="open", help="what it would take to inspect it", default="")
    by: str = key(Text(), share="open", help="who should do it", default="")
    place: Place = field(default=Place())


_NOT_INSPECTED = re.compile(r"not inspected[\s,:;-]*(.*)", re.S)
_PARTS = MapOf(Block(NotInspected, "a part not inspected", "why"), "part")


def _not_inspected(node: Node, context: Context) -> dict[str, NotInspected] | None:
    read = _PARTS.read(node, context)
    if read is None:
        return None
    for part, entry in read.items():
        if entry.why.lower().startswith("not fitted"):
            where = entry.place.at("not inspected")
            context.problems.error(
                where,
                f"{part!r} is not fitted, so nothing was left out",
                f"write items: {{{part}: not fitted}}",
            )
    return dict(read)


def _items(node: Node, context: Context) -> tuple[str, ...] | None:
    if isinstance(node, Scalar) and node.text[:4].isdigit():
        wrong(node, context, "write inspected: for the date; inspected items: takes names of parts")
        return None
    return ListOf(Text()).read(node, context)


def _outcomes(node: Node, context: Context) -> dict[str, str | NotInspected] | None:
    """Read an outcome by part; one left empty is not mentioned, and coverage warns of it."""
    if not isinstance(node, Keys):
        wrong(node, context, f"write lines of part: {listed(OUTCOMES)}, or part: not inspected, why")
        return None
    read = {name.text: _outcome(value, context) for name, value in node.entries}
    return {part: outcome for part, outcome in read.items() if outcome}


def _outcome(node: Node, context: Context) -> str | NotInspected | None:
    text = node.text.strip() if isinstance(node, Scalar) else None
    if text == "":
        return None
    match = _NOT_INSPECTED.fullmatch(text) if text else None
    if match and isinstance(node, Scalar):
        if not match[1]:
            context.problems.warn(node.place, "not inspected, without why", "write not inspected, and why")
        return NotInspected(why=match[1], place=node.place)
    if text in OUTCOMES:
        return text
    known = (*OUTCOMES, "not inspected, and why")
    near = nearest(re.split(r"[,:;]", text)[0], (*OUTCOMES, "not inspected")) if text else None
    wrong(node, context, f"write {next((k for k in known if near and k.startswith(near)), listed(known))}")
    return None


@dataclass(frozen=True)
class NoteKeys:
    """The front matter of a note."""

    system: str = key(Text(), share="open", help="what this note is about", default="")
    inspected_items: tuple[str, ...] = key(
        Custom("list of parts", _items, (ListOf(Text()),)),
        share="open",
        help="parts inspected and found sound",
        default=(),
    )
    items: dict[str, str | NotInspected] | None = key(
        Custom(f"part: {listed(OUTCOMES)}, or part: not inspected, why", _outcomes, (MapOf(Text(), "part"),)),
        share="open",
        help="outcome by part",
    )
    not_inspected: dict[str, NotInspected] | None = key(
        Custom("part: why, or part: {why, could hide, would take, by}", _not_inspected, (_PARTS,)),
        share="open",
        help="parts not inspected",
    )
    photos: tuple[PhotoNote, ...] = key(PHOTOS, share="open", help="photos of the boat or system", default=())
    private: str = key(Text(), help="never published", default="")
