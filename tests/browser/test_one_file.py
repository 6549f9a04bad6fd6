"""The report as one HTML file is valid, loads nothing, keeps its policy, and its links and photos work."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from reportgen import publish, theme
from reportgen.sending import Forms
from tests.browser import chromium, links, test_html, tools
from tests.project import CONTENT

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def one(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give the one file of a demo boat, alone in a folder."""
    top = tmp_path_factory.mktemp("one")
    wish = publish.Wish(publish.edition_named("buyer"), theme.find(), forms=Forms(one_file=True))
    done = publish.publish(CONTENT / "packhorse", top / "packet", wish)
    name = done.sent[""][0].name
    (top / "alone").mkdir()
    return Path(shutil.copy(top / "packet" / name, top / "alone" / name))


def test_it_is_valid(one: Path) -> None:
    """The HTML checker has nothing to say, every link leads on, and the packet's page leads to it."""
    packet = one.parent.parent / "packet"
    assert not links.unlinked(packet, "SHA256SUMS", "costs.csv", "report.json")
    tools.nothing({"checker": test_html.faults(one.parent), "links": links.faults(one.parent)})


@pytest.mark.parametrize("view", chromium.VIEWS[:3:2], ids=lambda view: view.name)
def test_it_stands_alone(browser: Browser, one: Path, view: chromium.View) -> None:
    """With everything opened, nothing is asked for, the policy is kept, and every picture is there."""
    with chromium.visit(browser, one, view) as seen:
        seen.open_everything()
        assert not seen.outside
        assert not seen.console
        asked = [url for url in seen.requests if not url.startswith("data:image/jpeg")]
        assert asked == [one.resolve().as_uri()]
        empty = "[...document.images].filter(i => !i.naturalWidth).length"
        assert seen.page.evaluate(f"[document.images.length > 5, {empty}]") == [True, 0]
        styled = "getComputedStyle(document.querySelector('.limits')).borderLeftWidth"
        assert seen.page.evaluate(styled) == "9px"
        wide = "document.documentElement.scrollWidth - innerWidth"
        assert seen.page.evaluate(wide) <= 0


def test_appendix_can_be_handed_over(browser: Browser, one: Path) -> None:
    """On paper each begins on a sheet of its own, without the link back to the report."""
    with chromium.visit(browser, one) as seen:
        seen.page.emulate_media(media="print")
        begins = """[...document.querySelectorAll('.annex')].map(e => [getComputedStyle(e).breakBefore,
          e.querySelector(':scope > p:first-child a').getClientRects().length].join())"""
        assert set(seen.page.evaluate(begins)) == {"page,0"}


def test_photo_opens_where_it_stands(browser: Browser, one: Path) -> None:
    """A tap on a photo makes it as wide as the page, without a script."""
    with chromium.visit(browser, one, chromium.VIEWS[2]) as seen:
        # on a phone one that stands alone is as wide as that already
        photo = seen.page.locator(".at-a-glance a[id^='photo--'] img").first
        before = photo.bounding_box()
        photo.click()
        after = photo.bounding_box()
        assert before is not None
        assert after is not None
        assert after["width"] > 1.8 * before["width"]
        assert after["width"] > 600


def test_link_leads_to_the_other_pages(browser: Browser, one: Path) -> None:
    """The contents lead to what is a page of its own in the packet, and back."""
    with chromium.visit(browser, one, chromium.VIEWS[0]) as seen:
        seen.page.locator("nav a", has_text="Measurements in full").click()
        heading = seen.page.locator("section.annex h2", has_text="Measurements in full")
        box = heading.bounding_box()
        assert box is not None
        assert 0 <= box["y"] < 844
        seen.page.locator("section.annex a", has_text="To the report").first.click()
        assert seen.page.evaluate("scrollY") < 400
