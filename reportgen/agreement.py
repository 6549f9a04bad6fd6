"""What buyer and seller have agreed, finding by finding, and what can't be right about it."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from reportgen import units
from reportgen.blocks.deal import Agreed, AgreedCredit, AgreedRepair, Holdback
from reportgen.costshares import FindingCost
from reportgen.errors import Place, Problems, listed, nearest
from reportgen.estimate import Estimate
from reportgen.model import Cover, Finding
from reportgen.ways import ZERO, price_of

REPAIR, CREDIT, HOLDBACK, AS_IT_IS = "repair", "credit", "holdback", "as it is"
# the ways that need no sum of their own, so that a finding's word alone settles it
_BY_WORD = (REPAIR, AS_IT_IS)
Entry = AgreedRepair | AgreedCredit | Holdback


@dataclass(frozen=True)
class Covered:
    """One entry of the settlement with the findings that it settles. named: whether the entry names them."""

    way: str
    entry: Entry
    ids: tuple[str, ...]
    named: bool


def only_buyer(finding: Finding) -> bool:
    """Say whether the buyer alone pays a finding, which leaves nothing to settle."""
    return set(finding.payers) == {"buyer"}


def covered(agreed: Agreed, findings: Sequence[Finding]) -> tuple[Covered, ...]:
    """Give each entry with its findings: those it names, else all that say so and stand nowhere else."""
    entries = tuple(_entries(agreed))
    taken = {id for _, entry in entries for id in entry.covers}
    found = []
    for way, entry in entries:
        ids = entry.covers or tuple(f.id for f in findings if _says(f, way) and f.id not in taken)
        taken.update(ids)
        found.append(Covered(way, entry, ids, bool(entry.covers)))
    return tuple(found)


def _entries(agreed: Agreed) -> Iterator[tuple[str, Entry]]:
    yield from ((REPAIR, entry) for entry in agreed.repair)
    yield from ((CREDIT, entry) for entry in agreed.credit)
    yield from ((HOLDBACK, entry) for entry in (agreed.holdback,) if entry)


def _says(finding: Finding, way: str) -> bool:
    return finding.settle_by == way and finding.state != "checked" and not only_buyer(finding)


def by_finding(agreed: Agreed, findings: Sequence[Finding]) -> dict[str, str]:
    """Give the way that each finding is settled by; those that nothing settles are not in it."""
    words = {f.id: f.settle_by for f in findings if f.settle_by in _BY_WORD}
    return words | {id: each.way for each in covered(agreed, findings) for id in each.ids}


def problems(
    cover: Cover,
    findings: Sequence[Finding],
    problems: Problems,
    estimate: Estimate | None = None,
    counted_on: datetime.date | None = None,
) -> None:
    """Note what can't be right about the price, the dates, the agreed sums, and money spent on the day.

    estimate: what credits are held against. counted_on: the day of the report, else the cover note's.
    """
    price, price_is = price_of(cover)
    _agreed(cover, findings, estimate, counted_on or cover.counted_on, problems)
    if cover.price and cover.price.deposit is not None and price is not None and cover.price.deposit > price:
        found = f"the deposit {cover.price.deposit} is above the {price_is} price {price}"
        problems.error(cover.price.place.at("deposit"), found, "write what was paid so far")
    if cover.price and cover.price.material_threshold is not None and price is None:
        place = cover.price.place.at("material threshold")
        problems.warn(place, "a threshold, but no price", "add asking: or agreed:")
    _dates(cover, problems)
    _spent_once(cover, findings, problems)


def _agreed(
    cover: Cover,
    findings: Sequence[Finding],
    estimate: Estimate | None,
    counted_on: datetime.date,
    problems: Problems,
) -> None:
    """Note what can't be right about the agreed sums: settled twice, unknown findings, sums out of bounds."""
    agreed = cover.settlement
    if agreed is None:
        return
    price, _ = price_of(cover)
    if price is None:
        found, write = "sums were agreed, but the notes have no price", "add price: {agreed: ...}"
        problems.error(agreed.place.at("settlement"), found, write)
    elif cover.price and cover.price.agreed is None:
        found, write = "sums were agreed, but no price", "write agreed: under price"
        problems.warn(agreed.place.at("settlement"), found, write)
    each = covered(agreed, findings)
    _known(each, findings, problems)
    _once(each, problems)
    for one in each:
        _fits(one, findings, problems)
    if price is not None:
        _within_price(agreed, price, cover.currency, problems)
    for one in each:
        if isinstance(one.entry, AgreedCredit):
            _within_estimate(one, one.entry, estimate, cover.currency, problems)
    _days(agreed, cover, counted_on, problems)


