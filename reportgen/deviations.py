"""How far findings and the total may lie from their mean: variances added, shared strip-downs once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from reportgen import bill, jobs, uncertainty
from reportgen.bill import Terms
from reportgen.jobs import Figure
from reportgen.visits import PICKS, Visit


@dataclass(frozen=True)
class Deviations:
    """Standard deviations [currency], unrounded.

    by_finding: of each finding's own share. together: of the total, a strip-down moving all that share it.
    apart: as it would be if the findings had nothing in common.
    """

    by_finding: Mapping[str, Decimal]
    together: Decimal
    apart: Decimal


def of(visits: Sequence[Visit], terms: Terms) -> Deviations:
    """Give the deviations by adding variances of independent figures.

    What a figure adds to the total is taken at the likely figures: where the cap on supplies is reached
    there, more hours add no supplies. Source: variance of a sum of independent figures times constants;
    of one figure as in uncertainty.variance.
    """
    own: dict[str, Decimal] = {}
    together = Decimal(0)
    for visit in visits:
        capped = _capped(visit.figures, terms)
        for figure in visit.figures:
            variance = uncertainty.variance(figure.span) * _slope(figure, terms, capped) ** 2
            together += variance
            for id, share in jobs.of_findings(figure.by).items():
                own[id] = own.get(id, Decimal(0)) + variance * share**2
    found = {id: variance.sqrt() for id, variance in own.items()}
    return Deviations(found, together.sqrt(), sum(own.values(), Decimal(0)).sqrt())


def _capped(figures: Sequence[Figure], terms: Terms) -> bool:
    """Say whether the likely hours reach the cap on supplies."""
    labour = sum(
        (
            bill.amount(f, PICKS["likely"]) * (1 + f.overtime * f.surcharge)
            for f in figures
            if f.group == "labour"
        ),
        Decimal(0),
    )
    return bool(labour * terms.supplies >= terms.cap)


def _slope(figure: Figure, terms: Terms, capped: bool) -> Decimal:
    """Give what one unit more of a figure, an hour or a unit of money, adds to the total [currency]."""
    reserve = figure.reserve * (1 + terms.reserve_tax)
    if figure.group == "labour":
        supplies = Decimal(0) if capped else terms.supplies * (1 + terms.parts_tax)
        on_top = 1 + supplies + terms.labour_tax + reserve
        return Decimal(figure.times * (1 + figure.overtime * figure.surcharge) * on_top)
    if figure.group == "parts":
        return Decimal(figure.times * (1 + terms.parts_tax + reserve))
    floored = figure.span.likely * figure.times < figure.least
    return Decimal(0) if floored else figure.times * (1 + figure.tax / 100)
