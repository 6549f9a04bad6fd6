"""Oil analysis by the laboratory's figures, the one published table, and the trend over samples.

The published rows are those of a heavy-duty diesel maker's single-sample table and of an owners' guide.

Not computed: OIL-M (which standard method measures what), for the laboratory's sheet names its own; the table
itself misprints one of them, D7953 for D7593.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reportgen.blocks.vessel import Engine
from reportgen.kind import About, Assessment
from reportgen.oiltable import heavy_duty
from tests.kinds.noted import FOUR_STROKE, assessed, mistakes

DIESEL = About(Engine(fuel="diesel"))


def sampled(columns: str, *rows: str, more: str = "", about: About = DIESEL) -> Assessment:
    """Give what samples come out as; columns and rows without the outer bars, the sample's name first."""
    lines = [f"| sample | {columns} |", "|---" * (columns.count("|") + 2) + "|", *(f"| {r} |" for r in rows)]
    return assessed("kind: oil-analysis\n" + more + "\n".join(lines), about, ("port", "starboard"))


def one(column: str, value: str, more: str = "heavy duty: older\n", about: About = DIESEL) -> Assessment:
    """Give what a single figure of a single sample comes out as."""
    return sampled(column, f"2026-05-03 | {value}", more=more, about=about)


# Source: heavy-duty diesel maker's single-sample table (rows OIL-soot, -water, -iron, -sodium, -potassium,
# both groups; OIL-fuel_dilution, -aluminium, -silicon and -lead _older and _newer; OIL-copper_newer;
# printed).
PRINTED = [
    ("soot", "older", 4.5, "%"),
    ("soot", "newer", 4.5, "%"),
    ("water", "older", 3000, "ppm"),
    ("water", "newer", 3000, "ppm"),
    ("iron", "older", 200, "ppm"),
    ("iron", "newer", 200, "ppm"),
    ("fuel", "newer", 7, "%"),
    ("fuel", "older", 2.5, "%"),
    ("aluminium", "older", 30, "ppm"),
    ("aluminium", "newer", 50, "ppm"),
    ("silicon", "older", 30, "ppm"),
    ("silicon", "newer", 50, "ppm"),
    ("copper", "newer", 50, "ppm"),
    ("lead", "older", 30, "ppm"),
    ("lead", "newer", 10, "ppm"),
    ("sodium", "older", 100, "ppm"),
    ("sodium", "newer", 100, "ppm"),
    ("potassium", "older", 150, "ppm"),
    ("potassium", "newer", 150, "ppm"),
]


@pytest.mark.parametrize(
    ("of", "group", "value", "unit"), PRINTED, ids=[f"OIL-{of}_{group}" for of, group, _, _ in PRINTED]
)
def test_published_row(of: str, group: str, value: float, unit: str) -> None:
    """Each printed row: equal to it and just below are within, just above is outside."""
    more = f"heavy duty: {group}\n"
    assert one(f"{of} ({unit})", f"{value}", more).outcome == "within"
    assert one(f"{of} ({unit})", f"{value * 0.999:.4f}", more).outcome == "within"
    assert one(f"{of} ({unit})", f"{value * 1.001:.4f}", more).outcome == "outside"


# Source: the same table, row OIL-viscosity_15W40_min.
@pytest.mark.parametrize(
    ("oil", "viscosity", "outcome"),
    [
        ("15W-40", "12.5", "within"),
        ("15w-40, invented", "12.4", "outside"),
        ("10W-30", "9", "no limit applies"),
    ],
)
def test_least_viscosity(oil: str, viscosity: str, outcome: str) -> None:
    """12.5 cSt is asked of 15W-40 only; of another grade nothing is."""
    assert one("viscosity", viscosity, f"heavy duty: newer\noil: {oil}\n").outcome == outcome


