"""Puts the work that is still open in the order in which a yard does it, strip-down by strip-down."""

from __future__ import annotations

import datetime
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from reportgen import findings, jobs
from reportgen.block import shown
from reportgen.blocks.finding import SEVERITIES
from reportgen.blocks.repair import Charge, Repair, StripDown
from reportgen.jobs import Job
from reportgen.model import Cover, Finding
from reportgen.units import Span
from reportgen.wording import later, number, say, say_n

NO_STRIP_DOWN = ""
SECOND_PERSON = later("Second person")
_Name = str | None  # a strip-down; jobs that need none stand under NO_STRIP_DOWN if they are stops, else None


@dataclass(frozen=True)
class WorkLine:
    """One thing that a yard puts a price to. hours: of labour [h]. count: of a part [-], 0 for others."""

    what: str = ""
    trade: str = ""
    number: str = ""
    hours: Span | None = None
    count: int = 0


@dataclass(frozen=True)
class WorkGroup:
    """One strip-down with the jobs that can be done once it is open.

    strip_down: its name, empty for jobs that need none, of which stops are a group of their own.
    after: strip-downs that must be open before it.
    needed_by: ids of all findings that need it open, so that it isn't closed up before the last of them.
    jobs: ids of the findings that are put right here, in order.
    """

    strip_down: str = shown("work", NO_STRIP_DOWN)
    after: tuple[str, ...] = shown("work", ())
    needed_by: tuple[str, ...] = shown("work", ())
    jobs: tuple[str, ...] = shown("work", ())


@dataclass(frozen=True)
class TradeHours:
    """The hours of one trade, strip-downs counted once [h]; those of a second person apart.

    trade: empty where one rate stands for all.
    """

    trade: str = shown("work", "")
    hours: Span = shown("work", Span(Decimal(0), Decimal(0), Decimal(0), "h"))


@dataclass(frozen=True)
class WorkList:
    """What a yard has to do, in order, without any price or payer.

    without_hours: ids of jobs for which the notes give no hours, so that no sum of hours has them in it.
    reported_done, checked: ids of findings whose work is left out, because somebody says that it is done,
    or because the surveyor has checked it. not_for_a_yard: ids of open findings that ask nothing of a yard.
    """

    groups: tuple[WorkGroup, ...] = shown("work", ())
    hours: tuple[TradeHours, ...] = shown("work", ())
    without_hours: tuple[str, ...] = shown("work", ())
    reported_done: tuple[str, ...] = shown("work", ())
    checked: tuple[str, ...] = shown("work", ())
    not_for_a_yard: tuple[str, ...] = shown("work", ())

    @property
    def ids(self) -> tuple[str, ...]:
        """Give the ids of all findings to be put right, in order."""
        return tuple(id for group in self.groups for id in group.jobs)


def build(every: Iterable[Finding], cover: Cover, counted_on: datetime.date) -> WorkList | None:
    """Give the work list of the findings that are open; None where no work is.

    A strip-down stands after those that come before it and ahead of every job that needs it. Among what could
    be done next comes first what leads to the gravest finding, within a severity what harms without a second
    warning, then the earliest date, then the notes' order. Costs have no say in it: it tells nothing of them.
    Source: common practice, no source.
    """
    ordered = sorted(findings.order(every, {}), key=_gravity)
    waiting = jobs.to_come(ordered, cover, counted_on)
    still_open = tuple(job for job in waiting if job.finding.state == "open")
    open_jobs = tuple(job for job in still_open if _for_a_yard(job.finding))
    if not open_jobs:
        return None
    strip_downs = cover.strip_downs or {}
    groups = _groups(open_jobs, strip_downs)
    return WorkList(
        groups=groups,
        hours=_hours(open_jobs, [strip_downs[g.strip_down] for g in groups if g.strip_down]),
        without_hours=tuple(job.finding.id for job in open_jobs if not _has_hours(job)),
        reported_done=tuple(job.finding.id for job in waiting if job.finding.state == "reported done"),
        checked=tuple(f.id for f in ordered if f.state == "checked" and _asked_for_work(f)),
        not_for_a_yard=tuple(job.finding.id for job in still_open if not _for_a_yard(job.finding)),
    )


def lifts(strip_down: StripDown) -> bool:
    """Say whether a strip-down is a haul-out: nothing but charges, such as the lift and days ashore."""
    return bool(strip_down.charges) and not (strip_down.labour or strip_down.parts)


def measured_again(findings_in_order: Sequence[Finding]) -> Mapping[str, str]:
    """Give each reading that jobs rest on with the id of the last of them, in the order of the work.

    A reading that two jobs rest on shows nothing before both are done: it is taken again at the last.
    """
    return {reading: finding.id for finding in findings_in_order for reading in finding.evidence}


def _gravity(finding: Finding) -> tuple[int, bool]:
    sudden = set(finding.hazards) & set(findings.SUDDEN)
    known = finding.severity in SEVERITIES
    return SEVERITIES.index(finding.severity) if known else len(SEVERITIES), not sudden


