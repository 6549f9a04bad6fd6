"""The contract of an edition, and the view: the report as one reader is entitled to it."""

from __future__ import annotations

import dataclasses
import datetime
import operator
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import Any

from reportgen import findings, followup, hullnumber, prose
from reportgen.block import PhotoNote
from reportgen.blocks.finding import SEVERITIES
from reportgen.chart import Chart, Table
from reportgen.errors import Place, Problems
from reportgen.fieldtable import Field, Kind, fields_of
from reportgen.hullnumber import HullNumber
from reportgen.model import Prose
from reportgen.report import JudgedReading, LeftOut, ListedFinding, Report, photos_of
from reportgen.scrub import Scrubber, around, masked_tail
from reportgen.sources import Source
from reportgen.spellings import LEFT_OUT
from reportgen.units import Quantity, Span
from reportgen.wording import say

# what an edition may list, and what stands under it in the notes and in the report
CATEGORIES: Mapping[str, str] = {
    "open": "boat, findings, use limits, readings, what was not inspected, cautions, sources",
    "surveyor": "who inspected: name, firm, credentials, insurance, statement, signature",
    "surveyor contact": "how to reach the surveyor",
    "people": "names of client, seller, owner, buyer, broker and yard, who attended, invoices",
    "contact": "their telephone numbers and addresses",
    "place": "where the boat was inspected, as it may be published",
    "exact place": "berth, gate, keys",
    "hull number": "hull identification number, both places",
    "serial": "registration, serials of engines and instruments",
    "identity": "hailing port",
    "work": "scope of each repair: hours, parts, strip-downs",
    "cost": "what each repair costs, and the estimate",
    "cost totals": "likely cost by severity alone",
    "rates": "labour rates, taxes and the working of the estimate",
    "payer": "who pays, and how it is settled",
    "deal": "known before the offer, advertised as working",
    "value": "opinion of value, and comparable sales",
    "agreed price": "price agreed",
    "price": "price asked and offered, deposit, dates of the deal, cost of the inspection, settlement",
    "private": "the writer's own remarks, file names of photos",
}
# no edition may leave these out: what must not be run, the cautions, what nobody looked at
FLOOR = frozenset({"open"})
FLOOR_SEVERITIES = frozenset({"stop"})
# what no edition may list: the writer's private keys, and fields that nobody has given a category
NEVER = frozenset({"", "private"})
# whose boat it is, where she lies and what the deal is: in no edition that anybody may read
NOT_PUBLIC = frozenset(
    {"people", "contact", "exact place", "identity", "hull number", "serial"}
    | {"price", "agreed price", "value", "deal"}
)
# values without categories of their own, shown as a whole where they stand
PLAIN = (Quantity, Span, Chart, Table, Source, HullNumber)
# where ids of findings and readings stand: what is left out goes, what tells a secret is replaced
IDS = frozenset(
    """Finding.id Finding.evidence Checked.evidence Reading.id JudgedReading.answered_by UseLimit.because
    UseLimit.awaiting_check Lifted.because Lifted.still Caution.because Caution.findings FindingCost.id
    StripDownCost.needed_by Estimate.unpriced_ids Estimate.expired OptionCost.id WaitCost.id
    QuoteCost.covers YardQuote.covers Material.counted Material.unpriced
    Material.normal_for_age Material.known_before Sunk.for_ Requirement.answered_by
    AgreedRepair.covers AgreedCredit.covers Holdback.covers Settled.covers Settled.unpriced
    Settlement.unsettled Repair.in_price_of
    CoveredItem.findings CoveredItem.readings WorkGroup.needed_by WorkGroup.jobs
    Account.id Account.instead FollowUp.new OldReading.id Compared.id Compared.before Finding.instead_of
    WorkList.without_hours WorkList.reported_done WorkList.checked WorkList.not_for_a_yard""".split()  # noqa: SIM905
)
# sentences that we make of figures which the same edition shows: a price that equals one is told by none
OURS = frozenset({"Valuation.compared", "ValueStep.values", "ValueStep.result", "GridStep.values"})
_NUMBERS = (bool, int, float, Decimal, datetime.date)
_AS_IT_IS: frozenset[Kind] = frozenset({*_NUMBERS, type(None)})  # such a value every edition shows alike
_Names = tuple[str, ...]
NOT_LISTED = "a finding not listed in this edition"


