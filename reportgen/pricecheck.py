"""What is wrong with the money in the notes: unknown strip-downs, hours without a rate, double prices."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from decimal import Decimal

from reportgen import charges, jobs, quotecheck
from reportgen.blocks.repair import Charge, Repair, StripDown
from reportgen.errors import Place, Problems, listed, nearest
from reportgen.model import Cover, Finding

# a single amount beyond this is a slip of the pen, and sums of them could not be printed exactly
LARGEST = Decimal(10) ** 12
_DIGIT = "look for a digit too many"


def problems(
    cover: Cover, findings: Sequence[Finding], problems: Problems, counted_on: datetime.date | None = None
) -> None:
    """Note everything that is wrong with rates, strip-downs and repairs.

    counted_on: the day that quotes are held against; else the cover note's.
    """
    _taxed_once(cover, problems)
    for charge in cover.each_visit:
        _charge(charge, cover, problems)
    strip_downs = cover.strip_downs or {}
    for name, strip_down in strip_downs.items():
        _strip_down(name, strip_down, cover, problems)
    for circle in _circles(strip_downs):
        way = " needs ".join((*circle, circle[0]))
        place = strip_downs[circle[0]].place.at("also needs")
        problems.error(place, f"strip-downs need each other in a circle: {way}", "take one also needs out")
    for finding in findings:
        for repair in (finding.repair, finding.replace):
            if repair:
                _repair(finding, repair, cover, problems)
                _held(finding, repair, findings, problems)
                _quote(repair, counted_on or cover.counted_on, problems)
        _counted(finding, problems)
        _settled_once(finding, problems)
    quotecheck.problems(cover, findings, problems, counted_on or cover.counted_on)


def _taxed_once(cover: Cover, problems: Problems) -> None:
    """A tax on every line stands alone."""
    rates = cover.rates
    if rates.tax is not None and (rates.parts_tax or rates.labour_tax):
        found = "a tax on every line, and one on parts or labour"
        problems.error(rates.place.at("tax"), found, "keep tax, or parts tax and labour tax")


def _charge(charge: Charge, cover: Cover, problems: Problems) -> None:
    place, what = charge.place, charge.what or "the charge"
    bases = [name.replace("_", " ") for name in charges.BASES if getattr(charge, name) is not None]
    written = {name for name, _, _ in place.inside}
    if not bases and written & {name.replace("_", " ") for name in charges.BASES}:
        return  # what stands there can't be read, which is told already
    if len(bases) != 1:
        found = f"{what} goes by {listed(bases, 'and')}" if bases else f"{what} has no price"
        problems.error(place, found, "write one of per foot, per metre, per day, flat")
        return
    if charge.per_day is not None and charge.for_ is None and "for" not in written:
        problems.error(
            place.at("per day"), f"{what} goes by the day, but not how many", "add for: 2 / 3 / 6 days"
        )
    if charge.flat is not None and charge.for_ is not None:
        problems.error(place.at("for"), f"days, but {what} is one sum", "write per day instead of flat")
    if charges.goes_by_length(charge) and charges.billed_length(charge, jobs.length_of(cover)) is None:
        found = f"{what} goes by the boat's length, which the notes don't give"
        problems.error(place.at(bases[0]), found, "add length: 24 ft to the vessel, or to the charge")
    sums = jobs.charged(charge, cover)
    if sums and sums.span.high * sums.times > LARGEST:
        problems.error(place.at(bases[0]), f"{what} comes to {sums.span.high * sums.times:,.0f}", _DIGIT)


def _strip_down(name: str, strip_down: StripDown, cover: Cover, problems: Problems) -> None:
    place = strip_down.place
    _known(strip_down.also_needs, cover, place.at("also needs"), problems)
    _rated(strip_down, cover, problems)
    _sized(strip_down, cover, problems)
    for charge in strip_down.charges:
        _charge(charge, cover, problems)
    if jobs.is_bare(strip_down):
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
    for person, hours in (("", work.labour), ("second person", work.second_person)):
        if hours:
            _rated_person(person, work, cover, problems)
    if work.overtime is None:
        return
    if not (work.labour or work.second_person):
        problems.warn(work.place.at("overtime"), "overtime without hours", "add labour: or take it out")
    elif cover.rates.overtime is None and work.overtime:
        found, write = "overtime, but the rates say nothing of it", "add overtime: 50 % to the rates"
        problems.error(work.place.at("overtime"), found, write)


def _rated_person(person: str, work: Repair | StripDown, cover: Cover, problems: Problems) -> None:
    rates = (cover.rates.second_person if person else cover.rates.labour) or {}
    key, whose = person or "labour", f" of a {person}" if person else ""
    if not rates:
        found, write = f"hours{whose}, but the cover note has no rate for {key}", f"add rates: {{{key}: 100}}"
        problems.error(work.place.at(key), found.replace("for second", "for a second"), write)
    elif jobs.rate_key(cover, work.trade, person) is None:
        near = nearest(work.trade, rates) if work.trade else None
        named = f"no rate for the trade {work.trade!r}{whose and f', {person}'}"
        found = named if work.trade else f"hours{whose} of no trade, but rates by trade"
        write = f"write trade: {near}" if near else f"write trade: {listed(sorted(rates))}"
        problems.error(work.place.at("trade"), found, write)


def _sized(work: Repair | StripDown, cover: Cover, problems: Problems) -> None:
    """Find amounts so large that only a slip can have made them."""
    sums = [("parts", part.each.high * part.count) for part in work.parts if part.each]
    for person, hours in (("", work.labour), ("second person", work.second_person)):
        rate = jobs.rate(cover, work.trade, person) or Decimal(0)
        sums.extend([(person or "labour", hours.high * max(rate, Decimal(1)))] if hours else [])
    sums.extend([("cost", work.cost.high)] if work.cost else [])
    for name, amount in sums:
        if amount > LARGEST:
            problems.error(work.place.at(name), f"{name} comes to {amount:,.0f}", _DIGIT)


def _repair(finding: Finding, repair: Repair, cover: Cover, problems: Problems) -> None:
    place = repair.place
    _known(repair.needs, cover, place.at("needs"), problems)
    _rated(repair, cover, problems)
    _sized(repair, cover, problems)
    for charge in repair.charges:
        _charge(charge, cover, problems)
    if repair.cost and (repair.labour or repair.second_person or repair.parts):
        found = "both a fixed cost and labour or parts"
        problems.error(place.at("cost"), found, "keep one; a fixed cost stands instead of labour and parts")
    priced = repair.cost or repair.labour or repair.second_person or any(p.each for p in repair.parts)
    if repair.unpriced and priced:
        problems.error(place.at("unpriced"), "a price and a reason why there is none", "keep one of them")
    if repair.tax is not None and not repair.cost:
        write = "take it out; labour and parts are taxed by the rates of the cover note"
        problems.warn(place.at("tax"), "tax without a fixed cost that it belongs to", write)


def _held(finding: Finding, repair: Repair, findings: Sequence[Finding], problems: Problems) -> None:
    """A repair that another's price holds has none of its own, and the other has one."""
    place, ids = repair.place.at("in price of"), [f.id for f in findings if f.id != finding.id]
    priced = {f.id for f in findings for r in (f.repair, f.replace) if r and not jobs.is_bare(r)}
    for id in repair.in_price_of:
        if id not in ids:
            near = nearest(id, ids)
            problems.error(place, f"unknown finding {id!r}", f"write {near or 'the id of another finding'}")
        elif id not in priced:
            problems.warn(place, f"{id!r} has no price that could hold this one", f"add cost: to {id}")
    if repair.in_price_of and (repair.unpriced or not jobs.is_bare(repair)):
        problems.error(place, "a price of its own, and in another's too", "keep one of them")


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


