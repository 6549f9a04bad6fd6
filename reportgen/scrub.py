"""Looks for private values in text that an edition shows, in every spelling, and takes them out."""

from __future__ import annotations

import datetime
import html
import itertools
import re
import urllib.parse
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cache, cached_property, lru_cache
from pathlib import Path
from typing import Any, NamedTuple

from reportgen import hullfind, hullnumber, prose, spellings
from reportgen.errors import Place
from reportgen.fieldtable import Kind, bare, fields_of
from reportgen.hullnumber import HullNumber
from reportgen.report import Report
from reportgen.spellings import SHORTEST, Search

# categories whose text are words of the trade (what was fitted, which way it was settled): never looked for
WORDS_OF_TRADE = frozenset(
    {"work", "cost", "cost totals", "price", "agreed price", "value", "payer", "deal", "rates"}
)
_TALK = frozenset({"price", "agreed price", "value"})  # such a sum is told without its currency too
_MONEY = _TALK | {"cost", "cost totals", "rates", "payer"}
_NUMBERS = frozenset({"hull number", "serial"})
# types of which nothing is gathered: where the category is hidden, and where it is shown
_NOTHING: frozenset[Kind] = frozenset({type(None)})
_SINGLE = _NOTHING | {str, Decimal, int, float, bool, datetime.date}
_Head = tuple[str, ...]
_HEAD = 3  # letters by which a hint is looked up
_INLINE_TAG = re.compile(r"</?(?:a|b|code|em|i|s|span|strong|sub|sup|u)(?:\s[^>]*)?>|<!--.*?-->", re.I | re.S)
_TAG = re.compile(r"<[^>]*>")
_WORD = re.compile(r"[^\W\d_]{4,}")


class Hidden(NamedTuple):
    """A value that an edition may not show: its category, and the block and field it stands in."""

    share: str
    of: str
    field: str
    value: Any


@dataclass(frozen=True)
class Scrubber:
    """What to look for in an edition.

    searches: of private values. short: those too short to be taken out, only told of.
    masks: numbers of boat and engines to their masked form.
    public: whether anything like a hull number is masked.
    """

    searches: tuple[Search, ...]
    short: tuple[Search, ...]
    masks: Mapping[str, str]
    public: bool

    @classmethod
    def of(cls, report: Report, shows: frozenset[str], masked: frozenset[str], public: bool) -> Scrubber:
        """Gather the values of a report that an edition with these categories may not show."""
        then = report.follow_up.price if report.follow_up else None
        currency, found = report.cover.currency or (then.currency if then else ""), Found()
        ordinary = spellings.ORDINARY | _vocabulary(report)
        for hidden in values(report, shows):
            found.add(hidden, currency, ordinary)
        # what the edition shows by right, such as an owner who signs as surveyor, is no secret in it
        declared = " | ".join(_declared(report, shows))
        wanted = [
            *found.words.values(),
            *(spellings.number(value, mask) for value, mask in found.masks.items()),
            *(s for value in found.masks for s in _hull_parts(value, found.hulls)),
            *(spellings.amount(value, bare, currency) for value, bare in sorted(found.sums.items())),
        ]
        plain = spellings.bare_form(declared)
        kept = [s for s in wanted if s and not (s.may_stand_in(plain) and s.pattern.search(declared))]
        kept.sort(key=lambda s: (-len(s.what), s.what))
        short = tuple(s for s in found.short.values() if not s.pattern.search(declared))
        return cls(tuple(kept), short, found.masks, public)

    @property
    def seeks(self) -> bool:
        """Say whether there is anything to look for."""
        return self.public or bool(self.searches)

    @cached_property
    def _hints(self) -> Mapping[_Head, Sequence[tuple[str, int]]]:
        """Give each hint with its search, by its beginning; a search without one stands under no letters."""
        found: dict[_Head, list[tuple[str, int]]] = {}
        for n, search in enumerate(self.searches):
            for hint in search.hints or ("",):
                found.setdefault(tuple(hint[:_HEAD]), []).append((hint, n))
        return found

    @cached_property
    def _short_heads(self) -> tuple[_Head, ...]:
        return tuple(head for head in self._hints if len(head) < _HEAD)

    def _likely(self, text: str) -> list[Search]:
        """Give in order the searches that are worth it: hundreds of them meet nothing in most texts."""
        bare = spellings.bare_form(text)
        # all beginnings in a text at once: to read hundreds of hints as one expression takes longer
        near = self._hints.keys() & zip(*(bare[n:] for n in range(_HEAD)), strict=False)
        near.update(self._short_heads)
        found = {n for head in near for hint, n in self._hints[head] if hint in bare}
        return [self.searches[n] for n in sorted(found)]

    def text(self, text: str) -> tuple[str, tuple[str, ...]]:
        """Give the text without private values, and what was found; masked numbers are no finding."""
        if len(text) < SHORTEST or not self.seeks:
            return text, ()
        hits = []
        for search in self._likely(text):
            new = search.pattern.sub(search.instead, text)
            if new != text and not search.masks:
                hits.append(search.what)
            text = new
        return self._hull_numbers(text), tuple(hits)

    def short_in(self, text: str) -> tuple[str, ...]:
        """Say which values stand in a text that are too short to be taken out."""
        return tuple(s.what for s in self.short if s.pattern.search(text)) if self.short else ()

    def _hull_numbers(self, text: str) -> str:
        """Mask anything that has the form of a hull number, whoever's it is."""
        if not self.public or len(text) < 12:
            return text
        for start, end in reversed(hullfind.find_like(text)):
            number = hullnumber.read(text[start:end], latest=datetime.date.max)
            text = text[:start] + hullnumber.masked(number) + text[end:]
        return text

    def in_id(self, id: str) -> bool:
        """Say whether an id or a folder's name tells a private value."""
        return any(self.text(form)[0] != form for form in (id, id.replace("-", " ").replace("_", " ")))

    def found_in_html(self, page: str) -> tuple[str, ...]:
        """Say which private values a piece of HTML still shows, in its text or in an address."""
        if not self.seeks:
            return ()
        joined = html.unescape(_TAG.sub(" ", _INLINE_TAG.sub("", page)))
        addresses = urllib.parse.unquote(html.unescape(" ".join(re.findall(r'="([^"]*)"', page))))
        likely = self._likely(f"{joined} {addresses}")
        found = [s.what for s in likely if s.pattern.search(joined) or s.pattern.search(addresses)]
        if self.public and hullfind.find_like(joined):
            found.append("a hull number")
        return tuple(found)

    def found_in_line(self, text: str) -> tuple[str, ...]:
        """Say which private values a line of Markdown shows once it is rendered."""
        line = prose.inline(text) if self.seeks else text
        return self.found_in_html(line) if line != text else ()


