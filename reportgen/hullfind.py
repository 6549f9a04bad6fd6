"""Finds what may be a hull identification number in any text, so that it can be hidden."""

from __future__ import annotations

import re
import unicodedata

from reportgen.hulldate import LETTERS, SLOWEST
from reportgen.hullnumber import GAP, GAPS, HYPHEN, run_together

# A blank after a country code needs capitals: "in" or "on" before a number is no country.
_COUNTRY = rf"(?:[A-Za-z]{{2}}(?:{HYPHEN}|(?=[A-Za-z]))|[A-Z]{{2}}{GAPS})?"
_SERIAL = f"(?P<serial>{GAPS.join(['[A-Za-z0-9]'] * 5)})"
_TAILS = (
    GAPS.join(["[A-La-l]", *["[0-9]"] * 3]),
    GAPS.join(["[Mm]", "[0-9]", "[0-9]", "[A-La-l]"]),
    f"(?:0{GAPS}[1-9]|1{GAPS}[0-2]){GAPS}(?:7{GAPS}[2-9]|8{GAPS}[0-4])",
)
_WHOLE = _COUNTRY + GAPS.join(["[A-Za-z]"] * 3 + [_SERIAL, f"(?P<tail>{'|'.join(_TAILS)})"])
# The lookahead finds overlapping candidates, so that an unlikely one doesn't swallow a likely one.
_LIKE = re.compile(f"(?<![A-Za-z0-9])(?=(?:HIN|CIN|hin|cin)?(?P<whole>{_WHOLE})(?![A-Za-z0-9]))")

# what every tail has, and few lines of a report
_DIGITS = re.compile(f"[0-9]{GAPS}[0-9]")


def spellings(text: str) -> re.Pattern[str]:
    """A pattern that finds this value in any case, with up to three other signs between its characters.

    Under four characters it finds nothing, since it would hide half a page; over 64 it is no hull number.
    """
    number = run_together(text)
    if not 4 <= len(number) <= 64:
        return re.compile(r"(?!)")
    return re.compile(r"[\W_]{0,3}".join(map(re.escape, number)), re.IGNORECASE)


def find_like(text: str) -> list[tuple[int, int]]:
    """Spans (start, end) of whatever has the form of a hull number, in order, without overlaps.

    Wide and foreign digits count as digits. Words and prices are no match: letters and digits have to stand
    as in a published form, and groups parted by blanks must not look like a sentence.
    """
    spans: list[tuple[int, int]] = []
    plain = _plain(text)
    for match in _LIKE.finditer(plain) if _DIGITS.search(plain) else ():
        if (not spans or match.start("whole") >= spans[-1][1]) and _likely(match):
            spans.append(match.span("whole"))
    return spans


def _likely(match: re.Match[str]) -> bool:
    """Whether a candidate is a number rather than words and figures of a sentence."""
    whole, serial, tail = match["whole"], match["serial"], run_together(match["tail"])
    if whole.isalnum() or re.fullmatch(rf"[A-Za-z0-9](?:{GAP}{{1,3}}[A-Za-z0-9])+", whole):
        return True  # in one piece, or spelled out sign by sign
    as_code = whole == whole.upper() or not re.search(r"\s", whole)
    figures = sum(sign.isdigit() for sign in serial)
    fits = tail[0] == "M" or (tail[0] in LETTERS and (int(tail[3]) - int(tail[1])) % 10 <= SLOWEST)
    if figures == 0:  # "the motor a 250" is a sentence, "fuel-tank-e250" a file
        return fits and whole == whole.upper()
    if len(serial) > 5:  # "did 1200 km 75 l" is a sentence
        return as_code and figures >= 3
    return as_code or fits


def _plain(text: str) -> str:
    """The text at the same length, with wide letters and foreign digits as the plain ones they show."""
    if text.isascii():
        return text
    shown = (str(unicodedata.decimal(sign, unicodedata.normalize("NFKC", sign))) for sign in text)
    return "".join(new if len(new) == 1 else old for old, new in zip(text, shown, strict=True))
