"""Wires and fuses: the rule's table and factors as printed, and each of its limits on, inside and outside."""

from __future__ import annotations

import math

import pytest

from reportgen import wires
from reportgen.kind import Assessment
from reportgen.kinds.conductor import ENGINE_SPACE, INSULATIONS, carries, gauge_of
from tests.kinds.noted import assessed, mistakes

HEAD = (
    "| circuit | wire | insulation (°C) | load (A) | fuse (A) | distance (in) |\n|---|---|---|---|---|---|\n"
)
# Source: 33 CFR 183.425 table 5, law site's copy (rows AMP-18 to AMP-0000, printed), by insulation in °C.
TABLE_5 = {
    "18": (10, 10, 15, 20, 20, 25, 25), "16": (15, 15, 20, 25, 25, 30, 35),
    "14": (20, 20, 25, 30, 35, 40, 45), "12": (25, 25, 35, 40, 45, 50, 55),
    "10": (40, 40, 50, 55, 60, 70, 70), "8": (55, 65, 70, 70, 80, 90, 100),
    "6": (80, 95, 100, 100, 120, 125, 135), "3": (120, 145, 150, 155, 180, 195, 210),
    "2": (140, 170, 175, 180, 210, 225, 240), "1": (165, 195, 210, 210, 245, 265, 280),
    "0": (195, 230, 245, 245, 285, 305, 325), "000": (260, 310, 330, 330, 385, 410, 430),
    "0000": (300, 360, 385, 385, 445, 475, 510),
}  # fmt: skip


def wired(*rows: str, more: str = "system: 12 V") -> Assessment:
    """Give the assessment of rows: circuit, wire, insulation, load, fuse, distance."""
    return assessed(f"kind: conductor\n{more}\n{HEAD}" + "\n".join(rows))


@pytest.mark.parametrize("gauge", TABLE_5, ids=[f"AMP-{g}" for g in TABLE_5])
def test_table_5(gauge: str) -> None:
    """Every printed figure; between two columns the lower counts, below 60 °C there is none."""
    for insulation, amperes in zip(INSULATIONS, TABLE_5[gauge], strict=True):
        assert carries(gauge, insulation) == amperes
    assert carries(gauge, 104.9) == carries(gauge, 90)
    assert carries(gauge, 59) is None


# Source: marine wire chart for 105 °C (rows AMP-E1 to AMP-E12, printed): rounded to whole amperes, halves
# both ways, so that a figure is right if it is the product rounded down or up. The last three were read on
# the same chart on 2026-11-25.
@pytest.mark.parametrize(
    ("gauge", "outside", "inside"),
    [
        ("18", 20, 17), ("16", 25, 21), ("14", 35, 30), ("12", 45, 38), ("10", 60, 51), ("8", 80, 68),
        ("6", 120, 102), ("4", 160, 136), ("2", 210, 178), ("0", 285, 242), ("00", 330, 280),
        ("0000", 445, 378), ("3", 180, 153), ("1", 245, 208), ("000", 385, 327),
    ],
    ids=[*(f"AMP-E{n}" for n in range(1, 13)), "number 3", "number 1", "number 000"],
)  # fmt: skip
def test_engine_space(gauge: str, outside: int, inside: int) -> None:
    """0.85 of the table for 105 °C insulation."""
    assert carries(gauge, 105) == outside
    found = carries(gauge, 105, engine_space=True)
    assert found is not None
    assert inside in (math.floor(found), math.ceil(found))


# Row AMP-F: of note 1 only 0.85 was read; the rest, from memory, is checked by the heat that a wire may gain:
# current squared goes with insulation's rating less the air (textbook), 30 °C outside and 50 °C in an engine
# space (row AMP-B, chart's text, printed).
@pytest.mark.parametrize("insulation", [60, 75, 80, 90, 105, 125])
def test_recalled_factors_follow_from_the_heat_balance(insulation: int) -> None:
    """Each factor is the root of the ratio of the two rises of temperature, to one in the last figure."""
    rises = math.sqrt((insulation - 50) / (insulation - 30))
    assert ENGINE_SPACE[insulation] == pytest.approx(rises, abs=0.0101)


def test_what_rests_on_memory_is_said() -> None:
    """With a circuit in the engine space the page says that one factor was read and the others were not."""
    found = wired("| blower | 14 AWG | 90 | 5 | 15 | 0 |", more="engine space: [blower]")
    assert any("0.85" in s and "from memory" in s for s in found.says)
    assert found.working[0].result == "24.6"  # 30 A × 0.82


