"""Wires: gauges by their published areas, the drop by its formula and its worked examples."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reportgen import wires
from reportgen.wires import Wire


# Source: university physics reference tables, wire gauge (rows AWG-16 to AWG-0000, printed).
@pytest.mark.parametrize(
    ("number", "area"),
    [
        ("16", 2582.9), ("14", 4106.8), ("12", 6529), ("10", 10381), ("4", 41742), ("2", 66373), ("1", 83694),
        ("0", 105530), ("00", 133080), ("000", 167810), ("0000", 211600),
    ],
    ids=lambda v: f"AWG-{v}" if isinstance(v, str) else "",
)  # fmt: skip
def test_gauge_areas(number: str, area: float) -> None:
    """The formula gives the printed circular mils to three parts in ten thousand."""
    assert wires.awg_area(number) == pytest.approx(area, rel=3e-4)


# Source: the same tables, ohms per 1000 ft at 20 °C (printed): copper has 10.37 ohm circular mils a foot.
@pytest.mark.parametrize(
    ("number", "ohms"),
    [
        ("16", 4.016), ("14", 2.525), ("12", 1.588), ("10", 0.9989), ("4", 0.2485), ("2", 0.1563),
        ("1", 0.124), ("0", 0.0983), ("00", 0.078), ("000", 0.0618),
    ],
    ids=lambda v: f"AWG-{v}" if isinstance(v, str) else "",
)  # fmt: skip
def test_formula_is_a_little_stricter_than_the_table(number: str, ohms: float) -> None:
    """K = 10.75 allows for warm copper: 3 to 4 % above the resistance at 20 °C."""
    found = wires.drop(1.0, 1000.0, Wire("", number, wires.awg_area(number)))
    assert found / ohms == pytest.approx(1.036, abs=0.006)


# Source: marine wire supplier's guide (VD-X1, printed choice 12 AWG or 10 SAE); chandler's catalogue
# (VD-X2, VD-T2 to VD-T8, printed); formula cases VD-C1 to VD-C4 computed.
@pytest.mark.parametrize(
    ("current", "length", "loss", "area", "size"),
    [
        (10, 21, 0.36, 6270.8, "12 AWG"), (10, 21, 1.2, 1881.2, "16 AWG"), (10, 10, 0.36, 2986.1, "14 AWG"),
        (30, 10, 0.36, 8958.3, "10 AWG"), (60, 10, 0.36, 17916.7, "6 AWG"), (5, 15, 0.36, 2239.6, "16 AWG"),
        (15, 15, 0.36, 6718.8, "10 AWG"), (40, 15, 0.36, 17916.7, "6 AWG"), (5, 20, 0.36, 2986.1, "14 AWG"),
        (15, 20, 0.36, 8958.3, "10 AWG"), (20, 30, 0.36, 17916.7, "6 AWG"), (30, 40, 0.72, 17916.7, "6 AWG"),
        (5, 40, 1.2, 1791.7, "16 AWG"),
    ],
    ids=["VD-X1", "VD-X2", "VD-T2", "VD-T3", "VD-T4", "VD-T5", "VD-T6", "VD-T7", "VD-T8",
         "VD-C1", "VD-C2", "VD-C3", "VD-C4"],
)  # fmt: skip
def test_area_and_size(current: float, length: float, loss: float, area: float, size: str) -> None:
    """Area by the formula (VD-F), then the next larger gauge."""
    found = wires.area_for(current, length, loss)
    assert found == pytest.approx(area, abs=0.06)
    assert wires.size_for(current, length, loss) == size


def test_sae_cable_is_thinner() -> None:
    """12 SAE has 5833 circular mils: not enough for VD-X1, where 12 AWG is; 10 SAE is (printed choice)."""
    needed = wires.area_for(10, 21, 0.36)
    twelve, ten = wires.read("12 SAE"), wires.read("10 SAE")
    assert twelve is not None
    assert ten is not None
    assert twelve.area == 5833 < needed < ten.area
    # 200 ampere feet stand on the border, which the printed chart answers both ways (VD-TN)
    assert 5833 < wires.area_for(20, 10, 0.36) < wires.awg_area("12")


# Source: IEC 60228 class 5 plain copper at 20 °C, three tables agree (rows IEC-1 to IEC-120, printed).
@pytest.mark.parametrize(
    ("square", "ohm_km"),
    [
        ("1", 19.5), ("1.5", 13.3), ("2.5", 7.98), ("4", 4.95), ("6", 3.3), ("10", 1.91), ("16", 1.21),
        ("25", 0.78), ("50", 0.386), ("70", 0.272), ("95", 0.206), ("120", 0.161),
    ],
    ids=lambda v: f"IEC-{v}" if isinstance(v, str) else "",
)  # fmt: skip
def test_metric_wires(square: str, ohm_km: float) -> None:
    """A kilometre of metric cable loses the standard's greatest resistance an ampere."""
    wire = wires.read(f"{square} mm²")
    assert wire is not None
    assert wires.drop(1.0, 1000.0 / 0.3048, wire) == pytest.approx(ohm_km)


