"""A reader who works out any printed sum by hand comes to the printed result, to the cent."""

from __future__ import annotations

import ast
import itertools
import operator
import re
from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from fractions import Fraction
from math import floor
from pathlib import Path

import pytest
from bs4 import BeautifulSoup, Tag
from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen import estimate, settlement
from reportgen.billwords import MoneyStep
from reportgen.blocks.repair import Repair
from reportgen.estimate import Estimate
from reportgen.model import Cover, Finding
from reportgen.units import Span
from tests import money
from tests.test_bill import surveys

_SIGNS = {ast.Add: operator.add, ast.Sub: operator.sub, ast.Mult: operator.mul, ast.Div: operator.truediv}
# as a reader of English reads them: a share is of what it is multiplied with, an hour is a number
_READ = {"\u2212": "-", "\u00d7": "*", "\u202f": " ", "NZ$": "", "$": "", "€": "", ",": ""}
_CAPPED = re.compile(r"(.+), cap (\S+)")


def by_hand(text: str) -> Fraction | None:
    """Give what numbers with signs between come to; None where words say something else."""
    text = text.replace("\u00a0", " ")
    if capped := _CAPPED.fullmatch(text):
        both = [by_hand(part) for part in capped.groups()]
        return min(value for value in both if value is not None)
    for sign, read in _READ.items():
        text = text.replace(sign, read)
    text = re.sub(r"([\d.]+) %( of)?", r"(\1/100)\2", re.sub(r"([\d.]) (h|min)\b", r"\1", text)).replace(
        " of", " *"
    )
    # numbers side by side are a list, and no sum
    if not re.fullmatch(r"[-+*/()\d. ]+", text) or re.search(r"\d +[\d(]", text):
        return None
    return _value(ast.parse(text.strip(), mode="eval").body, text)


def _value(node: ast.expr, text: str) -> Fraction:
    if isinstance(node, ast.BinOp):
        return Fraction(_SIGNS[type(node.op)](_value(node.left, text), _value(node.right, text)))
    if isinstance(node, ast.UnaryOp):
        return _value(node.operand, text) * (-1 if isinstance(node.op, ast.USub) else 1)
    return Fraction(ast.get_source_segment(text.strip(), node) or "")


def _cents(value: Fraction) -> Fraction:
    return Fraction(floor(value * 100 + Fraction(1, 2)), 100)


def wrong(values: str, result: str) -> str:
    """Say what is wrong with a printed sum; empty if it comes out or is told in words."""
    value = by_hand(values)
    if value is None:
        return ""
    printed = by_hand(result)
    assert printed is not None, f"{values} is {result}"
    share = 100 if result.rstrip().endswith("%") else 1
    return "" if _cents(value * share) == printed * share else f"{values} is not {result}"


@pytest.mark.parametrize(
    ("values", "result", "right"),
    [
        ("$8,177.90 − $7,252.46", "$925.45", False),
        ("$8,177.92 − $7,252.47", "$925.45", True),
        ("6 % × ($2,180.00 + $80.00)", "$135.60", True),
        ("6 % × $2,392.50, cap $80.00", "$80.00", True),
        ("0.5 h × 50 % of $145.00", "$36.25", True),
        ("0.3333 h × $14,500.00", "$4,833.33", False),
        ("$4,745.12 / $36,500.00", "13.00 %", True),
        ("$4,745.12 / $36,500.00", "13.01 %", False),
        ("11.38 m × 34.50, at least 290", "$1.00", True),
    ],
)
def test_a_sum_is_read_as_a_reader_does(values: str, result: str, right: bool) -> None:
    """The last is told in words, and no sum."""
    assert (wrong(values, result) == "") is right


def _steps(found: Estimate | None, findings: list[Finding], notes: Cover) -> Iterator[MoneyStep]:
    """Give every step of the page of sums."""
    yield from found.working if found else ()
    deal = settlement.build(found, notes, findings)
    if deal:
        for way in (*deal.ways, *deal.other_credits):
            yield from (*way.steps, *way.range_steps)
        yield from (*(deal.material.steps if deal.material else ()), *deal.sunk.steps)


