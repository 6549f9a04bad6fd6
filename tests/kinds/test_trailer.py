"""Trailers: tyre ages by date code, tread where a rule applies, placard, plate, and figures of the note.

Outside checks: the printed example and rule of 49 CFR 574.5 (ages), 2/32 in of 49 CFR 393.75; both read as
quoted word for word. For tongue weight, hubs and the age of tyres the sources disagree and nothing is judged.
"""

from __future__ import annotations

from datetime import date

import pytest

from reportgen.kind import About
from reportgen.kinds.trailer import KIND
from tests.kinds.noted import assessed, mistakes

SOURCE = 'source: "invented leaflet 2"'
ON = About(counted_on=date(2026, 5, 12))
HEAD = "| tyre | tread (32nds) | pressure (psi) | hub (°F) |\n|---|---|---|---|\n"


def fence(keys: str = "", rows: str = "", head: str = HEAD) -> str:
    """Give a fence, with its table if there are rows."""
    return f"kind: trailer\n{keys}" + (f"{head}{rows}\n" if rows else "")


def outcome(keys: str = "", rows: str = "", head: str = HEAD) -> str:
    """Give the outcome."""
    return assessed(fence(keys, rows, head), ON).outcome


# cfr-49-574.5, printed: 0109 is the week beginning on Sunday, January 4, 2009.
@pytest.mark.parametrize(
    ("on", "expected"), [("2019-01-04", "within"), ("2019-01-05", "outside"), ("2019-01-03", "within")]
)
def test_age_by_the_printed_code(on: str, expected: str) -> None:
    """Ten years after that Sunday the tyre is ten years old, the day after it is older."""
    keys = f"codes: {{left: 0109}}\ncounted on: {on}\nlimit: {{age: 10 years, {SOURCE}}}\n"
    assert outcome(keys) == expected


def test_age_is_not_judged_without_the_notes_figure() -> None:
    """A tyre of 20 years has no published limit; what is told of ages is common practice."""
    found = assessed(fence("codes: {left: 0106}\n"), ON)
    assert found.outcome == "no limit applies"
    assert [s.result for s in found.working] == ["20.4"]
    assert any("common practice, no source" in c for c in found.criteria)


# tyre-date-three-figures, printed: a code of three figures leaves the decade open.
@pytest.mark.parametrize(("age", "expected"), [(25, "outside"), (26, "not taken"), (40, "not taken")])
def test_three_figures(age: int, expected: str) -> None:
    """On 2026-05-12 such a tyre is at least 25.9 years old: judged only where that is too much."""
    keys = f"codes: {{left: 031, right: 2319}}\nlimit: {{age: {age} years, {SOURCE}}}\n"
    found = assessed(fence(keys), ON)
    assert found.outcome == expected
    told = "over 25.9" if expected == "outside" else "decade open"
    assert told in str(found)
    alone = assessed(fence("codes: {left: 031}\n"), ON)
    assert alone.outcome == "no limit applies"
    assert alone.chart is not None
    assert alone.chart.table.rows == (("left", "over 25.9"),)


# cfr-49-393.75(c), printed: at least 2/32 of an inch; (b), 4/32, is for front wheels of powered vehicles.
@pytest.mark.parametrize(
    ("tread", "unit", "expected"),
    [
        ("2", "32nds", "within"),
        ("1.9", "32nds", "outside"),
        ("3", "32nds", "within"),
        ("1.5875", "mm", "within"),
        ("1.58", "mm", "outside"),
        ("0.0625", "in", "within"),
    ],
)
def test_tread_of_commercial_trailers(tread: str, unit: str, expected: str) -> None:
    """2/32 in is judged where the rule is told to apply, in any unit."""
    head = f"| tyre | tread ({unit}) |\n|---|---|\n"
    assert outcome("commercial: yes\n", f"| left | {tread} |", head) == expected


@pytest.mark.parametrize("told", ["", "commercial: no\n"])
def test_tread_of_private_trailers(told: str) -> None:
    """A bald private tyre is not judged by the rule for commercial vehicles, which is shown instead."""
    found = assessed(fence(told, "| left | 1 | - | - |"), ON)
    assert found.outcome == "no limit applies"
    assert "393.75" in found.criteria[0]


def test_note_replaces_the_general_tread() -> None:
    """The note's figure for tread is the only one judged."""
    keys = f"commercial: yes\nlimit: {{minimum: {{tread: 4}}, {SOURCE}}}\n"
    found = assessed(fence(keys, "| left | 3 | - | - |"), ON)
    assert [(j.limit.value, j.limit.origin, j.outcome) for j in found.judged] == [(4.0, "note", "outside")]


