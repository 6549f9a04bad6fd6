"""The guide of the demo: its example is a survey without a mistake, and its lists are what the code has."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from reportgen import notes, racks, report
from reportgen.editions import buyer, yard
from reportgen.errors import Problems
from reportgen.report import Report
from tests import made
from tests.project import CONTENT, run

GUIDE = CONTENT / "guide"
PAGES = sorted(p.name for p in GUIDE.glob("*.md"))
_SAVED = re.compile(r"^Save this as `([\w-]+\.md)`.*?^````markdown\n(.*?)^````$", re.M | re.S)
_CODE = re.compile(r"`([^`\n]+)`")


@cache
def text(page: str) -> str:
    """Give a page as written."""
    return (GUIDE / page).read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def example(tmp_path_factory: pytest.TempPathFactory) -> Report:
    """Give the report of the survey that the guide has its reader type."""
    folder = tmp_path_factory.mktemp("guide") / "sandgrouse"
    folder.mkdir()
    saved = _SAVED.findall(text("02-first-survey.md"))
    assert [name for name, _ in saved] == ["cover.md", "aboard.md"]
    for name, note in saved:
        (folder / name).write_text(note, encoding="utf-8")
    return _read(folder)


def _read(folder: Path) -> Report:
    problems = Problems()
    survey = notes.read(folder, problems)
    assert survey is not None
    whole = report.build(survey, problems)
    assert [str(p) for p in problems.errors] == []
    return whole


def test_example_says_what_the_guide_says(example: Report) -> None:
    """Four findings, worst first, two readings outside, one thing forbidden, two parts not inspected."""
    severities = [f.finding.severity for f in example.findings]
    assert severities == ["stop", "settle", "settle", "schedule"]
    assert [limit.what for limit in example.use_limits] == ["using the cooker"]
    assert [r.assessment.outcome for r in example.readings] == ["outside", "outside"]
    assert [gap.part for gap in example.not_inspected] == ["mast above the spreaders", "sea trial"]
    assert not [f for f in example.findings if f.finding.title not in text("02-first-survey.md")]


def test_sums_of_the_guide_are_the_reports(example: Report) -> None:
    """The likely cost, and what the shared strip-down saves, stand on the page on money as computed."""
    assert example.estimate is not None
    total = example.estimate.likely
    assert f"**€{total:,.2f}**" in text("04-money.md")
    # by hand: 4 h at 80 with 20 % tax, and the seal's own hour and part
    assert (4 * 80 * 1.2, (80 + 140) * 1.2) == (384.0, 264.0)
    assert {"384.00", "264.00", "648.00"} <= set(re.findall(r"\d+\.\d\d", text("04-money.md")))


def test_yard_sees_no_name_and_no_price(example: Report) -> None:
    """What the page on editions says of the yard's holds for the example."""
    shown = repr(made.shown(example, yard.EDITION))
    assert "Tam Osgrave" not in shown
    assert "31500" not in shown
    assert "Tam Osgrave" in repr(made.shown(example, buyer.EDITION))


def test_work_done_and_checked_as_told(tmp_path: Path) -> None:
    """The lines of the last page fit into the example: a claim lifts no limit, a check does."""
    done, checked, _ = re.findall(r"^```yaml\n(.*?)^```", text("08-coming-back.md"), re.M | re.S)
    saved = dict(_SAVED.findall(text("02-first-survey.md")))
    for name, lines in (("claimed", done), ("closed", done + checked)):
        folder = tmp_path / name
        folder.mkdir()
        (folder / "cover.md").write_text(saved["cover.md"].replace("04-20", "04-30"), encoding="utf-8")
        told = saved["aboard.md"].replace("forbids: [using", f"{lines}forbids: [using")
        (folder / "aboard.md").write_text(told, encoding="utf-8")
    assert _read(tmp_path / "claimed").use_limits
    assert not _read(tmp_path / "closed").use_limits


def _first_column(page: str, head: str) -> list[str]:
    """Give the code in the first column of the table under a head row."""
    rows = text(page).partition(f"| {head} |")[2].splitlines()[2:]
    return [word for row in rows if row.startswith("|") for word in _CODE.findall(row.split("|")[1])]


def test_guide_names_every_kind_once() -> None:
    """The table of readings holds every kind that there is, and no other."""
    table = text("03-readings.md").partition("| about | kinds |")[2].partition("\n\n")[0]
    kinds = [kind.name for kind in racks.all_of("kinds", "KIND").values()]
    assert sorted(_CODE.findall(table)) == sorted(kinds)


def test_guide_names_every_edition() -> None:
    """The table of editions holds all of ours."""
    assert sorted(_first_column("05-editions.md", "edition")) == sorted(racks.names("editions"))


@pytest.mark.parametrize("page", PAGES)
def test_commands_of_the_guide_exist(page: str) -> None:
    """Each `reportgen COMMAND --option` that a page shows is taken by the command line."""
    shown = re.findall(r"(?<![\w./-])reportgen ([a-z]+)([^\n`]*)", text(page))
    known = racks.names("commands")
    assert [c for c, _ in shown if c not in known] == []
    for command, rest in shown:
        options = re.findall(r"(?<!\S)(--[a-z-]+)", rest)
        help_text = run(command, "--help").stdout if options else ""
        assert [o for o in options if o not in help_text] == []


def test_contents_of_the_guide() -> None:
    """The first page names the others in the order in which they follow each other."""
    named = re.findall(r"^\d+\. \[[^]]+\]\(([\w.-]+)\)", text(PAGES[0]), re.M)
    assert named == PAGES[1:]
