"""Voltage drop: 3 and 10 percent on, inside and outside; measured before computed; wires by their formula.

The formula, gauges and metric cable are checked against their sources in tests/test_wires.py.

Not computed: IECT-5 to IECT-60 (a resistance measured warm or cold, brought to 20 °C), since no resistance is
measured; the factors only tell by how much a warm cable loses more (see there).
"""

from __future__ import annotations

import pytest

from reportgen.kind import Assessment
from tests.kinds.noted import assessed

HEAD = "| circuit | drop (V) | current (A) | length (ft) | wire |\n|---|---|---|---|---|\n"


def dropped(more: str = "", *rows: str) -> Assessment:
    """Give the assessment of lines of the fence and rows of the table."""
    table = HEAD + "\n".join(rows) if rows else ""
    return assessed(f"kind: voltage-drop\nsystem: 12 V\n{more}\n{table}")


# Source: yacht council's statement as a marine wiring supplier quotes it (row VD-USE): 3 % for panel feeders,
# bilge blowers, electronics and navigation lights, 10 % for the rest. 3 % of 12 V is 0.36 V, 10 % is 1.2 V.
@pytest.mark.parametrize(
    ("volts", "critical", "said"),
    [
        ("0.36", True, "within"), ("0.359", True, "within"), ("0.361", True, "outside"),
        ("0.6", False, "within"),
        ("1.2", False, "within"), ("1.201", False, "outside"), ("360 mV", True, "within"),
    ],
)  # fmt: skip
def test_share_by_use(volts: str, critical: bool, said: str) -> None:
    """A critical circuit keeps 3 %, another 10 %; on the limit is within."""
    more = f"circuits: {{blower: {volts}}}\n" + ("critical: [blower]" if critical else "")
    assert dropped(more).outcome == said


# Source: university wire table with round-trip lengths (rows AWGD-*, computed there with 20 °C copper; the
# formula is 2.5 to 4 % stricter, which turns none of these).
@pytest.mark.parametrize(
    ("wire", "current", "length", "three", "ten"),
    [
        ("12 AWG", 10, 21, "within", "within"), ("10 AWG", 10, 21, "within", "within"),
        ("14 AWG", 5, 30, "outside", "within"), ("8 AWG", 30, 20, "outside", "within"),
        ("6 AWG", 40, 25, "outside", "within"),
    ],
    ids=["AWGD-12-10-21", "AWGD-10-10-21", "AWGD-14-5-30", "AWGD-8-30-20", "AWGD-6-40-25"],
)  # fmt: skip
def test_computed_where_nothing_was_measured(
    wire: str, current: float, length: float, three: str, ten: str
) -> None:
    """Wire, length and current stand in for a measurement, and the name says so."""
    row = f"| pump | - | {current} | {length} | {wire} |"
    found = dropped("critical: [pump]", row)
    assert found.outcome == three
    assert found.judged[0].name == "pump, computed"
    assert dropped("", row).outcome == ten


@pytest.mark.parametrize(
    ("square", "current", "metres", "said"),
    [("4", 10, 6.4, "within"), ("16", 60, 6, "outside"), ("35", 150, 5, "outside")],
    ids=["IECD-4", "IECD-16", "IECD-35"],
)
def test_metric_wire(square: str, current: float, metres: float, said: str) -> None:
    """IEC 60228 cable, total conductor length, against 3 %."""
    row = f"| pump | - | {current} | {metres} m | {square} mm² |"
    assert dropped("critical: [pump]", row).outcome == said


def test_measured_goes_before_computed() -> None:
    """Where both are told the measured loss is judged, and a much larger one suggests a poor joint."""
    found = dropped("critical: [pump]", "| pump | 0.7 | 5 | 20 | 12 AWG |")
    assert (found.outcome, found.judged[0].name) == ("outside", "pump")
    assert "poor joint" in found.suggests[0]
    assert not dropped("", "| pump | 0.17 | 5 | 20 | 12 AWG |").suggests


def test_working_names_the_wire_that_is_thick_enough() -> None:
    """Loss, share and the thinnest usual wire for the allowed loss (VD-X1: 12 AWG)."""
    steps = {
        s.step: s.result for s in dropped("critical: [pump]", "| pump | 0.5 | 10 | 21 | 16 AWG |").working
    }
    assert steps["pump, measured"] == "4.17"
    assert steps["pump, computed"] == "0.874"
    assert steps["pump, thick enough"] == "12 AWG"


def test_gap_is_never_within() -> None:
    """A circuit with neither loss nor wire leaves the reading not taken; a breach is outside."""
    assert dropped("", "| pump | - | 5 | 20 | |").outcome == "not taken"
    assert dropped("circuits: {light: 0.1, pump: not taken}").outcome == "not taken"
    assert dropped("circuits: {light: 2.1, pump: not taken}").outcome == "outside"


def test_slips_are_told() -> None:
    """A negative loss, a wire that is none, and a critical circuit that isn't there."""
    found = dropped("circuits: {light: -0.2}\ncritical: [ligth]", "| pump | 0.2 | 5 | 20 | 13 AWG |")
    told = " ".join(f"{a}; {b}" for a, b in found.warnings)
    assert "can't be right" in told
    assert "'13 AWG' is no wire" in told
    assert "'ligth'" in told
    assert found.outcome == "not taken"


def test_note_limit() -> None:
    """A maximum for all replaces both shares; 24 V is held to its own system's voltage."""
    limit = "limit: {maximum: 5 %, source: invented yard standard}"
    assert dropped(f"circuits: {{a: 0.7}}\n{limit}").outcome == "outside"
    assert dropped(f"circuits: {{a: 0.5}}\ncritical: [a]\n{limit}").outcome == "within"
    assert (
        assessed("kind: voltage-drop\nsystem: 24 V\ncircuits: {a: 0.7}\ncritical: [a]\n").outcome == "within"
    )


def test_chart_gives_each_circuit_its_band() -> None:
    """Two shares are allowed, so each row has its own edge."""
    drawn = dropped("circuits: {blower: 0.2, light: 0.9}\ncritical: [blower]").chart
    assert drawn is not None
    assert [(r["label"], r["high"]) for r in drawn.data["rows"]] == [("blower", 3.0), ("light", 10.0)]