# Source: cases worked out from the table's rules (rows OILC-1 and OILC-3 to OILC-8).
@pytest.mark.parametrize(
    ("column", "value", "group", "outcome"),
    [
        ("water (%)", "0.35", "older", "outside"),
        ("iron (ppm)", "210", "newer", "outside"),
        ("iron (ppm)", "120", "newer", "within"),
        ("glycol", "positive", "older", "outside"),
        ("fuel (%)", "3.0", "older", "outside"),
        ("fuel (%)", "3.0", "newer", "within"),
        ("lead (ppm)", "15", "newer", "outside"),
    ],
    ids=["OILC-1", "OILC-3", "OILC-4", "OILC-5", "OILC-6", "OILC-7", "OILC-8"],
)
def test_worked_case(column: str, value: str, group: str, outcome: str) -> None:
    """0.3 % of water is 3000 ppm; glycol is over at any level; the groups differ."""
    assert one(column, value, f"heavy duty: {group}\n").outcome == outcome


# Source: diesel owners' club explanation (row OIL-G): iron about 100 ppm, half of the maker's figure.
def test_owners_guide_is_shown_and_not_judged() -> None:
    """120 ppm of iron is over the guide's 100 and within the maker's 200; the guide stands beside it."""
    found = one("iron (ppm)", "120")
    assert found.outcome == "within"
    [guide] = found.criteria
    for figure in ("iron about 100 ppm", "about 50 ppm", "3 %", "0.1 %", "0.5 %", "no glycol"):
        assert figure in guide
    assert not one("iron (ppm)", "120", "", FOUR_STROKE).criteria


def test_only_rows_of_the_table_have_limits() -> None:
    """The table asks nothing of tin or chromium, nor of copper in the older group."""
    for column in ("tin", "chromium", "copper"):
        assert one(f"{column} (ppm)", "900").outcome == "no limit applies"
    assert {li.of for li in heavy_duty("older")} == {
        "iron", "sodium", "potassium", "water", "soot", "fuel", "aluminium", "silicon", "lead", "glycol",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("more", "about", "why"),
    [
        ("", DIESEL, "laboratory's figures"),
        ("heavy duty: older\n", FOUR_STROKE, "told to run on gasoline"),
        ("heavy duty: older\n", About(), "what it runs on is not told"),
    ],
)
def test_table_needs_its_conditions(more: str, about: About, why: str) -> None:
    """The table is for diesels whose group is told; else no limit applies, and the reason is given."""
    found = one("iron (ppm)", "900", more, about)
    assert found.outcome == "no limit applies"
    assert why in found.because


LABORATORY = 'limit: {maximum: {iron: 110 ppm}, no glycol: yes, source: "invented sheet 2"}\n'


@pytest.mark.parametrize(
    ("iron", "outcome"), [("110", "within"), ("110.1", "outside"), ("0.0110 %", "within"), ("<5", "within")]
)
def test_laboratory_goes_before_the_table(iron: str, outcome: str) -> None:
    """The laboratory's figure replaces the table's of the same column, in any unit."""
    found = one("iron (ppm)", iron, f"heavy duty: older\n{LABORATORY}")
    assert found.outcome == outcome
    assert [(j.limit.value, j.limit.origin) for j in found.judged] == [(110.0, "note")]


def test_laboratory_and_table_side_by_side() -> None:
    """Columns for which the laboratory gives nothing keep the table's figure."""
    found = sampled(
        "iron (ppm) | lead (ppm)", "2026-05-03 | 90 | 45", more=f"heavy duty: older\n{LABORATORY}"
    )
    assert {j.limit.of: j.limit.origin for j in found.judged} == {"iron": "note", "lead": "general"}
    assert any("one maker's heavy-duty engines" in s for s in found.says)


@pytest.mark.parametrize(
    ("word", "outcome"),
    [
        ("negative", "within"),
        ("Not detected", "within"),
        ("positive, strong", "outside"),
        ("trace", "outside"),
        ("", "not taken"),
        ("not taken: no kit", "not taken"),
    ],
)
def test_glycol_in_words(word: str, outcome: str) -> None:
    """Glycol is told by a word; none is asked for at any level, and a gap is never within."""
    found = one("iron (ppm) | glycol", f"80 | {word}", LABORATORY)
    assert found.outcome == outcome
    if outcome == "outside":
        assert "glycol: found; invented sheet 2 allows none" in found.because
        assert any(s.values.endswith("glycol: found") for s in found.working)
        assert any("coolant in the oil; to be confirmed" in s for s in found.suggests)


