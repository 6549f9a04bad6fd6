"""Says how value, price, comparables and cost to come stand to each other, in whole sentences."""

from __future__ import annotations

from decimal import Decimal

from reportgen import units
from reportgen.blocks.value import AFTER_REPAIR, AS_FOUND, Value
from reportgen.salesgrid import Grid
from reportgen.settlement import Settlement
from reportgen.wording import later, say, say_n

# which price, held against the value: (above, below, the same)
_PRICES = {
    "agreed": (
        later("The agreed price of {price} lies {apart} above the value of {value}."),
        later("The agreed price of {price} lies {apart} below the value of {value}."),
        later("The agreed price of {price} equals the value of {value}."),
    ),
    "offered": (
        later("The price offered of {price} lies {apart} above the value of {value}."),
        later("The price offered of {price} lies {apart} below the value of {value}."),
        later("The price offered of {price} equals the value of {value}."),
    ),
    "asking": (
        later("The asking price of {price} lies {apart} above the value of {value}."),
        later("The asking price of {price} lies {apart} below the value of {value}."),
        later("The asking price of {price} equals the value of {value}."),
    ),
}
_ANY_PRICE = (
    later("The price of {price} lies {apart} above the value of {value}."),
    later("The price of {price} lies {apart} below the value of {value}."),
    later("The price of {price} equals the value of {value}."),
)


def compared(said: Value, grid: Grid | None, code: str) -> tuple[str, ...]:
    """Hold the stated figures against the comparables, in sentences."""
    told = []
    if grid:
        told.append(_asked(grid))
    if grid and said.market is not None:
        told.append(_market(said.market, grid, code))
    if said.replacement is not None:
        told.append(_replacement(said.replacement, said.market, grid, code))
    return tuple(sentence for sentence in told if sentence)


def against_price(value: Decimal | None, stated_for: str, deal: Settlement | None, code: str) -> str:
    """Hold the price against the value, in a sentence that only a reader of the price talk gets."""
    if deal is None or value is None or stated_for != AS_FOUND:
        return ""
    text = _side(deal.price, value, *_PRICES.get(deal.price_is, _ANY_PRICE))
    apart = units.money(abs(deal.price - value), code)
    return say(text, price=units.money(deal.price, code), apart=apart, value=units.money(value, code))


def all_in(pays: Decimal, value: Decimal, code: str) -> str:
    """Say what the buyer pays in all in a way to settle, and how that stands to the value [currency]."""
    text = _side(
        pays,
        value,
        later("{sum}, which lies {apart} above the value"),
        later("{sum}, which lies {apart} below the value"),
        later("{sum}, which equals the value"),
    )
    return say(text, sum=units.money(pays, code), apart=units.money(abs(pays - value), code))


def not_agreed(deal: Settlement | None, code: str) -> tuple[str, ...]:
    """Say what stands in no way to settle, so that nobody takes the sums below for the whole."""
    if not deal or not deal.not_agreed:
        return ()
    sum_ = units.money(deal.not_agreed, code)
    return (say("{sum} that nobody has agreed to pay is in none of the ways.", sum=sum_),)


def _side(one: Decimal, other: Decimal, above: str, below: str, same: str) -> str:
    return same if one == other else above if one > other else below


def _asked(grid: Grid) -> str:
    asked, of = sum(sale.asked for sale in grid.comparables), len(grid.comparables)
    if not asked:
        return ""
    return say_n(
        "{n} of {of} comparables is a price asked, not one paid.",
        "{n} of {of} comparables are prices asked, not paid.",
        asked,
        of=of,
    )


def _market(value: Decimal, grid: Grid, code: str) -> str:
    sum_ = units.money(value, code)
    if value < grid.low:
        apart = units.money(grid.low - value, code)
        return say(
            "The stated market value of {value} lies {apart} below the lowest adjusted comparable.",
            value=sum_,
            apart=apart,
        )
    if value > grid.high:
        apart = units.money(value - grid.high, code)
        return say(
            "The stated market value of {value} lies {apart} above the highest adjusted comparable.",
            value=sum_,
            apart=apart,
        )
    text = _side(
        value,
        grid.likely,
        later(
            "The stated market value of {value} lies within the range of the adjusted comparables, {apart} "
            "above their mean."
        ),
        later(
            "The stated market value of {value} lies within the range of the adjusted comparables, {apart} "
            "below their mean."
        ),
        later(
            "The stated market value of {value} lies within the range of the adjusted comparables, at their "
            "mean."
        ),
    )
    return say(text, value=sum_, apart=units.money(abs(value - grid.likely), code))


