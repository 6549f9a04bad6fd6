"""The cost to come: one rule three times, strip-downs paid once, shares to the cent."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from decimal import Decimal
from typing import Any

import numpy as np
import pytest
from scipy import stats

from reportgen import estimate
from reportgen.blocks.repair import Quote
from reportgen.estimate import Estimate
from reportgen.model import Cover, Finding
from tests.money import (
    BEARING,
    BELLOWS,
    BUYER,
    CHECKED,
    DAY,
    DONE,
    RISERS,
    SELLER,
    WORKED,
    cover,
    finding,
    hours,
    part,
    price,
    rates,
    repair,
    strip_down,
)


def built(findings: Sequence[Finding], notes: Cover) -> Estimate:
    found = estimate.build(findings, notes)
    assert found is not None
    return found


def amounts(found: Estimate) -> dict[str, str]:
    return {line.what: str(line.likely) for line in found.lines}


def likely_of(found: Estimate) -> dict[str, Decimal | None]:
    return {cost.id: cost.likely for cost in found.by_finding}


# Worked by hand in the trade's requirements, section 4.2 (invented numbers): 7.3 h at 135.00, parts 1,330.00,
# haul 288.00, supplies 7 % of labour up to 75.00, tax 6.5 % on parts and supplies, contingency 15 %.
def test_worked_example_comes_to_the_cent() -> None:
    found = built([BELLOWS, BEARING, RISERS], WORKED)
    assert amounts(found) == {
        "Labour": "985.50",
        "Parts": "1330.00",
        "Supplies": "68.99",
        "Tax": "90.93",
        "Contingency": "347.33",
        "haul-out": "288.00",
    }
    assert found.lines[0].hours == hours("7.3")
    assert str(found.likely) == "3110.75"
    assert found.low == found.likely == found.high == found.mean


def test_binary_floats_would_have_lost_a_cent() -> None:
    """The trap that the example was chosen for: 15 % of 2315.50 is just below half a cent in floats."""
    in_floats = [985.5, 1330.0, 288.0, 68.99, 90.93, round((985.5 + 1330.0) * 0.15, 2)]
    assert in_floats[-1] == 347.32
    assert round(sum(in_floats), 2) == 3110.74


def test_access_paid_twice_would_add_two_hours() -> None:
    """Two visits take the drive off twice: 2.0 h at 135.00 more, and the result says so."""
    later = dataclasses.replace(BEARING, settle_by="repair")
    once, twice = built([BELLOWS, BEARING, RISERS], WORKED), built([BELLOWS, later, RISERS], WORKED)
    labour = [sum(line.likely for line in e.lines if line.group == "labour") for e in (once, twice)]
    assert labour[1] - labour[0] == Decimal("270.00")
    assert twice.twice == ("drive off", "haul-out")
    assert once.twice == ()
    assert [(s.name, s.visit, s.twice) for s in twice.strip_downs if s.name == "drive off"] == [
        ("drive off", "repair visit", True),
        ("drive off", "later visit", True),
    ]


@pytest.mark.parametrize(
    ("kept", "worked"), [([BELLOWS, RISERS], "6.5"), ([BEARING, RISERS], "5.8"), ([RISERS], "3.0")]
)
def test_a_strip_down_goes_with_the_last_repair_that_needs_it(kept: list[Finding], worked: str) -> None:
    """Dropping the bearing or the bellows alone keeps the 2.0 h; dropping both takes them out."""
    found = built(kept, WORKED)
    assert found.lines[0].hours == hours(worked)
    assert ("drive off" in {s.name for s in found.strip_downs}) == (len(kept) > 1)


def test_a_checked_finding_costs_no_more_and_one_reported_done_still_does() -> None:
    done = dataclasses.replace(BELLOWS, reported_done=DONE)
    checked = dataclasses.replace(done, checked=CHECKED)
    assert built([done, RISERS], WORKED).likely == built([BELLOWS, RISERS], WORKED).likely
    assert built([checked, RISERS], WORKED).likely == built([RISERS], WORKED).likely
    assert built([checked], WORKED).likely == 0


def test_strip_downs_are_followed_to_the_end() -> None:
    """The shaft needs the rudder off, which needs the haul-out: all three are paid, each once."""
    notes = cover(
        strip_downs={
            "haul-out": strip_down(cost="300.00"),
            "rudder off": strip_down("1.5", "12.00", needs=("haul-out",)),
            "shaft out": strip_down("4.0", needs=("rudder off", "haul-out")),
        }
    )
    found = built([finding("bearing", repair("2.0", needs=("shaft out",)))], notes)
    assert amounts(found) == {"Labour": "750.00", "Parts": "12.00", "haul-out": "300.00"}
    assert [s.name for s in found.strip_downs] == ["shaft out", "rudder off", "haul-out"]
    assert [str(s.likely) for s in found.strip_downs] == ["400.00", "162.00", "300.00"]


def test_an_unpriced_finding_keeps_its_strip_downs_in() -> None:
    """Nobody has priced the seal, but the drive must come off for it; it counts, and not as zero."""
    seal = finding("seal", repair(needs=("drive off",), unpriced="yard to quote"))
    found = built([seal], WORKED)
    assert found.lines[0].hours == hours("2.0")
    assert (found.unpriced, found.unpriced_ids) == (1, ("seal",))


@pytest.mark.parametrize(
    ("asked", "unpriced"),
    [
        (finding("a"), True),
        (finding("a", severity="stop", by_tool=True), True),
        (finding("a", severity="schedule", by_when="autumn"), True),
        (finding("a", severity="watch"), False),
        (finding("a", severity="sound"), False),
        (finding("a", repair()), True),
        (finding("a", repair("1.0")), False),
        (finding("a", repair(cost="0.00")), False),
        (finding("a", dataclasses.replace(repair("1.0"), parts=(part(None),))), True),
        (finding("a", dataclasses.replace(repair("1.0"), parts=(part(None),)), severity="watch"), True),
        (finding("a", repair("1.0", needs=("mast down",))), True),
        (dataclasses.replace(finding("a"), reported_done=DONE), True),
        (dataclasses.replace(finding("a"), reported_done=DONE, checked=CHECKED), False),
    ],
)
def test_what_counts_as_unpriced(asked: Finding, *, unpriced: bool) -> None:
    """Stop, settle and schedule without a price, not checked; and whatever lacks the price of a part."""
    notes = cover(strip_downs={"mast down": strip_down()})
    found = built([asked, finding("b", repair("1.0"))], notes)
    assert found.unpriced == (1 if unpriced else 0)
    assert found.unpriced_ids == (("a",) if unpriced else ())


def test_an_unpriced_finding_has_no_amount_rather_than_zero() -> None:
    found = built([finding("a"), finding("b", repair("1.0"))], cover())
    assert likely_of(found) == {"a": None, "b": Decimal("100.00")}
    assert found.priced == 1
    assert found.working[-2].step == "Total of what has a price"


def test_hours_without_a_rate_are_not_free() -> None:
    found = built([finding("a", repair("1.0", "5.00"))], cover(rates=rates({"rigging": "90"})))
    assert (found.unpriced, found.likely) == (1, Decimal("5.00"))


def test_each_trade_has_its_line_and_rate() -> None:
    notes = cover(rates=rates({"mechanical": "120", "electrical": "95.50"}))
    work = [
        finding("a", repair("1.5", trade="mechanical")),
        finding("b", repair("2.1", trade="electrical")),
        finding("c", repair("0.25", trade="mechanical")),
    ]
    assert amounts(built(work, notes)) == {"Labour, mechanical": "210.00", "Labour, electrical": "200.55"}


def test_a_part_counts_as_often_as_it_is_needed() -> None:
    work = dataclasses.replace(repair(), parts=(part("10 / 12.50 / 15", 4),))
    found = built([finding("a", work)], cover())
    assert [str(figure) for figure in (found.low, found.likely, found.high)] == ["40.00", "50.00", "60.00"]


def test_supplies_are_capped_once_a_visit() -> None:
    """20 % of 500.00 is capped at 60.00 in one visit; in two, 20 % of 200.00 and of 300.00 are 40 and 60."""
    notes = cover(rates=rates("100", supplies="20", supplies_cap="60"))
    first, second = finding("a", repair("2.0")), finding("b", repair("3.0"))
    assert amounts(built([first, second], notes))["Supplies"] == "60.00"
    apart = built([dataclasses.replace(first, settle_by="repair"), second], notes)
    assert [str(line.likely) for line in apart.lines if line.group == "supplies"] == ["40.00", "60.00"]
    assert [(share.name, str(share.likely)) for share in apart.by_visit] == [
        ("repair visit", "240.00"),
        ("later visit", "360.00"),
    ]


def test_a_fixed_cost_is_taxed_only_by_the_tax_beside_it() -> None:
    shares = rates("100", parts_tax="10", labour_tax="10", supplies="10", contingency="10")
    plain = built([finding("a", repair(cost="400.00"))], cover(rates=shares))
    taxed = built([finding("a", repair(cost="400.00", tax=Decimal("6.5")))], cover(rates=shares))
    assert amounts(plain) == {"A": "400.00"}
    assert amounts(taxed) == {"A": "400.00", "A, tax": "26.00"}


def test_labour_is_taxed_where_the_notes_say_so() -> None:
    """10 h at 100.00 and parts 200.00: 5 % of 200 + 30 and 20 % of 1000."""
    shares = rates("100", parts_tax="5", labour_tax="20", supplies="3")
    found = built([finding("a", repair("10", "200.00"))], cover(rates=shares))
    assert amounts(found)["Tax"] == "211.50"
    assert found.working[3].values == "5 % × ($200.00 + $30.00) + 20 % × $1,000.00"


def test_a_quote_holds_on_its_last_day_and_not_after() -> None:
    quoted = repair(cost="400.00", quote=Quote(from_="the yard", on=DAY, valid_until=DAY))
    found = built([finding("a", quoted)], cover())
    assert (found.likely, found.unpriced, found.expired) == (Decimal("400.00"), 0, ())
    for severity in ("settle", "watch"):
        asked = finding("a", quoted, severity=severity)
        after = estimate.build([asked], cover(), DAY.replace(day=DAY.day + 1))
        assert after is not None
        assert (after.likely, after.unpriced, after.expired) == (0, 1, ("a",))


def test_yen_have_no_decimals() -> None:
    notes = cover(price=price("JPY"), rates=rates("9999", supplies="7"))
    found = built([finding("a", repair("1.25"), pays={"seller": Decimal(50), "buyer": Decimal(50)})], notes)
    assert amounts(found) == {"Labour": "12499", "Supplies": "875"}
    assert [str(share.likely) for share in found.by_payer] == ["6687", "6687", "0"]


def test_no_estimate_without_currency_repair_or_open_price() -> None:
    assert estimate.build([BELLOWS], dataclasses.replace(WORKED, price=None)) is None
    assert estimate.build([finding("a", severity="watch")], WORKED) is None
    assert estimate.build([], WORKED) is None


def test_saving_is_the_access_that_isn_t_done_twice() -> None:
    """One by one the drive comes off twice: 270.00 labour, its supplies, tax on them and contingency."""
    found = built([BELLOWS, BEARING], cover(rates=rates("135", supplies="7"), strip_downs=WORKED.strip_downs))
    assert found.saved_by_doing_together == Decimal("270.00") + Decimal("18.90") + Decimal("288.00")
    assert built([RISERS], WORKED).saved_by_doing_together == 0


# --- who bears what ---


def sides(rule: str, *, own_hours: bool = True) -> Estimate:
    """A seller's repair of 1 h and a buyer's of 3 h need the same strip-down of 400.00."""
    one, three = ("1.0", "3.0") if own_hours else ("", "")
    work = [
        finding("a", repair(one, "50.00", needs=("engine out",)), pays=SELLER),
        finding("b", repair(three, "50.00", needs=("engine out",)), pays=BUYER),
    ]
    notes = cover(strip_downs={"engine out": strip_down("4.0")}, share_strip_downs=rule)
    return built(work, notes)


@pytest.mark.parametrize(
    ("rule", "seller", "buyer"),
    [("hours", "250", "650"), ("equal", "350", "550"), ("seller", "550", "350"), ("buyer", "150", "750")],
)
def test_each_rule_of_sharing_a_strip_down(rule: str, seller: str, buyer: str) -> None:
    found = sides(rule)
    assert [share.likely for share in found.by_payer] == [Decimal(seller), Decimal(buyer), 0]
    assert likely_of(found) == {"a": Decimal(seller), "b": Decimal(buyer)}
    assert {"hours": "by the own likely hours", "equal": "equally"}.get(rule, f"the {rule}") in found.sharing
    assert "engine out" in found.sharing


def test_a_strip_down_is_shared_equally_where_no_repair_has_hours() -> None:
    assert [share.likely for share in sides("hours", own_hours=False).by_payer] == [250, 250, 0]


def test_a_side_that_needs_no_strip_down_pays_none() -> None:
    """`share strip-downs: seller` speaks of strip-downs that both sides need, not of the buyer's own."""
    notes = cover(strip_downs={"engine out": strip_down("4.0")}, share_strip_downs="seller")
    found = built([finding("a", repair("1.0", needs=("engine out",)), pays=BUYER)], notes)
    assert [share.likely for share in found.by_payer] == [0, 500, 0]
    assert found.sharing == ""


