"""The contract of a block of keys: each key with its type, who may see it, and help for the writer."""

from __future__ import annotations

import dataclasses
import datetime
from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cache
from typing import Any, TypeVar

from reportgen.errors import Place, listed, nearest
from reportgen.values import Context, Date, ListOf, MapOf, Percent, Text, Type, YesNo, wrong
from reportgen.yamltext import Items, Keys, Node, Scalar

T = TypeVar("T")
UNFILLED = "nothing filled in"


def key(
    type: Type,
    *,
    help: str,
    share: str = "private",
    need: str = "",
    name: str = "",
    default: Any = None,
) -> Any:
    """Declare a key of a block.

    type: how it is read. help: one line for the writer. share: category that an edition must list to show it.
    need: "" (may be left out), "asked" (left out = warning and "not stated"), "must" (left out = error).
    name: the key as written, where it differs from the field's name with blanks.
    """
    return field(
        default=default, metadata={"type": type, "help": help, "share": share, "need": need, "name": name}
    )


def shown(share: str, default: Any = None) -> Any:
    """Declare a field that reportgen fills in itself, with the category an edition lists to show it."""
    if isinstance(default, (list, dict, set)):
        raise TypeError("use a tuple or a frozen mapping as a default")
    return field(default=default, metadata={"share": share})


def named(spec: dataclasses.Field[Any]) -> str:
    """Give the key of a field as it is written in the notes."""
    return spec.metadata.get("name") or spec.name.rstrip("_").replace("_", " ")


def keys_of(block: type) -> Mapping[str, dataclasses.Field[Any]]:
    """Give the keys that a writer may use in a block, in the order declared."""
    return _keys_of(block)


@cache
def _keys_of(block: Hashable) -> Mapping[str, dataclasses.Field[Any]]:
    if not isinstance(block, type):
        raise TypeError(f"{block!r} is no block")
    return {named(f): f for f in dataclasses.fields(block) if "type" in f.metadata}


@cache
def _needed(block: Hashable) -> tuple[tuple[str, dataclasses.Field[Any]], ...]:
    """Give the keys of a block that are asked for, or that it must have."""
    return tuple((name, spec) for name, spec in _keys_of(block).items() if spec.metadata["need"])


@cache
def _has_place(block: Hashable) -> bool:
    return isinstance(block, type) and any(
        f.name == "place" and not f.metadata for f in dataclasses.fields(block)
    )


def read_block(
    block: type[T],
    node: Keys,
    context: Context,
    what: str,
    also: Iterable[str] = (),
    given: Mapping[str, Any] | None = None,
) -> T:
    """Read the keys of a block into its dataclass.

    what: the block's name in messages. also: keys that the caller reads itself.
    given: fields that the caller knows, of which a key may know better.
    Unknown keys, wrong values and missing ones are noted in the context's problems.
    """
    plain: type = block
    known = keys_of(plain)
    values: dict[str, Any] = {**(given or {})}
    seen: set[str] = set()
    unfilled: list[Scalar] = []
    for name, value in node.entries:
        if name.text in also:
            continue
        spec = known.get(name.text)
        if spec is None:
            _unknown(name, [*known, *also], what, context)
            continue
        seen.add(name.text)
        if isinstance(value, Scalar) and value.lost:
            continue
        if isinstance(value, Scalar) and value.empty:
            if spec.metadata["need"] == "must":
                write = f"write {name.text}: {spec.metadata['help']}"
                context.problems.error(name.place, UNFILLED, write)
            else:
                unfilled.append(name)
            continue
        read = spec.metadata["type"].read(value, context)
        if read is not None:
            values[spec.name] = read
    _unfilled(unfilled, context)
    _missing(_needed(plain), seen, node.place, what, context)
    return block(**values)


def _unfilled(names: Sequence[Scalar], context: Context) -> None:
    """Warn of the keys of a block that are left empty, all in one line."""
    if names:
        others = listed((name.text for name in names[1:]), "and")
        found = f"{UNFILLED}, nor for {others}" if others else UNFILLED
        them = "them in or take the lines out" if others else "it in or take the line out"
        context.problems.warn(names[0].place, found, f"fill {them}")


def _unknown(name: Scalar, known: Sequence[str], what: str, context: Context) -> None:
    near = nearest(name.text, known)
    advice = f"write {near}" if near else f"known here: {', '.join(sorted(known))}"
    context.problems.error(name.place, f"unknown key {name.text!r} in {what}", advice)


