"""What is wrong with how notes follow an earlier report: another boat, a lost stop, work without proof."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from reportgen import takeover
from reportgen.beside import Assessed
from reportgen.blocks.finding import Withdrawn
from reportgen.errors import Place, Problems, listed, nearest
from reportgen.findings import Rule
from reportgen.hullnumber import DOT
from reportgen.model import EARLIER, Earlier, Finding, OldFinding, Reading, Survey

_PLACE = "follows"


def problems(survey: Survey, problems: Problems) -> None:
    """Note every mistake in following an earlier report, at its place in the notes."""
    if survey.cover.follows:
        return  # it could not be read, which is told
    for rule in _cover(survey):
        _note(rule, survey.cover.place, problems)
    for finding in (*survey.findings, *survey.withdrawn):
        if not finding.taken_over:
            for rule in _finding(finding, survey):
                _note(rule, finding.place, problems)
    for reading in survey.readings:
        for rule in _reading(reading, survey):
            _note(rule, reading.place, problems)


def retests(survey: Survey, judged: Iterable[Assessed], problems: Problems) -> None:
    """Warn of a check that names a reading which is outside, and of a listed reading that is within now."""
    outcomes = {reading.id: assessment.outcome for reading, assessment, _ in judged}
    for finding in survey.findings:
        for id in finding.checked.evidence if finding.checked else ():
            if outcomes.get(id) == "outside":
                found = f"checked, although {id} is outside its limit"
                write = "say in the text why it is right all the same, or take checked out"
                _note(Rule("checked", found, write, "warning"), finding.place, problems)
        again = [e for e in finding.evidence if outcomes.get(e) == "within"] if finding.by_tool else []
        if again:
            found = f"{finding.id!r} of the earlier report is still listed, although {again[-1]} is within"
            write = f"write a finding with id: {finding.id}, and checked: if it is right now"
            _note(Rule(_PLACE, found, write, "warning"), survey.cover.place, problems)


def _note(rule: Rule, place: Place, problems: Problems) -> None:
    note = problems.warn if rule.level == "warning" else problems.error
    note(place.at(rule.key), rule.found, rule.write)


def _cover(survey: Survey) -> Iterator[Rule]:
    cover, earlier = survey.cover, survey.earlier
    if cover.status == "addendum":
        if earlier is None:
            yield Rule("status", "an addendum to no report", "write follows: with its report.json")
        if not cover.scope:
            yield Rule("scope", "an addendum without a scope", "write scope: what was looked at again")
    if earlier is None:
        return
    if takeover.revises(earlier, cover):
        if cover.version <= earlier.version:
            found = f"version {cover.version} follows version {earlier.version} of the same number"
            yield Rule("version", found, f"write version: {earlier.version + 1}")
    elif cover.inspected and min(cover.inspected) < min(earlier.inspected):
        found = f"report {earlier.number} was inspected on {min(earlier.inspected)}, later than this boat"
        yield Rule(_PLACE, found, "follow an earlier report")
    yield from _boat(survey, earlier)


def _boat(survey: Survey, earlier: Earlier) -> Iterator[Rule]:
    """Refuse the report of another boat, by type and hull number; a new name is only told."""
    then, now = earlier.vessel, survey.cover.vessel
    mine = now.found.hull_number if now.found else ""
    theirs = then.found.hull_number if then.found else ""
    write = "name the report.json of the same boat, or correct what these notes say of her"
    if then.type != now.type:
        yield Rule(_PLACE, f"the report is of a {then.type}, this boat is a {now.type}", write)
    elif mine and theirs and not same_number(mine, theirs):
        yield Rule(_PLACE, "the report is of a boat with another hull number", write)
    elif then.name and now.name and then.name.casefold() != now.name.casefold():
        sure = "the hull numbers agree" if mine and theirs else "no hull number was there to compare"
        found = f"the report is of {then.name}, this boat is called {now.name}; {sure}"
        yield Rule(_PLACE, found, "make sure that she is the same boat", "warning")


def same_number(one: str, other: str) -> bool:
    """Say whether two hull numbers may be one; dots of a masked one stand for any sign."""
    a, b = (re.sub(f"[^0-9A-Z{DOT}]", "", text.upper()) for text in (one, other))
    return len(a) == len(b) and all(x == y or DOT in (x, y) for x, y in zip(a, b, strict=True))


# ---- findings


def _finding(finding: Finding, survey: Survey) -> Iterator[Rule]:
    earlier = survey.earlier
    old = earlier.finding(finding.id) if earlier else None
    if finding.withdrawn:
        yield from _withdrawn(finding, finding.withdrawn, old, survey)
    yield from _replaces(finding, earlier)
    if old is None:
        if earlier:
            yield from _renamed(finding, earlier, survey)
        return
    if old.finding.severity == "stop" and finding.severity != "stop" and not finding.withdrawn:
        yield from _lowered(finding)
    if finding.checked and not old.finding.checked and earlier:
        yield from _proof(finding, earlier)


def _withdrawn(finding: Finding, back: Withdrawn, old: OldFinding | None, survey: Survey) -> Iterator[Rule]:
    if old is None:
        yield Rule("withdrawn", "withdrawn, but no earlier report has it", "take the finding out")
    people = survey.cover.people
    may = [n for n in (people.surveyor.name, *(i.name for i in people.inspectors)) if n]
    if back.by.casefold() not in {name.casefold() for name in may}:
        found = f"{back.by!r} is not the surveyor or an inspector of this survey"
        yield Rule("withdrawn", found, f"write {nearest(back.by, may) or listed(may)}")


def _replaces(finding: Finding, earlier: Earlier | None) -> Iterator[Rule]:
    for id in finding.instead_of:
        old = earlier.finding(id) if earlier else None
        if old is None or id == finding.id:
            near = nearest(id, [f.id for f in earlier.findings]) if earlier else None
            write = f"write {near}" if near else "write the id of a finding of the report that is followed"
            yield Rule("instead of", f"{id!r} is no other finding of an earlier report", write)
        elif old.finding.severity == "stop" and finding.severity != "stop" and not old.finding.checked:
            yield from _lowered(finding)


def _lowered(finding: Finding) -> Iterator[Rule]:
    was = finding.severity_was
    if was is None or was.severity != "stop":
        found = f"a stop of the earlier report as {finding.severity}, without why"
        yield Rule("severity", found, "write severity was: {stop: why, on: date}, or severity: stop")


def _proof(finding: Finding, earlier: Earlier) -> Iterator[Rule]:
    """Ask for what shows that an earlier finding was put right: a photo, or the reading taken again."""
    done, checked = finding.reported_done, finding.checked
    if checked is None:
        return
    shown = (*checked.photos, *((*done.photo, *done.photos) if done else ()))
    measured = [e for e in finding.evidence if (r := earlier.reading(e)) and r.last.outcome == "outside"]
    if measured and not any(not e.startswith(EARLIER) for e in checked.evidence):
        found = f"put right, but {measured[0]} was outside and no later reading is named"
        yield Rule("checked", found, "write evidence: under checked, with the reading taken after the work")
    elif not shown and not checked.evidence:
        write = "write photos: or evidence: under checked, with what shows that it is right"
        yield Rule("checked", "put right since the earlier report, without a photo or a reading", write)


def _renamed(finding: Finding, earlier: Earlier, survey: Survey) -> Iterator[Rule]:
    """Tell of a finding that looks like an earlier one under another name."""
    unseen = {f.id: f.title for f in survey.findings if f.taken_over}
    near = nearest(finding.title, unseen.values()) or nearest(finding.id, unseen)
    like = next((id for id, title in unseen.items() if near in (id, title)), None)
    if like and finding.severity != "sound" and like not in finding.instead_of:
        found = f"reads like {like!r} of report {earlier.number}, which is listed as not looked at again"
        yield Rule("id", found, f"write id: {like}, or instead of: [{like}], if it is the same", "warning")


# ---- readings


def _reading(reading: Reading, survey: Survey) -> Iterator[Rule]:
    of, earlier = reading.retest_of, survey.earlier
    ids = [r.id for r in survey.readings if r.id != reading.id]
    if of.startswith(EARLIER):
        old = earlier.reading(of) if earlier else None
        if old is None:
            known = [EARLIER + r.id for r in earlier.readings] if earlier else []
            near = nearest(of, known)
            write = f"write {near}" if near else "write the id of a reading of the report that is followed"
            yield Rule("retest of", f"{of!r} is no reading of an earlier report", write)
        elif old.kind != reading.kind:
            found = f"{of!r} is a {old.kind} reading, this one is {reading.kind}"
            yield Rule("retest of", found, "name a reading of the same kind")
    elif of:
        titles = [r.title for r in survey.readings if r.id != reading.id]
        same = [r for r in survey.readings if of in (r.id, r.title) and r.id != reading.id]
        if not same:
            near = nearest(of, [*ids, *titles])
            write = (
                f"write {near}" if near else "write a reading's id, earlier/ID for one of the earlier report"
            )
            yield Rule("retest of", f"{of!r} is no other reading of this survey", write)
        elif same[0].kind != reading.kind:
            yield Rule("retest of", f"{of!r} is of another kind", "name a reading of the same kind")
    elif earlier:
        yield from _like_earlier(reading, earlier, survey)


def _like_earlier(reading: Reading, earlier: Earlier, survey: Survey) -> Iterator[Rule]:
    """Tell of a reading that an earlier report has under another name, so that it is not compared."""
    own = earlier.reading(reading.id)
    if own is not None:
        if own.kind != reading.kind:
            found = f"the earlier report's {reading.id!r} is a {own.kind} reading, so they are not compared"
            yield Rule("kind", found, "give this one another id:", "warning")
        return
    named = {r.id for r in survey.readings} | {r.retest_of.removeprefix(EARLIER) for r in survey.readings}
    alike = [
        r.id for r in earlier.readings if r.id not in named and (r.kind, r.at) == (reading.kind, reading.at)
    ]
    if len(alike) == 1:
        found = f"{EARLIER}{alike[0]} is of the same kind and place, but has another name"
        yield Rule("retest of", found, f"write retest of: {EARLIER}{alike[0]}, to compare them", "warning")
