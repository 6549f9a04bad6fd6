"""Altitude: the published factors, what lies between, and what a corrected floor may and may not change.

Not computed: ALT-WX (warm, moist air lowers readings), a direction that its source gives without a figure.
"""

from __future__ import annotations

from decimal import Decimal

import pytest
from ambiance import Atmosphere
from hypothesis import given
from hypothesis import strategies as st

from reportgen.altitude import FACTORS, correction, floor
from reportgen.limits import Limit
from reportgen.units import Quantity
from tests.kinds.test_compression import one, psi, step


def factor(height: str, unit: str = "ft") -> float:
    """Give the factor for a height that the table has."""
    found = correction(Quantity(Decimal(height), unit)).factor
    assert found is not None
    return found


# Source: motorcycle compression-testing page, two-column table (rows ALT-1000, ALT-2000, ALT-3000, ALT-4000,
# ALT-5000 and ALT-6000); ALT-7000: off-road club's post, its own line between 6500 and 7500 ft.
# ALT-8000 (0.79) is from memory and no oracle.
PRINTED = {1000: 0.971, 2000: 0.943, 3000: 0.915, 4000: 0.888, 5000: 0.862, 6000: 0.836, 7000: 0.813}
# Rows ALT-500, ALT-2500, ALT-3500, ALT-4500 and ALT-5500 of the same page
HALF_THOUSANDS = {500: 0.987, 2500: 0.933, 3500: 0.907, 4500: 0.88, 5500: 0.853}
# Standard atmosphere, computed by a formula from memory (rows ATMF-0 to ATMF-10000 by feet, ATM-0 to ATM-3000
# by metres): height and density ratio
DENSITY = {
    ("0", "ft"): 1.0, ("1000", "ft"): 0.97106, ("2000", "ft"): 0.94277, ("3000", "ft"): 0.91512,
    ("4000", "ft"): 0.88809, ("5000", "ft"): 0.86167, ("6000", "ft"): 0.83586, ("8000", "ft"): 0.78602,
    ("10000", "ft"): 0.73848, ("0", "m"): 1.0, ("500", "m"): 0.95287, ("1000", "m"): 0.90746,
    ("1500", "m"): 0.86373, ("2000", "m"): 0.82162, ("2500", "m"): 0.78111, ("3000", "m"): 0.74214,
}  # fmt: skip


@pytest.mark.parametrize(("feet", "printed"), PRINTED.items())
def test_factor_is_as_printed(feet: int, printed: float) -> None:
    """At a whole thousand of feet the factor is the printed one, to the last figure."""
    assert factor(str(feet)) == pytest.approx(printed, abs=1e-12)


@pytest.mark.parametrize(("feet", "printed"), HALF_THOUSANDS.items())
def test_half_thousands_lie_on_the_line_and_not_on_the_printed_figure(feet: int, printed: float) -> None:
    """The table's half thousands are 0.001 to 0.006 above the straight line and are not followed."""
    assert 0.001 < printed - factor(str(feet)) < 0.006


def _density_ratio(metres: float) -> float:
    """Give the standard atmosphere's density over that at sea level, by a library that is no part of us."""
    return float(Atmosphere(metres).density[0] / Atmosphere(0.0).density[0])


@pytest.mark.parametrize(("height", "ratio"), DENSITY.items(), ids=[" ".join(h) for h in DENSITY])
def test_recalled_densities_are_those_of_a_library(height: tuple[str, str], ratio: float) -> None:
    """Formula and library agree to 0.0002: the one counts heights from the sea, the other by gravity."""
    metres = Quantity(Decimal(height[0]), height[1]).to("m")
    assert _density_ratio(metres) == pytest.approx(ratio, abs=2e-4)


@pytest.mark.parametrize("feet", range(0, 6001, 250))
def test_table_is_the_density_ratio_of_the_standard_atmosphere(feet: int) -> None:
    """Up to 6000 ft, and on the lines between, printed to three figures the two agree to 0.0006."""
    assert factor(str(feet)) == pytest.approx(_density_ratio(feet * 0.3048), abs=0.0006)


@pytest.mark.parametrize("feet", [6500, 7000, 7500, 8000])
def test_table_asks_a_little_more_than_the_atmosphere_higher_up(feet: int) -> None:
    """Above 6000 ft the printed figures lie up to 0.0045 higher: never a laxer floor than by density."""
    assert 0 < factor(str(feet)) - _density_ratio(feet * 0.3048) < 0.0045


# id, source, specification [psi], height, printed result [psi]; printed to whole psi, hence 0.5
EXPECTED = [
    ("ALT-X1", "motorcycle page, worked example", 150, 2000, 141.5),
    ("ALT-X2 low", "off-road club's post", 128, 5000, 110),
    ("ALT-X2 high", "off-road club's post", 150, 5000, 129),
    ("ALT-X3 low", "off-road club's post", 128, 7000, 104),
    ("ALT-X3 high", "off-road club's post", 150, 7000, 122),
]