def _replacement(value: Decimal, market: Decimal | None, grid: Grid | None, code: str) -> str:
    said = say(
        "The replacement value of {value} is a figure of its own, no part of the range",
        value=units.money(value, code),
    )
    if market is not None:
        text = _side(
            value,
            market,
            later("{said}; it lies {apart} above the market value."),
            later("{said}; it lies {apart} below the market value."),
            later("{said}; it equals the market value."),
        )
        return say(text, said=said, apart=units.money(abs(value - market), code))
    return _against_range(said, value, grid, code) if grid else f"{said}."


def _against_range(said: str, value: Decimal, grid: Grid, code: str) -> str:
    if value < grid.low:
        apart = units.money(grid.low - value, code)
        return say("{said}; it lies {apart} below the lowest adjusted comparable.", said=said, apart=apart)
    if value > grid.high:
        apart = units.money(value - grid.high, code)
        return say("{said}; it lies {apart} above the highest adjusted comparable.", said=said, apart=apart)
    text = _side(
        value,
        grid.likely,
        later("{said}; it lies within the range of the adjusted comparables, {apart} above their mean."),
        later("{said}; it lies within the range of the adjusted comparables, {apart} below their mean."),
        later("{said}; it lies within the range of the adjusted comparables, at their mean."),
    )
    return say(text, said=said, apart=units.money(abs(value - grid.likely), code))


def cost_says(
    share: str, cost: Decimal, left: Decimal | None, stated_for: str, unpriced: int, code: str
) -> tuple[str, ...]:
    """Say what the cost to come does to the value. share: of the value, in words; left: of it [currency]."""
    told = _stated_for(cost, left, stated_for, unpriced, code)
    if left is not None and left < 0:
        told += f" {say('The cost to come is more than the value.')}"
    money = units.money(cost, code)
    against = say("The likely cost to come is {sum}, {share}.", sum=money, share=share)
    if unpriced:
        text = later("The likely cost to come is at least {sum}, at least {share}.")
        missing = say_n(
            "{n} item without a price is not in it.", "{n} items without a price are not in it.", unpriced
        )
        against = f"{say(text, sum=money, share=share)} {missing}"
    return (against, told, say("What a repair costs is not what it adds to the value."))


def _stated_for(cost: Decimal, left: Decimal | None, stated_for: str, unpriced: int, code: str) -> str:
    """Say what the value allows for, and what it leaves where the cost comes off it."""
    money, rest = units.money(cost, code), "" if left is None else units.money(left, code)
    if stated_for == AS_FOUND:
        return say(
            "The value is stated for the boat as found: what was seen is allowed for in it, and the cost "
            "to come, {sum}, is not taken off it again.",
            sum=money,
        )
    if stated_for == AFTER_REPAIR:
        text = later(
            "The value is stated for the boat after the repairs: the cost to come, {sum}, is taken off it, "
            "which leaves {left} for the boat as found."
        )
        if unpriced:
            text = later(
                "The value is stated for the boat after the repairs: the cost to come, {sum}, is taken off "
                "it, which leaves at most {left} for the boat as found."
            )
        return say(text, sum=money, left=rest)
    text = later(
        "Whether the value is for the boat as found or after the repairs is not stated. If as found, what "
        "was seen is allowed for in it, and the cost to come, {sum}, is not taken off it again. If after the "
        "repairs, the cost to come, {sum}, is taken off it, which leaves {left} for the boat as found."
    )
    if unpriced:
        text = later(
            "Whether the value is for the boat as found or after the repairs is not stated. If as found, "
            "what was seen is allowed for in it, and the cost to come, {sum}, is not taken off it again. If "
            "after the repairs, the cost to come, {sum}, is taken off it, which leaves at most {left} for "
            "the boat as found."
        )
    return say(text, sum=money, left=rest)
