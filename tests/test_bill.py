"""The rule against a second computation by plain fractions, and what must hold for any amounts and rates."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from decimal import Decimal, localcontext
from fractions import Fraction
from math import floor
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reportgen import bill, estimate, jobs, settlement, visits
from reportgen.blocks.rates import Confidences
from reportgen.blocks.repair import Charge, Part, Repair, StripDown
from reportgen.blocks.vessel import BoatFacts, Vessel
from reportgen.estimate import Estimate
from reportgen.model import Cover, Finding
from reportgen.units import Quantity, Span
from tests.money import CHECKED, DONE, cover, finding, hours, part, price, rates, repair, span, strip_down

CENT = Decimal("0.01")

# --- a second computation: fractions, one loop a visit, no shared code ---


def cents(amount: Fraction) -> Fraction:
    """Round half up to the cent."""
    return Fraction(floor(amount * 100 + Fraction(1, 2)), 100)


def all_needs(names: tuple[str, ...], notes: Cover) -> set[str]:
    found: set[str] = set()
    for name in names:
        strip_down = (notes.strip_downs or {}).get(name)
        if strip_down and name not in found:
            found |= {name} | all_needs(strip_down.also_needs, notes)
    return found


def hourly(notes: Cover, trade: str, person: str) -> Fraction | None:
    table = notes.rates.second_person if person else notes.rates.labour
    return None if not table else Fraction(table[""] if "" in table else table[trade])


def sure(found: Finding, notes: Cover) -> Fraction:
    """Give the share of contingency by how sure a finding's repair is."""
    confidence = (found.repair and found.repair.confidence) or found.confidence
    apart = getattr(notes.rates.contingency_by_confidence, confidence, None) if confidence else None
    return Fraction(notes.rates.contingency if apart is None else apart) / 100


def charge_sum(charge: Charge, notes: Cover, pick: str) -> Fraction:
    """Give a yard's charge before tax: length in feet and metres to two decimals."""
    feet = Fraction(notes.found.length.value) if notes.found.length else Fraction(0)
    if charge.flat:
        amount = Fraction(getattr(charge.flat, pick))
    elif charge.per_day is not None:
        amount = Fraction(charge.per_day)
    elif charge.per_foot is not None:
        amount = Fraction(charge.per_foot) * cents(feet)
    else:
        amount = Fraction(charge.per_metre or 0) * cents(feet * Fraction(3048, 10000))
    if charge.for_:
        amount *= Fraction(getattr(charge.for_, pick))
    return cents(max(amount, Fraction(charge.least or 0)))


def taxed(amount: Fraction, own: Decimal | None, notes: Cover) -> Fraction:
    """Give a fixed cost with its tax, both to the cent."""
    share = own if own is not None else notes.rates.tax or Decimal(0)
    return amount + cents(amount * Fraction(share) / 100)


def work_of(work: list[Repair | StripDown], notes: Cover, pick: str) -> tuple[Fraction, Fraction]:
    """Give labour, overtime included, and parts; each line of labour to the cent."""
    lines: dict[tuple[str, str], list[Fraction]] = {}
    parts = Fraction(0)
    for each in work:
        for person, time in (("", each.labour), ("second", each.second_person)):
            rate = hourly(notes, each.trade, person) if time else None
            if time and rate is not None:
                table = (notes.rates.second_person if person else notes.rates.labour) or {}
                line = lines.setdefault(
                    (person, "" if "" in table else each.trade), [rate, Fraction(0), Fraction(0)]
                )
                own = Fraction(getattr(time, pick))
                line[1] += own
                line[2] += own * Fraction(each.overtime or 0) / 100
        for bought in each.parts:
            if bought.each:
                parts += bought.count * Fraction(getattr(bought.each, pick))
    top = Fraction(notes.rates.overtime or 0) / 100
    labour = sum(
        (cents(rate * time) + cents(rate * top * late) for rate, time, late in lines.values()), Fraction(0)
    )
    return labour, parts


def is_work(each: Repair, notes: Cover) -> bool:
    """Tell whether a repair brings the yard out at all: a price, or a strip-down."""
    people = (("", each.labour), ("second", each.second_person))
    rated = any(time and hourly(notes, each.trade, person) is not None for person, time in people)
    return bool(each.needs or each.cost or each.charges or rated or any(p.each for p in each.parts))


