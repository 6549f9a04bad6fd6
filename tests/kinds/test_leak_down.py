"""Leak-down: judged only by the maker's figure; what the trade goes by is shown and not judged.

Not computed: LKD-O1 and LKD-O2 (bore of the restrictor in an aircraft tester), since no tester's restrictor
is in a note; the page says that percentages of two testers compare only roughly.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reportgen.blocks.vessel import Engine
from reportgen.kind import About, Assessment
from reportgen.kinds.leak_down import EXAMPLE
from tests.kinds.noted import assessed, mistakes

SOURCE = "source: invented manual 7B"


def percent(*values: float | str, limit: str = "", more: str = "", about: About | None = None) -> Assessment:
    """Give the assessment of percentages lost, with the note's maximum and further lines."""
    cells = ", ".join(f"{n}: {v}" for n, v in enumerate(values, 1) if v != "gap")
    text = f"kind: leak-down\nunit: '%'\ncylinders: {{{cells}}}\n{more}\n"
    return assessed(text + (f"limit: {{maximum: {limit}, {SOURCE}}}\n" if limit else ""), about or About())


# Source: the aircraft circular's 80 psi supply, as quoted in three pages (rule read, cases ours)
LOSS = [
    ("LKD-P1", 78, 2.5),
    ("LKD-P2", 76, 5.0),
    ("LKD-P3", 72, 10.0),
    ("LKD-P4", 70, 12.5),
    ("LKD-P5", 65, 18.75),
    ("LKD-P6", 60, 25.0),
    ("LKD-P7", 59, 26.25),
]


@pytest.mark.parametrize(("held", "lost"), [row[1:] for row in LOSS], ids=[row[0] for row in LOSS])
def test_percent_lost_from_two_gauges(held: float, lost: float) -> None:
    """Percent lost is (supply - held) / supply, exactly, with the working shown."""
    found = assessed(f"kind: leak-down\nunit: psi\nsupply: 80\nheld: {{1: {held}}}")
    [cell] = found.values[0][1]
    assert float(cell.quantity.value) == lost
    first = found.working[0]
    assert (first.values, first.result, first.unit) == (f"(80 - {held}) / 80 × 100", f"{lost:g}", "%")


@pytest.mark.parametrize(("held", "outcome"), [(60, "within"), (59.99, "outside"), (59, "outside")])
def test_sixty_of_eighty_as_a_figure_of_the_note(held: float, outcome: str) -> None:
    """LKD-1, circular as quoted: less than 60 of 80 is over the line, 60 is on it, if a note asks 25 %."""
    text = f"kind: leak-down\nunit: psi\nsupply: 80\nheld: {{1: {held}}}\n"
    assert assessed(f"{text}limit: {{maximum: 25 %, {SOURCE}}}").outcome == outcome


# Source: forum posts and study text, each its own band; LKD-B5 is common practice, no source
@pytest.mark.parametrize(
    ("row", "lost", "band"),
    [
        ("LKD-B1", 4, "under 5 % good"),
        ("LKD-B2", 9, "8 to 10 % a concern"),
        ("LKD-B3", 12, "10 to 15 % generally acceptable"),
        ("LKD-B4", 18, "should not exceed 10 to 20 %"),
        ("LKD-B5", 30, "over 30 % in need of repair (common practice, no source)"),
    ],
)
def test_trade_bands_are_shown_and_not_judged(row: str, lost: float, band: str) -> None:
    """No standards body has a limit, and the bands differ: whatever is lost, no limit applies."""
    found = percent(lost, 80)
    assert found.outcome == "no limit applies"
    assert any(band in line for line in found.criteria), row
    assert found.judged == ()


def test_aircraft_figure_is_named_as_from_another_field() -> None:
    """The circular's 60 of 80 psi is listed, with how it was read, and never applied."""
    [line] = [c for c in percent(60).criteria if "60 of 80" in c]
    assert line.startswith("another field, not applied")


# Source: study page for technicians and a car manual of 2012 (LKD-W)
@pytest.mark.parametrize(
    ("way", "suggests"),
    [
        ("intake", "inlet valve"),
        ("exhaust", "exhaust valve"),
        ("oil filler", "rings or bore"),
        ("coolant", "head gasket"),
        ("next cylinder", "head gasket"),
    ],
)
def test_where_the_air_comes_out(way: str, suggests: str) -> None:
    """Each way out suggests a part, to be confirmed; it is never a diagnosis."""
    [said] = percent(8, 30, more=f"escapes: {{2: {way}}}").suggests
    assert said.startswith("Cylinder 2")
    assert f"suggests {'an ' if 'valve' in suggests else ''}" in said
    assert suggests in said
    assert said.endswith("to be confirmed by opening up.")


def test_two_ways_out_and_a_stray_name() -> None:
    """A cylinder may leak two ways; a name that isn't measured is told."""
    assert len(percent(30, 8, more="escapes: {1: [exhaust, coolant]}").suggests) == 2
    assert "escapes name 7" in percent(30, 8, more="escapes: {7: exhaust}").warnings[0][0]


@pytest.mark.parametrize(
    ("worst", "outcome"), [(15, "within"), (14.9, "within"), (15.1, "outside"), ("not taken", "not taken")]
)
def test_on_beside_and_across_the_maximum(worst: float | str, outcome: str) -> None:
    """On the maker's maximum is within; a gap is never within."""
    assert percent(6, worst, limit="15 %").outcome == outcome
    assert percent(6, worst, "gap", 6, limit="15 %").outcome == (
        "outside" if outcome == "outside" else "not taken"
    )