def _missing(
    needed: Iterable[tuple[str, dataclasses.Field[Any]]],
    seen: set[str],
    place: Place,
    what: str,
    context: Context,
) -> None:
    for name, spec in needed:
        if name in seen:
            continue
        if spec.metadata["need"] == "must":
            context.problems.error(
                place.at(name), f"{what} has no {name}", f"write {name}: {spec.metadata['help']}"
            )
        else:
            context.problems.warn(
                place.at(name),
                f"{what} has no {name}",
                f"write {name}: {spec.metadata['help']}; shown as not stated",
            )


@dataclass(frozen=True)
class Block:
    """A block of keys; short: the key that a bare text fills; what: its name in messages."""

    block: type
    what: str
    short: str = ""

    @property
    def words(self) -> str:
        return f"{self.short}, or a block of keys" if self.short else "block of keys"

    def read(self, node: Node, context: Context) -> Any:
        if isinstance(node, Scalar) and self.short:
            node = Keys(((Scalar(self.short, node.place), node),), node.place)
        if isinstance(node, Items) and len(node.items) == 1:
            node = node.items[0]
        if not isinstance(node, Keys):
            wrong(node, context, f"write keys: {', '.join(keys_of(self.block))}")
            return None
        given = {"place": node.place} if _has_place(self.block) else {}
        return read_block(self.block, node, context, self.what, given=given)


MOST_LETTERS = 30  # longest words that are drawn onto a photo; the caption has room for more [letters]

_SHARE = Percent(default="%")
_SIDE = Percent(low=Decimal("0.5"), default="%")


@dataclass(frozen=True)
class Spot:
    """A point of a photo, in percent of its width and height, counted from the upper left as it is seen."""

    left: Decimal = key(_SHARE, share="open", need="must", help="from the left side, percent of the width")
    top: Decimal = key(_SHARE, share="open", need="must", help="from the upper side, percent of the height")


@dataclass(frozen=True)
class Region(Spot):
    """A part of a photo: its upper left corner and how far it reaches, in percent of width and height."""

    width: Decimal = key(_SIDE, share="open", need="must", help="how wide, percent of the photo's width")
    height: Decimal = key(_SIDE, share="open", need="must", help="how high, percent of the photo's height")


@dataclass(frozen=True)
class Blur(Region):
    """A part of a photo that nobody shall be able to read."""

    hides: str = key(Text(), share="open", help="what is hidden there, such as number plate", default="")


@dataclass(frozen=True)
class _Within:
    """A block that says where in a photo something is; what reaches beyond the photo is an error."""

    block: type[Spot]
    what: str
    words: str = "block of keys"

    @property
    def form(self) -> tuple[Type, ...]:
        """Give how it is written, for editors."""
        return (Block(self.block, self.what),)

    def read(self, node: Node, context: Context) -> Any:
        known = len(context.problems.errors)
        read = Block(self.block, self.what).read(node, context)
        if read is None or len(context.problems.errors) > known:
            return None
        sides = ("left", "width"), ("top", "height")
        for start, side in sides if isinstance(read, Region) else ():
            end = getattr(read, start) + getattr(read, side)
            if end > 100:
                write = f"write {start} and {side} that make no more than 100 together"
                context.problems.error(
                    node.place.at(side), f"{self.what} reaches to {end.normalize():f} % of the photo", write
                )
                return None
        return read


_SPOT = "{left: 40, top: 60}"


@dataclass(frozen=True)
class Mark:
    """What is drawn onto the published copy of a photo: an arrow, a ring, or words alone."""

    arrow: Spot | None = key(_Within(Spot, "a tip"), share="open", help="what an arrow points at")
    from_: Spot | None = key(
        _Within(Spot, "a beginning"),
        share="open",
        help="where the arrow begins, if it matters",
    )
    ring: Region | None = key(_Within(Region, "a ring"), share="open", help="what a ring goes round")
    label: str = key(Text(), share="open", help=f"words to draw, {MOST_LETTERS} letters at most", default="")
    at: Spot | None = key(
        _Within(Spot, "a place"), share="open", help="upper left corner of words without arrow or ring"
    )

    @property
    def form(self) -> str:
        """Name the mark: arrow, ring or label."""
        return "arrow" if self.arrow else "ring" if self.ring else "label"


