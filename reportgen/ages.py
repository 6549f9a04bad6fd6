"""Counts ages in years from dates as written, a day, a month or a year, and reads a tyre's date code."""

from __future__ import annotations

import datetime
import re

UNKNOWN = "not known"
FOUR_FIGURES_FROM = datetime.date(2000, 7, 2)  # the first Sunday of July 2000 [tyre-date-three-figures]
_WRITTEN = re.compile(r"(\d{4})(?:-(\d{2}))?(?:-(\d{2}))?", re.ASCII)
_CODE = re.compile(r"\d{3,4}", re.ASCII)


def day(text: str) -> datetime.date | None:
    """Give the earliest day that a date as written can mean, None if it is none.

    text: `2014`, `2014-05` or `2014-05-17`; of a year or a month the first day counts, so that no age comes
    out too low.
    """
    match = _WRITTEN.fullmatch(text)
    if not match:
        return None
    try:
        return datetime.date(int(match[1]), int(match[2] or 1), int(match[3] or 1))
    except ValueError:
        return None


def date_advice(text: str) -> str:
    """Say what to write instead of a date that can't be read, empty where it can."""
    good = text == UNKNOWN or day(text) is not None
    return "" if good else f"write a day, month or year such as 2014-05-17, 2014-05, 2014, or {UNKNOWN}"


def code_advice(text: str) -> str:
    """Say what to write instead of a tyre's date code that can't be one, empty where it can."""
    if not _CODE.fullmatch(text):
        return "write the last four figures of the tyre's number, such as 2319 (week and year)"
    weeks = _sundays(2000 + int(text[2:])) if len(text) == 4 else 53
    if not 1 <= int(text[:2]) <= weeks:
        return f"look at the tyre again: the first two figures are a week, 01 to {weeks}"
    return ""


def tyre_week(code: str) -> datetime.date | None:
    """Give the Sunday that begins the week of a date code of four figures; None for three.

    The first two figures count the full weeks of the year, Sunday to Saturday, the last two are the year's.
    Three figures, in use until 2000, leave the decade open. Source: cfr-49-574.5; tyre-date-three-figures.
    """
    if len(code) != 4:
        return None
    return _first_sunday(2000 + int(code[2:])) + datetime.timedelta(weeks=int(code[:2]) - 1)


def _first_sunday(year: int) -> datetime.date:
    first = datetime.date(year, 1, 1)
    return first + datetime.timedelta(days=(6 - first.weekday()) % 7)


def _sundays(year: int) -> int:
    """Give how many weeks begin in a year, 52 or 53."""
    return (datetime.date(year, 12, 31) - _first_sunday(year)).days // 7 + 1


def years(since: datetime.date, on: datetime.date) -> float:
    """Give the age [years] on a day: whole years to the last birthday, then days by the length of that year.

    Below zero where `since` lies after `on`.
    """
    whole = on.year - since.year - (_birthday(since, on.year) > on)
    last, coming = _birthday(since, since.year + whole), _birthday(since, since.year + whole + 1)
    return whole + (on - last).days / (coming - last).days


def _birthday(since: datetime.date, year: int) -> datetime.date:
    try:
        return since.replace(year=year)
    except ValueError:  # 29 February in a year without one
        return datetime.date(year, 3, 1)
