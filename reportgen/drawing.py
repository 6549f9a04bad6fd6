"""Puts bars, lines and words on a sheet and gives them as one safe picture for the page.

A sheet is `WIDTH` units wide, one unit being about a pixel on a phone; x runs to the right,
y down. It is written without styles, so that a page with a strict content policy may hold it and a
theme can colour it. Straight strokes and words need no program that draws: they are written as they
are given, as matplotlib would; lines that are to be thinned or cut at the edge are left to it.

palette: the classes that a theme's style sheet may recolour, each with one use only:

    fill    c-text   all words              c-bar    bars, first series, the darkest
            c-paper  what lies behind       c-bar2   bars, second series, mid tone
    stroke  c-ink    axes, ranges, counts   c-soft   hairlines between rows, ornament
            c-limit  acceptance lines       c-outside  outline and hatching of what is outside

A rule reads `.c-bar{fill:...}` or `.c-ink{stroke:...}`; a rule that fills a stroke class would
hide the hatching. Without any rule the literal colours of `PALETTE` stand, as in the PDF. `.c-text`
stands on the picture as a whole, which saves a page kilobytes, and also takes the page's
`font-family`. Sizes are in units: let the picture be at most 29rem wide, where its
letters are as large as a table's.
"""

from __future__ import annotations

import re
import unicodedata
import xml.etree.ElementTree as ET
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from html import escape
from io import StringIO
from typing import Any

WIDTH = 360.0
LEFT, RIGHT = 2.0, 358.0
SIZE, SMALL = 12.0, 11.0

PALETTE: Mapping[str, str] = {
    "c-text": "#1d2329",
    "c-paper": "#ffffff",
    "c-bar": "#34485c",
    "c-bar2": "#8593a1",
    "c-ink": "#1d2329",
    "c-soft": "#ccd2d8",
    "c-limit": "#7a3b12",
    "c-outside": "#1d2329",
}

# whatever a user's own matplotlib settings say, the bytes must stay the same
_SETTINGS: Any = {
    "svg.fonttype": "none",
    "svg.hashsalt": "reportgen",
    "figure.autolayout": False,
    "figure.constrained_layout.use": False,
    "hatch.linewidth": 1.0,
    "lines.scale_dashes": False,
    "path.sketch": None,
    "path.effects": [],
}
_TILE = 72.0  # side of a hatching's tile [units]
_MANY = 128  # of so many points on, matplotlib leaves out those that nobody would see
# these turn the direction of the words around them
_TURNING = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
_PART = 4  # least letters of a word before and behind a hyphen
_NARROW, _WIDE = frozenset(" .,:;'|!()[]/ijlft-·"), frozenset("mwMW@%&—…−+=<>±×≤≥")


def clean(text: object) -> str:
    """Give `text` on one line, without signs that XML forbids or that turn writing round."""
    return " ".join("".join(filter(_fit, str(text))).split())


def _fit(sign: str) -> bool:
    code = ord(sign)
    never = code & 0xFFFE == 0xFFFE or 0xFDD0 <= code <= 0xFDEF or unicodedata.category(sign) in ("Cc", "Cs")
    return sign.isspace() or not (never or sign in _TURNING)


def text_width(text: str, size: float = SIZE, bold: bool = False) -> float:
    """Give about how wide `text` will be [units] in a wide sans-serif letter.

    The reader's letter isn't known, so the figures (from memory of common wide letters) are high.
    """
    return sum(map(_em, text)) * size * (1.1 if bold else 1.0)


@cache
def _em(sign: str) -> float:
    if unicodedata.combining(sign) or sign in "\u200d\ufe0f":
        return 0.0
    if sign in _NARROW:
        return 0.4
    if sign in _WIDE:
        return 1.0
    if unicodedata.east_asian_width(sign) in "WF" or ord(sign) > 0xFFFF:
        return 1.4
    return 0.72 if sign.isupper() else 0.64


