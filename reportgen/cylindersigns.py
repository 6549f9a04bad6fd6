"""Says what the pressures of cylinders suggest, low, high or changed by oil, never as a diagnosis."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from reportgen import cylinders
from reportgen.bounds import beside
from reportgen.cranking import Pressures
from reportgen.cylinders import Banks
from reportgen.judging import broken
from reportgen.kind import Judged
from reportgen.limits import Limit
from reportgen.wording import say


def _low(taken: Pressures, judged: Sequence[Judged], even: Limit) -> tuple[str, ...]:
    """Give the cylinders that are low by a limit that applies or by the general ratio of the highest."""
    under = broken(j for j in judged if j.limit.word != "maximum")
    return tuple(n for n, share in taken.shares.items() if n in under or not even.keeps(share))


def suggestions(
    taken: Pressures, judged: Sequence[Judged], banks: Banks, diesel: bool, even: Limit, telling: Limit
) -> Iterator[str]:
    """Say what the values suggest.

    even: the general ratio of lowest to highest [%]. telling: the rise with oil that is published as
    telling [%].
    Source: compression-75-chart (low), compression-wet-test (oil, too high), compression-neighbours.
    That oil can lock a diesel's piston: common practice, no source.
    """
    low, rises = _low(taken, judged, even), taken.rises
    for name, rise in rises.items():
        yield _wet(name, beside(rise, telling), telling.keeps(rise), name in low)
    dry_only = [name for name in low if name not in rises]
    if dry_only:
        yield _dry(dry_only, diesel)
    if diesel and (dry_only or rises):
        yield say("Put no oil into a diesel's cylinder for a test: it can lock the piston and bend the rod.")
    below = [name for name, share in taken.shares.items() if not even.keeps(share)]
    for pair in cylinders.side_by_side(banks, below):
        gained = [telling.keeps(rises[name]) for name in pair if name in rises]
        if not any(gained):
            yield _neighbours(pair, len(gained) == 2)
    high = broken(j for j in judged if j.limit.word == "maximum")
    if high:
        yield say(
            "{cylinders} above the maker's maximum: suggests carbon; to be confirmed by a leak-down test or "
            "by opening up.",
            cylinders=_called(high),
        )


def _called(names: Sequence[str]) -> str:
    """Give cylinders as the words that a sentence begins with."""
    words = cylinders.called(names)
    return f"{words[:1].upper()}{words[1:]}"


def _dry(names: Sequence[str], diesel: bool) -> str:
    """Say what low cylinders suggest that were not tried with oil."""
    if diesel:
        return say(
            "{cylinders} low: suggests a valve that does not seat, worn rings or the head gasket; a "
            "leak-down test helps to tell them apart; to be confirmed by a leak-down test or by opening up.",
            cylinders=_called(names),
        )
    return say(
        "{cylinders} low: suggests a valve that does not seat, worn rings or the head gasket; a test with "
        "oil helps to tell them apart; to be confirmed by a leak-down test or by opening up.",
        cylinders=_called(names),
    )


def _neighbours(pair: Sequence[str], tried: bool) -> str:
    """Say what two low cylinders side by side suggest. tried: whether oil was tried in both."""
    if tried:
        return say(
            "{cylinders} stand side by side, both low, and neither gained with oil: suggests the gasket "
            "between them; to be confirmed by a leak-down test or by opening up.",
            cylinders=_called(pair),
        )
    return say(
        "{cylinders} stand side by side, both low, and oil was not tried in both: suggests the gasket "
        "between them; to be confirmed by a leak-down test or by opening up.",
        cylinders=_called(pair),
    )


def _wet(name: str, rise: str, telling: bool, low: bool) -> str:
    """Say what a rise with oil [%] suggests; little rise says nothing of a cylinder that isn't low."""
    if telling:
        return say(
            "Cylinder {name} changes by {rise} % with oil, 10 % or more: suggests worn rings or bore; to be "
            "confirmed by a leak-down test or by opening up.",
            name=name,
            rise=rise,
        )
    if low:
        return say(
            "Cylinder {name} changes by {rise} % with oil, less than 10 %: suggests a valve or the head "
            "gasket rather than the rings; to be confirmed by a leak-down test or by opening up.",
            name=name,
            rise=rise,
        )
    return say(
        "Cylinder {name} changes by {rise} % with oil, less than 10 %; it is not low when dry, so that "
        "suggests nothing.",
        name=name,
        rise=rise,
    )
