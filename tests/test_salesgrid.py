"""Comparables adjusted by published rows, by plain fractions, and whatever amounts and shares they hold."""

from __future__ import annotations

import dataclasses
import datetime
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise, permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reportgen import salesgrid
from reportgen.blocks.value import ORDER, Adjustment, Comparable
from reportgen.salesgrid import AdjustedSale, Grid

DAY = datetime.date(2026, 3, 14)


def amount(value: str, of: str = "physical") -> Adjustment:
    return Adjustment("differs", Decimal(value), of=of)


def share(value: str, of: str = "market") -> Adjustment:
    return Adjustment("differs", share=Decimal(value), of=of)


def sale(price: str, *adjust: Adjustment, weight: str = "", **keys: object) -> Comparable:
    made = Comparable(
        "a like boat", Decimal(price), adjust=adjust, weight=Decimal(weight) if weight else None
    )
    return dataclasses.replace(made, **keys)  # type: ignore[arg-type]


def adjusted(each: Comparable, currency: str = "USD") -> AdjustedSale:
    found = salesgrid.adjust(each, currency, DAY)
    assert found is not None
    return found


def grid(sales: Sequence[Comparable], currency: str = "USD") -> Grid:
    found = salesgrid.reconcile([adjusted(s, currency) for s in sales], currency)
    assert found is not None
    return found


# --- published rows ---


@pytest.mark.parametrize(
    ("price", "steps", "expected"),
    [
        # worked exercise, comparable sales, steps 1 and 2: printed there, read in the text
        pytest.param(
            "450000", (amount("-25000"),), "425000", id="APP-1: has an extra worth 25,000, taken off"
        ),
        pytest.param("400000", (amount("50000"),), "450000", id="APP-2: lacks a feature worth 50,000, added"),
        # worked appraisal grid: 3,000 spent after purchase, then 4 % of 528,000, which is 21,120
        pytest.param(
            "525000", (amount("3000", "spending"), share("4")), "549120", id="APP-5: spending, then market"
        ),
        pytest.param("499000", (share("4"),), "518960", id="APP-6: 4 % is 19,960"),
        # the same grid's location row, computed from its rule: 3 % of the running total
        pytest.param("549120", (share("-3", "location"),), "532646.40", id="APP-7: then location"),
    ],
)
def test_published_rows(price: str, steps: tuple[Adjustment, ...], expected: str) -> None:
    """Printed results of the exercise and the grid, to the cent; the answer page that adds is wrong."""
    assert adjusted(sale(price, *steps)).adjusted == Decimal(expected)


def test_better_comparable_is_never_adjusted_up() -> None:
    """APP-1 as one answer page has it, 475,000, is wrong: the extra comes off, and the words say so."""
    found = adjusted(sale("450000", amount("-25000")))
    assert found.adjusted != 475000
    assert found.steps[0].says == "comparable better, taken off"
    assert adjusted(sale("400000", amount("50000"))).steps[0].says == "comparable poorer, added"


def test_equal_weights() -> None:
    """APP-3, same exercise, step 3: the mean of 425,000 and 450,000 is 437,500."""
    found = grid([sale("450000", amount("-25000")), sale("400000", amount("50000"))])
    assert (found.low, found.likely, found.high, found.equal) == (425000, 437500, 450000, True)
    assert found.values == "($425,000.00 + $450,000.00) / 2"


def test_order_of_adjustments() -> None:
    """APP-8, appraisal course notes, list 1 to 10."""
    named = (
        "rights", "financing", "conditions of sale", "spending", "market",
        "location", "physical", "economic", "use", "non-realty",
    )  # fmt: skip
    assert named == ORDER
    mixed = [amount("1", of) for of in reversed(ORDER)]
    assert tuple(each.of for each in salesgrid.in_order(mixed)) == ORDER


@pytest.mark.parametrize("written", list(permutations(range(3))))
def test_order_in_the_note_changes_nothing(written: tuple[int, ...]) -> None:
    """APP-5 and APP-7 in any order of writing; 4 % of 525,000 would be 21,000 and is not what comes out."""
    steps = (amount("3000", "spending"), share("4"), share("-3", "location"))
    found = adjusted(sale("525000", *(steps[n] for n in written)))
    assert [str(step.amount) for step in found.steps] == ["3000.00", "21120.00", "-16473.60"]
    assert found.adjusted == Decimal("532646.40")


# --- an independent computation ---

