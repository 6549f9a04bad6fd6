"""Every word on every page, those in charts included, stands out from what lies behind it, by WCAG 2.2."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser

from tests.browser import chromium, tools
from tests.project import READERS

Colour = tuple[float, ...]

# WCAG 2.2, success criterion 1.4.3: 4.5 to 1, and 3 to 1 for large text, which is 24 px, or 18.66 px bold.
NORMAL, LARGE = 4.5, 3.0
SCHEMES = {"light": ("light", "screen"), "dark": ("dark", "screen"), "paper": ("dark", "print")}

# For each piece of text: its colour, and the colours that lie behind its left, middle and right.
GATHER = """() => {
  const canvas = document.createElement('canvas');
  canvas.width = canvas.height = 1;
  const pen = canvas.getContext('2d', {willReadFrequently: true});
  const known = new Map();
  const colour = text => {
    if (!known.has(text)) {
      pen.clearRect(0, 0, 1, 1); pen.fillStyle = '#000'; pen.fillStyle = text; pen.fillRect(0, 0, 1, 1);
      const [r, g, b, a] = pen.getImageData(0, 0, 1, 1).data;
      known.set(text, [r, g, b, a / 255]);
    }
    return known.get(text);
  };
  // most words share what is around them, and a chart's words its shapes
  const once = make => {
    const made = new Map();
    return e => { if (!made.has(e)) made.set(e, make(e)); return made.get(e) };
  };
  const clear = once(e => e ? parseFloat(getComputedStyle(e).opacity) * clear(e.parentElement) : 1);
  const behind = once(e =>
    e ? [colour(getComputedStyle(e).backgroundColor), ...behind(e.parentElement)] : []);
  const SHAPES = 'rect, path, circle, ellipse, polygon';
  const shapes = once(svg => [...svg.querySelectorAll(SHAPES)]
    .filter(e => !e.closest('defs, clipPath, mask, pattern, symbol, marker'))
    .map(e => [e, getComputedStyle(e), e.getScreenCTM().inverse()])
    .filter(([e, style]) => style.fill !== 'none'));
  const under = (text, box) => [0.02, 0.5, 0.98].map(share => {
    const x = box.left + box.width * share, y = box.top + box.height / 2;
    let layers = behind(text.ownerSVGElement.parentElement);
    for (const [shape, style, into] of shapes(text.ownerSVGElement)) {
      if (!(shape.compareDocumentPosition(text) & Node.DOCUMENT_POSITION_FOLLOWING)) continue;
      if (!shape.isPointInFill(new DOMPoint(x, y).matrixTransform(into))) continue;
      const fill = style.fill;
      if (fill.startsWith('url')) { layers = [['a pattern']]; continue; }
      const [r, g, b, a] = colour(fill);
      layers = [[r, g, b, a * parseFloat(style.fillOpacity)], ...layers];
    }
    return layers;
  });
  const found = [];
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walk.nextNode(); node; node = walk.nextNode()) {
    const e = node.parentElement, words = node.textContent.trim();
    if (!words || e.closest('defs, title, desc, style, script')) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    const box = range.getBoundingClientRect(), style = getComputedStyle(e);
    // text for screen readers alone is one pixel large on purpose
    if (box.width < 2 || box.height < 2 || style.visibility !== 'visible') continue;
    const svg = e instanceof SVGElement;
    const ink = colour(svg ? style.fill : style.color).slice();
    ink[3] *= clear(e);
    found.push({words: words.slice(0, 40), ink, size: parseFloat(style.fontSize),
                bold: parseInt(style.fontWeight) >= 700, behind: svg ? under(e, box) : [behind(e)]});
  }
  // as one text, which is handed over faster than thousands of things
  return JSON.stringify(found);
}"""


def luminance(colour: Colour) -> float:
    """Give the relative luminance [-] of a colour of red, green and blue from 0 to 255, by WCAG 2.2."""
    parts = [c / 255 for c in colour[:3]]
    red, green, blue = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: Colour, other: Colour) -> float:
    """Give the contrast ratio [-] of two colours by WCAG 2.2, from 1 to 21."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def flat(layers: list[Colour]) -> Colour:
    """Give the colour that is seen when layers, the top one first, lie on white paper."""
    seen: Colour = (255.0, 255.0, 255.0)
    for *colour, alpha in reversed(layers):
        seen = tuple(alpha * c + (1 - alpha) * s for c, s in zip(colour, seen, strict=True))
    return seen