def one_visit(
    own: list[Finding], opened: list[tuple[StripDown, Fraction]], notes: Cover, pick: str
) -> Fraction:
    """Price the repairs and strip-downs of one visit at low, likely or high."""
    rates = notes.rates
    terms = [Fraction(each) / 100 for each in (rates.parts_tax, rates.labour_tax, Decimal(0))]
    on_parts, on_labour, on_reserve = terms if rates.tax is None else [Fraction(rates.tax) / 100] * 3
    by_share: dict[Fraction, list[Repair | StripDown]] = {}
    for found in own:
        by_share.setdefault(sure(found, notes), []).append(found.repair or Repair())
    for strip, share in opened:
        by_share.setdefault(share, []).append(strip)
    every = [each for work in by_share.values() for each in work]
    labour, parts = work_of(every, notes, pick)
    reserve = sum(
        (cents(sum(work_of(work, notes, pick)) * share) for share, work in by_share.items()), Fraction(0)
    )
    supplies = labour * Fraction(rates.supplies) / 100
    if rates.supplies_cap is not None:
        supplies = min(supplies, Fraction(rates.supplies_cap))
    supplies = cents(supplies)
    total = labour + parts + supplies + cents((parts + supplies) * on_parts + labour * on_labour)
    total += reserve + cents(reserve * on_reserve)
    for each in every:
        if each.cost:
            total += taxed(Fraction(getattr(each.cost, pick)), each.tax, notes)
        total += sum((taxed(charge_sum(c, notes, pick), c.tax, notes) for c in each.charges), Fraction(0))
    if any(is_work(found.repair, notes) for found in own if found.repair):
        total += sum((taxed(charge_sum(c, notes, pick), c.tax, notes) for c in notes.each_visit), Fraction(0))
    return total


def by_fractions(findings: list[Finding], notes: Cover, pick: str) -> Fraction:
    """Give the total to come at low, likely or high."""
    total = Fraction(0)
    for repaired in (True, False):
        own = [f for f in findings if f.repair and not f.checked and (f.settle_by == "repair") is repaired]
        needed: dict[str, Fraction] = {}
        for found in own:
            for name in all_needs(found.repair.needs if found.repair else (), notes):
                needed[name] = max(needed.get(name, Fraction(0)), sure(found, notes))
        opened = [((notes.strip_downs or {})[name], share) for name, share in needed.items()]
        total += one_visit(own, opened, notes, pick)
    return total


# --- invented surveys ---


def money(most: int = 2000) -> st.SearchStrategy[Decimal]:
    return st.decimals(0, most, places=2)


def spans(values: st.SearchStrategy[Decimal], unit: str = "") -> st.SearchStrategy[Span]:
    three = st.tuples(values, values, values).map(lambda v: Span(*sorted(v), unit))
    return three | values.map(lambda v: Span(v, v, v, unit))


TIMES = spans(st.decimals(0, 20, places=2), "h")
PERCENT = st.decimals(0, 30, places=2)
TRADES = ("mechanical", "electrical", "rigging")
OPENED = ("haul-out", "engine out", "drive off")
PARTS = st.lists(st.builds(Part, st.just("part"), st.integers(1, 9), spans(money())), max_size=2).map(tuple)


DAYS = st.tuples(*[st.integers(0, 20)] * 3).map(lambda v: Span(*map(Decimal, sorted(v)), "days"))


@st.composite
def charges(draw: Any) -> Charge:
    """Give a charge by length, by day or flat."""
    basis = draw(st.sampled_from(("per_foot", "per_metre", "per_day", "flat")))
    days = draw(DAYS) if basis == "per_day" else draw(st.none() | DAYS) if basis != "flat" else None
    amount = draw(spans(money()) if basis == "flat" else money(60))
    least = draw(st.none() | money(500))
    return Charge(what="charge", **{basis: amount}, for_=days, least=least, tax=draw(st.none() | PERCENT))


CHARGED = st.lists(charges(), max_size=1).map(tuple)
SURE = st.sampled_from(("", "measured", "seen", "suspected", "told"))


@st.composite
def work(draw: Any, kind: Callable[..., Any], **keys: Any) -> Any:
    """Give a repair or strip-down: labour and parts, or a fixed cost."""
    keys["charges"] = draw(CHARGED)
    if draw(st.booleans()):
        return kind(cost=draw(spans(money())), tax=draw(st.none() | PERCENT), **keys)
    keys |= {"second_person": draw(st.none() | TIMES), "overtime": draw(st.none() | PERCENT)}
    trade = draw(st.sampled_from(TRADES))
    return kind(labour=draw(st.none() | TIMES), trade=trade, parts=draw(PARTS), **keys)