def shorten(text: str, room: float, size: float = SIZE, bold: bool = False) -> str:
    """Give `text`, cut and ended by an ellipsis if it is wider than `room` [units]."""
    if text_width(text, size, bold) <= room:
        return text
    left, kept = room - text_width("…", size, bold), 0
    while kept < len(text) and text_width(text[: kept + 1], size, bold) <= left:
        kept += 1
    # a letter keeps its accents, an emoji its parts
    while kept and (_em(text[kept]) == 0.0 or text[kept - 1] == "\u200d"):
        kept -= 1
    return text[:kept].rstrip(" ,;:-") + "…"


def wrap(text: str, room: float, size: float = SIZE, lines: int = 2, bold: bool = False) -> tuple[str, ...]:
    """Give `text` as at most `lines` lines, none wider than `room` [units]; a hyphen parts a long word."""
    found: list[str] = []
    words = text.split()
    while words and len(found) < lines - 1:
        words = [*_halves(words[0], room, size, bold), *words[1:]]
        count = len(words)
        while count > 1 and text_width(" ".join(words[:count]), size, bold) > room:
            count -= 1
        found.append(shorten(" ".join(words[:count]), room, size, bold))
        words = words[count:]
    return (*found, shorten(" ".join(words), room, size, bold)) if words else tuple(found)


def _halves(word: str, room: float, size: float, bold: bool) -> tuple[str, ...]:
    """Give a word in two where it is wider than `room` [units] and some letters stand on either side."""
    kept = len(shorten(word, room, size, bold)) - 1
    if text_width(word, size, bold) <= room or not (_PART <= kept <= len(word) - _PART) or not word.isalpha():
        return (word,)
    return f"{word[:kept]}-", word[kept:]


def wrap_evenly(text: str, room: float, size: float = SIZE, lines: int = 2) -> tuple[str, ...]:
    """Give `text` wrapped into as few lines as `room` [units] allows, all about equally long."""
    best = wrap(text, room, size, lines)
    narrow = room
    while len(best) > 1 and narrow > room / 2:
        narrow -= size
        tried = wrap(text, narrow, size, lines)
        if len(tried) > len(best) or "".join(tried).endswith("…"):
            break
        best = tried
    return best


@dataclass(frozen=True)
class _Shape:
    """Straight pen strokes: `runs` of points (n, 2) [units], closed or open."""

    runs: tuple[tuple[tuple[float, float], ...], ...]
    closed: bool
    fill: str
    stroke: str
    width: float
    dash: tuple[float, ...]
    hatch: str


@dataclass(frozen=True)
class _Words:
    """One line of text, its baseline at x, y [units]."""

    text: str
    x: float
    y: float
    anchor: str
    size: float
    bold: bool


@dataclass
class Sheet:
    """A sheet to draw on, later things over earlier ones; `svg` gives the picture."""

    marks: list[_Shape | _Words] = field(default_factory=list)

    def box(
        self, x: float, y: float, width: float, height: float,
        fill: str = "", stroke: str = "", hatch: str = "",
    ) -> None:  # fmt: skip
        """Draw a rectangle [units], filled and edged with palette classes.

        hatch: signs among - | + / \\ x, more of one the denser; the lines take the stroke's class, the
        ground the fill's.
        """
        corners = ((x, y), (x + width, y), (x + width, y + height), (x, y + height))
        self.marks.append(_Shape((corners,), True, fill, stroke, 1.0 if stroke else 0.0, (), hatch))

    def line(
        self, *runs: Sequence[tuple[float, float]], stroke: str = "c-ink", width: float = 1.0,
        dash: tuple[float, ...] = (), fill: str = "", hatch: str = "",
    ) -> None:  # fmt: skip
        """Draw lines through the points of each run (n, 2) [units]; with a fill the runs are closed areas."""
        kept = tuple(tuple(run) for run in runs if run)
        if kept:
            self.marks.append(_Shape(kept, bool(fill), fill, stroke, width if stroke else 0.0, dash, hatch))

    def words(
        self, text: object, x: float, y: float, anchor: str = "start", size: float = SIZE, bold: bool = False
    ) -> None:
        """Write one line; anchor (start, middle or end) says which part of it stands at x."""
        if shown := clean(text):
            self.marks.append(_Words(shown, x, y, anchor, size, bold))

    def svg(self, height: float, title: str, alt: str, key: str) -> str:
        """Give the picture, `height` units high, as an `<svg>` element for an HTML page.

        key: begins every id in it; letters, digits, hyphens and underscores.
        Raises ValueError when the key can't begin an id.
        """
        if not re.fullmatch(r"[A-Za-z][\w-]*", key, re.ASCII):
            raise ValueError(f"no id can begin with {key!r}")
        body = "".join(_written(self.marks, height, key))
        view = f"0 0 {_number(WIDTH)} {_number(height)}"
        return (
            f'<svg class="c-text" role="img" aria-labelledby="{key}-t {key}-d" viewBox="{view}"'
            f' font-family="sans-serif" font-size="{_number(SIZE)}" direction="ltr"'
            f' fill="{PALETTE["c-text"]}">'
            f'<title id="{key}-t">{escape(clean(title), quote=False)}</title>'
            f'<desc id="{key}-d">{escape(clean(alt), quote=False)}</desc>{body}</svg>'
        )


