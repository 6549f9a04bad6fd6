"""Limits: read from a note with their source, for all or by name, and put beside the general ones."""

from __future__ import annotations

from typing import Any

import pytest

from reportgen import limits, sources
from reportgen.errors import Problems
from reportgen.limits import SWITCH, Limit, Limits, NoteLimit, between, general
from reportgen.values import Context
from reportgen.yamltext import read

WORDS = {
    "minimum": "pressure",
    "maximum": "pressure",
    "within": "pressure",
    "spread": "share",
    "neighbours": SWITCH,
}
COLUMNS = {"iron": ("concentration", "ppm"), "viscosity": ("viscosity", "cSt"), "gap": ("count", None)}
SOURCE = "compression-75-chart"  # any row will do


def noted(
    text: str, kind: Limits | None = None, unit: str | None = None
) -> tuple[tuple[NoteLimit, ...] | None, list[str]]:
    """Read the limits of a YAML text, and what is said of them."""
    problems = Problems()
    node = read(f"limit: {text}", "note.md", 4, problems).get("limit")
    assert node is not None
    found = (kind or Limits(WORDS)).read(node, Context(problems, unit=unit))
    return found, [str(p) for p in problems]


def good(text: str, kind: Limits | None = None, unit: str | None = None) -> tuple[Limit, ...]:
    """Give the limits of a text that has no mistake."""
    found, said = noted(text, kind, unit)
    assert not said
    assert found is not None
    return limits.written(found)


def named() -> Limits:
    """Give a kind's limits that are given by column only."""
    return Limits({"minimum": "", "maximum": "", "within": ""}, COLUMNS)


def short(found: tuple[Limit, ...]) -> list[tuple[str, str, float, str]]:
    """Give the word, the name, the value and the unit of each."""
    return [(li.word, li.of, li.value, li.unit) for li in found]


def test_a_figure_with_its_source() -> None:
    """A figure is the note's own, on its word's side, and its source stands word for word."""
    [low, apart] = good('{minimum: 120 psi, spread: 10 %, source: "invented manual 4A, p. 7"}')
    assert (low.word, low.value, low.unit, low.side, low.origin) == (
        "minimum",
        120.0,
        "psi",
        "minimum",
        "note",
    )
    assert (apart.side, apart.source, apart.source_id) == ("maximum", "invented manual 4A, p. 7", "")


def test_bare_figure_takes_the_fences_unit() -> None:
    """Without a unit a figure takes the fence's, and without that it is a mistake."""
    assert good('{minimum: 120, source: "x"}', unit="kPa")[0].unit == "kPa"
    assert "unit" in noted('{minimum: 120, source: "x"}')[1][0]


def test_no_source_no_limit() -> None:
    """A limit without its source, or with an empty one, is a mistake and is not judged."""
    for text in ("{minimum: 120 psi}", '{minimum: 120 psi, source: ""}'):
        found, said = noted(text)
        assert found == ()
        assert "a limit without its source" in said[-1]
        assert said[-1].startswith("note.md:5:")


def test_a_source_without_a_figure() -> None:
    """A source alone asks nothing, which is told."""
    assert "a limit without a figure" in noted('{source: "manual"}')[1][0]


def test_sources_may_differ() -> None:
    """A list holds a limit for each source; a bad one does not hide the others."""
    found = good('[{minimum: 1 psi, source: "a"}, {maximum: 9 psi, source: "b"}]')
    assert [(li.word, li.source) for li in found] == [("minimum", "a"), ("maximum", "b")]
    kept, said = noted('[{minimum: 1 psi}, 12, {maximum: 9 psi, source: "b"}]')
    assert kept is not None
    assert [list(k.words) for k in kept] == [["maximum"]]
    assert len(said) == 2


def test_within_is_a_pair() -> None:
    """Both ends become limits, in whichever order they were written and whatever their units."""
    expected = [("minimum", "", 9.0, "psi"), ("maximum", "", 12.0, "psi")]
    assert short(good('{within: [9 psi, 12 psi], source: "x"}')) == expected
    assert short(good('{within: [12 psi, 9 psi], source: "x"}')) == expected
    mixed = short(good('{within: [1 bar, 12 psi], source: "x"}'))
    assert [m[0] for m in mixed] == ["minimum", "maximum"]
    assert mixed[0][3] == "psi"  # 12 psi is 0.83 bar


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("within: 9 psi", "write within: [lower, upper]"),
        ("within: [9 psi]", "write within: [lower, upper]"),
        ("within: [9 psi, 10 psi, 11 psi]", "write within: [lower, upper]"),
        ("within: [9 psi, soon]", "soon"),
        ("minimum: [9 psi, 10 psi]", "pressure"),
        ("minimum: 9 V", "V"),
        ("spred: 10 %", "write spread"),
        ("zzzz: 10 %", "write minimum, maximum"),
        ("neighbours: 4", "yes or no"),
    ],
)
def test_mistakes_are_told_at_their_place(text: str, said: str) -> None:
    """Each mistake is told once, with its place and what to write; nothing is judged by it."""
    found, told = noted(f'{{{text}, source: "x"}}')
    assert len(told) == 1
    assert said in told[0]
    assert told[0].startswith("note.md:5:")
    assert limits.written(found or ()) == ()


def test_a_limit_is_a_mapping() -> None:
    """A bare figure is no limit: its word and its source are asked for."""
    assert "always with source" in noted("12 psi")[1][0]