def test_gauges_of_different_units_and_missing_supply() -> None:
    """Held and supply may have units of their own; without supply nothing can be worked out."""
    mixed = assessed("kind: leak-down\nsupply: 689.475729317 kPa\nheld: {1: 90 psi}")
    assert float(mixed.values[0][1][0].quantity.value) == pytest.approx(10, abs=1e-6)
    for supply in ("", "supply: 0 psi\n"):
        found = assessed(f"kind: leak-down\n{supply}held: {{1: 90 psi}}\nlimit: {{maximum: 20 %, {SOURCE}}}")
        assert (found.outcome, found.chart) == ("not taken", None)
        assert found.because == "The supply pressure is not stated."
        assert "write supply" in found.warnings[0][1]


def test_impossible_values_never_give_within() -> None:
    """More than all, less than nothing, or more held than supplied count as not taken and are told."""
    for found in (
        percent(5, 101, limit="15 %"),
        percent(5, -1, limit="15 %"),
        assessed(
            f"kind: leak-down\nunit: psi\nsupply: 80\nheld: [79, 81]\nlimit: {{maximum: 15 %, {SOURCE}}}"
        ),
    ):
        assert found.outcome == "not taken"
        assert len(found.warnings) == 1


def test_both_forms_at_once_are_told() -> None:
    """A cylinder given as percent and as held uses the percent, shows no other working, and is told."""
    found = assessed("kind: leak-down\nsupply: 80 psi\ncylinders: {1: 9 %}\nheld: {1: 40 psi, 2: 76 psi}")
    assert [c.quantity.value for c in found.values[0][1]] == [9, 5]
    assert [s.step for s in found.working] == ["cylinder 2, lost", "most lost"]
    assert "both as percent and as held" in found.warnings[0][0]


def test_cylinder_that_the_engine_does_not_have() -> None:
    """A fifth cylinder of a four-cylinder engine is judged, and told as a slip; a gap in held is a gap."""
    assert "cylinder 5 beyond" in percent(5, 6, 7, 8, 9, about=About(Engine(cylinders=4))).warnings[0][0]
    found = assessed("kind: leak-down\nunit: psi\nsupply: 100\nheld: {1: 95, 2: not taken no access}")
    assert "Not taken: cylinder 2, no access." in found.says


@pytest.mark.parametrize("limit", ["0 %", "100 %", "120 %"])
def test_limit_that_nothing_could_break_or_keep_is_not_used(limit: str) -> None:
    """Such a figure is a slip: told, and no limit applies."""
    found = percent(5, limit=limit)
    assert (found.outcome, len(found.warnings)) == ("no limit applies", 1)


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("cylinders: {1: 9 psi}", "unit of pressure"),
        ("cylinders: {1: 9}", "no unit"),
        ("held: {1: 9 %}", "unit of share"),
        ("supply: 80 ft", "unit of length"),
        ("escapes: {1: exhuast}", "write exhaust"),
        ("limit: {maximum: 15 %}", "without its source"),
        ("limit: {minimum: 15 %, source: x}", "write maximum"),
    ],
)
def test_nonsense_is_told_with_what_to_write(line: str, told: str) -> None:
    """A unit or word that makes no sense is a mistake of the note, with its line."""
    [said] = mistakes(f"kind: leak-down\n{line}\n")
    assert said.startswith("note.md:2:")
    assert told in said


def test_missing_are_told() -> None:
    """Cylinders up to the engine's number that aren't in the note are not taken, and the chart says so."""
    found = percent(5, 6, about=About(Engine(cylinders=4)))
    assert found.says[:2] == ("Not taken: cylinder 3.", "Not taken: cylinder 4.")
    assert found.chart.data["printed"] == (("5", "6", "not taken", "not taken"),)
    assert assessed("kind: leak-down\nnot taken: no air aboard\n").because == "Not taken: no air aboard."


def test_example_shows_its_working_chart_and_table() -> None:
    """The page prints every step; the limit's line lies at the limit."""
    found = assessed(EXAMPLE)
    assert found.because == ("Most lost is 29 % (cylinder 2), at most 20 % is asked by invented manual 7B.")
    assert [(x["label"], x["value"]) for x in found.chart.data["limits"]] == [
        ("maximum 20 %, invented manual 7B", 20.0)
    ]
    assert found.chart.table.rows == (("1", "6"), ("2", "29, outside"), ("3", "7"), ("4", "5"))
    assert found.chart.alt == "Leak-down, 4 cylinders: 5 to 29 % lost. Outside: cylinder 2."


@given(st.lists(st.integers(0, 1000), min_size=1, max_size=8), st.integers(1, 8))
def test_missing_cylinder_never_gives_within(tenths: list[int], count: int) -> None:
    """Property: whatever was read, an engine with a cylinder more is not within."""
    about = About(Engine(cylinders=len(tenths) + count))
    found = percent(*(v / 10 for v in tenths), limit="15 %", about=about)
    assert found.outcome in ("outside", "not taken")


@given(st.lists(st.integers(1, 99), min_size=1, max_size=6), st.sampled_from(["kPa", "bar", "psi"]))
def test_unit_of_the_gauges_never_changes_an_outcome(held: list[int], unit: str) -> None:
    """Property: the same pair of gauges in another unit loses the same share."""
    text = "kind: leak-down\nunit: {}\nsupply: 100\nheld: {}\nlimit: {{maximum: 20 %, {}}}"
    here, there = (assessed(text.format(u, held, SOURCE)) for u in ("psi", unit))
    assert here.outcome == there.outcome == ("within" if min(held) >= 80 else "outside")
