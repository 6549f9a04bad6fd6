"""Values held against limits: what is within, what a gap and a value below detection do, what is said."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reportgen import bounds, judging, units
from reportgen.cells import Cell, Head, Row, Table
from reportgen.judging import Thing
from reportgen.kind import Judged, overall
from reportgen.limits import Limit
from reportgen.model import Reading
from reportgen.units import Quantity, quantity


def cell(name: str, text: str, unit: str = "psi") -> Cell:
    """Give a cell from `12`, `<12` or nothing."""
    if not text:
        return Cell(name)
    return Cell(name, Quantity(Decimal(text.removeprefix("<")), unit), "", text.startswith("<"))


def thing(name: str, text: str, unit: str = "psi", of: str = "") -> Thing:
    """Give a thing from `12`, `<12` or nothing."""
    return judging.thing(cell(name, text, unit), of)


def limit(side: str, value: float, unit: str = "psi", of: str = "") -> Limit:
    """Give a limit of an invented source."""
    return Limit(side, value, unit, side, "invented manual 4A", "", "note", of)


def held(asked: Limit, *found: Thing) -> str:
    """Give the outcome of things held against one limit."""
    return judging.hold(asked, found).outcome


@pytest.mark.parametrize(
    ("side", "text", "outcome"),
    [
        ("minimum", "100", "within"),
        ("minimum", "100.001", "within"),
        ("minimum", "99.999", "outside"),
        ("maximum", "100", "within"),
        ("maximum", "99.999", "within"),
        ("maximum", "100.001", "outside"),
        ("minimum", "", "not taken"),
        # below detection: within a maximum that lies above it, outside a minimum that does, else a gap
        ("minimum", "<100", "not taken"),
        ("minimum", "<99", "outside"),
        ("minimum", "<101", "not taken"),
        ("maximum", "<100", "within"),
        ("maximum", "<99", "within"),
        ("maximum", "<101", "not taken"),
    ],
)
def test_one_value(side: str, text: str, outcome: str) -> None:
    """On, inside and outside each side, not taken, and below detection on each side of the limit.

    The reading as a whole, and the value by itself, come out as the limit does.
    """
    asked, found = limit(side, 100), thing("1", text)
    assert held(asked, found) == outcome
    judged = judging.judge([asked], [found])
    assert overall(judged) == outcome
    assert judging.outcomes([found], judged) == (("1", outcome),)


def test_a_breach_outweighs_a_gap_and_a_gap_the_rest() -> None:
    """One breach is outside whatever else is missing; one gap is not taken however good the rest is."""
    low, good, gap = thing("1", "90"), thing("2", "150"), thing("3", "")
    assert held(limit("minimum", 100), low, good, gap) == "outside"
    assert held(limit("minimum", 100), good, gap) == "not taken"
    assert held(limit("minimum", 100), good) == "within"
    assert held(limit("minimum", 100)) == "not taken"


def test_worst_is_the_one_nearest_to_breaking() -> None:
    """The lowest decides a minimum, the highest a maximum, in the limit's unit; all that break are named."""
    found = [thing("1", "90"), thing("2", "600", "kPa"), thing("3", "150")]
    low = judging.hold(limit("minimum", 100), found)
    assert (low.name, low.where) == ("2", ("1", "2"))
    assert low.value == pytest.approx(87.02, abs=0.005)
    high = judging.hold(limit("maximum", 1000, "kPa"), found)
    assert (high.name, high.where) == ("3", ("3",))
    assert high.value == pytest.approx(1034.2, abs=0.05)


def test_limit_is_only_for_its_own() -> None:
    """A limit for a column or a name concerns nothing else, and one in another dimension nothing at all."""
    found = [thing("a", "10", of="iron"), thing("b", "90", of="lead"), thing("c", "3", "V")]
    assert judging.judge([limit("maximum", 50, of="lead")], found)[0].where == ("b",)
    assert judging.judge([limit("maximum", 50, of="a")], found)[0].outcome == "within"
    assert judging.judge([limit("maximum", 2, "°C")], found) == ()
    assert judging.judge([limit("maximum", 50, of="tin")], found) == ()
    assert dict(judging.outcomes(found, judging.judge([limit("maximum", 50, of="lead")], found))) == {
        "a": "no limit applies",
        "b": "outside",
        "c": "no limit applies",
    }


