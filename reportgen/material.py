"""What the material findings come to against the price, and whether the contract's threshold is passed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from reportgen import splitting, units
from reportgen.block import shown
from reportgen.estimate import Estimate, MoneyStep
from reportgen.model import Finding
from reportgen.wording import number, say

MATERIAL = ("stop", "settle")


@dataclass(frozen=True)
class Material:
    """What the material findings cost against the price.

    amount: likely cost with tax [currency]. share: of the price [%], to two decimals.
    at_least: whether some of them have no price. threshold: of the contract [%], None for none.
    verdict: above, not above, not known yet (what has a price isn't above, but some has none), or empty
    without a threshold. counted, unpriced, normal_for_age, known_before: ids; the last two are left out.
    """

    amount: Decimal = shown("price", Decimal(0))
    price: Decimal = shown("price", Decimal(0))
    share: Decimal = shown("price", Decimal(0))
    at_least: bool = shown("price", False)
    threshold: Decimal | None = shown("price")
    verdict: str = shown("price", "")
    says: str = shown("price", "")
    counted: tuple[str, ...] = shown("price", ())
    unpriced: tuple[str, ...] = shown("price", ())
    normal_for_age: tuple[str, ...] = shown("price", ())
    known_before: tuple[str, ...] = shown("price", ())
    steps: tuple[MoneyStep, ...] = shown("price", ())


def judge(
    price: Decimal,
    threshold: Decimal | None,
    currency: str,
    estimate: Estimate | None,
    findings: Sequence[Finding],
) -> Material | None:
    """Give the material share of a price [currency]; None if the price is zero.

    Material: stop and settle findings not checked, not known before the offer, not normal for the age.
    threshold: of the contract [%]; equal to it is not above. Source: common practice, no source.
    """
    if not price:
        return None
    asked = [f for f in findings if f.severity in MATERIAL and f.state != "checked"]
    known = tuple(f.id for f in asked if f.known_before_offer)
    normal = tuple(f.id for f in asked if f.normal_for_age and not f.known_before_offer)
    counted = tuple(f.id for f in asked if f.id not in {*known, *normal})
    costs = [c for c in estimate.by_finding if c.id in counted] if estimate else []
    unpriced = tuple(cost.id for cost in costs if cost.unpriced)
    decimals = units.decimals(currency)
    each = [c.likely for c in costs if c.likely is not None]
    amount = splitting.rounded(sum(each, Decimal(0)), decimals)
    found = Material(
        amount=amount,
        price=price,
        share=units.half_up(amount * 100 / price, 2),
        at_least=bool(unpriced),
        threshold=threshold,
        verdict=_verdict(amount, price, threshold, bool(unpriced)),
        counted=counted,
        unpriced=unpriced,
        normal_for_age=normal,
        known_before=known,
    )
    return replace(found, says=_says(found, currency), steps=_steps(found, each, currency))


def _verdict(amount: Decimal, price: Decimal, threshold: Decimal | None, open_prices: bool) -> str:
    if threshold is None:
        return ""
    # compared as products, so that no division rounds the border
    if amount * 100 > threshold * price:
        return "above"
    return "not known yet" if open_prices else "not above"


def added_up(step: str, rule: str, amounts: Sequence[Decimal], total: Decimal, currency: str) -> MoneyStep:
    """Give the step of a working that adds amounts up [currency]."""
    values = " + ".join(units.money(amount, currency) for amount in amounts)
    return MoneyStep(step, rule, values or say("nothing priced"), units.money(total, currency))


def _steps(found: Material, each: Sequence[Decimal], currency: str) -> tuple[MoneyStep, ...]:
    """Give the working: the findings' costs added up, their share, and the border that the contract sets."""
    amount, price = units.money(found.amount, currency), units.money(found.price, currency)
    steps = [
        added_up(
            say("Material findings"),
            say("likely cost of each finding, by its number"),
            each,
            found.amount,
            currency,
        ),
        MoneyStep(
            say("Share of the price"),
            say("material findings / price"),
            f"{amount} / {price}",
            f"{found.share} %",
        ),
    ]
    if found.threshold is not None:
        border = units.money(found.threshold * found.price / 100, currency)
        values = f"{found.threshold} % × {price}"
        steps.append(MoneyStep(say("The contract's border"), say("threshold × price"), values, border))
    return tuple(steps)


def _says(found: Material, currency: str) -> str:
    """Say it with the sums, since a rounded share may hide on which side of the border it lies."""
    amount, price = units.money(found.amount, currency), units.money(found.price, currency)
    share = f"{number(found.share)} %"
    said = say(
        "Material findings come to {amount}, {share} of {price}", amount=amount, share=share, price=price
    )
    if found.at_least:
        said = say(
            "Material findings come to at least {amount}, at least {share} of {price}",
            amount=amount,
            share=share,
            price=price,
        )
    if found.threshold is None:
        return f"{said}."
    border = units.money(found.threshold * found.price / 100, currency)
    limit = say(
        "the contract's {threshold} %, which is {border}", threshold=number(found.threshold), border=border
    )
    if found.verdict == "not known yet":
        return say(
            "{said}. What has a price does not pass {limit}; whether all does is not known yet.",
            said=said,
            limit=limit,
        )
    return f"{said}: {found.verdict} {limit}."
