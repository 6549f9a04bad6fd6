"""Coolant by the note's figures; none that fits all coolants was read, so no published case is checked."""

from __future__ import annotations

import pytest

from reportgen.kind import Assessment
from tests.kinds.noted import assessed, mistakes

NOTE = (
    "limit: {within: {pH: [7.5, 10.5]}, minimum: {nitrite: 300 ppm, glycol: 40 %}, "
    'maximum: {freeze point: -25 °C, chloride: 100 ppm, conductivity: 3 mS/cm}, source: "invented sheet 3"}\n'
)
GOOD = {
    "pH": "8.4",
    "nitrite": "420 ppm",
    "glycol": "45 %",
    "freeze point": "-31 °C",
    "chloride": "20 ppm",
    "conductivity": "2500",
}


def noted(figures: dict[str, str], limit: str = NOTE) -> Assessment:
    """Give what a sample comes out as."""
    keys = "".join(f"{name}: {figure}\n" for name, figure in figures.items())
    return assessed(f"kind: coolant-analysis\n{keys}{limit}")


@pytest.mark.parametrize(
    ("name", "figure", "outcome"),
    [
        ("pH", "7.5", "within"),
        ("pH", "7.49", "outside"),
        ("pH", "10.5", "within"),
        ("pH", "10.51", "outside"),
        ("nitrite", "300", "within"),
        ("nitrite", "299", "outside"),
        ("nitrite", "0.03 %", "within"),
        ("freeze point", "-25 °C", "within"),
        ("freeze point", "-24.9 °C", "outside"),
        ("freeze point", "-13 °F", "within"),
        ("freeze point", "-12 °F", "outside"),
        ("chloride", "100", "within"),
        ("chloride", "100.1", "outside"),
        ("chloride", "<10", "within"),
        ("chloride", "<200", "not taken"),
        ("conductivity", "3000", "within"),
        ("conductivity", "3.01 mS/cm", "outside"),
        ("glycol", "39", "outside"),
    ],
)
def test_each_figure_has_its_own_limit(name: str, figure: str, outcome: str) -> None:
    """On, just inside and just outside each figure; a lower freeze point is the better one."""
    assert noted(GOOD | {name: figure}).outcome == outcome


@pytest.mark.parametrize("name", GOOD)
def test_gap_is_never_within(name: str) -> None:
    """What a limit is for and was not taken leaves the sample not taken, the key written or not."""
    assert noted(GOOD).outcome == "within"
    assert noted({k: v for k, v in GOOD.items() if k != name}).outcome == "not taken"
    found = noted(GOOD | {name: "not taken, strip spoilt"})
    assert found.outcome == "not taken"
    assert any("strip spoilt" in said for said in found.says)


def test_no_limit_without_the_note() -> None:
    """None that fits all coolants is published, and the reason says so."""
    found = noted(GOOD, "")
    assert found.outcome == "no limit applies"
    assert "differ by coolant" in found.because
    assert not found.criteria


@pytest.mark.parametrize(
    ("name", "figure", "said"),
    [
        ("chloride", "180", "sea water"),
        ("conductivity", "9 mS/cm", "sea water"),
        ("pH", "6.9", "spent coolant or exhaust gas"),
        ("nitrite", "100", "spent coolant or exhaust gas"),
        ("freeze point", "-9 °C", "weak mixture"),
    ],
)
def test_what_figures_suggest(name: str, figure: str, said: str) -> None:
    """A figure beyond its limit suggests, and nothing is suggested of a good sample."""
    [suggested] = noted(GOOD | {name: figure}).suggests
    assert said in suggested
    assert not noted(GOOD).suggests


def test_metals_suggest_corrosion() -> None:
    """Iron beyond the laboratory's figure suggests corrosion."""
    limit = 'limit: {maximum: {iron: 20 ppm}, source: "invented sheet 3"}\n'
    assert "corrosion" in noted({"iron": "60"}, limit).suggests[0]
    assert not noted({"iron": "20"}, limit).suggests


@pytest.mark.parametrize(
    ("name", "figure"),
    [
        ("pH", "15"),
        ("glycol", "140 %"),
        ("chloride", "-3"),
        ("freeze point", "-200 °C"),
        ("conductivity", "-1"),
    ],
)
def test_what_no_coolant_has_is_a_slip(name: str, figure: str) -> None:
    """A figure that can't be is not taken, and told."""
    found = noted(GOOD | {name: figure})
    assert found.outcome == "not taken"
    assert "can't be right" in found.warnings[0][0]


def test_strength_is_not_protection() -> None:
    """A freeze point alone says nothing of the inhibitors, and the page says so."""
    told = noted({"freeze point": "-31 °C"}, "").says
    assert any("inhibitors still protect" in s for s in told)
    assert any("Which coolant" in s for s in told)


def test_chart_is_of_one_unit() -> None:
    """A scale has one unit: the one that most figures have, each in the band that its limits leave."""
    found = noted(GOOD)
    assert found.says[0] == (
        "Found beside the chart: acidity 8.4 pH, glycol 45 %, freeze point -31 °C and "
        "conductivity 2500 µS/cm."
    )
    assert [c.name for c in found.values[0][1]][:2] == ["acidity", "glycol"]
    chart = found.chart
    assert chart is not None
    assert chart.data["unit"] == "ppm"
    assert [(r["label"], r["low"], r["high"]) for r in chart.data["rows"]] == [
        ("nitrite", 300.0, None),
        ("chloride", None, 100.0),
    ]
    alone = noted({"freeze point": "-31 °C"}, "").chart
    assert alone is not None
    assert "°C" in alone.title


def test_nonsense_is_told() -> None:
    """Another dimension, an unknown key and a limit for what isn't read are mistakes."""
    told = mistakes(
        'kind: coolant-analysis\npH: 8 psi\nclorid: 4 ppm\nlimit: {maximum: {nitrit: 4 ppm}, source: "x"}\n'
    )
    assert [t.rpartition("; ")[2] for t in told if "clorid" in t] == ["write chloride"]
    assert any("psi" in t for t in told)
    assert any("write nitrite" in t for t in told)
