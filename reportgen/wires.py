"""Reads wire sizes, and says what voltage a wire loses: gauge numbers, square millimetres, circular mils.

American wire gauge: diameter 0.005 in × 92^((36 - n)/39), n = 0 for 0, -1 for 00 and so on, so that 36 has
5 mil and 0000 has 460 (wire-gauge-table). Cable to the automobile engineers' standard (SAE) is thinner than
the gauge of the same number: 12 SAE was read, the rest is from memory (wire-sae). A loss by K × I × L / area
with K = 10.75 ohm circular mils a foot and L there and back (wire-drop-formula); metric cable, which may be
thinner than its nominal cross-section, by its greatest resistance at 20 °C (wire-iec-60228).
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from reportgen import units

K = 10.75  # resistance of a foot of copper of one circular mil, warm [Ω·cmil/ft]
# circular mils of cable to the SAE standard by its number; 12 was read, the others are from memory
SAE = {
    "18": 1537, "16": 2336, "14": 3702, "12": 5833, "10": 9343, "8": 14810, "6": 25910, "4": 37360,
    "2": 62450, "1": 77790, "0": 98980, "00": 125100, "000": 158600, "0000": 205500,
}  # fmt: skip
# gauge numbers from thin to thick
NUMBERS = ("18", "16", "14", "12", "10", "8", "6", "4", "3", "2", "1", "0", "00", "000", "0000")
# metric cable, class 5, plain copper: cross-section [mm²] to greatest resistance at 20 °C [Ω/km]
RESISTANCE = {
    1.0: 19.5, 1.5: 13.3, 2.5: 7.98, 4.0: 4.95, 6.0: 3.3, 10.0: 1.91, 16.0: 1.21, 25.0: 0.78, 35.0: 0.554,
    50.0: 0.386, 70.0: 0.272, 95.0: 0.206, 120.0: 0.161,
}  # fmt: skip
_GAUGE = re.compile(r"(\d{1,2}|0{2,4}|[1-4]/0)\s*(awg|sae)?", re.I | re.ASCII)
_SQUARE = re.compile(r"(\d{1,3}(?:\.\d{1,2})?)\s*(?:mm²|mm2|sq ?mm)", re.I | re.ASCII)


@dataclass(frozen=True)
class Wire:
    """One size of wire.

    name: as printed. number: of the gauge, empty for metric. area: [cmil]. ohm_km: greatest resistance of
    metric cable [Ω/km], 0 for a gauge.
    """

    name: str
    number: str
    area: float
    ohm_km: float = 0.0


def awg_area(number: str) -> float:
    """Give the area of a gauge number [cmil]. Source: wire-gauge-table, by its formula."""
    n = 1 - len(number) if set(number) == {"0"} else int(number)
    return float((5.0 * 92.0 ** ((36 - n) / 39.0)) ** 2)


def read(text: str) -> Wire | None:
    """Give the wire that a text names, such as `12 AWG`, `12 SAE`, `2/0` or `2.5 mm²`; None for another text.

    A bare number is a gauge, since that is how cable in the trade is called.
    """
    plain = text.strip()
    square = _SQUARE.fullmatch(plain)
    if square:
        size = float(square[1])
        if size not in RESISTANCE:
            return None
        return Wire(f"{size:g} mm²", "", units.convert(size, "mm²", "cmil"), RESISTANCE[size])
    match = _GAUGE.fullmatch(plain)
    if not match:
        return None
    number = "0" * int(match[1][0]) if "/" in match[1] else match[1]
    standard = (match[2] or "AWG").upper()
    if number not in NUMBERS or (standard == "SAE" and number not in SAE):
        return None
    area = float(SAE[number]) if standard == "SAE" else awg_area(number)
    return Wire(f"{number} {standard}", number, area)


def drop(current: float, length: float, wire: Wire) -> float:
    """Give the voltage lost [V] by a current [A] over a length there and back [ft].

    Source: wire-drop-formula for gauges, wire-iec-60228 for metric cable.
    """
    if wire.ohm_km:
        return current * units.convert(length, "ft", "km") * wire.ohm_km
    return K * current * length / wire.area


def area_for(current: float, length: float, loss: float) -> float:
    """Give the least area [cmil] for a current [A] over a length there and back [ft] and a loss [V]."""
    return K * current * length / loss


def size_for(current: float, length: float, loss: float, metric: bool = False) -> str:
    """Give the thinnest usual wire that loses at most so much [A, ft there and back, V]; empty if none."""
    names = [f"{size:g} mm²" for size in RESISTANCE] if metric else [f"{n} AWG" for n in NUMBERS]
    found = ((name, read(name)) for name in names)
    fits = (n for n, w in found if w and units.within(drop(current, length, w), loss, "maximum"))
    return next(fits, "")


def advice(text: str) -> str:
    """Say what to write instead of a text that names no wire; empty where it does."""
    return "" if not text or read(text) else "write the wire as 12 AWG, 12 SAE, 2/0 or 2.5 mm²"
