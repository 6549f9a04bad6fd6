"""What the findings do to the price: the ways to settle side by side, material share, dates, money spent."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen.edition import Edition
from reportgen.material import Material
from reportgen.passage import Passage, amount, day, reference, rich, steps
from reportgen.report import Report
from reportgen.settlement import Settlement, Way

_PRICES = {"agreed": "the agreed price", "offered": "the price offered", "asking": "the asking price"}


def _build(report: Report, edition: Edition) -> Mapping[str, Any] | None:
    deal = report.settlement
    if deal is None:
        return None
    code = deal.currency
    return {
        "price": amount(deal.price, code),
        "price_is": _PRICES.get(deal.price_is, deal.price_is),
        "ways": [_way(way, code) for way in deal.ways],
        "other_credits": [_way(way, code) for way in deal.other_credits],
        "seller_share": amount(deal.seller_share, code),
        "buyer_share": amount(deal.buyer_share, code),
        "not_agreed": amount(deal.not_agreed, code) if deal.not_agreed else "",
        "deposit": amount(deal.deposit, code),
        "unpriced": deal.unpriced,
        "material": _material(report, deal.material, code),
        "dates": [{"what": d.what, "on": day(d.on), "says": d.says} for d in deal.dates],
        "counted_on": day(deal.counted_on),
        "sunk": _sunk(deal, code),
    }


def _way(way: Way, code: str) -> Mapping[str, Any]:
    return {
        "way": way.way,
        "title": way.title,
        "credit": amount(way.credit, code),
        "buyer_pays": amount(way.buyer_pays, code),
        "seller_receives": amount(way.seller_receives, code),
        "cash": amount(way.cash_at_closing, code),
        "steps": steps(way.steps),
        "uncertain": way.uncertain,
    }


def _material(report: Report, material: Material | None, code: str) -> Mapping[str, Any] | None:
    if material is None:
        return None
    return {
        "says": material.says,
        "amount": amount(material.amount, code),
        "counted": [reference(report, id) for id in material.counted],
        "unpriced": [reference(report, id) for id in material.unpriced],
        "normal": [reference(report, id) for id in material.normal_for_age],
        "known": [reference(report, id) for id in material.known_before],
    }


def _sunk(deal: Settlement, code: str) -> Mapping[str, Any] | None:
    if not deal.sunk.rows:
        return None
    rows = [
        {"what": rich(r.what), "amount": amount(r.amount, code), "paid_by": r.paid_by} for r in deal.sunk.rows
    ]
    return {"rows": rows, "totals": [(payer, amount(sum_, code)) for payer, sum_ in deal.sunk.by_payer]}


PASSAGE = Passage("settlement", "What it does to the price", _build)
