"""Blocks of keys: known, unknown, missing and empty ones; photos in their three forms."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import pytest

from reportgen import yamltext
from reportgen.block import PHOTOS, Block, PhotoNote, key, keys_of, named, read_block, shown
from reportgen.errors import Place, Problems
from reportgen.values import Context, ListOf, Text, Whole


@dataclass(frozen=True)
class Tank:
    """A tank."""

    what: str = key(Text(), need="must", share="open", help="what it holds", default="")
    for_: str = key(Text(), name="for", help="which engine", default="")
    how_many: int = key(Whole(1), need="asked", share="open", help="count", default=1)
    made: str = shown("open", "")
    place: Place = field(default=Place())


def read(text: str, also: tuple[str, ...] = ()) -> tuple[Tank, list[str]]:
    """Read a tank; give it with the problems as lines."""
    problems = Problems()
    keys = yamltext.read(text, "a.md", 0, problems)
    tank = read_block(Tank, keys, Context(problems), "a tank", also)
    return tank, [str(p) for p in problems]


def test_keys_are_as_written() -> None:
    """Fields have their key's name with blanks, or the one declared; those we fill in ourselves are none."""
    assert list(keys_of(Tank)) == ["what", "for", "how many"]
    assert named(keys_of(Tank)["for"]) == "for"
    assert keys_of(Tank)["for"].metadata["share"] == "private"


def test_only_blocks_have_keys() -> None:
    """Anything but a dataclass is a mistake of ours, told at once."""
    with pytest.raises(TypeError):
        keys_of(Tank())  # type: ignore[arg-type]


def test_a_good_block() -> None:
    """Keys go into their fields; `also` are the caller's."""
    tank, lines = read("what: diesel\nfor: main\nhow many: 2\nelse: x", also=("else",))
    assert (tank.what, tank.for_, tank.how_many) == ("diesel", "main", 2)
    assert not lines


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("how many: 1", ["a.md:1:1: what: a tank has no what; write what: what it holds"]),
        ("what:\nhow many: 1", ["a.md:1:1: what: nothing filled in; write what: what it holds"]),
        (
            "what: x",
            [
                (
                    "a.md:1:1: how many: warning: a tank has no how many; "
                    "write how many: count; shown as not stated"
                )
            ],
        ),
        (
            "what: x\nhow many:",
            ["a.md:2:1: how many: warning: nothing filled in; fill it in or take the line out"],
        ),
        (
            "what: x\nhow many: 0",
            ["a.md:2:11: how many: found '0'; write a whole number from 1 on, without a leading zero"],
        ),
        (
            "what: x\nhow mny: 2\nhow many: 1",
            ["a.md:2:1: how mny: unknown key 'how mny' in a tank; write how many"],
        ),
        (
            "what: x\nhow many: 1\nzz: 1",
            ["a.md:3:1: zz: unknown key 'zz' in a tank; known here: for, how many, what"],
        ),
    ],
)
def test_bad_blocks(text: str, lines: list[str]) -> None:
    """Missing, empty, wrong and unknown keys are told at their place; the rest is read."""
    assert read(text)[1] == lines


def test_a_lost_key_is_not_missing() -> None:
    """A key that couldn't be read has one line, not two."""
    assert len(read("what: @x\nhow many: 1")[1]) == 1


def nested(text: str, block: Block) -> tuple[Any, list[str]]:
    """Read the value of a key as a block."""
    problems = Problems()
    node = yamltext.read(f"k: {text}", "a.md", 0, problems).get("k")
    assert node is not None
    return block.read(node, Context(problems)), [str(p) for p in problems]


def test_a_bare_text_fills_the_short_key() -> None:
    """`tank: diesel` is `tank: {what: diesel}`."""
    tank, _ = nested("diesel", Block(Tank, "a tank", "what"))
    assert tank.what == "diesel"
    assert nested("diesel", Block(Tank, "a tank")) == (
        None,
        ["a.md:1:4: k: found 'diesel'; write keys: what, for, how many"],
    )


def test_a_block_keeps_its_place_and_its_keys_places() -> None:
    """What is found wrong later is told at the key."""
    tank, _ = nested("{what: x, how many: 2}", Block(Tank, "a tank"))
    assert str(tank.place) == "a.md:1:4"
    assert str(tank.place.at("how many")) == "a.md:1:14"


def photos(text: str) -> tuple[list[PhotoNote], list[str]]:
    """Read a `photos:` value."""
    problems = Problems()
    node = yamltext.read(f"photos: {text}", "a.md", 0, problems).get("photos")
    assert node is not None
    return list(PHOTOS.read(node, Context(problems)) or ()), [str(p).partition(": ")[2] for p in problems]


def test_photos_in_their_forms() -> None:
    """A name, a name with its caption, the long form; in a list or alone."""
    found, lines = photos("[a.jpg, b.PNG: the hose, {photo: c.webp, shows: gauge, of: 6, public: yes}]")
    assert [(p.photo, p.shows, p.of, p.public) for p in found] == [
        ("a.jpg", "", "", False),
        ("b.PNG", "the hose", "", False),
        ("c.webp", "gauge", "6", True),
    ]
    assert not lines
    assert photos("a.jpg")[0][0].photo == "a.jpg"
    assert str(found[1].place) == "a.md:1:17"


@pytest.mark.parametrize("text", ["[seen from aft]", "[a.jpg: x, from aft]", "[{notes.txt: x}]"])
def test_items_that_are_no_photo(text: str) -> None:
    """A list item that is no file comes from a comma in a caption."""
    message = "is no photo's file name; put a caption with a comma in quotes, each photo on a line of its own"
    assert [line for line in photos(text)[1] if line.endswith(message)]


def test_photos_of_another_shape() -> None:
    """A list in a list, or a block of several names, is told with both forms."""
    for text in ("[[a.jpg]]", "[{a.jpg: x, b.jpg: y}]", "[{a.jpg: [x]}]"):
        line = "photos: found {}; write - file.jpg: caption, or - {{photo: file.jpg, shows: caption}}"
        found = "a list" if text == "[[a.jpg]]" else "a block of keys"
        assert photos(text)[1] == [line.format(found)]


def test_defaults_are_not_shared() -> None:
    """A default that could be changed is refused when the block is declared."""
    with pytest.raises(TypeError):
        shown("open", [])


def test_a_type_names_its_words() -> None:
    """A block's words tell the short form."""
    assert Block(Tank, "a tank", "what").words == "what, or a block of keys"
    assert ListOf(Block(Tank, "a tank")).words == "list of block of keys"
