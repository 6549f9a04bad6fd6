"""Asks on a terminal what is known of a boat before its notes are begun; Enter leaves a thing out."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from dataclasses import dataclass

from reportgen import units
from reportgen.blocks.cover import SURVEYS
from reportgen.boats import TYPES
from reportgen.errors import listed, nearest
from reportgen.yamltext import INVISIBLE


class AgainError(ValueError):
    """An answer that can't be used; the message says what to answer instead."""


@dataclass(frozen=True)
class Question:
    """One question. name: of its answer. read: gives the answer to keep, or raises AgainError."""

    name: str
    asks: str
    read: Callable[[str], str]
    default: str = ""
    needed: bool = False


def _as_it_is(text: str) -> str:
    return text


def _one_of(words: tuple[str, ...]) -> Callable[[str], str]:
    def read(text: str) -> str:
        if text.isdecimal() and 1 <= int(text) <= len(words):
            return words[int(text) - 1]
        if text.lower() in words:
            return text.lower()
        near = nearest(text, words)
        raise AgainError(f"{near}?" if near else f"answer with {listed(words)}, or its number")

    return read


def _length(text: str) -> str:
    try:
        return str(units.quantity(text, "length"))
    except units.UnitError as error:
        raise AgainError(f"{error.found}; {error.write}") from None


def _currency(text: str) -> str:
    if not units.currency_known(text.upper()):
        raise AgainError(f"{text!r} is no currency; answer with a code such as USD or EUR")
    return text.upper()


def _day(text: str) -> str:
    try:
        return datetime.date.fromisoformat(text).isoformat()
    except ValueError:
        raise AgainError(f"{text!r} is not a date; answer as 2026-05-14") from None


def questions(day: datetime.date, currency: str) -> tuple[Question, ...]:
    """Give the questions in their order; day, currency: what Enter takes."""
    return (
        Question("type", "Type of boat", _one_of(TYPES), needed=True),
        Question("survey", f"Survey ({listed(SURVEYS)})", _one_of(SURVEYS), SURVEYS[0]),
        Question("day", "Day of the inspection", _day, day.isoformat()),
        Question("name", "Boat's name", _as_it_is),
        Question("maker", "Maker, as found aboard", _as_it_is),
        Question("model", "Model", _as_it_is),
        Question("built", "Year built", _as_it_is),
        Question("length", "Length with its unit, such as 7.2 m or 24 ft", _length),
        Question("hull number", "Hull identification number", _as_it_is),
        Question("place", "Place of the inspection", _as_it_is),
        Question("made for", "Made for whom, and who may rely on it", _as_it_is),
        Question("surveyor", "Your name", _as_it_is),
        Question("currency", "Currency of prices", _currency, currency),
    )


def ask(
    day: datetime.date,
    currency: str,
    answer: Callable[[str], str] = input,
    say: Callable[[str], None] = print,
) -> dict[str, str]:
    """Ask all questions; give the answers by name, without those that were left out.

    answer: prints its argument and gives a typed line; say: prints a line.
    Raises KeyboardInterrupt when the writer stops, by Ctrl-C or the end of what is typed.
    """
    say("Enter takes what stands in brackets, or leaves it to be filled in later; Ctrl-C stops.")
    for number, type in enumerate(TYPES, 1):
        say(f"  {number}  {type}")
    told: dict[str, str] = {}
    for question in questions(day, currency):
        told[question.name] = _asked(question, answer, say)
    return {name: text for name, text in told.items() if text}


def _asked(question: Question, answer: Callable[[str], str], say: Callable[[str], None]) -> str:
    shown = f"{question.asks} [{question.default}]: " if question.default else f"{question.asks}: "
    while True:
        try:
            text = " ".join(INVISIBLE.sub(" ", answer(shown)).split())
        except EOFError:
            raise KeyboardInterrupt from None
        if not text and not question.needed:
            return question.default
        try:
            return question.read(text)
        except AgainError as why:
            say(f"  {why}")
