"""Puts the findings in order, keeps every use limit, and lists readings outside that no finding answers."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import NamedTuple

from reportgen import judging
from reportgen.block import shown
from reportgen.blocks.finding import SEVERITIES, Checked
from reportgen.errors import Place, Problems, listed, nearest
from reportgen.kind import Assessment, Judged, Kind
from reportgen.model import EARLIER, Finding, Reading, Survey
from reportgen.takeover import UNANSWERED
from reportgen.wording import later, later_n, number_in_words, say, say_n

STATES = ("open", "reported done", "checked")
ANSWERING = ("stop", "settle", "schedule", "watch")  # a sound finding answers no reading that is outside
PUBLISHED_BASES = ("required by law", "published standard")
# Nobody may be told merely to keep an eye on these: what they do comes without a second warning.
SUDDEN = ("explosion", "carbon monoxide", "electric shock")
UNJUDGED = later("using the boat until a surveyor has judged this")
OWN_ID = UNANSWERED

Assessed = tuple[Reading, Assessment, Kind]


class Rule(NamedTuple):
    """A breach of a rule: key it belongs to, what was found, what to write, error or warning."""

    key: str
    found: str
    write: str
    level: str = "error"


@dataclass(frozen=True)
class UseLimit:
    """One thing that must not be done with the boat.

    what: as first written. because, reasons: ids and titles of the findings that forbid it, (n,) each.
    awaiting_check: ids of those among them that are reported done; that lifts nothing.
    """

    what: str = shown("open", "")
    because: tuple[str, ...] = shown("open", ())
    reasons: tuple[str, ...] = shown("open", ())
    awaiting_check: tuple[str, ...] = shown("open", ())


@dataclass(frozen=True)
class Lifted:
    """A use limit that a check has lifted.

    because, reason: id and title of the finding. on: day of the check.
    still: ids of other findings that forbid the same thing, so that it still must not be done.
    """

    what: str = shown("open", "")
    because: str = shown("open", "")
    reason: str = shown("open", "")
    on: datetime.date | None = shown("open")
    still: tuple[str, ...] = shown("open", ())


# ---- readings outside their limits


def unanswered(findings: Iterable[Finding], assessed: Sequence[Assessed]) -> tuple[Finding, ...]:
    """List each outside reading that no finding answers as a finding of the tool's own, in reading order.

    A finding answers a reading that its `evidence` names, if its severity is one of ANSWERING. Once it
    is checked, its check must name a later reading: a look alone can't take back a measured value.
    """
    written = tuple(findings)
    taken = {reading.id for reading, assessment, _ in assessed if assessment.outcome != "not taken"}
    ids = {f.id for f in written}
    return tuple(
        _listed_by_tool(reading, assessment, kind, ids)
        for reading, assessment, kind in assessed
        if assessment.outcome == "outside" and not any(_answers(f, reading.id, taken) for f in written)
    )


def _answers(finding: Finding, reading: str, taken: set[str]) -> bool:
    if finding.severity not in ANSWERING or reading not in finding.evidence:
        return False
    return finding.checked is None or bool(_retests(finding, finding.checked) & taken)


def _retests(finding: Finding, checked: Checked) -> set[str]:
    """Give the readings that a check names beyond those that the finding rests on."""
    return set(checked.evidence) - set(finding.evidence)


def _listed_by_tool(reading: Reading, assessment: Assessment, kind: Kind, ids: set[str]) -> Finding:
    # an earlier report may have listed one of this name, which is checked now
    again = "-again" if OWN_ID + reading.id in ids else ""
    stop = kind.unanswered == "stop"
    basis, standard = _basis(assessment.judged)
    because = assessment.because.strip().rstrip(".") or say("The reading is outside its limit")
    return Finding(
        id=OWN_ID + reading.id + again,
        title=reading.title or say(kind.title),
        severity=kind.unanswered,
        forbids=(say(UNJUDGED),) if stop else (),
        hazards=kind.hazards if stop else (),
        where=judging.place(reading, kind),
        risk=say("{because}. What follows from it has not been judged.", because=because),
        action=say("Have a surveyor or mechanic find the cause and say what has to be done."),
        basis=basis,
        standard=standard,
        confidence="measured",
        evidence=(reading.id,),
        by_tool=True,
        place=reading.place,
    )


def _basis(judged: Iterable[Judged]) -> tuple[str, str]:
    """Give basis and standard by the limit that was broken; no basis where its source is no publication."""
    broken = next((j.limit for j in judged if j.outcome == "outside"), None)
    if broken is None:
        return "", ""
    source = broken.source.lower()
    if broken.origin == "note":
        maker = re.search(r"\bmaker|\bmanual\b", source)
        return ("maker's instruction" if maker else "surveyor's judgement"), broken.source
    return ("" if "common practice" in source else "published standard"), broken.source


# ---- order, numbers, counts


def order(findings: Iterable[Finding], likely_cost: Mapping[str, Decimal | None]) -> tuple[Finding, ...]:
    """Put findings in order: severity, by when, likely cost, order in the notes.

    Dates come first, then words, then none; the dearest first, and what has no price before what has one.
    likely_cost: by finding's id [the survey's currency]; empty for a reader who may not see costs.
    """
    return tuple(sorted(findings, key=lambda f: (_severity(f), *_by_when(f), *_cost(likely_cost.get(f.id)))))


def _severity(finding: Finding) -> int:
    return SEVERITIES.index(finding.severity) if finding.severity in SEVERITIES else len(SEVERITIES)


def _by_when(finding: Finding) -> tuple[int, datetime.date]:
    if isinstance(finding.by_when, datetime.date):
        return 0, finding.by_when
    return (1 if finding.by_when else 2), datetime.date.max


def days_left(finding: Finding, counted_on: datetime.date) -> int | None:
    """Give the days to the day by which an open finding has to be put right [days], below zero once past."""
    by = finding.by_when
    return (by - counted_on).days if isinstance(by, datetime.date) and not finding.checked else None


def _cost(likely: Decimal | None) -> tuple[int, Decimal]:
    return (0, Decimal(0)) if likely is None else (1, -likely)


def numbered(ordered: Iterable[Finding]) -> Mapping[str, int]:
    """Number findings from 1 without a gap, in the order given; id to number."""
    return {finding.id: number for number, finding in enumerate(ordered, 1)}


def counts(findings: Iterable[Finding]) -> Mapping[str, Mapping[str, int]]:
    """Count findings by severity and, within each, by state; a pair that none has is there with zero."""
    table = {severity: dict.fromkeys(STATES, 0) for severity in SEVERITIES}
    for finding in findings:
        table[finding.severity][finding.state] += 1
    return table


# what each severity asks for, of one and of more findings
_ASKED = {
    "stop": later_n("{count} stop", "{count} stops"),
    "settle": later_n("{count} to settle", "{count} to settle"),
    "schedule": later_n("{count} to schedule", "{count} to schedule"),
    "watch": later_n("{count} to watch", "{count} to watch"),
}
_SOUND = later_n("{count} written up as sound", "{count} written up as sound")


def counted(findings: Iterable[Finding]) -> str:
    """Give the counts as a sentence, such as `One stop, three to settle; six written up as sound`.

    What is reported done still counts as asked for; only what is checked leaves that count. Items found sound
    are counted by the checklist, most of them without a finding.
    """
    table = counts(findings)
    waiting = {s: table[s]["open"] + table[s]["reported done"] for s in ANSWERING}
    asked = [say_n(*_ASKED[s], n, count=number_in_words(n)) for s, n in waiting.items() if n]
    done = sum(table[s]["reported done"] for s in ANSWERING)
    checked = sum(table[s]["checked"] for s in ANSWERING)
    parts = [
        ", ".join(asked),
        _so_many(
            done,
            later_n(
                "{count} of these reported done but not checked",
                "{count} of these reported done but not checked",
            ),
        ),
        _so_many(checked, later_n("{count} put right and checked", "{count} put right and checked")),
        _so_many(sum(table["sound"].values()), _SOUND),
    ]
    text = "; ".join(part for part in parts if part) or say("no findings")
    return f"{text[0].upper()}{text[1:]}."


def _so_many(number: int, forms: tuple[str, str]) -> str:
    return say_n(*forms, number, count=number_in_words(number)) if number else ""


# ---- use limits


def use_limits(findings: Iterable[Finding]) -> tuple[UseLimit, ...]:
    """Give one line for each thing that stop findings forbid, open or reported done, in the order given.

    Identical words are one thing, whatever their case and blanks; the same in other words stays as written.
    """
    lines: dict[str, tuple[str, dict[str, Finding]]] = {}
    for finding in findings:
        if finding.severity == "stop" and finding.state != "checked":
            for what in finding.forbids:
                lines.setdefault(_same(what), (what, {}))[1][finding.id] = finding
    return tuple(
        UseLimit(
            what,
            tuple(because),
            tuple(f.title for f in because.values()),
            tuple(f.id for f in because.values() if f.state == "reported done"),
        )
        for what, because in lines.values()
    )


def lifted(findings: Iterable[Finding]) -> tuple[Lifted, ...]:
    """Give the use limits that a check has lifted, each with its day, in the order given."""
    every = tuple(findings)
    standing = {_same(limit.what): limit.because for limit in use_limits(every)}
    return tuple(
        Lifted(what, finding.id, finding.title, finding.checked.on, standing.get(_same(what), ()))
        for finding in every
        if finding.severity == "stop" and finding.checked
        for what in finding.forbids
    )


def _same(words: str) -> str:
    """Give words in the form in which two that differ in case or blanks are alike."""
    return " ".join(words.split()).casefold()


def checked_own_work(finding: Finding) -> bool:
    """Say whether who did the work also checked it, which the page has to tell."""
    done, checked = finding.reported_done, finding.checked
    return bool(done and checked and done.by and _same(done.by) == _same(checked.by))


# ---- what the writer must put right


def problems(survey: Survey, problems: Problems) -> None:
    """Note every finding that breaks a rule of severity, evidence or checks, at its place in the notes."""
    known = [*(r.id for r in survey.readings), *(f.id for f in survey.findings)]
    known += [EARLIER + r.id for r in survey.earlier.readings] if survey.earlier else []
    for finding in survey.findings:
        for rule in _RULES if _written(finding) else ():
            _note(rule(finding), finding.place, problems)
        _note(_evidence(finding.evidence, known), finding.place, problems)
        _note(_kept_id(finding, survey), finding.place, problems)
        if finding.checked:
            place = finding.checked.place if finding.checked.place.file else finding.place
            _note(_check(finding, finding.checked, survey), place, problems)
            _note(_evidence(finding.checked.evidence, known), place, problems)


def _written(finding: Finding) -> bool:
    """Say whether it is in the writer's own words: what another day's report lacks is not lacking here."""
    return not (finding.taken_over or finding.by_tool)


def _note(rules: Iterable[Rule], place: Place, problems: Problems) -> None:
    for rule in rules:
        note = problems.warn if rule.level == "warning" else problems.error
        note(place.at(rule.key), rule.found, rule.write)


def _forbids(finding: Finding) -> Iterator[Rule]:
    if finding.severity == "stop" and not finding.forbids:
        write = "write forbids: [what must not be done with the boat]"
        yield Rule("forbids", "a stop finding without `forbids`", write)
    if finding.forbids and finding.severity not in ("stop", "sound", ""):
        write = "make it severity: stop, or take forbids out"
        yield Rule("forbids", f"a {finding.severity} finding that forbids something", write)


def _sound(finding: Finding) -> Iterator[Rule]:
    if finding.severity != "sound":
        return
    for key, given in (("repair", finding.repair), ("forbids", finding.forbids)):
        if given:
            yield Rule(key, f"a sound finding with `{key}`", f"take {key} out, or write what severity it has")


def _stated(finding: Finding) -> Iterator[Rule]:
    """Ask for what each severity has to say."""
    if finding.severity == "schedule" and not finding.by_when:
        write = "write by when: a date, or words such as before launch"
        yield Rule("by when", "a schedule finding without `by when`", write)
    keys = {"watch": ("look again", "basis", "confidence"), "sound": (), "": ()}
    for key in keys.get(finding.severity, ("risk", "action", "basis", "confidence")):
        if not getattr(finding, key.replace(" ", "_")):
            write = f"write {key}:, else the page says not stated"
            yield Rule(key, f"a {finding.severity} finding without `{key}`", write, "warning")


def _standard(finding: Finding) -> Iterator[Rule]:
    if finding.basis in PUBLISHED_BASES and not finding.standard:
        write = "write standard: with the law or standard and its clause"
        yield Rule("standard", f"basis {finding.basis!r} without the text it rests on", write, "warning")


def _sudden(finding: Finding) -> Iterator[Rule]:
    grave = [hazard for hazard in finding.hazards if hazard in SUDDEN]
    if grave and finding.severity in ("watch", "sound"):
        write = "think of stop or settle, or take the hazard out"
        yield Rule("hazards", f"{listed(grave, 'and')} under {finding.severity}", write, "warning")


def _settled(finding: Finding) -> Iterator[Rule]:
    if (
        finding.settle_by == "repair"
        and not (finding.repair or finding.replace)
        and finding.severity != "sound"
    ):
        write = "write repair: with labour and parts or cost; until then it counts as unpriced"
        yield Rule("settle by", "settle by repair, but no `repair`", write, "warning")


_RULES: tuple[Callable[[Finding], Iterator[Rule]], ...] = (
    _forbids,
    _sound,
    _stated,
    _standard,
    _sudden,
    _settled,
)


def _evidence(named: Iterable[str], known: Sequence[str]) -> Iterator[Rule]:
    for name in named:
        if name not in known:
            near = nearest(name, known)
            write = f"write {near}" if near else "write the id or the heading of a reading in these notes"
            yield Rule("evidence", f"{name!r} is no reading or finding of this survey", write)


def _kept_id(finding: Finding, survey: Survey) -> Iterator[Rule]:
    old = survey.earlier.finding(finding.id) if survey.earlier else None
    if not finding.by_tool and old is None and finding.id in {OWN_ID + r.id for r in survey.readings}:
        yield Rule("id", f"{finding.id!r} is kept for a finding that reportgen lists", "write another id:")


def _check(finding: Finding, checked: Checked, survey: Survey) -> Iterator[Rule]:
    done = finding.reported_done
    if done and done.on and checked.on and checked.on < done.on:
        found = f"checked on {checked.on}, before it was reported done on {done.on}"
        yield Rule("checked", found, f"write {done.on} or a later day")
    if finding.confidence in ("suspected", "told"):
        write = "write confidence: seen or measured if it was, or take checked out"
        yield Rule("checked", f"checked, although it is only {finding.confidence}", write)
    if checked.evidence and not _retests(finding, checked):
        write = "name the reading that was taken after the work"
        yield Rule("evidence", "the check names only readings from before the work", write)
    if checked.by:
        yield from _signer(finding, checked, survey)


def _signer(finding: Finding, checked: Checked, survey: Survey) -> Iterator[Rule]:
    """Hold who checked against the surveyor and the inspectors of the survey."""
    people = survey.cover.people
    surveyor = people.surveyor.name
    may_sign = [name for name in (surveyor, *(i.name for i in people.inspectors)) if name]
    if _same(checked.by) not in {_same(name) for name in may_sign}:
        near = nearest(checked.by, may_sign)
        write = f"write {near}" if near else f"write the name of who checked it: {listed(may_sign)}"
        yield Rule("checked", f"{checked.by!r} is not the surveyor or an inspector of this survey", write)
    elif checked_own_work(finding) and _same(checked.by) != _same(surveyor):
        write = f"have it checked by somebody else, such as {surveyor}"
        yield Rule("checked", f"{checked.by!r} did the work and checked it", write)
