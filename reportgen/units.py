"""Quantities with their units and sums of money: read, convert, print."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal, InvalidOperation
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

from reportgen import unitnames, wording

UNITS = unitnames.UNITS
# a unit of two dimensions, such as %, goes by the first
_DIMENSION = {unit: name for name, table in reversed(UNITS.items()) for unit in table}
_PINT = {unit: pint for table in UNITS.values() for unit, pint in table.items()}
_NUMBER = re.compile(r"[+-]?\d{1,15}(\.\d{1,9})?", re.ASCII)
_QUANTITY = re.compile(r"([+-]?\d+(?:\.\d+)?)\s*(\D.*)?", re.ASCII)


def alike(unit: str, other: str) -> bool:
    """Say whether two units measure the same."""
    return any(unit in table and other in table for table in UNITS.values())


class UnitError(ValueError):
    """A number or unit can't be read; `found` and `write` say why and what to write."""

    def __init__(self, found: str, write: str) -> None:
        self.found, self.write = found, write
        super().__init__(f"{found}; {write}")


def in_words(unit: str, one: bool = False) -> str:
    """Give a unit as a page prints it: those that are words are said in the reader's language.

    one: whether it stands behind a 1.
    """
    n = 1 if one else 2
    match unit:
        case "days":
            return wording.say_n_in("unit", "day", "days", n)
        case "months":
            return wording.say_n_in("unit", "month", "months", n)
        case "years":
            return wording.say_n_in("unit", "year", "years", n)
        case "scale units":
            return wording.say_n_in("unit", "scale unit", "scale units", n)
        case "32nds":
            return wording.say_n_in("unit", "thirty-second of an inch", "thirty-seconds of an inch", n)
        case "per m²":
            return wording.say_in("unit", "per m²")
        case "per ft²":
            return wording.say_in("unit", "per ft²")
        case _:
            return unit


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

    @property
    def as_noted(self) -> str:
        """Give the number as it was written, with its unit."""
        value = f"{self.value:,}" if abs(self.value) >= 10000 else f"{self.value}"
        return f"{wording.number(value)} {in_words(self.unit, one=self.value == 1)}".rstrip()

    def __str__(self) -> str:
        system = wording.system()
        other = self.in_system(system) if system else ""
        return f"{self.as_noted} ({other})" if other else self.as_noted

    def in_system(self, system: str) -> str:
        """Give it in a system of wording.SYSTEMS, empty where it is noted in that one or belongs to both."""
        unit = unitnames.counterpart(self.unit, system)
        if not unit:
            return ""
        return Quantity(as_sure(self, unit), unit).as_noted


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
    unit = text if text in _DIMENSION else unitnames.SPELLINGS.get(text.lower(), text)
    if unit in known:
        return unit
    choices = ", ".join(known)
    article = "an" if dimension[0] in "aeiou" else "a"
    if dimension == "scale" and unit == "%":
        raise UnitError(
            "a moisture reading in %: a meter's scale is not percent of water",
            "write the number as the meter shows it, without %",
        )
    if unit in _DIMENSION:
        raise UnitError(
            f"{text!r} is a unit of {_DIMENSION[unit]}", f"write {article} {dimension} in one of: {choices}"
        )
    raise UnitError(f"the unit {text!r} is not known", f"write {article} {dimension} in one of: {choices}")


@lru_cache(1024)  # a survey writes a few numbers many times
def number(text: str) -> Decimal:
    """Give a plain decimal number with a point; UnitError says what to write instead."""
    plain = text.strip().replace("\N{MINUS SIGN}", "-")
    if _NUMBER.fullmatch(plain):
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


def _begun(text: str, dimension: str) -> None:
    """Raise UnitError for words, such as `about 20` or `a night`, with the figure that stands in them."""
    inside = re.search(r"(?<![\w.,])\d[\d.]*(\s*[^\W\d_]+)?$", text.strip())
    if not re.match(r"\s*[a-z]", text, re.I):
        return
    if inside:
        raise UnitError(f"{text!r} begins with a word", f"write {inside[0]}, and the words in the text below")
    if not re.search(r"\d", text):
        example = _example(dimension).strip()
        raise UnitError(f"{text!r} is not a number", f"write a number such as {example}")


