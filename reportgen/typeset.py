"""Sets finished pages like print: a number keeps to its unit, a day to its month, and a minus is a minus."""

from __future__ import annotations

import re
from functools import cache

from reportgen import wording
from reportgen.unitnames import UNITS

_NO_BREAK = "\N{NO-BREAK SPACE}"
# a page's head, its tags, and what is to be copied to the letter stay as they are
_AS_IT_IS = re.compile(r"(<(?:pre|code)\b.*?</(?:pre|code)>|<[^>]*>)", re.DOTALL)
_BETWEEN = "\0"  # no text of a note and no page holds it
# not in ranges, dates, telephone and part numbers, where a letter or digit stands before it
_MINUS = re.compile(r"-(?<![\w.,;:/)\]'’+-]-)(?=(?:[$€£¥]|[A-Z]{3}\s?)?\d)")
_UNIT_NAMES = sorted({unit for table in UNITS.values() for unit in table if unit}, key=len, reverse=True)


def set_like_print(html: str) -> str:
    """Give a page's HTML with spaces that don't break and true minus signs; its data files keep theirs."""
    head, end, body = html.rpartition("</head>")
    parts = _AS_IT_IS.split(body)  # text, what stays, text, and so on
    # one search through all text is much quicker than one a piece
    text = _breaks(wording.language()).sub(_kept, _BETWEEN.join(parts[::2]))
    parts[::2] = _MINUS.sub("\N{MINUS SIGN}", text).split(_BETWEEN)
    return head + end + "".join(parts)


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
