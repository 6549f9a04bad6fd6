"""Every sum of the report with its working: the estimate, each way to settle, the value, and the rest."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen.edition import Edition
from reportgen.passage import Passage, amount, rich, steps
from reportgen.report import Report
from reportgen.salesgrid import AdjustedSale, signed
from reportgen.settlement import Settlement
from reportgen.valuation import Valuation
from reportgen.wording import later_in, number, say, say_in

# an appraiser's word that no buyer knows
_OF = {"non-realty": later_in("adjustment", "what goes with the boat")}


def _build(report: Report, edition: Edition) -> Mapping[str, Any] | None:
    deal = report.settlement if "settlement" in edition.passages else None
    money = report.estimate if "estimate" in edition.passages else None
    worth = report.valuation if "valuation" in edition.passages else None
    found = {
        "estimate": steps(money.working) if money else [],
        "ways": _ways(deal) if deal else [],
        "others": _others(deal) if deal else [],
        "comparables": [_sale(sale, worth.currency) for sale in worth.comparables] if worth else [],
        "value": _value(worth) if worth else [],
    }
    return found if any(found.values()) else None


def _value(worth: Valuation) -> list[dict[str, str]]:
    cost = worth.cost_to_come
    return steps((*worth.working, *(cost.steps if cost else ())))


def _sale(sale: AdjustedSale, code: str) -> Mapping[str, Any]:
    return {
        "what": rich(sale.what),
        "price": amount(sale.price, code),
        "asked": sale.asked,
        "steps": [
            {
                "of": say_in("adjustment", _OF.get(step.of, step.of)),
                "why": rich(step.why),
                "says": step.says,
                "values": step.values,
                "amount": signed(step.amount, code),
                "running": amount(step.running, code),
            }
            for step in sale.steps
        ],
        "net": signed(sale.net_share, "%"),
        "gross": f"{number(f'{sale.gross_share:f}')} %",
        "adjusted": amount(sale.adjusted, code),
    }


def _ways(deal: Settlement) -> list[Mapping[str, Any]]:
    return [
        {
            "anchor": f"way-{way.way.replace(' ', '-')}",
            "title": way.title,
            "steps": steps(way.steps),
            "range": steps(way.range_steps),
        }
        for way in (*deal.ways, *deal.other_credits)
    ]


def _others(deal: Settlement) -> list[Mapping[str, Any]]:
    """Give the sums that belong to no way: what was agreed, the material share, the money spent."""
    found = [
        *((say("Agreed: {way}", way=one.way), one.steps) for one in deal.settled),
        (say("Material defects"), deal.material.steps if deal.material else ()),
        (say("Already spent on the inspection"), deal.sunk.steps),
    ]
    return [{"title": title, "steps": steps(working)} for title, working in found if working]


PASSAGE = Passage("sums", "Every sum worked out", _build, page="sums")