Rows = tuple[tuple[str, str, tuple[tuple[str, str, bool], ...]], ...]
GRIDS: dict[str, tuple[str, int, Rows]] = {
    "two alike": ("USD", 2, (("31000", "", ()), ("33000", "", ()))),
    "thirds": ("EUR", 2, (("10000", "", ()), ("10000.01", "", ()), ("10000.01", "", ()))),
    "shares on shares": (
        "GBP",
        2,
        (
            ("48750", "60", (("market", "3.7", True), ("location", "-2.3", True), ("physical", "1.9", True))),
            ("52199.99", "40", (("financing", "-0.7", True), ("use", "-1250.50", False))),
        ),
    ),
    "half a cent up": ("USD", 2, (("100.10", "", (("market", "5", True),)),)),
    "half a cent down": ("USD", 2, (("100.10", "", (("market", "-5", True),)),)),
    "yen": ("JPY", 0, (("2150001", "50", (("market", "-1.5", True),)), ("1987654", "50", ()))),
    "weight of nothing": ("NZD", 2, (("71000", "100", ()), ("99000", "0", (("physical", "-4100", False),)))),
    "written out of order": (
        "EUR",
        2,
        (
            ("87300", "33.3", (("non-realty", "-2100", False), ("market", "2.25", True))),
            ("91450", "33.3", (("location", "-4", True), ("spending", "3333.33", False))),
            ("79999", "33.4", (("physical", "6100", False), ("conditions of sale", "-5.5", True))),
        ),
    ),
}


def _cents(value: Fraction, places: int) -> Fraction:
    """Round half away from zero, as money is."""
    scaled = abs(value) * 10**places
    whole = (scaled + Fraction(1, 2)).__floor__()
    return Fraction(whole if value >= 0 else -whole, 10**places)


@pytest.mark.parametrize("name", GRIDS)
def test_by_fractions(name: str) -> None:
    """A second computation by plain fractions, step by step, gives the same range and mean."""
    currency, places, rows = GRIDS[name]
    totals: list[Fraction] = []
    for price, _, steps in rows:
        running = Fraction(price)
        for of in ORDER:
            for about, figure, is_share in steps:
                if about == of:
                    change = running * Fraction(figure) / 100 if is_share else Fraction(figure)
                    running += _cents(change, places)
        totals.append(running)
    weights = [Fraction(w) for _, w, _ in rows if w] or [Fraction(100, len(rows))] * len(rows)
    mean = sum((t * w for t, w in zip(totals, weights, strict=True)), Fraction(0)) / 100
    found = grid(
        [
            sale(p, *(share(f, of) if is_share else amount(f, of) for of, f, is_share in steps), weight=w)
            for p, w, steps in rows
        ],
        currency,
    )
    assert [Fraction(each.adjusted) for each in found.comparables] == totals
    assert Fraction(found.likely) == _cents(mean, places)
    assert (Fraction(found.low), Fraction(found.high)) == (min(totals), max(totals))


# --- for any amounts ---

CENTS = st.integers(100_000, 90_000_000).map(lambda n: Decimal(n).scaleb(-2))
STEP = st.one_of(
    st.builds(
        lambda n, of: Adjustment("x", Decimal(n).scaleb(-2), of=of),
        st.integers(-20_000, 20_000),
        st.sampled_from(ORDER),
    ),
    st.builds(
        lambda n, of: Adjustment("x", share=Decimal(n).scaleb(-1), of=of),
        st.integers(-100, 100),
        st.sampled_from(ORDER),
    ),
)
SALES = st.lists(
    st.builds(lambda p, a: Comparable("x", p, adjust=tuple(a)), CENTS, st.lists(STEP, max_size=5)),
    min_size=1,
    max_size=6,
)


@st.composite
def weighted(draw: st.DrawFn) -> list[Comparable]:
    """Give comparables with weights that add up to 100 %."""
    sales = draw(SALES)
    cuts = draw(st.lists(st.integers(0, 1000), min_size=len(sales) - 1, max_size=len(sales) - 1))
    ends = [0, *sorted(cuts), 1000]
    shares = [Decimal(b - a) / 10 for a, b in pairwise(ends)]
    return [dataclasses.replace(s, weight=w) for s, w in zip(sales, shares, strict=True)]


@given(st.one_of(SALES, weighted()))
def test_mean_lies_within_the_range(sales: list[Comparable]) -> None:
    found = grid(sales)
    assert found.low <= found.likely <= found.high


