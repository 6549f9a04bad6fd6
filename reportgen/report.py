"""The report: everything the surveyor wrote and everything computed from it; nothing after this computes."""

from __future__ import annotations

import dataclasses
import datetime
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from reportgen import (
    beside,
    breaches,
    cautions,
    costshares,
    coverage,
    estimate,
    findings,
    followup,
    identity,
    looked,
    photonames,
    plots,
    settlement,
    sources,
    valuation,
    wording,
    worklist,
)
from reportgen.beside import Assessed, Compared
from reportgen.block import PhotoNote, shown
from reportgen.carriage import Carriage
from reportgen.cautions import Caution
from reportgen.chart import Chart
from reportgen.costshares import FindingCost, SeverityCost
from reportgen.coverage import Coverage
from reportgen.errors import Problems
from reportgen.estimate import Estimate
from reportgen.findings import Lifted, UseLimit
from reportgen.followup import FollowUp
from reportgen.hullnumber import HullNumber
from reportgen.kind import Assessment, Kind
from reportgen.limits import Limit
from reportgen.looked import Looked
from reportgen.model import Cover, Finding, Gap, Narrative, Reading, Survey, finding_photos
from reportgen.photonames import PhotoFile
from reportgen.settlement import Settlement
from reportgen.sources import Source
from reportgen.valuation import Valuation
from reportgen.worklist import WorkList


@dataclass(frozen=True)
class Cost:
    """What putting one finding right is likely to cost, its share of shared work included [currency]."""

    low: Decimal = shown("cost", Decimal(0))
    likely: Decimal = shown("cost", Decimal(0))
    high: Decimal = shown("cost", Decimal(0))


@dataclass(frozen=True)
class ListedFinding:
    """A finding as the report lists it.

    ref: its number, from 1, worst first; or the one that it had in the report that is followed.
    cost: None while unpriced.
    same_hand: whether who did the work also checked it. days_left: to the day by which it has to be put
    right, below zero once past; None without such a day, or once checked [days].
    """

    ref: int = shown("open", 0)
    finding: Finding = shown("open", Finding())
    state: str = shown("open", "open")
    cost: Cost | None = shown("cost")
    unpriced: bool = shown("open", False)
    same_hand: bool = shown("open", False)
    days_left: int | None = shown("open")


@dataclass(frozen=True)
class JudgedReading:
    """A reading with what its kind makes of it.

    of_engine: whether `at` names an engine. answered_by: ids of the findings that name it.
    """

    reading: Reading = shown("open", Reading())
    kind_title: str = shown("open", "")
    of_engine: bool = shown("open", False)
    assessment: Assessment = shown("open", Assessment())
    answered_by: tuple[str, ...] = shown("open", ())

    @property
    def blank(self) -> bool:
        """Say whether nothing at all was filled in, as `start` leaves a reading."""
        return self.assessment.outcome == "not taken" and self.reading.blank


@dataclass(frozen=True)
class Measurement:
    """A kind of reading that the report uses: how it is taken, what it shows, and the published limits.

    limits: the general ones, used where the note brings none. no_source: why there is none.
    sources: all that the kind rests on. limits_for: what the general limits are for.
    """

    kind: str = shown("open", "")
    title: str = shown("open", "")
    measures: str = shown("open", "")
    how: str = shown("open", "")
    instrument: str = shown("open", "")
    proves: tuple[str, ...] = shown("open", ())
    proves_not: tuple[str, ...] = shown("open", ())
    limits: tuple[Limit, ...] = shown("open", ())
    no_source: str = shown("open", "")
    sources: tuple[Source, ...] = shown("open", ())
    limits_for: str = shown("open", "")


@dataclass(frozen=True)
class LeftOut:
    """What an edition leaves out: findings by severity, photos, and words in the notes."""

    findings: tuple[tuple[str, int], ...] = shown("open", ())
    photos: int = shown("open", 0)

    @property
    def count(self) -> int:
        """Give how many findings are left out."""
        return sum(n for _, n in self.findings)


