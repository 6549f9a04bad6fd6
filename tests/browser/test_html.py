"""The pages are valid HTML, CSS and SVG by the Nu HTML checker, warnings included."""

from __future__ import annotations

import base64
import hashlib
import json
import subprocess
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

from tests.browser import planted, tools

pytestmark = pytest.mark.browser

# The checker takes a style element that the policy allows by its hash for one that it forbids.
# Chromium knows better, and test_look.py proves with it that the policy is kept.
FALSE_ALARM = ".*Content Security Policy.*"


def faults(*folders: Path) -> list[str]:
    """Give every error and warning of the checker in one batch over all pages of the folders."""
    options = ["--also-check-css", "--also-check-svg", "--skip-non-html", "--format", "json"]
    command = ["java", "-jar", str(tools.NU), *options, "--filterpattern", FALSE_ALARM, *map(str, folders)]
    result = subprocess.run(command, capture_output=True, text=True, timeout=300)
    messages = json.loads(result.stderr)["messages"]
    return [f"{Path(m.get('url', '?')).name}:{m.get('lastLine', 0)}: {m['message']}" for m in messages]


def test_demo_is_valid(demo: Mapping[str, Path], dressed: Mapping[str, Path]) -> None:
    """The checker has nothing to say about any page of any edition, in the other theme, in German."""
    tools.nothing({"site": faults(*demo.values(), *dressed.values())})


PLANTED = {
    "no-alternative": ({"body": '<img src="x.png">'}, "alt"),
    "no-language": ({"swap": '<html lang="en"> -> <html>'}, "lang"),
    "no-title": ({"swap": "<title>Sound page</title> -> "}, "title"),
    "twice": ({"body": '<p id="a">x</p><p id="a">y</p>'}, "Duplicate ID"),
    "stray": ({"body": "</section>"}, "Stray end tag"),
    "unknown-style": ({"head": "<style>p{colour:red}</style>"}, "colour"),
    "in-a-picture": ({"swap": "<rect  -> <rect widht='1' "}, "widht"),
    "old": ({"body": "<center>x</center>"}, "obsolete"),
}


def _policy() -> str:
    """Give a strict policy that allows the sound page's own style by its hash."""
    digest = base64.b64encode(hashlib.sha256(planted.STYLE.encode()).digest()).decode()
    policy = f"default-src 'none'; img-src 'self' data:; style-src 'sha256-{digest}'"
    return f'<meta http-equiv="Content-Security-Policy" content="{policy}">'


@pytest.fixture(scope="module")
def found(
    once: Callable[[str, Callable[[], Any]], Any], tmp_path_factory: pytest.TempPathFactory
) -> list[str]:
    """Give what the checker says of a sound page and of one page a planted fault, in one batch."""
    folder = tmp_path_factory.mktemp("planted")
    pages = {"sound": planted.page(head=_policy())}
    pages |= {name: planted.page(**changes) for name, (changes, _) in PLANTED.items()}
    for name, text in pages.items():
        (folder / f"{name}.html").write_text(text, encoding="utf-8")
    said: list[str] = once("checker on planted faults", lambda: faults(folder))
    return said


def test_sound_page_is_valid(found: list[str]) -> None:
    """A sound page passes, and a policy with a hash raises no false alarm."""
    assert not [f for f in found if f.startswith("sound.html")]


@pytest.mark.parametrize("name", PLANTED)
def test_planted_fault_is_found(found: list[str], name: str) -> None:
    """The checker looks into HTML, CSS and SVG and is heard."""
    word = PLANTED[name][1]
    assert [f for f in found if f.startswith(f"{name}.html") and word in f]