def _seen(layers: list[Any]) -> list[Any]:
    """Give the layers, the top one first, down to the first that nothing shines through."""
    opaque = (n for n, layer in enumerate(layers) if len(layer) == 4 and layer[3] == 1)
    return layers[: next(opaque, len(layers)) + 1]


def _weak(text: dict[str, Any]) -> str:
    """Say what is too weak about a piece of text, nothing if it stands out enough."""
    large = text["size"] >= 24 or (text["bold"] and text["size"] >= 18.66)
    least = LARGE if large else NORMAL
    for every in text["behind"]:
        layers = _seen(every)
        if ["a pattern"] in layers:
            return f"{text['words']}: on a pattern"
        ratio = contrast(flat([tuple(text["ink"]), *layers]), flat(layers))
        if ratio < least:
            return f"{text['words']}: {ratio:.2f} to 1, needs {least}"
    return ""


def faults(browser: Browser, path: Path, scheme: str) -> list[str]:
    """Give the words of a page that stand out too little in light, in dark or on paper."""
    colours, media = SCHEMES[scheme]
    with chromium.visit(browser, path, chromium.View("", 1280, 900, colours, phone=False)) as seen:
        seen.open_everything()
        seen.page.emulate_media(media="print" if media == "print" else "screen")
        texts = json.loads(seen.page.evaluate(GATHER))
    assert texts, f"no text on {path}"
    return sorted({w for t in texts if (w := _weak(t))})


@pytest.mark.browser
@pytest.mark.parametrize("edition", READERS)
def test_every_word_stands_out(browser: Browser, demo: Mapping[str, Path], edition: str) -> None:
    """No word of any page is weaker than the standard allows."""
    turns = tools.turns(edition, demo[edition], list(SCHEMES), share=0)
    tools.nothing({f"{p.relative_to(demo[edition])} {s}": faults(browser, p, s) for p, s in turns})


@pytest.mark.browser
@pytest.mark.parametrize("scheme", SCHEMES)
def test_sound_page_has_no_fault(browser: Browser, page_with: Callable[..., Path], scheme: str) -> None:
    """The page that faults are planted in is readable in light, in dark and on paper."""
    assert not faults(browser, page_with(), scheme)


PLANTED = {
    "plain text": ("light", {"swap": "--ink:#222 -> --ink:#888"}),
    "in the dark only": ("dark", {"swap": "--ink:#eee -> --ink:#555"}),
    "on paper only": ("paper", {"swap": "--ground:#fff;--ink:#000 -> --ground:#fff;--ink:#eee"}),
    "faded": ("light", {"head": "<style>p{opacity:.4}</style>"}),
    "on a box": ("light", {"head": "<style>p{background:#444}</style>"}),
    "half on a bar": (
        "light",
        {"swap": '<text x="10" y="20"> -> <text x="170" y="45">Long label</text><text>'},
    ),
    "on a pattern": (
        "light",
        {
            "swap_1": 'fill="#456" -> fill="url(#p)"',
            "swap_2": 'y="20" -> y="45"',
            "swap_3": '<rect x="0" -> <defs><pattern id="p" width="9" height="9"/></defs><rect x="0"',
        },
    ),
}


@pytest.mark.browser
@pytest.mark.parametrize("fault", PLANTED)
def test_planted_fault_is_found(browser: Browser, page_with: Callable[..., Path], fault: str) -> None:
    """Each way of hiding a word is seen, and only where it is hidden."""
    scheme, changes = PLANTED[fault]
    page = page_with(**changes)
    assert faults(browser, page, scheme)
    if fault.endswith("only"):
        assert not [s for s in SCHEMES if s != scheme and faults(browser, page, s)]


@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [
        ((0, 0, 0), (255, 255, 255), 21.0),
        ((255, 255, 255), (255, 255, 255), 1.0),
        # the grey known as the lightest that passes on white, and the next one, from memory
        ((118, 118, 118), (255, 255, 255), 4.54),
        ((119, 119, 119), (255, 255, 255), 4.48),
    ],
)
def test_contrast_by_the_formula(one: Colour, other: Colour, ratio: float) -> None:
    """The ratio is that of WCAG 2.2, the same both ways."""
    assert contrast(one, other) == pytest.approx(ratio, abs=0.005)
    assert contrast(other, one) == contrast(one, other)