def test_a_named_side_pays_nothing_more_where_the_other_is_not_agreed() -> None:
    """`share strip-downs: seller` waits until the buyer is a side; till then the hours decide, 1 to 3."""
    notes = cover(strip_downs={"engine out": strip_down("4.0")}, share_strip_downs="seller")
    work = [
        finding("a", repair("1.0", needs=("engine out",)), pays=SELLER),
        finding("b", repair("3.0", needs=("engine out",))),
    ]
    assert [share.likely for share in built(work, notes).by_payer] == [200, 0, 600]


def test_an_unpriced_finding_that_bears_no_strip_down_has_no_amount() -> None:
    """The priced repair's hours take all of the strip-down, and nothing is not 0.00."""
    notes = cover(strip_downs={"engine out": strip_down("4.0")})
    work = [finding("a", repair(needs=("engine out",))), finding("b", repair("1.0", needs=("engine out",)))]
    assert likely_of(built(work, notes)) == {"a": None, "b": Decimal("500.00")}


def test_shares_of_a_split_finding_are_those_of_the_notes() -> None:
    """60 % of 1752.46 is 1051.476 and 40 % is 700.984: the cent goes to the larger remainder."""
    split = {"seller": Decimal(60), "buyer": Decimal(40)}
    work = [BELLOWS, BEARING, dataclasses.replace(RISERS, pays=split)]
    found = built([dataclasses.replace(f, pays=f.pays or SELLER) for f in work], WORKED)
    risers = found.by_finding[2]
    assert risers.likely == Decimal("1752.46")
    assert risers.paid == (("seller", Decimal("1051.48")), ("buyer", Decimal("700.98")))


