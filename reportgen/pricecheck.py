"""What is wrong with the money in the notes: unknown strip-downs, hours without a rate, double prices."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from decimal import Decimal

from reportgen import jobs
from reportgen.blocks.repair import Repair, StripDown
from reportgen.errors import Place, Problems, listed, nearest
from reportgen.model import Cover, Finding

# a single amount beyond this is a slip of the pen, and sums of them could not be printed exactly
LARGEST = Decimal(10) ** 12


def problems(
    cover: Cover, findings: Sequence[Finding], problems: Problems, counted_on: datetime.date | None = None
) -> None:
    """Note everything that is wrong with rates, strip-downs and repairs.

    counted_on: the day that quotes are held against; else the cover note's.
    """
    strip_downs = cover.strip_downs or {}
    for name, strip_down in strip_downs.items():
        _strip_down(name, strip_down, cover, problems)
    for circle in _circles(strip_downs):
        way = " needs ".join((*circle, circle[0]))
        place = strip_downs[circle[0]].place.at("also needs")
        problems.error(place, f"strip-downs need each other in a circle: {way}", "take one also needs out")
    for finding in findings:
        if finding.repair:
            _repair(finding, finding.repair, cover, problems)
            _quote(finding.repair, counted_on or cover.counted_on, problems)
        _settled_once(finding, problems)


def _strip_down(name: str, strip_down: StripDown, cover: Cover, problems: Problems) -> None:
    place = strip_down.place
    _known(strip_down.also_needs, cover, place.at("also needs"), problems)
    _rated(strip_down, cover, problems)
    _sized(strip_down, cover, problems)
    if not (strip_down.labour or strip_down.parts or strip_down.cost):
        found = f"the strip-down {name} has neither labour nor parts nor cost"
        problems.warn(place.at(name), found, "write what it takes; all that need it count as unpriced")


def _known(needs: Sequence[str], cover: Cover, place: Place, problems: Problems) -> None:
    known = cover.strip_downs or {}
    for name in needs:
        if name in known:
            continue
        near = nearest(name, known)
        advice = f"write {near}" if near else f"known here: {listed(sorted(known), 'and')}"
        if not known:
            advice = f"add strip-downs: {{{name}: {{labour: 2 h}}}} to the cover note"
        problems.error(place, f"unknown strip-down {name!r}", advice)


def _circles(strip_downs: Mapping[str, StripDown]) -> tuple[tuple[str, ...], ...]:
    """Give circles of `also needs`, each in the order that it is walked."""
    found: list[tuple[str, ...]] = []
    done: set[str] = set()
    for start in strip_downs:
        # the way walked so far, with what is left to try at each step; notes may nest deeper than calls can
        way = {} if start in done else {start: iter(strip_downs[start].also_needs)}
        while way:
            last = next(reversed(way))
            name = next(way[last], None)
            if name is None:
                done.add(last)
                del way[last]
            elif name in way:
                names = list(way)
                found.append(tuple(names[names.index(name) :]))
            elif name in strip_downs and name not in done:
                way[name] = iter(strip_downs[name].also_needs)
    return tuple(dict.fromkeys(found))


def _rated(work: Repair | StripDown, cover: Cover, problems: Problems) -> None:
    rates = cover.rates.labour or {}
    if not work.labour:
        return
    if not rates:
        found, write = "hours, but the cover note has no rate for labour", "add rates: {labour: 100}"
        problems.error(work.place.at("labour"), found, write)
    elif jobs.rate_key(cover, work.trade) is None:
        near = nearest(work.trade, rates) if work.trade else None
        named = f"no rate for the trade {work.trade!r}"
        found = named if work.trade else "hours of no trade, but rates by trade"
        write = f"write trade: {near}" if near else f"write trade: {listed(sorted(rates))}"
        problems.error(work.place.at("trade"), found, write)


def _sized(work: Repair | StripDown, cover: Cover, problems: Problems) -> None:
    """Find amounts so large that only a slip can have made them."""
    key = jobs.rate_key(cover, work.trade)
    rate = (cover.rates.labour or {}).get(key, Decimal(0)) if key is not None else Decimal(0)
    sums = [("parts", part.each.high * part.count) for part in work.parts if part.each]
    sums.extend([("labour", work.labour.high * max(rate, Decimal(1)))] if work.labour else [])
    sums.extend([("cost", work.cost.high)] if work.cost else [])
    for name, amount in sums:
        if amount > LARGEST:
            found = f"{name} comes to {amount:,.0f}"
            problems.error(work.place.at(name), found, "look for a digit too many")


def _repair(finding: Finding, repair: Repair, cover: Cover, problems: Problems) -> None:
    place = repair.place
    _known(repair.needs, cover, place.at("needs"), problems)
    _rated(repair, cover, problems)
    _sized(repair, cover, problems)
    if repair.cost and (repair.labour or repair.parts):
        found = "both a fixed cost and labour or parts"
        problems.error(place.at("cost"), found, "keep one; a fixed cost stands instead of labour and parts")
    if repair.unpriced and (repair.cost or repair.labour or any(p.each for p in repair.parts)):
        problems.error(place.at("unpriced"), "a price and a reason why there is none", "keep one of them")
    if repair.tax is not None and not repair.cost:
        write = "take it out; labour and parts are taxed by the rates of the cover note"
        problems.warn(place.at("tax"), "tax without a fixed cost that it belongs to", write)


def _quote(repair: Repair, counted_on: datetime.date, problems: Problems) -> None:
    quote = repair.quote
    if not quote:
        return
    if not repair.cost:
        problems.warn(quote.place.at("quote"), "a quote without its amount", "write the amount as cost:")
    if quote.on and quote.valid_until and quote.valid_until < quote.on:
        found = f"the quote of {quote.on} ended before it was given"
        problems.error(quote.place.at("valid until"), found, f"write a day from {quote.on} on")
    elif jobs.expired(repair, counted_on):
        found = f"the quote ended on {quote.valid_until}, before {counted_on}, and is not used"
        problems.warn(
            quote.place.at("valid until"), found, "ask for a new one; the finding counts as unpriced"
        )


def _settled_once(finding: Finding, problems: Problems) -> None:
    """Nothing is settled twice: what is credited to the buyer is not repaired as well."""
    if finding.settle_by == "credit" and (finding.reported_done or finding.checked):
        found = f"{finding.id!r} is settled by credit and also {finding.state}"
        problems.error(
            finding.place.at("settle by"), found, "write settle by: repair, or take the repair out"
        )
