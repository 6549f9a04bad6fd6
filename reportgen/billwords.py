"""The working of a bill in words: each line with its formula, the numbers put in, and the result."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from reportgen import splitting, uncertainty, units
from reportgen.bill import Row
from reportgen.block import shown
from reportgen.charges import plain
from reportgen.jobs import Figure
from reportgen.model import Cover
from reportgen.wording import later, number, say, say_in

# which payer's repairs bear a strip-down that several of them need
_RULES = {
    "hours": later(
        "A strip-down or a charge that repairs of different payers need ({names}) is shared by the own "
        "likely hours of those repairs, equally where there are none."
    ),
    "equal": later(
        "A strip-down or a charge that repairs of different payers need ({names}) is shared equally by those "
        "repairs."
    ),
    "seller": later(
        "A strip-down or a charge that repairs of different payers need ({names}) is paid by the seller "
        "where both sides need it, else shared by the likely hours of the repairs."
    ),
    "buyer": later(
        "A strip-down or a charge that repairs of different payers need ({names}) is paid by the buyer where "
        "both sides need it, else shared by the likely hours of the repairs."
    ),
}
_DRAWN = later(
    "{n} draws: each figure from the Beta distribution on low to high with that mean and the variance "
    "((high − low) / 6)², independent, a strip-down once a visit, the whole rule on each draw"
)
ADDED = later(
    "square root of the variances ((high − low) / 6)² of all figures added up, each times what a unit of it "
    "adds to the total squared; a strip-down once, so that all that share it rise and fall together"
)
MEAN = later("(low + 4 × likely + high) / 6 of each figure, put through the same lines")
_ALONE = later("each by itself with the strip-downs and charges that it needs, by number")
_SAVED = later("repairs priced one by one − total together")


@dataclass(frozen=True)
class MoneyStep:
    """One step of the working: what it finds, formula in words, the numbers put in, the printed result."""

    step: str = shown("rates", "")
    formula: str = shown("rates", "")
    values: str = shown("rates", "")
    result: str = shown("rates", "")


@dataclass(frozen=True)
class _Sheet:
    """What the words of one visit need: the cover note's terms, the figures, and the lines at likely."""

    cover: Cover
    figures: Sequence[Figure]
    rows: Sequence[Row]

    def money(self, amount: Decimal) -> str:
        return units.money(amount, self.cover.currency)

    def sum_of(self, group: str) -> str:
        return self.money(sum((row.amount for row in self.rows if row.group == group), Decimal(0)))

    def has(self, group: str) -> bool:
        return any(row.group == group for row in self.rows)


def working(
    cover: Cover, figures: Sequence[Figure], rows: Sequence[Row], visit: str
) -> tuple[MoneyStep, ...]:
    """Give the steps of one visit at the likely figures; visit: its name, empty if there is only one."""
    sheet = _Sheet(cover, figures, rows)
    where = f" ({say_in('visit', visit)})" if visit else ""
    return tuple(_step(row, sheet, where) for row in rows)


def saving(
    alone: Sequence[Decimal], together: Decimal, money: Callable[[Decimal], str]
) -> tuple[MoneyStep, ...]:
    """Give the steps of what doing the repairs together saves; alone: each by itself [currency]."""
    apart = sum(alone, Decimal(0))
    each = " + ".join(money(cost) for cost in alone if cost)
    less = f"{money(apart)} − {money(together)}"
    saved = MoneyStep(say("Saved by doing it together"), say(_SAVED), less, money(apart - together))
    if apart == together:
        return (saved,)
    return MoneyStep(say("Repairs priced one by one"), say(_ALONE), each, money(apart)), saved


def sharing(names: Sequence[str], rule: str) -> str:
    """Say how strip-downs and charges are shared that repairs of different payers need."""
    return say(_RULES[rule], names=", ".join(names))


def drawn() -> str:
    """Say how the draws are made by which the percentiles are found."""
    return say(_DRAWN, n=number(f"{uncertainty.DRAWS:,}"))


def _step(row: Row, sheet: _Sheet, where: str) -> MoneyStep:
    formula, values = _HOW[row.rule](row, sheet)
    return MoneyStep(row.what + where, formula, values, sheet.money(row.amount))