def test_what_nobody_agreed_to_pay_is_a_payer_of_its_own() -> None:
    found = built([finding("a", repair("1.0")), finding("b", pays=SELLER)], cover())
    assert [(share.name, share.likely, share.unpriced) for share in found.by_payer] == [
        ("seller", 0, 1),
        ("buyer", 0, 0),
        ("not agreed", 100, 0),
    ]


def test_every_finding_has_its_part_of_each_line() -> None:
    """Worked by hand: labour by hours with the drive's 2.0 h as 1.5 to 0.8, supplies by labour, and so on.

    Bellows have 1.5 h + 2.0 h x 1.5 / 2.3 = 2.804348 h: 378.587 of labour, 310 of parts, 26.503 of supplies,
    21.873 of tax, 103.288 of contingency and 288 x 1.5 / 5.3 = 81.509 of the haul-out: 921.76.
    """
    found = built([BELLOWS, BEARING, RISERS], WORKED)
    assert likely_of(found) == {
        "bellows": Decimal("921.76"),
        "bearing": Decimal("436.53"),
        "risers": Decimal("1752.46"),
    }


# --- the likely range ---


def test_nothing_uncertain_gives_the_likely_figure_three_times() -> None:
    found = built([BELLOWS, BEARING, RISERS], WORKED)
    assert {found.p10, found.p50, found.p90} == {Decimal("3110.75")}
    assert not found.uncertain


