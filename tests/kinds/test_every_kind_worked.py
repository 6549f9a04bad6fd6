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
    if found := re.fullmatch(r"(-?[\d.]+) ([≤≥]) (-?[\d.]+)(?: .*)?", step.values):
        left, sign, right = float(found[1]), found[2], float(found[3])
        if left == right:  # the unrounded figures may differ
            return 0
        assert (step.result == "kept") is (left < right if sign == "≤" else left > right), step
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
