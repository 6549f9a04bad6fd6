"""Says what words of the trade mean in plain words, and leads to that from where a page first uses one."""

from __future__ import annotations

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
_NO_PLACE = re.compile(rf"<(?:{_WHOLE}|[^>]*)>", re.DOTALL)
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


def linked(html: str, page: str) -> str:
    """Give a page's HTML in which the first use of each word leads to what it means.

    page: file of the page of words. Headings, links, drawings and code stay as they are.
    """
    bare = _NO_PLACE.sub(lambda found: " " * len(found[0]), html)
    lower = bare.lower()
    if len(lower) != len(html):  # a few letters grow when made small, and places would no longer agree
        lower = bare
    places, used = {}, set(_WORD.findall(lower))
    for word in words():
        # to look through a page for words that it hasn't would take longest
        near = (form.lower() for form in (word.word, *word.also) if _WORD.findall(form.lower())[0] in used)
        uses = [use for spelling in near if (use := _first(lower, spelling))]
        if uses:
            # of spellings that start at one place, the longest
            places[word.id] = min(uses, key=lambda use: (use[0], -use[1]))
    out, done = [], 0
    for id, (start, end) in sorted(places.items(), key=lambda place: place[1]):
        if start >= done:
            out += [html[done:start], f'<a class="w" href="{page}#{id}">{html[start:end]}</a>']
            done = end
    return "".join((*out, html[done:]))


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
