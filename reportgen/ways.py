"""Each way to settle, seen to its end: what buyer, seller and holder pay and get, what stays uncertain."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import NamedTuple

from reportgen import units
from reportgen.block import shown
from reportgen.estimate import MoneyStep
from reportgen.model import Cover
from reportgen.wording import later, later_n, say, say_in, say_n

ZERO = Decimal(0)
_AT_LOWS = later("Buyer at the lows"), later("Seller at the lows")
_AT_HIGHS = later("Buyer at the highs"), later("Seller at the highs")
BUYER, SELLER = "buyer", "seller"
_BASES = ("agreed", "offered", "asking")
TITLES = {
    "agreed": later("As agreed"),
    "repair": later("Repairs before closing"),
    "credit": later("Price credit at the likely cost"),
    "credit p50": later("Price credit at P50, without contingency"),
    "credit p80": later("Price credit at P80, without contingency"),
    "holdback": later("Money held back until the repairs are done"),
    "as it is": later("The buyer takes the boat as it is"),
    "mixed": later("Mixed, each finding as it says itself"),
}


# what the sums are made of, put into words where they are shown
TERMS = (
    "price",
    "credit",
    "deposit",
    "deposit released",
    "cash from the buyer",
    "seller's repairs",
    "buyer's repairs",
    "repairs beyond what is held back",
    "held back",
    "left of what is held back",
    "inspection",
)


class Three(NamedTuple):
    """A cost at the low, likely and high figures of the estimate [currency]."""

    low: Decimal = ZERO
    likely: Decimal = ZERO
    high: Decimal = ZERO

    def plus(self, other: Three) -> Three:
        """Give the sum of two costs, figure by figure."""
        return Three(self.low + other.low, self.likely + other.likely, self.high + other.high)


@dataclass(frozen=True)
class Held:
    """Money held back at closing, and where it goes at the likely cost [currency].

    amount: held. work: paid out of it for the repairs. left: what remains then, and left_to whom.
    over: cost beyond the amount, and over_by whom it is paid. work + left is the amount, to the cent.
    """

    amount: Decimal = shown("price", ZERO)
    work: Decimal = shown("price", ZERO)
    left: Decimal = shown("price", ZERO)
    left_to: str = shown("price", "")
    over: Decimal = shown("price", ZERO)
    over_by: str = shown("price", "")


@dataclass(frozen=True)
class PriceStep:
    """One step from the asking price to what the buyer pays in all [currency].

    change: what it adds, below zero where it takes away, None for a total. total: reached with it.
    """

    what: str = shown("price", "")
    change: Decimal | None = shown("price")
    total: Decimal = shown("price", ZERO)


@dataclass(frozen=True)
class Way:
    """One way to settle, seen to its end.

    way: a key of TITLES. credit: [currency], None where there is none. held: None where nothing is held back.
    buyer_pays: for the boat, the buyer's repairs and the inspection [currency].
    seller_receives: after the seller's repairs [currency]. cash_at_closing: that the buyer brings [currency].
    seller_at_closing: cash that the seller takes away that day, before repairs of his own [currency].
    buyer_low to seller_high: both ends at the lows and at the highs of the estimate [currency], the smaller
    first. undecided: of the seller's likely share, left out as nothing says how it is settled [currency].
    steps, range_steps: the working of the likely sums and of those.
    bears: who bears what isn't known yet; uncertain: that, and the cost that is in none of the sums, since
    nobody has agreed to pay it or it has no price.
    """

    way: str = shown("price", "")
    title: str = shown("price", "")
    credit: Decimal | None = shown("price")
    held: Held | None = shown("price")
    buyer_pays: Decimal = shown("price", ZERO)
    seller_receives: Decimal = shown("price", ZERO)
    cash_at_closing: Decimal = shown("price", ZERO)
    seller_at_closing: Decimal = shown("price", ZERO)
    buyer_low: Decimal = shown("price", ZERO)
    buyer_high: Decimal = shown("price", ZERO)
    seller_low: Decimal = shown("price", ZERO)
    seller_high: Decimal = shown("price", ZERO)
    undecided: Decimal = shown("price", ZERO)
    steps: tuple[MoneyStep, ...] = shown("price", ())
    range_steps: tuple[MoneyStep, ...] = shown("price", ())
    bears: str = shown("price", "")
    uncertain: str = shown("price", "")


@dataclass(frozen=True)
class Sums:
    """What every way starts from [currency].

    buyer: the buyer's own repairs. sunk: what the buyer has spent on the inspection. deposit: paid already;
    with_holder: whether a third party holds it until closing. unpriced: items without a price.
    """

    price: Decimal
    buyer: Three
    sunk: Decimal
    deposit: Decimal
    with_holder: bool
    unpriced: int
    currency: str

    def money(self, amount: Decimal) -> str:
        """Print a sum."""
        return units.money(amount, self.currency)


@dataclass(frozen=True)
class Plan:
    """Who does the seller's share of the repairs in a way; None where the way has none of that.

    by_seller: at the seller's cost before closing. by_buyer: by the buyer, for the credit or as it is.
    by_holder: paid out of the money held back. held: that money [currency].
    overrun: who pays beyond it. underrun: who gets what is left of it. open: in none of the sums [currency].
    """

    way: str
    by_seller: Three | None = None
    by_buyer: Three | None = None
    by_holder: Three | None = None
    credit: Decimal | None = None
    held: Decimal | None = None
    overrun: str = BUYER
    underrun: str = SELLER
    open: Decimal = ZERO
    undecided: Decimal = ZERO


class Term(NamedTuple):
    """One amount of a sum [currency], with its sign. name: one of TERMS."""

    name: str
    amount: Decimal
    sign: int = 1


def price_of(cover: Cover) -> tuple[Decimal | None, str]:
    """Give the price agreed, else offered, else asked [currency], and which of them it is."""
    found = ((getattr(cover.price, base, None), base) for base in _BASES)
    return next(((amount, base) for amount, base in found if amount is not None), (None, ""))


def total(terms: Sequence[Term]) -> Decimal:
    """Give the sum of the terms with their signs [currency]."""
    return sum((term.sign * term.amount for term in terms), ZERO)


def held_back(plan: Plan, cost: Decimal) -> Held | None:
    """Give where the money held back goes if the work costs so much [currency]; None if none is held."""
    if plan.held is None:
        return None
    work = min(plan.held, cost)
    return Held(plan.held, work, plan.held - work, plan.underrun, cost - work, plan.overrun)


def see_to_the_end(plan: Plan, sums: Sums) -> Way:
    """Give what each side pays and gets in a way.

    Buyer: price − credit + repairs that the buyer pays + inspection; seller: price − credit − own repairs.
    Money held back is paid by the buyer within the price; what is left of it goes to one side, what the work
    costs beyond it is borne by one side. Source: common practice, no source.
    """
    low, likely, high = (_ends(plan, sums, which) for which in Three._fields)
    held = held_back(plan, plan.by_holder.likely if plan.by_holder else ZERO)
    closing = _closing(plan, sums)
    takes = _takes(plan, sums, total(closing))
    steps = [_step(say("Buyer pays in all"), likely[0], sums), _step(say("Seller receives"), likely[1], sums)]
    steps.append(_step(say("Cash that the buyer brings at closing"), closing, sums))
    if len(takes) > 1:
        steps.append(_step(say("Cash that the seller takes at closing"), takes, sums))
    if held:
        steps.append(_holder_step(held, sums))
    buyer, seller = (sorted(total(end[side]) for end in (low, high)) for side in (0, 1))
    return Way(
        way=plan.way,
        title=say(TITLES[plan.way]),
        credit=plan.credit,
        held=held,
        buyer_pays=total(likely[0]),
        seller_receives=total(likely[1]),
        cash_at_closing=total(closing),
        seller_at_closing=total(takes),
        buyer_low=buyer[0],
        buyer_high=buyer[1],
        seller_low=seller[0],
        seller_high=seller[1],
        undecided=plan.undecided,
        steps=tuple(steps),
        range_steps=tuple(
            _step(say(named), end[n], sums)
            for names, end in ((_AT_LOWS, low), (_AT_HIGHS, high))
            for n, named in enumerate(names)
        ),
        bears=_told(_borne(plan, sums)),
        uncertain=_told([*_borne(plan, sums), *_missing(plan, sums)]),
    )


def _ends(plan: Plan, sums: Sums, which: str) -> tuple[list[Term], list[Term]]:
    """Give both sides' sums at the low, likely or high figures of the estimate."""
    held = held_back(plan, _figure(plan.by_holder, which) or ZERO)
    taken = [] if plan.credit is None else [Term("credit", plan.credit, -1)]
    price = Term("price", sums.price)
    return (
        [price, *taken, *_buyers(plan, sums, held, which)],
        [price, *taken, *_sellers(plan, held, which)],
    )


