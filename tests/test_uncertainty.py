"""Three-point figures against printed tables and against an independent Beta distribution."""

from __future__ import annotations

import math
from decimal import Decimal, InvalidOperation

import numpy as np
import pytest
from scipy import stats

from reportgen import uncertainty
from reportgen.units import Span
from tests.money import span

ONE = Decimal(1)

# Published table of a, m, b, mean, variance; university lecture notes on project scheduling, printed to two
# decimals: rows PERT-2 to PERT-6 of the checks, read in the source.
LECTURE = [
    ("1/4/7", 4, 1.0),
    ("5/7/12", 7.5, 1.36),
    ("3/5/10", 5.5, 1.36),
    ("2/4/6", 4, 0.44),
    ("3/6/9", 6, 1.0),
]

# Published table of a, m, b, mean, standard deviation; textbook problem of 14 activities, printed to two
# decimals: rows PERTB-1 to PERTB-7 of the checks, read in the source.
TEXTBOOK = [
    ("4/8/13", 8.17, 1.5),
    ("1/10/17", 9.67, 2.67),
    ("2/7/10", 6.67, 1.33),
    ("6/10/13", 9.83, 1.17),
    ("1/2/5", 2.33, 0.67),
    ("2/6/9", 5.83, 1.17),
    ("7/7/12", 7.83, 0.83),
]


@pytest.mark.parametrize(("figures", "mean", "variance"), LECTURE)
def test_mean_and_variance_are_those_of_the_lecture_notes(figures: str, mean: float, variance: float) -> None:
    """The tolerance is half of the last printed decimal."""
    assert float(uncertainty.mean(span(figures))) == pytest.approx(mean, abs=0.005)
    assert float(uncertainty.variance(span(figures))) == pytest.approx(variance, abs=0.005)


@pytest.mark.parametrize(("figures", "mean", "deviation"), TEXTBOOK)
def test_mean_and_deviation_are_those_of_the_textbook(figures: str, mean: float, deviation: float) -> None:
    """The tolerance is half of the last printed decimal."""
    assert float(uncertainty.mean(span(figures))) == pytest.approx(mean, abs=0.005)
    assert math.sqrt(uncertainty.variance(span(figures))) == pytest.approx(deviation, abs=0.005)


def test_a_chain_adds_means_and_variances() -> None:
    """Row PERT-S1, same textbook problem: 50.83, 11.19 and 0.893 printed; the sums computed with scipy."""
    chain = ["5/5/7", "5/5/5", "1/10/17", "4/4/6", "2/7/10", "6/10/13", "2/2/3", "7/7/12"]
    mean = sum(float(uncertainty.mean(span(figures))) for figures in chain)
    variance = sum(float(uncertainty.variance(span(figures))) for figures in chain)
    assert mean == pytest.approx(50.8333, abs=5e-5)
    assert variance == pytest.approx(11.1944, abs=5e-5)
    assert stats.norm.cdf(55, mean, math.sqrt(variance)) == pytest.approx(0.8935, abs=5e-5)


# Rows TRI-1 to TRI-3: a, m, b, triangular mean (a + m + b) / 3 and PERT mean and variance, computed from
# the textbook formulae (from memory); skewed figures give different means by the two methods.
TRIANGULAR = [
    ("800/1000/1800", 1200.0, 1100.0, 27777.778),
    ("200/300/700", 400.0, 350.0, 6944.444),
    ("50/60/100", 70.0, 65.0, 69.444),
]


@pytest.mark.parametrize(("figures", "triangular", "mean", "variance"), TRIANGULAR)
def test_the_method_is_not_the_triangular_one(
    figures: str, triangular: float, mean: float, variance: float
) -> None:
    known = span(figures)
    width = float(known.high - known.low)
    other = stats.triang(float(known.likely - known.low) / width, float(known.low), width)
    assert other.mean() == pytest.approx(triangular)
    assert float(uncertainty.mean(known)) == pytest.approx(mean)
    assert float(uncertainty.variance(known)) == pytest.approx(variance, abs=5e-4)


SHAPES = ["0/0/1", "0/0.1/1", "800/1000/1800", "2/4/6", "200/650/700", "7/12/12"]


@pytest.mark.parametrize("figures", SHAPES)
def test_shape_gives_exactly_the_classical_mean_and_variance(figures: str) -> None:
    known = span(figures)
    width = float(known.high - known.low)
    beta = stats.beta(*uncertainty.shape(known), float(known.low), width)
    assert beta.mean() == pytest.approx(float(uncertainty.mean(known)), rel=1e-12)
    assert beta.var() == pytest.approx(float(uncertainty.variance(known)), rel=1e-12)


