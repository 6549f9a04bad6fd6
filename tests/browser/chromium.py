"""Chromium without a network, and what it says, asks for and shows while a page is open."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from playwright.sync_api import Browser, Page, Playwright

FLAGS = [
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-dev-shm-usage",
    "--disable-gpu",
    "--disable-quic",
    "--disable-sync",
    "--hide-scrollbars",
    "--no-first-run",
    "--no-sandbox",
]
HARMLESS = ("file:", "data:", "blob:", "about:")


@dataclass(frozen=True)
class View:
    """How a reader looks at a page: width and height of the screen [px], light or dark, on a phone or not."""

    name: str
    width: int
    height: int
    scheme: str
    phone: bool


VIEWS = tuple(
    View(f"{device}-{scheme}", width, height, scheme, device == "phone")
    for device, width, height in (("phone", 390, 844), ("desktop", 1280, 900))
    for scheme in ("light", "dark")
)


@cache
def without_network() -> tuple[str, ...]:
    """Give the command that starts a program in an empty network of its own; empty if not allowed."""
    for flags in ("-n", "-rn"):
        command = ("unshare", flags, "--")
        if (
            shutil.which("unshare")
            and subprocess.run([*command, "true"], capture_output=True).returncode == 0
        ):
            return command
    return ()


def start(playwright: Playwright, folder: Path) -> Browser:
    """Start Chromium; `folder` takes the little script that cuts it off from every network."""
    program = shutil.which("chromium")
    assert program
    wrapper = folder / "chromium"
    wrapper.write_text(f'#!/bin/sh\nexec {" ".join(without_network())} {program} "$@"\n', encoding="utf-8")
    wrapper.chmod(0o755)
    return playwright.chromium.launch(executable_path=str(wrapper), args=FLAGS)


@dataclass
class Visit:
    """An open page, with every address it asked for and every word on the console."""

    page: Page
    requests: list[str] = field(default_factory=list)
    console: list[str] = field(default_factory=list)

    @property
    def outside(self) -> list[str]:
        """Give the addresses that are no part of the packet."""
        return [url for url in self.requests if not url.startswith(HARMLESS)]

    def open_everything(self) -> None:
        """Open what is folded and scroll to the end, so that nothing stays unseen or unloaded."""
        self.page.evaluate("document.querySelectorAll('details').forEach(d => { d.open = true })")
        self.page.evaluate(
            "async () => { for (let y = 0; y < document.documentElement.scrollHeight; y += 2 * innerHeight) {"
            " scrollTo(0, y); await new Promise(requestAnimationFrame) } scrollTo(0, 0) }"
        )
        self.page.wait_for_load_state("load")


@contextmanager
def visit(browser: Browser, path: Path, view: View = VIEWS[2]) -> Iterator[Visit]:
    """Open a page from its file as the view says; the policy of the page stays in force."""
    context = browser.new_context(
        viewport={"width": view.width, "height": view.height},
        device_scale_factor=2 if view.phone else 1,
        is_mobile=view.phone,
        has_touch=view.phone,
        color_scheme="dark" if view.scheme == "dark" else "light",
        reduced_motion="reduce",
    )
    seen = Visit(context.new_page())
    seen.page.on("request", lambda r: seen.requests.append(r.url))
    seen.page.on("websocket", lambda w: seen.requests.append(w.url))
    seen.page.on("console", lambda m: seen.console.append(f"{m.type}: {m.text}"))
    seen.page.on("pageerror", lambda e: seen.console.append(f"error: {e}"))
    seen.page.goto(path.resolve().as_uri(), wait_until="load")
    try:
        yield seen
    finally:
        context.close()
