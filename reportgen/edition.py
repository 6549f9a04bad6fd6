"""The contract of an edition, and the view: the report as one reader is entitled to it."""

from __future__ import annotations

import dataclasses
import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from reportgen import followup, hullnumber, prose
from reportgen.block import PhotoNote
from reportgen.chart import Chart, Table
from reportgen.errors import Place, Problems
from reportgen.hullnumber import HullNumber
from reportgen.model import Prose
from reportgen.report import LeftOut, Report, photos_of
from reportgen.scrub import Scrubber, masked_tail
from reportgen.sources import Source
from reportgen.spellings import LEFT_OUT
from reportgen.units import Quantity, Span

# no edition may leave these out: what must not be run, the cautions, what nobody looked at
FLOOR = frozenset({"open"})
FLOOR_SEVERITIES = frozenset({"stop"})
# what no edition may list: the writer's private keys, and fields that nobody has given a category
NEVER = frozenset({"", "private"})
# values without categories of their own, shown as a whole where they stand
PLAIN = (Quantity, Span, Chart, Table, Source, HullNumber)
# where ids of findings and readings stand: what is left out goes, what tells a secret is replaced
IDS = frozenset(
    """Finding.id Finding.evidence Checked.evidence Reading.id JudgedReading.answered_by UseLimit.because
    UseLimit.awaiting_check Lifted.because Lifted.still Caution.because Caution.findings FindingCost.id
    StripDownCost.needed_by Estimate.unpriced_ids Estimate.expired Material.counted Material.unpriced
    Material.normal_for_age Material.known_before Sunk.for_ Requirement.answered_by
    AgreedRepair.covers AgreedCredit.covers Holdback.covers Settled.covers Settled.unpriced
    Settlement.unsettled
    CoveredItem.findings CoveredItem.readings WorkGroup.needed_by WorkGroup.jobs
    Account.id Account.instead FollowUp.new OldReading.id Compared.id Compared.before Finding.instead_of
    WorkList.without_hours WorkList.reported_done WorkList.checked""".split()  # noqa: SIM905
)
NOT_LISTED = "a finding not listed in this edition"


@dataclass(frozen=True)
class Edition:
    """What one reader gets.

    name: as in `--for`. title: over the page. reader: who it is for, one sentence.
    shows: categories of keys, all others are absent. masked: shown masked.
    leaves_out: severities not listed, counted instead. public: photos only where `public: yes`.
    passages: the parts of the page in order; pages.py puts in those that no edition may drop.
    """

    name: str
    title: str
    reader: str
    shows: frozenset[str]
    passages: tuple[str, ...]
    masked: frozenset[str] = frozenset()
    leaves_out: frozenset[str] = frozenset()
    public: bool = False


def view(report: Report, edition: Edition, problems: Problems) -> Report:
    """Give the report with nothing in it that the edition's reader is not entitled to.

    A private value met in text becomes "[left out]" with a warning; in a public edition it is an error.
    Raises ValueError when an edition would drop a stop finding or show what none may show: a bug of ours.
    """
    if edition.leaves_out & FLOOR_SEVERITIES:
        raise ValueError(f"edition {edition.name} leaves out stop findings")
    if (edition.shows | edition.masked) & NEVER:
        raise ValueError(f"edition {edition.name} shows what is private")
    scrubber = Scrubber.of(report, edition.shows | FLOOR, edition.masked, edition.public)
    limiter = _Limiter(report, edition, scrubber, problems)
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


def _without_left_out(report: Report, edition: Edition) -> Report:
    """Take out findings that are not listed, and any total that would tell their cost by subtraction."""
    gone = {f.finding.id for f in report.findings if f.finding.severity in edition.leaves_out}
    kept = tuple(f for f in report.findings if f.finding.id not in gone)
    if follow := report.follow_up:
        told = tuple(a for a in follow.accounts if a.severity not in edition.leaves_out)
        report = dataclasses.replace(report, follow_up=dataclasses.replace(follow, accounts=told))
    if report.work_list and gone & set(report.work_list.ids):
        report = dataclasses.replace(report, work_list=None)  # its hours would tell of what is left out
    priced = {c.id for c in report.estimate.by_finding} if report.estimate else set()
    if gone & priced:
        worth = report.valuation and dataclasses.replace(report.valuation, cost_to_come=None)
        return dataclasses.replace(report, findings=kept, estimate=None, settlement=None, valuation=worth)
    return dataclasses.replace(report, findings=kept)


def _floor(report: Report) -> tuple[object, ...]:
    """Give what no edition may drop, counted: stops, use limits, cautions, what nobody looked at."""
    stops = sum(f.finding.severity in FLOOR_SEVERITIES for f in report.findings)
    limits = (len(report.use_limits), len(report.lifted))
    gaps = (len(report.not_inspected), len(report.cover.tests_not_made or ()))
    covered = (report.coverage.counts, len(report.coverage.items)) if report.coverage else None
    return stops, limits, len(report.cautions), gaps, covered, bool(report.headline)