@dataclass(frozen=True)
class Report:
    """One survey's report, whole; an edition's view of it has the same shape with less in it.

    counted_on: the day that every count of days is taken on. age_days: since the last inspection.
    last_ref: highest number that a finding of this report ever had.
    photo_files: published photo name to the file it is made from; never published.
    """

    slug: str = shown("open", "")
    cover: Cover = shown("open", Cover())
    counted_on: datetime.date = shown("open", datetime.date.min)
    age_days: int = shown("open", 0)
    findings: tuple[ListedFinding, ...] = shown("open", ())
    counted: str = shown("open", "")
    use_limits: tuple[UseLimit, ...] = shown("open", ())
    lifted: tuple[Lifted, ...] = shown("open", ())
    headline: str = shown("open", "")
    readings: tuple[JudgedReading, ...] = shown("open", ())
    measurements: tuple[Measurement, ...] = shown("open", ())
    narrative: tuple[Narrative, ...] = shown("open", ())
    not_inspected: tuple[Gap, ...] = shown("open", ())
    items: tuple[tuple[str, str, str], ...] = shown("open", ())
    coverage: Coverage | None = shown("open")
    photos: tuple[PhotoNote, ...] = shown("open", ())
    hull_number: HullNumber | None = shown("hull number")
    identity: tuple[identity.Line, ...] = shown("open", ())
    carriage: Carriage = shown("open", Carriage())
    estimate: Estimate | None = shown("cost")
    unpriced: int = shown("open", 0)
    cost_totals: tuple[SeverityCost, ...] = shown("cost totals", ())
    settlement: Settlement | None = shown("price")
    valuation: Valuation | None = shown("value")
    work_list: WorkList | None = shown("work")
    cautions: tuple[Caution, ...] = shown("open", ())
    sources: tuple[Source, ...] = shown("open", ())
    follow_up: FollowUp | None = shown("open")
    compared: tuple[Compared, ...] = shown("open", ())
    last_ref: int = shown("open", 0)
    left_out: LeftOut = shown("open", LeftOut())
    photo_files: Mapping[str, PhotoFile] = field(default_factory=dict)
    private: tuple[str, ...] = ()


def build(survey: Survey, problems: Problems, today: datetime.date | None = None) -> Report:
    """Compute a survey's report in the language that is spoken.

    today: the day to count on; else the day reported, else the last inspection. Never the clock.
    Problems get what only the computing can find, in English as the tool speaks to writers: unknown
    strip-downs, readings judged with a warning.
    """
    counted_on = today or survey.cover.counted_on
    survey, files = photonames.renamed(survey)
    untried = coverage.untried(survey)
    survey = dataclasses.replace(survey, not_inspected=(*survey.not_inspected, *untried))
    seen = looked.into(survey, counted_on)
    # one number in every edition
    plain = findings.order(seen.every, {})
    refs = followup.refs(survey.earlier, plain) if survey.earlier else findings.numbered(plain)
    money = estimate.build(_by_number(seen.every, refs), survey.cover, counted_on)
    if wording.language() == "en":
        looked.problems(survey, seen, money, problems, counted_on)
    else:
        # a message holds days and words of kinds, so that what it tells of has to be in its own language
        with wording.speaking("en", wording.system()):
            looked.problems(survey, looked.into(survey, counted_on), money, problems, counted_on)
    return _built(survey, seen, refs, money, files, counted_on)


def _built(
    survey: Survey,
    seen: Looked,
    refs: Mapping[str, int],
    money: Estimate | None,
    files: Mapping[str, PhotoFile],
    counted_on: datetime.date,
) -> Report:
    hull, judged, every, lines, covered, aboard = seen
    # a reading that `start` wrote and nobody filled in was no test: it calls for no caution and no limit
    tested = tuple(each for each in judged if each[1].outcome != "not taken" or not each[0].blank)
    kinds = [k for _, _, k in tested]
    # what every reader sees lies in no order that tells the dearest
    ordered = findings.order(every, {})
    listed = _listed(every, money, refs, counted_on)
    limits = findings.use_limits(ordered)
    deal = settlement.build(money, survey.cover, _by_number(every, refs), counted_on)
    boat = survey.cover.vessel
    fuels = [e.fuel for facts in (boat.found or boat.advertised,) if facts for e in facts.engines]
    worded = cautions.attach(ordered, kinds, boat.type, boat.in_metres, fuels)
    return Report(
        slug=survey.slug,
        cover=survey.cover,
        counted_on=counted_on,
        age_days=(counted_on - max(survey.cover.inspected, default=counted_on)).days,
        findings=listed,
        counted=findings.counted(ordered),
        use_limits=limits,
        lifted=findings.lifted(ordered),
        headline=cautions.headline(limits, survey.not_inspected),
        readings=tuple(_on_one_scale(tuple(_shown_reading(*each, ordered) for each in judged))),
        measurements=tuple(_measurement(k) for k in {k.name: k for k in kinds}.values()),
        narrative=survey.narrative,
        not_inspected=survey.not_inspected,
        items=survey.items,
        coverage=covered,
        photos=survey.photos,
        hull_number=hull,
        identity=lines,
        carriage=aboard,
        estimate=money,
        unpriced=money.unpriced if money else 0,
        cost_totals=costshares.totals(money.by_severity) if money and money.priced else (),
        settlement=deal,
        valuation=valuation.build(survey.cover, money, deal, counted_on),
        work_list=worklist.build(every, survey.cover, counted_on),
        cautions=worded,
        sources=_sources(tested, worded, hull, lines, aboard),
        follow_up=followup.build(survey, ordered),
        compared=tuple(beside.compare(survey, judged)),
        last_ref=max([*(f.ref for f in listed), survey.earlier.last_ref if survey.earlier else 0]),
        photo_files=files,
        private=survey.private,
    )