def test_glycol_in_other_words_is_told() -> None:
    """A word that is no result is a gap, and the writer is told what to write."""
    found = one("iron (ppm) | glycol", "80 | milky", LABORATORY)
    assert found.outcome == "not taken"
    [(told, advice)] = found.warnings
    assert told == "2026-05-03, glycol: 'milky' is neither negative nor positive"
    assert advice == "write negative or positive"


TWO = ("2025-05-01 | 100 | 40 | 12", "2026-05-03 | 80 | 60 | 30")


def test_newest_sample_is_judged() -> None:
    """Rows are put in the order of their dates; an older one that was beyond is told and does not decide."""
    rows = ("2026-05-03 | 90", "2024-04-01 | 180", "2025-04-01 | 95")
    found = sampled("iron (ppm)", *rows, more=LABORATORY)
    assert found.outcome == "within"
    assert "Earlier samples beyond the same figures: 2024-04-01, iron." in found.says
    assert dict(found.outcomes)["2024-04-01, iron"] == "outside"
    assert found.chart is not None
    assert [r[0] for r in found.chart.table.rows] == ["2024-04-01", "2025-04-01", "2026-05-03"]


def test_gap_in_the_newest_is_never_within() -> None:
    """A gap of an older sample changes nothing; one of the newest leaves it not taken."""
    assert sampled("iron (ppm)", "2025-04-01 | ", "2026-05-03 | 90", more=LABORATORY).outcome == "within"
    assert sampled("iron (ppm)", "2025-04-01 | 80", "2026-05-03 | ", more=LABORATORY).outcome == "not taken"


def test_below_detection() -> None:
    """`<150` does not show that 110 is kept, so that it is a gap; `<5` does."""
    assert one("iron (ppm)", "<150", LABORATORY).outcome == "not taken"
    assert one("iron (ppm)", "<5", LABORATORY).outcome == "within"


def test_wear_per_100_hours() -> None:
    """40 ppm in 100 h is 40 per 100 h, 60 ppm in 80 h is 75."""
    found = sampled("hours on oil | iron (ppm) | sodium (ppm)", *TWO)
    rates = [(s.step, s.result, s.unit) for s in found.working]
    assert rates == [
        ("iron of 2025-05-01 per 100 h on oil", "40", "ppm"),
        ("iron of 2026-05-03 per 100 h on oil", "75", "ppm"),
    ]
    assert not sampled("hours on oil | iron (ppm)", "2026-05-03 | 0 | 60").working


# Source: ASTM D5185, 5.2 (row OIL-T): a jump in sodium, potassium or boron suggests coolant.
@pytest.mark.parametrize(
    ("before", "now", "jump"),
    [("12", "24", True), ("12", "23.9", False), ("0", "9", False), ("<5", "10", True), ("40", "<100", False)],
)
@pytest.mark.parametrize("column", ["sodium", "potassium", "boron"])
def test_jump_suggests_coolant(column: str, before: str, now: str, jump: bool) -> None:
    """Twice the figure before, and 10 ppm, is a jump; a value below detection shows none."""
    found = sampled(f"{column} (ppm)", f"2025-05-01 | {before}", f"2026-05-03 | {now}")
    assert any("coolant or sea water" in s and column in s for s in found.suggests) is jump


def test_each_engine_has_its_own_trend() -> None:
    """Columns that begin with an engine's name are compared with themselves, glycol in words as well."""
    found = sampled(
        "port sodium (ppm) | starboard sodium (ppm) | port glycol | starboard glycol",
        "2025-05-01 | 10 | 11 | negative | negative",
        "2026-05-03 | 12 | 60 | negative | positive",
        more=LABORATORY,
    )
    assert "starboard sodium from 11 ppm to 60 ppm" in found.suggests[0]
    assert "port sodium" not in found.suggests[0]
    assert found.judged[0].where == ("2026-05-03, starboard glycol",)


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        (["2026-05-03 | 90 | 50"], "One sample is a baseline"),
        (["2025-05-03 | 90 | 50", "2026-05-03 | 6 | 9"], "less than 10 h"),
        (["2025-05-03 | 90 | 50", "2026-05-03 | | 9"], "Hours on oil are not stated for 2026-05-03"),
        (["first | 90 | 50", "second | 90 | 9"], "the last row is taken as the newest"),
    ],
)
def test_what_is_said_of_the_samples(rows: list[str], said: str) -> None:
    """A first sample, fresh oil, hours not told and rows without dates are said."""
    found = sampled("hours on oil | iron (ppm)", *rows)
    assert any(said in s for s in found.says)
    assert any("One sample is no verdict" in s for s in found.says)


