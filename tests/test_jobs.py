"""Which repairs are jobs, in which visit, what each takes, and who bears a quote or a strip-down."""

from __future__ import annotations

import dataclasses
import datetime
from decimal import Decimal
from typing import Any

import pytest

from reportgen import estimate, jobs
from reportgen.blocks.quotes import YardQuote
from reportgen.blocks.rates import Confidences
from reportgen.blocks.repair import Charge, Quote, Repair
from reportgen.jobs import Job
from reportgen.model import Cover, Finding
from reportgen.units import Span
from tests.money import BUYER, DAY, SELLER, cover, finding, hours, part, rates, repair, span, strip_down

DAY_AFTER = DAY + datetime.timedelta(1)


def come(*findings: Finding, notes: Cover | None = None) -> tuple[Job, ...]:
    return jobs.to_come(findings, notes or cover(), DAY)


def quote(amount: str, *covers: str, **keys: Any) -> YardQuote:
    return YardQuote("Invented Yard", Decimal(amount), covers, **keys)


# ---- a yard's quote in the place of the estimate


def test_a_quote_is_borne_by_what_its_jobs_would_have_cost() -> None:
    """2 h at 50.00 and 3 h at 100.00 are 100 to 300: of the quote a bears a quarter, its payers by halves."""
    terms = rates({"joiner": "50", "rigger": "100"}, tax="20")
    halves = {"seller": Decimal(50), "buyer": Decimal(50)}
    work = (
        finding("a", repair("2.0", trade="joiner"), pays=halves),
        finding("b", repair("3.0", trade="rigger"), pays=BUYER),
        finding("c", repair("1.0", trade="rigger")),
    )
    found = come(*work, notes=cover(rates=terms, quotes=(quote("500", "a", "b", number="Q7"),)))
    [figure] = found[0].figures
    assert dict(figure.by) == {
        ("a", "seller"): Decimal("0.125"),
        ("a", "buyer"): Decimal("0.125"),
        ("b", "buyer"): Decimal("0.75"),
    }
    assert (figure.span, figure.tax, figure.quote) == (Span(*[Decimal(500)] * 3), 20, True)
    assert figure.what == "Quote Q7"
    assert [(job.quoted, job.unpriced, job.expired, len(job.figures)) for job in found] == [
        (True, False, False, 1),
        (True, False, False, 0),
        (False, False, False, 1),
    ]


def test_a_quote_for_what_has_no_figures_is_borne_equally() -> None:
    [first, _] = come(finding("a"), finding("b", repair("3.0")), notes=cover(quotes=(quote("9", "a", "b"),)))
    assert set(first.figures[0].by.values()) == {Decimal("0.5")}
    assert first.figures[0].what == "Quote"
    dated = cover(quotes=(quote("9", "a", on=DAY, tax=Decimal(7)),))
    [job] = come(finding("a"), notes=dated)
    assert (job.figures[0].what, job.figures[0].tax) == (f"Quote of {DAY}", 7)


def test_a_quote_that_has_run_out_leaves_the_estimate_and_is_told() -> None:
    """On its last day it still stands."""
    work = finding("a", repair("1.0"))
    [job] = come(work, notes=cover(quotes=(quote("9", "a", valid_until=DAY),)))
    assert (job.quoted, job.expired) == (True, False)
    before = DAY - datetime.timedelta(1)
    [job] = come(work, notes=cover(quotes=(quote("9", "a", valid_until=before),)))
    assert (job.quoted, job.expired) == (False, True)
    assert job.figures[0].group == "labour"


def test_of_two_quotes_for_one_finding_the_first_counts() -> None:
    two = (quote("9", "a"), quote("8", "a", "b"), quote("7", "c", use="beside"))
    found = come(finding("a"), finding("b"), finding("c"), notes=cover(quotes=two))
    assert [[f.span.likely for f in job.figures] for job in found] == [[9], [8], []]
    assert found[2].unpriced


# ---- what is a job


def test_what_waits_or_costs_nothing_is_no_job() -> None:
    """A finding to watch has no price unless it has work; stop, settle and schedule are asked for one."""
    work = [finding(s, severity=s) for s in ("stop", "settle", "schedule", "watch", "sound")]
    work.append(finding("paint", repair("1.0"), severity="watch"))
    assert [job.finding.id for job in come(*work)] == ["stop", "settle", "schedule", "paint"]
    assert [job.unpriced for job in come(*work)] == [True, True, True, False]


def test_each_visit_has_the_jobs_of_its_way() -> None:
    """What is repaired by the seller is done before closing, all else later."""
    ways = ("repair", "credit", "holdback", "as it is", "")
    found = come(*(finding(f"f{n}", repair("1.0"), settle_by=way) for n, way in enumerate(ways)))
    assert [job.visit for job in found] == [jobs.REPAIR_VISIT] + [jobs.LATER_VISIT] * 4


