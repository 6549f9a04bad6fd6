"""How far a three-point estimate may lie from its likely figure: mean, variance, draws, percentiles."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from decimal import Decimal
from functools import cache, lru_cache
from typing import TYPE_CHECKING

from reportgen.units import Span

if TYPE_CHECKING:
    from numpy import float64, uint16
    from numpy.typing import NDArray

    Sums = NDArray[float64]
    Cells = NDArray[uint16]

DRAWS = 20_000
_SEED = 1
# The distribution stands in a table of so many equally probable values: one look-up a draw is ten times
# as fast as drawing from Beta itself, and the step is far below the chance error of the draws.
_CELLS = 2048
_NODES = 1024
# a total is shown spread over about so many steps
_STEPS = 20


def mean(span: Span) -> Decimal:
    """Give (low + 4 likely + high) / 6 [unit of the span].

    Source: the classical three-point (PERT) estimate; rows PERT and PERTB of the tests.
    """
    return (span.low + 4 * span.likely + span.high) / 6


def variance(span: Span) -> Decimal:
    """Give ((high - low) / 6)^2 [unit of the span, squared]; 0 for a fixed figure. Source: as the mean's."""
    return ((span.high - span.low) / 6) ** 2


def shape(span: Span) -> tuple[float, float]:
    """Give alpha and beta [-] of the Beta distribution on [low, high] with exactly that mean and variance.

    With m = (mean - low) / (high - low): k = 36 m (1 - m) - 1, alpha = m k, beta = (1 - m) k.
    Both lie above 0.6 for any likely figure. decimal.InvalidOperation for a fixed figure.
    """
    return _shape(_middle(span))


def _shape(m: float) -> tuple[float, float]:
    k = 36 * m * (1 - m) - 1
    return m * k, (1 - m) * k


def _middle(span: Span) -> float:
    return float((mean(span) - span.low) / (span.high - span.low))


def turns() -> Iterator[int]:
    """Give the turns in which the figures of one estimate are drawn: 0, 1, 2 and so on."""
    return itertools.count()


def draws(span: Span, times: Decimal, turn: Iterator[int]) -> Sums | float:
    """Give DRAWS figures between low and high, each times a rate or a count, shape (DRAWS,).

    One number for a fixed figure, which takes no turn.
    times: [currency/h], [-] or 1; gives [unit of the span x that of times].
    """
    if span.fixed:
        return float(span.likely * times)
    amounts = float(span.low * times) + float((span.high - span.low) * times) * _table(_middle(span))
    drawn: Sums = amounts.take(_cells(next(turn)))
    return drawn


@lru_cache(128)  # of 40 kB each: chance is alike in every estimate, so it is asked once for many surveys
def _cells(turn: int) -> Cells:
    """Give the cell of the table that each draw of a turn falls into, shape (DRAWS,)."""
    import numpy as np

    source = np.random.PCG64(_SEED)
    source.advance(turn * DRAWS // 4)  # each of its steps gives eight bytes, so four draws
    # two bytes a draw, alike on every machine; a power of two of cells leaves them equally probable
    drawn = np.frombuffer(np.random.Generator(source).bytes(2 * DRAWS), dtype="<u2")
    cells: Cells = drawn & np.uint16(_CELLS - 1)
    return cells


@cache
def _grid() -> tuple[Sums, Sums, Sums]:
    """Give the steps t from 0 to pi/2 that the distribution is summed over, with sin t and cos t between."""
    import numpy as np

    edges = np.linspace(0.0, np.pi / 2, _NODES + 1)
    middles = (edges[1:] + edges[:-1]) / 2
    return edges, np.sin(middles), np.cos(middles)


@lru_cache(256)  # of 16 kB each: estimates keep to a few shapes
def _table(m: float) -> Sums:
    """Give the Beta distribution's equally probable values in order, shape (_CELLS,), 0 to 1 [-].

    m: its mean, as a share of the way from low to high [-].
    """
    import numpy as np

    alpha, beta = _shape(m)
    # with x = sin² t the density stays finite at both ends, also where alpha or beta is below 1
    edges, sines, cosines = _grid()
    below = np.cumsum(sines ** (2 * alpha - 1) * cosines ** (2 * beta - 1))
    below = np.concatenate(([0.0], below / below[-1]))
    x = np.sin(np.interp((np.arange(_CELLS) + 0.5) / _CELLS, below, edges)) ** 2
    # take out what the steps cost, so that mean and variance are the classical ones
    table: Sums = np.clip(m + (x - x.mean()) / (6 * x.std()), 0.0, 1.0)
    return table


def percentiles(sums: Sums | float, which: tuple[int, ...]) -> tuple[Decimal, ...] | None:
    """Give percentiles of drawn sums to three figures, None if the sums are all alike to half a cent.

    sums: shape (DRAWS,) [currency]. which: below 100, such as (10, 50, 90) [%].
    """
    import numpy as np

    if np.ptp(sums) < 0.005:
        return None
    # between two draws by straight line, as numpy.percentile does at twice the time
    places = [divmod((DRAWS - 1) * share, 100) for share in which]
    ordered = np.partition(sums, [n for place, _ in places for n in (place, place + 1)])
    return tuple(
        three_figures(float(ordered[n] + (ordered[n + 1] - ordered[n]) * part / 100)) for n, part in places
    )


def deviation(sums: Sums) -> Decimal:
    """Give the standard deviation of drawn sums to three figures [currency]; sums: shape (DRAWS,)."""
    return three_figures(float(sums.std()))


def steps(sums: Sums) -> tuple[tuple[Decimal, Decimal, Decimal], ...]:
    """Give how drawn sums are spread: from, to [currency] and the share of the draws in it [%], in order.

    sums: shape (DRAWS,). Each step is a round number wide; together they hold every draw.
    """
    import numpy as np

    low, high = float(sums.min()), float(sums.max())
    size = _step((high - low) / _STEPS)
    first, last = int(np.floor(low / size)), int(np.floor(high / size)) + 1
    below = [0, *(int(np.count_nonzero(sums < n * size)) for n in range(first + 1, last)), DRAWS]
    places = max(0, 1 - int(np.floor(np.log10(size))))
    amounts = [Decimal(f"{n * size:.{places}f}") for n in range(first, last + 1)]
    shares = [Decimal(more - less) * 100 / DRAWS for less, more in itertools.pairwise(below)]
    return tuple(zip(amounts, amounts[1:], shares, strict=False))


def _step(least: float) -> float:
    """Give the next 1, 2 or 5 times a power of ten that is not below."""
    power = 10.0 ** math.floor(math.log10(least))
    return next(factor * power for factor in (1.0, 2.0, 5.0, 10.0) if factor * power >= least * (1 - 1e-9))


def three_figures(value: float) -> Decimal:
    """Give a computed sum to three significant figures: more would pretend to know more than was drawn."""
    return Decimal(f"{Decimal(f'{value:.2e}'):f}")