class Found:
    """Collects what to look for. sums: whether each is looked for without its currency too."""

    def __init__(self) -> None:
        self.words: dict[str, Search] = {}
        self.short: dict[str, Search] = {}
        self.masks: dict[str, str] = {}
        self.hulls: set[str] = set()
        self.sums: dict[Decimal, bool] = {}

    def add(self, hidden: Hidden, currency: str, ordinary: frozenset[str]) -> None:
        """Take in one hidden value."""
        value, share = hidden.value, hidden.share
        if isinstance(value, Decimal):
            sum_ = abs(value)  # an adjustment is written with a minus and told without one
            if share in _MONEY and spellings.is_sum(sum_, currency):
                self.sums[sum_] = self.sums.get(sum_, False) or share in _TALK
        elif isinstance(value, str) and share in _NUMBERS:
            self._number(share, value)
        elif isinstance(value, str) and share not in WORDS_OF_TRADE:
            for search in _spoken(hidden, ordinary):
                (self.short if search.short else self.words).setdefault(search.what, search)

    def _number(self, share: str, value: str) -> None:
        if sum(map(str.isalnum, value)) < SHORTEST:
            self.short.setdefault(repr(value), spellings.too_short(value, share))
        elif share == "hull number":
            self.hulls.add(value)
            self.masks[value] = hullnumber.masked(hullnumber.read(value, latest=datetime.date.max))
        else:
            self.masks[value] = masked_tail(value)


def masked_tail(text: str) -> str:
    """Give a registration or serial with all but its last two letters or digits as dots."""
    signs = [n for n, sign in enumerate(text) if sign.isalnum()]
    kept = set(signs[-2:])
    return "".join(s if n in kept or not s.isalnum() else hullnumber.DOT for n, s in enumerate(text))