def _known(each: Sequence[Covered], findings: Sequence[Finding], problems: Problems) -> None:
    ids = {finding.id for finding in findings}
    unnamed = [one for one in each if one.way == CREDIT and not one.named]
    several = sum(one.way == CREDIT for one in each) > 1
    for one in each:
        place = one.entry.place.at("covers")
        for id in (id for id in one.ids if id not in ids):
            near = nearest(id, ids)
            write = f"write {near}" if near else f"known here: {listed(sorted(ids), 'and')}"
            problems.error(place, f"no finding has the id {id!r}", write)
        if not one.ids:
            found = f"the {one.way} settles no finding"
            problems.warn(place, found, "write covers: [ids], or settle by: in the findings")
    for one in unnamed if several else ():
        found = "several credits, and this one names no findings"
        problems.error(one.entry.place.at("covers"), found, "write covers: [ids]")


def _once(each: Sequence[Covered], problems: Problems) -> None:
    """Nothing is settled twice: repaired and credited, or paid for by two sums."""
    seen: dict[str, str] = {}
    for one in each:
        for id in one.ids:
            if id in seen:
                ways = f"by {seen[id]} and by {one.way}" if seen[id] != one.way else f"by {one.way} twice"
                found = f"{id!r} is settled {ways}"
                problems.error(one.entry.place.at("covers"), found, "keep it under one of them")
            seen.setdefault(id, one.way)


def _fits(one: Covered, findings: Sequence[Finding], problems: Problems) -> None:
    """What an entry settles has to agree with what the finding itself says."""
    place = one.entry.place.at("covers")
    for finding in (f for f in findings if f.id in one.ids):
        if finding.settle_by and finding.settle_by != one.way:
            found = f"{finding.id!r} stands under {one.way} and says settle by: {finding.settle_by}"
            problems.error(place, found, f"write settle by: {one.way}, or take it out of covers")
        if only_buyer(finding):
            found = f"{finding.id!r} is paid by the buyer alone, so it leaves nothing for a {one.way}"
            problems.error(place, found, "change pays:, or take it out of covers")
        done = finding.state == "checked" or (finding.state == "reported done" and one.way == CREDIT)
        if done and one.way != REPAIR:
            found = f"{finding.id!r} is {finding.state} and settled by {one.way} as well"
            problems.error(place, found, "take it out of covers: nothing is settled twice")


def _within_price(agreed: Agreed, price: Decimal, currency: str, problems: Problems) -> None:
    """No sum, nor all of them together, is above the price."""
    limit = units.money(price, currency)
    sums: list[tuple[str, Place, Decimal]] = [
        ("credit", c.place.at("amount"), c.amount) for c in agreed.credit if c.amount is not None
    ]
    if agreed.holdback and agreed.holdback.amount is not None:
        sums.append(("holdback", agreed.holdback.place.at("amount"), agreed.holdback.amount))
    for what, place, amount in sums:
        if amount > price:
            found = f"the {what} of {units.money(amount, currency)} is above the price of {limit}"
            problems.error(place, found, f"write at most {price}")
    together = sum((amount for _, _, amount in sums), ZERO)
    if together > price and all(amount <= price for _, _, amount in sums):
        found = f"credits and holdback come to {units.money(together, currency)}, above the price of {limit}"
        problems.error(sums[-1][1], found, "look at the amounts")
    for repair in agreed.repair:
        if repair.if_not_done is not None and repair.if_not_done > price:
            found = f"{units.money(repair.if_not_done, currency)} is above the price of {limit}"
            problems.error(repair.place.at("if not done"), found, f"write at most {price}")


