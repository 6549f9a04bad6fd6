"""Follows an earlier report: what became of each of its findings, what is new, what is still open."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from reportgen.block import shown
from reportgen.blocks.deal import Price
from reportgen.blocks.people import People
from reportgen.blocks.vessel import Vessel
from reportgen.errors import Place
from reportgen.model import EARLIER, Earlier, Finding, OldFinding, OldReading, Survey
from reportgen.takeover import revises

CORRECTED = "put right and checked"
REPORTED = "reported done, not checked"
STILL = "still open"
UNSEEN = "not looked at again"
AGAIN = "found again"
TAKEN_BACK = "withdrawn"
REPLACED = "replaced"
CLOSED = "checked before"
SOUND = "found sound then"
BECAME = (CORRECTED, REPORTED, STILL, UNSEEN, AGAIN, TAKEN_BACK, REPLACED, CLOSED, SOUND)


@dataclass(frozen=True)
class Change:
    """What a report says otherwise of a finding than the one before. key: of the note."""

    key: str = shown("open", "")
    then: str = shown("open", "")
    now: str = shown("open", "")


@dataclass(frozen=True)
class Account:
    """What became of one finding of the earlier report.

    ref, severity, state: as it had them. became: one of BECAME. by: who withdrew it; why and on: the reason
    and day of that. since: day it was first reported. now: its severity in this report.
    instead: ids of findings that replace it.
    """

    id: str = shown("open", "")
    ref: int = shown("open", 0)
    title: str = shown("open", "")
    severity: str = shown("open", "")
    state: str = shown("open", "")
    became: str = shown("open", "")
    since: datetime.date | None = shown("open")
    by: str = shown("surveyor", "")
    why: str = shown("open", "")
    on: datetime.date | None = shown("open")
    now: str = shown("open", "")
    instead: tuple[str, ...] = shown("open", ())
    changes: tuple[Change, ...] = shown("open", ())


@dataclass(frozen=True)
class FollowUp:
    """What this report makes of the one that it follows.

    revision: whether it is a new version of the same report. edition: the earlier report was read as that
    edition shows it, left_out: findings that were not in it. accounts: every finding that was in it.
    new: ids of this survey's own, which replace none. readings: of earlier reports that a finding still
    rests on. vessel, people, price: as the earlier report has them, so that an edition knows what to keep
    out; they are in no page.
    """

    number: str = shown("open", "")
    version: int = shown("open", 1)
    status: str = shown("open", "")
    kind: str = shown("open", "")
    edition: str = shown("open", "")
    inspected: tuple[datetime.date, ...] = shown("open", ())
    reported: datetime.date | None = shown("open")
    revision: bool = shown("open", False)
    left_out: tuple[tuple[str, int], ...] = shown("open", ())
    accounts: tuple[Account, ...] = shown("open", ())
    new: tuple[str, ...] = shown("open", ())
    readings: tuple[OldReading, ...] = shown("open", ())
    vessel: Vessel = shown("open", Vessel())
    people: People = shown("open", People())
    price: Price | None = shown("open")
    place: Place = field(default=Place())

    @property
    def last_day(self) -> datetime.date | None:
        """Give the earlier report's last day of inspection."""
        return max(self.inspected, default=None)


def build(survey: Survey, every: Sequence[Finding]) -> FollowUp | None:
    """Follow the earlier report of a survey; None where it follows none. every: findings as listed now."""
    earlier = survey.earlier
    if earlier is None:
        return None
    known = {f.id for f in earlier.findings}
    return FollowUp(
        number=earlier.number,
        version=earlier.version,
        status=earlier.status,
        kind=earlier.kind,
        edition=earlier.edition,
        inspected=earlier.inspected,
        reported=earlier.reported,
        revision=revises(earlier, survey.cover),
        left_out=earlier.left_out,
        accounts=tuple(_account(old, survey, every) for old in earlier.findings),
        new=tuple(f.id for f in every if f.id not in known and not f.instead_of),
        readings=tuple(_rested_on(earlier, every)),
        vessel=earlier.vessel,
        people=earlier.people,
        price=earlier.price,
        place=survey.cover.place.at("follows"),
    )


def refs(earlier: Earlier, ordered: Iterable[Finding]) -> Mapping[str, int]:
    """Number findings: an earlier one keeps its number, new ones go on after the highest ever given."""
    kept = {f.id: f.ref for f in earlier.findings}
    number = earlier.last_ref
    given = {}
    for finding in ordered:
        if finding.id not in kept:
            number += 1
        given[finding.id] = kept.get(finding.id, number)
    return given


def named(follow_up: FollowUp | None) -> Iterator[tuple[str, str, str]]:
    """Give (neutral id, id, title) of each thing of the earlier report that this one still names."""
    if follow_up is None:
        return
    for account in follow_up.accounts:
        yield f"finding-{account.ref}", account.id, account.title
    for number, reading in enumerate(follow_up.readings, 1):
        yield f"{EARLIER}reading-{number}", reading.id, reading.title


# ---- what became of each finding


def _account(old: OldFinding, survey: Survey, every: Iterable[Finding]) -> Account:
    now = next((f for f in every if f.id == old.id), None)
    back = next((f.withdrawn for f in survey.withdrawn if f.id == old.id), None)
    instead = tuple(f.id for f in every if old.id in f.instead_of)
    was = old.finding
    return Account(
        id=old.id,
        ref=old.ref,
        title=old.title,
        severity=was.severity,
        state=was.state,
        became=_became(old, now, bool(back), bool(instead)),
        since=was.first_reported,
        by=back.by if back else "",
        why=back.why if back else "",
        on=back.on if back else None,
        now=now.severity if now else "",
        instead=instead,
        changes=tuple(_changes(old, now)) if now and not now.taken_over else (),
    )


def _became(old: OldFinding, now: Finding | None, back: bool, instead: bool) -> str:
    if back or instead:
        return TAKEN_BACK if back else REPLACED
    if now is None:
        return CLOSED if old.finding.checked else SOUND
    if now.taken_over:
        return UNSEEN
    if now.checked:
        return CLOSED if old.finding.checked == now.checked else CORRECTED
    if old.finding.checked:
        return AGAIN
    return REPORTED if now.reported_done else STILL


_TOLD = ("severity", "forbids", "hazards", "where", "risk", "action", "by_when", "basis", "confidence")


def _changes(old: OldFinding, now: Finding) -> Iterator[Change]:
    """Give what is said otherwise now, key by key, both ways."""
    if old.title != now.title:
        yield Change("title", old.title, now.title)
    for name in _TOLD:
        then, new = _words(getattr(old.finding, name)), _words(getattr(now, name))
        if then != new:
            yield Change(name.replace("_", " "), then, new)


def _words(value: object) -> str:
    return ", ".join(value) if isinstance(value, tuple) else str(value or "")


def _rested_on(earlier: Earlier, every: Iterable[Finding]) -> Iterator[OldReading]:
    """Give the earlier readings that a finding names, each once."""
    named = {e for f in every for e in (*f.evidence, *(f.checked.evidence if f.checked else ()))}
    for reading in earlier.readings:
        if EARLIER + reading.id in named:
            yield OldReading(EARLIER + reading.id, reading.kind, reading.title, reading.at, reading.past)
