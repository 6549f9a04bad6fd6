"""The report: everything that is computed from the notes, put together once."""

from __future__ import annotations

import dataclasses
import datetime
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from reportgen import notes, report, wording
from reportgen.errors import Problems
from reportgen.report import Report
from tests import made

PRICE = {"price": {"currency": "USD"}}
COMPRESSION = "kind: compression\nunit: psi\ncylinders: {1: 150, 2: 152, 3: 90, 4: 151}"
LIMIT = "limit: {spread: 10 %, source: an invented manual}"


def _section(title: str, word: str, *lines: str) -> str:
    body = "\n".join(lines)
    return f"## {title}\n```{word}\n{body}\n```\n\nSeen.\n\n"


def _report(folder: Path, body: str = "", today: datetime.date | None = None, **front: Any) -> Report:
    return made.built(made.write(folder / "boat", made.TINY | front, body), today)


def test_findings_are_in_order_and_numbered(tmp_path: Path) -> None:
    """Worst first, then the dearest; costs and what has no price beside each; numbers tell of no cost."""
    body = "".join(
        (
            _section("Cheap", "finding", "severity: settle", "repair: {cost: 50}"),
            _section("Dear", "finding", "severity: settle", "repair: {cost: 400 / 500 / 700}"),
            _section("Grave", "finding", "severity: stop", "forbids: [running it]"),
        )
    )
    made_ = _report(tmp_path, body, **PRICE)
    assert [(f.ref, f.finding.title, f.unpriced) for f in made_.findings] == [
        (1, "Grave", True),
        (3, "Dear", False),
        (2, "Cheap", False),
    ]
    cost = made_.findings[1].cost
    assert cost is not None
    assert [str(v) for v in (cost.low, cost.likely, cost.high)] == ["400.00", "500.00", "700.00"]
    assert made_.findings[0].cost is None
    assert made_.unpriced == 1
    assert [u.because for u in made_.use_limits] == [("grave",)]
    assert made_.counted == "One stop, two to settle."


def test_reading_that_nobody_answers_is_a_finding(tmp_path: Path) -> None:
    """A reading outside its limit stands among the findings, and links back to its answer."""
    body = _section("Cylinders", "reading", COMPRESSION, LIMIT)
    made_ = _report(tmp_path, body)
    [own] = [f.finding for f in made_.findings]
    assert (own.id, own.by_tool, own.evidence) == ("unanswered-cylinders", True, ("cylinders",))
    assert made_.readings[0].answered_by == ("unanswered-cylinders",)
    answered = _section("Low three", "finding", "severity: settle", "evidence: [cylinders]")
    made_ = _report(tmp_path / "b", body + answered)
    assert [f.finding.id for f in made_.findings] == ["low-three"]
    assert made_.readings[0].answered_by == ("low-three",)


def test_sources_are_those_that_are_used_each_once(tmp_path: Path) -> None:
    """Each limit, caution and rule that the report rests on is among its sources, sorted."""
    front = {"vessel": {"type": "gasoline inboard", "found": {"hull number": "ZZQ41207C515"}}}
    made_ = _report(tmp_path, _section("Cylinders", "reading", COMPRESSION), **front)
    ids = [s.id for s in made_.sources]
    assert ids == sorted(set(ids))
    wanted = {id for c in made_.cautions for id in c.source_ids}
    wanted |= set(made_.readings[0].assessment.source_ids)
    assert made_.hull_number is not None
    assert wanted | set(made_.hull_number.sources) <= set(ids)


def test_days_are_counted_on_the_report_day(tmp_path: Path) -> None:
    """On --today, else on the day reported, else on the last inspection; never on the clock."""
    days = {"inspected": ["2026-03-01", "2026-03-05"], "reported": "2026-03-09"}
    cases = (
        (None, days, 4),
        (datetime.date(2026, 4, 4), days, 30),
        (None, {"inspected": days["inspected"]}, 0),
    )
    for n, (today, front, age) in enumerate(cases):
        assert _report(tmp_path / str(n), today=today, **front).age_days == age