def _written(marks: Sequence[_Shape | _Words], height: float, key: str) -> Iterator[str]:
    """Give the patterns, paths and texts of a picture, each with class and literal colour."""
    looks = dict.fromkeys((m.hatch, m.fill, m.stroke) for m in marks if isinstance(m, _Shape) and m.hatch)
    names = {look: f"{key}-h{n}" for n, look in enumerate(looks, 1)}
    if names:
        patterns = (f'<pattern id="{name}" {_pattern(*look)}</pattern>' for look, name in names.items())
        yield f"<defs>{''.join(patterns)}</defs>"
    for mark in marks:
        if isinstance(mark, _Words):
            yield _text(mark)
        else:
            d = _thinned(mark, height) if _needs_geometry(mark, height) else _direct(mark)
            yield _path(mark, d, names.get((mark.hatch, mark.fill, mark.stroke), ""))


def _text(words: _Words) -> str:
    kept = {"x": _placed(words.x), "y": _placed(words.y)}
    if words.size != SIZE:
        kept["font-size"] = _short(words.size)
    if words.bold:
        kept["font-weight"] = "700"
    if words.anchor != "start":
        kept["text-anchor"] = words.anchor
    return f"<text{_attributes(kept)}>{escape(words.text, quote=False)}</text>"


def _path(shape: _Shape, d: str, pattern: str = "") -> str:
    stroke = shape.stroke if shape.width else ""
    # what is as dark as its edge is drawn by the edge alone
    fill = "" if pattern or shape.fill == stroke else shape.fill
    kept = {"class": f"{fill} {stroke}".strip(), "d": d}
    if shape.width not in (0.0, 1.0):
        kept["stroke-width"] = _short(shape.width)
    if shape.width and shape.dash:
        kept["stroke-dasharray"] = ",".join(map(_short, shape.dash))
    kept["fill"] = f"url(#{pattern})" if pattern else PALETTE.get(fill, "none")
    if stroke:
        kept["stroke"] = PALETTE[stroke]
    return f"<path{_attributes(kept)}/>"


def _direct(shape: _Shape) -> str:
    return "".join(_run(run, shape) for run in shape.runs)


def _run(run: Sequence[tuple[float, float]], shape: _Shape) -> str:
    """Write the points of a run with tenths of a unit and the shortest commands."""
    written: list[str] = []
    old_x = old_y = ""
    # a frame goes back to where it began before it is closed
    for x, y in (*run, run[0]) if shape.closed and not (shape.fill or shape.hatch) else run:
        new_x, new_y = _placed(x), _placed(y)
        written.append(_command(old_x, old_y, new_x, new_y) if written else f"M{new_x} {new_y}")
        old_x, old_y = new_x, new_y
    return "".join(written) + "z" * shape.closed


def _command(old_x: str, old_y: str, x: str, y: str) -> str:
    if y == old_y:
        return f"H{x}"
    return f"V{y}" if x == old_x else f"L{x} {y}"


