"""Reads the end of a hull number: when the boat was certified or made, and her model year."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, replace

from reportgen.wording import later, month, say

CURRENT = later("US since August 1984")
STRAIGHT_YEAR = later("US 1972 to 1984, month and year")
MODEL_YEAR = later("US 1972 to 1984, model year")
WITH_COUNTRY = later("with country code")
NOT_RECOGNISED = later("not recognised")

REQUIRED_SINCE = datetime.date(1972, 11, 1)  # a surveyors' magazine, February 2000, and three pages
CURRENT_SINCE = datetime.date(1984, 8, 1)  # the format sheets
SLOWEST = 2  # [years] from the date to the model year; a builders' mailing list: "rarely two"
LETTERS = "ABCDEFGHIJKL"  # I is September like any other month: the bar is on the serial only
_OLD_LETTERS = "FGHIJKLABCDE"  # in order from January: the old model year began with A in August

_COMPARE = later("Compare with the hidden marking and the papers.")
_OLD_WITH_COUNTRY = later("A country code does not go with an ending of 1972 to 1984 (from memory).")


@dataclass(frozen=True)
class Ending:
    """The last four characters: (year, month), model year, rules broken, oddities."""

    certified: tuple[int, int] | None = None
    model_year: int | None = None
    broken: tuple[str, ...] = ()
    odd: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        """Give month and year, "" where there is none."""
        return month(*self.certified) if self.certified else ""


def and_compare(problem: str) -> str:
    """Give a problem with what to hold the number against."""
    return f"{problem} {say(_COMPARE)}"


def read_ending(form: str, tail: str, latest: datetime.date) -> Ending:
    """Read the last four characters by the form; latest: the report day, which bars later dates.

    Source: 33 CFR 181.25; the format sheets for 1972 to 1984.
    """
    if form == STRAIGHT_YEAR:
        ending = _straight_year(tail)
    elif form == MODEL_YEAR:
        ending = _old_model_year(tail)
    elif tail[0] == "M" or tail[0].isdigit():
        ending = Ending(broken=(and_compare(say(_OLD_WITH_COUNTRY)),))
    else:
        ending = _current(tail, latest)
    # 33 CFR 181.25(c): the date is no later than the day the boat leaves the place where it was made.
    if ending.certified and ending.certified > (latest.year, latest.month):
        late = and_compare(say("{words} is after the day of this report.", words=ending.words))
        return replace(ending, broken=(*ending.broken, late))
    return ending


def _current(tail: str, latest: datetime.date) -> Ending:
    """Month letter, last digit of the year, two digits of the model year (33 CFR 181.25(c), (d))."""
    letter, digit, short = tail[0], tail[1], tail[2:]
    broken = []
    if letter not in LETTERS:
        broken.append(
            and_compare(
                say("Character 9 is {letter}, no month letter (A January to L December).", letter=letter)
            )
        )
    if not digit.isdigit():
        broken.append(
            and_compare(
                say("Character 10 is {digit}; the last digit of the year belongs there.", digit=digit)
            )
        )
    if not short.isdigit():
        broken.append(
            and_compare(
                say("Characters 11 and 12 are {short}; the model year's digits belong there.", short=short)
            )
        )
        return Ending(broken=tuple(broken))
    # No number of this form is older than 1984, so two digits give one year for a hundred years.
    first, last = CURRENT_SINCE.year, latest.year + SLOWEST
    year = last - (last - int(short)) % 100
    fits = year >= first
    if not fits:
        broken.append(
            and_compare(
                say(
                    "Model year {short} fits no year from {first} to {last}.",
                    short=short,
                    first=first,
                    last=last,
                )
            )
        )
    if broken:
        return Ending(model_year=year if fits else None, broken=tuple(broken))
    return _dated(LETTERS.index(letter) + 1, digit, year)


def _dated(month: int, digit: str, model_year: int) -> Ending:
    """The year is the one with that digit that is the model year or at most two years before it."""
    years = [year for year in range(model_year - SLOWEST, model_year + 1) if year % 10 == int(digit)]
    if not years:
        wrong = and_compare(
            say(
                "Year digit {digit} fits none of {model_year} to {model_year_2}: no date.",
                digit=digit,
                model_year=model_year - SLOWEST,
                model_year_2=model_year,
            )
        )
        return Ending(model_year=model_year, broken=(wrong,))
    ending = Ending((years[0], month), model_year)
    odd = []
    if years[0] == model_year - SLOWEST:
        odd.append(
            and_compare(
                say("It is dated {years}, two years before its model year, which is rare.", years=years[0])
            )
        )
    if (years[0], month) < (CURRENT_SINCE.year, CURRENT_SINCE.month):
        odd.append(
            and_compare(say("{words} is before this form was required (1 August 1984).", words=ending.words))
        )
    return replace(ending, odd=tuple(odd))


def _old_model_year(tail: str) -> Ending:
    """M, two digits of the model year, and a month letter from A for August of the year before."""
    short, letter = tail[1:3], tail[3]
    broken = []
    if not short.isdigit():
        broken.append(
            and_compare(
                say("Characters 10 and 11 are {short}; the model year's digits belong there.", short=short)
            )
        )
    if letter not in _OLD_LETTERS:
        broken.append(
            and_compare(
                say("Character 12 is {letter}; after an M it is a letter, A August to L July.", letter=letter)
            )
        )
    if broken:
        return Ending(broken=tuple(broken))
    model_year = 1900 + int(short)
    year = model_year - 1 if letter in "ABCDE" else model_year
    return _old(Ending((year, _OLD_LETTERS.index(letter) + 1), model_year))


def _straight_year(tail: str) -> Ending:
    """Two digits of the month and two of the year; this form carries no model year."""
    if not tail.isdigit():
        return Ending(
            broken=(and_compare(say("It ends in {tail}; month and year in digits belong there.", tail=tail)),)
        )
    if not 1 <= int(tail[:2]) <= 12:
        return Ending(
            broken=(and_compare(say("Characters 9 and 10 say month {tail}, which is none.", tail=tail[:2])),)
        )
    return _old(Ending((1900 + int(tail[2:]), int(tail[:2]))))


def _old(ending: Ending) -> Ending:
    """Numbers before November 1972 were allowed, though not required; from August 1984 the form was wrong."""
    dated = ending.certified or (0, 0)
    if dated < (REQUIRED_SINCE.year, 1):
        return Ending(
            broken=(and_compare(say("Its year fits no year from 1972 to 1984, so no date is read.")),)
        )
    if dated >= (CURRENT_SINCE.year, CURRENT_SINCE.month):
        late = and_compare(say("{words} is after this form ended (31 July 1984).", words=ending.words))
        return replace(ending, broken=(late,))
    if dated < (REQUIRED_SINCE.year, REQUIRED_SINCE.month):
        early = and_compare(
            say("{words} is before numbers were required (1 November 1972).", words=ending.words)
        )
        return replace(ending, odd=(early,))
    return ending
