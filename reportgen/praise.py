"""Finds words that praise a boat: a seller can be held to them, so a disclosure goes without."""

from __future__ import annotations

import re
from collections.abc import Iterator

from reportgen.errors import Place, Problems, listed
from reportgen.model import Finding, Survey

# Whoever sells without liability for defects may lose that by promising a quality in the same text; so
# the disclosure says what is there and since when. Common practice of sellers' lawyers; words are our own.
WORDS = (
    "excellent", "perfect", "immaculate", "flawless", "pristine", "superb", "stunning", "beautiful",
    "gorgeous", "mint", "spotless", "first[- ]class", "top[- ]notch", "bullet[- ]?proof", "turn[- ]?key",
    "like new", "as new", "good as new", "never a problem", "no problems?", "no issues", "nothing wrong",
    "needs nothing", "nothing to do", "trouble[- ]free", "ready for (?:the )?sea",
    "ready to (?:sail|go|cruise)", "seaworthy", "sea[- ]?kindly", "sail[- ]?away", "lovingly",
    "well[- ](?:maintained|kept|cared[- ]for|looked[- ]after)", "meticulous(?:ly)?",
    "always (?:serviced|maintained)", "(?:very )?good condition", "great condition", "top condition",
    "best in class", "reliable", "a safe boat", "absolutely safe", "dry as a bone",
)  # fmt: skip
_PRAISE = re.compile(rf"(?<![\w-])(?:{'|'.join(WORDS)})(?![\w-])", re.I)
# "not in good condition" and "no longer reliable" praise nothing
_DENIED = re.compile(
    r"\b(?:not|no longer|never|hardly|nor|neither|less than|far from)\s+(?:\w+\s+){0,2}$", re.I
)
WHY = "say what is there and since when: a seller may be held to praise as to a promise"


def found_in(text: str) -> tuple[str, ...]:
    """Give the words of a text that praise, as written, each once; what is denied is no praise."""
    hits = (m for m in _PRAISE.finditer(text) if not _DENIED.search(text[: m.start()]))
    return tuple(dict.fromkeys(" ".join(m[0].split()) for m in hits))


def problems(survey: Survey, told: Problems) -> None:
    """Warn of praise in the seller's answers; once the disclosure is released, in all that it shows."""
    for text, place in _texts(survey):
        words = found_in(text)
        if words:
            said = listed([repr(word) for word in words], "and")
            told.warn(
                place, f"{said} praise{'s' * (len(words) == 1)} the boat in the seller's disclosure", WHY
            )


def _texts(survey: Survey) -> Iterator[tuple[str, Place]]:
    cover = survey.cover
    for topic, answer in (cover.disclosure or {}).items():
        place = answer.place if answer.place.file else cover.place.at("disclosure")
        yield " | ".join((topic, answer.what, answer.since, answer.done)), place
    if cover.release is None:
        return
    yield cover.scope, cover.place.at("scope")
    for finding in survey.findings:
        if finding.severity != "sound":  # the disclosure leaves those out
            yield from _of_finding(finding)
    for part in survey.narrative:
        yield f"{part.title} | {part.prose.markdown}", part.prose.place
    for photo in survey.photos:
        if photo.public:
            yield photo.shows, photo.place


def _of_finding(finding: Finding) -> Iterator[tuple[str, Place]]:
    keys = (finding.title, finding.where, finding.risk, finding.action, finding.done_when, finding.look_again)
    yield " | ".join(keys), finding.place
    yield finding.prose.markdown, finding.prose.place if finding.prose.place.file else finding.place
    for photo in finding.photos:
        if photo.public:
            yield photo.shows, photo.place
