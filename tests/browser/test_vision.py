"""Who sees colours otherwise, or none, tells severities and the bars of a chart apart all the same."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from io import BytesIO
from itertools import combinations, product
from pathlib import Path

import pytest
from PIL import Image, ImageChops
from playwright.sync_api import Browser, Locator, Page

from reportgen import theme
from reportgen.chart import Chart, Table
from reportgen.charts import counts
from tests.browser import chromium, tools

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("dresses")]

# what Chromium can show a page as, to such eyes
EYES = ("protanopia", "deuteranopia", "tritanopia", "achromatopsia")
# Two pictures can be told apart if on this share of their dots the greys differ by this much, wherever
# between the dots of the screen they begin.
APART, LEAST = 64, 0.05
BARS = "path[class*='c-bar'], path[class*='c-paper'], path[fill^='url']"

Pictures = dict[str, Image.Image]
_Seen = Callable[[str], Page]  # the page, as eyes of a kind see it; "none" for the usual ones


@contextmanager
def _seen(browser: Browser, path: Path, view: chromium.View = chromium.VIEWS[0]) -> Iterator[_Seen]:
    with chromium.visit(browser, path, view) as seen:
        link = seen.page.context.new_cdp_session(seen.page)

        def through(eyes: str) -> Page:
            link.send("Emulation.setEmulatedVisionDeficiency", {"type": eyes})
            return seen.page

        yield through


def _shot(element: Locator) -> Image.Image:
    with Image.open(BytesIO(element.screenshot())) as shot:
        return shot.convert("RGB")


def _differ(one: Image.Image, other: Image.Image) -> float:
    """Give the share of dots that differ when one picture is laid over the other as well as can be."""
    width, height = min(one.width, other.width), min(one.height, other.height)
    inner = one.convert("L").crop((1, 1, width - 1, height - 1))
    shares = []
    for x, y in product((0, 1, 2), repeat=2):
        laid = other.convert("L").crop((x, y, x + inner.width, y + inner.height))
        shares.append(sum(ImageChops.difference(inner, laid).histogram()[APART:]))
    return min(shares) / (inner.width * inner.height)


def _alike(kind: str, pictures: Mapping[str, Image.Image]) -> list[str]:
    """Give the pairs of pictures that can't be told apart by light and dark alone."""
    return [
        f"{kind} {one} and {other} look alike"
        for (one, a), (other, b) in combinations(pictures.items(), 2)
        if _differ(a, b) < LEAST
    ]


def _marks(page: Page) -> Pictures:
    """Give the marks of the severities, each by the word beside it."""
    groups = page.locator(".group").all()
    found = {g.locator("strong").inner_text(): _shot(g.locator("svg")) for g in groups}
    assert len(found) == len(groups) == 5
    return found


def _bars(page: Page, count: int = 5) -> Pictures:
    """Give the middle of each bar of the chart of severities, as painted, whatever its length."""
    chart = page.locator(".chart svg").first
    whole, frame = _shot(chart), chart.bounding_box()
    assert frame
    found = {}
    for number, path in enumerate(chart.locator(f":scope > :is({BARS})").all(), 1):
        box = path.bounding_box()
        assert box
        # two dots a pixel
        x, y = 2 * (box["x"] - frame["x"]) + box["width"], 2 * (box["y"] - frame["y"]) - 1
        # the word before the bar is left out
        found[str(number)] = whole.crop((int(x) - 8, int(y), int(x) + 40, int(y + 2 * box["height"]) + 2))
    assert len(found) == count
    return found


def faults(browser: Browser, path: Path, eyes: tuple[str, ...] = EYES) -> list[str]:
    """Give what looks alike on a report's page to eyes of each kind."""
    found = []
    with _seen(browser, path) as through:
        for kind in eyes:
            page = through(kind)
            alike = [*_alike("marks", _marks(page)), *_alike("bars", _bars(page))]
            found += [f"{kind}: {fault}" for fault in alike]
    return found


def test_severities_stand_apart_without_colour(
    browser: Browser, demo: Mapping[str, Path], dressed: Mapping[str, Path]
) -> None:
    """Marks and bars of all severities differ pairwise to eyes of each kind, and in the theme for copies."""
    usual = demo[tools.FULL_EDITION] / tools.FULL_BOAT / "index.html"
    copies = dressed["carbon"] / "index.html"
    tools.nothing({"base": faults(browser, usual), "carbon": faults(browser, copies, EYES[-1:])})