@pytest.mark.parametrize(
    ("pressure", "placard", "expected"),
    [
        ("50", "50 psi", "within"),
        ("49.9", "50 psi", "outside"),
        ("50", "344 kPa", "within"),
        ("50", "345 kPa", "outside"),
    ],
)
def test_placard(pressure: str, placard: str, expected: str) -> None:
    """Cold tyres hold at least what the placard says, in either unit."""
    assert outcome(f"placard: {placard}\ncold: yes\n", f"| left | 6 | {pressure} | - |") == expected


@pytest.mark.parametrize(
    ("told", "word"), [("cold: no\n", "were not taken cold"), ("", "not said to be cold")]
)
def test_warm_pressures_are_not_held_against_the_placard(told: str, word: str) -> None:
    """A warm tyre reads higher, so that nothing is within by it."""
    found = assessed(fence(f"placard: 50 psi\n{told}", "| left | 6 | 55 | - |"), ON)
    assert found.outcome == "no limit applies"
    assert any(word in s for s in found.says)


@pytest.mark.parametrize(
    ("loaded", "rating", "expected"),
    [
        ("4500 lb", "4500 lb", "within"),
        ("4501 lb", "4500 lb", "outside"),
        ("2041 kg", "4500 lb", "within"),  # 4499.6 lb
        ("2042 kg", "4500 lb", "outside"),  # 4501.8 lb
    ],
)
def test_weight_against_the_plate(loaded: str, rating: str, expected: str) -> None:
    """The loaded trailer weighs no more than its plate allows."""
    assert outcome(f"loaded: {loaded}\nrating: {rating}\n") == expected


# trailer-weight, printed: a trailer of 3,000 lb has no less than 150 and no more than 300 lb on the tongue.
@pytest.mark.parametrize(
    ("tongue", "expected"), [(150, "within"), (300, "within"), (149, "outside"), (301, "outside")]
)
def test_tongue_by_the_printed_example(tongue: int, expected: str) -> None:
    """5 and 10 % of 3,000 lb are the manual's 150 and 300 lb; judged where the note brings the figure."""
    limit = f"limit: {{within: {{tongue: [5 %, 10 %]}}, {SOURCE}}}\n"
    weights = f"loaded: 3000 lb\ntongue: {tongue} lb\n"
    assert outcome(weights + limit) == expected
    assert outcome(weights) == "no limit applies"


def test_gap_is_never_within() -> None:
    """What a limit is for and nobody measured leaves the whole not taken."""
    age = f"limit: {{age: 10 years, {SOURCE}}}\n"
    assert outcome(f"codes: {{left: 2319}}\n{age}", "| left | 6 | - | - |") == "within"
    assert (
        outcome(f"codes: {{left: 2319}}\n{age}", "| left | 6 | - | - |\n| right | 6 | - | - |") == "not taken"
    )
    assert outcome(f"codes: {{left: 2319, right: -}}\n{age}") == "not taken"
    assert outcome("rating: 4500 lb\n") == "not taken"
    assert outcome("rating: 4500 lb\n", "| left | 6 | 50 | - |") == "not taken"
    assert outcome("placard: 50 psi\ncold: yes\nloaded: 3000 lb\nrating: 4500 lb\n") == "not taken"
    assert outcome("commercial: yes\n", "| left | 3 | - | - |\n| right | - | - | - |") == "not taken"
    assert outcome("commercial: yes\n", "| left | 1 | - | - |\n| right | - | - | - |") == "outside"


def test_gap_elsewhere_does_not_touch_another_limit() -> None:
    """A hub not read has no part in a limit for ages."""
    assert (
        outcome(f"codes: {{a: 2319}}\nlimit: {{age: 10 years, {SOURCE}}}\n", "| a | 6 | 50 | - |") == "within"
    )


def test_hubs_are_compared_in_one_unit() -> None:
    """The difference of two hubs is told in the hottest one's unit; a limit of the note is judged."""
    rows = "| left | - | - | 86 |\n| right | - | - | 40 °C |"
    found = assessed(fence("", rows), ON)
    assert any("right, hub, is 10 °C over the coolest, left, hub" in s for s in found.says)
    limit = f"limit: {{maximum: {{hub: 104 °F}}, {SOURCE}}}\n"
    assert outcome(limit, rows) == "within"
    assert outcome(limit.replace("104", "103"), rows) == "outside"


