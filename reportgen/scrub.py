"""Looks for private values in text that an edition shows, in every spelling, and takes them out."""

from __future__ import annotations

import dataclasses
import datetime
import html
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from reportgen import hullnumber, units
from reportgen.hullnumber import HullNumber
from reportgen.report import Report

LEFT_OUT = "[left out]"
SHORTEST = 4
_GAP = r"[\s\-\u2010-\u2015*_`\\.]*"
# words that firms' names share with any report; a firm is looked for by its whole name only
_TRADE = frozenset(
    """marine marina boat boats boatyard yard yachts yacht harbour harbor services service surveys survey sales
    brokers brokerage and sons limited ltd inc llc gmbh company club association works engineering mechanical diesel
    outboard outboards canvas rigging owner seller buyer broker surveyor client bank insurance the port bay river
    not stated""".split()
)
_TEXT_SHARES = frozenset({"people", "contact", "exact place", "identity", "surveyor"})
_MONEY_SHARES = frozenset({"price", "cost", "rates"})
_MASKED_SHARES = frozenset({"hull number", "serial"})


@dataclass(frozen=True)
class Scrubber:
    """What to look for. patterns: (what it is, pattern, what to put there). masks: value to its masked form."""

    patterns: tuple[tuple[str, re.Pattern[str], str], ...]
    masks: Mapping[str, str]
    public: bool

    @classmethod
    def of(cls, report: Report, shows: frozenset[str], masked: frozenset[str], public: bool) -> Scrubber:
        """Gather the values of a report that an edition with these categories may not show."""
        words: dict[str, str] = {}
        sums: dict[Decimal, bool] = {}
        masks: dict[str, str] = {}
        for share, value in _private(report, shows):
            if isinstance(value, str) and share in _MASKED_SHARES and len(value) >= SHORTEST:
                masks[value] = _mask(share, value)
            elif isinstance(value, str) and share in _TEXT_SHARES:
                words.update((word, share) for word in _spoken(value, share))
            elif (
                isinstance(value, Decimal)
                and share in _MONEY_SHARES
                and _is_sum(value, report.cover.currency)
            ):
                sums[value] = sums.get(value, False) or share == "price"
        made = [_word(word, share) for word, share in sorted(words.items(), key=lambda w: (-len(w[0]), w[0]))]
        made += [_number(value, masks[value]) for value in sorted(masks, key=lambda v: (-len(v), v))]
        made += [_sum(value, alone, report.cover.currency) for value, alone in sorted(sums.items())]
        return cls(tuple(p for p in made if p is not None), masks, public)

    def text(self, text: str) -> tuple[str, tuple[str, ...]]:
        """Give the text without private values, and what was found; masked numbers are no finding."""
        if len(text) < SHORTEST:
            return text, ()
        hits = []
        for what, pattern, instead in self.patterns:
            new = pattern.sub(instead, text)
            if new != text and instead == LEFT_OUT:
                hits.append(what)
            text = new
        return self._hull_numbers(text), tuple(hits)

    def _hull_numbers(self, text: str) -> str:
        """Mask anything that has the form of a hull number, whoever's it is."""
        if not self.public or len(text) < 12:
            return text
        for start, end in reversed(hullnumber.find_like(text)):
            number = hullnumber.read(text[start:end], latest=datetime.date.max)
            text = text[:start] + hullnumber.masked(number) + text[end:]
        return text

    def found_in_html(self, page: str) -> tuple[str, ...]:
        """Say which private values a piece of HTML still shows."""
        bare = html.unescape(re.sub(r"<[^>]*>", "", page))
        return tuple(what for what, pattern, _ in self.patterns if pattern.search(bare))


def masked_tail(text: str) -> str:
    """Give a registration or serial with all but its last two letters or digits as dots."""
    signs = [n for n, sign in enumerate(text) if sign.isalnum()]
    kept = set(signs[-2:])
    return "".join(s if n in kept or not s.isalnum() else "•" for n, s in enumerate(text))


