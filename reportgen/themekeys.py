"""The keys of a user's own theme: letterhead, logo, colours, letters and the order of the parts."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, fields

from reportgen import contrast, racks, theme
from reportgen.block import Block, key, keys_of
from reportgen.errors import Place, Problems, listed
from reportgen.passage import Passage
from reportgen.values import Context, Custom, ListOf, OneOf, Text, wrong
from reportgen.yamltext import Node, Scalar

MOST_LINES = 8  # of a letterhead [-]
MOST_SIGNS = 120  # of one of them [-]
# these stand where they stand, in every edition; the rest of what no edition drops may only come earlier
FIXED = ("masthead", "use_limits", "at_a_glance", "about")
EARLIER = ("not_inspected", "cautions")
_FAMILY = re.compile(r"[A-Za-z][A-Za-z0-9 -]{0,60}")
_GENERIC = ("serif", "sans-serif", "monospace", "system-ui", "ui-serif", "ui-sans-serif", "ui-rounded")


@dataclass(frozen=True)
class Word:
    """A word of the file with its place."""

    text: str
    place: Place


def _word(node: Node, context: Context) -> Word | None:
    text = Text().read(node, context)
    return None if text is None else Word(text, node.place)


def _colour(node: Node, context: Context) -> Word | None:
    text = node.text.strip() if isinstance(node, Scalar) else ""
    if contrast.is_colour(text):
        return Word(text.lower(), node.place)
    wrong(node, context, 'write it in quotes, such as "#1a2b3c"', "" if text else "no colour")
    return None


def _family(node: Node, context: Context) -> str | None:
    text = node.text.strip() if isinstance(node, Scalar) else ""
    if _FAMILY.fullmatch(text):
        return text if text in _GENERIC else f'"{text}"'
    wrong(node, context, "write the name of a font, or a list of names such as [Georgia, serif]")
    return None


def _part(node: Node, context: Context) -> Word | None:
    before = len(context.problems.errors)
    text = OneOf(tuple(name.replace("_", " ") for name in _parts())).read(node, context)
    return None if text is None or len(context.problems.errors) > before else Word(text, node.place)


def _parts() -> Mapping[str, Passage]:
    rack: Mapping[str, Passage] = racks.all_of("passages", "PASSAGE")
    return {name: passage for name, passage in rack.items() if not passage.page}


_COLOUR = Custom('colour such as "#1a2b3c"', _colour)
_FONTS = ListOf(Custom("name of a font", _family))
_FILE = Custom("file in the theme's folder", _word)


@dataclass(frozen=True)
class Colours:
    """The colours of a page, each as `#rrggbb`."""

    paper: Word | None = key(_COLOUR, help="what all stands on")
    wash: Word | None = key(_COLOUR, help="behind the heads of groups")
    ink: Word | None = key(_COLOUR, help="text")
    soft: Word | None = key(_COLOUR, help="small text beside")
    rule: Word | None = key(_COLOUR, help="thin lines")
    link: Word | None = key(_COLOUR, help="links")
    limit: Word | None = key(_COLOUR, help="lines of limits in charts")
    bar: Word | None = key(_COLOUR, help="bars in charts")
    bar2: Word | None = key(_COLOUR, help="second bars in charts")
    place: Place = field(default=Place())

    def words(self) -> dict[str, Word]:
        """Give those that are set, by name."""
        found = ((spec.name, getattr(self, spec.name)) for spec in fields(self) if spec.name != "place")
        return {name: word for name, word in found if word is not None}


@dataclass(frozen=True)
class Fonts:
    """Fonts that the reader's own machine may have, the first there is counts."""

    text: tuple[str, ...] = key(_FONTS, help="of what is read", default=())
    labels: tuple[str, ...] = key(_FONTS, help="of tables, captions and small print", default=())


@dataclass(frozen=True)
class FontFiles:
    """Files with letters that every page carries along."""

    text: Word | None = key(_FILE, help="letters of what is read")
    text_bold: Word | None = key(_FILE, help="the same, bold")
    labels: Word | None = key(_FILE, help="letters of tables, captions and small print")
    labels_bold: Word | None = key(_FILE, help="the same, bold")


@dataclass(frozen=True)
class OwnKeys:
    """The keys of theme.yaml."""

    starts_from: str = key(OneOf(theme.names()), help="one of ours that it starts from", default=theme.BASE)
    letterhead: tuple[Word, ...] = key(ListOf(Custom("line", _word)), help="lines over the head", default=())
    logo: Word | None = key(_FILE, help="picture beside theme.yaml, PNG, JPEG or WebP")
    logo_words: str = key(Text(), help="what the logo says, for those who can't see it", default="")
    colours: Colours = key(Block(Colours, "colours"), help="on a light screen", default=Colours())
    dark_colours: Colours = key(Block(Colours, "dark colours"), help="on a dark one", default=Colours())
    fonts: Fonts = key(Block(Fonts, "fonts"), help="fonts of the reader's machine", default=Fonts())
    font_files: FontFiles = key(
        Block(FontFiles, "font files"), help="letters that come along", default=FontFiles()
    )
    order: tuple[Word, ...] = key(
        ListOf(Custom("part of the page", _part)), help="parts that change places, in their new order",
        default=(),
    )  # fmt: skip


def documented() -> tuple[str, ...]:
    """Give every key that theme.yaml may hold, those of blocks after a dot."""
    blocks = {"colours": Colours, "dark colours": Colours, "fonts": Fonts, "font files": FontFiles}
    inner = (f"{outer}.{name}" for outer, block in blocks.items() for name in keys_of(block))
    return (*keys_of(OwnKeys), *inner)


def check_lines(lines: tuple[Word, ...], problems: Problems) -> None:
    """Refuse a letterhead that takes the page."""
    for number, line in enumerate(lines, 1):
        if number > MOST_LINES:
            problems.error(line.place, f"line {number} of the letterhead", f"keep to {MOST_LINES} lines")
        if len(line.text) > MOST_SIGNS:
            problems.error(line.place, f"a line of {len(line.text)} signs", f"write at most {MOST_SIGNS}")


def check_order(words: tuple[Word, ...], problems: Problems) -> tuple[str, ...]:
    """Give the parts that change places; what protects the reader stays where it is or comes earlier."""
    names: list[str] = []
    for word in words:
        name = word.text.replace(" ", "_")
        if name in FIXED:
            problems.error(word.place, f"{word.text} has a place of its own", "take it out of the order")
        elif name in names:
            problems.error(word.place, f"{word.text} stands twice", "keep one of the two")
        elif name in EARLIER and not set(names) <= set(EARLIER):
            first = listed((n.replace("_", " ") for n in EARLIER), "and")
            problems.error(word.place, f"{word.text} would stand later", f"put {first} first in the list")
        names.append(name)
    return tuple(names)


def in_order(passages: tuple[str, ...], order: tuple[str, ...]) -> tuple[str, ...]:
    """Give parts with those of `order` in each other's places; the others keep theirs."""
    moved = iter([name for name in order if name in passages])
    return tuple(next(moved) if name in order else name for name in passages)