def _figure(cost: Three | None, which: str) -> Decimal | None:
    found: Decimal | None = getattr(cost, which) if cost else None
    return found


def _buyers(plan: Plan, sums: Sums, held: Held | None, which: str) -> list[Term]:
    taken_over = _figure(plan.by_buyer, which)
    terms = [] if taken_over is None else [Term("seller's repairs", taken_over)]
    terms.append(Term("buyer's repairs", getattr(sums.buyer, which)))
    if held and held.over and held.over_by == BUYER:
        terms.append(Term("repairs beyond what is held back", held.over))
    if held and held.left and held.left_to == BUYER:
        terms.append(Term("left of what is held back", held.left, -1))
    return [*terms, Term("inspection", sums.sunk)]


def _sellers(plan: Plan, held: Held | None, which: str) -> list[Term]:
    own = _figure(plan.by_seller, which)
    terms = [] if own is None else [Term("seller's repairs", own, -1)]
    if held:
        terms.append(Term("held back", held.amount, -1))
        if held.left and held.left_to == SELLER:
            terms.append(Term("left of what is held back", held.left))
        if held.over and held.over_by == SELLER:
            terms.append(Term("repairs beyond what is held back", held.over, -1))
    return terms


def _closing(plan: Plan, sums: Sums) -> list[Term]:
    terms = [Term("price", sums.price)]
    terms += [] if plan.credit is None else [Term("credit", plan.credit, -1)]
    return [*terms, *([Term("deposit", sums.deposit, -1)] if sums.deposit else [])]