TEXTS = st.one_of(
    st.just(""),
    st.decimals(0, 300, places=1).map(str),
    st.decimals(0, 300, places=1).map(lambda d: f"<{d}"),
)
LIMITS = st.lists(st.tuples(st.sampled_from(["minimum", "maximum"]), st.integers(0, 300)), max_size=3)


def _overall(texts: Sequence[str], asked: Sequence[tuple[str, int]], unit: str = "psi") -> str:
    """Give the outcome of values [psi] against limits [psi], all written in `unit`."""
    found = []
    for at, text in enumerate(texts):
        each = thing(str(at), text)
        if each.value is not None and unit != "psi":
            value = Decimal(repr(units.convert(each.value, "psi", unit)))
            each = judging.thing(Cell(each.name, Quantity(value, unit), "", each.below))
        found.append(each)
    limits = [limit(side, units.convert(value, "psi", unit), unit) for side, value in asked]
    return overall(judging.judge(limits, found))


@given(st.lists(TEXTS, max_size=5), LIMITS)
def test_missing_value_never_makes_it_better(texts: list[str], asked: list[tuple[str, int]]) -> None:
    """A value more that was not taken never gives within, and never takes back that it is outside."""
    before, after = _overall(texts, asked), _overall([*texts, ""], asked)
    assert after != "within"
    assert (before == "outside") == (after == "outside")


@given(st.lists(TEXTS, min_size=1, max_size=5), LIMITS, st.integers(0, 4))
def test_taking_a_value_out_never_makes_it_better(
    texts: list[str], asked: list[tuple[str, int]], at: int
) -> None:
    """The same with a value that was there: without it a reading is never within."""
    less = ["" if n == at % len(texts) else text for n, text in enumerate(texts)]
    assert _overall(less, asked) != "within"


@given(st.lists(TEXTS, min_size=1, max_size=5), LIMITS, st.sampled_from(["kPa", "bar", "inHg", "mbar"]))
def test_units_never_change_the_outcome(texts: list[str], asked: list[tuple[str, int]], unit: str) -> None:
    """Values and limits in another unit come out the same; on the limit the rounding is taken up."""
    assert _overall(texts, asked, unit) == _overall(texts, asked)


@given(st.lists(TEXTS, min_size=1, max_size=4), LIMITS)
def test_each_value_agrees_with_the_whole(texts: list[str], asked: list[tuple[str, int]]) -> None:
    """The reading is outside if a value is, and within only if each of its values is."""
    found = [thing(str(at), text) for at, text in enumerate(texts)]
    judged = judging.judge([limit(*a) for a in asked], found)
    each = {outcome for _, outcome in judging.outcomes(found, judged)}
    assert (overall(judged) == "outside") == ("outside" in each)
    if overall(judged) == "within":
        assert each == {"within"}


@given(st.floats(0.001, 1e6), st.floats(0.001, 1e6), st.sampled_from(["minimum", "maximum"]))
def test_printed_value_lies_on_its_side_of_the_limit(value: float, at: float, side: str) -> None:
    """What is printed beside a limit does not contradict the outcome, however near it lies."""
    asked = limit(side, at)
    assert asked.keeps(float(bounds.beside(value, asked).replace(",", ""))) == asked.keeps(value)


def because(asked: Sequence[Limit], *found: Thing, lacking: str = "", reading: Reading | None = None) -> str:
    """Give the sentence that says why a reading came out as it did."""
    return judging.assessment(
        reading or Reading(), found, judging.judge(asked, found), lacking=lacking
    ).because


