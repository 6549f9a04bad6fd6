"""Draws a sheet by matplotlib alone: what reportgen writes by itself has to be the same."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from html import escape
from io import StringIO
from typing import Any

import matplotlib
from matplotlib.artist import Artist
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure
from matplotlib.patches import PathPatch
from matplotlib.path import Path
from matplotlib.text import Text
from matplotlib.transforms import Affine2D, Transform

from reportgen import drawing
from reportgen.drawing import PALETTE, SIZE, WIDTH, _Shape, _Words

# matplotlib gets a colour of its own for each class, so that the class can be read off afterwards
_STAND_IN = {name: f"#0000{number:02x}" for number, name in enumerate(PALETTE, 1)}
_CLASS_OF = {colour: name for name, colour in _STAND_IN.items()}
_NO_METADATA = dict.fromkeys(("Creator", "Date", "Format", "Type"))


def body(marks: Iterable[_Shape | _Words], height: float, key: str) -> str:
    """Give the patterns, paths and texts of a picture as matplotlib draws it."""
    return "".join(_rewrite(_drawn(marks, height), key))


def _drawn(marks: Iterable[_Shape | _Words], height: float) -> ET.Element:
    """Let matplotlib draw the marks; give what it wrote."""
    with matplotlib.rc_context(drawing._SETTINGS):
        figure = Figure(figsize=(WIDTH / 72, height / 72), dpi=72)
        figure.patch.set_visible(False)
        down = Affine2D().scale(1, -1).translate(0, height)
        for depth, mark in enumerate(marks):
            artist = _patch(mark, down) if isinstance(mark, _Shape) else _text(mark, down)
            artist.set_zorder(depth)
            figure.add_artist(artist)
        written = StringIO()
        canvas: Any = FigureCanvasSVG(figure)
        canvas.print_svg(written, metadata=_NO_METADATA)
    return ET.fromstring(written.getvalue())  # noqa: S314 - matplotlib wrote it


def _text(words: _Words, down: Transform) -> Artist:
    anchor = {"start": "left", "middle": "center", "end": "right"}[words.anchor]
    return _unmeasured()(
        words.x, words.y, words.text, size=words.size, weight="bold" if words.bold else "normal",
        ha=anchor, color=_STAND_IN["c-text"], transform=down,
    )  # fmt: skip


@cache
def _unmeasured() -> type[Text]:
    """Give a matplotlib text that is written as it is."""

    class Unmeasured(Text):
        def draw(self, renderer: Any) -> None:
            pen = renderer.new_gc()
            pen.set_foreground(self.get_color())
            x, y = self.get_transform().transform(self.get_position())
            renderer.draw_text(
                pen, x, renderer.height - y, self.get_text(), self.get_fontproperties(), 0, False, self
            )
            pen.restore()

    return Unmeasured


def _rewrite(drawn: ET.Element, key: str) -> Iterator[str]:
    """Give the patterns, paths and texts of a drawn picture, each with class and literal colour."""
    patterns = [e for e in drawn.iter() if _tag(e) == "pattern"]
    names = {p.attrib["id"]: f"{key}-h{n}" for n, p in enumerate(patterns, 1)}
    inside = {id(e) for p in patterns for e in p}
    if patterns:
        yield "<defs>"
    for pattern in patterns:
        size = f'width="{pattern.attrib["width"]}" height="{pattern.attrib["height"]}"'
        yield f'<pattern id="{names[pattern.attrib["id"]]}" patternUnits="userSpaceOnUse" {size}>'
        yield from (_element(e, names) for e in pattern)
        yield "</pattern>"
    if patterns:
        yield "</defs>"
    for element in drawn.iter():
        if _tag(element) in ("path", "text") and id(element) not in inside:
            yield _element(element, names)


def _tag(element: ET.Element) -> str:
    return element.tag.rpartition("}")[2]


def _element(element: ET.Element, names: Mapping[str, str]) -> str:
    style = dict(part.split(": ", 1) for part in element.attrib.get("style", "").split("; ") if ": " in part)
    given = {**element.attrib, **style}
    if given.get("fill") == given.get("stroke"):
        given["fill"] = "none"  # the lines of a hatching enclose nothing
    tag = _tag(element)
    kept = {"path": _path_attributes, "text": _text_attributes, "rect": _box_attributes}[tag](given)
    if tag == "text":  # its class and colour are the picture's
        attributes = "".join(f' {name}="{value}"' for name, value in kept.items())
        return f"<text{attributes}>{escape(element.text or '', quote=False)}</text>"
    classes = []
    for use in ("fill", "stroke"):
        value = given.get(use, "")
        if value in _CLASS_OF:
            classes.append(_CLASS_OF[value])
            kept[use] = PALETTE[_CLASS_OF[value]]
        elif value.startswith("url(#"):
            kept[use] = f"url(#{names[value[5:-1]]})"
        elif use == "fill":
            kept[use] = "none"
    attributes = "".join(f' {name}="{value}"' for name, value in {"class": " ".join(classes), **kept}.items())
    return f"<{tag}{attributes}/>"


def _text_attributes(given: Mapping[str, str]) -> dict[str, str]:
    kept = {"x": drawing._number(float(given["x"])), "y": drawing._number(float(given["y"]))}
    # older matplotlibs write one `font: 700 11px ...`, newer ones a property each
    size = re.findall(r"([\d.]+)px", given["style"])[0]
    if size != drawing._number(SIZE):
        kept["font-size"] = size
    if re.search(r"font(-weight)?: 700\b", given["style"]):
        kept["font-weight"] = "700"
    if given["text-anchor"] != "start":
        kept["text-anchor"] = given["text-anchor"]
    return kept


def _box_attributes(given: Mapping[str, str]) -> dict[str, str]:
    return {name: given[name] for name in ("width", "height")}


def _patch(shape: _Shape, down: Transform) -> Artist:
    points: list[tuple[float, float]] = []
    codes: list[Any] = []
    for run in shape.runs:
        points += [*run, run[0]] if shape.closed else run
        codes += [Path.MOVETO, *[Path.LINETO] * (len(run) - 1), *[Path.CLOSEPOLY] * shape.closed]
    return PathPatch(
        Path(points, codes),
        facecolor=_STAND_IN.get(shape.fill, "none"),
        edgecolor=_STAND_IN.get(shape.stroke, "none"),
        linewidth=shape.width,
        linestyle=(0, shape.dash) if shape.dash else "solid",
        hatch=shape.hatch or None,
        transform=down,
    )


def _path_attributes(given: Mapping[str, str]) -> dict[str, str]:
    kept = {"d": drawing._short_path(given.get("d", ""))}
    for name in ("stroke-width", "stroke-dasharray"):
        # 1 is what SVG takes if nothing is said
        if name in given and given[name] not in ("1", "1.0"):
            kept[name] = given[name]
    return kept
