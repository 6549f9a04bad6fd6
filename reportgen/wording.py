"""Puts our own words, numbers, dates and sums into the reader's language; English needs no catalogue.

A text of ours is written in English where it is used, with named places for what is put in:
`say("Lowest {low} of {of}", low=low, of=of)`. The catalogues in locale/ hold it in other languages; what
one of them lacks stays English. The words of the notes are the writer's and are never looked up, but for
names that may be ours as well (`term`). tests/catalogue.py collects the texts from the source.
"""

from __future__ import annotations

import datetime
import gettext
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from decimal import Decimal
from functools import cache, lru_cache
from pathlib import Path
from typing import Any, Protocol

from reportgen import american, moneytext
from reportgen.errors import listed

LANGUAGES = ("en", "es", "fr", "de", "nl")
AMERICAN = "en-US"
SPOKEN = ("en", AMERICAN, *LANGUAGES[1:])  # what a reader may ask for: languages, and one by its spelling
SYSTEMS = ("metric", "us", "both")  # of units; none of them: as noted
DOMAIN = "reportgen"
HOME = Path(__file__).resolve().parent / "locale"
MONTHS = american.MONTHS

_NUMBERS = ("no", "one", "two", "three", "four", "five", "six",
            "seven", "eight", "nine", "ten", "eleven", "twelve")  # fmt: skip

_language: ContextVar[str] = ContextVar("language", default="en")
_american: ContextVar[bool] = ContextVar("american", default=False)
_system: ContextVar[str] = ContextVar("system", default="")
_notes: ContextVar[str] = ContextVar("notes", default="")


class Catalogue(Protocol):
    """What is asked of a catalogue of texts; the standard library's GNUTranslations has it."""

    def gettext(self, message: str) -> str:
        """Give a text in the catalogue's language."""

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        """Give the form of a text that fits a count."""

    def pgettext(self, context: str, message: str) -> str:
        """Give a word in one of its meanings."""

    def npgettext(self, context: str, msgid1: str, msgid2: str, n: int) -> str:
        """Give the form of a word, in one of its meanings, that fits a count."""


@contextmanager
def speaking(language: str = "en", system: str = "", notes: str = "") -> Iterator[None]:
    """Word everything made inside in a language of SPOKEN, quantities also in a system of SYSTEMS.

    notes: the language of the notes, "" for the same.
    """
    base, _, land = language.partition("-")
    spoken, spelled = _language.set(base), _american.set(bool(land))
    measured, written = _system.set(system), _notes.set(notes.partition("-")[0])
    try:
        yield
    finally:
        _language.reset(spoken)
        _american.reset(spelled)
        _system.reset(measured)
        _notes.reset(written)


def language() -> str:
    """Give the language that is spoken now, one of LANGUAGES."""
    return _language.get()


def tag() -> str:
    """Give the language that is spoken now with its spelling, one of SPOKEN (BCP 47)."""
    return AMERICAN if _american.get() else _language.get()


def english(text: str) -> str:
    """Give an English text of ours in the spelling that is asked for."""
    return american.spelled(text) if _american.get() else text


def publication(named: str) -> str:
    """Give what names a publication in the spelling that is asked for; no language translates it."""
    return american.described(named) if _american.get() else named


def system() -> str:
    """Give the system of units that is wished for now, "" for quantities as noted."""
    return _system.get()


def foreign() -> str:
    """Give the language of the notes where it is another than the one spoken, else ""."""
    return "" if _notes.get() == _language.get() else _notes.get()


@cache
def catalogue(spoken: str) -> Catalogue:
    """Give a language's catalogue; FileNotFoundError for one that has none."""
    with (HOME / spoken / "LC_MESSAGES" / f"{DOMAIN}.mo").open("rb") as file:
        return gettext.GNUTranslations(file)


def say(text: str, /, **values: object) -> str:
    """Give a text of ours in the reader's language, with values in its places `{name}`."""
    spoken = _language.get()
    # an empty text would give the catalogue's head
    if spoken == "en":
        text = english(text)
    elif text:
        text = catalogue(spoken).gettext(text)
    return text.format(**values) if values else text


def say_n(one: str, many: str, n: int, /, **values: object) -> str:
    """Give the form of a text that fits the count `n`, which stands in `{n}`."""
    spoken = _language.get()
    text = english(one if n == 1 else many) if spoken == "en" else catalogue(spoken).ngettext(one, many, n)
    return text.format(**{"n": n} | values)


def say_in(context: str, text: str, /, **values: object) -> str:
    """Give a word in one of its meanings, such as a state or an outcome."""
    spoken = _language.get()
    if spoken == "en":
        text = english(text)
    elif text:
        text = catalogue(spoken).pgettext(context, text)
    return text.format(**values) if values else text