def test_reasons() -> None:
    """Each outcome has a sentence with the value, the figure it is held to and who asks for it."""
    low = limit("minimum", 100)
    assert because([low], thing("aft", "90")) == (
        "Aft reads 90 psi; at least 100 psi is asked by invented manual 4A."
    )
    assert because([low], thing("1", "90")).startswith("At 1 reads 90 psi")
    assert because([low], thing("1", "90"), thing("2", "80")).startswith(
        "At 1 and 2 break a limit, the worst with 80 psi"
    )
    rows = Table("rpm", (), (Row("2200"), Row("idle")))
    steps = (thing("2200, coolant", "90"), thing("idle, coolant", "120"))
    assert because([low], *steps, reading=Reading(table=rows)).startswith("At 2200 rpm, coolant reads 90 psi")
    assert because([low], *steps, reading=Reading(table=replace(rows, first="place"))).startswith("At 2200, ")
    assert because([low], thing("1", "120"), thing("2", "")) == "Not all is judged: 2 was not taken."
    assert because([low], thing("1", "120"), thing("2", ""), thing("3", "")).endswith(
        "2 and 3 were not taken."
    )
    assert (
        because([], thing("1", "120"), lacking="no maker is known") == "No limit applies: no maker is known."
    )
    assert "none is published" in because([], thing("1", "120"))
    assert because([low], thing("1", "")) == "No value was taken."
    told = Reading(not_taken="plugs seized.")
    assert because([low], thing("1", ""), reading=told) == "Not taken: plugs seized."


def test_reason_of_a_value_below_detection() -> None:
    """Where nothing is missing but a value shows nothing, that value is named with its sign."""
    high = limit("maximum", 100)
    found = thing("iron", "<150")
    assert because([high], found) == (
        "Not all is judged: iron reads <150 psi, which does not show whether it is at most 100 psi."
    )
    assert because([high], thing("iron", "<5")).startswith("Iron reads <5 psi; at most 100 psi")


def test_working_tells_kept_not_kept_and_not_shown() -> None:
    """Each limit with a value has a step; one hidden by detection is neither kept nor not."""
    for text, values, result in (
        ("90", "90 ≤ 100 psi", "kept"),
        ("101", "101 > 100 psi", "not kept"),
        ("<150", "<150 ≤ 100 psi", "not shown"),
        ("<5", "<5 ≤ 100 psi", "kept"),
    ):
        [step] = judging.steps(judging.judge([limit("maximum", 100)], [thing("1", text)]))
        assert (step.values, step.result) == (values, result)
    assert not list(judging.steps([Judged(limit("maximum", 100), None)]))


def test_steps_for_what_was_converted() -> None:
    """A value in another unit than is computed in gets a step; one in its own gets none."""
    steps = list(judging.converted([cell("1", "690", "kPa"), cell("2", "100"), cell("3", "")], "psi"))
    assert [(s.step, s.values, s.result, s.unit) for s in steps] == [("1 in psi", "690 kPa", "100.1", "psi")]


def test_gaps_are_told_with_their_reason() -> None:
    """Every thing not taken is named, and why."""
    found = [Thing("1", None, "psi", why="seized"), Thing("2", None, "psi"), thing("3", "1")]
    assert list(judging.gaps(found)) == ["Not taken: 1, seized.", "Not taken: 2."]


def test_nothing_taken_is_not_taken() -> None:
    """Whatever limits there are, a reading without a value has no working, no chart and no saying."""
    found = [thing("1", "")]
    made = judging.assessment(
        Reading(), found, judging.judge([limit("minimum", 1)], found), says=["X."], suggests=["Y."]
    )
    assert (made.outcome, made.working, made.says, made.suggests, made.chart) == (
        "not taken",
        (),
        (),
        (),
        None,
    )


def test_table_by_column() -> None:
    """A table's values come column by column, each with its column's name and unit for limits to find."""
    heads = (Head("port iron", "iron", "port", "ppm"), Head("water", "water", "", "%"))
    rows = (
        Row("a", (cell("a, port iron", "4", "ppm"), cell("a, water", ""))),
        Row("b", (cell("b, port iron", "50", "mg/kg"), cell("b, water", "0.1", "%"))),
    )
    found = judging.of_table(Table("sample", heads, rows))
    assert [(t.name, t.of, t.words) for t in found] == [
        ("a, port iron", "iron", "4 ppm"),
        ("b, port iron", "iron", "50 ppm"),
        ("a, water", "water", "not taken"),
        ("b, water", "water", "0.1 %"),
    ]
    assert judging.of_table(None) == ()


def test_single_figure_is_named_by_its_key() -> None:
    """A single figure is found by limits under its key's name."""
    found = judging.single("held", Quantity(Decimal("90"), "s"), "min")
    assert (found.name, found.of, found.value, found.unit) == ("held", "held", 1.5, "min")
    assert judging.single("held", None).value is None


