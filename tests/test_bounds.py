"""A limit and what was held against it, in the reader's units with the source's own beside them."""

from __future__ import annotations

import pytest

from reportgen.bounds import asked, bound, found_in
from reportgen.kind import Judged
from reportgen.limits import Limit
from reportgen.wording import speaking


def limit(side: str, value: float, unit: str, word: str = "") -> Limit:
    """Give a limit of an invented source."""
    return Limit(word or side, value, unit, side, "invented manual 4A", "", "note")


INCH = limit("maximum", 1.0, "in")


@pytest.mark.parametrize(
    ("system", "of", "said"),
    [
        ("", INCH, "at most 1 in"),
        ("us", INCH, "at most 1 in"),
        ("metric", INCH, "at most 25.4 mm (1 in)"),
        ("both", INCH, "at most 1 in (25.4 mm)"),
        ("metric", limit("minimum", 90, "lbf"), "at least 400 N (90 lbf)"),
        ("us", limit("maximum", 92, "°C"), "at most 198 °F (92 °C)"),
        ("us", limit("maximum", 8, "°C", "difference"), "at most 8 °C"),
        ("metric", limit("maximum", 10, "%"), "at most 10 %"),
        ("metric", limit("minimum", 12.65, "V"), "at least 12.65 V"),
    ],
)
def test_limit_stands_in_the_readers_units(system: str, of: Limit, said: str) -> None:
    """The unit asked for comes first, the source's own in brackets; degrees of difference stay as given."""
    with speaking("en", system):
        assert bound(of) == said


@pytest.mark.parametrize(
    ("system", "noted", "value", "said"),
    [
        ("", "8 mm", 8 / 25.4, "8 mm (0.31 in)"),
        ("", "", 0.315, "0.315 in"),
        ("metric", "8 mm", 8 / 25.4, "8 mm"),
        ("metric", "", 0.058, "1.47 mm (0.058 in)"),
        ("metric", "0.7 cm", 0.7 / 2.54, "7 mm (0.7 cm)"),
        ("both", "", 0.058, "0.058 in (1.47 mm)"),
    ],
)
def test_found_stands_as_the_limit_does(system: str, noted: str, value: float, said: str) -> None:
    """What was read is always there; of 8 mm no more figures of inches are given than were read."""
    with speaking("en", system):
        assert found_in(Judged(INCH, value, "within", (), "fore", False, noted)) == said


@pytest.mark.parametrize("millimetres", [25.399, 25.4, 25.401])
def test_found_shows_its_side_in_either_unit(millimetres: float) -> None:
    """However near a value lies, its figures are on the side of the limit that the outcome tells."""
    value = millimetres / 25.4
    with speaking("en", "metric"):
        found = found_in(Judged(INCH, value, "within", (), "fore"))
    there, own = (float(part.split()[0]) for part in found.rstrip(")").split(" ("))
    assert (there <= 25.4, own <= 1) == (millimetres <= 25.4,) * 2


def test_figure_alone_has_no_word_of_its_side() -> None:
    """The label of a line in a chart takes the figure and says the side itself."""
    with speaking("en", "metric"):
        assert asked(INCH) == "25.4 mm (1 in)"
