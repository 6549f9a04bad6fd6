"""Vague words are found where they are the surveyor's own, each once, with what to write instead."""

from __future__ import annotations

import pytest

from reportgen import vague


def words(text: str) -> list[str]:
    """Give the vague words of a text as written."""
    return [word for _, word, _ in vague.found_in(text)]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("The strut appears sound.", ["appears"]),
        ("Several blisters, some corrosion.", ["Several", "some"]),
        ("Hull in fair condition.", ["fair condition"]),
        ("Replace as necessary, and/or clean.", ["as necessary", "and/or"]),
        ("Very worn; it seems to be original.", ["Very", "seems to be"]),
        ("Clips, hoses etc. need work soon.", ["etc.", "soon"]),
        ("Play 3 mm, limit 2 mm; replace the bearing before launch.", []),
        ("Sooner than 50 h; the veryard lamp; Somerset.", []),
        ('The owner said it is "in good condition".', []),
        ("Run `as necessary`, see [here](#very-soon).", []),
    ],
)
def test_vague_words(text: str, found: list[str]) -> None:
    """What can be taken two ways is found whole; figures, quotations and parts of words are not."""
    assert words(text) == found


@pytest.mark.parametrize(("pattern", "write"), vague.WORDS)
def test_every_word_has_its_remedy(pattern: str, write: str) -> None:
    """Each row says what to write, in words that are not vague themselves."""
    assert write
    assert not words(write)


def test_place_in_the_text() -> None:
    """The first letter of the word is told, counted from 0."""
    assert [at for at, _, _ in vague.found_in("It is very worn")] == [6]
