"""Variances added against simulation: strip-downs that are shared move together."""

from __future__ import annotations

import dataclasses
import time
from decimal import Decimal
from typing import Any

import numpy as np
import pytest
from scipy import stats

from reportgen import estimate
from reportgen.blocks.repair import Charge
from reportgen.estimate import Estimate
from reportgen.model import Cover, Finding
from tests.money import cover, finding, part, rates, repair, span, strip_down

SHARED = cover(
    rates=rates("100", supplies="10", parts_tax="20", contingency="10"),
    strip_downs={"engine out": strip_down("6 / 8 / 16")},
)
WORK = [
    finding("a", repair("1 / 2 / 4", needs=("engine out",))),
    finding("b", repair("2 / 2 / 2", needs=("engine out",))),
]


def built(findings: list[Finding], notes: Cover) -> Estimate:
    found = estimate.build(findings, notes)
    assert found is not None
    return found


def test_a_shared_strip_down_moves_all_that_share_it() -> None:
    """By hand: an hour adds 100 x (1 + 10 % x 1.2 + 10 %) = 122; the strip-down varies by 10/6 h, a by 3/6 h.

    Together sqrt((122 x 10/6)^2 + (122 x 0.5)^2) = 212.29; apart, with half of the strip-down in each:
    sqrt(2 x (122 x 5/6)^2 + 61^2) = 156.18.
    """
    found = built(WORK, SHARED)
    assert (found.deviation, found.deviation_apart) == (Decimal("212.29"), Decimal("156.18"))
    a, b = found.by_finding
    assert (a.deviation, b.deviation) == (Decimal("118.56"), Decimal("101.67"))
    assert a.mean is not None
    assert b.mean is not None
    assert a.mean + b.mean == found.mean


def test_without_shared_strip_downs_both_are_the_same() -> None:
    found = built([finding("a", repair("1 / 2 / 4")), finding("b", repair(cost="50 / 60 / 90"))], SHARED)
    assert found.deviation == found.deviation_apart > 0


def test_the_simulation_spreads_as_the_variances_say() -> None:
    """No cap, so the rule is linear and the analytic deviation is exact: 20,000 draws lie within 2 %."""
    found = built(WORK, SHARED)
    assert float(found.deviation_drawn) == pytest.approx(float(found.deviation), rel=0.02)


def test_percentiles_of_many_figures_come_near_the_normal_sum() -> None:
    """Thirty like figures: their sum is near a normal one with mean and deviation added; within 0.5 %."""
    notes = cover(rates=rates("100"))
    found = built([finding(f"f{n}", repair("1 / 2 / 4")) for n in range(30)], notes)
    normal = stats.norm(30 * 100 * 13 / 6, 30**0.5 * 50)
    for printed, share in ((found.p10, 0.1), (found.p50, 0.5), (found.p80, 0.8), (found.p90, 0.9)):
        assert float(printed) == pytest.approx(normal.ppf(share), rel=0.005)


def test_a_reached_cap_leaves_supplies_out_of_the_deviation() -> None:
    capped = dataclasses.replace(SHARED, rates=dataclasses.replace(SHARED.rates, supplies_cap=Decimal(50)))
    found = built(WORK, capped)
    # an hour adds 100 x (1 + 10 %) = 110 instead of 122
    assert float(found.deviation) == pytest.approx(212.286 * 110 / 122, abs=0.02)


def test_a_least_charge_that_holds_takes_its_days_out() -> None:
    days = Charge(what="lay days", per_day=Decimal(20), for_=span("2 / 3 / 6", "days"), least=Decimal(100))
    assert built([finding("a", repair(charges=(days,)))], cover()).deviation == 0


def test_steps_hold_every_draw_and_agree_with_the_percentiles() -> None:
    """Shares add up to 100 %, steps are alike and without gaps, and P50 parts the draws."""
    found = built(WORK, SHARED)
    assert sum(share for _, _, share in found.steps) == 100
    assert all(a[1] == b[0] for a, b in zip(found.steps, found.steps[1:], strict=False))
    assert len({high - low for low, high, _ in found.steps}) == 1
    assert 10 <= len(found.steps) <= 22
    below = sum(float(share) for _, high, share in found.steps if high <= found.p50)
    beside = next(float(share) for low, high, share in found.steps if low <= found.p50 < high)
    assert below <= 51
    assert below + beside >= 49


