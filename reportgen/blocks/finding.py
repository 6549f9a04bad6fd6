"""What a finding says: severity, risk, action, evidence, who pays, and what has been done about it."""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass, field
from decimal import Decimal

from reportgen.block import PHOTOS, Block, PhotoNote, key, shown
from reportgen.errors import Place
from reportgen.values import (
    Context,
    Custom,
    Date,
    DateOrWords,
    ListOf,
    MapOf,
    OneOf,
    Percent,
    Text,
    YesNo,
    wrong,
)
from reportgen.yamltext import Keys, Node, Scalar

SEVERITIES = ("stop", "settle", "schedule", "watch", "sound")
BASES = ("required by law", "published standard", "maker's instruction", "surveyor's judgement")
CONFIDENCES = ("measured", "seen", "suspected", "told")
WAYS = ("repair", "credit", "holdback", "as it is")
PAYERS = ("seller", "buyer")
HAZARDS = (
    "fire",
    "explosion",
    "carbon monoxide",
    "electric shock",
    "flooding",
    "structure",
    "loss of steering",
    "loss of propulsion",
    "hot parts",
    "moving parts",
    "person overboard",
    "dismasting",
    "collision",
    "pollution",
    "lifting",
    "road",
)


def _pays(node: Node, context: Context) -> dict[str, Decimal] | None:
    """Read who pays: one word, or shares that add up to 100 %."""
    if isinstance(node, Scalar):
        payer = OneOf(PAYERS).read(node, context)
        return None if payer is None else {payer: Decimal(100)}
    if not isinstance(node, Keys):
        wrong(node, context, "write seller, buyer, or shares {seller: 60 %, buyer: 40 %}")
        return None
    shares: dict[str, Decimal] = {}
    for name, value in node.entries:
        payer = OneOf(PAYERS).read(name, context)
        share = Percent().read(value, context)
        if payer is None or share is None:
            return None
        shares[payer] = share
    if sum(shares.values()) != 100:
        wrong(node, context, "make the shares add up to 100 %", f"shares add up to {sum(shares.values())} %")
        return None
    return {payer: share for payer, share in shares.items() if share}


_HAZARDS = ListOf(OneOf(HAZARDS))


def _hazards(node: Node, context: Context) -> tuple[str, ...]:
    return _HAZARDS.read(node, context) or ()


def _invoice(node: Node, context: Context) -> str | None:
    text = Text().read(node, context)
    return text and re.sub(r"\s+", " ", text)


@dataclass(frozen=True)
class ReportedDone:
    """Work that somebody says was done; it lifts nothing."""

    by: str = key(Text(), need="must", share="people", help="who did it", default="")
    on: datetime.date | None = key(Date(), need="must", share="open", help="date")
    how: str = key(Text(), share="open", help="what was done", default="")
    invoice: str = key(
        Custom("text", _invoice, (Text(),)), share="people", help="number of the invoice", default=""
    )
    photo: tuple[PhotoNote, ...] = key(PHOTOS, share="open", help="one photo of the work", default=())
    photos: tuple[PhotoNote, ...] = key(PHOTOS, share="open", help="photos of the work", default=())
    place: Place = field(default=Place())


@dataclass(frozen=True)
class Checked:
    """The surveyor's own look at work reported done; only this lifts a use limit."""

    by: str = key(Text(), need="must", share="surveyor", help="the surveyor's name", default="")
    on: datetime.date | None = key(Date(), need="must", share="open", help="date")
    how: str = key(Text(), need="must", share="open", help="how it was checked", default="")
    evidence: tuple[str, ...] = key(
        ListOf(Text()), share="open", help="ids of the retest readings", default=()
    )
    photos: tuple[PhotoNote, ...] = key(PHOTOS, share="open", help="photos of the check", default=())
    place: Place = field(default=Place())


@dataclass(frozen=True)
class LookedAtAgain:
    """A later look at a finding that is not right yet, or that could not be seen."""

    by: str = key(Text(), need="must", share="surveyor", help="who looked", default="")
    on: datetime.date | None = key(Date(), need="must", share="open", help="date")
    result: str = key(Text(), need="must", share="open", help="what was found", default="")
    how: str = key(Text(), share="open", help="how it was looked at", default="")
    place: Place = field(default=Place())


@dataclass(frozen=True)
class Withdrawn:
    """The surveyor takes an earlier finding back."""

    by: str = key(Text(), need="must", share="surveyor", help="the surveyor's name", default="")
    on: datetime.date | None = key(Date(), need="must", share="open", help="date")
    why: str = key(Text(), need="must", share="open", help="why it is taken back", default="")
    place: Place = field(default=Place())


