"""Finds words in a surveyor's text that two readers take two ways, and says what to write instead."""

from __future__ import annotations

import re
from collections.abc import Iterator

# Modifiers that add nothing: Federal Plain Language Guidelines (rev. 1, May 2011), on leaving out excess
# words; read in a copy. All others are common practice of report writing, no source.
WORDS: tuple[tuple[str, str], ...] = (
    (r"very|really|quite|fairly|rather|totally|completely", "a figure, or leave it out"),
    (r"appears?(?: to be)?|seems?(?: to be)?", "what was seen, and what could not be"),
    (r"(?:good|fair|poor|average|reasonable|satisfactory|serviceable|acceptable) condition", "what was seen"),
    (r"satisfactory|serviceable|adequate|acceptable", "what it was held against, and the result"),
    (r"normal wear(?: and tear)?|wear and tear", "how far it is worn, and the limit"),
    (r"excessive(?:ly)?|significant(?:ly)?|substantial(?:ly)?|considerable", "how much, and the limit"),
    (
        r"some(?= (?:corrosion|play|wear|rust|cracks|cracking|water|oil|moisture|damage))",
        "how much, and where",
    ),
    (r"several|various|numerous|a number of|a few", "how many, and which"),
    (r"and so on|etc\.?", "the whole list"),
    (r"as (?:necessary|needed|required|appropriate)", "what exactly, and when"),
    (
        r"in due course|before long|at some point|at your convenience|soon",
        "a date, hours run, or before what",
    ),
    (r"should be (?:addressed|attended to|looked at|dealt with|rectified)", "which work, by which trade"),
    (r"further investigation|investigate further", "what to open or measure, and by whom"),
    (r"and/or", "which of the two, or both"),
)
_ALL = [(re.compile(rf"(?<![\w-])(?:{words})(?![\w-])", re.I), write) for words, write in WORDS]
# what somebody else said is theirs, and code is no prose
_QUOTED = re.compile(r"[\"“][^\"“”\n]*[\"”]|`[^`\n]*`|\]\([^)\n]*\)")


def found_in(text: str) -> Iterator[tuple[int, str, str]]:
    """Give each vague word of a text: where it begins [characters], as written, and what to write instead.

    Words in quotation marks are passed over: they are somebody else's. A word within a longer one that was
    found already is not told again.
    """
    plain = _QUOTED.sub(lambda match: " " * len(match[0]), text)
    taken: set[int] = set()
    hits = [(match, write) for pattern, write in _ALL for match in pattern.finditer(plain)]
    for match, write in sorted(hits, key=lambda hit: (hit[0].start(), -hit[0].end())):
        if match.start() not in taken:
            taken |= set(range(*match.span()))
            yield match.start(), match[0].strip(), write