def test_hours_of_a_job_are_those_of_both_persons() -> None:
    [job] = come(finding("a", repair("1 / 2 / 4", second_person=hours("1.5"))))
    assert job.hours == Decimal("3.5")
    assert come(finding("b"))[0].hours == 0


@pytest.mark.parametrize(
    ("work", "unpriced"),
    [
        (repair("1.0"), False),
        (repair("1.0", second_person=hours("1.0")), True),  # no rate for a second person
        (repair(cost="5"), False),
        (Repair(parts=(part("3"), part(None))), True),
        (Repair(charges=(Charge(what="lift", per_foot=Decimal(9)),)), True),  # no length
        (Repair(charges=(Charge(what="lift", flat=span("9")),)), False),
        (repair("1.0", unpriced="the lift"), True),
        (repair("1.0", needs=("engine out",)), True),  # the strip-down is named and has nothing in it
        (repair("1.0", needs=("mast down",)), False),
    ],
)
def test_what_has_no_price(work: Repair, unpriced: bool) -> None:
    notes = cover(strip_downs={"engine out": strip_down(), "mast down": strip_down("2.0")})
    assert come(finding("a", work), notes=notes)[0].unpriced is unpriced


def test_a_fixed_cost_by_a_quote_that_has_run_out_is_no_price() -> None:
    """Of the repair the hours stay, the cost goes."""
    old = Quote(from_="a yard", valid_until=DAY - datetime.timedelta(1))
    [job] = come(finding("a", repair("1.0", cost="50", quote=old)))
    assert (job.expired, job.unpriced, [f.group for f in job.figures]) == (True, True, ["labour"])
    kept = dataclasses.replace(old, valid_until=DAY)
    [job] = come(finding("a", repair("1.0", cost="50", quote=kept)))
    assert (job.expired, job.unpriced, len(job.figures)) == (False, False, 2)


# ---- strip-downs and charges that are shared


def shared(rule: str, *work: Finding, labour: str = "4.0") -> dict[tuple[str, str], Decimal]:
    notes = cover(strip_downs={"engine out": strip_down(labour)}, share_strip_downs=rule)
    [access] = jobs.accesses(jobs.to_come(work, notes, DAY), notes)
    return dict(access.figures[0].by)


def test_a_strip_down_is_shared_by_hours_equally_or_borne_by_a_side() -> None:
    """1 h of the seller's and 3 h of the buyer's."""
    out = ("engine out",)
    work = (
        finding("a", repair("1.0", needs=out), pays=SELLER),
        finding("b", repair("3.0", needs=out), pays=BUYER),
    )
    quarter, half = Decimal("0.25"), Decimal("0.5")
    assert shared("by hours", *work) == {("a", "seller"): quarter, ("b", "buyer"): 1 - quarter}
    assert shared("equal", *work) == {("a", "seller"): half, ("b", "buyer"): half}
    assert shared("seller", *work) == {("a", "seller"): 1}
    assert shared("buyer", *work) == {("b", "buyer"): 1}
    # of one repair that both pay, no side bears it alone
    both = finding("a", repair("1.0", needs=out), pays={"seller": Decimal(50), "buyer": Decimal(50)})
    assert shared("seller", both) == {("a", "seller"): half, ("a", "buyer"): half}
    bare = (finding("a", repair(needs=out), pays=SELLER), finding("b", repair(needs=out), pays=BUYER))
    assert set(shared("by hours", *bare).values()) == {half}


def test_the_least_sure_repair_sets_the_contingency_of_a_strip_down() -> None:
    sure = Confidences(measured=Decimal(0), suspected=Decimal(30))
    terms = dataclasses.replace(rates("100", contingency="10"), contingency_by_confidence=sure)
    notes = cover(rates=terms, strip_downs={"engine out": strip_down("4.0", "20")})
    work = [
        finding(c or "none", repair("1.0", needs=("engine out",)), confidence=c)
        for c in ("measured", "suspected", "")
    ]
    found = jobs.to_come(work, notes, DAY)
    assert [job.reserve for job in found] == [0, Decimal("0.3"), Decimal("0.1")]
    [access] = jobs.accesses(found, notes)
    assert {figure.reserve for figure in access.figures} == {Decimal("0.3")}
    assert (access.name, access.visit, len(access.jobs)) == ("engine out", jobs.LATER_VISIT, 3)
    assert {figure.of for figure in access.figures} == {"engine out"}


def test_a_strip_down_of_money_alone_takes_no_hours() -> None:
    notes = cover(strip_downs={"haul-out": strip_down(cost="288")})
    [access] = jobs.accesses(jobs.to_come([finding("a", repair(needs=("haul-out",)))], notes, DAY), notes)
    assert access.hours == Span(Decimal(0), Decimal(0), Decimal(0), "h")
    assert access.payers == ("not agreed",)