@dataclass(frozen=True)
class Edition:
    """What one reader gets.

    name: as in `--for`. title: over the page. reader: who it is for, one sentence.
    shows: categories of keys, all others are absent. masked: shown masked.
    leaves_out: severities not listed, counted instead. public: photos only where `public: yes`.
    passages: the parts of the page in order; pages.py puts in those that no edition may drop.
    relies: whether its reader decides by a report that somebody else asked for.
    may_add: categories that a user's own edition, made from this one, may show besides.
    base: the edition that a user's own was made from, empty for ours; place: its file.
    without_value: title where the report states no value; empty if it is the same.
    """

    name: str
    title: str
    reader: str
    shows: frozenset[str]
    passages: tuple[str, ...]
    masked: frozenset[str] = frozenset()
    leaves_out: frozenset[str] = frozenset()
    public: bool = False
    relies: bool = False
    may_add: frozenset[str] = frozenset()
    base: str = ""
    place: Place = Place()
    without_value: str = ""

    def titled(self, report: Report) -> str:
        """Give the title over a report, which promises no value where none is stated."""
        return say(self.title if report.valuation or not self.without_value else self.without_value)


def view(report: Report, edition: Edition, problems: Problems) -> Report:
    """Give the report with nothing in it that the edition's reader is not entitled to.

    A private value met in text becomes "[left out]" with a warning; in a public edition it is an error.
    Raises ValueError when an edition would drop a stop finding or show what none may show: a bug of ours.
    """
    _check(edition)
    scrubber = Scrubber.of(report, edition.shows | FLOOR, edition.masked, edition.public)
    limiter = _Limiter(report, edition, scrubber, problems)
    limiter.own_words()
    # the folder is named below
    kept = dataclasses.replace(_without_left_out(report, edition), slug="")
    shown: Report = limiter.limit(kept, report.cover.place)
    # where photos lie and are listed is needed to publish them and is in no page, file or text
    files = {note.name: report.photo_files[note.name] for note in photos_of(shown)}
    left_out = _left_out(report, edition, limiter.photos_left_out)
    shown = dataclasses.replace(shown, slug=limiter.slug(report), left_out=left_out, photo_files=files)
    if _floor(shown) != _floor(report):
        raise ValueError(f"edition {edition.name} drops what no edition may drop")
    return shown


def _check(edition: Edition) -> None:
    """Refuse an edition that drops what protects, or lists what none or no public one may list."""
    listed = edition.shows | edition.masked
    if edition.leaves_out & FLOOR_SEVERITIES:
        raise ValueError(f"edition {edition.name} leaves out stop findings")
    if listed & NEVER:
        raise ValueError(f"edition {edition.name} shows what is private")
    if edition.public and edition.shows & NOT_PUBLIC:
        raise ValueError(f"edition {edition.name} is public and shows whose boat it is, or the deal")


def _without_left_out(report: Report, edition: Edition) -> Report:
    """Take out findings that are not listed, and any total that would tell their cost by subtraction."""
    gone = {f.finding.id for f in report.findings if _goes(f, edition)}
    kept = tuple(f for f in report.findings if f.finding.id not in gone)
    if "cost" not in edition.shows:
        kept = _without_costs(kept, report.cover.place.file)
    report = dataclasses.replace(report, readings=_still_answered(report, gone))
    if follow := report.follow_up:
        told = tuple(a for a in follow.accounts if a.severity not in edition.leaves_out)
        report = dataclasses.replace(report, follow_up=dataclasses.replace(follow, accounts=told))
    if report.work_list and gone & set(report.work_list.ids):
        report = dataclasses.replace(report, work_list=None)  # its hours would tell of what is left out
    priced = {c.id for c in report.estimate.by_finding} if report.estimate else set()
    if gone & priced:
        worth = report.valuation and dataclasses.replace(report.valuation, cost_to_come=None)
        report = dataclasses.replace(report, estimate=None, settlement=None, valuation=worth, cost_totals=())
    return dataclasses.replace(report, findings=kept)


def _goes(listed: ListedFinding, edition: Edition) -> bool:
    """Say whether an edition only counts a finding; one of which an earlier report asked more stays in."""
    was = listed.finding.severity_was
    lowered = was is not None and was.severity not in edition.leaves_out
    return listed.finding.severity in edition.leaves_out and not lowered


def _without_costs(listed: tuple[ListedFinding, ...], cover: str) -> tuple[ListedFinding, ...]:
    """Put findings in order without their costs, so that the order tells nobody which is the dearest."""
    entries = {f.finding.id: f for f in listed}
    noted = sorted(
        (f.finding for f in listed),
        key=lambda f: (f.by_tool, f.place.file != cover, f.place.file, f.place.line),
    )
    return tuple(entries[finding.id] for finding in findings.order(noted, {}))


def _still_answered(report: Report, gone: set[str]) -> tuple[JudgedReading, ...]:
    """Say of a reading outside its limit that a finding which is left out answers it, beside what stays."""
    return tuple(
        dataclasses.replace(r, answered_by=(*(id for id in r.answered_by if id not in gone), NOT_LISTED))
        if r.assessment.outcome == "outside" and not gone.isdisjoint(r.answered_by)
        else r
        for r in report.readings
    )