def _takes(plan: Plan, sums: Sums, brought: Decimal) -> list[Term]:
    terms = [Term("cash from the buyer", brought)]
    if sums.deposit and sums.with_holder:
        terms.append(Term("deposit released", sums.deposit))
    return [*terms, *([] if plan.held is None else [Term("held back", plan.held, -1)])]


def _step(step: str, terms: Sequence[Term], sums: Sums) -> MoneyStep:
    formula = "".join(f" {'+' if t.sign > 0 else '−'} {_named(t)}" for t in terms)
    values = "".join(f" {'+' if t.sign > 0 else '−'} {sums.money(t.amount)}" for t in terms)
    return MoneyStep(step, formula.removeprefix(" + "), values.removeprefix(" + "), sums.money(total(terms)))


def _named(term: Term) -> str:
    return say_in("part of a sum", term.name)


def _holder_step(held: Held, sums: Sums) -> MoneyStep:
    values = f"{sums.money(held.amount)} − {sums.money(held.work)} − {sums.money(held.left)}"
    formula = say(
        "held back − paid for the work − left, to {who}", who=say_in("to whom", f"the {held.left_to}")
    )
    return MoneyStep(say("With the holder at the end"), formula, values, sums.money(ZERO))


# (whether the seller bears what is beyond the sum, whether the seller gets what is left) to the sentence
_HELD = {
    (True, True): later(
        "Of the repairs that {held} is held back for, the seller bears the cost, also beyond that sum; "
        "what is left of it goes to the seller"
    ),
    (True, False): later(
        "Of the repairs that {held} is held back for, the seller bears the cost, also beyond that sum; "
        "what is left of it goes to the buyer"
    ),
    (False, True): later(
        "Of the repairs that {held} is held back for, the seller bears the cost up to that sum, the buyer "
        "the rest; what is left of it goes to the seller"
    ),
    (False, False): later(
        "Of the repairs that {held} is held back for, the seller bears the cost up to that sum, the buyer "
        "the rest; what is left of it goes to the buyer"
    ),
}


def _told(said: Sequence[str]) -> str:
    return ". ".join(said) + "."


def _missing(plan: Plan, sums: Sums) -> list[str]:
    """Say how many items have no price, and what nobody has agreed to pay."""
    said = []
    if sums.unpriced:
        one = later_n(
            "{n} item has no price and is in none of these sums",
            "{n} items have no price and are in none of these sums",
        )
        said.append(say_n(*one, sums.unpriced))
    if plan.open:
        said.append(
            say("{open} that nobody has agreed to pay is in none of them", open=sums.money(plan.open))
        )
    return said


def _borne(plan: Plan, sums: Sums) -> list[str]:
    """Say of each part of a way which side bears its risk."""
    if plan.way == "as it is":
        return [say("The buyer bears the whole cost, whatever it comes to")]
    said = []
    if plan.by_seller is not None:
        said.append(say("What a repair costs beyond the estimate is borne by whoever pays it"))
    if plan.credit is not None:
        said.append(
            say(
                "The credit is final: the buyer bears what the repairs cost beyond it, and keeps what"
                " is left of it"
            )
        )
    if plan.held is not None:
        said.append(say(_HELD[plan.overrun == SELLER, plan.underrun == SELLER], held=sums.money(plan.held)))
    if plan.by_buyer is not None and plan.credit is None:
        said.append(say("The buyer bears the cost of what is taken as it is"))
    if plan.undecided:
        undecided = sums.money(plan.undecided)
        said.append(
            say(
                "{undecided} of the seller's share is left out, as nothing says how it is settled",
                undecided=undecided,
            )
        )
    return said or [say("Each side bears the cost of its own repairs")]


def waterfall(plan: Plan, sums: Sums, asking: Decimal | None, price_is: str) -> tuple[PriceStep, ...]:
    """Give the steps from the asking price to the buyer's all-in cost of a way [currency].

    Without an asking price it starts at the price. Steps of nothing are left out; the last is the total.
    """
    named = {"agreed": say("Price agreed"), "offered": say("Price offered")}.get(
        price_is, say("Asking price")
    )
    parts = [PriceStep(named, None, sums.price)]
    if asking is not None and price_is != "asking":
        change = sums.price - asking
        moved = (
            PriceStep(say("Talked down") if change < ZERO else say("Raised"), change, sums.price),
            *parts,
        )
        parts = [PriceStep(say("Asking price"), None, asking), *(moved if change else parts)]
    reached, named_so = sums.price, {"seller's repairs": say("Seller's repairs, left to the buyer")}
    for term in _ends(plan, sums, "likely")[0][1:]:
        if term.amount:
            reached += term.sign * term.amount
            what = named_so.get(term.name, f"{_named(term)[:1].upper()}{_named(term)[1:]}")
            parts.append(PriceStep(what, term.sign * term.amount, reached))
    return (*parts, PriceStep(say("Buyer pays in all"), None, reached))
