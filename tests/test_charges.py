"""A yard's charges: by the foot, by the metre, by the day, as one sum, and not below the least."""

from __future__ import annotations

import dataclasses
from decimal import Decimal
from functools import partial

import pytest

from reportgen import charges, estimate, units
from reportgen.blocks.rates import Confidences
from reportgen.blocks.repair import Charge
from reportgen.blocks.vessel import BoatFacts, Vessel
from reportgen.estimate import Estimate
from reportgen.model import Cover, Finding
from reportgen.units import Quantity
from tests.money import BUYER, SELLER, cover, finding, hours, rates, repair, span, strip_down

FEET, METRES = Quantity(Decimal("27.6"), "ft"), Quantity(Decimal("8.4"), "m")
DAYS = span("2 / 3 / 6", "days")
money = partial(units.money, currency="USD")


def likely(charge: Charge, length: Quantity | None = FEET) -> tuple[Decimal, str]:
    found = charges.basis(charge, length, money)
    assert found is not None
    return max(found.span.likely * found.times, found.least), found.how


@pytest.mark.parametrize(
    ("charge", "length", "amount", "how"),
    [
        (Charge(per_foot=Decimal("11.50")), FEET, "317.40", "27.6 ft × $11.50"),
        # 8.4 m / 0.3048 = 27.559 ft
        (Charge(per_foot=Decimal("11.50")), METRES, "316.94", "27.56 ft × $11.50"),
        (Charge(per_metre=Decimal("38")), METRES, "319.20", "8.4 m × $38.00"),
        # 27.6 ft x 0.3048 = 8.41248 m
        (Charge(per_metre=Decimal("38")), FEET, "319.58", "8.41 m × $38.00"),
        (Charge(per_day=Decimal("26.50"), for_=DAYS), None, "79.50", "3 days (2 to 6) × $26.50"),
        (Charge(per_day=Decimal("26.50"), for_=span("1")), None, "26.50", "1 day × $26.50"),
        (Charge(per_foot=Decimal("1.10"), for_=DAYS), FEET, "91.08", "3 days (2 to 6) × 27.6 ft × $1.10"),
        (Charge(flat=span("20 / 35 / 60")), None, "35", "$35.00 ($20.00 to $60.00)"),
        (Charge(per_foot=Decimal(9), least=Decimal(260)), FEET, "260", "27.6 ft × $9.00, at least $260.00"),
        (Charge(per_foot=Decimal(10), length=Quantity(Decimal(30), "ft")), FEET, "300", "30 ft × $10.00"),
    ],
)
def test_a_charge_comes_to_what_a_yard_would_ask(
    charge: Charge, length: Quantity | None, amount: str, how: str
) -> None:
    """Worked by hand; the length goes to two decimals, so that a reader gets the same sum."""
    assert likely(charge, length)[1] == how
    assert units.half_up(likely(charge, length)[0], 2) == Decimal(amount)


@pytest.mark.parametrize(
    "charge", [Charge(per_foot=Decimal(9)), Charge(per_day=Decimal(9)), Charge(), Charge(for_=DAYS)]
)
def test_without_length_days_or_price_nothing_is_worked_out(charge: Charge) -> None:
    assert charges.basis(charge, None, money) is None


# --- in the estimate ---


def built(findings: list[Finding], notes: Cover) -> Estimate:
    found = estimate.build(findings, notes)
    assert found is not None
    return found


def amounts(found: Estimate) -> dict[str, str]:
    return {line.what: str(line.likely) for line in found.lines}


BOAT = Vessel(found=BoatFacts(length=FEET))
HAUL = Charge(what="lift and launch", per_foot=Decimal("11.50"))
LAY = Charge(what="lay days", per_day=Decimal("26.50"), for_=DAYS, tax=Decimal(10))
WASTE = Charge(what="disposal", flat=span("35"))


def test_charges_stand_on_lines_of_their_own_with_their_tax() -> None:
    work = repair("1.0", charges=(HAUL, LAY))
    found = built(
        [finding("a", work)], cover(vessel=BOAT, rates=rates("100", contingency="10", supplies="5"))
    )
    assert amounts(found) == {
        "Labour": "100.00",
        "Supplies": "5.00",
        "Contingency": "10.00",
        "lift and launch": "317.40",
        "lay days": "79.50",
        "lay days, tax": "7.95",
    }
    assert (found.low, found.high) == (Decimal("490.70"), Decimal("607.30"))
    assert {s.step: s.values for s in found.working}["lay days"] == "3 days (2 to 6) × $26.50"


def test_a_charge_without_the_boats_length_is_unpriced_and_not_free() -> None:
    found = built([finding("a", repair(charges=(HAUL,)))], cover())
    assert (found.unpriced_ids, found.priced) == (("a",), 0)