def test_one_uncertain_figure_has_the_percentiles_of_its_beta() -> None:
    """Against scipy; 0.6 % is five standard errors of 20,000 draws and the third figure's half step."""
    found = built([finding("a", repair(cost="800 / 1000 / 1800"))], cover())
    mean, width = 1100.0, 1000.0
    m = (mean - 800) / width
    k = 36 * m * (1 - m) - 1
    exact = stats.beta(m * k, (1 - m) * k, 800, width)
    assert exact.var() == pytest.approx((1000 / 6) ** 2)
    for printed, share in ((found.p10, 0.1), (found.p50, 0.5), (found.p90, 0.9)):
        assert float(printed) == pytest.approx(exact.ppf(share), rel=0.006)
    assert found.mean == 1100


def test_lows_and_highs_are_not_the_likely_range() -> None:
    """Row PERT-S3: sums 1050, 1360, 2600; mean 1515, deviation 186.53, so 80 % lies near 1276 to 1754.

    The source adds variances of independent figures and takes a normal sum; three skewed figures are not
    quite normal, so the percentiles are held to 2.5 %.
    """
    work = [finding("a", repair(cost="800 / 1000 / 1800")), finding("b", repair(cost="200 / 300 / 700"))]
    found = built([*work, finding("c", repair(cost="50 / 60 / 100"))], cover())
    assert (found.low, found.likely, found.high, found.mean) == (1050, 1360, 2600, 1515)
    assert float(found.p10) == pytest.approx(1275.9, rel=0.025)
    assert float(found.p90) == pytest.approx(1754.1, rel=0.025)


