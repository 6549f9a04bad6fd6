"""What a page says of a reading: values that no limit judges are told, few by name, many by their ends."""

from __future__ import annotations

import pytest

from reportgen import cylinders, measured, wording
from reportgen.errors import Problems
from reportgen.kind import About
from reportgen.report import JudgedReading
from tests.kinds.noted import kind_named, noted


def told(text: str) -> str:
    """Give the line of a reading's values."""
    problems = Problems()
    reading = noted(text, problems)
    assert not list(problems)
    assessment = kind_named(reading.kind).assess(reading, About())
    return measured.unjudged(JudgedReading(reading=reading, assessment=assessment))


def test_few_values_stand_by_name() -> None:
    """Each has its name, and a number as name does not run into its value."""
    assert told("kind: anodes\nanodes: {bow: 40 %, stern: not taken}\n") == "bow 40 %"
    assert told("kind: leak-down\ncylinders: {1: 11 %, 2: 29 %}\n") == "1: 11 %, 2: 29 %"


def test_bare_number_is_of_a_cylinder() -> None:
    """A reader is told what is numbered, once; other names and other kinds' numbers stay as they are."""
    assert cylinders.told("leak-down", "1: 11 %, 2: 29 %") == "cylinder 1: 11 %, 2: 29 %"
    assert cylinders.told("leak-down", "forward 11 %") == "forward 11 %"
    assert cylinders.told("sea-trial", "2200") == "2200"


def test_row_named_by_a_date_is_told_as_dates_are() -> None:
    """A sample's date stands in the reason as elsewhere on the page; what is no date stays."""
    said = measured._because("within", "Within: At 2026-04-21, iron reads 52 ppm.")
    assert said == "At 21 April 2026, iron reads 52 ppm."
    assert measured._because("within", "Within: at 2026-13-41.") == "At 2026-13-41."


def test_several_series_are_parted() -> None:
    """What was measured and what it is rated at are not one list."""
    line = told("kind: cranking-amps\nbatteries: {port: 655}\nrated: {port: 720}\n")
    assert line == "batteries: port 655 A; rated: port 720 A"


def test_many_values_stand_by_their_ends() -> None:
    """More than a line holds are counted, with the least and the greatest."""
    cells = " | ".join(str(n) for n in range(11, 20))
    names = " | ".join("abcdefghi")
    line = told(f"kind: moisture\nscale: relative\n| row | {names} |\n|{'---|' * 10}\n| top | {cells} |\n")
    assert line == "9 values from 11 to 19 scale units"


def test_words_stand_by_row() -> None:
    """A table of words is told row by row."""
    line = told("kind: borescope\n| cylinder | seen |\n|---|---|\n| 1 | clean |\n| 2 | rust |\n")
    assert line == "1: clean; 2: rust"


def test_words_of_the_fence_stand_by_key() -> None:
    """How places sound is what was found; the size of the patch alone does not say that it sounds dull."""
    line = told("kind: sounding\nplaces: {top: sharp, lower port: dull}\npatches: {lower port: 50 in²}\n")
    assert line == "places: top sharp, lower port dull; patches: lower port 50 in²"
    assert told("kind: spark-plugs\ncolours: {1: tan, 2: oily}\n") == "colours: 1: tan, 2: oily"


def test_series_without_a_value_is_not_named() -> None:
    """Where only colours were noted, no empty list of gaps stands before them."""
    table = "| cylinder | gap (in) | resistance (kΩ) | colour |\n|---|---|---|---|\n| 1 | | | tan |\n"
    assert told(f"kind: spark-plugs\n{table}") == "1: tan"


@pytest.mark.parametrize("spoken", wording.LANGUAGES)
def test_reason_does_not_say_its_outcome_again(spoken: str) -> None:
    """The outcome stands before it on the page; in French a blank stands before the colon."""
    texts = (
        "No limit applies: {why}.",
        "No limit applies: no standards body publishes one, and the report gives no maker's figure.",
    )
    with wording.speaking(spoken):
        for text in texts:
            said = wording.say(text, why="x")
            assert said.endswith(measured._because("no limit applies", said)[1:])
            assert measured._because("no limit applies", said)[:9] != said[:9]