def test_what_comes_once_a_visit_comes_with_work_only() -> None:
    """A finding without a price brings nobody to the yard, so no charge of the visit stands with it."""
    notes = cover(each_visit=(Charge(what="waste", flat=span("35")),))
    assert jobs.each_visit(come(finding("a")), notes) == ()
    [figure] = jobs.each_visit(come(finding("a"), finding("b", repair("1.0"))), notes)
    assert (figure.what, figure.span.likely, figure.reserve, dict(figure.by)) == (
        "waste",
        35,
        0,
        {("b", "not agreed"): 1},
    )


@pytest.mark.parametrize(
    ("figure", "fixed"),
    [
        (jobs.Figure("fixed", "lift", span("5")), True),
        (jobs.Figure("fixed", "lift", span("4 / 5 / 6")), False),
        (jobs.Figure("fixed", "lift", span("4 / 5 / 6"), Decimal(2), least=Decimal(12)), True),
        (jobs.Figure("fixed", "lift", span("4 / 5 / 6"), Decimal(2), least=Decimal("11.99")), False),
    ],
)
def test_a_figure_is_fixed_where_its_highest_is_no_more_than_the_least(
    figure: jobs.Figure, fixed: bool
) -> None:
    assert figure.fixed is fixed


def test_a_quote_of_the_yard_may_run_out_tomorrow() -> None:
    assert not jobs.run_out(None, DAY)
    assert not jobs.run_out(DAY, DAY)
    assert jobs.run_out(DAY, DAY_AFTER)


# ---- in the estimate


def test_overtime_is_borne_by_those_whose_hours_are_late() -> None:
    """2 h with half of them late and 2 h with a quarter late: of 75.00 on top, 50.00 and 25.00."""
    work = [
        finding("a", repair("2.0", overtime=Decimal(50))),
        finding("b", repair("2.0", overtime=Decimal(25))),
        finding("c", repair("2.0")),
    ]
    found = estimate.build(work, cover(rates=rates("100", overtime="50")))
    assert found is not None
    assert [(c.id, c.likely, c.lines[1:]) for c in found.by_finding] == [
        ("a", 250, (("Overtime, labour", Decimal("50.00")),)),
        ("b", 225, (("Overtime, labour", Decimal("25.00")),)),
        ("c", 200, ()),
    ]


def test_supplies_once_capped_are_borne_by_hours() -> None:
    """10 % of 400.00 would be 40.00; of the cap of 20.00 the 3 h bear 15.00 and the 1 h bears 5.00."""
    found = estimate.build(
        [finding("a", repair("3.0")), finding("b", repair("1.0", "50"))],
        cover(rates=rates("100", supplies="10", supplies_cap="20", parts_tax="10")),
    )
    assert found is not None
    lines = [dict(c.lines) for c in found.by_finding]
    assert [line["Supplies"] for line in lines] == [Decimal("15.00"), Decimal("5.00")]
    assert [line["Tax"] for line in lines] == [Decimal("1.50"), Decimal("5.50")]


def test_hours_of_a_finding_say_how_they_come_about() -> None:
    """Its own, and its share of those of the strip-down: 1 of 4 h."""
    notes = cover(
        rates=dataclasses.replace(rates("100"), second_person={"": Decimal(60)}),
        strip_downs={"engine out": strip_down("2.0")},
    )
    out = ("engine out",)
    work = [
        finding("a", repair("1.0", needs=out)),
        finding("b", repair("2.5", needs=out, second_person=hours("0.5"))),
        finding("c", repair(cost="9")),
    ]
    found = estimate.build(work, notes)
    assert found is not None
    assert [c.hours for c in found.by_finding] == [
        "1 h + 0.25 × 2 h engine out",
        "2.5 h + 0.5 h second person + 0.75 × 2 h engine out",
        "",
    ]


# ---- one price for two findings


def test_a_price_that_holds_two_findings_leaves_none_without_one() -> None:
    """New rigging mends the cracked terminal and the old wire: the total holds both."""
    old = finding("old", Repair(in_price_of=("crack",)), severity="schedule")
    crack = finding("crack", repair(cost="5600"), severity="stop")
    assert [job.unpriced for job in come(crack, old)] == [False, False]
    assert [job.unpriced for job in come(old)] == [True]  # the other is done, or gone
    assert [job.unpriced for job in come(finding("crack", severity="stop"), old)] == [True, True]
    told = estimate.build([crack, old], cover(), DAY)
    assert told is not None
    assert (told.likely, told.unpriced_ids) == (Decimal(5600), ())
