"""What the surveyor wrote: a survey with its notes, findings and readings, each with its place."""

from __future__ import annotations

import dataclasses
import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path
from typing import Any

from reportgen.block import Block, PhotoNote, key, shown
from reportgen.blocks.conditions import Conditions
from reportgen.blocks.cover import CoverKeys
from reportgen.blocks.deal import Agreed, DealDates, Price, Sunk
from reportgen.blocks.disclosure import BY_TOPIC, Answer, answers
from reportgen.blocks.finding import FindingKeys
from reportgen.blocks.note import NotInspected
from reportgen.blocks.people import People
from reportgen.blocks.quotes import YardQuote
from reportgen.blocks.rates import Rates
from reportgen.blocks.reading import ReadingKeys
from reportgen.blocks.repair import CHARGES, Charge, Repair, StripDown, Wait
from reportgen.blocks.safety import Capacity, SafetyEquipment
from reportgen.blocks.value import Comparable, Value
from reportgen.blocks.vessel import BoatFacts, Engine, Vessel
from reportgen.cells import Cell, Table, Word
from reportgen.errors import Place
from reportgen.units import Quantity
from reportgen.values import Context, Custom, ListOf, MapOf, OneOf
from reportgen.yamltext import Items, Keys, Node

WAYS_TO_DEAL = ("repair", "replace", "wait")
EARLIER = "earlier/"  # before an id of the report that is followed, in `evidence` and `retest of`
Values = tuple[tuple[str, tuple[Cell, ...]], ...]  # (series, its values) of a reading
SHARING = ("hours", "equal", "seller", "buyer")


@dataclass(frozen=True)
class Prose:
    """A piece of Markdown with its HTML. place: where it begins; empty text is allowed."""

    markdown: str = ""
    html: str = ""
    place: Place = field(default=Place())

    def __bool__(self) -> bool:
        return bool(self.markdown.strip())


_DAY = Block(Conditions, "the conditions")


def _conditions(node: Node, context: Context) -> tuple[Conditions, ...] | None:
    """Read one block of conditions, or a list with `on:` per day."""
    read = [_DAY.read(n, context) for n in (node.items if isinstance(node, Items) else (node,))]
    return tuple(c for c in read if c is not None)


@dataclass(frozen=True)
class Cover(CoverKeys):
    """The cover note's front matter, whole."""

    vessel: Vessel = key(
        Block(Vessel, "the vessel"), need="must", share="open", help="the boat", default=Vessel()
    )
    people: People = key(
        Block(People, "people"), need="must", share="open", help="who is who", default=People()
    )
    conditions: tuple[Conditions, ...] = key(
        Custom("block of keys, or a list with on: per day", _conditions, (ListOf(_DAY),)),
        share="open",
        help="the day",
        default=(),
    )
    price: Price | None = key(
        Block(Price, "the price"), share="open", help="currency, asking, offered, agreed"
    )
    dates: DealDates | None = key(Block(DealDates, "the dates"), share="price", help="dates of the deal")
    settlement: Agreed | None = key(
        Block(Agreed, "the settlement"), share="price", help="what buyer and seller have agreed"
    )
    inspection_cost: tuple[Sunk, ...] = key(
        ListOf(Block(Sunk, "inspection cost")), share="price", help="money already spent", default=()
    )
    rates: Rates = key(
        Block(Rates, "the rates"), share="rates", help="labour, tax, supplies", default=Rates()
    )
    strip_downs: Mapping[str, StripDown] | None = key(
        MapOf(Block(StripDown, "a strip-down"), "strip-down"),
        name="strip-downs",
        share="work",
        help="shared access work",
    )
    quotes: tuple[YardQuote, ...] = key(
        ListOf(Block(YardQuote, "a quote")), share="cost", help="quotes for one or more findings", default=()
    )
    each_visit: tuple[Charge, ...] = key(
        CHARGES,
        share="cost",
        help="charges that come with every visit to the yard: travel, disposal",
        default=(),
    )
    value: Value | None = key(Block(Value, "the value"), share="value", help="what the boat is worth")
    comparables: tuple[Comparable, ...] = key(
        ListOf(Block(Comparable, "a comparable")),
        share="value",
        help="like boats with their prices",
        default=(),
    )
    disclosure: Mapping[str, Answer] | None = key(
        Custom("topic: yes, no or not known, or a block of keys", answers, (BY_TOPIC,)),
        share="open",
        help="the seller's answers",
    )
    safety_equipment: SafetyEquipment | None = key(
        Block(SafetyEquipment, "the safety equipment"), share="open", help="safety equipment found aboard"
    )
    capacity: Capacity | None = key(
        Block(Capacity, "the capacity"), share="open", help="what the capacity plate is worked out from"
    )
    share_strip_downs: str = key(
        OneOf(SHARING),
        name="share strip-downs",
        share="cost",
        help="who pays a strip-down that both sides need",
        default="hours",
    )

    @property
    def counted_on(self) -> datetime.date:
        """Give the day that every day count is taken on: reported, else last inspected."""
        return self.reported or max(self.inspected, default=datetime.date.min)

    @property
    def currency(self) -> str:
        """Give the currency's code, empty if the notes name none."""
        return self.price.currency if self.price else ""

    @property
    def found(self) -> BoatFacts:
        """Give the boat as found, empty if nothing was noted."""
        return self.vessel.found or BoatFacts()