def test_day_before_the_inspection_is_refused(tmp_path: Path) -> None:
    """A report can't be counted on a day before the boat was seen."""
    problems = Problems()
    survey = notes.read(made.write(tmp_path / "boat", made.TINY), problems)
    assert survey is not None
    report.build(survey, problems, datetime.date(2026, 2, 1))
    [error] = problems.errors
    assert error.found == "2026-03-01 lies after 2026-02-01"
    assert error.place.key == "inspected"


def test_odd_hull_number_is_a_warning(tmp_path: Path) -> None:
    """A number that breaks a rule is told of and shown as it was read."""
    problems = Problems()
    vessel = {"type": "sailing yacht", "found": {"hull number": "ZZQ4I207C515"}}
    survey = notes.read(made.write(tmp_path / "boat", made.TINY | {"vessel": vessel}), problems)
    assert survey is not None
    built = report.build(survey, problems)
    assert built.hull_number is not None
    assert built.hull_number.text == "ZZQ4I207C515"
    assert [p.place.key for p in problems.warnings if "letter I" in p.found] == ["hull number"]


def _photo(folder: Path, *names: str) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    for name in names:
        Image.new("RGB", (64, 48)).save(folder / name)


def test_photos_are_named_anew(tmp_path: Path) -> None:
    """Published names run on from one, one file has one name, and each leads back to its file."""
    _photo(tmp_path / "boat", "quenby-1.jpg", "quenby-2.jpg", "quenby-3.jpg")
    done = "reported done: {by: yard, on: 2026-03-02, photo: quenby-3.jpg}"
    body = _section(
        "Riser", "finding", "severity: settle", "photos: [quenby-2.jpg: riser, quenby-1.jpg: boat]", done
    )
    made_ = _report(tmp_path, body, photos=["quenby-1.jpg"])
    assert [p.name for p in made_.photos] == ["photo-01"]
    names = [p.name for p in report.photos_of(made_)]
    assert sorted(set(names)) == ["photo-01", "photo-02", "photo-03"]
    files = [made_.photo_files[name].path.name for name in names]
    assert files == ["quenby-1.jpg", "quenby-2.jpg", "quenby-1.jpg", "quenby-3.jpg"]


def test_low_cost_is_never_above_high(tmp_path: Path) -> None:
    """Where a cap turns a finding's share of supplies round, its range is put in order for the reader."""
    front = PRICE | {"rates": {"labour": 100, "supplies": "10 %", "supplies cap": 30}}
    body = _section("A", "finding", "severity: settle", "repair: {labour: 1 h}")
    body += _section("B", "finding", "severity: settle", "repair: {labour: 1 / 2 / 50 h}")
    for listed in _report(tmp_path, body, **front).findings:
        assert listed.cost is not None
        assert listed.cost.low <= listed.cost.likely <= listed.cost.high


def test_bare_survey_claims_nothing(tmp_path: Path) -> None:
    """Without findings, readings and prices there is no estimate; the general caution stands all the same."""
    bare = made.tiny(tmp_path)
    assert (bare.estimate, bare.settlement, bare.hull_number, bare.findings) == (None, None, None, ())
    assert bare.valuation is None
    assert bare.headline.startswith("No use limit was found in what was inspected.")
    assert [c.hazard for c in bare.cautions][-1] == "general"


def test_report_is_frozen(tmp_path: Path) -> None:
    """Nothing after the building can change it."""
    with pytest.raises(dataclasses.FrozenInstanceError):
        made.tiny(tmp_path).slug = "x"  # type: ignore[misc]


def test_the_writer_is_told_in_english_whatever_the_report_speaks(tmp_path: Path) -> None:
    """A message that holds words of the report is whole English, and told once."""
    vessel = {"vessel": {"type": "sailing yacht", "found": {"hull number": "NZ-ZZS4O118K617"}}}
    survey = notes.read(made.write(tmp_path / "boat", made.TINY | vessel), Problems())
    assert survey is not None
    told: dict[str, list[str]] = {}
    for language in ("en", "de"):
        problems = Problems()
        with wording.speaking(language):
            made_ = report.build(survey, problems)
        told[language] = [str(p) for p in problems]
        assert made_.headline.startswith("In dem") == (language == "de")
    assert any("letter O" in line for line in told["en"])
    assert told["de"] == told["en"]
