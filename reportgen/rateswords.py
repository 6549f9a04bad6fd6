"""The rates of the notes in words: what an hour costs, what comes on top, and what is taxed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from decimal import Decimal

from reportgen import jobs, units
from reportgen.blocks.rates import Rates
from reportgen.charges import plain
from reportgen.model import Cover
from reportgen.wording import later, say, term

Terms = tuple[tuple[str, str], ...]


def terms(cover: Cover) -> Terms:
    """Give each rate, share and tax that the estimate goes by, with its name; the tax in any case."""
    rates, code = cover.rates, cover.currency
    found = [
        *_hourly(say("Labour"), rates.labour, code),
        *_hourly(say("Second person"), rates.second_person, code),
    ]
    if rates.overtime is not None:
        found.append(
            (say("Overtime"), say("{overtime} % on top of the hour's rate", overtime=plain(rates.overtime)))
        )
    if rates.supplies:
        cap = rates.supplies_cap
        text = later("{supplies} % of labour")
        if cap is not None:
            text = later("{supplies} % of labour, not above {cap} a visit")
        most = "" if cap is None else units.money(cap, code)
        found.append(
            (
                say("Supplies"),
                say(text, supplies=plain(rates.supplies), cap=most),
            )
        )
    return (*found, (say("Tax"), _tax(rates)), *_contingency(rates), *_each_visit(cover))


def _hourly(what: str, rates: Mapping[str, Decimal] | None, code: str) -> Terms:
    return tuple(
        (f"{what}, {term(trade)}" if trade else what, say("{rate} an hour", rate=units.money(rate, code)))
        for trade, rate in (rates or {}).items()
    )


def _tax(rates: Rates) -> str:
    """Say what is taxed; a fixed cost and a charge may have a tax of their own beside them."""
    if rates.tax is not None:
        return say(
            "{tax} % on every line, contingency included, but where another stands beside it",
            tax=plain(rates.tax),
        )
    fixed = say("fixed costs and charges only as stated beside them")
    if not (rates.parts_tax or rates.labour_tax):
        return say("none on parts, supplies and labour; on {fixed}", fixed=fixed)
    return say(
        "{parts_tax} % on parts and supplies, {labour_tax} % on labour; on {fixed}",
        parts_tax=plain(rates.parts_tax),
        labour_tax=plain(rates.labour_tax),
        fixed=fixed,
    )


def _contingency(rates: Rates) -> Terms:
    apart = rates.contingency_by_confidence
    own = [(f.name, getattr(apart, f.name)) for f in fields(apart)] if apart else []
    said = [say("{contingency} % of labour and parts", contingency=plain(rates.contingency))]
    said += [
        say("{share} % where {name}", share=plain(share), name=name)
        for name, share in own
        if share is not None
    ]
    return ((say("Contingency"), "; ".join(said)),) if rates.contingency or len(said) > 1 else ()


def _each_visit(cover: Cover) -> Terms:
    found = ((charge, jobs.charged(charge, cover)) for charge in cover.each_visit)
    return tuple((say("Each visit, {what}", what=charge.what), basis.how) for charge, basis in found if basis)