@dataclass(frozen=True)
class Finding(FindingKeys):
    """One finding: its keys, its repair, its heading and prose.

    by_tool: whether reportgen listed it itself (an unanswered reading). taken_over: whether an earlier
    report has it and this survey says nothing of it. photos_before: of the earlier report.
    """

    repair: Repair | None = key(Block(Repair, "a repair"), share="work", help="what it takes to put it right")
    replace: Repair | None = key(
        Block(Repair, "a replacement"), share="work", help="another way: what it takes to put in a new one"
    )
    wait: Wait | None = key(Block(Wait, "waiting"), share="work", help="what waiting is likely to cost")
    counted: str = key(OneOf(WAYS_TO_DEAL), share="work", help="which of these the total goes by", default="")
    id: str = shown("open", "")
    title: str = shown("open", "")
    prose: Prose = shown("open", Prose())
    by_tool: bool = shown("open", False)
    taken_over: bool = shown("open", False)
    photos_before: tuple[PhotoNote, ...] = shown("open", ())
    place: Place = field(default=Place())

    @property
    def state(self) -> str:
        """Give open, reported done or checked."""
        return "checked" if self.checked else "reported done" if self.reported_done else "open"

    @property
    def payers(self) -> Mapping[str, Decimal]:
        """Give the share of each payer [%]; all on `not agreed` while nothing is said."""
        return self.pays or {"not agreed": Decimal(100)}


@dataclass(frozen=True)
class Reading(ReadingKeys):
    """One reading: the keys all kinds share, and `fields`, the dataclass of its kind's own keys.

    table: the values of the table under its fence, None where it has none.
    """

    id: str = shown("open", "")
    title: str = shown("open", "")
    prose: Prose = shown("open", Prose())
    fields: Any = shown("open")
    table: Table | None = shown("open")
    place: Place = field(default=Place())

    @property
    def blank(self) -> bool:
        """Say whether nothing at all was filled in, as `start` leaves a reading."""
        words = (self.at, self.conditions, self.with_, self.by, self.not_taken, self.retest_of, self.photos)
        return not any(map(_tells, (*words, self.prose.markdown.strip(), self.fields, self.table)))


def _tells(value: Any) -> bool:
    """Say whether a value of a reading holds anything that was written down."""
    if isinstance(value, (Cell, Word)):
        return bool(value.why or (value.quantity if isinstance(value, Cell) else value.text))
    if isinstance(value, Table):
        return any(_tells(cell) for row in value.rows for cell in (*row.cells, *row.words, row.remark))
    if isinstance(value, (tuple, Mapping)):
        return any(map(_tells, value.values() if isinstance(value, Mapping) else value))
    if dataclasses.is_dataclass(value) and not isinstance(value, Quantity):
        given = ((getattr(value, f.name), f.default) for f in dataclasses.fields(value) if f.name != "place")
        return any(own != default and _tells(own) for own, default in given)
    return value not in (None, "")


@dataclass(frozen=True)
class Past:
    """Values of a reading on an earlier day. number: of the report that holds them."""

    on: datetime.date = shown("open", datetime.date.min)
    number: str = shown("open", "")
    outcome: str = shown("open", "")
    values: Values = shown("open", ())