def test_what_comes_with_every_visit_is_paid_once_in_each() -> None:
    work = [finding("a", repair("1.0")), finding("b", repair("3.0"))]
    notes = cover(each_visit=(WASTE,))
    assert amounts(built(work, notes)) == {"Labour": "400.00", "disposal": "35.00"}
    apart = built([work[0], finding("b", repair("3.0"), settle_by="repair")], notes)
    assert [str(line.likely) for line in apart.lines if line.what == "disposal"] == ["35.00", "35.00"]
    assert amounts(built([finding("a")], notes)) == {}


def test_what_comes_with_every_visit_is_shared_as_a_strip_down_is() -> None:
    """By own likely hours, 1 to 3 of 35.00; and the page says by which rule."""
    work = [finding("a", repair("1.0"), pays=SELLER), finding("b", repair("3.0"), pays=BUYER)]
    found = built(work, cover(each_visit=(WASTE,)))
    assert [share.likely for share in found.by_payer][:2] == [Decimal("108.75"), Decimal("326.25")]
    assert "(disposal)" in found.sharing


def test_days_are_drawn_and_the_least_cuts_the_draws() -> None:
    """With 2 / 3 / 6 days at 26.50 and at least 160.00 there is no spread left but above 160.00."""
    floor = Charge(what="lay days", per_day=Decimal("26.50"), for_=DAYS, least=Decimal(160))
    found = built([finding("a", repair(charges=(floor,)))], cover())
    assert (found.low, found.likely, found.high) == (Decimal(160), Decimal(160), Decimal(160))
    assert not found.uncertain
    lower = Charge(what="lay days", per_day=Decimal("26.50"), for_=DAYS, least=Decimal(80))
    found = built([finding("a", repair(charges=(lower,)))], cover())
    assert found.p10 == Decimal(80)
    assert found.p90 > 100


def test_a_second_person_and_overtime_have_their_lines() -> None:
    """2 h at 100.00, 1.5 h of a second person at 60.00, half of all in overtime at 50 % on top."""
    terms = rates("100", overtime="50", labour_tax="10", contingency="10")
    notes = cover(rates=dataclasses.replace(terms, second_person={"": Decimal(60)}))
    work = repair("2.0", second_person=hours("1.5"), overtime=Decimal(50))
    found = built([finding("a", work)], notes)
    assert amounts(found) == {
        "Labour": "200.00",
        "Overtime, labour": "50.00",
        "Second person": "90.00",
        "Overtime, second person": "22.50",
        "Tax": "36.25",
        "Contingency": "36.25",
    }
    values = {s.step: s.values for s in found.working}
    assert values["Overtime, second person"] == "0.75 h × 50 % of $60.00"


def test_contingency_goes_by_how_sure_a_repair_is() -> None:
    """Seen takes the 10 % for all; suspected 25 %; a strip-down goes by the least sure that needs it."""
    terms = rates("100", contingency="10")
    sure = Confidences(measured=Decimal(0), suspected=Decimal(25))
    notes = cover(
        rates=dataclasses.replace(terms, contingency_by_confidence=sure),
        strip_downs={"drive off": strip_down("2.0")},
    )
    work = [
        finding("a", repair("1.0", "50", needs=("drive off",)), confidence="seen"),
        finding("b", repair("3.0", needs=("drive off",)), confidence="suspected"),
        finding("c", repair("4.0"), confidence="measured"),
        finding("d", repair("", "40", confidence="suspected"), confidence="measured"),
    ]
    found = built(work, notes)
    assert amounts(found) == {
        "Labour": "1000.00",
        "Parts": "90.00",
        "Contingency, 10 %": "15.00",
        "Contingency, 25 %": "135.00",
    }
    assert {s.step: s.values for s in found.working}["Contingency, 25 %"] == "25 % × ($500.00 + $40.00)"
    without_b = built([f for f in work if f.id != "b"], notes)
    assert amounts(without_b)["Contingency, 10 %"] == "35.00"


def test_a_tax_on_every_line_is_on_fixed_costs_and_contingency_too() -> None:
    """20 % on 100.00 of labour, 50.00 of parts, 5.00 of supplies, 15.00 of contingency, and 35.00."""
    notes = cover(rates=rates("100", tax="20", supplies="5", contingency="10"), each_visit=(WASTE,))
    found = built([finding("a", repair("1.0", "50"))], notes)
    assert amounts(found) == {
        "Labour": "100.00",
        "Parts": "50.00",
        "Supplies": "5.00",
        "Tax": "31.00",
        "Contingency": "15.00",
        "Tax on contingency": "3.00",
        "disposal": "35.00",
        "disposal, tax": "7.00",
    }
    assert found.likely == Decimal("246.00") == Decimal(205) * Decimal("1.2")
    untaxed = built([finding("a", repair(cost="35", tax=Decimal(0)))], cover(rates=rates("100", tax="20")))
    assert untaxed.likely == 35
