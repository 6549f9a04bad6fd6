"""Says what each edition holds, as tables made from what the editions declare."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from reportgen import racks
from reportgen.blocks.finding import SEVERITIES
from reportgen.edition import CATEGORIES, FLOOR, Edition
from reportgen.passage import Passage

SHOWN, MASKED, ON_REQUEST, ABSENT = "yes", "masked", "may be added", "no"
# from whoever gets everything to whoever gets least
ORDER = ("buyer", "lender", "insurer", "yard", "seller")


def editions() -> tuple[Edition, ...]:
    """Give our editions, the widest first; one that is new stands last."""
    rack: Mapping[str, Edition] = racks.all_of("editions", "EDITION")
    names = [name for name in ORDER if name in rack]
    return tuple(rack[name] for name in (*names, *(n for n in rack if n not in names)))


def holds(edition: Edition, category: str) -> str:
    """Say whether an edition shows what stands under a category."""
    if category in FLOOR | edition.shows:
        return SHOWN
    if category in edition.masked:
        return MASKED
    return ON_REQUEST if category in edition.may_add else ABSENT


def table() -> str:
    """Give the table of what each edition holds, as Markdown: a row a category, then what is left out."""
    made = editions()
    rows = [[f"`{c}`: {words}", *(holds(e, c) for e in made)] for c, words in CATEGORIES.items()]
    left = [[s for s in SEVERITIES if s in e.leaves_out] for e in made]
    rows.append(["findings only counted, not listed", *(", ".join(each) or "none" for each in left)])
    rows.append(["photos", *("those with `public: yes`" if e.public else "all" for e in made)])
    return _markdown(["what", *(f"`{e.name}`" for e in made)], rows)


def parts() -> str:
    """Give the table of which part of the page stands where in each edition, as Markdown."""
    made, rack = editions(), racks.all_of("passages", "PASSAGE")
    places = sorted((n, name) for e in made for n, name in enumerate(e.passages))
    names = dict.fromkeys(name for _, name in places)
    rows = [[f"`{n.replace('_', ' ')}`{_always(rack[n])}", *(_at(e, n) for e in made)] for n in names]
    return _markdown(["part", *(f"`{e.name}`" for e in made)], rows)


def _always(passage: Passage) -> str:
    return " (in every edition)" if passage.floor else ""


def _at(edition: Edition, name: str) -> str:
    return str(edition.passages.index(name) + 1) if name in edition.passages else ABSENT


def _markdown(head: Iterable[str], rows: Iterable[Iterable[str]]) -> str:
    lines = [list(head)]
    lines.append(["---"] * len(lines[0]))
    return "\n".join(f"| {' | '.join(row)} |" for row in (*lines, *rows))