def around(text: str, shown: str, most: int = 60) -> str:
    """Give the words round the first place where a text differs from what is shown of it."""
    differ = (n for n, (one, other) in enumerate(zip(text, shown, strict=False)) if one != other)
    at = next(differ, min(len(text), len(shown)))
    start, end = max(0, at - most // 2), at + most
    return f"{'... ' * (start > 0)}{text[start:end].strip()}{' ...' * (end < len(text))}"


def values(value: Any, shows: frozenset[str], share: str = "open") -> Iterator[Hidden]:
    """Give every value within a block that stands under a category not among those shown."""
    found: list[Hidden] = []
    _gather((value,), shows, Hidden(share, "", "", None), found)
    return iter(found)


def _gather(value: Any, shows: frozenset[str], at: Hidden, found: list[Hidden]) -> None:
    shown = at.share in shows
    passed = _SINGLE if shown else _NOTHING
    if fields_of(value.__class__) is not None:
        for name, inner, passed in _within(value.__class__, at.share, shows):
            item = getattr(value, name)
            if item.__class__ in passed:
                continue
            if item.__class__ in _SINGLE:
                found.append(Hidden(inner.share, inner.of, inner.field, item))
            else:
                _gather(item, shows, inner, found)
    elif isinstance(value, (tuple, list, Mapping)):
        items = itertools.chain.from_iterable(value.items()) if isinstance(value, Mapping) else value
        for item in items:
            if item.__class__ not in passed:
                _gather(item, shows, at, found)
    elif not shown and not isinstance(value, Path):
        found.append(Hidden(at.share, at.of, at.field, value))


@cache
def _within(kind: Kind, share: str, shows: frozenset[str]) -> tuple[tuple[str, Hidden, frozenset[Kind]], ...]:
    """Give each field of a type with what it is hidden by, and the types of which nothing is gathered.

    share: the category under which the block itself stands.
    """
    inner = []
    for field in fields_of(kind) or ():
        if kind is Place or (kind is HullNumber and field.name not in ("text", "number")):
            continue  # the other fields of a hull number are words about it, none of them private
        own = share if bare(kind) else field.share
        # within a hidden block all is hidden, by its own category or else by that of the block
        hidden = share if own == "open" or (own in shows and share not in shows) else own
        at = Hidden(hidden, kind.__name__, field.name, None)
        inner.append((field.name, at, _SINGLE if hidden in shows else _NOTHING))
    return tuple(inner)


def _spoken(hidden: Hidden, ordinary: frozenset[str]) -> Iterable[Search]:
    """Give the searches for one hidden text, by what kind of text it is."""
    text, share = hidden.value.strip(), hidden.share
    if share in ("contact", "surveyor contact") or hidden.field == "contact":
        return spellings.contact(text, share)
    if share == "exact place":
        return spellings.place(text, share)
    if share == "identity":
        return spellings.whole(text, share, ordinary)
    if share == "private":
        # a photo's file name is never shown; what a photo shows is said by its caption
        return () if hidden.of == "PhotoNote" else spellings.sentences(text, share)
    return spellings.names(text, share, ordinary, sure=hidden.field == "name")


def _hull_parts(value: str, hulls: set[str]) -> Iterator[Search | None]:
    """Look for a hull number's serial too, alone or after the maker's code."""
    number = hullnumber.read(value, latest=datetime.date.max) if value in hulls else None
    if number is not None and number.serial and number.maker_code:
        dots = hullnumber.DOT * len(number.serial)
        yield spellings.number(number.maker_code + number.serial, number.maker_code + dots)
        yield spellings.serial(number.serial, dots)


def _declared(report: Report, shows: frozenset[str]) -> Iterator[str]:
    """Give what an edition shows by right: boat, makers, place, who signs, who releases."""
    cover = report.cover
    yield cover.vessel.name
    for facts in (cover.vessel.advertised, cover.vessel.found):
        if facts is not None:
            yield from (facts.maker, facts.model)
            yield from (word for e in (*facts.engines, *facts.drives) for word in (e.name, e.maker, e.model))
    if "surveyor" in shows:
        for person in (cover.people.surveyor, *cover.people.inspectors):
            yield from (person.name, person.firm, person.credentials)
            if "surveyor contact" in shows:
                yield person.contact
    if "place" in shows:
        yield from (c.place for c in cover.conditions)
    if cover.release is not None:
        yield from (cover.release.by, cover.release.to, cover.release.ask)


def _vocabulary(report: Report) -> frozenset[str]:
    """Give the words of reportgen's own texts in this report; a surname like one is told by its place."""
    texts = [word for c in report.cautions for word in (c.text, c.do, c.who, c.source, c.about)]
    texts += [f"{s} {s.read}" for s in report.sources]
    texts += [word for m in report.measurements for word in (m.title, m.measures, *m.proves, *m.proves_not)]
    hull = report.hull_number
    texts += [*(words for _, words in hull.tells), *hull.cannot_tell, *hull.problems] if hull else []
    return frozenset(itertools.chain.from_iterable(map(_words, texts)))


@lru_cache(maxsize=1024)
def _words(text: str) -> frozenset[str]:
    """Give the words in one of our own texts, of which many reports hold the same."""
    return frozenset(_WORD.findall(text.lower()))