@st.composite
def surveys(draw: Any) -> tuple[list[Finding], Cover]:
    """Give findings and a cover note; strip-downs need only what stands before them."""
    strip_downs: dict[str, StripDown] = {}
    for name in OPENED:
        first = draw(st.lists(st.sampled_from(list(strip_downs)), max_size=2)) if strip_downs else []
        strip_downs[name] = draw(work(StripDown, also_needs=tuple(first)))
    findings = [_finding(draw, f"f{n}") for n in range(draw(st.integers(1, 5)))]
    one = st.fixed_dictionaries({"": money(200)})
    by_trade = st.fixed_dictionaries({trade: money(200) for trade in TRADES})
    notes = cover(
        rates=dataclasses.replace(
            rates(),
            labour=draw(one | by_trade),
            parts_tax=draw(PERCENT),
            labour_tax=draw(PERCENT),
            supplies=draw(PERCENT),
            supplies_cap=draw(st.none() | money(300)),
            contingency=draw(PERCENT),
            second_person=draw(st.none() | one | by_trade),
            overtime=draw(st.none() | PERCENT),
            tax=draw(st.none() | PERCENT),
            contingency_by_confidence=draw(
                st.none() | st.builds(Confidences, suspected=st.none() | PERCENT, told=PERCENT)
            ),
        ),
        vessel=Vessel(found=BoatFacts(length=Quantity(draw(st.decimals(8, 60, places=1)), "ft"))),
        each_visit=draw(CHARGED),
        price=price(asking="50000", deposit="500"),
        strip_downs=strip_downs,
        share_strip_downs=draw(st.sampled_from(("hours", "equal", "seller", "buyer"))),
    )
    return findings, notes


def _finding(draw: Any, id: str) -> Finding:
    needs = tuple(draw(st.lists(st.sampled_from(OPENED), max_size=2, unique=True)))
    seller = draw(st.sampled_from((None, 0, 30, 50, 100)))
    shares = {} if seller is None else {"seller": Decimal(seller), "buyer": Decimal(100 - seller)}
    return finding(
        id,
        draw(st.none() | work(Repair, needs=needs, confidence=draw(SURE))),
        confidence=draw(SURE),
        severity=draw(st.sampled_from(("stop", "settle", "schedule", "watch"))),
        pays={payer: share for payer, share in shares.items() if share} or None,
        settle_by=draw(st.sampled_from(("", "repair", "credit"))),
        reported_done=draw(st.sampled_from((None, DONE))),
        checked=draw(st.sampled_from((None, None, None, CHECKED))),
    )


NOTES = cover(
    rates=rates(
        {"mechanical": "117.35", "electrical": "93.15", "rigging": "88"},
        parts_tax="8.25",
        labour_tax="1.5",
        supplies="6.5",
        supplies_cap="40",
        contingency="12.5",
    ),
    strip_downs={
        "haul-out": strip_down(cost="310 / 340 / 420"),
        "engine out": StripDown(
            hours("4 / 5.25 / 9"), "mechanical", (part("33.10", 2),), also_needs=("haul-out",)
        ),
    },
)
SURVEYS = {
    "one visit, two trades": [
        finding("a", repair("1.1 / 1.35 / 2.75", "18.99", needs=("engine out",), trade="mechanical")),
        finding("b", repair("0.35", "7.77", "141.05 / 150 / 199.95", trade="electrical")),
    ],
    "two visits, access paid twice, quote with tax": [
        finding("a", repair("2.2", needs=("engine out",), trade="mechanical"), settle_by="repair"),
        finding("b", repair("3.3 / 4 / 5", needs=("engine out", "haul-out"), trade="rigging")),
        finding("c", repair(cost="99.99 / 120 / 133.33", tax=Decimal("6.5"))),
    ],
    "cap not reached": [finding("a", repair("0.5", "1.01", trade="electrical"))],
}


@pytest.mark.parametrize("name", SURVEYS)
@pytest.mark.parametrize("pick", ["low", "likely", "high"])
def test_invented_surveys_come_to_what_fractions_give(name: str, pick: str) -> None:
    found = estimate.build(SURVEYS[name], NOTES)
    assert found is not None
    assert Fraction(getattr(found, pick)) == by_fractions(SURVEYS[name], NOTES, pick)


@pytest.mark.parametrize("pick", visits.PICKS)
@pytest.mark.parametrize("name", SURVEYS)
def test_the_exact_total_is_that_of_lines_without_rounding(name: str, pick: str) -> None:
    """But for the last of sixty figures: a sixth has no end."""
    terms, to_come = bill.terms(NOTES), jobs.to_come(SURVEYS[name], NOTES, NOTES.counted_on)
    with localcontext(estimate.EXACT):
        for visit in visits.of(to_come, NOTES):
            lines = bill.rows(visit.figures, terms, visits.PICKS[pick], lambda amount: amount)
            exact = bill.exact(visit.figures, terms, visits.PICKS[pick])
            assert exact
            assert abs(exact - bill.total(lines)) < Decimal("1e-50")