# Source: 33 CFR 183.455(c)(1), read as section text (rows OCP-1 to OCP-3, computed; edges computed).
@pytest.mark.parametrize(
    ("wire", "fuse", "said"),
    [
        ("14 AWG", "50", "within"), ("14 AWG", "60", "outside"), ("10 AWG", "90", "within"),
        ("14 AWG", "52.5", "within"), ("14 AWG", "52.6", "outside"), ("10 AWG", "90.1", "outside"),
    ],
    ids=["OCP-1", "OCP-2", "OCP-3", "on 150 %", "above 150 %", "above 90"],
)  # fmt: skip
def test_fuse_of_150_percent(wire: str, fuse: str, said: str) -> None:
    """A fuse may be half as large again as what the wire carries."""
    assert wired(f"| pump | {wire} | 105 | 5 | {fuse} | 0 |").outcome == said


def test_engine_space_asks_for_a_smaller_fuse() -> None:
    """14 AWG at 105 °C carries 29.75 A there: 44.6 A at most."""
    row = "| blower | 14 AWG | 105 | 5 | 50 | 0 |"
    assert wired(row).outcome == "within"
    assert wired(row, more="engine space: [blower]").outcome == "outside"


# Source: 33 CFR 183.455(b), read as section text (rows OCP-D1, -D2, -D3, -D5; edges computed).
@pytest.mark.parametrize(
    ("inches", "sheathed", "said"),
    [("0", False, "within"), ("7", False, "within"), ("8", False, "outside"), ("7.01", False, "outside"),
     ("40", True, "within"), ("41", True, "outside"), ("177.8 mm", False, "within")],
    ids=["OCP-D1", "OCP-D2", "OCP-D3", "beyond 7", "on 40", "OCP-D5", "7 in metric"],
)  # fmt: skip
def test_distance_from_the_source(inches: str, sheathed: bool, said: str) -> None:
    """Seven inches, forty in a sheath."""
    more = "sheathed: [pump]" if sheathed else "system: 12 V"
    assert wired(f"| pump | 14 AWG | 105 | 5 | 15 | {inches} |", more=more).outcome == said


def test_load_beyond_the_wire() -> None:
    """A wire carries its own figure and not more."""
    assert wired("| pump | 14 AWG | 60 | 20 | 25 | 0 |").outcome == "within"
    assert wired("| pump | 14 AWG | 60 | 20.1 | 25 | 0 |").outcome == "outside"


def test_metric_wire_is_the_next_smaller_gauge() -> None:
    """2.5 mm² lies between 14 and 12 and is judged as 14; SAE wire by its number."""
    for text, gauge in (("2.5 mm²", "14"), ("12 SAE", "12"), ("2/0", "00")):
        wire = wires.read(text)
        assert wire is not None
        assert gauge_of(wire) == gauge
    assert any("next smaller gauge" in s for s in wired("| pump | 2.5 mm² | 105 | 5 | 15 | 0 |").says)


def test_gap_is_never_within() -> None:
    """Without size, insulation or fuse nothing is within; what breaks a limit is outside all the same."""
    for row in (
        "| pump | | 105 | 5 | 15 | 0 |",
        "| pump | 14 AWG | | 5 | 15 | 0 |",
        "| pump | 14 AWG | 105 | 5 | | 0 |",
    ):
        assert wired(row).outcome == "not taken"
    assert wired("| pump | | 105 | 5 | 15 | 60 |").outcome == "outside"


def test_high_voltage_has_no_limit_here() -> None:
    """The figures are for circuits under 50 V."""
    found = wired("| inverter | 14 AWG | 105 | 5 | 60 | 90 |", more="system: 230 V")
    assert found.outcome == "no limit applies"
    assert "under 50 V" in found.because


def test_slips_and_note() -> None:
    """A wire that is none and a circuit that isn't there are told; the note's figure replaces its word."""
    told = wired("| pump | 13 | 105 | 5 | 15 | 0 |", more="sheathed: [pmp]").warnings
    assert len(told) == 2
    assert "unknown column" in mistakes("kind: conductor\n| circuit | gage |\n|---|---|\n| pump | 14 |\n")[0]
    limit = "limit: {maximum: {distance: 72 in}, source: invented council sheet}"
    assert wired("| pump | 14 AWG | 105 | 5 | 15 | 60 |", more=limit).outcome == "within"


def test_engine_space_is_asked_for() -> None:
    """Where no circuit is said to run there that is told, and where one is, how its factor was read."""
    row = "| pump | 14 AWG | 105 | 6 | 15 | 5 |"
    without = wired(row).says
    assert "No circuit is said to run through the engine space, where a wire may carry less." in without
    assert not [s for s in without if "Of the factors" in s]
    within = wired(row, more="system: 12 V\nengine space: [pump]").says
    assert [s for s in within if s.startswith("Of the factors for an engine space only 0.85")]
    assert not [s for s in within if "No circuit is said" in s]
    assert "The system's voltage is not stated; taken as under 50 V." in wired(row, more="at: panel").says
    assert not [s for s in without if "not stated; taken" in s]
