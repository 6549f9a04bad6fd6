"""What the findings do to the price: what was agreed, the ways side by side, material share, money spent."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen import units
from reportgen.blocks.deal import AgreedCredit, AgreedRepair, Holdback
from reportgen.chart import Chart, Table
from reportgen.edition import Edition
from reportgen.material import Material
from reportgen.passage import Passage, amount, day, reference, rich, when
from reportgen.report import Report
from reportgen.settlement import Settled, Settlement
from reportgen.ways import PriceStep, Way
from reportgen.wording import language, later, say, say_in

_PRICES = {
    "agreed": later("the agreed price"),
    "offered": later("the price offered"),
    "asking": later("the asking price"),
}
_TAX = {
    "included": later("The agreed sums include the tax on the repairs."),
    "not included": later("The agreed sums do not include the tax on the repairs; the estimate does."),
    "none due": later("No tax is due on the repairs, so the agreed sums have none in them."),
}


def _build(report: Report, edition: Edition) -> Mapping[str, Any] | None:
    deal = report.settlement
    if deal is None:
        return None
    code = deal.currency
    return {
        "price": amount(deal.price, code),
        "price_is": say(_PRICES.get(deal.price_is, deal.price_is)),
        "subject_to": rich(report.cover.price.subject_to) if report.cover.price else "",
        "agreed": _agreed(report, deal),
        "ways": [_way(way, code) for way in (*deal.ways, *deal.other_credits)],
        "bare_share": amount(deal.bare_share, code),
        "seller_share": amount(deal.seller_share, code),
        "buyer_share": amount(deal.buyer_share, code),
        "not_agreed": amount(deal.not_agreed, code) if deal.not_agreed else "",
        "deposit": amount(deal.deposit, code) if deal.deposit else "",
        "released": deal.deposit_released,
        "unpriced": deal.unpriced,
        "chart": _chart(deal),
        "material": _material(report, deal.material, code),
        "notice": deal.notice,
        "dates": [{"what": d.what, "on": day(d.on), "says": d.says} for d in deal.dates],
        "counted_on": day(deal.counted_on),
        "sunk": _sunk(deal, code),
    }


def _way(way: Way, code: str) -> Mapping[str, Any]:
    return {
        "way": way.way,
        "anchor": f"way-{way.way.replace(' ', '-')}",
        "title": way.title,
        "credit": amount(way.credit, code),
        "held": amount(way.held.amount, code) if way.held else "",
        "buyer_pays": amount(way.buyer_pays, code),
        "seller_receives": amount(way.seller_receives, code),
        "cash": amount(way.cash_at_closing, code),
        "taken": amount(way.seller_at_closing, code),
        "buyer_range": _range(way.buyer_low, way.buyer_high, code),
        "seller_range": _range(way.seller_low, way.seller_high, code),
        "bears": way.bears,
    }


def _range(low: Any, high: Any, code: str) -> str:
    """Print a range to whole units, one figure where there is none."""
    ends = (units.whole_money(low, code), units.whole_money(high, code))
    return ends[0] if low == high else say("{low} to {high}", low=ends[0], high=ends[1])


def _agreed(report: Report, deal: Settlement) -> Mapping[str, Any] | None:
    """Give what was agreed, entry by entry, with what each settles and what it leaves open."""
    if deal.agreed is None:
        return None
    said = deal.agreed
    entries = (*said.repair, *said.credit, *((said.holdback,) if said.holdback else ()))
    shown = zip(entries, deal.settled, strict=False)
    return {
        "on": day(said.agreed_on),
        "tax": say(_TAX.get(said.tax, later("Whether the agreed sums hold tax is not stated."))),
        "entries": [_entry(report, entry, settled, deal.currency) for entry, settled in shown],
        "unsettled": [reference(report, id) for id in deal.unsettled],
    }


def _entry(
    report: Report, entry: AgreedRepair | AgreedCredit | Holdback, settled: Settled, code: str
) -> Mapping[str, Any]:
    return {
        "covers": [reference(report, id) for id in settled.covers],
        "likely": amount(settled.likely, code) if settled.likely else "",
        "unpriced": [reference(report, id) for id in settled.unpriced],
        "amount": amount(settled.amount, code),
        "way": settled.way,
        "facts": [(name, value) for name, value in _facts(entry, code) if value],
    }


def _facts(entry: AgreedRepair | AgreedCredit | Holdback, code: str) -> list[tuple[str, Any]]:
    if isinstance(entry, AgreedRepair):
        fallback = amount(entry.if_not_done, code)
        return [
            (say("Done by"), rich(entry.yard)),
            (say_in("no later than", "By"), when(entry.by)),
            (say("Standard"), rich(entry.standard)),
            (say("Check"), rich(entry.check)),
            (
                say("If not done"),
                say("{fallback} comes off the price", fallback=fallback) if fallback else "",
            ),
        ]
    if isinstance(entry, AgreedCredit):
        told = {True: say("knows of the credit"), False: say("has not been told")}
        lender = "" if entry.lender_told is None else told[entry.lender_told]
        return [(say("Why so much"), rich(entry.because)), (say("Lender"), lender)]
    return [
        (say("Held by"), rich(entry.held_by) or say("not stated")),
        (say("Released when"), rich(entry.released_when) or say("not stated")),
        (say("Until"), day(entry.until) or say("not stated")),
        (say("If it costs more"), say("{who} pays the rest", who=say_in("who pays", f"the {entry.overrun}"))),
        (
            say("If it costs less"),
            say("{who} gets what is left", who=say_in("who pays", f"the {entry.underrun}")),
        ),
        (say("In a dispute"), rich(entry.disputes)),
    ]


def _chart(deal: Settlement) -> Chart | None:
    """Draw the steps from the asking price to what the buyer pays in all; None where nothing changes."""
    if not any(part.change for part in deal.parts):
        return None
    code = deal.currency
    last = amount(deal.parts[-1].total, code)
    rows = tuple(_row(part, code) for part in deal.parts)
    table = tuple((p.what, _change(p, code), amount(p.total, code)) for p in deal.parts)
    return Chart(
        "waterfall",
        say(
            "From the asking price to what the buyer pays in all, {code}: {parts_way}",
            code=code,
            # nouns of some languages keep their capitals
            parts_way=deal.parts_way.lower() if language() == "en" else deal.parts_way,
        ),
        say(
            "Starts at {total} and ends at {last}; each step stands in the table.",
            total=amount(deal.parts[0].total, code),
            last=last,
        ),
        {"rows": rows, "unit": code},
        Table((say("Step"), say("Change"), say("Reached")), table),
    )


def _row(part: PriceStep, code: str) -> Mapping[str, Any]:
    printed = _change(part, code) or amount(part.total, code)
    change = None if part.change is None else float(part.change)
    reached = amount(part.total, code)
    total = float(part.total)
    return {"label": part.what, "change": change, "total": total, "printed": printed, "reached": reached}


def _change(part: PriceStep, code: str) -> str:
    """Print a change with its sign, nothing for a total."""
    if part.change is None:
        return ""
    printed = amount(part.change, code)
    return printed.replace("-", "−") if part.change < 0 else f"+{printed}"


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
