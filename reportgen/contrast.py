"""How well one colour can be read on another: the contrast ratio, and the nearest shade that is enough.

The ratio is that of the Web Content Accessibility Guidelines 2.1, "contrast ratio" and "relative luminance":
https://www.w3.org/TR/WCAG21/#dfn-contrast-ratio; 4.5 for text (1.4.3) and 3 for what is drawn (1.4.11).
"""

from __future__ import annotations

import re
from collections.abc import Mapping

TEXT = 4.5  # least ratio of text to what it stands on [-]
DRAWN = 3.0  # least ratio of a line or bar to what it stands on [-]
_COLOUR = re.compile(r"#(?:[0-9a-fA-F]{3}|[0-9a-fA-F]{6})")
_RULE = re.compile(r"([^{}]*)([{}])")
_VALUE = re.compile(r"--([a-z0-9]+)\s*:\s*(#[0-9a-fA-F]{3,6})")


def is_colour(text: str) -> bool:
    """Say whether a text is a colour as `#rgb` or `#rrggbb`."""
    return _COLOUR.fullmatch(text) is not None


def ratio(one: str, other: str) -> float:
    """Give the contrast ratio of two colours [-], from 1 for the same to 21 for black on white."""
    dark, light = sorted((_luminance(_channels(one)), _luminance(_channels(other))))
    return (light + 0.05) / (dark + 0.05)


def enough(colour: str, on: str, least: float) -> str:
    """Give the colour nearest to `colour`, made darker or lighter, that has the ratio `least` [-] on `on`."""
    channels = _channels(colour)
    for step in range(256):
        for goal in (0, 255):
            mixed = [round(c + (goal - c) * step / 255) for c in channels]
            made = "#" + "".join(f"{c:02x}" for c in mixed)
            if ratio(made, on) >= least:
                return made
    return "#000000" if ratio("#000000", on) > ratio("#ffffff", on) else "#ffffff"


def colours(style: str) -> tuple[Mapping[str, str], Mapping[str, str]]:
    """Give the colours that a style sheet names, on a light and on a dark screen; the later one counts."""
    light: dict[str, str] = {}
    dark: dict[str, str] = {}
    around: list[str] = []
    for text, sign in _RULE.findall(style):
        if sign == "{":
            around.append(text.rpartition(";")[2].strip())
            continue
        rule, media = (around[-1], " ".join(around[:-1])) if around else ("", "")
        if rule == ":root" and "print" not in media:
            (dark if "dark" in media else light).update(_VALUE.findall(text))
        around = around[:-1]
    return light, light | dark


def _channels(colour: str) -> tuple[int, ...]:
    digits = colour[1:] if len(colour) == 7 else "".join(c * 2 for c in colour[1:])
    return tuple(int(digits[i : i + 2], 16) for i in (0, 2, 4))


def _luminance(channels: tuple[int, ...]) -> float:
    parts = [c / 255 for c in channels]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
