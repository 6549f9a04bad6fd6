"""Quantities with their units and sums of money: read, convert, print."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal, InvalidOperation
from functools import cache
from pathlib import Path
from typing import Any

from reportgen import moneytext

# dimension -> the unit as the trade writes it -> its name in Pint
UNITS: dict[str, dict[str, str]] = {
    "pressure": {
        "psi": "psi",
        "kPa": "kilopascal",
        "bar": "bar",
        "kg/cm²": "kilogram_force / centimeter ** 2",
        "MPa": "megapascal",
        "inHg": "inch_Hg_32F",
        "inH2O": "inH2O",
        "mbar": "millibar",
        "mmHg": "millimeter_Hg_0C",
        "atm": "standard_atmosphere",
    },
    "length": {
        "m": "meter",
        "ft": "foot",
        "in": "inch",
        "mm": "millimeter",
        "cm": "centimeter",
        "µm": "micrometer",
        "thou": "thou",
        "32nds": "thirty_second",
        "km": "km",
        "nmi": "nautical_mile",
    },
    "time": {"h": "hour", "min": "minute", "s": "second", "days": "day", "months": "month", "years": "year"},
    "temperature": {"°C": "degree_Celsius", "°F": "degree_Fahrenheit"},
    "share": {"%": "percent"},
    "power": {"hp": "horsepower", "kW": "kilowatt", "PS": "metric_horsepower"},
    "mass": {"kg": "kilogram", "lb": "pound", "t": "metric_ton"},
    "speed": {"kn": "knot", "mph": "mile / hour", "km/h": "kilometer / hour"},
    "volume": {
        "L": "liter",
        "gal": "gallon",
        "imp gal": "imperial_gallon",
        "ft³": "foot ** 3",
        "m³": "meter ** 3",
    },
    "torque": {"lbf·ft": "pound_force * foot", "N·m": "newton * meter"},
    "force": {"lbf": "pound_force", "N": "newton", "kgf": "kilogram_force", "kN": "kilonewton"},
    "voltage": {"V": "volt", "mV": "millivolt"},
    "current": {"A": "ampere", "mA": "milliampere"},
    "resistance": {"Ω": "ohm", "mΩ": "milliohm", "kΩ": "kiloohm"},
    "charge": {"Ah": "ampere_hour"},
    "rotation": {"rpm": "revolutions_per_minute"},
    # by mass or by volume as the laboratory or the meter has it; 1 % is 10,000 ppm of the same
    "concentration": {"ppm": "ppm", "mg/kg": "ppm", "%": "percent"},
    "viscosity": {"cSt": "centistokes", "mm²/s": "millimeter ** 2 / second"},
    "base number": {"mg KOH/g": "milligram / gram"},
    "flow": {
        "L/min": "liter / minute",
        "L/h": "liter / hour",
        "gal/h": "gallon / hour",
        "gal/min": "gallon / minute",
        "imp gal/h": "imperial_gallon / hour",
        "ft³/min": "foot ** 3 / minute",
        "m³/h": "meter ** 3 / hour",
    },
    "area": {
        "mm²": "millimeter ** 2",
        "cm²": "centimeter ** 2",
        "in²": "inch ** 2",
        "cmil": "circular_mil",
        "m²": "meter ** 2",
        "ft²": "foot ** 2",
    },
    "angle": {"°": "degree"},
    "specific gravity": {"SG": "dimensionless"},
    "acidity": {"pH": "dimensionless"},
    "conductivity": {"µS/cm": "microsiemens / centimeter", "mS/cm": "millisiemens / centimeter"},
    "count": {"": "dimensionless"},
    "density": {"per m²": "1 / meter ** 2", "per ft²": "1 / foot ** 2"},
    # of a moisture meter: numbers that compare places with one meter, never a share of water
    "scale": {"scale units": "dimensionless"},
}
_SPELLINGS = {
    "kpa": "kPa",
    "mpa": "MPa",
    "kgf/cm2": "kg/cm²",
    "kg/cm2": "kg/cm²",
    "inhg": "inHg",
    "metres": "m",
    "meters": "m",
    "feet": "ft",
    "foot": "ft",
    "inches": "in",
    "inch": "in",
    "hour": "h",
    "hours": "h",
    "hr": "h",
    "hrs": "h",
    "minutes": "min",
    "minute": "min",
    "seconds": "s",
    "day": "days",
    "month": "months",
    "year": "years",
    "c": "°C",
    "f": "°F",
    "°c": "°C",
    "°f": "°F",
    "degc": "°C",
    "degf": "°F",
    "percent": "%",
    "kw": "kW",
    "ps": "PS",
    "lbs": "lb",
    "pounds": "lb",
    "knots": "kn",
    "kts": "kn",
    "kt": "kn",
    "l": "L",
    "litres": "L",
    "liters": "L",
    "gallons": "gal",
    "us gal": "gal",
    "nm": "N·m",
    "v": "V",
    "mv": "mV",
    "a": "A",
    "amps": "A",
    "ma": "mA",
    "ohm": "Ω",
    "ohms": "Ω",
    "\u2126": "Ω",
    "milliohm": "mΩ",
    "mohm": "mΩ",
    "kohm": "kΩ",
    "ah": "Ah",
    "lpm": "L/min",
    "l/min": "L/min",
    "l/h": "L/h",
    "gph": "gal/h",
    "gpm": "gal/min",
    "cfm": "ft³/min",
    "mm2": "mm²",
    "sq mm": "mm²",
    "circular mils": "cmil",
    "cst": "cSt",
    "ft3": "ft³",
    "cu ft": "ft³",
    "m3": "m³",
    "in2": "in²",
    "sq in": "in²",
    "cm2": "cm²",
    "mm2/s": "mm²/s",
    "um": "µm",
    "micron": "µm",
    "microns": "µm",
    "mil": "thou",
    "mils": "thou",
    "32nds in": "32nds",
    "1/32 in": "32nds",
    "scale": "scale units",
    "scale unit": "scale units",
    "inh2o": "inH2O",
    "mmhg": "mmHg",
    "ph": "pH",
    "us/cm": "µS/cm",
    "ms/cm": "mS/cm",
    "deg": "°",
    "degrees": "°",
}
# a unit of two dimensions, such as %, goes by the first
_DIMENSION = {unit: name for name, table in reversed(UNITS.items()) for unit in table}
_PINT = {unit: pint for table in UNITS.values() for unit, pint in table.items()}
_QUANTITY = re.compile(r"([+-]?\d+(?:\.\d+)?)\s*(\D.*)?", re.ASCII)


def alike(unit: str, other: str) -> bool:
    """Say whether two units measure the same."""
    return any(unit in table and other in table for table in UNITS.values())


class UnitError(ValueError):
    """A number or unit can't be read; `found` and `write` say why and what to write."""

    def __init__(self, found: str, write: str) -> None:
        self.found, self.write = found, write
        super().__init__(f"{found}; {write}")