def _counted(finding: Finding, problems: Problems) -> None:
    """One way counts, and it is one that the finding offers; what may not be used doesn't wait."""
    ways, place = jobs.ways(finding), finding.place.at("counted")
    if finding.counted and finding.counted not in ways:
        write = f"write counted: {listed(ways)}" if ways else f"add {finding.counted}: with what it takes"
        problems.error(place, f"{finding.counted} counts, but the finding has no {finding.counted}", write)
    elif {"repair", "replace"} <= set(ways) and not finding.counted:
        problems.warn(
            place, "repair and replace, and nothing says which counts", "write counted: repair or replace"
        )
    if jobs.way(finding) == "wait" and finding.severity in ("stop", "settle"):
        found = f"a {finding.severity} finding that waits"
        write = "count repair or replace, or write what severity it has"
        (problems.error if finding.severity == "stop" else problems.warn)(place, found, write)


def _settled_once(finding: Finding, problems: Problems) -> None:
    """Nothing is settled twice: what is credited to the buyer is not repaired as well."""
    if finding.settle_by == "credit" and (finding.reported_done or finding.checked):
        found = f"{finding.id!r} is settled by credit and also {finding.state}"
        problems.error(
            finding.place.at("settle by"), found, "write settle by: repair, or take the repair out"
        )
