"""Ages: birthdays are whole years, vague dates count from their first day, tyre codes go by the rule."""

from __future__ import annotations

import datetime
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reportgen import ages

DAYS = st.dates(date(1950, 1, 1), date(2050, 12, 31))


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("2014", date(2014, 1, 1)),
        ("2014-05", date(2014, 5, 1)),
        ("2014-05-17", date(2014, 5, 17)),
        ("2014-13", None),
        ("14-05-2014", None),
        ("spring", None),
    ],
)
def test_day(text: str, found: date | None) -> None:
    """Of a year or month the first day counts; other words are none and bring advice."""
    assert ages.day(text) == found
    assert (ages.date_advice(text) == "") == (found is not None)
    assert not ages.date_advice("not known")


@pytest.mark.parametrize(
    ("since", "on", "age"),
    [
        (date(2015, 3, 1), date(2025, 3, 1), 10.0),  # three leap days lie between
        (date(2015, 3, 1), date(2025, 2, 28), 10 - 1 / 365),
        (date(2024, 2, 29), date(2025, 3, 1), 1.0),
        (date(2024, 1, 1), date(2024, 7, 1), 182 / 366),
        (date(2025, 1, 2), date(2025, 1, 1), -1 / 366),
    ],
)
def test_years(since: date, on: date, age: float) -> None:
    """A birthday is a whole year, whatever leap days lie before it."""
    assert ages.years(since, on) == pytest.approx(age)


@given(DAYS, DAYS, st.integers(1, 400))
def test_a_later_day_is_older(since: date, on: date, days: int) -> None:
    """An age grows with every day."""
    later = on + datetime.timedelta(days=days)
    assert ages.years(since, later) > ages.years(since, on)


# cfr-49-574.5, printed in the paragraph: 0109 is the week from Sunday 4 to Saturday 10 January 2009.
def test_printed_example_of_the_regulation() -> None:
    """The regulation's own example."""
    assert ages.tyre_week("0109") == date(2009, 1, 4)


# tyre-date-three-figures, printed: 0301 is the third week of 2001; 031 could be 1981 or 1991 and isn't dated.
def test_printed_examples_of_the_manual() -> None:
    """Sundays of January 2001 were the 7th, 14th and 21st; three figures have no date."""
    assert ages.tyre_week("0301") == date(2001, 1, 21)
    assert ages.tyre_week("031") is None
    assert not ages.code_advice("031")


@pytest.mark.parametrize(
    ("code", "good"),
    [
        ("2319", True),
        ("0019", False),
        ("5219", True),
        ("5319", False),
        ("5323", True),
        ("5423", False),
        ("23", False),
        ("23 19", False),
        ("A319", False),
        ("999", False),
    ],
)
def test_impossible_codes(code: str, good: bool) -> None:
    """A week is 01 to 52, or 53 in a year of 53 Sundays such as 2023 (it began on one)."""
    assert (ages.code_advice(code) == "") == good


@given(st.integers(2001, 2049), st.integers(1, 52))
def test_every_week_begins_on_a_sunday_of_its_year(year: int, week: int) -> None:
    """Weeks follow each other from the first Sunday on, and begin in the year of the code."""
    found = ages.tyre_week(f"{week:02d}{year - 2000:02d}")
    assert found is not None
    assert (found.weekday(), found.year) == (6, year)
    assert (found - date(year, 1, 1)).days // 7 == week - 1
