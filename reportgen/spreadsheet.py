"""The costs as a file that a spreadsheet opens without guessing: costs.csv."""

from __future__ import annotations

import csv
import io
from decimal import Decimal

from reportgen.report import Report

HEADER = (
    "ref", "id", "title", "severity", "state", "who pays", "settle by",
    "low", "likely", "high", "currency", "priced",
)  # fmt: skip
_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def costs(report: Report) -> str | None:
    """Give costs.csv, or None where the edition shows no costs.

    One row a finding with work, then one row for the whole: decimal point, no thousands mark, ISO currency.
    Text cells that a spreadsheet would take for a formula begin with an apostrophe; numbers stay numbers.
    """
    money = report.estimate
    if money is None:
        return None
    out = io.StringIO()
    sheet = csv.writer(out, lineterminator="\r\n")
    sheet.writerow(HEADER)
    for listed in report.findings:
        finding, cost = listed.finding, listed.cost
        if cost is None and not listed.unpriced:
            continue
        pays = "; ".join(f"{payer} {share.normalize():f} %" for payer, share in (finding.pays or {}).items())
        figures = [str(v) for v in (cost.low, cost.likely, cost.high)] if cost else ["", "", ""]
        words = [
            finding.id,
            finding.title,
            finding.severity,
            listed.state,
            pays or "not agreed",
            finding.settle_by,
        ]
        priced = "no" if listed.unpriced else "yes"
        sheet.writerow([listed.ref, *map(_text, words), *figures, money.currency, priced])
    total = [_number(v) for v in (money.low, money.likely, money.high)]
    left_out = f"{money.unpriced} not priced" if money.unpriced else "yes"
    sheet.writerow(["", "", "Total of all priced work", "", "", "", "", *total, money.currency, left_out])
    return out.getvalue()


def _number(value: Decimal) -> str:
    return f"{value:f}"


def _text(text: str) -> str:
    """Keep a spreadsheet from taking text for a formula."""
    return f"'{text}" if text.lstrip().startswith(_FORMULA) or text.startswith(_FORMULA) else text