def _by_number(every: Iterable[Finding], refs: Mapping[str, int]) -> list[Finding]:
    return sorted(every, key=lambda finding: refs[finding.id])


def _listed(
    every: Sequence[Finding], money: Estimate | None, refs: Mapping[str, int], counted_on: datetime.date
) -> tuple[ListedFinding, ...]:
    costs = {c.id: c for c in money.by_finding} if money else {}
    likely = {id: cost.likely for id, cost in costs.items()}
    unpriced = set(money.unpriced_ids) if money else set()
    listed = []
    for finding in findings.order(every, likely):
        own = costs.get(finding.id)
        cost = _cost(own) if own else None
        same = findings.checked_own_work(finding)
        listed.append(
            ListedFinding(
                refs[finding.id],
                finding,
                finding.state,
                cost,
                finding.id in unpriced,
                same,
                findings.days_left(finding, counted_on),
            )
        )
    return tuple(listed)


def _cost(own: FindingCost) -> Cost | None:
    """Give a finding's cost in order."""
    if own.low is None or own.likely is None or own.high is None:
        return None
    return Cost(*costshares.in_order(own.low, own.likely, own.high))


def _shown_reading(
    reading: Reading, assessment: Assessment, kind: Kind, every: Iterable[Finding]
) -> JudgedReading:
    named = tuple(
        f.id for f in every if reading.id in f.evidence or (f.checked and reading.id in f.checked.evidence)
    )
    if assessment.chart:
        told = breaches.in_table(assessment.chart, assessment.judged)
        assessment = dataclasses.replace(assessment, chart=told)
    return JudgedReading(reading, kind.title, kind.of_engine, assessment, named)


def _on_one_scale(readings: tuple[JudgedReading, ...]) -> Iterator[JudgedReading]:
    """Draw readings of one kind on one scale, so that two engines can be compared at a glance."""
    charts: dict[str, list[Chart]] = {}
    for each in readings:
        if each.assessment.chart:
            charts.setdefault(each.reading.kind, []).append(each.assessment.chart)
    for each in readings:
        if chart := each.assessment.chart:
            chart = plots.on_one_scale(chart, charts[each.reading.kind])
            each = dataclasses.replace(each, assessment=dataclasses.replace(each.assessment, chart=chart))
        yield each


def _measurement(kind: Kind) -> Measurement:
    told = (kind.name, kind.title, kind.measures, kind.how, kind.instrument)
    shows = (kind.proves, kind.proves_not, kind.limits, kind.no_source)
    return Measurement(*told, *shows, tuple(sources.get(id) for id in kind.source_ids), kind.limits_for)


def _sources(
    judged: Iterable[Assessed],
    worded: Iterable[Caution],
    hull: HullNumber | None,
    lines: Iterable[identity.Line],
    aboard: Carriage,
) -> tuple[Source, ...]:
    ids = {id for _, assessment, _ in judged for id in assessment.source_ids}
    ids |= {j.limit.source_id for _, a, _ in judged for j in a.judged if j.limit.source_id}
    ids |= {id for caution in worded for id in caution.source_ids}
    ids |= {line.source_id for line in lines if line.source_id} | aboard.source_ids
    ids |= set(hull.sources) if hull else set()
    return tuple(sources.get(id) for id in sorted(ids))


def photos_of(report: Report) -> tuple[PhotoNote, ...]:
    """Give every photo that a report shows, in the order of the page; one may come more than once."""
    found = [p for f in report.findings for p in finding_photos(f.finding)]
    return (*report.photos, *found, *(p for r in report.readings for p in r.reading.photos))