def uncertain_survey() -> tuple[list[Finding], Cover]:
    notes = cover(
        rates=rates("110", parts_tax="8", labour_tax="3", supplies="9", supplies_cap="95", contingency="12"),
        strip_downs={"engine out": strip_down("5 / 6 / 10", "40 / 45 / 80", cost="220 / 250 / 400")},
    )
    work = [
        finding("a", repair("2 / 3 / 6", "300 / 350 / 500", needs=("engine out",)), pays=SELLER),
        finding("b", repair("1 / 1.5 / 2", needs=("engine out",)), pays=SELLER),
        finding("c", dataclasses.replace(repair(), parts=(part("60 / 75 / 120", 4),)), pays=SELLER),
    ]
    return work, notes


def test_percentiles_use_the_whole_rule_with_its_cap() -> None:
    """An independent simulation by scipy's own Beta, 200,000 draws, the rule written out anew; to 0.7 %."""
    work, notes = uncertain_survey()
    found = built(work, notes)
    chance = np.random.default_rng(99)

    def draw(low: float, likely: float, high: float) -> Any:
        m = ((low + 4 * likely + high) / 6 - low) / (high - low)
        k = 36 * m * (1 - m) - 1
        return stats.beta(m * k, (1 - m) * k, low, high - low).rvs(200_000, random_state=chance)

    labour = (draw(2, 3, 6) + draw(1, 1.5, 2) + draw(5, 6, 10)) * 110
    parts = draw(300, 350, 500) + 4 * draw(60, 75, 120) + draw(40, 45, 80)
    supplies = np.minimum(labour * 0.09, 95)
    before = labour + parts + supplies + (parts + supplies) * 0.08 + labour * 0.03 + draw(220, 250, 400)
    total = before + (labour + parts) * 0.12
    assert 0.2 < (labour * 0.09 > 95).mean() < 1  # the cap cuts some draws and not others
    for printed, share in ((found.p10, 10), (found.p50, 50), (found.p90, 90)):
        assert float(printed) == pytest.approx(np.percentile(total, share), rel=0.007)
    assert found.seller_p50 is not None
    assert found.seller_p80 is not None
    assert float(found.seller_p50) == pytest.approx(np.percentile(before, 50), rel=0.007)
    assert float(found.seller_p80) == pytest.approx(np.percentile(before, 80), rel=0.007)


def test_percentiles_are_printed_to_three_figures_and_alike_in_every_run() -> None:
    work, notes = uncertain_survey()
    found = built(work, notes)
    for amount in (found.p10, found.p50, found.p90):
        assert len(str(amount.to_integral_value()).rstrip("0")) <= 3
        assert str(amount).endswith(".00")
    assert found == built(work, notes)


def test_a_share_without_spread_keeps_its_cents_and_leaves_contingency_out() -> None:
    """Only the buyer's hours are uncertain; the seller's 123.45 stay as they are, without the 10 % on top."""
    work = [finding("a", repair("", "123.45"), pays=SELLER), finding("b", repair("1 / 2 / 4"), pays=BUYER)]
    found = built(work, cover(rates=rates("100", contingency="10")))
    assert (found.seller_p50, found.seller_p80) == (Decimal("123.45"), Decimal("123.45"))
    assert found.uncertain
    assert built(work[1:], cover()).seller_p50 is None


def test_mean_goes_through_the_same_lines() -> None:
    """Mean hours 5 / 6 / 13 h are 7 h at 100.00; the supplies of a mean are capped like any others."""
    notes = cover(rates=rates("100", supplies="10", supplies_cap="65"))
    assert built([finding("a", repair("5 / 6 / 13"))], notes).mean == Decimal("765.00")


# --- the working ---


def test_the_working_shows_formula_numbers_and_result() -> None:
    steps = {step.step: step for step in built([BELLOWS, BEARING, RISERS], WORKED).working}
    assert steps["Labour"].values == "7.3 h × $135.00"
    assert steps["Parts"].values == "1 × $310.00 + 1 × $120.00 + 1 × $900.00"
    assert steps["Supplies"].values == "7 % × $985.50, cap $75.00"
    assert steps["Tax"].values == "6.5 % × ($1,330.00 + $68.99)"
    assert steps["Contingency"].values == "15 % × ($985.50 + $1,330.00)"
    assert steps["Total"].result == "$3,110.75"
    assert all(step.formula for step in steps.values())


def test_the_working_names_the_method_of_the_range() -> None:
    work, notes = uncertain_survey()
    method = built(work, notes).working[-1]
    assert "Beta" in method.formula
    assert "20,000 draws" in method.formula


def test_two_visits_are_told_apart_in_the_working() -> None:
    work = [dataclasses.replace(BELLOWS, settle_by="repair"), RISERS]
    steps = [step.step for step in built(work, WORKED).working]
    assert "Labour (repair visit)" in steps
    assert "Labour (later visit)" in steps
