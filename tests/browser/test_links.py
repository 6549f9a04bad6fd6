"""Every link of the published demo leads somewhere, and every file is led to."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from tests.browser import links, planted, tools
from tests.project import READERS

# A program asks for these by name; that a page also links to them is welcome, not needed.
BY_NAME = ("SHA256SUMS", "costs.csv", "report.json", "reports.json")


def _reports(folder: Path) -> list[Path]:
    found = sorted(p.parent for p in folder.rglob("report.json"))
    assert found, f"no report in {folder}"
    return found


@pytest.mark.parametrize("edition", READERS)
def test_every_link_leads_somewhere(demo: Mapping[str, Path], edition: str) -> None:
    """No link of the site is broken, leaves the folder or loads from outside; no id stands twice."""
    tools.nothing({edition: links.faults(demo[edition])})


@pytest.mark.parametrize("edition", READERS)
def test_every_file_is_reached(demo: Mapping[str, Path], edition: str) -> None:
    """No file lies in the site that no page leads to."""
    assert not links.unlinked(demo[edition], *BY_NAME)


@pytest.mark.parametrize("edition", READERS)
def test_report_stands_alone(demo: Mapping[str, Path], edition: str) -> None:
    """A report's folder that is sent by itself has no link that leads out of it."""
    tools.nothing({r.name: links.faults(r) for r in _reports(demo[edition])})


@pytest.fixture
def site(tmp_path: Path) -> Path:
    """Give a folder of two sound pages, a style sheet and a picture that link to each other."""
    head = '<link rel="stylesheet" href="a/style.css">'
    body = '<p id="here"><a href="a/other.html#there">on</a> <a href="#here">up</a>'
    body += '<img src="a/p%20q.png" alt=""></p>'
    (tmp_path / "a").mkdir()
    (tmp_path / "index.html").write_text(planted.page(head, body), encoding="utf-8")
    (tmp_path / "a" / "other.html").write_text(
        planted.page(
            body='<p id="there"><a href="../index.html">back</a> <a href="https://example.org">web</a></p>'
        ),
        encoding="utf-8",
    )
    (tmp_path / "a" / "style.css").write_text("p{background:url('p q.png')}", encoding="utf-8")
    (tmp_path / "a" / "p q.png").write_bytes(b"")
    return tmp_path


def test_sound_site_has_no_fault(site: Path) -> None:
    """Links forth and back, with blanks in names and to the web by choice, are in order."""
    assert not links.faults(site)
    assert not links.unlinked(site)


PLANTED = {
    '<a href="gone.html">x</a>': "no such file",
    '<a href="a/other.html#gone">x</a>': "no such place on the page",
    '<a href="#gone">x</a>': "no such place on the page",
    '<a href="../outside.html">x</a>': "leaves the folder",
    '<a href="/index.html">x</a>': "begins at the root of a server",
    '<a href="a">x</a>': "points to a folder",
    '<a href="javascript:alert(1)">x</a>': "a scheme that no report needs",
    '<a href="//example.org/x" ping="https://example.org/p">x</a>': "loads from outside",
    '<img src="https://example.org/x.png" alt="">': "loads from outside",
    '<img srcset="a/p%20q.png 1x, a/gone.png 2x" alt="">': "no such file",
    '<link rel="preconnect" href="https://example.org">': "loads from outside",
    '<link rel="dns-prefetch" href="//example.org">': "loads from outside",
    '<meta http-equiv="refresh" content="0; url=https://example.org">': "loads from outside",
    '<p style="background:url(https://example.org/x)">x</p>': "loads from outside",
    "<style>@import 'https://example.org/x.css'</style>": "loads from outside",
    '<svg><use href="other.svg#x"/></svg>': "no such file",
    '<p id="twice">x</p><p id="twice">x</p>': "id twice stands twice",
    '<p aria-labelledby="gone">x</p>': "no id gone",
}


@pytest.mark.parametrize("fault", PLANTED)
def test_planted_fault_is_found(site: Path, fault: str) -> None:
    """Each kind of bad link is seen, and told by its kind."""
    (site / "a" / "bad.html").write_text(planted.page(body=fault), encoding="utf-8")
    (site / "index.html").write_text(planted.page(body=fault), encoding="utf-8")
    assert any(PLANTED[fault] in found for found in links.faults(site))


def test_other_case_is_found(site: Path) -> None:
    """A name in another case is a fault on every disk, also on one that would find the file."""
    (site / "index.html").write_text(planted.page(body='<a href="A/other.html">x</a>'), encoding="utf-8")
    assert any("no such file" in f or "another case" in f for f in links.faults(site))


def test_lonely_file_is_found(site: Path) -> None:
    """A file that no page leads to is named."""
    (site / "a" / "lonely.txt").write_text("", encoding="utf-8")
    (site / "SHA256SUMS").write_text("", encoding="utf-8")
    assert links.unlinked(site, *BY_NAME) == ["a/lonely.txt"]