# Source: a cable maker's page on the same standard (row IECT-30, printed): a resistance at 30 °C times 0.962
# is that at 20 °C.
def test_formula_is_copper_a_little_under_30_degrees() -> None:
    """Gauges are reckoned warm; metric cable at 20 °C, so that in a warm space it loses some percent more."""
    at_30 = 10.37 / 0.962
    assert at_30 * 0.996 < wires.K < at_30


# Source: the same, computed (rows IECD-4, IECD-16, IECD-35).
@pytest.mark.parametrize(
    ("square", "current", "metres", "volts"),
    [("4", 10, 6.4, 0.3168), ("16", 60, 6, 0.4356), ("35", 150, 5, 0.4155)],
    ids=["IECD-4", "IECD-16", "IECD-35"],
)
def test_metric_drop(square: str, current: float, metres: float, volts: float) -> None:
    """Total length of conductor, there and back."""
    wire = wires.read(f"{square} mm²")
    assert wire is not None
    assert wires.drop(current, metres / 0.3048, wire) == pytest.approx(volts, abs=5e-5)


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("12", "12 AWG"), ("12 awg", "12 AWG"), ("12 SAE", "12 SAE"), ("2/0", "00 AWG"), ("0000", "0000 AWG"),
        ("2.5 mm2", "2.5 mm²"), ("35 sq mm", "35 mm²"),
    ],
)  # fmt: skip
def test_spellings(text: str, name: str) -> None:
    """Each usual way to write a wire is read as one."""
    found = wires.read(text)
    assert found is not None
    assert found.name == name
    assert wires.advice(text) == ""


@pytest.mark.parametrize("text", ["13", "5/0", "3 SAE", "0 mm²", "thick", "12 mm", "-2 mm²", "1e3"])
def test_nonsense(text: str) -> None:
    """What is no wire is told what to write."""
    assert wires.read(text) is None
    assert "12 AWG" in wires.advice(text)


def test_metric_size() -> None:
    """Metric installations get a metric size; beyond the thickest there is none."""
    assert wires.size_for(10, 21, 0.36, metric=True) == "4 mm²"
    assert wires.size_for(4000, 300, 0.1) == wires.size_for(4000, 300, 0.1, metric=True) == ""


@given(st.floats(0.1, 400), st.floats(1, 200), st.floats(0.05, 3), st.booleans())
def test_chosen_wire_keeps_the_loss(current: float, length: float, loss: float, metric: bool) -> None:
    """Property: the size that is named loses no more than was allowed, and the area agrees with it."""
    wire = wires.read(wires.size_for(current, length, loss, metric))
    if wire is not None:
        assert wires.drop(current, length, wire) <= loss * (1 + 1e-6)
        assert metric or wire.area >= wires.area_for(current, length, loss) * (1 - 1e-6)