def _labour(row: Row, sheet: _Sheet) -> tuple[str, str]:
    formula = say("hours of the repairs and of each strip-down once × rate")
    return formula, f"{_hours(row)} × {sheet.money(row.times)}"


def _hours(row: Row) -> str:
    """Print the hours of a line with four decimals [h], or as minutes where those don't give its amount."""
    hours, decimals = row.hours or Decimal(0), -int(row.amount.as_tuple().exponent)
    if splitting.rounded(units.half_up(hours, 4) * row.times, decimals) == row.amount:
        return f"{plain(hours)} h"
    return f"{plain(hours * 60)} min / 60"


def _overtime(row: Row, sheet: _Sheet) -> tuple[str, str]:
    rates = sheet.cover.rates
    rate = ((rates.second_person if row.person else rates.labour) or {})[row.rate]
    share = say("{plain} % of {rate}", plain=plain(rates.overtime or Decimal(0)), rate=sheet.money(rate))
    return (
        say("hours in overtime × what an hour of it costs on top"),
        f"{_hours(row)} × {share}",
    )


def _parts(row: Row, sheet: _Sheet) -> tuple[str, str]:
    own = (f"{f.times} × {sheet.money(f.span.likely)}" for f in sheet.figures if f.group == "parts")
    return say("count × price of one, added up"), " + ".join(own)


def _supplies(row: Row, sheet: _Sheet) -> tuple[str, str]:
    rates = sheet.cover.rates
    values = f"{plain(rates.supplies)} % × {sheet.sum_of('labour')}"
    if rates.supplies_cap is None:
        return say("share of labour"), values
    return say("share of labour, not above the cap of a visit"), say(
        "{values}, cap {supplies_cap}", values=values, supplies_cap=sheet.money(rates.supplies_cap)
    )


def _tax(row: Row, sheet: _Sheet) -> tuple[str, str]:
    rates = sheet.cover.rates
    on_parts, on_labour = (rates.parts_tax, rates.labour_tax) if rates.tax is None else (rates.tax,) * 2
    goods = [sheet.sum_of(group) for group in ("parts", "supplies") if sheet.has(group)]
    on_goods = f"({' + '.join(goods)})" if len(goods) > 1 else "".join(goods)
    hours = sheet.sum_of("labour") if sheet.has("labour") else ""
    bases = ((on_parts, say("parts and supplies"), on_goods), (on_labour, say("labour"), hours))
    taxed = [(share, name, base) for share, name, base in bases if share and base]
    formula = " + ".join(say("tax on {name}", name=name) for _, name, _ in taxed)
    return formula, " + ".join(f"{plain(share)} % × {base}" for share, _, base in taxed)


def _contingency(row: Row, sheet: _Sheet) -> tuple[str, str]:
    values = f"{plain(row.times * 100)} % × ({' + '.join(sheet.money(base) for base in row.on)})"
    if row.only:
        return say("share of labour and parts, before tax and supplies"), values
    return say(
        "share of labour and parts of the repairs as sure as that, before tax and supplies; a strip-down "
        "goes by the least sure repair that needs it"
    ), values


def _share(row: Row, sheet: _Sheet) -> tuple[str, str]:
    said = say("tax stated beside it, or on every line") if row.figure else say("tax on every line")
    return said, f"{plain(row.times * 100)} % × {sheet.money(row.on[0])}"


def _fixed(row: Row, sheet: _Sheet) -> tuple[str, str]:
    figure = row.figure
    taxed = say("taxed on a line of its own") if figure and figure.tax else say("no tax on it")
    if figure and figure.quote:
        return say("quote as given, with all that the findings it covers need; {taxed}", taxed=taxed), ""
    if figure and figure.how:
        return say("yard's charge; no supplies or contingency, {taxed}", taxed=taxed), figure.how
    return say("fixed cost as stated; no supplies or contingency, {taxed}", taxed=taxed), ""


_HOW = {
    "labour": _labour,
    "overtime": _overtime,
    "parts": _parts,
    "supplies": _supplies,
    "tax": _tax,
    "contingency": _contingency,
    "tax on contingency": _share,
    "fixed": _fixed,
    "tax on fixed": _share,
}