def _needs_geometry(shape: _Shape, height: float) -> bool:
    """Say whether a line runs over the sheet's edge, has more points than can be seen, or is one point."""
    if shape.fill or shape.hatch:
        return False
    points = [point for run in shape.runs for point in run]
    inside = all(0 <= x <= WIDTH and 0 <= y <= height for x, y in points)
    return not inside or len(points) >= _MANY or min(map(len, shape.runs)) < 2


@cache
def _pattern(hatch: str, fill: str, stroke: str) -> str:
    """Give a hatching as what follows the id of its pattern, without the end."""
    tile, over = _short(_TILE), _short(_TILE + 1)
    ground = {"class": fill, "width": over, "height": over, "fill": PALETTE.get(fill, "none")}
    lines = _Shape(tuple(_lines(hatch)), False, "", stroke, 1.0, (), "")
    sized = f'patternUnits="userSpaceOnUse" width="{tile}" height="{tile}"'
    return f"{sized}><rect{_attributes(ground)}/>{_path(lines, _direct(lines))}"


def _lines(hatch: str) -> Iterator[tuple[tuple[float, float], tuple[float, float]]]:
    """Give the lines of a hatching on its tile, as matplotlib has them: six a sign [units]."""
    drawn = ("-+", "|+", "/x", "\\x")
    level, upright, rising, falling = (sum(map(hatch.count, signs)) * 6 for signs in drawn)
    for n in range(level):
        at = _TILE * (1 - (n + 0.5) / level)
        yield (0.0, at), (_TILE, at)
    for n in range(upright):
        at = _TILE * (n + 0.5) / upright
        yield (at, _TILE), (at, 0.0)
    for n in range(rising + 1 if rising else 0):
        at = _TILE * (n / rising - 0.5)
        yield (at, _TILE + at), (_TILE + at, at)
    for n in range(falling + 1 if falling else 0):
        at = _TILE * (n / falling - 0.5)
        yield (at, -at), (_TILE + at, _TILE - at)


def _thinned(shape: _Shape, height: float) -> str:
    """Let matplotlib thin a line and cut it at the sheet's edge; give its path."""
    import matplotlib
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path
    from matplotlib.transforms import Affine2D

    points: list[tuple[float, float]] = []
    codes: list[Any] = []
    for run in shape.runs:
        points += [*run, run[0]] if shape.closed else run
        codes += [Path.MOVETO, *[Path.LINETO] * (len(run) - 1), *[Path.CLOSEPOLY] * shape.closed]
    with matplotlib.rc_context(_SETTINGS):
        figure = Figure(figsize=(WIDTH / 72, height / 72), dpi=72)
        figure.patch.set_visible(False)
        down = Affine2D().scale(1, -1).translate(0, height)
        figure.add_artist(PathPatch(Path(points, codes), fill=False, transform=down))
        written = StringIO()
        canvas: Any = FigureCanvasSVG(figure)
        canvas.print_svg(written)
    drawn = ET.fromstring(written.getvalue())  # noqa: S314 - matplotlib wrote it, no words in it
    return "".join(_short_path(e.attrib.get("d", "")) for e in drawn.iter() if e.tag.endswith("}path"))


def _attributes(given: Mapping[str, str]) -> str:
    return "".join(f' {name}="{value}"' for name, value in given.items())


def _short_path(d: str) -> str:
    """Write a path of straight lines with tenths of a unit and the shortest commands."""
    written: list[str] = []
    x = y = ""
    for command, *numbers in (part.split() for part in re.findall(r"[MLz][^MLz]*", d)):
        if command == "z":
            written.append("z")
            continue
        new_x, new_y = (_number(float(n)) for n in numbers)
        written.append(f"M{new_x} {new_y}" if command == "M" else _command(x, y, new_x, new_y))
        x, y = new_x, new_y
    return "".join(written)


def _number(value: float) -> str:
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text


def _placed(value: float) -> str:
    """Print a place to a tenth; millionths are dropped first, as matplotlib does."""
    return _number(round(value, 6))


def _short(value: float) -> str:
    return f"{value:f}".rstrip("0").rstrip(".")
