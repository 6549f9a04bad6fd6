"""Mistakes about money are told with what was found and what to write."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from decimal import Decimal
from typing import Any

import pytest

from reportgen import estimate
from reportgen.blocks.repair import Quote, Repair, StripDown
from reportgen.errors import Place, Problem, Problems
from reportgen.model import Cover, Finding
from tests.money import (
    BELLOWS,
    CHECKED,
    DAY,
    DONE,
    RISERS,
    WORKED,
    cover,
    finding,
    hours,
    part,
    rates,
    repair,
    span,
    strip_down,
)

HERE = Place("engine.md", 12, 3)


def told(notes: Cover, findings: Sequence[Finding] = ()) -> list[Problem]:
    problems = Problems()
    estimate.problems(notes, findings, problems)
    return list(problems)


def of_repair(notes: Cover, work: Repair, **keys: Any) -> list[Problem]:
    placed = dataclasses.replace(work, place=HERE)
    return told(notes, [finding("a", placed, place=HERE, **keys)])


def test_sound_notes_give_no_problem() -> None:
    assert told(WORKED, [BELLOWS, RISERS]) == []


def test_an_unknown_strip_down_names_the_nearest() -> None:
    [problem] = of_repair(WORKED, repair("1.0", needs=("drive of",)))
    assert str(problem) == "engine.md:12:3: needs: unknown strip-down 'drive of'; write drive off"


def test_an_unknown_strip_down_lists_what_is_known() -> None:
    [problem] = of_repair(WORKED, repair("1.0", needs=("keel",)))
    assert problem.write == "known here: drive off and haul-out"
    [problem] = of_repair(cover(), repair("1.0", needs=("keel",)))
    assert problem.write == "add strip-downs: {keel: {labour: 2 h}} to the cover note"


def test_also_needs_is_looked_at_too() -> None:
    notes = cover(strip_downs={"drive off": StripDown(hours("2"), also_needs=("haulout",), place=HERE)})
    [problem] = told(notes)
    assert problem.place == HERE.at("also needs")
    assert problem.level == "error"


def test_a_circle_is_named_in_order() -> None:
    notes = cover(
        strip_downs={
            "haul-out": strip_down(cost="200"),
            "mast down": strip_down("1", needs=("boom off",)),
            "boom off": strip_down("1", needs=("haul-out", "stays off")),
            "stays off": strip_down("1", needs=("mast down",)),
        }
    )
    [problem] = told(notes)
    assert problem.found.endswith("in a circle: mast down needs boom off needs stays off needs mast down")
    assert estimate.build([finding("a", repair("1", needs=("stays off",)))], notes) is not None


def test_a_strip_down_that_needs_itself_is_a_circle() -> None:
    [problem] = told(cover(strip_downs={"mast down": strip_down("1", needs=("mast down",))}))
    assert problem.found.endswith("mast down needs mast down")


def test_many_ways_to_the_same_strip_down_are_no_circle_and_take_no_time() -> None:
    """Thirty layers of two, each needing both below: a walk of every way would never end."""
    layers = {
        f"{side}{n}": strip_down("1", needs=(f"a{n - 1}", f"b{n - 1}") if n else ())
        for n in range(30)
        for side in "ab"
    }
    notes = cover(strip_downs=layers)
    assert told(notes) == []
    found = estimate.build([finding("x", repair("1", needs=("a29",)))], notes)
    assert found is not None
    assert found.likely == 6000


def test_hours_need_a_rate() -> None:
    [problem] = of_repair(cover(rates=dataclasses.replace(rates(), labour=None)), repair("1.0"))
    assert (problem.place.key, problem.write) == ("labour", "add rates: {labour: 100}")


@pytest.mark.parametrize(
    ("trade", "found", "write"),
    [
        ("mecanical", "no rate for the trade 'mecanical'", "write trade: mechanical"),
        ("sails", "no rate for the trade 'sails'", "write trade: electrical or mechanical"),
        ("", "hours of no trade, but rates by trade", "write trade: electrical or mechanical"),
    ],
)
def test_a_trade_needs_its_rate(trade: str, found: str, write: str) -> None:
    notes = cover(rates=rates({"mechanical": "100", "electrical": "90"}))
    [problem] = of_repair(notes, repair("1.0", trade=trade))
    assert (problem.place.key, problem.found, problem.write) == ("trade", found, write)


def test_a_trade_is_free_where_one_rate_stands_for_all() -> None:
    assert of_repair(cover(), repair("1.0", trade="sails")) == []


@pytest.mark.parametrize("work", [repair("1.0", cost="50"), repair("", "12", cost="50")])
def test_a_fixed_cost_stands_instead_of_labour_and_parts(work: Repair) -> None:
    [problem] = of_repair(cover(), work)
    assert (problem.level, problem.place.key) == ("error", "cost")


def test_a_price_and_a_reason_for_none_contradict() -> None:
    [problem] = of_repair(cover(), repair("1.0", unpriced="yard to quote"))
    assert (problem.level, problem.place.key) == ("error", "unpriced")
    needs_only = dataclasses.replace(repair(unpriced="yard to quote"), parts=(part(None),))
    assert of_repair(cover(), needs_only) == []


def test_tax_without_a_fixed_cost_is_warned_of() -> None:
    [problem] = of_repair(cover(), repair("1.0", tax=Decimal(5)))
    assert (problem.level, problem.place.key) == ("warning", "tax")


def test_an_expired_quote_is_warned_of_on_the_day_counted_on() -> None:
    quote = Quote(from_="the yard", on=DAY, valid_until=DAY, place=HERE)
    work = repair(cost="400", quote=quote)
    assert of_repair(cover(), work) == []
    problems = Problems()
    estimate.problems(cover(), [finding("a", work)], problems, DAY.replace(day=15))
    [problem] = problems
    assert (problem.level, problem.place.key) == ("warning", "valid until")
    assert problem.found == "the quote ended on 2026-03-14, before 2026-03-15, and is not used"


def test_a_quote_has_an_amount_and_ends_after_it_began() -> None:
    [problem] = of_repair(cover(), repair("1.0", quote=Quote(from_="the yard", place=HERE)))
    assert (problem.level, problem.write) == ("warning", "write the amount as cost:")
    backwards = Quote(from_="the yard", on=DAY, valid_until=DAY.replace(day=1), place=HERE)
    [problem] = of_repair(cover(), repair(cost="400", quote=backwards))
    assert (problem.level, problem.place.key) == ("error", "valid until")


@pytest.mark.parametrize("keys", [{"reported_done": DONE}, {"reported_done": DONE, "checked": CHECKED}])
def test_what_is_credited_is_not_repaired_as_well(keys: dict[str, Any]) -> None:
    [problem] = of_repair(cover(), repair("1.0"), settle_by="credit", **keys)
    assert (problem.level, problem.place.key) == ("error", "settle by")
    assert of_repair(cover(), repair("1.0"), settle_by="holdback", **keys) == []


def test_an_empty_strip_down_is_warned_of() -> None:
    [problem] = told(cover(strip_downs={"mast down": StripDown(place=HERE)}))
    assert problem.level == "warning"
    assert "mast down" in problem.found


@pytest.mark.parametrize(
    "work",
    [
        repair("20000000000"),
        repair(cost="1000000000000.01"),
        dataclasses.replace(repair(), parts=(part("500000", 3000000),)),
    ],
)
def test_an_amount_beyond_reason_is_a_slip(work: Repair) -> None:
    [problem] = of_repair(cover(), work)
    assert problem.level == "error"
    assert problem.write == "look for a digit too many"


def test_the_largest_amount_itself_is_taken() -> None:
    assert of_repair(cover(), Repair(cost=span("1000000000000.00"))) == []


@pytest.mark.parametrize(
    ("work", "said"),
    [
        (Repair(in_price_of=("crak",)), ["unknown finding 'crak'; write crack"]),
        (Repair(in_price_of=("a",)), ["unknown finding 'a'; write the id of another finding"]),
        (Repair(in_price_of=("bare",)), ["'bare' has no price that could hold this one; add cost: to bare"]),
        (
            repair("1.0", in_price_of=("crack",)),
            ["a price of its own, and in another's too; keep one of them"],
        ),
        (Repair(in_price_of=("crack",)), []),
    ],
)
def test_the_price_that_holds_another_is_there(work: Repair, said: list[str]) -> None:
    """What stands in the price of nothing would vanish from the total."""
    others = [finding("crack", repair(cost="5600")), finding("bare")]
    problems = told(cover(rates=rates()), [finding("a", dataclasses.replace(work, place=HERE)), *others])
    assert [f"{p.found}; {p.write}" for p in problems] == said
