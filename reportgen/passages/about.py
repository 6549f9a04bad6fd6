"""What the report is and is not, whom to ask whether it is genuine, and the files beside it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen.edition import Edition
from reportgen.passage import Passage, day, edition_named, rich, signature
from reportgen.report import Report
from reportgen.wording import later, say, say_in

# what a reader may miss; who gets some of it is not told that it is kept out
_IN_WORDS = {
    later("no costs of repairs"): frozenset({"cost", "cost totals"}),
    later("no hours or parts of repairs"): frozenset({"work"}),
    later("no opinion of value"): frozenset({"value"}),
    later("no price talk"): frozenset({"price"}),
}


def _build(report: Report, edition: Edition) -> Mapping[str, Any]:
    cover = report.cover
    surveyor = cover.people.surveyor
    return {
        "number": cover.number,
        "version": cover.version,
        "status": say_in("status", cover.status),
        "edition": edition_named(report, edition.name),
        "made_from": edition.base,
        "relies": edition.relies,
        "names": "people" in edition.shows,
        "kept_out": _kept_out(edition),
        "reported": day(cover.reported),
        "counted_on": day(report.counted_on),
        "age_days": report.age_days,
        "surveyor": surveyor.name,
        "contact": surveyor.contact,
        "insurance": rich(surveyor.insurance),
        "inspectors": [i.name for i in cover.people.inspectors],
        "certification": rich(cover.certification),
        "terms": rich(cover.terms),
        "signed": signature(cover.signed),
        "left_out": dict(report.left_out.findings),
        "photos_left_out": report.left_out.photos,
        "has_costs": report.estimate is not None,
        "public": edition.public,
    }


def _kept_out(edition: Edition) -> str:
    """Say in words what the edition holds nothing of, so that its silence is not taken for an answer."""
    return ", ".join(say(words) for words, shares in _IN_WORDS.items() if not shares & edition.shows)


PASSAGE = Passage("about", "About this report", _build, floor=True)