def _left_out(report: Report, edition: Edition, photos: int) -> LeftOut:
    severities = [f.finding.severity for f in report.findings if f.finding.severity in edition.leaves_out]
    counts = tuple((s, severities.count(s)) for s in sorted(set(severities)))
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
    gone = (f.finding.id for f in report.findings if f.finding.severity in edition.leaves_out)
    return new | dict.fromkeys(gone, "")


class _Limiter:
    """Walks a report and gives its copy with hidden fields at their defaults and all text looked through."""

    def __init__(self, report: Report, edition: Edition, scrubber: Scrubber, problems: Problems) -> None:
        self.edition, self.scrubber, self.problems = edition, scrubber, problems
        self.shows = edition.shows | FLOOR
        self.ids = _new_ids(report, edition, scrubber)
        self.cover = report.cover.place
        self.told: set[str] = set()
        self.photos_left_out = 0

    def limit(self, value: Any, place: Place) -> Any:
        """Give a value as the edition shows it."""
        if isinstance(value, Prose):
            return self._prose(value, place)
        if dataclasses.is_dataclass(value) and not isinstance(value, type):
            return self._block(value, place)
        if isinstance(value, str):
            return self._text(value, place)
        if isinstance(value, Mapping):
            return self._mapping(value, place)
        if isinstance(value, tuple):
            return self._items(value, place)
        if value is None or isinstance(value, bool | int | float | Decimal | datetime.date):
            return value
        raise TypeError(f"a {type(value).__name__} can't be shown by an edition")

    def slug(self, report: Report) -> str:
        """Give the name of the report's folder; one that tells a private value is replaced by its number."""
        if not self.scrubber.in_id(report.slug):
            return report.slug
        write = "rename it; its report stands in a folder named by its number"
        self.problems.warn(self.cover, f"the name of the folder {report.slug!r} tells what is private", write)
        number = report.cover.number
        return "report" if self.scrubber.in_id(number) else prose.slug(number) or "report"

    def _mapping(self, value: Mapping[Any, Any], place: Place) -> dict[Any, Any]:
        shown: dict[Any, Any] = {}
        for key, item in value.items():
            name = self.limit(key, place)
            while name in shown:  # two names that were both taken out stay two
                name = f"{name}, another"
            shown[name] = self.limit(item, place)
        return shown

    def _items(self, values: tuple[Any, ...], place: Place) -> tuple[Any, ...]:
        if self.edition.public and any(isinstance(v, PhotoNote) for v in values):
            kept = tuple(v for v in values if v.public)
            self.photos_left_out += len(values) - len(kept)
            values = kept
        return tuple(self.limit(v, place) for v in values)

    def _block(self, value: Any, place: Place) -> Any:
        here = getattr(value, "place", place)
        place = here if isinstance(here, Place) and here.file else place
        changes: dict[str, Any] = {}
        for spec in dataclasses.fields(value):
            share = "open" if isinstance(value, PLAIN) else spec.metadata.get("share", "")
            old = getattr(value, spec.name)
            if share not in NEVER and share in self.shows:
                is_id = f"{type(value).__name__}.{spec.name}" in IDS
                new = self._id(old, spec.name) if is_id else self.limit(old, place)
            elif share in self.edition.masked:
                new = self._masked(old)
            else:
                new = _default(value, spec)
            if new is not old:
                changes[spec.name] = new
        return dataclasses.replace(value, **changes) if changes else value

    def _id(self, value: Any, field: str) -> Any:
        """Give ids as the edition may name them; what is left out is not named."""
        if isinstance(value, str):
            return self.ids.get(value, value)
        kept = tuple(new for new in (self.ids.get(id, id) for id in value) if new)
        return (NOT_LISTED,) if field == "because" and value and not kept else kept

    def _masked(self, value: Any) -> Any:
        if isinstance(value, HullNumber):
            return hullnumber.masked_view(value)
        if not isinstance(value, str) or not value:
            return value if value in ("", None, ()) else None
        return self.scrubber.masks.get(value) or masked_tail(value)

    def _text(self, text: str, place: Place) -> str:
        shown, hits = self.scrubber.text(text)
        for what in self.scrubber.found_in_line(shown):
            # entities and markup can hide a value from the look through the source
            hits, shown = (*hits, what), LEFT_OUT
        if hits and not (place == self.cover and text in self.told):
            # what was told at its own place is not told again where the report repeats it
            self.told.add(text)
            for hit in hits:
                self._hit(hit, place)
        self._short(text, place)
        return shown

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

    def _hit(self, what: str, place: Place) -> None:
        found = f"{what} stands in text that the {self.edition.name} edition shows"
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


def _default(block: Any, spec: dataclasses.Field[Any]) -> Any:
    if spec.default is not dataclasses.MISSING:
        return spec.default
    if spec.default_factory is not dataclasses.MISSING:
        return spec.default_factory()
    raise TypeError(f"{type(block).__name__}.{spec.name} has no category and no default")
