"""Redoes the arithmetic that a page prints: every step whose numbers are a sum comes out at its result.

The steps are read as a reader would read them, from their words alone; no code of the kinds is used.
"""

from __future__ import annotations

import ast
import operator
import re
from decimal import Decimal
from typing import Any

import pytest

from reportgen.kind import Step
from reportgen.units import Quantity
from tests.kinds.altered import ABOUT, KINDS, every_quantity, example

_UNIT = re.compile(r"(?<=[\d)]) (?!x )(?:[^\W\d]|[°%])[\w°²%/]*(?: m²)?")
_DAY = re.compile(r"\d{4}-\d\d")
_SUM = re.compile(r"[\d.\s()+\-*/]+")
_DOES: dict[type[ast.operator], Any] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
}


def worked(text: str) -> float | None:
    """Give what a sum in words comes to, such as `(100 - 71) / 100 × 100`; None for what is no sum."""
    bare = _UNIT.sub("", re.sub(r"\s\([^()]*[A-Z][^()]*\)", "", text)).replace("×", "*").replace(" x ", " * ")
    if _DAY.search(bare) or not _SUM.fullmatch(bare) or not re.search(r"\d\)* [-+*/] ", bare):
        return None
    return _value(ast.parse(bare.strip(), mode="eval").body)


def _value(node: ast.expr) -> float:
    if isinstance(node, ast.BinOp):
        return float(_DOES[type(node.op)](_value(node.left), _value(node.right)))
    if isinstance(node, ast.UnaryOp):
        return -_value(node.operand)
    assert isinstance(node, ast.Constant)
    return float(node.value)


def test_a_sum_is_read_as_written() -> None:
    """Units and names of sizes are passed over; what is a list or a date is no sum."""
    assert worked("10.75 × 6.5 A × 24 ft / 4106.7 (14 AWG)") == pytest.approx(0.40835, abs=1e-5)
    assert worked("-340 - (-905)") == 565
    assert worked("6 x (100 - 20) / 100") == 4.8
    assert worked("14 / 2 m²") == 7
    assert worked("71 ppm / 140 h × 100 h") == pytest.approx(50.71, abs=0.005)
    assert worked("161, 158") is worked("2026-05-12 - 2015-04-20") is worked("60 °F") is None
    assert worked("port 5.2 kN, starboard 4.4 kN") is None


def checked(step: Step) -> int:
    """Hold a step's sums against its results; give how many there were."""
    if found := re.fullmatch(r"(-?[\d.]+) ([≤≥<>]) (-?[\d.]+)(?: .*)?", step.values):
        left, sign, right = float(found[1]), found[2], float(found[3])
        if left == right:  # the unrounded figures may differ
            return 0
        assert left < right if sign in "≤<" else left > right, step
        assert (step.result == "kept") is (sign in "≤≥"), step
        return 1
    sums, results = step.values.split(", "), step.result.split(", ")
    if len(sums) != len(results):
        return 0
    done = 0
    for text, printed in zip(sums, results, strict=True):
        value, result = worked(text), re.match(r"-?\d+(?:\.(\d+))?", printed)
        if value is None or result is None:
            continue
        if step.unit == "%" and "100" not in text:
            value *= 100
        # half of the last printed digit, and what the printed numbers were rounded by
        near = 0.51 * 10.0 ** -len(result[1] or "") + 0.004 * abs(value)
        assert float(result[0]) == pytest.approx(value, abs=near), step
        done += 1
    return done


# kinds whose example has no step that is a sum: what they count or look up stands in their own tests
UNSUMMED = {"borescope", "battery_fastening"}


@pytest.mark.parametrize("file", KINDS)
@pytest.mark.parametrize("factor", ["1", "1.37", "3"])
def test_printed_working_can_be_redone(file: str, factor: str) -> None:
    """On the example as it stands, and with its values so many times as large."""

    def grown(quantity: Quantity) -> Quantity:
        return Quantity(quantity.value * Decimal(factor), quantity.unit)

    reading = every_quantity(example(file), grown, frozenset({"limit"}))
    done = sum(checked(step) for step in KINDS[file].assess(reading, ABOUT).working)
    assert done or factor != "1" or file in UNSUMMED


def test_most_steps_are_sums() -> None:
    """The reader above still understands the pages."""
    steps = [step for file in KINDS for step in KINDS[file].assess(example(file), ABOUT).working]
    done = sum(checked(step) > 0 for step in steps)
    assert done > 100, done