def test_what_no_oil_holds_is_a_slip() -> None:
    """Less than nothing and more than all are not taken, told, and not drawn."""
    found = sampled("iron (ppm) | water (%)", "2026-05-03 | -4 | 130", more=LABORATORY)
    assert found.outcome == "not taken"
    assert len(found.warnings) == 2


def _names(chart: Any) -> list[str]:
    return [panel["name"] for panel in chart.data["panels"]]


def test_charts() -> None:
    """Dated samples make a trend, what is outside drawn first of too many; a single one makes bands."""
    names = ["iron", "copper", "lead", "tin", "aluminium", "chromium", "nickel", "silicon"]
    head = " | ".join(f"{n} (ppm)" for n in names)
    rows = [f"{year}-05-03 | " + " | ".join(["4"] * 7 + ["40"]) for year in (2025, 2026)]
    limit = 'limit: {maximum: {silicon: 20 ppm}, source: "invented sheet 2"}\n'
    chart = sampled(head, *rows, more=limit).chart
    assert chart is not None
    assert chart.form == "trend"
    assert _names(chart) == ["iron", "copper", "lead", "tin", "aluminium", "silicon"]
    single = one("iron (ppm) | water (%)", "90 | 0.1", LABORATORY).chart
    assert single is not None
    assert (single.form, [r["high"] for r in single.data["rows"]]) == ("band", [110.0])
    assert single.table.header == ("sample", "iron (ppm)", "water (%)")
    for column, unit in (("water", "%"), ("viscosity", "cSt"), ("base number", "mg KOH/g")):
        other = one(f"{column}", "9").chart
        assert other is not None
        assert (other.data["unit"], other.data["rows"][0]["value"]) == (unit, 9.0)


def test_nonsense_is_told() -> None:
    """A column that isn't known gets the nearest name, a unit that is none its place."""
    told = mistakes(
        "kind: oil-analysis\n| sample | aluminum (ppm) | iron (psi) |\n|---|---|---|\n| a | 1 | 2 |\n"
    )
    assert "write aluminium" in told[0]
    assert "psi" in told[1]
    assert (
        "limit for 'tim'" in mistakes('kind: oil-analysis\nlimit: {maximum: {tim: 4 ppm}, source: "x"}\n')[0]
    )


@given(st.floats(0, 5000), st.sampled_from(["older", "newer"]))
def test_more_iron_is_never_better(iron: float, group: str) -> None:
    """Whatever the figure, twice as much is not within where it was outside."""
    more = f"heavy duty: {group}\n"
    less, twice = one("iron (ppm)", f"{iron:.3f}", more), one("iron (ppm)", f"{2 * iron:.3f}", more)
    assert (less.outcome, twice.outcome) != ("outside", "within")
    assert (less.outcome == "within") == (round(iron, 3) <= 200)


def test_rates_are_given_for_the_two_newest_samples() -> None:
    """50 ppm in 100 h, 90 in 150 and 30 in 50: the older one is history. Those are 60 and 60 per 100 h."""
    rows = (
        "2023-05-01 | 50 | 100",
        "2024-05-01 | 90 | 150",
        "2025-05-01 | 30 | 50",
    )
    found = sampled("iron (ppm) | hours on oil (h)", *rows)
    rates = [(s.step, s.result) for s in found.working if "per 100 h" in s.step]
    assert rates == [
        ("iron of 2024-05-01 per 100 h on oil", "60"),
        ("iron of 2025-05-01 per 100 h on oil", "60"),
    ]
