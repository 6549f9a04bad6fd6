"""The costs and the work list as files that a spreadsheet opens without guessing: CSV."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal

from reportgen import worklist
from reportgen.blocks.repair import Repair
from reportgen.costshares import FindingCost
from reportgen.report import ListedFinding, Report
from reportgen.worklist import WorkGroup, WorkLine

HEADER = (
    "ref", "id", "title", "severity", "state", "who pays", "settle by",
    "low", "likely", "high", "currency", "priced",
)  # fmt: skip
WORK_HEADER = (
    "step", "strip-down", "ref", "id", "title", "severity", "work or part", "trade", "part number",
    "hours low", "hours likely", "hours high", "count", "price each", "amount", "currency",
)  # fmt: skip
_SIGNS = "=+\\-@\uff1d\uff0b\uff0d\uff20"
# what a spreadsheet drops from the front of a cell, and quotes
_PASSED_OVER = " \"'\u00a0\u200b\ufeff\u3000"
# at the start of a cell, or where a program that splits at other signs than commas would start one
_BEGINS = rf"[{_SIGNS}\t\r\n\0]"
_FORMULA = re.compile(rf"(^|[;\t\r\n])(?=[{_PASSED_OVER}]*{_BEGINS})")
_SUSPECT = re.compile(_BEGINS)  # which most cells have nowhere


def costs(report: Report) -> str | None:
    """Give costs.csv, or None where the edition shows no costs.

    One row a finding still to be paid for, then one row for the whole; the rows add up to it in every column.
    Decimal point, no thousands mark, ISO currency. A finding's low and high are its shares of the lines as
    they add up, which the page puts in order where a cap on supplies turns them round.
    Text cells that a spreadsheet would take for a formula begin with an apostrophe; numbers stay numbers.
    Source: RFC 4180, section 2, for the form; OWASP, CSV Injection, for the guard.
    """
    money = report.estimate
    if money is None:
        return None
    shares = {cost.id: cost for cost in money.by_finding}
    rows = [
        _row(listed, shares[listed.finding.id], money.currency)
        for listed in report.findings
        if listed.finding.id in shares
    ]
    total = [_number(v) for v in (money.low, money.likely, money.high)]
    left_out = f"{money.unpriced} not priced" if money.unpriced else "yes"
    if not money.priced:
        total = ["", "", ""]  # where nothing has a price there is no total, least of all zero
    rows.append(["", "", "Total of all priced work", "", "", "", "", *total, money.currency, left_out])
    return _sheet(HEADER, rows)


def work(report: Report) -> str | None:
    """Give work-list.csv, or None where the edition shows no work list.

    One row for each thing that the yard puts a price to: labour [h], a part, or a job as a whole, in the
    order of the list, strip-downs ahead of their jobs. The cells for prices and amounts are empty.
    """
    if report.work_list is None or not report.work_list.groups:
        return None
    rows = [
        [step, _text(group.strip_down), *row, "", "", report.cover.currency]
        for step, group in enumerate(report.work_list.groups, 1)
        for row in _group(report, group)
    ]
    return _sheet(WORK_HEADER, rows)


def _group(report: Report, group: WorkGroup) -> Iterator[list[object]]:
    listed = {f.finding.id: f for f in report.findings}
    strip_down = (report.cover.strip_downs or {}).get(group.strip_down)
    if strip_down is not None:
        yield from (["", "", "", "", *_line(line)] for line in worklist.lines(strip_down))
    for id in group.jobs:
        finding = listed[id].finding
        named = [listed[id].ref, *map(_text, (id, finding.title, finding.severity))]
        yield from ([*named, *_line(line)] for line in worklist.lines(finding.repair or Repair()))


def _line(line: WorkLine) -> list[object]:
    """Give a line of work: what, trade, part number, hours [h] low, likely and high, count."""
    three = (line.hours.low, line.hours.likely, line.hours.high) if line.hours else (None, None, None)
    words = map(_text, (line.what, line.trade, line.number))
    return [*words, *map(_number, three), line.count or ""]


def _sheet(header: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    out = io.StringIO()
    sheet = csv.writer(out, lineterminator="\r\n")
    sheet.writerow(header)
    sheet.writerows(rows)
    return out.getvalue()


def _row(listed: ListedFinding, cost: FindingCost, currency: str) -> list[object]:
    finding = listed.finding
    pays = "; ".join(f"{payer} {share.normalize():f} %" for payer, share in (finding.pays or {}).items())
    words = (
        finding.id,
        finding.title,
        finding.severity,
        listed.state,
        pays or "not agreed",
        finding.settle_by,
    )
    figures = [_number(v) for v in (cost.low, cost.likely, cost.high)]
    return [listed.ref, *map(_text, words), *figures, currency, "no" if cost.unpriced else "yes"]


def _number(value: Decimal | None) -> str:
    return "" if value is None else f"{value:f}"


def _text(text: str) -> str:
    """Keep a spreadsheet from taking text, or what follows a semicolon or line end in it, for a formula."""
    return _FORMULA.sub(r"\1'", text) if _SUSPECT.search(text) else text
