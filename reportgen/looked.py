"""Looks into a survey before its findings are listed: hull number, readings, coverage, what is aboard."""

from __future__ import annotations

import datetime
from typing import NamedTuple

from reportgen import (
    carriage,
    coverage,
    estimate,
    findings,
    followcheck,
    hullnumber,
    identity,
    praise,
    racks,
    settlement,
    valuation,
)
from reportgen.beside import Assessed
from reportgen.carriage import Carriage
from reportgen.coverage import Coverage
from reportgen.errors import Problems
from reportgen.estimate import Estimate
from reportgen.hullnumber import HullNumber
from reportgen.kind import About, Kind
from reportgen.model import Finding, Reading, Survey


class Looked(NamedTuple):
    """What a survey comes to before any sum, in the language that is spoken.

    every: all findings, with those of ours for what is not within its limit and unanswered. lines: what was
    found beside what was advertised.
    """

    hull: HullNumber | None
    judged: tuple[Assessed, ...]
    every: tuple[Finding, ...]
    lines: tuple[identity.Line, ...]
    covered: Coverage | None
    aboard: Carriage


def into(survey: Survey, counted_on: datetime.date) -> Looked:
    """Judge the readings of a survey and set it beside its hull number, checklist and law."""
    hull = _hull(survey, counted_on)
    judged = tuple(_judge(reading, survey, counted_on) for reading in survey.readings)
    every = (*survey.findings, *findings.unanswered(survey.findings, judged))
    lines = identity.compare(survey.cover.vessel, hull)
    aboard = carriage.build(survey.cover, hull, lines, survey.findings, counted_on)
    return Looked(hull, judged, every, lines, coverage.build(survey, judged), aboard)


def problems(
    survey: Survey, looked: Looked, money: Estimate | None, told: Problems, counted_on: datetime.date
) -> None:
    """Tell of all that only the computing can find.

    money: the estimate, in whatever language: only its sums count.
    """
    findings.problems(survey, told)
    followcheck.problems(survey, told)
    estimate.problems(survey.cover, survey.findings, told, counted_on)
    valuation.problems(survey.cover, counted_on, told)
    praise.problems(survey, told)
    place = survey.cover.place.at("hull number")
    for problem in looked.hull.problems if looked.hull else ():
        told.warn(place, problem.rstrip("."), "read both numbers on the boat again")
    last = max(survey.cover.inspected, default=None)
    if last and counted_on < last:
        told.error(
            survey.cover.place.at("inspected"),
            f"{last} lies after {counted_on}",
            "give the day of the report, or --today",
        )
    for reading, assessment, _ in looked.judged:
        for slip, write in assessment.warnings:
            told.warn(reading.place, slip, write)
    followcheck.retests(survey, looked.judged, told)
    settlement.problems(survey.cover, looked.every, told, money, counted_on)
    if not told.errors:  # what a mistake hides is not unmentioned
        coverage.problems(looked.covered, survey, told)
    carriage.problems(survey, looked.aboard, told)


def _hull(survey: Survey, latest: datetime.date) -> HullNumber | None:
    text, second = survey.cover.found.hull_number, survey.cover.found.second_hull_number
    return hullnumber.read(text, latest=latest, second=second) if text else None


def _judge(reading: Reading, survey: Survey, counted_on: datetime.date) -> Assessed:
    kind: Kind = racks.named("kinds", reading.kind, "KIND")
    altitude = next((c.altitude for c in survey.cover.conditions if c.altitude), None)
    found = survey.cover.found
    about = About(
        engine=survey.engine_at(reading.at),
        boat_type=survey.cover.vessel.type,
        altitude=altitude,
        material=found.material.lower(),
        waters=survey.cover.vessel.waters,
        built=found.built,
        counted_on=counted_on,
    )
    return reading, kind.assess(reading, about), kind
