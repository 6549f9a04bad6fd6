"""Skips or fails what needs a browser when there is none, and keeps one browser for all checks."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Playwright, sync_playwright

from tests.browser import chromium, planted, tools
from tests.project import CONTENT, publish


def pytest_runtest_setup(item: pytest.Item) -> None:
    """Stop a browser check on a machine without the tools, by the reason."""
    if item.get_closest_marker("browser") and (gone := tools.missing()):
        reason = f"not on this machine: {', '.join(gone)}; .ci/run installs them"
        (pytest.fail if tools.REQUIRED else pytest.skip)(reason)


@pytest.fixture(scope="session")
def driver() -> Iterator[Playwright]:
    """Give what starts browsers; there can be one in a process."""
    with sync_playwright() as started:
        yield started


@pytest.fixture(scope="session")
def browser(driver: Playwright, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    """Give a Chromium that reaches no network."""
    started = chromium.start(driver, tmp_path_factory.mktemp("chromium"))
    yield started
    started.close()


@pytest.fixture
def page_with(tmp_path: Path) -> Callable[..., Path]:
    """Give a maker of the sound page with faults planted in it."""

    def make(head: str = "", body: str = "", **swaps: str) -> Path:
        path = tmp_path / "page.html"
        path.write_text(planted.page(head, body, **swaps), encoding="utf-8")
        return path

    return make


@pytest.fixture(scope="session")
def dressed(
    once: Callable[[str, Callable[[], Any]], Any], tmp_path_factory: pytest.TempPathFactory
) -> Mapping[str, Path]:
    """Give one boat's packet in each dress but the usual one: another theme, another language."""

    def published() -> dict[str, str]:
        found = {}
        for name, (boat, *options) in tools.DRESSES.items():
            folder = tmp_path_factory.mktemp("dressed") / name
            publish(folder, tools.FULL_EDITION, CONTENT / boat, *options)
            found[name] = str(folder)
        return found

    return {name: Path(folder) for name, folder in once("dressed", published).items()}