@dataclass(frozen=True)
class Quantity:
    """A number with its unit, digits kept as they were written.

    value: the number, in `unit`.
    unit: as the trade writes it (psi, ft, °C, %).
    """

    value: Decimal
    unit: str

    def to(self, unit: str) -> float:
        """Give the value in another unit of the same dimension."""
        return convert(float(self.value), self.unit, unit)

    def __str__(self) -> str:
        value = f"{self.value:,}" if abs(self.value) >= 10000 else f"{self.value}"
        return f"{value} {self.unit}".rstrip()


@dataclass(frozen=True)
class Span:
    """A three-point estimate; one figure alone has all three alike.

    low, likely, high: hours [h] or money [the survey's currency].
    unit: the unit written at the end, empty for money.
    """

    low: Decimal
    likely: Decimal
    high: Decimal
    unit: str = ""

    @property
    def fixed(self) -> bool:
        """Say whether it is a fixed figure, without spread."""
        return self.low == self.high


def unit_named(text: str, dimension: str) -> str:
    """Give a unit of `dimension` as the trade writes it.

    Raises UnitError when the unit is unknown or measures something else.
    """
    text = text.strip()
    known = UNITS[dimension]
    unit = text if text in _DIMENSION else _SPELLINGS.get(text.lower(), text)
    if unit in known:
        return unit
    choices = ", ".join(known)
    if dimension == "scale" and unit == "%":
        raise UnitError(
            "a moisture reading in %: a meter's scale is not percent of water",
            "write the number as the meter shows it, without %",
        )
    if unit in _DIMENSION:
        raise UnitError(
            f"{text!r} is a unit of {_DIMENSION[unit]}", f"write a {dimension} in one of: {choices}"
        )
    raise UnitError(f"the unit {text!r} is not known", f"write a {dimension} in one of: {choices}")


