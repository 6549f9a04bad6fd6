"""Who pays what: repair, price credit or as it is; what is material; the days left; money already spent."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal, localcontext

from reportgen import material, splitting, units
from reportgen.block import shown
from reportgen.blocks.deal import Sunk
from reportgen.blocks.finding import PAYERS
from reportgen.errors import Problems, listed, nearest
from reportgen.estimate import EXACT, Estimate, MoneyStep
from reportgen.material import Material
from reportgen.model import Cover, Finding

_BASES = ("agreed", "offered", "asking")
_DATES = {
    "offer": "offer accepted",
    "notice_by": "last day to name defects",
    "acceptance_by": "last day to accept or refuse",
    "closing": "closing",
}
_TITLES = {
    "repair": "Repairs before closing",
    "credit": "Price credit at the likely cost",
    "credit p50": "Price credit at P50, without contingency",
    "credit p80": "Price credit at P80, without contingency",
    "as it is": "The buyer takes the boat as it is",
}


@dataclass(frozen=True)
class Way:
    """One way to settle, seen to its end.

    way: repair, credit, credit p50, credit p80 or as it is. credit: [currency], None where there is none.
    buyer_pays: for the boat, the buyer's repairs and the inspection [currency].
    seller_receives: after the seller's repairs [currency]. cash_at_closing: from buyer to seller [currency].
    uncertain: who bears what isn't known yet. The cost that isn't agreed is in none of them.
    """

    way: str = shown("price", "")
    title: str = shown("price", "")
    credit: Decimal | None = shown("price")
    buyer_pays: Decimal = shown("price", Decimal(0))
    seller_receives: Decimal = shown("price", Decimal(0))
    cash_at_closing: Decimal = shown("price", Decimal(0))
    steps: tuple[MoneyStep, ...] = shown("price", ())
    uncertain: str = shown("price", "")


@dataclass(frozen=True)
class DealDay:
    """A date of the deal. left: days from the day counted on, below zero once past [days]."""

    what: str = shown("price", "")
    on: datetime.date = shown("price", datetime.date.min)
    left: int = shown("price", 0)
    says: str = shown("price", "")


@dataclass(frozen=True)
class SunkCosts:
    """Money that the inspection has already cost [currency]; no part of any repair. by_payer: totals."""

    rows: tuple[Sunk, ...] = shown("price", ())
    by_payer: tuple[tuple[str, Decimal], ...] = shown("price", ())


@dataclass(frozen=True)
class Settlement:
    """The ways to settle, compared.

    price: agreed, else offered, else asked; price_is says which [currency]. seller_share, buyer_share,
    not_agreed: of the likely cost to come [currency]. other_credits: by P50 and P80, where they say more.
    """

    currency: str = shown("open", "")
    counted_on: datetime.date = shown("open", datetime.date.min)
    price: Decimal = shown("price", Decimal(0))
    price_is: str = shown("price", "")
    deposit: Decimal | None = shown("price")
    seller_share: Decimal = shown("price", Decimal(0))
    buyer_share: Decimal = shown("price", Decimal(0))
    not_agreed: Decimal = shown("price", Decimal(0))
    ways: tuple[Way, ...] = shown("price", ())
    other_credits: tuple[Way, ...] = shown("price", ())
    material: Material | None = shown("price")
    dates: tuple[DealDay, ...] = shown("price", ())
    sunk: SunkCosts = shown("price", SunkCosts())
    unpriced: int = shown("open", 0)


@dataclass(frozen=True)
class _Term:
    """One amount of a sum [currency], with its sign."""

    name: str
    amount: Decimal
    sign: int = 1


_Terms = Sequence[_Term]


@dataclass(frozen=True)
class _Sums:
    """What every way is made of [currency]; seller, buyer, not_agreed: shares of the likely cost to come."""

    price: Decimal
    seller: Decimal
    buyer: Decimal
    sunk: Decimal
    deposit: Decimal
    not_agreed: Decimal
    unpriced: int
    currency: str

    def money(self, amount: Decimal) -> str:
        return units.money(amount, self.currency)


def build(
    estimate: Estimate | None,
    cover: Cover,
    findings: Sequence[Finding],
    counted_on: datetime.date | None = None,
) -> Settlement | None:
    """Give the ways to settle; None without a price.

    counted_on: the day that days are counted from, else the cover note's. Source: common practice, no source.
    In every way buyer_pays − seller_receives is what the repairs and the buyer's inspection cost.
    """
    price, price_is = _price(cover)
    if price is None or not cover.price:
        return None
    day = counted_on or cover.counted_on
    with localcontext(EXACT):
        sums = _sums(price, estimate, cover)
        return Settlement(
            currency=cover.currency,
            counted_on=day,
            price=price,
            price_is=price_is,
            deposit=cover.price.deposit,
            seller_share=sums.seller,
            buyer_share=sums.buyer,
            not_agreed=sums.not_agreed,
            ways=(_repair(sums), _credit("credit", sums.seller, sums), _as_it_is(sums)),
            other_credits=_other_credits(estimate, sums),
            material=material.judge(
                price, cover.price.material_threshold, cover.currency, estimate, findings
            ),
            dates=deal_days(cover, day),
            sunk=sunk_costs(cover),
            unpriced=sums.unpriced,
        )


def _price(cover: Cover) -> tuple[Decimal | None, str]:
    found = ((getattr(cover.price, base, None), base) for base in _BASES)
    return next(((amount, base) for amount, base in found if amount is not None), (None, ""))


def _sums(price: Decimal, estimate: Estimate | None, cover: Cover) -> _Sums:
    zero = _zero(cover)
    shares = {share.name: share.likely for share in estimate.by_payer} if estimate else {}
    return _Sums(
        price=price,
        seller=shares.get("seller", zero),
        buyer=shares.get("buyer", zero),
        sunk=dict(sunk_costs(cover).by_payer).get("buyer", zero),
        deposit=(cover.price.deposit if cover.price else None) or zero,
        not_agreed=shares.get("not agreed", zero),
        unpriced=estimate.unpriced if estimate else 0,
        currency=cover.currency,
    )


def _zero(cover: Cover) -> Decimal:
    return splitting.rounded(Decimal(0), units.decimals(cover.currency))


def _repair(sums: _Sums) -> Way:
    buyer = (_Term("price", sums.price), _Term("buyer's repairs", sums.buyer), _Term("inspection", sums.sunk))
    seller = (_Term("price", sums.price), _Term("seller's repairs", sums.seller, -1))
    bears = "What a repair costs beyond the estimate is borne by whoever pays it"
    return _way("repair", None, buyer, seller, bears, sums)


def _credit(way: str, credit: Decimal, sums: _Sums) -> Way:
    taken = _Term("credit", credit, -1)
    buyer = (_Term("price", sums.price), taken, *_all_repairs(sums))
    bears = (
        "The credit is final: the buyer bears what the repairs cost beyond it, and keeps what is left of it"
    )
    return _way(way, credit, buyer, (_Term("price", sums.price), taken), bears, sums)


def _as_it_is(sums: _Sums) -> Way:
    price = _Term("price", sums.price)
    bears = "The buyer bears the whole cost, whatever it comes to"
    return _way("as it is", None, (price, *_all_repairs(sums)), (price,), bears, sums)


def _all_repairs(sums: _Sums) -> tuple[_Term, ...]:
    return (
        _Term("seller's repairs", sums.seller),
        _Term("buyer's repairs", sums.buyer),
        _Term("inspection", sums.sunk),
    )


def _way(way: str, credit: Decimal | None, buyer: _Terms, seller: _Terms, bears: str, sums: _Sums) -> Way:
    cash = (
        _Term("price", sums.price),
        *([] if credit is None else [_Term("credit", credit, -1)]),
        *([_Term("deposit", sums.deposit, -1)] if sums.deposit else []),
    )
    return Way(
        way=way,
        title=_TITLES[way],
        credit=credit,
        buyer_pays=_total(buyer),
        seller_receives=_total(seller),
        cash_at_closing=_total(cash),
        steps=(
            _step("Buyer pays in all", buyer, sums),
            _step("Seller receives", seller, sums),
            _step("Cash at closing", cash, sums),
        ),
        uncertain=_uncertain(bears, sums),
    )


def _total(terms: _Terms) -> Decimal:
    return sum((term.sign * term.amount for term in terms), Decimal(0))


def _step(step: str, terms: _Terms, sums: _Sums) -> MoneyStep:
    formula = "".join(f" {'+' if t.sign > 0 else '−'} {t.name}" for t in terms)
    values = "".join(f" {'+' if t.sign > 0 else '−'} {sums.money(t.amount)}" for t in terms)
    return MoneyStep(step, formula.removeprefix(" + "), values.removeprefix(" + "), sums.money(_total(terms)))


def _uncertain(bears: str, sums: _Sums) -> str:
    """Say who bears what isn't known yet, how many items have no price, and what nobody has agreed to pay."""
    said = [bears]
    if sums.unpriced:
        one = sums.unpriced == 1
        items = "1 item has no price and is" if one else f"{sums.unpriced} items have no price and are"
        said.append(f"{items} in none of these sums")
    if sums.not_agreed:
        said.append(f"{sums.money(sums.not_agreed)} that nobody has agreed to pay is in none of them")
    return ". ".join(said) + "."