def test_strangers_are_told_once() -> None:
    """A limit for a name that nothing has is told; one for all, or for a known name, isn't."""
    asked = [
        limit("minimum", 1, of="5"),
        limit("maximum", 2, of="5"),
        limit("minimum", 1),
        limit("minimum", 1, of="1"),
    ]
    assert [found for found, _ in judging.strangers(asked, ["1"])] == [
        "limit names 5, which was not measured here"
    ]


def test_long_source_is_cut_where_it_pauses() -> None:
    """A sentence names a long source in short, cut at a comma or between words."""
    long = "invented workshop manual of the third edition, section 4, page 117, second column of the table"
    for source, expected in (
        ("sheet 2", "sheet 2"),
        (long, "invented workshop manual of the third edition, section 4"),
        ("word " * 30, ("word " * 12).strip()),
        ("x" * 80, "x" * 60),
    ):
        assert bounds.short(Limit("minimum", 1.0, "psi", "minimum", source, "", "note")) == expected
    assert bounds.short(Limit("minimum", 1.0, "psi", source="a paper")) == "a general rule"


def test_with_unit_converts_values_and_print() -> None:
    """For a chart all things come in one unit, printed in it; gaps stay gaps."""
    found = judging.with_unit([thing("1", "100", "kPa"), thing("2", ""), thing("3", "14.0")], "psi")
    assert [t.words for t in found] == ["14.5 psi", "not taken", "14.0 psi"]


def test_limits_of_one_source_name_it_once() -> None:
    """Several figures of one manual read as a list, its rows' name said once, the manual at the end."""
    aft = replace(thing("May, aft", "120"), of="aft")
    bow = replace(thing("May, bow", "130"), of="bow")
    asked = [replace(limit("minimum", 100), of="aft"), replace(limit("maximum", 150), of="bow")]
    assert because(asked, aft, bow) == (
        "May, aft reads 120 psi, at least 100 psi; bow reads 130 psi, at most 150 psi; "
        "both are asked by invented manual 4A."
    )
    other = replace(asked[1], source="invented manual 5")
    assert because([asked[0], other], aft, bow) == (
        "May, aft reads 120 psi; at least 100 psi is asked by invented manual 4A; "
        "May, bow reads 130 psi; at most 150 psi is asked by invented manual 5."
    )


def test_a_value_is_told_as_it_was_noted() -> None:
    """A value in another unit than the limit's stands as written, the limit's unit in brackets."""
    noted = judging.thing(Cell("aft", quantity("1000 kPa", "pressure")), "aft", "psi")
    assert because([limit("minimum", 100)], noted).startswith(
        "Aft reads 1000 kPa (145 psi); at least 100 psi"
    )
    alike = judging.thing(Cell("aft", quantity("145 psi", "pressure")), "aft", "kPa")
    assert because([limit("minimum", 100)], alike).startswith("Aft reads 145 psi; at least")


@pytest.mark.parametrize(
    ("unit", "written", "said"),
    [("V", "12.58", "12.58 V"), ("in", "0.060", "0.060 in"), ("%", "14.285714285", "14.3 %")],
)
def test_value_is_printed_as_it_was_noted(unit: str, written: str, said: str) -> None:
    """What was read keeps its figures beside its limit and in the working; what a gauge's share has, not."""
    limit = Limit("maximum", 13.0 if unit == "V" else 100.0, unit, "maximum", "invented", "", "note")
    found = judging.hold(limit, judging.things([Cell("a", Quantity(Decimal(written), unit))]))
    assert judging.sentence(found).startswith(f"a reads {said};")
    [step] = judging.steps([found])
    assert step.values.startswith(f"{said.split(' ')[0]} ≤ ")


def test_what_was_worked_out_stays_rounded() -> None:
    """A figure with a value of its own is no longer what was noted, whatever it was made from."""
    limit = Limit("maximum", 13.0, "V", "maximum", "invented", "", "note")
    [read] = judging.things([Cell("a", Quantity(Decimal("12.58"), "V"))])
    assert judging.sentence(judging.hold(limit, [replace(read, value=12.5812)])).startswith("a reads 12.6 V;")