@pytest.mark.parametrize(
    ("source", "stated", "feet", "printed"), [r[1:] for r in EXPECTED], ids=[r[0] for r in EXPECTED]
)
def test_published_example(source: str, stated: float, feet: int, printed: float) -> None:
    """A specification at a height is what the publisher prints for it."""
    found = floor(Limit("minimum", stated, "psi", "minimum", source), Quantity(Decimal(feet), "ft"))
    assert found.corrected is not None
    assert found.corrected.value == pytest.approx(printed, abs=0.5)


@pytest.mark.parametrize(
    ("row", "stated", "feet", "other"),
    [
        ("ALT-Y1 by absolute pressure", 150, 2000, 139.5),
        ("ALT-Y2 by absolute pressure", 150, 5000, 124.8),
        ("ALT-Y3 by absolute pressure", 180, 3000, 161.3),
        ("ALT-X5 by absolute pressure", 120, 5000, 100),
        ("ALT-X6 by 1 % per 250 ft", 120, 5000, 96),
    ],
)
def test_other_methods_read_lower_and_are_not_followed(
    row: str, stated: float, feet: int, other: float
) -> None:
    """The methods disagree by psi, so the page must name its own; a lower floor would be the laxer one."""
    assert stated * factor(str(feet)) > other + 1, row


def test_reading_back_to_sea_level() -> None:
    """ALT-X4, off-road club's reply: 113 psi divided by 0.79 is 143 psi (arithmetic; 0.79 is 8000 ft)."""
    assert round(113 / factor("8000")) == 143


@pytest.mark.parametrize(
    ("height", "unit", "known"),
    [
        ("0", "ft", 1.0),
        ("2438.4", "m", 0.79),
        ("1524", "m", 0.862),
        ("8000.1", "ft", None),
        ("-3", "m", None),
    ],
)
def test_ends_of_the_table(height: str, unit: str, known: float | None) -> None:
    """From sea level to 8000 ft there is a factor, in any unit of length; beyond, none, and it is said."""
    found = correction(Quantity(Decimal(height), unit))
    assert found.factor == (None if known is None else pytest.approx(known))
    assert (known is None) == ("not corrected" in found.remark)


def test_what_rests_on_memory_is_said() -> None:
    """Above 7000 ft the factor leans on the one for 8000 ft, which is from memory."""
    assert "from memory" in correction(Quantity(Decimal(7001), "ft")).remark
    assert correction(Quantity(Decimal(7000), "ft")).remark == ""


@given(st.integers(0, 7999))
def test_higher_never_asks_for_more(feet: int) -> None:
    """Property: the factor falls with height and stays between the table's ends."""
    assert FACTORS[-1][1] <= factor(str(feet + 1)) < factor(str(feet)) <= 1


AT_5000 = "altitude: 5000 ft"


@pytest.mark.parametrize(
    ("readings", "limit", "outcome", "warned"),
    [
        ((130, 125), "minimum: 100", "within", False),
        ((90, 88), "minimum: 100", "outside", True),
        ((90, 86.1), "minimum: 100", "outside", False),
        ((90, 86.2), "minimum: 100, corrected for altitude: yes", "within", False),
        ((90, 86.1), "minimum: 100, corrected for altitude: yes", "outside", False),
        ((90, 88), "minimum: 100, corrected for altitude: no", "outside", False),
    ],
)
def test_altitude_alone_never_clears(
    readings: tuple[float, ...], limit: str, outcome: str, warned: bool
) -> None:
    """ALT-REL: a floor of 100 psi is 86.2 psi at 5000 ft by the table; only the note's yes lets it judge."""
    found = psi(*readings, limit=limit, more=AT_5000)
    assert (found.outcome, bool(found.warnings)) == (outcome, warned)
    if "no" not in limit.split():
        assert (step(found, "altitude factor"), step(found, "floor at this height")) == ("0.862", "86.2 psi")
        assert any("absolute pressure gives lower" in s for s in found.says)
    if "corrected" not in limit:
        counts = "counts as stated, also when it is measured again; at 5000 ft it would become 86.2 psi."
        assert counts in found.because or "floor is 86.2 psi" in found.because


def test_altitude_leaves_ratios_alone() -> None:
    """ALT-REL: 130 and 100 psi are 76.9 % at any altitude; the height may come from the cover note too."""
    low, high = psi(130, 100), psi(130, 100, more=AT_5000)
    assert step(low, "lowest to highest") == step(high, "lowest to highest") == "76.9 %"
    assert "Ratios between cylinders do not change with altitude." in high.says


def test_altitude_beyond_the_table_is_said_and_not_corrected() -> None:
    """Above 8000 ft nothing is corrected; a wish for it without a height is told."""
    found = psi(90, 88, limit="minimum: 100, corrected for altitude: yes", more="altitude: 8001 ft")
    assert (found.outcome, one(found, "minimum").limit.value) == ("outside", 100.0)
    assert "above 8000 ft" in found.warnings[0][0]
    assert "no altitude" in psi(90, 88, limit="minimum: 100, corrected for altitude: yes").warnings[0][0]