def _other_credits(estimate: Estimate | None, sums: _Sums) -> tuple[Way, ...]:
    """Give the credits at P50 and P80 of the seller's share; none where that share has no spread."""
    p50, p80 = (estimate.seller_p50, estimate.seller_p80) if estimate else (None, None)
    if p50 is None or p80 is None or p50 == p80:
        return ()
    return (_credit("credit p50", p50, sums), _credit("credit p80", p80, sums))


def deal_days(cover: Cover, counted_on: datetime.date) -> tuple[DealDay, ...]:
    """Give the dates of the deal in the order of days, each with the days left."""
    known = [(getattr(cover.dates, name, None), what) for name, what in _DATES.items()]
    days = sorted(((on, what) for on, what in known if on), key=lambda day: day[0])
    return tuple(
        DealDay(what, on, (on - counted_on).days, _left((on - counted_on).days)) for on, what in days
    )


def _left(days: int) -> str:
    count = "1 day" if abs(days) == 1 else f"{abs(days)} days"
    return "today" if not days else f"{count} left" if days > 0 else f"{count} ago"


def sunk_costs(cover: Cover) -> SunkCosts:
    """Give what the inspection has already cost, with the total of each payer [currency]."""
    totals = {
        payer: sum((s.amount for s in cover.inspection_cost if s.paid_by == payer and s.amount), _zero(cover))
        for payer in PAYERS
    }
    return SunkCosts(cover.inspection_cost, tuple((p, t) for p, t in totals.items() if t))