@given(st.one_of(SALES, weighted()), st.randoms(use_true_random=False))
def test_order_of_comparables_does_not_matter(sales: list[Comparable], chance: object) -> None:
    mixed = list(sales)
    chance.shuffle(mixed)  # type: ignore[attr-defined]
    one, other = grid(sales), grid(mixed)
    assert (one.low, one.likely, one.high) == (other.low, other.likely, other.high)


@given(st.one_of(SALES, weighted()), st.integers(2, 50))
def test_all_money_times_n_is_the_value_times_n(sales: list[Comparable], n: int) -> None:
    """To the cents that rounding a share of each step may move: half a cent a step, and one for the mean."""

    def times(each: Comparable) -> Comparable:
        steps = tuple(
            dataclasses.replace(a, amount=a.amount * n if a.amount is not None else None) for a in each.adjust
        )
        return dataclasses.replace(each, price=(each.price or Decimal(0)) * n, adjust=steps)

    one, many = grid(sales), grid([times(s) for s in sales])
    slack = Decimal("0.01") * n * 8
    for figure in ("low", "likely", "high"):
        assert abs(getattr(many, figure) - n * getattr(one, figure)) <= slack


@given(SALES)
def test_steps_lead_from_the_price_to_the_adjusted_price(sales: list[Comparable]) -> None:
    """Each printed total is the one before it and its change: the grid can be added up by hand."""
    for each in grid(sales).comparables:
        running = each.price
        for step in each.steps:
            running += step.amount
            assert step.running == running
        assert (each.adjusted, each.net) == (running, running - each.price)


# --- around the edges ---


def test_nothing_without_a_price() -> None:
    assert salesgrid.adjust(sale("0"), "USD", DAY) is None
    assert salesgrid.adjust(Comparable("x"), "USD", DAY) is None
    assert salesgrid.reconcile([], "USD") is None


def test_weights_that_do_not_add_up_are_not_used() -> None:
    """The notes are refused then (valuecheck); nothing is reckoned with 90 % meanwhile."""
    assert grid([sale("1000", weight="50"), sale("2000", weight="40")]).equal
    assert grid([sale("1000", weight="100"), sale("2000")]).likely == 1500


def test_net_keeps_signs_and_gross_does_not() -> None:
    """1,000 up and 600 down on 20,000: net 2 %, gross 8 %."""
    found = adjusted(sale("20000", amount("1000"), amount("-600")))
    assert (found.net, str(found.net_share), str(found.gross_share)) == (400, "2.00", "8.00")


@pytest.mark.parametrize(
    ("change", "over"), [("-1999.99", False), ("-2000.00", False), ("-2000.01", True), ("2000.01", True)]
)
def test_over_means_strictly_above_the_stated_share(change: str, over: bool) -> None:
    """All print as 10.00 %; only what is really more than 10 % of 20,000 is pointed out."""
    found = salesgrid.adjust(sale("20000", amount(change)), "USD", DAY, Decimal(10))
    assert found is not None
    assert (found.over, str(found.gross_share)) == (over, "10.00")
    assert not adjusted(sale("20000", amount(change))).over


@pytest.mark.parametrize(
    ("start", "end", "expected"),
    [
        ("2026-02-14", "2026-03-14", 1),
        ("2026-02-15", "2026-03-14", 0),
        ("2025-03-14", "2026-03-14", 12),
        ("2026-03-14", "2026-03-14", 0),
        ("2026-04-20", "2026-03-14", -1),
    ],
)
def test_months_are_whole_ones(start: str, end: str, expected: int) -> None:
    days = (datetime.date.fromisoformat(d) for d in (start, end))
    assert salesgrid.months(*days) == expected


def test_age_counts_from_sale_or_listing() -> None:
    old = datetime.date(2025, 3, 1)
    assert adjusted(sale("1", sold=old)).age == "12 months before"
    asked = adjusted(sale("1", listed=old))
    assert (asked.asked, asked.months) == (True, 12)
    bare = adjusted(sale("1"))
    assert (bare.asked, bare.months, bare.age) == (False, None, "")
    assert adjusted(sale("1", sold=DAY)).age == "within a month of"
    assert adjusted(sale("1", sold=datetime.date(2026, 4, 20))).age == "1 month after"


def test_month_of_a_sale_stays_a_month() -> None:
    """Of a sale whose day nobody knows none is invented; its age counts from the month's first day."""
    found = salesgrid.adjust(sale("18400", sold_in="2025-09"), "USD", datetime.date(2026, 5, 14))
    assert found is not None
    assert (found.sold, found.sold_in, found.months, found.asked) == (None, "2025-09", 8, False)
