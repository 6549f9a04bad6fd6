"""What is wrong with the quotes in the notes: unknown findings, run out, two for one, two visits."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from decimal import Decimal

from reportgen import jobs
from reportgen.blocks.quotes import YardQuote
from reportgen.errors import Problems, listed, nearest
from reportgen.model import Cover, Finding

# as of any single amount: beyond this only a slip of the pen can have made it
_LARGEST = Decimal(10) ** 12


def problems(
    cover: Cover, findings: Sequence[Finding], problems: Problems, counted_on: datetime.date
) -> None:
    """Note everything that is wrong with the quotes that cover findings.

    counted_on: the day that they are held against.
    """
    by_id = {finding.id: finding for finding in findings}
    standing: dict[str, YardQuote] = {}
    for quote in cover.quotes:
        _known(quote, by_id, problems)
        _dated(quote, counted_on, problems)
        if quote.amount is not None and quote.amount > _LARGEST:
            found = f"the quote comes to {quote.amount:,.0f}"
            problems.error(quote.place.at("amount"), found, "look for a digit too many")
        if quote.use == "instead" and not jobs.run_out(quote.valid_until, counted_on):
            _once(quote, by_id, standing, problems)


def _known(quote: YardQuote, by_id: dict[str, Finding], problems: Problems) -> None:
    place = quote.place.at("covers")
    for id in quote.covers:
        finding = by_id.get(id)
        if finding is None:
            near = nearest(id, by_id)
            write = f"write {near}" if near else f"known here: {listed(sorted(by_id), 'and')}"
            problems.error(place, f"no finding has the id {id!r}", write)
        elif finding.checked:
            problems.warn(
                place, f"{id!r} is checked and costs no more", "take it out, or ask for a new quote"
            )


def _dated(quote: YardQuote, counted_on: datetime.date, problems: Problems) -> None:
    place, last = quote.place.at("valid until"), quote.valid_until
    if quote.on and last and last < quote.on:
        found = f"the quote of {quote.on} ended before it was given"
        problems.error(place, found, f"write a day from {quote.on} on")
    elif jobs.run_out(last, counted_on):
        found = f"the quote ended on {last}, before {counted_on}, and is not used"
        problems.warn(place, found, "ask for a new one; the estimate counts, if there is one")


def _once(
    quote: YardQuote, by_id: dict[str, Finding], standing: dict[str, YardQuote], problems: Problems
) -> None:
    """A finding is put right by one quote, and all that a quote covers in one visit."""
    place = quote.place.at("covers")
    for id in quote.covers:
        if standing.setdefault(id, quote) is not quote:
            problems.error(place, f"two quotes for {id!r}", "write use: beside on the one that is not taken")
    visits = {by_id[id].settle_by == "repair" for id in quote.covers if id in by_id}
    if len(visits) > 1:
        found = "one quote for findings settled by repair before closing and others"
        problems.error(place, found, "ask for two quotes, or give them the same settle by")