@dataclass(frozen=True)
class _Mark:
    """One mark: an arrow, a ring, or words at a place."""

    words: str = "mark"
    form: tuple[Type, ...] = (Block(Mark, "a mark"),)

    def read(self, node: Node, context: Context) -> Mark | None:
        known = len(context.problems.errors)
        mark: Mark | None = Block(Mark, "a mark").read(node, context)
        if mark is None or len(context.problems.errors) > known:
            return None
        fault = _fault(mark)
        if fault:
            wrong(node, context, fault[1], fault[0])
        return None if fault else mark


def _fault(mark: Mark) -> tuple[str, str] | None:
    """Say what is wrong with a mark and what to write instead."""
    forms = [name for name, at in (("arrow", mark.arrow), ("ring", mark.ring), ("at", mark.at)) if at]
    if len(forms) > 1:
        return f"{listed(forms, 'and')} in one mark", "give each mark a dash of its own"
    if not forms and mark.label:
        return "words that stand nowhere", f"add at: {_SPOT}, or an arrow or a ring"
    if not forms:
        return "a mark that draws nothing", f"write arrow: {_SPOT}, a ring, or a label with at"
    if mark.at and not mark.label:
        return "a place without words", "add label: what to write there"
    if mark.from_ and not mark.arrow:
        return "from without an arrow", f"add arrow: {_SPOT}, or leave from out"
    if mark.from_ and mark.from_ == mark.arrow:
        return "an arrow without length", "let it begin elsewhere, or leave from out"
    if len(mark.label) > MOST_LETTERS:
        write = f"write {MOST_LETTERS} letters at most, and the rest into shows"
        return f"a label of {len(mark.label)} letters", write
    return None


@dataclass(frozen=True)
class PhotoNote:
    """A photo as the note lists it; its file's name is never published, `name` is (report.py gives it)."""

    photo: str = key(Text(), need="must", help="file in the survey's folder")
    shows: str = key(Text(), share="open", help="caption: what is to be seen, and where", default="")
    of: str = key(Text(), share="open", help="which of several things it shows", default="")
    taken: datetime.date | None = key(Date(), share="open", help="day it was taken, if not the inspection's")
    public: bool = key(YesNo(), help="fit for a public page", default=False)
    blur: tuple[Blur, ...] = key(
        ListOf(_Within(Blur, "a blurred part", "part to make unreadable")),
        share="open",
        help="parts to make unreadable, such as faces and number plates",
        default=(),
    )
    mark: tuple[Mark, ...] = key(
        ListOf(_Mark()), share="open", help="arrows, rings and words to draw in", default=()
    )
    name: str = shown("open", "")
    place: Place = field(default=Place())


_PHOTO_NAME = (".jpg", ".jpeg", ".png", ".webp", ".heic", ".heif")


@dataclass(frozen=True)
class _Photo:
    """One photo: `file.jpg`, `file.jpg: caption`, or the long form with `photo:`."""

    words: str = "photo"
    form: tuple[Type, ...] = (Text(), Block(PhotoNote, "a photo"), MapOf(Text(), "file"))

    def read(self, node: Node, context: Context) -> PhotoNote | None:
        if isinstance(node, Scalar):
            return self._short(node, "", node, context)
        if isinstance(node, Keys) and any(name.text in keys_of(PhotoNote) for name, _ in node.entries):
            found: PhotoNote = Block(PhotoNote, "a photo").read(node, context)
            return found if found.photo else None
        if isinstance(node, Keys) and len(node.entries) == 1:
            name, caption = node.entries[0]
            if isinstance(caption, Scalar):
                return self._short(name, caption.text.strip(), node, context)
        wrong(node, context, "write - file.jpg: caption, or - {photo: file.jpg, shows: caption}")
        return None

    def _short(self, name: Scalar, caption: str, node: Node, context: Context) -> PhotoNote | None:
        file = name.text.strip()
        if file.lower().endswith(_PHOTO_NAME):
            return PhotoNote(photo=file, shows=caption, place=node.place)
        found = f"{file!r} is no photo's file name"
        wrong(node, context, "put a caption with a comma in quotes, each photo on a line of its own", found)
        return None


PHOTOS = ListOf(_Photo())
