"""A user's own edition: a file beside the notes that starts from one of ours and takes away or adds."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple

from reportgen import racks, yamltext
from reportgen.block import key, read_block
from reportgen.blocks.finding import SEVERITIES
from reportgen.edition import CATEGORIES, FLOOR, FLOOR_SEVERITIES, Edition
from reportgen.errors import Place, Problems, listed
from reportgen.passage import Passage
from reportgen.values import Context, ListOf, OneOf, Text
from reportgen.yamltext import Node

FOLDER = "editions"
MAX_BYTES = 100_000
MAY_BE_MASKED = ("hull number", "serial")
_NAME = re.compile(r"[a-z][a-z0-9-]{0,39}")
# the order in which parts stand that an edition adds: that of the reader who gets them all
_WIDEST = "buyer"


class Word(NamedTuple):
    """A word of the file with its place."""

    text: str
    place: Place


@dataclass(frozen=True)
class _PlacedWord:
    """One of a few words, kept with its place."""

    choices: tuple[str, ...]

    @property
    def words(self) -> str:
        return listed(self.choices)

    def read(self, node: Node, context: Context) -> Word | None:
        before = len(context.problems.errors)
        text = OneOf(self.choices).read(node, context)
        return None if text is None or len(context.problems.errors) > before else Word(text, node.place)


def _written(passage: str) -> str:
    return passage.replace("_", " ")


_CATEGORY = ListOf(_PlacedWord(tuple(CATEGORIES)))
_SEVERITY = ListOf(_PlacedWord(SEVERITIES))
_PART = ListOf(_PlacedWord(tuple(map(_written, racks.names("passages")))))


@dataclass(frozen=True)
class OwnKeys:
    """The keys of an edition's file.

    list_, leave_out: severities. show, hide, mask: categories. add, drop: parts of the page.
    """

    starts_from: Word | None = key(
        _PlacedWord(racks.names("editions")), need="must", help="one of ours that it starts from"
    )
    title: str = key(Text(), help="title over the page", default="")
    reader: str = key(Text(), help="who it is made for, one sentence", default="")
    show: tuple[Word, ...] = key(_CATEGORY, help="categories to show besides", default=())
    hide: tuple[Word, ...] = key(_CATEGORY, help="categories not to show", default=())
    mask: tuple[Word, ...] = key(_CATEGORY, help="numbers to show masked", default=())
    list_: tuple[Word, ...] = key(_SEVERITY, help="severities to list after all", default=())
    leave_out: tuple[Word, ...] = key(_SEVERITY, help="severities only counted", default=())
    add: tuple[Word, ...] = key(_PART, help="parts of the page to add", default=())
    drop: tuple[Word, ...] = key(_PART, help="parts of the page to drop", default=())
    place: Place = field(default=Place())


def files(folder: Path) -> dict[str, Path]:
    """Give the editions that lie beside the notes, by name; folder: of a survey, or of several."""
    found = folder / FOLDER
    return {path.stem: path for path in sorted(found.glob("*.yaml")) if not path.name.startswith((".", "_"))}


def read(path: Path, problems: Problems) -> Edition | None:
    """Read an edition's file; None, and what is wrong with it at its place, if it can't be used."""
    own = Problems()
    made = _read(path, own)
    for problem in own:
        (problems.error if problem.level == "error" else problems.warn)(
            problem.place, problem.found, problem.write
        )
    return None if own.errors else made


def _read(path: Path, problems: Problems) -> Edition | None:
    file = Place(str(path))
    ours: Mapping[str, Edition] = racks.all_of("editions", "EDITION")
    if path.stem in ours:
        problems.error(file, f"{path.stem} is an edition of ours", "give the file a name of its own")
    elif not _NAME.fullmatch(path.stem):
        problems.error(file, f"{path.stem!r} is no name of an edition", "use small letters, digits, hyphens")
    text = _text(path, file, problems)
    if text is None:
        return None
    keys = yamltext.read(text, str(path), 0, problems)
    own = read_block(OwnKeys, keys, Context(problems), "an edition")
    if own.starts_from is None:
        return None
    base = ours[own.starts_from.text]
    return Edition(
        name=path.stem,
        title=own.title or base.title,
        without_value="" if own.title else base.without_value,
        reader=_sentence(own.reader) or base.reader,
        shows=_shows(own, base, problems),
        passages=_passages(own, base, problems),
        masked=_masked(own, base, problems),
        leaves_out=_leaves_out(own, base, problems),
        public=base.public,
        relies=base.relies,
        base=base.name,
        place=file,
    )


def _text(path: Path, file: Place, problems: Problems) -> str | None:
    try:
        raw = path.read_bytes()
        if len(raw) > MAX_BYTES:
            problems.error(file, "a file of over 100 kB", "an edition takes a dozen lines")
            return None
        return raw.decode("utf-8-sig").replace("\r\n", "\n").replace("\r", "\n")
    except OSError as error:
        problems.error(file, f"can't be read ({error.strerror})", "look at the file's permissions")
    except UnicodeDecodeError:
        problems.error(file, "a sign that is not UTF-8", "save the file as UTF-8 in the editor")
    return None


def _sentence(text: str) -> str:
    return text if not text or text.endswith(".") else f"{text}."


def _shows(own: OwnKeys, base: Edition, problems: Problems) -> frozenset[str]:
    may = base.shows | base.may_add
    for word in own.show:
        if word.text in FLOOR | base.shows:
            problems.warn(word.place, f"the {base.name} edition shows {word.text} already", "take it out")
        elif word.text not in may:
            found = f"{word.text} is kept from whoever gets the {base.name} edition"
            other = f"it may add {listed(sorted(base.may_add))}" if base.may_add else "it may add nothing"
            problems.error(word.place, found, f"take it out; {other}")
    for word in own.hide:
        if word.text in FLOOR:
            problems.error(word.place, "what protects the reader stands under open", "take it out")
        elif word.text not in may | base.masked:
            problems.warn(word.place, f"the {base.name} edition does not show {word.text}", "take it out")
    _apart(own.show, own.hide, "both shown and hidden", problems)
    hidden = {word.text for word in (*own.hide, *own.mask)}
    return frozenset((base.shows | {word.text for word in own.show if word.text in may}) - hidden - FLOOR)


def _masked(own: OwnKeys, base: Edition, problems: Problems) -> frozenset[str]:
    for word in own.mask:
        if word.text not in MAY_BE_MASKED:
            problems.error(word.place, f"{word.text} can't be masked", f"write {listed(MAY_BE_MASKED)}")
        elif word.text not in base.shows | base.masked:
            problems.error(word.place, f"{word.text} is not shown by the {base.name} edition", "take it out")
    _apart(own.mask, own.hide, "both masked and hidden", problems)
    masked = base.masked | {word.text for word in own.mask if word.text in MAY_BE_MASKED}
    return frozenset(masked - {word.text for word in own.hide})


def _leaves_out(own: OwnKeys, base: Edition, problems: Problems) -> frozenset[str]:
    for word in own.leave_out:
        if word.text in FLOOR_SEVERITIES:
            problems.error(word.place, f"no edition leaves {word.text} findings out", "take it out")
    for word in own.list_:
        if word.text not in base.leaves_out:
            problems.warn(word.place, f"the {base.name} edition lists {word.text} already", "take it out")
    _apart(own.list_, own.leave_out, "both listed and left out", problems)
    left = base.leaves_out | {word.text for word in own.leave_out}
    return frozenset(left - {word.text for word in own.list_} - FLOOR_SEVERITIES)


def _passages(own: OwnKeys, base: Edition, problems: Problems) -> tuple[str, ...]:
    rack: Mapping[str, Passage] = racks.all_of("passages", "PASSAGE")
    names = {_written(name): name for name in rack}
    parts = list(base.passages)
    for word in own.drop:
        name = names[word.text]
        if rack[name].floor or rack[name].page:
            problems.error(word.place, f"no edition drops the part {word.text}", "take it out")
        elif name not in parts:
            problems.warn(word.place, f"the {base.name} edition has no {word.text}", "take it out")
        else:
            parts.remove(name)
    for word in own.add:
        if names[word.text] in parts:
            problems.warn(word.place, f"the {base.name} edition has {word.text} already", "take it out")
        else:
            parts.insert(_after(parts, names[word.text]), names[word.text])
    _apart(own.add, own.drop, "both added and dropped", problems)
    return tuple(parts)


def _after(parts: list[str], name: str) -> int:
    """Give where a part belongs: behind the last of those that stand before it in the widest edition."""
    widest: Edition = racks.get("editions", _WIDEST, "EDITION")
    order = widest.passages
    before = set(order[: order.index(name)]) if name in order else set(parts)
    return max((n for n, part in enumerate(parts, 1) if part in before), default=0)


def _apart(one: Iterable[Word], other: Iterable[Word], found: str, problems: Problems) -> None:
    """Refuse a word that two opposite keys name."""
    there = {word.text for word in other}
    for word in one:
        if word.text in there:
            problems.error(word.place, f"{word.text} is {found}", "keep one of the two")
