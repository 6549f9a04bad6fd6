"""A breach is told in words: by the row it stands in, and in the table under the chart, whatever the kind."""

from __future__ import annotations

import dataclasses

import pytest

from reportgen import breaches, plots
from reportgen.chart import Chart, Table
from reportgen.kind import Judged
from reportgen.limits import Limit
from reportgen.wording import speaking
from tests.kinds.altered import ABOUT, KINDS, example
from tests.test_plots import table

LIMIT = Limit("maximum", 92, "°C", "maximum", "invented manual 4A", "", "note", "coolant")
COOLANT = ("coolant", "", "°C")
RUN = table({"idle": ["70"], "2200": ["97"], "2400": ["99"]}, COOLANT)


def broken(*where: str, of: str = "coolant") -> Judged:
    """Give a limit broken at some places."""
    return Judged(dataclasses.replace(LIMIT, of=of), 97, "outside", where, where[0])


@pytest.mark.parametrize(
    ("judged", "said"),
    [
        (broken("2200, coolant"), "at 2200 rpm"),
        (broken("2200, coolant", "2400, coolant"), "at 2200 and 2400 rpm"),
        (broken("idle, coolant", "2200, coolant"), "at idle and 2200 rpm"),
        (broken("2200, coolant", of=""), "coolant, at 2200 rpm"),
        (broken("coolant"), ""),
        (broken("galley"), "at galley"),
    ],
)
def test_breach_is_told_by_its_row(judged: Judged, said: str) -> None:
    """A speed stands with its unit behind what was read there; a limit's own name isn't said twice."""
    assert breaches.where("sea-trial", judged, RUN) == said


def test_breach_of_a_sample_is_told_by_its_day() -> None:
    """A laboratory's sample is of a day, and a cylinder's number is told as one."""
    samples = table({"2026-05-03": ["70"], "2026-06-04": ["80"]}, ("iron", "", "ppm"))
    both = broken("2026-05-03, iron", "2026-06-04, iron", of="iron")
    assert breaches.where("oil-analysis", both, samples) == "on 2026-05-03 and 2026-06-04"
    assert breaches.where("compression", broken("3"), None) == "at cylinder 3"


def chart_of(file: str, **changed: object) -> tuple[Chart | None, tuple[Judged, ...]]:
    """Give the chart of a kind's example as a report shows it, and what was judged."""
    found = KINDS[file].assess(example(file), ABOUT)
    return found.chart and breaches.in_table(found.chart, found.judged), found.judged


@pytest.mark.parametrize("file", KINDS)
def test_table_says_outside_in_words(file: str) -> None:
    """Where a reading is outside, the table under its chart says so by a word, once a row at the least."""
    chart, judged = chart_of(file)
    if chart is None:
        return
    marked = [row for row in chart.table.rows if any(cell.endswith(", outside") for cell in row)]
    assert bool(marked) == any(each.outcome == "outside" for each in judged)
    assert all(len(row) == len(chart.table.header) for row in chart.table.rows)


def test_cylinders_are_marked_where_they_stand() -> None:
    """Compression and leak-down mark the low cylinder's own value, as every other chart's table does."""
    for file, low in (("compression", "3"), ("leak_down", "2")):
        chart, _ = chart_of(file)
        assert chart is not None
        assert [row[0] for row in chart.table.rows if row[1].endswith(", outside")] == [low]


def test_difference_gets_a_row_of_its_own() -> None:
    """What lies between two values is told below them; in another language by that one's word."""
    bare = Chart("bars", "T", "A.", {}, Table(("Place", "found (in)", "remark"), (("top", "0.006", "-"),)))
    askew = broken("largest minus smallest gap", of="")
    assert breaches.in_table(bare, [askew]).table.rows[1:] == (
        ("largest minus smallest gap", "97 °C, outside", "-"),
    )
    assert breaches.in_table(bare, [dataclasses.replace(askew, outcome="within")]) is bare
    with speaking("de"):
        assert breaches.in_table(bare, [askew]).table.rows[1][1] == plots.marked("97 °C", outside=True)
