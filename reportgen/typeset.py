"""Sets finished pages like print: a number keeps to its unit, month or title, and a minus is a minus."""

from __future__ import annotations

import re
from functools import cache, lru_cache

from reportgen import glossary, wording
from reportgen.unitnames import UNITS

_NO_BREAK = "\N{NO-BREAK SPACE}"
_AS_IT_IS = {"pre", "code"}  # what is to be copied to the letter
# not in ranges, dates, telephone and part numbers, where a letter or digit stands before it
_MINUS = re.compile(r"-(?<![\w.,;:/)\]'’+-]-)(?=(?:[$€£¥]|[A-Z]{3}\s?)?\d)")
_FIRST = re.compile(r"^(\s*\d{1,3}\.) (?=[^\d\s]|$)")  # the number of a finding, before its title
_UNIT_NAMES = sorted({unit for table in UNITS.values() for unit in table if unit}, key=len, reverse=True)


def set_like_print(html: str, words: str = "") -> str:
    """Give a page's HTML with spaces that don't break and true minus signs; its data files keep theirs.

    words: file of the page of words, to which the first use of each leads; "" for no such links.
    """
    head, end, body = html.rpartition("</head>")
    pieces, spoken, met = body.split("<"), wording.language(), set[str]()
    copied = closed = ""  # the tags that end what is to be left as it is, and what takes no link
    for number, piece in enumerate(pieces):
        tag, _, text = piece.partition(">")
        name = tag.partition(" ")[0]
        if copied:
            copied = "" if name == copied else copied
        elif name in _AS_IT_IS:
            copied = f"/{name}"
        if closed:
            closed = "" if name == closed else closed
        elif name in glossary.CLOSED:
            closed = f"/{name}"
        if text and not copied:
            new = _set(text, spoken)
            if words and not closed:
                new = glossary.linked(new, met, words)
            if new is not text:
                pieces[number] = f"{tag}>{new}"
    return head + end + "<".join(pieces)


@lru_cache(20_000)  # reports share most of their texts
def _set(text: str, spoken: str) -> str:
    text = _FIRST.sub(rf"\1{_NO_BREAK}", text)
    return _MINUS.sub("\N{MINUS SIGN}", _breaks(spoken).sub(_kept, text))


def _kept(found: re.Match[str]) -> str:
    return found[0].replace(" ", _NO_BREAK)


@cache
def _breaks(spoken: str) -> re.Pattern[str]:
    """Give what finds the space before a unit or a month: `5 psi`, `5 March`, `5. März`, `5 de marzo`."""
    months = set(wording.MONTHS)  # notes may be English under heads in another language
    if spoken != "en":
        from babel.dates import get_month_names

        months |= set(get_month_names("wide", locale=spoken).values())
    unit, month = "|".join(map(re.escape, _UNIT_NAMES)), "|".join(sorted(months))
    return re.compile(rf" (?:(?<=\d )|(?<=\d\. ))(?:(?=(?:{unit})(?![\w/]))|(?:de )?(?=(?:{month})\b))")