@dataclass(frozen=True)
class OldReading:
    """A reading of an earlier report; past: from the earliest survey to that report's, (surveys,)."""

    id: str = shown("open", "")
    kind: str = shown("open", "")
    title: str = shown("open", "")
    at: str = shown("open", "")
    past: tuple[Past, ...] = shown("open", ())

    @property
    def last(self) -> Past:
        """Give the reading as the earlier report has it."""
        return self.past[-1]


@dataclass(frozen=True)
class OldFinding:
    """A finding of an earlier report.

    keys: as a note would write it, evidence as `earlier/ID`. photos: those that lie beside the file.
    """

    id: str
    ref: int
    title: str
    finding: Finding
    keys: Keys = Keys((), Place())
    prose: str = ""
    photos: tuple[PhotoNote, ...] = ()
    by_tool: bool = False


@dataclass(frozen=True)
class Gap:
    """A part that was not inspected, with the system of its note."""

    part: str = shown("open", "")
    system: str = shown("open", "")
    entry: NotInspected = shown("open", NotInspected())


@dataclass(frozen=True)
class Earlier:
    """A report that this survey follows, as one edition of it tells.

    last_ref: highest number that a finding ever had. left_out: findings that the edition left out.
    readings: its own, and those of still earlier reports that its findings rest on. gaps: not inspected then.
    file: the report.json that says so.
    """

    number: str
    version: int
    status: str
    kind: str
    edition: str
    inspected: tuple[datetime.date, ...]
    reported: datetime.date | None
    last_ref: int
    left_out: tuple[tuple[str, int], ...]
    findings: tuple[OldFinding, ...]
    readings: tuple[OldReading, ...]
    gaps: tuple[Gap, ...] = ()
    vessel: Vessel = field(default=Vessel())
    people: People = field(default=People())
    price: Price | None = None
    file: Path | None = None

    @property
    def on(self) -> datetime.date:
        """Give the last day of its inspection."""
        return max(self.inspected)

    def finding(self, id: str) -> OldFinding | None:
        """Give a finding by its id."""
        return next((f for f in self.findings if f.id == id), None)

    def reading(self, id: str) -> OldReading | None:
        """Give a reading by its id, with or without `earlier/` before it."""
        bare = id.removeprefix(EARLIER)
        return next((r for r in self.readings if r.id == bare), None)


@dataclass(frozen=True)
class Narrative:
    """A section that is neither finding nor reading. level: of its heading, 0 for text before the first."""

    title: str = shown("open", "")
    level: int = shown("open", 0)
    prose: Prose = shown("open", Prose())
    system: str = shown("open", "")


@dataclass(frozen=True)
class Survey:
    """One boat inspected on one occasion, as written.

    folder: where photos are looked for. slug: name of its folder in a published site.
    items: parts with the outcome noted for each, "sound" for inspected items.
    photos: of the boat, from the notes' front matter. earlier: the report that it follows.
    withdrawn: earlier findings that the surveyor takes back; they are not among the findings.
    places: of the note that names a system.
    """

    folder: Path
    slug: str
    cover: Cover
    findings: tuple[Finding, ...] = ()
    readings: tuple[Reading, ...] = ()
    narrative: tuple[Narrative, ...] = ()
    not_inspected: tuple[Gap, ...] = ()
    items: tuple[tuple[str, str, str], ...] = ()
    photos: tuple[PhotoNote, ...] = ()
    private: tuple[str, ...] = ()
    earlier: Earlier | None = None
    withdrawn: tuple[Finding, ...] = ()
    places: Mapping[str, Place] = field(default_factory=dict)

    def engine_at(self, at: str) -> Engine | None:
        """Give the engine or generator that a reading's `at:` names; the only engine if it names none."""
        engines = (*self.cover.found.engines, *self.cover.found.generators)
        plain = at.lower().removesuffix(" engine").strip()
        named = [e for e in engines if e.name.lower().removesuffix(" engine").strip() == plain]
        return named[0] if named else engines[0] if len(engines) == 1 and not at else None


def finding_photos(finding: Finding) -> tuple[PhotoNote, ...]:
    """Give every photo of a finding: as found before and now, as reported done, as checked."""
    done, checked = finding.reported_done, finding.checked
    after = (*done.photo, *done.photos) if done else ()
    return (*finding.photos_before, *finding.photos, *after, *(checked.photos if checked else ()))
