"""Places, problems and the nearest known word."""

from __future__ import annotations

import pytest

from reportgen.errors import NotesError, Place, Problem, Problems, ThemeError, listed, nearest

HERE = Place("notes/a.md", 3, 7, "where")


@pytest.mark.parametrize(
    ("problem", "line"),
    [
        (Problem(HERE, "found 'x'", "write y"), "notes/a.md:3:7: where: found 'x'; write y"),
        (Problem(HERE, "odd", "look", "warning"), "notes/a.md:3:7: where: warning: odd; look"),
        (Problem(Place("a.md", 3, 7), "odd", "look"), "a.md:3:7: odd; look"),
        (Problem(Place("notes"), "no notes here", "put some"), "notes: no notes here; put some"),
    ],
)
def test_a_problem_is_one_line(problem: Problem, line: str) -> None:
    """A line says file, line, column, key, what was found, and what to write."""
    assert str(problem) == line


def test_a_problem_as_json() -> None:
    """The same in fields, the message without its place."""
    assert Problem(HERE, "found 'x'", "write y").as_json() == {
        "file": "notes/a.md",
        "line": 3,
        "column": 7,
        "key": "where",
        "level": "error",
        "message": "found 'x'; write y",
    }


def test_a_block_knows_the_places_of_its_keys() -> None:
    """`at` gives a key's own place; a missing key has the block's; both compare as plain places."""
    block = HERE.holding((("risk", 4, 1), ("action", 5, 3)))
    assert block.at("action") == Place("notes/a.md", 5, 3, "action")
    assert block.at("basis") == Place("notes/a.md", 3, 7, "basis")
    assert block == HERE
    assert hash(block) == hash(HERE)


def test_problems_come_in_file_order_and_once() -> None:
    """By file, line, column; a mistake met on two ways is told once."""
    problems = Problems()
    for file, line, column in (("b", 1, 1), ("a", 10, 1), ("a", 9, 2), ("a", 9, 1), ("a", 9, 1)):
        problems.error(Place(file, line, column), "odd", "look")
    assert [str(p.place) for p in problems] == ["a:9:1", "a:9:2", "a:10:1", "b:1:1"]


def test_only_mistakes_stop() -> None:
    """Warnings stop nothing; with a mistake all are carried by the error."""
    problems = Problems()
    problems.warn(HERE, "odd", "look")
    problems.stop_if_any()
    problems.error(HERE, "wrong", "write right")
    with pytest.raises(NotesError) as error:
        problems.stop_if_any()
    assert [p.level for p in error.value.problems] == ["warning", "error"]
    assert str(error.value).count("\n") == 1
    assert (len(problems.errors), len(problems.warnings)) == (1, 1)


def test_a_theme_error_is_no_notes_error() -> None:
    """Callers tell a theme's fault from the notes'."""
    assert not issubclass(ThemeError, NotesError)


@pytest.mark.parametrize(
    ("word", "near"),
    [("surwey", "survey"), ("SURVEY", "survey"), ("colour", None), ("", None), ("serverity", "severity")],
)
def test_nearest(word: str, near: str | None) -> None:
    """A slip finds its word; a word that merely shares letters finds none."""
    assert nearest(word, ["survey", "severity", "disclosure"]) == near


@pytest.mark.parametrize(
    ("words", "text"), [([], ""), (["a"], "a"), (["a", "b"], "a or b"), (["a", "b", "c"], "a, b or c")]
)
def test_listed(words: list[str], text: str) -> None:
    """Words as a phrase."""
    assert listed(words) == text