def _floor(report: Report) -> tuple[object, ...]:
    """Give what no edition may drop, counted: stops, use limits, cautions, what nobody looked at."""
    stops = sum(f.finding.severity in FLOOR_SEVERITIES for f in report.findings)
    limits = (len(report.use_limits), len(report.lifted))
    gaps = (len(report.not_inspected), len(report.cover.tests_not_made or ()))
    covered = (report.coverage.counts, len(report.coverage.items)) if report.coverage else None
    return stops, limits, len(report.cautions), gaps, covered, bool(report.headline)


def _left_out(report: Report, edition: Edition, photos: int) -> LeftOut:
    severities = [f.finding.severity for f in report.findings if _goes(f, edition)]
    counts = tuple((s, severities.count(s)) for s in SEVERITIES if s in severities)
    return LeftOut(counts, photos)


def _new_ids(report: Report, edition: Edition, scrubber: Scrubber) -> dict[str, str]:
    """Give a neutral id for each that tells a private value, and an empty one for what is left out."""
    taken = {f.finding.id for f in report.findings} | {r.reading.id for r in report.readings}
    named = [(f"finding-{f.ref}", f.finding.id, f.finding.title) for f in report.findings]
    named += [(f"reading-{n}", r.reading.id, r.reading.title) for n, r in enumerate(report.readings, 1)]
    named += followup.named(report.follow_up)
    new: dict[str, str] = {}
    for neutral, id, title in named:
        if scrubber.in_id(id) or scrubber.text(title)[0] != title:
            while neutral in taken:
                neutral += "-"
            new[id] = neutral
    gone = (f.finding.id for f in report.findings if _goes(f, edition))
    return new | dict.fromkeys(gone, "")