def _wrong(steps: Iterable[MoneyStep]) -> list[str]:
    return [f"{s.step}: {said}" for s in steps if (said := wrong(s.values, s.result))]


@settings(max_examples=40)
@given(surveys(), st.integers(1, 59))
def test_every_sum_of_any_survey_comes_out(survey: tuple[list[Finding], Cover], minutes: int) -> None:
    """Also where hours are noted in minutes, which no number of decimals holds."""
    findings, notes = survey
    labour = Span(*[Decimal(minutes) / 60] * 3, "h")
    findings = [*findings, money.finding("minutes", Repair(labour=labour, trade="rigging"))]
    assert _wrong(_steps(estimate.build(findings, notes), findings, notes)) == []


def test_hours_without_end_stand_in_minutes_where_it_counts() -> None:
    """20 min at 1,450.00 are 483.33, and 0.3333 h would be 483.29; at 7.50 both are 2.50."""
    third = money.finding("a", Repair(labour=Span(*[Decimal(1) / 3] * 3, "h")))
    found = estimate.build([third], money.cover(rates=money.rates("1450")))
    assert found is not None
    assert found.working[0].values == "20 min / 60 × $1,450.00"
    assert _wrong(found.working) == []
    found = estimate.build([third], money.cover(rates=money.rates("7.50")))
    assert found is not None
    assert found.working[0].values == "0.3333 h × $7.50"


def test_the_saving_comes_out_beside_the_printed_total() -> None:
    """Each repair by itself, less the total as printed, is the saving: no figure of its own rounding."""
    found = estimate.build([money.BELLOWS, money.BEARING, money.RISERS], money.WORKED)
    assert found is not None
    alone, saved = (s for s in found.working if "one by one" in f"{s.step} {s.formula}")
    assert saved.values == f"{alone.result} − $3,110.75"
    assert by_hand(saved.result) == Fraction(found.saved_by_doing_together)
    assert by_hand(alone.values) == by_hand(alone.result)


def _rows(table: Tag) -> list[list[str]]:
    return [[cell.get_text(" ", strip=True) for cell in row.find_all(["th", "td"])] for row in table("tr")]


def _printed(page: BeautifulSoup) -> Iterator[tuple[str, str]]:
    """Give every sum of a page of sums: of workings, of comparables, and of what findings and payers have."""
    for table in page("table"):
        head, *rows = _rows(table)
        if head[1:] == ["Rule", "Numbers", "Result"]:
            yield from ((row[2], row[3]) for row in rows)
        elif head[1:] == ["Numbers", "Change", "Total"]:
            for before, row in itertools.pairwise(rows[:-1]):
                yield f"{before[-1]} {row[2]}", row[3]
                yield row[1], row[2 if "×" in row[1] else 3]
        elif rows[-1][0] == "Total":
            for *parts, total in zip(*(row[1:] for row in rows), strict=True):
                yield " + ".join(parts), total
    for item in page("li"):
        added, _, total = item.get_text(" ", strip=True).partition(" = ")
        if total:
            yield " + ".join(re.findall(r"[$€][\d,.]+\d", added)), total.split(" ")[0]


def test_every_sum_of_the_demo_comes_out(demo: Mapping[str, Path]) -> None:
    """Each row of each working, each column with a total, each finding's and payer's list, as printed."""
    pages = sorted(demo["buyer"].rglob("sums.html"))
    sums = [sum_ for page in pages for sum_ in _printed(BeautifulSoup(page.read_bytes(), "html5lib"))]
    assert [said for values, result in sums if (said := wrong(values, result))] == []
    assert sum(by_hand(values) is not None for values, _ in sums) > 150


def test_findings_of_the_demo_stand_by_number_in_every_sum(demo: Mapping[str, Path]) -> None:
    """The list of shares and each payer's list have one order, so that a reader can compare them."""
    for page in demo["buyer"].rglob("sums.html"):
        read = BeautifulSoup(page.read_bytes(), "html5lib")
        shares = [int(item["id"].removeprefix("of-")) for item in read.select("li[id^=of-]")]
        assert shares == sorted(shares) != []
        for item in read("li"):
            paid = [int(ref) for ref in re.findall(r"finding\s(\d+)\s", item.get_text())]
            assert paid == sorted(paid)