# what each example's page holds: steps, limits judged, outcomes by name, sentences, suggestions, published
# figures that are not judged, values, sources, words to the writer, rows and columns of the chart's table
HELD = """
anodes | 4 1 3 2 1 2 1 2 0 3 2
battery | 3 1 4 3 0 0 2 3 0 3 2
battery_fastening | 5 4 8 1 0 0 1 1 0 5 2
battery_load | 3 1 1 1 0 1 1 3 0 1 2
blisters | 5 2 17 1 1 0 0 2 0 3 8
bonding | 4 1 4 2 1 3 1 4 0 4 2
borescope | 1 0 4 4 1 0 0 2 0 4 3
carbon_monoxide | 3 3 3 3 1 3 2 5 0 3 4
charging | 3 3 5 0 1 0 0 0 0 2 3
compression | 8 2 4 2 1 7 2 14 0 4 5
conductor | 13 4 9 2 0 1 0 4 0 6 4
coolant_analysis | 4 4 4 2 2 0 1 0 0 2 4
cooling | 7 3 12 2 0 0 0 0 0 2 6
coupling | 2 1 5 2 1 6 2 3 0 4 3
cranking_amps | 3 1 4 0 0 0 2 1 0 2 3
exhaust_back_pressure | 1 1 2 0 1 1 1 1 0 2 2
fuel_pressure | 4 4 4 1 1 0 1 0 0 3 4
fuel_tank | 6 3 3 1 0 0 1 1 0 2 2
gas_pressure | 3 2 2 0 1 1 1 2 0 2 2
gearcase | 5 3 4 1 1 4 1 1 0 2 2
hull_potential | 5 3 5 3 2 2 3 4 0 4 4
hull_thickness | 3 1 6 2 1 2 0 1 0 2 4
leak_down | 5 1 4 0 1 5 2 4 0 4 2
moisture | 4 1 17 4 2 0 0 6 0 3 4
oil_analysis | 7 3 15 1 2 0 0 1 0 3 7
oil_pressure | 2 2 4 0 1 0 0 0 0 4 4
rig_age | 4 1 4 5 0 3 1 2 0 4 4
rig_tension | 10 3 7 1 1 2 0 2 0 5 4
rudder_play | 2 2 6 0 1 2 0 1 0 2 5
sea_trial | 9 3 17 3 0 0 1 1 0 3 5
shaft_clearance | 3 2 2 3 1 5 1 2 0 2 4
sounding | 2 1 6 3 2 0 1 3 0 5 4
spark_plugs | 6 4 12 2 1 0 2 2 0 4 5
stray_current | 4 1 7 4 1 2 1 1 0 4 3
trailer | 8 3 14 4 0 4 1 6 0 3 5
vapour | 1 1 3 0 1 0 1 1 0 3 2
voltage_drop | 8 2 4 2 1 0 1 3 0 4 4
"""
COUNTED = dict(line.split(" | ") for line in HELD.strip().splitlines())


@pytest.mark.parametrize("file", KINDS)
def test_no_part_of_a_page_gets_lost(file: str) -> None:
    """Whoever takes a step, a sentence or a source off an example's page says so here."""
    found = KINDS[file].assess(example(file), ABOUT)
    assert found.chart is not None
    parts = (found.working, found.judged, found.outcomes, found.says, found.suggests, found.criteria)
    table = found.chart.table
    more = (found.values, found.source_ids, found.warnings, table.rows, table.header)
    assert COUNTED[file] == " ".join(str(len(part)) for part in (*parts, *more))


def _figures(text: str) -> int:
    """Give how many significant figures a printed number has."""
    digits = text.lstrip("-").replace(".", "").lstrip("0")
    return len(digits if "." in text else digits.rstrip("0"))


# results are printed to three figures but for these, whose instruments or tables are read to four
FOUR = {
    *("anodes", "battery_load", "bonding", "compression", "conductor", "cooling", "coupling", "gearcase"),
    *("hull_potential", "hull_thickness", "moisture", "sea_trial", "shaft_clearance", "spark_plugs"),
    "stray_current",
}
# a share is told to three figures, whatever it is a share of
SHARES_TO_FOUR = {"anodes", "compression"}


@pytest.mark.parametrize("file", KINDS)
def test_no_result_pretends_to_know_more_than_was_read(file: str) -> None:
    """Values of many decimals, as from another unit, come out at three or four figures."""

    def odd(quantity: Quantity) -> Quantity:
        return Quantity(quantity.value * Decimal("1.0123457"), quantity.unit)

    reading = every_quantity(example(file), odd, frozenset({"limit"}))
    for step in KINDS[file].assess(reading, ABOUT).working:
        most = 4 if file in FOUR and (step.unit != "%" or file in SHARES_TO_FOUR) else 3
        for number in re.findall(r"-?\d+(?:\.\d+)?", step.result):
            assert _figures(number) <= most, step
        if compared := re.fullmatch(r"(-?[\d.]+) [≤≥<>] .*", step.values):
            assert _figures(compared[1]) <= 4, step