class _Limiter:
    """Walks a report and gives its copy with hidden fields at their defaults and all text looked through."""

    def __init__(self, report: Report, edition: Edition, scrubber: Scrubber, problems: Problems) -> None:
        self.edition, self.scrubber, self.problems = edition, scrubber, problems
        self.shows = edition.shows | FLOOR
        self.ids = _new_ids(report, edition, scrubber)
        self.cover = report.cover.place
        self.told: set[str] = set()
        self.known: dict[str, tuple[str, tuple[str, ...]]] = {}  # a report says many things twice
        self.clean: set[str] = set()  # of these, texts in which nothing is found
        self.photos_left_out = 0

    def limit(self, value: Any, place: Place) -> Any:
        """Give a value as the edition shows it: itself where that is no other."""
        if isinstance(value, tuple):  # by far most of what comes here is a tuple or a block
            return self._items(value, place)
        if isinstance(value, Prose):
            return self._prose(value, place)
        if fields_of(value.__class__) is not None:
            return self._block(value, place)
        if isinstance(value, str):
            return value if value in self.clean else self._text(value, place)
        if value is None or isinstance(value, _NUMBERS):
            return value
        if isinstance(value, Mapping):
            return self._mapping(value, place)
        raise TypeError(f"a {type(value).__name__} can't be shown by an edition")

    def own_words(self) -> None:
        """Look through the title and the reader of a user's own edition, which stand on its pages."""
        for text in (self.edition.title, self.edition.reader) if self.edition.base else ():
            shown, hits = self.scrubber.text(text)
            if shown != text:
                found = f"{', '.join(hits) or 'a number'} stands in the words of the edition itself"
                self.problems.error(self.edition.place, found, "reword the title or the reader")

    def slug(self, report: Report) -> str:
        """Give the name of the report's folder; one that tells a private value is replaced by its number."""
        if not self.scrubber.in_id(report.slug):
            return report.slug
        write = "rename it; its report stands in a folder named by its number"
        self.problems.warn(self.cover, f"the name of the folder {report.slug!r} tells what is private", write)
        number = report.cover.number
        return "report" if self.scrubber.in_id(number) else prose.slug(number) or "report"

    def _mapping(self, value: Mapping[Any, Any], place: Place) -> Mapping[Any, Any]:
        shown: dict[Any, Any] = {}
        for key, item in value.items():
            name = self.limit(key, place)
            while name in shown:  # two names that were both taken out stay two
                name = f"{name}, another"
            shown[name] = self.limit(item, place)
        same = all(k is n and v is i for (k, v), (n, i) in zip(value.items(), shown.items(), strict=True))
        return value if same else shown

    def _items(self, values: tuple[Any, ...], place: Place) -> tuple[Any, ...]:
        if self.edition.public and any(isinstance(v, PhotoNote) for v in values):
            kept = tuple(v for v in values if v.public)
            self.photos_left_out += len(values) - len(kept)
            values = kept
        if not values:
            return values
        plain, clean = _AS_IT_IS, self.clean
        shown = tuple(
            v if v.__class__ in plain or (v.__class__ is str and v in clean) else self.limit(v, place)
            for v in values
        )
        return values if all(map(operator.is_, shown, values)) else shown

    def _block(self, value: Any, place: Place) -> Any:
        here = getattr(value, "place", place)
        place = here if isinstance(here, Place) and here.file else place
        changes: dict[str, Any] = {}
        looked_through, ids, hidden = _apart(value.__class__, self.shows)
        for name in looked_through:
            old = getattr(value, name)
            if old.__class__ in _AS_IT_IS or (old.__class__ is str and old in self.clean):
                continue
            if (new := self.limit(old, place)) is not old:
                changes[name] = new
        for name in ids:
            old = getattr(value, name)
            if (new := self._id(old, name)) is not old:
                changes[name] = new
        for field in hidden:
            old = getattr(value, field.name)
            new = self._masked(old) if field.share in self.edition.masked else field.default
            if new is not old:
                changes[field.name] = new
        return dataclasses.replace(value, **changes) if changes else value

    def _id(self, value: Any, field: str) -> Any:
        """Give ids as the edition may name them; what is left out is not named."""
        if isinstance(value, str):
            return self.ids.get(value, value)
        kept = tuple(new for new in (self.ids.get(id, id) for id in value) if new)
        if field == "because" and value and not kept:
            return (NOT_LISTED,)
        return value if kept == value else kept

    def _masked(self, value: Any) -> Any:
        if isinstance(value, HullNumber):
            return hullnumber.masked_view(value)
        if not isinstance(value, str) or not value:
            return value if value in ("", None, ()) else None
        return self.scrubber.masks.get(value) or masked_tail(value)

    def _text(self, text: str, place: Place) -> str:
        if text not in self.known:
            self.known[text] = self._looked_through(text)
        shown, hits = self.known[text]
        if hits and not (place == self.cover and text in self.told):
            # what was told at its own place is not told again where the report repeats it
            self.told.add(text)
            # what the report says by itself has no line of its own in the notes
            said = f", in {around(text, shown)!r}" if place == self.cover else ""
            for hit in hits:
                self._hit(hit, place, said)
        self._short(text, place)
        if shown == text and not hits and not self.scrubber.short_in(text):
            self.clean.add(text)
        return shown

    def _looked_through(self, text: str) -> tuple[str, tuple[str, ...]]:
        shown, hits = self.scrubber.text(text)
        for what in self.scrubber.found_in_line(shown):
            # entities and markup can hide a value from the look through the source
            hits, shown = (*hits, what), LEFT_OUT
        return shown, hits

    def _prose(self, value: Prose, place: Place) -> Prose:
        where = value.place if value.place.file else place
        shown, hits = self.scrubber.text(value.markdown)
        for hit in hits:
            self._hit(hit, where)
        self._short(value.markdown, where)
        html = value.html if shown == value.markdown else prose.block(shown)
        for hit in self.scrubber.found_in_html(html):
            found = f"{hit} is written so that it can't be taken out"
            self.problems.error(where, found, "write it in plain letters")
        return Prose(shown, html, Place())

    def _hit(self, what: str, place: Place, said: str = "") -> None:
        found = f"{what} stands in text that the {self.edition.name} edition shows{said}"
        # the words of an earlier report are not the writer's to put otherwise
        if self.edition.public and place.key != "follows":
            self.problems.error(place, found, "reword it, or put it into a ```private fence")
        else:
            self.problems.warn(place, found, f'it is shown as "{LEFT_OUT}"')

    def _short(self, text: str, place: Place) -> None:
        """Tell once of a value too short to be taken out."""
        for what in self.scrubber.short_in(text):
            if what not in self.told:
                self.told.add(what)
                found = f"{what} stands in text that the {self.edition.name} edition shows"
                self.problems.warn(
                    place, found, "it is too short to be taken out, so reword it if it is meant"
                )


@cache
def _apart(kind: Kind, shows: frozenset[str]) -> tuple[_Names, _Names, tuple[Field, ...]]:
    """Give which fields of a type an edition looks through, which are ids, and those that it hides."""
    fields = fields_of(kind) or ()
    shown = [f for f in fields if issubclass(kind, PLAIN) or (f.share in shows and f.share not in NEVER)]
    looked_through = tuple(f.name for f in shown if f.path not in IDS | OURS)
    ids = tuple(f.name for f in shown if f.path in IDS)
    return looked_through, ids, tuple(f for f in fields if f not in shown)
