"""Reads a drawn chart back: its words with the room they take, its bars and its lines."""

from __future__ import annotations

import re
import warnings
import xml.etree.ElementTree as ET
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from itertools import combinations


@dataclass(frozen=True)
class Area:
    """A part of the sheet [units]."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        return self.right - self.left

    def meets(self, other: Area, slack: float = 0.5) -> bool:
        """Tell whether the two lie over each other by more than `slack` [units]."""
        across = min(self.right, other.right) - max(self.left, other.left)
        down = min(self.bottom, other.bottom) - max(self.top, other.top)
        return across > slack and down > slack


@dataclass(frozen=True)
class Word:
    """One text with the area that it takes in DejaVu Sans, about the widest letter in common use."""

    text: str
    bold: bool
    size: float
    area: Area


@dataclass(frozen=True)
class Stroke:
    """One path: its points, its classes, whether it is hatched or dashed."""

    points: tuple[tuple[float, float], ...]
    classes: tuple[str, ...]
    hatch: str
    dashed: bool

    @property
    def area(self) -> Area:
        across, down = [p[0] for p in self.points], [p[1] for p in self.points]
        return Area(min(across), min(down), max(across), max(down))


@dataclass(frozen=True)
class Picture:
    """A chart as drawn."""

    root: ET.Element
    height: float
    words: tuple[Word, ...]
    strokes: tuple[Stroke, ...]

    @property
    def texts(self) -> list[str]:
        return [w.text for w in self.words]

    def word(self, text: str) -> Word:
        """Give the only word that reads `text`."""
        (found,) = (w for w in self.words if w.text == text)
        return found

    def of(self, *classes: str) -> list[Stroke]:
        """Give the paths of one of the classes, as drawn."""
        return [s for s in self.strokes if set(classes) & set(s.classes)]

    def clashes(self) -> list[tuple[str, str]]:
        """Give the pairs of words that lie over each other."""
        return [(a.text, b.text) for a, b in combinations(self.words, 2) if a.area.meets(b.area)]

    def beyond(self) -> list[object]:
        """Give what leaves the sheet, which is 360 units wide."""
        things: Iterable[Word | Stroke] = (*self.words, *self.strokes)
        edges = [(t, t.area) for t in things]
        return [t for t, a in edges if a.left < 0 or a.top < 0 or a.right > 360 or a.bottom > self.height]


def read(svg: str) -> Picture:
    """Read a chart back; anything but straight lines in capital letters fails."""
    root = ET.fromstring(svg)  # noqa: S314 - our own picture
    shown = [e for e in root if e.tag in ("path", "text")]
    words = tuple(_word(e, root) for e in shown if e.tag == "text")
    strokes = tuple(_stroke(e) for e in shown if e.tag == "path")
    return Picture(root, float(root.attrib["viewBox"].split()[3]), words, strokes)


def _word(element: ET.Element, root: ET.Element) -> Word:
    text, bold = element.text or "", element.get("font-weight") == "700"
    size = float(element.get("font-size", root.attrib["font-size"]))
    width = _width(text, size, bold)
    left = float(element.attrib["x"]) - width * {"middle": 0.5, "end": 1.0}.get(
        element.get("text-anchor", ""), 0
    )
    base = float(element.attrib["y"])
    return Word(text, bold, size, Area(left, base - 0.74 * size, left + width, base + 0.22 * size))


@cache
def _width(text: str, size: float, bold: bool) -> float:
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import TextToPath

    letter = FontProperties(family="DejaVu Sans", size=size, weight="bold" if bold else "normal")
    with warnings.catch_warnings():
        # emoji aren't in it; the box that stands for them is as good here
        warnings.simplefilter("ignore")
        return float(TextToPath().get_text_width_height_descent(text, letter, ismath=False)[0])


def _stroke(element: ET.Element) -> Stroke:
    points: list[tuple[float, float]] = []
    x = y = 0.0
    written = element.attrib["d"]
    assert re.fullmatch(r"(?:[MLHVz][-\d. ]*)+", written), written
    for command, numbers in re.findall(r"([MLHV])([-\d. ]+)", written):
        values = [float(n) for n in numbers.split()]
        x = values[0] if command != "V" else x
        y = values[-1] if command != "H" else y
        points.append((x, y))
    fill = element.get("fill", "")
    return Stroke(
        tuple(points),
        tuple(element.attrib["class"].split()),
        fill[5:-1] if fill.startswith("url(#") else "",
        "stroke-dasharray" in element.attrib,
    )
