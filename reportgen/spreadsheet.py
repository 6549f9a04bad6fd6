"""The costs as a file that a spreadsheet opens without guessing: costs.csv."""

from __future__ import annotations

import csv
import io
from decimal import Decimal

from reportgen.costshares import FindingCost
from reportgen.report import ListedFinding, Report

HEADER = (
    "ref", "id", "title", "severity", "state", "who pays", "settle by",
    "low", "likely", "high", "currency", "priced",
)  # fmt: skip
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")
# what a spreadsheet drops from the front of a cell, and quotes
_PASSED_OVER = " \"'\u00a0\u200b\ufeff\u3000"


def costs(report: Report) -> str | None:
    """Give costs.csv, or None where the edition shows no costs.

    One row a finding still to be paid for, then one row for the whole; the rows add up to it in every column.
    Decimal point, no thousands mark, ISO currency. A finding's low and high are its shares of the lines as
    they add up, which the page puts in order where a cap on supplies turns them round.
    Text cells that a spreadsheet would take for a formula begin with an apostrophe; numbers stay numbers.
    """
    money = report.estimate
    if money is None:
        return None
    out = io.StringIO()
    sheet = csv.writer(out, lineterminator="\r\n")
    sheet.writerow(HEADER)
    shares = {cost.id: cost for cost in money.by_finding}
    for listed in report.findings:
        cost = shares.get(listed.finding.id)
        if cost is not None:
            sheet.writerow(_row(listed, cost, money.currency))
    total = [_number(v) for v in (money.low, money.likely, money.high)]
    left_out = f"{money.unpriced} not priced" if money.unpriced else "yes"
    if not money.priced:
        total = ["", "", ""]  # where nothing has a price there is no total, least of all zero
    sheet.writerow(["", "", "Total of all priced work", "", "", "", "", *total, money.currency, left_out])
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
    """Keep a spreadsheet from taking text for a formula."""
    bare = text.lstrip(_PASSED_OVER)
    return f"'{text}" if bare.startswith(_FORMULA) else text