@dataclass(frozen=True)
class SeverityWas:
    """The severity that an earlier report gave, and why it is another now."""

    severity: str = shown("open", "")
    why: str = shown("open", "")
    on: datetime.date | None = shown("open")


def _severity_was(node: Node, context: Context) -> SeverityWas | None:
    """Read `{stop: why, on: date}`."""
    write = "write the earlier severity with the reason, and the day: {stop: why, on: 2026-05-14}"
    entries = node.entries if isinstance(node, Keys) else ()
    words = [(name, value) for name, value in entries if name.text in SEVERITIES]
    on = node.get("on") if isinstance(node, Keys) else None
    if len(words) != 1 or on is None or len(entries) != 2:
        wrong(node, context, write)
        return None
    name, value = words[0]
    why, day = Text().read(value, context), Date().read(on, context)
    if not why:
        wrong(value, context, write)
    return SeverityWas(name.text, why, day) if why and day else None


@dataclass(frozen=True)
class FindingKeys:
    """The keys of a `finding` fence, all but its repair.

    pays: share of each payer [%], empty while not agreed.
    by_when: a date, or words such as "before launch".
    """

    severity: str = key(
        OneOf(SEVERITIES), need="must", share="open", help="what it asks of the reader", default=""
    )
    forbids: tuple[str, ...] = key(
        ListOf(Text()), share="open", help="what must not be done with the boat; for stop only", default=()
    )
    hazards: tuple[str, ...] = key(
        Custom(f"list of {', '.join(HAZARDS)}", _hazards, (_HAZARDS,)),
        share="open",
        help="what it endangers",
        default=(),
    )
    system: str = key(Text(), share="open", help="system, if not the note's", default="")
    where: str = key(Text(), share="open", help="where on the boat", default="")
    risk: str = key(Text(), share="open", help="what may happen if it is left", default="")
    action: str = key(Text(), share="open", help="what should be done, by which trade", default="")
    by_when: datetime.date | str | None = key(
        DateOrWords(), share="open", help="date or words; needed for schedule"
    )
    done_when: str = key(
        Text(), share="open", help="what to measure or see before the work counts as done", default=""
    )
    look_again: str = key(Text(), share="open", help="interval; needed for watch", default="")
    basis: str = key(OneOf(BASES), share="open", help="what the judgement rests on", default="")
    standard: str = key(Text(), share="open", help="law or standard with its clause", default="")
    confidence: str = key(OneOf(CONFIDENCES), share="open", help="how sure it is", default="")
    evidence: tuple[str, ...] = key(ListOf(Text()), share="open", help="ids of readings", default=())
    item: str = key(Text(), share="open", help="checklist item it belongs to", default="")
    photos: tuple[PhotoNote, ...] = key(PHOTOS, share="open", help="photos with captions", default=())
    first_reported: datetime.date | None = key(Date(), share="open", help="since when it has been reported")
    known_before_offer: bool | None = key(YesNo(), share="deal", help="yes or no")
    advertised_as_working: bool | None = key(YesNo(), share="deal", help="yes or no")
    normal_for_age: bool | None = key(YesNo(), share="open", help="yes or no")
    pays: dict[str, Decimal] | None = key(
        Custom(
            "seller, buyer, or shares {seller: 60 %, buyer: 40 %}",
            _pays,
            (OneOf(PAYERS), MapOf(Percent(), "payer")),
        ),
        share="payer",
        help="who pays",
    )
    settle_by: str = key(OneOf(WAYS), share="payer", help="how it is settled", default="")
    reported_done: ReportedDone | None = key(
        Block(ReportedDone, "reported done"), share="open", help="work reported done: by, on, invoice, photos"
    )
    checked: Checked | None = key(
        Block(Checked, "checked"), share="open", help="the surveyor's check: by, on, how"
    )
    looked_at_again: LookedAtAgain | None = key(
        Block(LookedAtAgain, "looked at again"),
        share="open",
        help="a later look that does not close it: by, on, result, how",
    )
    severity_was: SeverityWas | None = key(
        Custom("{severity: why, on: date}", _severity_was, (MapOf(Text(), "severity"),)),
        share="open",
        help="the earlier report's severity, and why it is another now",
    )
    withdrawn: Withdrawn | None = key(
        Block(Withdrawn, "withdrawn"), share="open", help="an earlier finding taken back: by, on, why"
    )
    instead_of: tuple[str, ...] = key(
        ListOf(Text()), share="open", help="ids of earlier findings that this one replaces", default=()
    )
    private: str = key(Text(), help="never published", default="")