def test_percentiles_against_an_independent_simulation_with_charges_and_overtime() -> None:
    """scipy, 200,000 draws, the rule written out anew: least charge, overtime, tax on all; to 0.7 %."""
    notes = cover(rates=rates("90", tax="20", supplies="5", contingency="15", overtime="50"))
    days = Charge(what="lay days", per_day=Decimal(40), for_=span("2 / 4 / 9", "days"), least=Decimal(150))
    work = dataclasses.replace(
        repair("8 / 10 / 18", overtime=Decimal(30), charges=(days,)), parts=(part("200 / 260 / 500", 2),)
    )
    found = built([finding("a", work)], notes)
    chance = np.random.default_rng(7)

    def draw(low: float, likely: float, high: float) -> Any:
        m = ((low + 4 * likely + high) / 6 - low) / (high - low)
        k = 36 * m * (1 - m) - 1
        return stats.beta(m * k, (1 - m) * k, low, high - low).rvs(200_000, random_state=chance)

    labour, parts = draw(8, 10, 18) * 90 * (1 + 0.3 * 0.5), 2 * draw(200, 260, 500)
    charged = np.maximum(draw(2, 4, 9) * 40, 150)
    total = (labour * 1.05 + parts + (labour + parts) * 0.15 + charged) * 1.2
    for printed, share in ((found.p10, 10), (found.p50, 50), (found.p80, 80), (found.p90, 90)):
        assert float(printed) == pytest.approx(np.percentile(total, share), rel=0.007)


def test_a_survey_is_estimated_in_well_under_a_fifth_of_a_second() -> None:
    """Twenty findings with two figures each and a shared strip-down; the best of three runs counts."""
    work = [finding(f"f{n}", repair("1 / 2 / 4", "30 / 40 / 80", needs=("engine out",))) for n in range(20)]
    built(work, SHARED)
    taken = []
    for _ in range(3):
        begun = time.perf_counter()
        built(work, SHARED)
        taken.append(time.perf_counter() - begun)
    assert min(taken) < 0.2


def test_what_each_figure_adds_to_the_total() -> None:
    """By hand: a cost of 500 to 1,300 varies by 800 / 6 and its tax with it, 2 parts of 20 to 80 by 2 x 10.

    A part adds 20 % tax and 10 % contingency, overtime of half the hours at 50 % on top a quarter more.
    """
    cost = [finding("a", repair(cost="500 / 600 / 1300", tax=Decimal(10)))]
    assert built(cost, SHARED).deviation == Decimal("146.67")
    bought = dataclasses.replace(repair(), parts=(part("20 / 50 / 80", 2),))
    assert built([finding("a", bought)], SHARED).deviation == Decimal("26.00")
    late = dataclasses.replace(SHARED, rates=rates("100", overtime="50"))
    assert built([finding("a", repair("1 / 2 / 4", overtime=Decimal(50)))], late).deviation == Decimal(
        "62.50"
    )
    every = dataclasses.replace(SHARED, rates=rates("100", tax="20", contingency="10"))
    # an hour: 100 x (1 + 20 % + 10 % x 1.2) = 132
    assert built([finding("a", repair("1 / 2 / 4"))], every).deviation == Decimal("66.00")


def test_the_cap_is_reached_by_overtime_too() -> None:
    """2 h at 100.00 give 20.00 of supplies, under the cap of 25.00; with all of it late at 50 %, 30.00."""
    capped = dataclasses.replace(SHARED, rates=rates("100", supplies="10", supplies_cap="25", overtime="50"))
    free, reached = (
        built([finding("a", repair("1 / 2 / 4", overtime=share))], capped).deviation
        for share in (Decimal(0), Decimal(100))
    )
    assert (free, reached) == (Decimal("55.00"), Decimal("75.00"))
    on_it = dataclasses.replace(SHARED, rates=rates("100", supplies="10", supplies_cap="20"))
    assert built([finding("a", repair("1 / 2 / 4"))], on_it).deviation == Decimal("50.00")