def say_n_in(context: str, one: str, many: str, n: int, /, **values: object) -> str:
    """Give the form of a word, in one of its meanings, that fits the count `n`, which stands in `{n}`."""
    spoken = _language.get()
    text = (
        english(one if n == 1 else many)
        if spoken == "en"
        else catalogue(spoken).npgettext(context, one, many, n)
    )
    return text.format(**{"n": n} | values)


def in_template(name: str) -> Callable[..., str]:
    """Give the function by which templates ask for texts: gettext, ngettext, pgettext or npgettext.

    Templates put values in themselves, at `%(name)s`, and escape them.
    """

    def given(*arguments: Any) -> str:
        spoken = _language.get()
        if spoken != "en":
            return str(getattr(catalogue(spoken), name)(*arguments)) if any(arguments) else ""
        if name.startswith("n"):
            one, many, n = arguments[-3:]
            return english(str(one if n == 1 else many))
        return english(str(arguments[-1]))

    return given


def told(text: str) -> str:
    """Give a text of a template in the reader's language, its places `%(name)s` as they are."""
    spoken = _language.get()
    return catalogue(spoken).gettext(text) if spoken != "en" and text else english(text)


def later(text: str) -> str:
    """Mark a text that is kept in English and put into words by `say` where it is used."""
    return text


def later_n(one: str, many: str) -> tuple[str, str]:
    """Mark the two forms of a text that is put into words by `say_n` where it is used."""
    return one, many


def later_in(context: str, text: str) -> str:
    """Mark a word that is put into words by `say_in` with the same meaning where it is used."""
    return text


def term(word: str) -> str:
    """Give a name that may be ours, such as a column's, in the reader's language; else as it is."""
    return say_in("name", word)


def all_of(words: Iterable[str]) -> str:
    """Give words as a phrase: `a, b and c`."""
    return listed(words, say("and"))


def one_of(words: Iterable[str]) -> str:
    """Give words as a phrase: `a, b or c`."""
    return listed(words, say("or"))


@cache
def _marks(spoken: str) -> dict[int, str]:
    from babel.numbers import get_decimal_symbol, get_group_symbol

    return {ord("."): get_decimal_symbol(spoken), ord(","): get_group_symbol(spoken)}


def number(printed: object) -> str:
    """Give a number that is printed the English way with the marks of the reader's language."""
    spoken = _language.get()
    return str(printed) if spoken == "en" else str(printed).translate(_marks(spoken))


def number_in_words(number: int) -> str:
    """Give a count in words up to twelve, in digits beyond."""
    # in other languages most number words go by gender
    return _NUMBERS[number] if number < len(_NUMBERS) and _language.get() == "en" else str(number)


def day(date: datetime.date) -> str:
    """Print a date: `5 March 2026`, `March 5, 2026`, `5. März 2026`."""
    return _day(date, tag())


@lru_cache(1024)
def _day(date: datetime.date, spoken: str) -> str:
    if spoken == "en":
        return f"{date.day} {MONTHS[date.month - 1]} {date.year}"
    if spoken == AMERICAN:
        return f"{MONTHS[date.month - 1]} {date.day}, {date.year}"
    from babel.dates import format_date

    printed = format_date(date, "long", locale=spoken)
    return f"1er{printed[1:]}" if spoken == "fr" and date.day == 1 else printed


def days(dates: Iterable[datetime.date]) -> str:
    """Print several dates as `5 and 7 March 2026`, or each whole where the month changes."""
    given = sorted(set(dates))
    if len({(d.year, d.month) for d in given}) == 1:
        if _american.get():
            return f"{MONTHS[given[0].month - 1]} {all_of(str(d.day) for d in given)}, {given[0].year}"
        return all_of([*(_number_of_day(d.day) for d in given[:-1]), day(given[-1])])
    return all_of([day(d) for d in given])


def _number_of_day(number: int) -> str:
    """Give a day without its month: `5`, `5.`, and `1er` for the first."""
    spoken = _language.get()
    return f"{number}{'.' if spoken == 'de' else 'er' if spoken == 'fr' and number == 1 else ''}"


def month(year: int, number: int) -> str:
    """Print a month: `March 2026`."""
    if _language.get() == "en":
        return f"{MONTHS[number - 1]} {year}"
    from babel.dates import format_skeleton

    return format_skeleton("yMMMM", datetime.date(year, number, 1), locale=_language.get())


@cache
def _whole_sums(spoken: str) -> str:
    """Give a language's pattern of sums without decimals: the sign stands where its readers expect it."""
    from babel import Locale

    own = Locale.parse(spoken).currency_formats["standard"].pattern
    return "¤#,##0" if spoken == "en" else own.replace(".00", "")


def money(amount: Decimal, currency: str, whole: bool = False) -> str:
    """Print a sum in its currency the reader's way; whole: without decimals, already rounded."""
    spoken = _language.get()
    return moneytext.printed(amount, currency, spoken, _whole_sums(spoken) if whole else "")