def _within_estimate(
    one: Covered, credit: AgreedCredit, estimate: Estimate | None, currency: str, problems: Problems
) -> None:
    """A credit is not above what it is for: above the highs is an error, above the likely is told of.

    Where some of what it answers has no price, no bound is known.
    """
    costs = [cost for cost in estimate.by_finding if cost.id in one.ids] if estimate else []
    if credit.amount is None or not costs or any(cost.unpriced for cost in costs):
        return
    likely, high = (sum((not_buyers(cost, at) for cost in costs), ZERO) for at in ("paid", "paid_high"))
    above, place = units.money(credit.amount, currency), credit.place.at("amount")
    found = f"the credit of {above} is above the {{}} for what it answers"
    if credit.amount > max(likely, high) and not credit.because:
        at_most = f"highest estimate of {units.money(max(likely, high), currency)}"
        problems.error(place, found.format(at_most), "lower it, or say why under because:")
    elif credit.amount > likely and not credit.because:
        at_likely = f"likely estimate of {units.money(likely, currency)}"
        problems.warn(place, found.format(at_likely), "say why under because:")


def not_buyers(cost: FindingCost, at: str) -> Decimal:
    """Give what a finding costs the seller, or a payer not agreed; at: paid, paid_low or paid_high."""
    shares: Mapping[str, Decimal] = dict(getattr(cost, at))
    return sum((amount for payer, amount in shares.items() if payer != "buyer"), ZERO)


def _days(agreed: Agreed, cover: Cover, counted_on: datetime.date, problems: Problems) -> None:
    closing = cover.dates.closing if cover.dates else None
    if agreed.agreed_on and agreed.agreed_on > counted_on:
        found = f"agreed on {agreed.agreed_on}, after {counted_on}, the day of the report"
        problems.warn(agreed.place.at("agreed on"), found, "look at the date")
    for repair in agreed.repair:
        if isinstance(repair.by, datetime.date) and closing and repair.by > closing:
            found = f"the repairs are due on {repair.by}, after closing on {closing}"
            write = "write a day up to closing, or hold money back for them"
            problems.warn(repair.place.at("by"), found, write)
    held = agreed.holdback
    if held and held.until and closing and held.until < closing:
        found = f"the holdback ends on {held.until}, before closing on {closing}"
        problems.error(held.place.at("until"), found, f"write a day from {closing} on")


def _dates(cover: Cover, problems: Problems) -> None:
    """Tell of days that lie before the offer or after closing."""
    if not cover.dates:
        return
    offer, closing = cover.dates.offer, cover.dates.closing
    for name in ("notice_by", "acceptance_by", "closing"):
        on, key = getattr(cover.dates, name), name.replace("_", " ")
        if on and offer and on < offer:
            problems.warn(
                cover.dates.place.at(key), f"{on} lies before the offer of {offer}", "look at both dates"
            )
        if on and closing and on > closing:
            # whoever closes before the last day of notice has given up what the notice is for
            problems.error(
                cover.dates.place.at(key), f"{on} lies after closing on {closing}", "look at both dates"
            )


def _spent_once(cover: Cover, findings: Sequence[Finding], problems: Problems) -> None:
    """What was put right on the day is money spent; the finding must not ask for it again."""
    by_id = {finding.id: finding for finding in findings}
    for row in cover.inspection_cost:
        finding = by_id.get(row.for_)
        if row.for_ and not finding:
            near = nearest(row.for_, by_id)
            write = f"write for: {near}" if near else f"known here: {listed(sorted(by_id), 'and')}"
            problems.error(row.place.at("for"), f"no finding has the id {row.for_!r}", write)
        repair = finding.repair if finding else None
        if finding and repair and (repair.cost or repair.labour or any(p.each for p in repair.parts)):
            found = f"the cost of {finding.id!r} stands in inspection cost and in its repair"
            problems.error(repair.place.at("repair"), found, "keep it in one place")