@pytest.mark.parametrize("figures", SHAPES)
def test_draws_follow_the_beta_distribution(figures: str) -> None:
    """Against scipy's Beta; five standard errors of a share among so many draws, and a cell of the table."""
    known = span(figures)
    beta = stats.beta(*uncertainty.shape(known), float(known.low), float(known.high - known.low))
    drawn = uncertainty.draws(known, ONE, uncertainty.turns())
    assert isinstance(drawn, np.ndarray)
    assert drawn.shape == (uncertainty.DRAWS,)
    assert drawn.min() >= known.low
    assert drawn.max() <= known.high
    for share in (0.02, 0.1, 0.5, 0.8, 0.9, 0.98):
        error = 5 * math.sqrt(share * (1 - share) / uncertainty.DRAWS) + 1 / 2048
        assert abs((drawn <= beta.ppf(share)).mean() - share) < error


@pytest.mark.parametrize("figures", SHAPES)
def test_the_table_itself_has_the_classical_moments(figures: str) -> None:
    """Without the chance of the draws: exact to a millionth of the width."""
    known = span(figures)
    width = float(known.high - known.low)
    table = float(known.low) + width * uncertainty._table(uncertainty._middle(known))
    assert abs(table.mean() - float(uncertainty.mean(known))) < 1e-6 * width
    assert abs(table.var() - float(uncertainty.variance(known))) < 1e-6 * width**2


def test_a_part_is_drawn_once_and_counted_so_many_times() -> None:
    """Four of one part spread four times as far as one, not twice as far as four parts drawn apart would."""
    one = uncertainty.draws(span("290/340/420"), ONE, uncertainty.turns())
    four = uncertainty.draws(span("290/340/420"), Decimal(4), uncertainty.turns())
    assert np.allclose(four, 4 * one)


def test_a_fixed_figure_has_no_spread() -> None:
    assert uncertainty.draws(span("340"), Decimal(2), uncertainty.turns()) == 680.0
    assert uncertainty.variance(span("340")) == 0
    assert uncertainty.percentiles(680.0, (10, 50, 90)) is None
    with pytest.raises(InvalidOperation):
        uncertainty.shape(span("340"))


def test_draws_are_alike_in_every_run() -> None:
    first = uncertainty.draws(span("1/2/4"), ONE, uncertainty.turns())
    assert np.array_equal(first, uncertainty.draws(span("1/2/4"), ONE, uncertainty.turns()))


@pytest.mark.parametrize(
    ("low", "high", "width", "first"),
    [
        (1000, 3000, "100", "1000"),
        (1000, 3001, "200", "1000"),
        (1010, 1210, "10", "1010"),
        (1010, 1014, "0.20", "1010.00"),
        (990, 1190, "10", "990"),
        (1005, 2105, "100", "1000"),
        (0.41, 0.53, "0.010", "0.410"),
    ],
)
def test_steps_are_round_numbers_wide(low: float, high: float, width: str, first: str) -> None:
    """About twenty of 1, 2 or 5 times a power of ten, from the round number below, without idle decimals.

    41 times a hundredth is a hair more than 0.41, and that draw is counted all the same.
    """
    steps = uncertainty.steps(np.linspace(low, high, uncertainty.DRAWS))
    assert (str(steps[0][0]), str(steps[0][1] - steps[0][0])) == (first, width)
    assert steps[-1][0] <= high <= steps[-1][1]
    assert sum(share for _, _, share in steps) == 100


@pytest.mark.parametrize(("spread", "known"), [(0.004, False), (0.006, True)])
def test_sums_that_differ_by_less_than_half_a_cent_are_alike(spread: float, known: bool) -> None:
    sums = np.linspace(100.0, 100.0 + spread, uncertainty.DRAWS)
    assert (uncertainty.percentiles(sums, (50,)) is not None) is known


def test_deviation_of_drawn_sums_has_three_figures() -> None:
    assert str(uncertainty.deviation(np.array([1000.0, 1024.69]))) == "12.3"


@pytest.mark.parametrize(
    ("value", "printed"),
    [
        (3110.75, "3110"),
        (3115.0, "3120"),
        (0.0, "0.00"),
        (12.349, "12.3"),
        (999.9, "1000"),
        (1234567.0, "1230000"),
    ],
)
def test_percentiles_show_three_figures(value: float, printed: str) -> None:
    assert uncertainty.three_figures(value) == Decimal(printed)
    assert "E" not in str(uncertainty.three_figures(value))


def test_mean_of_a_span_keeps_its_unit() -> None:
    """Hours stay hours: no conversion hides in the mean."""
    assert uncertainty.mean(Span(Decimal(2), Decimal("2.5"), Decimal(4), "h")) == Decimal(16) / 6