def problems(cover: Cover, findings: Sequence[Finding], problems: Problems) -> None:
    """Note what can't be right about the price, the dates, and money spent on the day."""
    price, price_is = _price(cover)
    place = cover.place
    if cover.price and cover.price.deposit is not None and price is not None and cover.price.deposit > price:
        found = f"the deposit {cover.price.deposit} is above the {price_is} price {price}"
        problems.error(place.at("deposit"), found, "write what was paid so far")
    if cover.price and cover.price.material_threshold is not None and price is None:
        problems.warn(place.at("material threshold"), "a threshold, but no price", "add asking: or agreed:")
    _dates(cover, problems)
    _spent_once(cover, findings, problems)


def _dates(cover: Cover, problems: Problems) -> None:
    """Warn of days that lie before the offer or after closing."""
    if not cover.dates:
        return
    offer, closing = cover.dates.offer, cover.dates.closing
    for name in ("notice_by", "acceptance_by", "closing"):
        on, key = getattr(cover.dates, name), name.replace("_", " ")
        if on and offer and on < offer:
            problems.warn(cover.place.at(key), f"{on} lies before the offer of {offer}", "look at both dates")
        if on and closing and on > closing:
            problems.warn(cover.place.at(key), f"{on} lies after closing on {closing}", "look at both dates")


def _spent_once(cover: Cover, findings: Sequence[Finding], problems: Problems) -> None:
    """What was put right on the day is money spent; the finding must not ask for it again."""
    by_id = {finding.id: finding for finding in findings}
    for row in cover.inspection_cost:
        finding = by_id.get(row.for_)
        if row.for_ and not finding:
            near = nearest(row.for_, by_id)
            write = f"write for: {near}" if near else f"known here: {listed(sorted(by_id), 'and')}"
            problems.error(cover.place.at("for"), f"no finding has the id {row.for_!r}", write)
        repair = finding.repair if finding else None
        if finding and repair and (repair.cost or repair.labour or any(p.each for p in repair.parts)):
            found = f"the cost of {finding.id!r} stands in inspection cost and in its repair"
            problems.error(repair.place.at("repair"), found, "keep it in one place")