def test_switches_are_left_to_the_kind() -> None:
    """Yes or no is kept in the note's words and is no figure."""
    found, said = noted('{neighbours: no, source: "x"}')
    assert not said
    assert found is not None
    assert found[0].words == {"neighbours": False}
    assert limits.written(found) == ()


def test_by_name() -> None:
    """Figures by name take the column's dimension and unit; the fence's unit goes first where it fits."""
    text = '{maximum: {iron: 100, viscosity: 16}, within: {gap: [1, 3]}, source: "x"}'
    assert short(good(text, named())) == [
        ("maximum", "iron", 100.0, "ppm"),
        ("maximum", "viscosity", 16.0, "cSt"),
        ("minimum", "gap", 1.0, ""),
        ("maximum", "gap", 3.0, ""),
    ]
    assert good('{maximum: {iron: 1}, source: "x"}', named(), "%")[0].unit == "%"


def test_by_any_name() -> None:
    """A kind whose things have free names takes a limit by any of them, of its word's own dimension."""
    assert short(good('{minimum: {aft bank: 12 psi, 3: 9 psi}, source: "x"}')) == [
        ("minimum", "aft bank", 12.0, "psi"),
        ("minimum", "3", 9.0, "psi"),
    ]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("maximum: {irn: 4}", "write iron"),
        ("maximum: {zzzz: 4}", "write iron, viscosity or gap"),
        ("maximum: 4 ppm", "write maximum: {iron: figure}"),
        ("maximum: {iron: 4 psi}", "psi"),
        ("within: {iron: 4}", "write within: [lower, upper]"),
    ],
)
def test_mistakes_by_name(text: str, said: str) -> None:
    """A column that isn't read gets the nearest one; a figure for all is none where columns differ."""
    found, told = noted(f'{{{text}, source: "x"}}', named())
    assert len(told) == 1
    assert said in told[0]
    assert limits.written(found or ()) == ()


def test_no_names_where_a_kind_has_none() -> None:
    """A kind that takes no limit by name asks for one figure."""
    _, told = noted('{minimum: {1: 9 psi}, source: "x"}', Limits(WORDS, by_name=False))
    assert "pressure" in told[0]


def test_a_limit_needs_a_source_in_code_too() -> None:
    """No limit can be made without one, nor a general one without its row."""
    with pytest.raises(ValueError, match="has no source"):
        Limit("minimum", 1.0, "psi")
    with pytest.raises(KeyError):
        general("minimum", 1.0, "psi", "minimum", "no-such-row")
    made = general("minimum", 1.0, "psi", "minimum", SOURCE)
    assert (made.origin, made.source) == ("general", str(sources.get(SOURCE)))


def note(**words: Any) -> tuple[NoteLimit, ...]:
    """Give the note's limits of an invented source."""
    read_, said = noted(
        "{" + ", ".join(f"{word}: {value}" for word, value in words.items()) + ', source: "x"}'
    )
    assert not said
    assert read_ is not None
    return read_


GENERALS = (*between(10, 20, "psi", SOURCE), general("minimum", 5, "psi", "minimum", SOURCE, "aft"))


@pytest.mark.parametrize(
    ("words", "left"),
    [
        ({}, [("minimum", "", 10.0), ("maximum", "", 20.0), ("minimum", "aft", 5.0)]),
        # a figure for all replaces every one of its word, and none of another word
        ({"minimum": "8 psi"}, [("maximum", "", 20.0)]),
        ({"maximum": "8 psi"}, [("minimum", "", 10.0), ("minimum", "aft", 5.0)]),
        ({"within": "[8 psi, 9 psi]"}, []),
        # one by name replaces that name's only
        ({"minimum": "{aft: 7 psi}"}, [("minimum", "", 10.0), ("maximum", "", 20.0)]),
        (
            {"minimum": "{bow: 7 psi}"},
            [("minimum", "", 10.0), ("maximum", "", 20.0), ("minimum", "aft", 5.0)],
        ),
    ],
)
def test_note_goes_before_general(words: dict[str, str], left: list[tuple[str, str, float]]) -> None:
    """The note's limits come first, and each general one stays whose word and name the note leaves open."""
    found = limits.applying(note(**words) if words else (), GENERALS)
    own = [li for li in found if li.origin == "note"]
    assert found[: len(own)] == tuple(own)
    assert [(li.word, li.of, li.value) for li in found if li.origin == "general"] == left


def test_general_for_all_is_given_up_for_a_name() -> None:
    """Where the names are told, a general limit for all stays for those that the note has no figure for."""
    found = limits.applying(note(minimum="{bow: 7 psi}"), GENERALS[:2], ("bow", "stern", "aft"))
    assert [(li.word, li.of, li.value) for li in found] == [
        ("minimum", "bow", 7.0),
        ("minimum", "stern", 10.0),
        ("minimum", "aft", 10.0),
        ("maximum", "", 20.0),
    ]


def test_every_word_has_its_side() -> None:
    """A limit keeps what is equal to it, on either side; each word that notes may use has a side."""
    for word, side in limits.SIDES.items():
        made = Limit(word, 10.0, "psi", side, "x")
        assert made.keeps(10.0)
        assert made.keeps(10.1) == (side == "minimum")
        assert made.keeps(9.9) == (side == "maximum")