COLOURS_OF = (
    {"color_scheme": "light"},
    {"color_scheme": "dark"},
    {"color_scheme": "light", "forced_colors": "active"},
)


def like_bars(browser: Browser, page: Path, each: Sequence[Mapping[str, str]] = COLOURS_OF) -> list[str]:
    """Give what bars of a chart of all meanings look alike: light, dark, in the reader's own colours."""
    found = []
    with _seen(browser, page) as through:
        shown = through("achromatopsia")
        for colours in each:
            shown.emulate_media(**colours)  # type: ignore[arg-type]
            alike = _alike("bars", _bars(shown, len(counts.LOOKS)))
            found += [f"{' '.join(colours.values())}: {fault}" for fault in alike]
    return found


def _of_all(folder: Path, dress: str) -> Path:
    """Write a page of a theme that holds the chart of all severities and of what is checked."""
    rows = tuple({"label": word, "count": 1, "means": word} for word in counts.LOOKS)
    svg = counts.draw(Chart("counts", "Findings", "One each.", {"rows": rows}, Table((), ())), "c")
    page = folder / f"{dress}.html"
    style = f"<style>{theme.find(dress).style}</style>"
    page.write_text(f'<!doctype html>{style}<figure class="chart counts">{svg}</figure>', encoding="utf-8")
    return page


@pytest.mark.parametrize("dress", ["base", "carbon"])
def test_every_meaning_has_a_bar_of_its_own(browser: Browser, tmp_path: Path, dress: str) -> None:
    """Without any colour, the bars of severities and of what is checked differ pairwise in each theme."""
    assert not like_bars(browser, _of_all(tmp_path, dress))


def test_bars_alike_are_found(browser: Browser, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(counts.LOOKS, "checked", counts.LOOKS["sound"])
    page = _of_all(tmp_path, "base")
    assert like_bars(browser, page, COLOURS_OF[:1]) == ["light: bars 5 and 6 look alike"]


GROUP = (
    '<p class="group"><svg viewBox="0 0 9 9" width="40" height="40">'
    '<rect width="9" height="9" fill="{}"/></svg>'
    "<strong>{}</strong></p>"
)
# of one luminance, as different as five colours can be
COLOURS = ("#c00000", "#007a00", "#5a5aff", "#8a5f00", "#9a2fa8")


def test_colour_alone_is_not_enough(browser: Browser, page_with: Callable[..., Path]) -> None:
    """Marks that differ only by their colour are found out, and the eyes without colour see none."""
    page = page_with(body="".join(GROUP.format(colour, n) for n, colour in enumerate(COLOURS)))
    with _seen(browser, page) as through:
        usual, grey = _marks(through("none")), _marks(through("achromatopsia"))
    assert len({picture.getpixel((40, 40)) for picture in usual.values()}) == 5
    for picture in grey.values():
        red, green, blue = picture.getpixel((40, 40))  # type: ignore[misc]
        assert max(red, green, blue) - min(red, green, blue) < 4
    assert _alike("marks", grey)


def test_screenshots(browser: Browser, demo: Mapping[str, Path], dressed: Mapping[str, Path]) -> None:
    """Each boat's first screen and charts, to eyes of all kinds, if REPORTGEN_SCREENSHOTS names a folder."""
    folder = os.environ.get("REPORTGEN_SCREENSHOTS")
    if not folder:
        pytest.skip("REPORTGEN_SCREENSHOTS names no folder for the pictures")
    site = demo[tools.FULL_EDITION]
    reports = {p.parent.name: p for p in site.glob("*/report.json")}
    pages = {boat: site / boat / "index.html" for boat in reports}
    pages["carbon"] = dressed["carbon"] / "index.html"
    for name, path in pages.items():
        with _seen(browser, path) as through:
            for eyes in EYES:
                page, to = through(eyes), Path(folder) / f"{name}-{eyes}"
                page.evaluate("scrollTo(0, 0)")
                page.screenshot(path=f"{to}.png")
                for number, chart in enumerate(page.locator(".chart > svg").all(), 1):
                    chart.screenshot(path=f"{to}-chart-{number}.png")
                assert Path(f"{to}-chart-1.png").stat().st_size > 1000
