"""Sea trial: the makers' figures by column and engine, full throttle, two ways, fuel for a distance.

No published limit fits all engines, so there is no general one to check; the arithmetic is checked against
plain kinematics and the unit library.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reportgen.kind import Assessment
from reportgen.kinds.sea_trial import mean_speed
from tests.kinds.noted import assessed, mistakes

SOURCE = "source: invented manual 4A"


def trial(fence: str = "", table: str = "", engines: tuple[str, ...] = ()) -> Assessment:
    """Give the assessment of a trial with further lines of the fence and a table."""
    return assessed(f"kind: sea-trial\n{fence}\n{table}", engines=engines)


def full(rpm: str, limit: str = "within: {full throttle: [5000 rpm, 5800 rpm]}") -> Assessment:
    """Give the assessment of a full-throttle figure against a maker's range."""
    return trial(f"full throttle: {rpm}\nheld: 4 min\nlimit: {{{limit}, {SOURCE}}}\n")


@pytest.mark.parametrize(
    ("rpm", "outcome", "suggests"),
    [
        ("5000 rpm", "within", ""),
        ("5800", "within", ""),
        ("4999 rpm", "outside", "too much propeller"),
        ("5801 rpm", "outside", "too little propeller"),
    ],
)
def test_full_throttle_in_the_makers_range(rpm: str, outcome: str, suggests: str) -> None:
    """On either edge it is within; a revolution beyond is outside, and each side suggests its own causes."""
    found = full(rpm)
    assert found.outcome == outcome
    assert suggests in " ".join(found.suggests)
    assert bool(found.suggests) == bool(suggests)


def test_minutes_held_are_judged_where_asked() -> None:
    """A maker who asks for minutes gets them; not noted, the reading is not taken, never within."""
    limit = f"limit: {{minimum: {{held: 5 min}}, {SOURCE}}}"
    assert trial(f"full throttle: 5300\nheld: 5 min\n{limit}").outcome == "within"
    assert trial(f"full throttle: 5300\nheld: 299 s\n{limit}").outcome == "outside"
    assert trial(f"full throttle: 5300\n{limit}").outcome == "not taken"


def test_each_engine_by_its_own_column() -> None:
    """A limit by column name holds for both engines, and the one that breaks it is named with its step."""
    table = "| rpm | port coolant (°F) | starboard coolant (°F) |\n|---|---|---|\n| 3000 | 172 | 198 |\n"
    limit = f"limit: {{maximum: {{coolant: 190 °F}}, {SOURCE}}}"
    found = trial(limit, table, ("port", "starboard"))
    [judged] = found.judged
    assert (judged.outcome, judged.where, judged.value) == ("outside", ("3000, starboard coolant",), 198.0)
    [panel] = found.chart.data["panels"]  # type: ignore[union-attr]
    assert [s["name"] for s in panel["series"]] == ["port", "starboard"]
    assert panel["outside"] == (("starboard", 3000.0),)


@pytest.mark.parametrize(("celsius", "outcome"), [("87.7", "within"), ("87.9", "outside")])
def test_units_are_held_alike(celsius: str, outcome: str) -> None:
    """190 °F is 87.78 °C: the limit's unit and the column's may differ."""
    table = f"| rpm | coolant (°C) |\n|---|---|\n| 3000 | {celsius} |\n"
    assert trial(f"limit: {{maximum: {{coolant: 190 °F}}, {SOURCE}}}", table).outcome == outcome


def test_no_figure_of_the_maker_is_no_limit() -> None:
    """Without the maker's figures nothing is judged, and the page says why."""
    found = trial("full throttle: 5200", "| rpm | speed (kn) |\n|---|---|\n| 3000 | 15 |\n")
    assert found.outcome == "no limit applies"
    assert "no general one fits all engines" in found.because


def test_step_not_taken_is_never_within() -> None:
    """An empty cell in a judged column leaves the trial not taken; a breach beside it is outside."""
    limit = f"limit: {{maximum: {{coolant: 80 °C}}, {SOURCE}}}"
    rows = "| rpm | coolant (°C) |\n|---|---|\n| 3000 | {} |\n| 5000 | - |\n"
    assert trial(limit, rows.format("71")).outcome == "not taken"
    assert trial(limit, rows.format("81")).outcome == "outside"