def _is_sum(value: Decimal, currency: str) -> bool:
    """Say whether a number is money: sums are kept with the currency's decimals, percentages as written."""
    return value > 0 and bool(currency) and value.as_tuple().exponent == -units.decimals(currency)


def _mask(share: str, value: str) -> str:
    if share == "hull number":
        return hullnumber.masked(hullnumber.read(value, latest=datetime.date.max))
    return masked_tail(value)


def _private(value: Any, shows: frozenset[str], share: str = "open") -> Iterator[tuple[str, Any]]:
    """Give (category, value) of every value under a category that is not shown."""
    if isinstance(value, HullNumber):
        # its other fields are words about the number, none of them private
        yield from _private((value.text, value.number), shows, share)
    elif dataclasses.is_dataclass(value) and not isinstance(value, type):
        for spec in dataclasses.fields(value):
            own = spec.metadata.get("share", "")
            # what stands within a hidden block is hidden by the block's category, or by its own if that is narrower
            inner = own if own and (share in shows) else share if own in ("open", "", share) else own
            yield from _private(getattr(value, spec.name), shows, inner or "private")
    elif isinstance(value, Mapping):
        for item in value.values():
            yield from _private(item, shows, share)
    elif isinstance(value, (tuple, list)):
        for item in value:
            yield from _private(item, shows, share)
    elif share not in shows and value is not None:
        yield share, value


def _spoken(value: str, share: str) -> Iterator[str]:
    """Give a name as it may be met in text: whole, and each part of a person's name."""
    whole = value.strip()
    if share not in ("people", "surveyor"):
        yield whole
        return
    if len(whole) <= 60:
        yield whole
    words = re.findall(r"[^\W\d_][^\W\d_'\u2019-]*[^\W\d_]", whole)
    if len(words) <= 3 and not any(w.lower() in _TRADE for w in words):
        yield from (w for w in words if len(w) >= SHORTEST and w[0].isupper())


def _word(word: str, share: str) -> tuple[str, re.Pattern[str], str] | None:
    signs = [re.escape(sign) for sign in word if not re.match(r"[\s\-.]", sign)]
    if len(signs) < SHORTEST or word.lower() in _TRADE:
        return None
    pattern = re.compile(r"(?<!\w)" + _GAP.join(signs) + r"(?!\w)", re.I)
    return f"{word!r} ({share})", pattern, LEFT_OUT


def _number(value: str, mask: str) -> tuple[str, re.Pattern[str], str] | None:
    signs = [re.escape(sign) for sign in value if sign.isalnum()]
    if len(signs) < SHORTEST:
        return None
    pattern = re.compile(r"(?<![^\W_])" + _GAP.join(signs) + r"(?![^\W_])", re.I)
    return f"{value!r}", pattern, mask.replace("\\", r"\\")


def _sum(value: Decimal, alone: bool, currency: str) -> tuple[str, re.Pattern[str], str] | None:
    """A sum of the price talk is looked for as a bare number too; a repair's only beside its currency."""
    whole = int(value)
    digits = f"{whole:,}".split(",")
    number = r"[,.'\u2019\s]?".join(digits)
    cents = f"{value % 1:.2f}"[2:]
    number += r"(?:[.,]00)?" if cents == "00" else rf"[.,]{cents}"
    if len(str(whole)) < SHORTEST and alone:
        alone = False
    signs = {"USD": r"\$", "EUR": "€", "GBP": "£", "NZD": r"(?:NZ)?\$", "CAD": r"(?:CA?)?\$", "AUD": r"A?\$"}
    sign = f"(?:{signs.get(currency, currency or '¤')}|{currency or '¤'})"
    word = r"(?:dollars?|euros?|pounds?|" + re.escape(currency or "¤") + "|" + signs.get(currency, "¤") + ")"
    beside = rf"{sign}\s*{number}(?![\d,.]*\d)|(?<![\d.,]){number}(?![,.]?\d)\s*{word}"
    bare = rf"|(?<![\d.,]){number}(?![\d]|[,.]\d)" if alone else ""
    return (
        f"the sum {units.money(value, currency) if currency else value}",
        re.compile(beside + bare, re.I),
        LEFT_OUT,
    )
