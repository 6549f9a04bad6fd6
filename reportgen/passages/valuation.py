"""What the boat is worth: the stated value, each comparable with its adjusted price, and what it rests on."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from reportgen.edition import Edition
from reportgen.passage import Passage, amount, day, not_stated, rich, sentence, signature, steps
from reportgen.report import Report
from reportgen.salesgrid import AdjustedSale, signed
from reportgen.valuation import CostToCome, Valuation
from reportgen.wording import later, number, say, say_n

_VIEWS = {
    "current": later("between inspection and report"),
    "past": later("before the inspection: a look back"),
    "prospective": later("after the report: a look ahead"),
}
_STATED_FOR = {
    "as found": later("the boat as found"),
    "after repair": later("the boat after the repairs to come"),
}


def _build(report: Report, edition: Edition) -> Mapping[str, Any] | None:
    found = report.valuation
    if found is None:
        return None
    code, cover = found.currency, report.cover
    agreed = cover.price.agreed if cover.price and report.settlement is None else None
    return {
        "by": cover.people.surveyor.name,
        "on": day(found.effective),
        "figures": _figures(found),
        "agreed": amount(agreed, code),
        "facts": _facts(report, found),
        "low": amount(found.low, code),
        "likely": amount(found.likely, code),
        "high": amount(found.high, code),
        "weights": "" if found.equal_weights else say("by weight"),
        "alone": len(found.comparables) == 1,
        "comparables": [_sale(sale, code, bool(found.effective)) for sale in found.comparables],
        "limit": _percent(found.gross_limit) if found.gross_limit is not None else "",
        "compared": [each for each in (*found.compared, found.against_price) if each],
        "cost": _cost(found.cost_to_come),
        # a reader who sees no cost could take a value after repairs for the value as she lies
        "repairs_not_shown": found.stated_for == "after repair" and found.cost_to_come is None,
        "working": steps((*found.working, *(found.cost_to_come.steps if found.cost_to_come else ()))),
        "assumptions": [sentence(each) for each in found.assumptions],
        "missing": [part for each in found.contents for part in each.missing],
        "signed": signature(cover.signed),
        "sources": found.sources,
    }


def _figures(found: Valuation) -> list[tuple[str, str]]:
    rows = [
        (say("Market value"), found.market),
        (say("Replacement value"), found.replacement),
    ]
    return [(name, amount(value, found.currency)) for name, value in rows if value is not None]


def _facts(report: Report, found: Valuation) -> list[tuple[str, Any]]:
    """Give what a reader must know to understand the value; what the notes leave out is said."""
    on = f"{day(found.effective)}, {say(_VIEWS[found.view])}" if found.view else day(found.effective)
    rows = [
        (say("Type of value"), rich(found.type)),
        (say("Definition"), sentence(found.definition)),
        (say("Whose definition"), rich(found.definition_source)),
        (say("Effective date"), on),
        (say("Date of the report"), day(report.cover.reported)),
        (say("Value is stated for"), say(_STATED_FOR.get(found.stated_for, ""))),
        (say("Interest valued"), rich(found.interest)),
        *_purpose(found),
        (say("Method"), rich(found.method)),
        (say("Reasoning"), sentence(found.reasoning)),
    ]
    return [(name, value or not_stated()) for name, value in rows]


def _purpose(found: Valuation) -> list[tuple[str, Any]]:
    use, users = rich(found.intended_use), rich(found.intended_users)
    return (
        [(say("Intended use and users"), use)]
        if use == users
        else [(say("Intended use"), use), (say("Intended users"), users)]
    )


def _age(months: int | None, effective: bool) -> str:
    """Say how long before or after the day that the value is for a comparable was sold or advertised."""
    if months is None:
        return ""
    if months == 0:
        of_report = say("within a month of the day of the report")
        return say("within a month of the effective date") if effective else of_report
    n = months if months > 0 else -months
    if effective and months > 0:
        return say_n("{n} month before the effective date", "{n} months before the effective date", n)
    if effective:
        return say_n("{n} month after the effective date", "{n} months after the effective date", n)
    if months > 0:
        return say_n("{n} month before the day of the report", "{n} months before the day of the report", n)
    return say_n("{n} month after the day of the report", "{n} months after the day of the report", n)


def _sale(sale: AdjustedSale, code: str, effective: bool) -> Mapping[str, Any]:
    return {
        "what": sentence(sale.what),
        "where": rich(sale.where),
        "source": rich(sale.source) or not_stated(),
        "price": amount(sale.price, code),
        "asked": sale.asked,
        "on": day(sale.sold) or sale.sold_in or day(sale.listed) or not_stated(),
        "age": _age(sale.months, effective),
        "why": [{"what": rich(step.why), "amount": signed(step.amount, code)} for step in sale.steps],
        "adjusted": amount(sale.adjusted, code),
        "net": _percent(sale.net_share, sign=True),
        "gross": _percent(sale.gross_share),
        "over": sale.over,
        "weight": say("equal") if sale.weight is None else f"{number(sale.weight)} %",
    }


def _percent(share: Decimal, sign: bool = False) -> str:
    return signed(share, "%") if sign else f"{number(f'{share:f}')} %"


def _cost(found: CostToCome | None) -> Mapping[str, Any] | None:
    if found is None:
        return None
    rows = [{"title": way.title, "says": way.says} for way in found.all_in]
    return {"says": found.says, "all_in": rows}


PASSAGE = Passage("valuation", "What the boat is worth", _build)