def lines(work: Repair | StripDown) -> tuple[WorkLine, ...]:
    """Give what a repair or strip-down asks a price for: labour, each part and charge, or the whole job."""
    labour = _labour(work)
    parts = [WorkLine(part.what, number=part.number, count=part.count) for part in work.parts]
    charges = [WorkLine(_charge(each)) for each in work.charges]
    return (*labour, *parts, *charges) or (WorkLine(say("The whole job"), work.trade),)


def _labour(work: Repair | StripDown) -> list[WorkLine]:
    persons = ((say("Labour"), work.labour), (say(SECOND_PERSON), work.second_person))
    return [WorkLine(who, work.trade, hours=hours) for who, hours in persons if hours]


def _charge(charge: Charge) -> str:
    """Say what a charge is for, and for how many days."""
    days = charge.for_
    if days is None:
        return charge.what
    low, likely, high = (number(f"{each.normalize():f}") for each in (days.low, days.likely, days.high))
    if days.fixed:
        one = days.low == 1
        return say_n("{what} ({n} day)", "{what} ({n} days)", 1 if one else 2, what=charge.what, n=low)
    return say(
        "{what} ({low} to {high} days, likely {likely})", what=charge.what, low=low, high=high, likely=likely
    )


def _for_a_yard(finding: Finding) -> bool:
    return finding.repair is None or finding.repair.for_a_yard is not False


def _asked_for_work(finding: Finding) -> bool:
    return finding.repair is not None or finding.severity in jobs.NEEDS_PRICE


def _has_hours(job: Job) -> bool:
    work = job.finding.repair
    return bool(work and (work.labour or work.second_person))


def _groups(open_jobs: Sequence[Job], strip_downs: Mapping[str, StripDown]) -> tuple[WorkGroup, ...]:
    """Give each strip-down once, and each job at the last one opened of those that it needs."""
    needed_by: dict[_Name, list[Job]] = {}
    for job in open_jobs:
        for name in _needs(job):
            needed_by.setdefault(name, []).append(job)
    before = {name: _before(name, needed_by, strip_downs) for name in needed_by}
    opened = _opened(sorted(needed_by, key=lambda name: _first(needed_by[name], name, open_jobs)), before)
    at = {job.finding.id: max(_needs(job), key=opened.index) for job in open_jobs}
    return tuple(
        WorkGroup(
            name or NO_STRIP_DOWN,
            tuple(each for each in opened if each and each in before[name]),
            tuple(job.finding.id for job in needed_by[name]),
            tuple(job.finding.id for job in needed_by[name] if at[job.finding.id] == name),
        )
        for name in opened
    )


def _needs(job: Job) -> tuple[_Name, ...]:
    """Give the strip-downs of a job; stops that need none stand apart from other jobs that need none."""
    return job.needs or ((NO_STRIP_DOWN,) if job.finding.severity == "stop" else (None,))


def _first(needing: Sequence[Job], name: _Name, open_jobs: Sequence[Job]) -> tuple[int, bool, bool, int]:
    """Rank a strip-down by the gravest job that it leads to, what needs nothing opened ahead of its like."""
    return *_gravity(needing[0].finding), bool(name), open_jobs.index(needing[0])


def _opened(closed: list[_Name], before: Mapping[_Name, Collection[_Name]]) -> list[_Name]:
    """Put strip-downs in the order of opening. closed: by rank. before: what must be open for each."""
    opened: list[_Name] = []
    while closed:
        ready = [name for name in closed if not set(before[name]) - set(opened)]
        # strip-downs that need each other are told as a mistake elsewhere and must not hang this
        following = (ready or closed)[0]
        closed.remove(following)
        opened.append(following)
    return opened


def _before(name: _Name, known: Iterable[_Name], strip_downs: Mapping[str, StripDown]) -> set[_Name]:
    needs = strip_downs[name].also_needs if name else ()
    return {each for each in known if each in needs and each != name}


def _hours(open_jobs: Iterable[Job], opened: Iterable[StripDown]) -> tuple[TradeHours, ...]:
    """Add up the hours of jobs and strip-downs by trade, in the order in which the trades come."""
    found: dict[str, list[Span]] = {}
    work: list[Repair | StripDown] = [*opened, *(job.finding.repair or Repair() for job in open_jobs)]
    for line in (line for each in work for line in _labour(each)):
        if line.hours:
            second = [say("second person")] if line.what == say(SECOND_PERSON) else []
            trade = ", ".join(word for word in (line.trade, *second) if word)
            found.setdefault(trade, []).append(line.hours)
    return tuple(TradeHours(trade, _added(spans)) for trade, spans in found.items())


def _added(spans: Sequence[Span]) -> Span:
    low, likely, high = (sum((getattr(s, n) for s in spans), Decimal(0)) for n in ("low", "likely", "high"))
    return Span(low, likely, high, "h")
