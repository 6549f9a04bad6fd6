"""What was not inspected and why, what nobody mentions, which tests were not made, what was looked at."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from markupsafe import Markup, escape

from reportgen import checklist, wording
from reportgen.coverage import UNFITTED
from reportgen.edition import Edition
from reportgen.model import Gap
from reportgen.passage import Passage, not_stated, rich
from reportgen.report import Report
from reportgen.wording import say, term

BEYOND = "beyond the checklist"


def _build(report: Report, edition: Edition) -> Mapping[str, Any]:
    others = [_other(report, item, said) for item, _, said in report.items if said != "sound"]
    gaps = [_gap(report, gap) for gap in report.not_inspected]
    return {
        "gaps": gaps,
        "usual": any(gap["usually_hides"] or gap["usually_takes"] for gap in gaps),
        "tests": _tests(report),
        "unmentioned": _by_system((i.system, i.name) for i in _items(report, "not mentioned")),
        "inspected": _inspected(report, edition),
        "silent": "sound" in edition.leaves_out,
        "others": others,
    }


def _other(report: Report, name: str, outcome: str) -> dict[str, str]:
    """Give an item that was noted in another way; a test or a paper can't be missing from a boat."""
    listed = checklist.of(report.coverage.type) if report.coverage else None
    item, system = (listed.item(name), listed.system(name)) if listed else (None, None)
    bare = outcome == UNFITTED and item is not None and not item.fitting
    ours = name in (item and item.name, system and system.name)
    return {
        "item": term(name) if ours and wording.language() != "en" else rich(name),
        "outcome": "does not apply" if bare else outcome,
    }


def _items(report: Report, *outcomes: str) -> list[Any]:
    return [i for i in report.coverage.items if i.outcome in outcomes] if report.coverage else []


def _gap(report: Report, gap: Gap) -> dict[str, Any]:
    """Give a part left out; where the notes are silent, with what the checklist says of such a part.

    Beside the surveyor's own words it is silent: it knows nothing of this boat and might gainsay them.
    """
    # a system named as a whole stands for many items; no one of them speaks for it
    meant = [i for i in (report.coverage.items if report.coverage else ()) if gap.part in i.parts]
    told = gap.entry.could_hide or gap.entry.would_take
    usual = meant[0] if len(meant) == 1 and not told else None
    return {
        "part": rich(gap.part),
        "why": rich(gap.entry.why) or not_stated(),
        "could_hide": rich(gap.entry.could_hide),
        "usually_hides": usual.could_hide if usual else "",
        "would_take": rich(gap.entry.would_take),
        "usually_takes": usual.would_take if usual else "",
        "by": rich(gap.entry.by),
    }


def _by_system(named: Iterable[tuple[str, str]]) -> list[dict[str, Any]]:
    """Give names by their system, in order."""
    systems: dict[str, list[str]] = {}
    for system, name in named:
        systems.setdefault(system, []).append(name)
    return [{"system": system, "items": items} for system, items in systems.items()]


def _inspected(report: Report, edition: Edition) -> list[dict[str, Any]]:
    """Give what was inspected, by system, with the parts named where nobody names the whole."""
    # an edition without sound findings gives no praise in a list either; but an insurer or a lender
    # has to know whether anybody looked at the seacocks
    silent = "sound" in edition.leaves_out
    if silent and not edition.relies:
        return []
    if report.coverage is None:
        return _by_system((system, rich(item)) for item, system, said in report.items if said == "sound")
    looked_at = _items(report, "sound", "measured, not judged", "finding")
    named = [(i.system, _words(i, silent)) for i in looked_at]
    beyond = [(BEYOND, rich(b.part)) for b in report.coverage.beyond if b.outcome == "sound"]
    return _by_system([*named, *beyond])


def _words(item: Any, silent: bool) -> str:
    name = term(item.name)
    # the finding is the item's, whichever of its parts were looked at
    found = [escape(say("has a finding"))] if item.outcome == "finding" and not silent else []
    only = [Markup(", ").join(rich(part) for part in item.only)] if item.only else []
    said = Markup("; ").join([*only, *found])
    return Markup("{} ({})").format(name, said) if said else name


def _tests(report: Report) -> list[Mapping[str, Any]]:
    tests = report.cover.tests_not_made or {}
    told = tests if isinstance(tests, Mapping) else dict.fromkeys(tests, "")
    above = {gap.part for gap in report.not_inspected}  # those of the checklist stand there, with their why
    return [{"test": rich(test), "why": rich(why)} for test, why in told.items() if test not in above]


PASSAGE = Passage("not_inspected", "Not inspected", _build, floor=True)