@pytest.mark.parametrize(
    ("keys", "rows", "told"),
    [
        ("loaded: 0 lb\n", "", "loaded: 0 lb can't be right"),
        ("loaded: 300 lb\ntongue: 300 lb\n", "", "tongue weighs as much as the loaded trailer"),
        ("", "| a | -1 | - | - |", "a, tread: -1 thirty-seconds of an inch can't be right"),
        ("codes: {a: 2330}\n", "", "a: code 2330 is of 2030-06-09, after the day counted on"),
        ("codes: {a: 2016}\n", "", "a: 2016 is read as a code, week 20 of 2016, not as a year"),
        ("codes: {b: 2319}\n", "| a | 1 | - | - |", "codes name b, which the table has not"),
    ],
)
def test_slips_are_told(keys: str, rows: str, told: str) -> None:
    """What can't be is not judged, and the writer is told."""
    assert assessed(fence(keys, rows), ON).warnings[0][0] == told


@pytest.mark.parametrize("code", ["5319", "231", "19", "DOT2319"])
def test_codes_that_cannot_be(code: str) -> None:
    """A week that the year has not, or too few figures, is a mistake; three figures need their week too."""
    text = fence(f"codes: {{a: {code}}}\n")
    if code == "231":
        assert not mistakes(text)
    else:
        assert len(mistakes(text)) == 1


def test_chart_and_table() -> None:
    """Bars are ages with the note's line; the table has treads, pressures, hubs and ages, outside marked."""
    chart = assessed(KIND.example).chart
    assert chart is not None
    assert chart.title == "Age of tyres, years"
    assert [line["value"] for line in chart.data["limits"]] == [10.0]
    assert chart.data["outside"] == ("spare",)
    assert not [label for label in chart.data["labels"] if "age" in label]
    assert chart.table.header[-1] == "age (years)"
    assert chart.table.rows[2] == ("spare", "8", "52", "not taken", "15.2, outside")
    weights = assessed(fence("loaded: 3000 lb\nrating: 3500 lb\n")).chart
    assert weights is not None
    assert [line["value"] for line in weights.data["limits"]] == [3500.0]


def test_shares_and_what_is_left_are_worked_out() -> None:
    """265 of 4,180 lb are 6.34 %; from 4,180 to 4,500 lb there are 320."""
    found = assessed(fence("loaded: 4180 lb\ntongue: 265 lb\nrating: 4500 lb\n"), ON)
    assert [(s.step, s.values, s.result, s.unit) for s in found.working[:2]] == [
        ("share on the tongue", "265 lb / 4180 lb", "6.34", "%"),
        ("left to the rating", "4500 lb - 4180 lb", "320", "lb"),
    ]


def test_what_a_trailer_lacks_is_said() -> None:
    """Placard, rating and how far it was towed decide what the figures mean."""
    rows = "| left | 8 | 50 | 101 |\n| right | 8 | 50 | 119 |"
    said = assessed(fence("loaded: 4180 lb\n", rows), ON).says
    for sentence in (
        "What pressure the placard asks for is not stated.",
        "The gross weight rating of the plate is not stated.",
        "The hottest, right, hub, is 18 °F over the coolest, left, hub.",
        "How far it was towed before the hubs were read is not stated.",
    ):
        assert sentence in said
    whole = "loaded: 4180 lb\nrating: 4500 lb\nplacard: 50 psi\ncold: yes\ntowed: 12 mi\nair: 70 °F\n"
    told = assessed(fence(whole, rows), ON).says
    assert not [s for s in told if "not stated" in s]
    assert "The air while towing: 70 °F." in told
    assert not [s for s in assessed(fence("", "| left | 8 | - | 101 |"), ON).says if "hottest" in s]


def test_tongue_without_the_loaded_weight_is_a_gap() -> None:
    """A share needs both weights; one by itself is told as missing the other."""
    assert assessed(fence("tongue: 265 lb\n"), ON).outcomes == (("tongue", "not taken"),)
    assert "tongue" not in dict(assessed(fence("loaded: 4180 lb\n"), ON).outcomes)


def test_tyre_of_the_week_of_the_report_has_its_age() -> None:
    """Week 19 of 2026 begins on Sunday, May 10, two days before the day that is counted on."""
    assert [s.result for s in assessed(fence("codes: {left: 1926}\n"), ON).working] == ["0.00548"]
    on_it = About(counted_on=date(2009, 1, 4))
    assert [s.result for s in assessed(fence("codes: {left: 0109}\n"), on_it).working] == ["0"]


def test_code_that_is_no_year_is_left_alone() -> None:
    """Only a code that begins as a year does may be one."""
    assert not assessed(fence("codes: {a: 2119, b: 1920}\n", ""), ON).warnings