# Source: plain kinematics: with a speed v and a steady current c, out + back = (v + c) + (v - c) = 2 v.
@given(st.floats(1, 60), st.floats(0, 20))
def test_current_falls_out_of_the_mean(speed: float, current: float) -> None:
    """Property: a steady current does not change the mean of two ways."""
    assert mean_speed(speed + current, speed - current) == pytest.approx(speed)


def test_two_ways_and_fuel_stand_in_the_working() -> None:
    """The mean and the fuel for a distance are shown with their numbers."""
    table = (
        "| rpm | speed (kn) | speed back (kn) | port fuel flow (L/h) | starboard fuel flow (L/h) |\n"
        "|---|---|---|---|---|\n| 3000 | 15 | 17 | 20 | 28 |\n| 4000 | 20 | - | 30 | - |\n"
    )
    steps = {s.step: (s.values, s.result, s.unit) for s in trial("", table, ("port", "starboard")).working}
    assert steps == {
        "mean speed at 3000": ("(15 kn + 17 kn) / 2", "16", "kn"),
        "fuel for a distance at 3000": ("48 L/h / 16 kn", "3", "L/nmi"),
    }


def test_mean_speed_can_be_judged() -> None:
    """A contract speed is held to the mean, not to the faster way."""
    table = "| rpm | speed (kn) | speed back (kn) |\n|---|---|---|\n| 5000 | 33 | 28 |\n"
    found = trial(f"limit: {{minimum: {{mean speed: 31 kn}}, {SOURCE}}}", table)
    assert (found.outcome, found.judged[0].value) == ("outside", 30.5)


def test_what_is_not_told_is_said() -> None:
    """Load, sea, bottom, minutes and the missing way back are named."""
    said = " ".join(trial("full throttle: 5200").says)
    for word in (
        "How long full throttle was held",
        "Which speeds are means",
        "Load is not stated",
        "Bottom is not stated",
    ):
        assert word in said
    assert "top rpm, propeller and cooling under full load are not proven" in " ".join(
        trial("", "| rpm | speed (kn) |\n|---|---|\n| 900 | 4 |\n").says
    )


def test_range_is_drawn_over_rpm() -> None:
    """The maker's range stands on the axis; without numbered steps the rpm stand in a band."""
    table = "\n| rpm | speed (kn) |\n|---|---|\n| 5200 | 31 |\n"
    limit = f"limit: {{within: {{full throttle: [5000 rpm, 5800 rpm]}}, {SOURCE}}}"
    drawn = trial(f"full throttle: 5200\n{limit}", table).chart
    assert drawn is not None
    assert (drawn.form, drawn.data["band"]["low"], drawn.data["band"]["high"]) == ("curve", 5000.0, 5800.0)
    assert full("5200").chart.form == "band"  # type: ignore[union-attr]


def test_unknown_column_and_limit_are_told() -> None:
    """A column or a limit that isn't read gets the nearest known one."""
    told = mistakes("kind: sea-trial\n| rpm | sped (kn) |\n|---|---|\n| 900 | 4 |\n")
    assert any("unknown column 'sped'; write speed" in t for t in told)
    told = mistakes(f"kind: sea-trial\nlimit: {{maximum: {{colant: 80 °C}}, {SOURCE}}}\n")
    assert any("a limit for 'colant'" in t and "write coolant" in t for t in told)


def test_two_ways_rest_on_a_source_only_where_they_were_run() -> None:
    """One way has no mean, so nothing rests on the method of two."""
    both = "| rpm | speed (kn) | speed back (kn) |\n|---|---|---|\n| 3000 | 15 | 17 |\n"
    one = "| rpm | speed (kn) |\n|---|---|\n| 3000 | 15 |\n"
    assert trial("", both).source_ids == ("sea-trial-two-ways",)
    assert trial("", one).source_ids == ()
    assert trial("full throttle: 5200").values[0][0] == "full throttle"
    assert trial("", one).values == ()
