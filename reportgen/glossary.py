"""Says what words of the trade mean in plain words, and leads to that from where a page first uses one."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from importlib import resources

import yaml

from reportgen import sources
from reportgen.wording import later, publication, say, say_in, tag

NO_SOURCE = later("common practice, no source")
MEANING = "word of the trade and its other forms, with commas"
# no link goes into a link, a heading, a drawing or what can be pressed
CLOSED = set("a button code h1 h2 h3 h4 h5 h6 head nav pre summary svg thead figcaption".split())  # noqa: SIM905
_WORD = re.compile(r"[^\W\d_]+")
Use = tuple[int, int, str]  # of a word in a text: where it starts and ends, and its id


@dataclass(frozen=True)
class Word:
    """One word of the trade.

    id: its anchor on the page of words. also: other spellings that lead to it, (n,).
    means: what it is. matters: why a report speaks of it, may be empty. source: who says so.
    """

    id: str
    word: str
    also: tuple[str, ...]
    means: str
    matters: str
    source: str


def words() -> tuple[Word, ...]:
    """Give every word of glossary.yaml in the reader's language, by the alphabet.

    Raises KeyError for a source that sources.yaml doesn't have: a bug of ours.
    """
    if tag() == "en":
        return _words()
    said = [_said(word) for word in _words()]
    return tuple(sorted(said, key=lambda word: word.word.casefold()))


@cache
def _words() -> tuple[Word, ...]:
    text = resources.files("reportgen").joinpath("glossary.yaml").read_text(encoding="utf-8")
    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    rows = yaml.load(text, Loader=loader)  # noqa: S506 -- the safe loader, in C where there is one
    return tuple(
        Word(
            word.replace(" ", "-"),
            word,
            tuple(row.get("also", ())),
            row["means"].strip(),
            row.get("matters", "").strip(),
            sources.get(row["source"]).named if "source" in row else NO_SOURCE,
        )
        for word, row in sorted(rows.items(), key=lambda row: row[0].casefold())
    )


def forms(word: Word) -> str:
    """Give a word with its other spellings, as one text to be translated."""
    return ", ".join((word.word, *word.also))


def _said(word: Word) -> Word:
    # a language has plurals and compounds of its own, so that all spellings are translated at once
    own = [form.strip() for form in say_in(MEANING, forms(word)).split(",") if form.strip()]
    source = say(word.source) if word.source == NO_SOURCE else publication(word.source)
    return Word(word.id, own[0], tuple(own[1:]), say(word.means), say(word.matters), source)


@cache
def _spellings(language: str) -> dict[str, list[tuple[str, str]]]:
    """Give every spelling in a language, in small letters, with the id of its word, by its first letters."""
    found: dict[str, list[tuple[str, str]]] = {}
    for word in words():
        for spelling in (form.lower() for form in (word.word, *word.also)):
            found.setdefault(_WORD.findall(spelling)[0], []).append((spelling, word.id))
    return found


def linked(text: str, uses: Iterable[Use], met: set[str], page: str) -> str:
    """Give a text of a page, without tags, with a link where a word is used that was not met before.

    uses: where the text uses words. met: ids of the words that the page led to already; those of this text
    are added. page: file of the page of words. Of two that overlap, the first is linked.
    """
    new = [use for use in uses if use[2] not in met]
    parts, done = [], 0
    for start, end, id in new:
        if start >= done:
            parts += [text[done:start], f'<a class=w href="{page}#{id}">{text[start:end]}</a>']
            done = end
    met.update(id for _, _, id in new)
    return "".join((*parts, text[done:]))


def uses(text: str, spoken: str) -> tuple[Use, ...]:
    """Give where each word is first used in a text without tags: start, end and id, in order.

    spoken: the language that is spoken now.
    """
    lower = text.lower()
    if len(lower) != len(text):  # a few letters grow when made small, and places would no longer agree
        lower = text
    places: dict[str, tuple[int, int]] = {}
    spellings = _spellings(spoken)
    # to look through a text for words that it hasn't would take longest
    for first in spellings.keys() & set(_WORD.findall(lower)):
        for spelling, id in spellings[first]:
            use = _first(lower, spelling)
            # of spellings that start at one place, the longest
            if use and (id not in places or (use[0], -use[1]) < (places[id][0], -places[id][1])):
                places[id] = use
    return tuple(sorted((*place, id) for id, place in places.items()))


def _first(text: str, spelling: str) -> tuple[int, int] | None:
    """Give where a spelling first stands as a word of its own, start and end; a hyphen joins two words."""
    start = text.find(spelling)
    while start >= 0:
        end = start + len(spelling)
        around = text[start - 1 : start] + text[end : end + 1]
        if not any(sign.isalnum() or sign == "-" for sign in around):
            return start, end
        start = text.find(spelling, end)
    return None