@given(surveys())
def test_any_survey_comes_to_what_fractions_give(survey: tuple[list[Finding], Cover]) -> None:
    findings, notes = survey
    found = estimate.build(findings, notes)
    for pick in ("low", "likely", "high") if found else ():
        assert Fraction(getattr(found, pick)) == by_fractions(findings, notes, pick)


def _lines(found: Estimate, pick: str) -> Decimal:
    return sum((getattr(line, pick) for line in found.lines), Decimal(0))


@given(surveys())
def test_every_breakdown_adds_up_to_the_printed_total(survey: tuple[list[Finding], Cover]) -> None:
    """Lines, findings, payers, visits and severities each add up, at low, likely and high."""
    found = estimate.build(*survey)
    for pick in ("low", "likely", "high") if found else ():
        assert found is not None
        total = getattr(found, pick)
        assert _lines(found, pick) == total
        for shares in (found.by_finding, found.by_payer, found.by_visit, found.by_severity):
            assert sum(getattr(share, pick) or 0 for share in shares) == total
    for cost in found.by_finding if found else ():
        assert sum(amount for _, amount in cost.paid) == (cost.likely or 0)


@given(surveys())
def test_low_likely_high_and_percentiles_are_in_order(survey: tuple[list[Finding], Cover]) -> None:
    found = estimate.build(*survey)
    if found:
        assert found.low <= found.likely <= found.high
        assert found.low <= found.mean <= found.high
        assert found.p10 <= found.p50 <= found.p90
        # three figures: half a step of the third may lie outside
        assert float(found.low) * 0.994 <= found.p10
        assert found.p90 <= float(found.high) * 1.006 + 0.01


@given(surveys(), st.data())
def test_dropping_a_repair_never_raises_the_total(survey: tuple[list[Finding], Cover], data: Any) -> None:
    """But for a cent a rounded line."""
    findings, notes = survey
    gone = data.draw(st.sampled_from(findings))
    whole, rest = (
        estimate.build(findings, notes),
        estimate.build([f for f in findings if f is not gone], notes),
    )
    if whole and rest:
        for pick in ("low", "likely", "high"):
            assert getattr(rest, pick) <= getattr(whole, pick) + CENT * len(whole.lines)


@given(surveys())
def test_doing_jobs_together_never_costs_more_than_apart(survey: tuple[list[Finding], Cover]) -> None:
    findings, notes = survey
    whole = estimate.build(findings, notes)
    alone = [found for f in findings if (found := estimate.build([f], notes))]
    if whole:
        apart = sum((found.likely for found in alone), Decimal(0))
        lines = len(whole.lines) + sum(len(found.lines) for found in alone)
        assert whole.likely <= apart + CENT * lines
        assert abs(max(apart - whole.likely, 0) - whole.saved_by_doing_together) <= CENT * lines
        assert whole.saved_by_doing_together >= 0


@given(surveys())
def test_a_finding_is_paid_as_its_shares_say(survey: tuple[list[Finding], Cover]) -> None:
    """Where the rule for strip-downs names no side, `pays` alone decides, to the cent."""
    findings, notes = survey
    found = estimate.build(findings, dataclasses.replace(notes, share_strip_downs="hours"))
    by_id = {f.id: f for f in findings}
    for cost in found.by_finding if found else ():
        for payer, amount in cost.paid:
            assert cost.likely is not None
            assert abs(amount - cost.likely * by_id[cost.id].payers[payer] / 100) < CENT


@given(surveys())
def test_settling_neither_makes_nor_loses_money(survey: tuple[list[Finding], Cover]) -> None:
    """In every way, what the buyer pays and the seller doesn't receive is what yard and inspection cost."""
    findings, notes = survey
    found = estimate.build(findings, notes)
    settled = settlement.build(found, notes, findings)
    assert settled is not None
    spent = dict(settled.sunk.by_payer).get("buyer", Decimal(0))
    for way in (*settled.ways, *settled.other_credits):
        work = settled.seller_share + settled.buyer_share - way.undecided
        assert way.buyer_pays - way.seller_receives == work + spent
    total = settled.seller_share + settled.buyer_share + settled.not_agreed
    assert total == (found.likely if found else 0)


@given(st.integers(10**11, 10**12), st.integers(1, 10**6))
def test_the_largest_sums_stay_exact(amount: int, count: int) -> None:
    """Twelve digits with cents, so many times, with 13 % on top: no figure is lost."""
    notes = cover(rates=rates("100", contingency="13"))
    found = estimate.build(
        [finding("a", dataclasses.replace(repair(), parts=(Part("p", count, span(f"{amount}.07")),)))], notes
    )
    assert found is not None
    exact = Fraction(amount * 100 + 7, 100) * count
    assert Fraction(found.likely) == exact + cents(exact * Fraction(13, 100))
