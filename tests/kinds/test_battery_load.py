"""Battery under load: the least voltage by temperature, none where the test was made otherwise."""

from __future__ import annotations

import pytest

from reportgen.kind import Assessment
from reportgen.kinds.battery_load import least
from tests.kinds.noted import assessed


def loaded(volts: str, rated: float, load: float, temperature: str, more: str = "") -> Assessment:
    """Give the assessment of one battery."""
    return assessed(
        f"kind: battery-load\nbatteries: {{start: {volts}}}\nrated: {rated} A\nload: {load} A\n"
        f"temperature: {temperature}\n{more}\n"
    )


# Source: three car service manuals, voltage table of the load test section (rows LOAD-16 to LOAD--1, read).
@pytest.mark.parametrize(
    ("celsius", "volts"),
    [(16, 9.5), (10, 9.4), (4, 9.3), (-1, 9.1)],
    ids=["LOAD-16", "LOAD-10", "LOAD-4", "LOAD--1"],
)
def test_table_in_celsius(celsius: float, volts: float) -> None:
    """The rows printed in Celsius are ours to a twentieth of a volt: they are rounded to whole degrees."""
    assert least(celsius * 9 / 5 + 32) == pytest.approx(volts, abs=0.025)


# Source: the same table in degrees Fahrenheit (row LOAD-F).
@pytest.mark.parametrize(
    ("fahrenheit", "volts"),
    [(70, 9.6), (60, 9.5), (50, 9.4), (40, 9.3), (30, 9.1), (20, 8.9), (10, 8.7), (0, 8.5)],
)
def test_table_in_fahrenheit(fahrenheit: float, volts: float) -> None:
    """Each row gives its own figure; between rows it is linear; above the last it stays."""
    assert least(fahrenheit) == volts
    assert least(65) == pytest.approx(9.55)
    assert least(15) == pytest.approx(8.8)  # printed so in one manual
    assert least(104) == 9.6
    assert least(-0.41) is None


def test_coldest_row_holds_however_its_temperature_is_written() -> None:
    """0 °F, the same in Celsius to all places, and -18 °C as printed are on the last row; -18.1 °C is not."""
    for cold in ("0 °F", "-17.777777778 °C", "-18 °C"):
        assert loaded("8.5", 850, 425, cold).outcome == "within"
        assert loaded("8.49", 850, 425, cold).outcome == "outside"
    assert loaded("8.49", 850, 425, "-18.1 °C").outcome == "no limit applies"


# Source: rule of the same manuals; 75 % from another (rows LOAD-C1 to LOAD-C5, computed).
@pytest.mark.parametrize(
    ("rated", "load", "volts", "celsius", "said"),
    [
        (600, 300, "9.8", 21, "within"),
        (600, 300, "9.5", 21, "outside"),
        (600, 300, "9.5", 10, "within"),
        (850, 425, "8.6", -18, "within"),
        (850, 425, "8.6", -12, "outside"),
    ],
    ids=["LOAD-C1", "LOAD-C2", "LOAD-C3", "LOAD-C4", "LOAD-C5"],
)
def test_cases(rated: float, load: float, volts: str, celsius: float, said: str) -> None:
    """A cold battery may read lower; the same reading in a warm one is outside."""
    assert loaded(volts, rated, load, f"{celsius} °C").outcome == said


def test_on_beside_and_across_the_limit() -> None:
    """9.5 V at 60 °F is on it."""
    assert loaded("9.5", 600, 300, "60 °F").outcome == "within"
    assert loaded("9.49", 600, 300, "60 °F").outcome == "outside"
    assert loaded("9.51", 600, 300, "60 °F").outcome == "within"


@pytest.mark.parametrize(
    ("rated", "load", "more", "why"),
    [
        (800, 200, "", "not half the rating"),
        (640, 320, "charge: 60 %", "60 % charged"),
        (640, 320, "held: 5 s", "15 seconds"),
    ],
    ids=["LOAD-C6", "LOAD-C7", "short"],
)
def test_made_otherwise_it_proves_nothing(rated: float, load: float, more: str, why: str) -> None:
    """A quarter of the load, a battery half charged, or five seconds: no limit applies, whatever it reads."""
    for volts in ("7.0", "11.9"):
        found = loaded(volts, rated, load, "20 °C", more)
        assert found.outcome == "no limit applies"
        assert why in found.because


def test_what_is_missing_is_named() -> None:
    """Without rating, load or temperature the table can't be used; colder than it goes, neither."""
    found = assessed("kind: battery-load\nbatteries: {start: 9.9}\nload: 300 A\n")
    assert "rated and temperature" in found.because
    assert "colder than the table" in loaded("9.9", 600, 300, "-30 °C").because


def test_note_gap_and_24_volts() -> None:
    """The maker's figure replaces the table's; a gap is never within; 24 V is scaled."""
    limit = "limit: {minimum: 10.2 V, source: invented battery sheet}"
    assert loaded("10.0", 600, 300, "20 °C", limit).outcome == "outside"
    assert loaded("not taken", 600, 300, "20 °C").outcome == "not taken"
    assert loaded("19.2", 600, 300, "70 °F", "nominal: 24 V").outcome == "within"
    assert loaded("19.1", 600, 300, "70 °F", "nominal: 24 V").outcome == "outside"


# Source: small-car manual of 2002, load test notes (row LOAD-V, printed).
def test_another_published_figure_is_listed_and_not_judged() -> None:
    """9.65 V at 70 °F keeps the table's 9.6, though not the variant's 9.7, which stands beside it."""
    found = loaded("9.65", 600, 300, "70 °F")
    assert found.outcome == "within"
    [variant] = found.criteria
    assert "9.7 V" in variant


def test_load_that_is_not_told_is_asked_for() -> None:
    """The voltage while an engine is cranked is no load test, and the writer is told where it belongs."""
    [(found, write)] = assessed("kind: battery-load\nbatteries: {start: 10.1}\n").warnings
    assert "without the load" in found
    assert "under cranking in a battery reading" in write
    assert not loaded("9.9", 600, 300, "70 °F").warnings