def number(text: str) -> Decimal:
    """Give a plain decimal number with a point; UnitError says what to write instead."""
    plain = text.strip().replace("\N{MINUS SIGN}", "-")
    if re.fullmatch(r"[+-]?\d{1,15}(\.\d{1,9})?", plain, re.ASCII):
        return Decimal(plain)
    if re.fullmatch(r"\d{1,3}(,\d{3})+(\.\d+)?", plain, re.ASCII):
        raise UnitError(f"{text!r} has a comma", f"write {plain.replace(',', '')}")
    if re.fullmatch(r"[+-]?\d+,\d+", plain, re.ASCII):
        raise UnitError(f"{text!r} has a decimal comma", f"write {plain.replace(',', '.')}")
    if re.fullmatch(r"\d{1,2}:\d\d(:\d\d)?", plain, re.ASCII):
        raise UnitError(
            f"{text!r} is a time of day, not a number", "write a number with its unit, such as 15 min"
        )
    try:
        Decimal(plain)
    except InvalidOperation:
        raise UnitError(f"{text!r} is not a number", "write a number such as 12.5") from None
    raise UnitError(f"{text!r} is not a plain number", "write digits with at most one point, such as 12.5")


def quantity(text: str, dimension: str, default: str | None = None) -> Quantity:
    """Read `7.2 m`; a bare number takes the unit `default`.

    Raises UnitError: no number, no unit, unknown unit, or one of another dimension.
    """
    plain = text.strip().replace("\N{MINUS SIGN}", "-").replace("\N{NO-BREAK SPACE}", " ")
    match = _QUANTITY.fullmatch(plain)
    if not match or plain[len(match[1]) :].lstrip().startswith((",", ":", "/")):
        head = re.split(r"\s+(?=[^\d\s])", plain)[0]
        number(head)  # says which way the number is wrong
        raise UnitError(f"{text!r} is not a number with a unit", f"write for example {_example(dimension)}")
    if match[2]:
        return Quantity(number(match[1]), unit_named(match[2], dimension))
    if default is None:
        raise UnitError(
            f"{text!r} has no unit", f"write for example {match[1]} {next(iter(UNITS[dimension]))}"
        )
    return Quantity(number(match[1]), default)


def _example(dimension: str) -> str:
    return f"12.5 {next(iter(UNITS[dimension]))}"


@cache
def _line(unit: str, other: str) -> tuple[float, float]:
    """Give slope and offset that lead from one unit to another, by Pint."""
    registry = _registry()
    at_zero = float(registry.Quantity(0.0, _PINT[unit]).to(_PINT[other]).magnitude)
    at_thousand = float(registry.Quantity(1000.0, _PINT[unit]).to(_PINT[other]).magnitude)
    return (at_thousand - at_zero) / 1000.0, at_zero


@cache
def _registry() -> Any:
    # loading Pint takes time, and most notes need no conversion; its own list of a thousand units more yet
    import pint

    registry: Any = pint.UnitRegistry(str(Path(__file__).with_name("units.txt")))
    return registry


def convert(value: float, unit: str, other: str) -> float:
    """Give `value` [unit] in another unit of the same dimension.

    Raises UnitError when the two measure different things.
    Source: units.txt, checked against NIST SP 811 Appendix B and Pint's own list in the tests.
    """
    if unit == other:
        return value
    if not alike(unit, other):
        raise UnitError(f"{unit} is a unit of {_DIMENSION[unit]}", f"give a {_DIMENSION[other]}")
    slope, offset = _line(unit, other)
    return value * slope + offset


def within(value: float, limit: float, side: str) -> bool:
    """Say whether a value keeps a limit; a value equal to it does.

    side: "minimum" or "maximum". The relative tolerance of 1e-9 takes up rounding of conversions only.
    """
    slack = 1e-9 * max(abs(value), abs(limit))
    return value >= limit - slack if side == "minimum" else value <= limit + slack


def figures(value: float, digits: int = 3) -> str:
    """Print a computed number to so many significant figures, without an exponent."""
    text = f"{value:.{digits}g}"
    return f"{float(text):,.0f}" if "e" in text else text


def half_up(amount: Decimal, decimals: int) -> Decimal:
    """Round money half up to the currency's decimals."""
    return amount.quantize(_smallest(decimals), ROUND_HALF_UP)


@cache
def _smallest(decimals: int) -> Decimal:
    return Decimal(1).scaleb(-decimals)


@cache
def decimals(currency: str) -> int:
    """Give how many decimals a currency has (ISO 4217, by Babel)."""
    from babel.numbers import get_currency_precision

    return get_currency_precision(currency)


@cache
def currency_known(currency: str) -> bool:
    """Say whether it is a three-letter currency code of ISO 4217."""
    from babel.numbers import is_currency

    return is_currency(currency)


def money(amount: Decimal, currency: str) -> str:
    """Print a sum of money in its currency, such as `$1,250.00`."""
    return moneytext.printed(amount, currency)


def whole_money(amount: Decimal, currency: str) -> str:
    """Print a sum to the whole unit of its currency, for charts and first screens."""
    return moneytext.printed(half_up(amount, 0), currency, pattern="¤#,##0")