def quantity(text: str, dimension: str, default: str | None = None) -> Quantity:
    """Read `7.2 m`; a bare number takes the unit `default`.

    Raises UnitError: no number, no unit, unknown unit, or one of another dimension.
    """
    plain = text.strip().replace("\N{MINUS SIGN}", "-").replace("\N{NO-BREAK SPACE}", " ")
    match = _QUANTITY.fullmatch(plain)
    if not match or plain[len(match[1]) :].lstrip().startswith((",", ":", "/")):
        _begun(text, dimension)
        head = re.split(r"\s+(?=[^\d\s])", plain)[0]
        number(head)  # says which way the number is wrong
        raise UnitError(f"{text!r} is not a number with a unit", f"write for example {_example(dimension)}")
    if match[2]:
        if dimension == "area":
            _refuse_length(number(match[1]), match[2].strip())
        return Quantity(number(match[1]), unit_named(match[2], dimension))
    if default is None:
        raise UnitError(
            f"{text!r} has no unit", f"write for example {match[1]} {next(iter(UNITS[dimension]))}"
        )
    return Quantity(number(match[1]), default)


def _refuse_length(value: Decimal, unit: str) -> None:
    """Say of a patch given by how far it reaches what area that would be, if it is round."""
    plain = unitnames.SPELLINGS.get(unit.lower(), unit)
    if f"{plain}²" in UNITS["area"] and 0 < value < 10_000:
        round_area = figures(math.pi / 4 * float(value) ** 2, 2)
        raise UnitError(
            f"'{value} {unit}' is a length, not an area",
            f"write the area: a round one {value} {plain} across has {round_area} {plain}², "
            f"a square one {figures(float(value) ** 2, 2)} {plain}²",
        )


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


def as_sure(noted: Quantity, unit: str) -> Decimal:
    """Convert a quantity without promising more than was noted.

    The last figure kept is worth at most one step of the number as written, temperatures keep their
    decimals; of a number with zeros at its end three figures stay, else as many as it has. Source: the idea
    is that of NIST SP 811, section B.7; the rest is a choice of ours.
    """
    value = convert(float(noted.value), noted.unit, unit)
    if not noted.value and unit not in UNITS["temperature"]:
        return Decimal(0)
    exponent = noted.value.as_tuple().exponent
    step = abs(convert(10.0 ** int(exponent), noted.unit, unit) - convert(0.0, noted.unit, unit))
    place = int(exponent) if unit in UNITS["temperature"] else math.floor(math.log10(step))
    size = math.floor(math.log10(abs(value))) if value else place
    most = max(3, len(noted.value.normalize().as_tuple().digits))
    place = max(place, size - most + 1)
    rounded = Decimal(value).quantize(Decimal(1).scaleb(place), ROUND_HALF_UP)
    return rounded if place <= 0 else rounded.quantize(Decimal(1))


def plain_figures(value: float, digits: int = 3) -> str:
    """Give a computed number to so many significant figures, without an exponent, the English way.

    Four digits stand together, as in the values that were noted.
    """
    text = f"{value:.{digits}g}"
    if "e" not in text:
        return text
    whole = float(text)
    return f"{whole:,.0f}" if abs(whole) >= 10_000 else f"{whole:.0f}"


def figures(value: float, digits: int = 3) -> str:
    """Print a computed number to so many significant figures, without an exponent."""
    return wording.number(plain_figures(value, digits))


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
    return wording.money(amount, currency)


def whole_money(amount: Decimal, currency: str) -> str:
    """Print a sum to the whole unit of its currency, for charts and first screens."""
    return wording.money(half_up(amount, 0), currency, whole=True)
