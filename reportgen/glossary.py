"""Says what words of the trade mean in plain words, and leads to that from where a page first uses one."""

from __future__ import annotations

import bisect
import itertools
import re
from dataclasses import dataclass
from functools import cache
from importlib import resources

import yaml

from reportgen import sources
from reportgen.wording import language, later, say, say_in

NO_SOURCE = later("common practice, no source")
MEANING = "word of the trade and its other forms, with commas"
# no link goes into a link, a heading, a drawing or what can be pressed, nor into a tag
_CLOSED = ("a ", "button", "code", "h[1-6]", "head>", "nav", "pre>", "summary", "svg", "thead", "figcaption")
_WHOLE = "|".join(rf"{name}.*?</{name.strip(' >')}" for name in _CLOSED)
_NO_PLACE = re.compile(rf"(<(?:{_WHOLE}|[^>]*)>)", re.DOTALL)
_WORD = re.compile(r"[^\W\d_]+")


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
    if language() == "en":
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
            str(sources.get(row["source"])) if "source" in row else NO_SOURCE,
        )
        for word, row in sorted(rows.items())
    )


def forms(word: Word) -> str:
    """Give a word with its other spellings, as one text to be translated."""
    return ", ".join((word.word, *word.also))


def _said(word: Word) -> Word:
    # a language has plurals and compounds of its own, so that all spellings are translated at once
    own = [form.strip() for form in say_in(MEANING, forms(word)).split(",") if form.strip()]
    source = say(word.source) if word.source == NO_SOURCE else word.source
    return Word(word.id, own[0], tuple(own[1:]), say(word.means), say(word.matters), source)


@cache
def _spellings(language: str) -> dict[str, list[tuple[str, str]]]:
    """Give every spelling in a language, in small letters, with the id of its word, by its first letters."""
    found: dict[str, list[tuple[str, str]]] = {}
    for word in words():
        for spelling in (form.lower() for form in (word.word, *word.also)):
            found.setdefault(_WORD.findall(spelling)[0], []).append((spelling, word.id))
    return found


def linked(html: str, page: str) -> str:
    """Give a page's HTML in which the first use of each word leads to what it means.

    page: file of the page of words. Headings, links, drawings and code stay as they are.
    """
    parts = _NO_PLACE.split(html)  # text, what stays as it is, text, and so on
    texts = parts[::2]
    bare = "<".join(texts)
    lower = bare.lower()
    if len(lower) != len(bare):  # a few letters grow when made small, and places would no longer agree
        lower = bare
    starts = list(itertools.accumulate((len(text) + 1 for text in texts), initial=0))
    for start, end, id in reversed(_uses(lower)):
        part = bisect.bisect_right(starts, start) - 1
        text, at = parts[2 * part], start - starts[part]
        till = at + end - start
        parts[2 * part] = f'{text[:at]}<a class="w" href="{page}#{id}">{text[at:till]}</a>{text[till:]}'
    return "".join(parts)


def _uses(text: str) -> list[tuple[int, int, str]]:
    """Give where each word is first used in a text in small letters: start, end and id, in order."""
    places: dict[str, tuple[int, int]] = {}
    spellings = _spellings(language())
    # to look through a page for words that it hasn't would take longest
    for first in spellings.keys() & set(_WORD.findall(text)):
        for spelling, id in spellings[first]:
            use = _first(text, spelling)
            # of spellings that start at one place, the longest
            if use and (id not in places or (use[0], -use[1]) < (places[id][0], -places[id][1])):
                places[id] = use
    found: list[tuple[int, int, str]] = []
    for start, end, id in sorted((*place, id) for id, place in places.items()):
        if not found or start >= found[-1][1]:
            found.append((start, end, id))
    return found


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
