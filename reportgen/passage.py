"""The contract of a passage: one part of a page, from the report to plain values for its template."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from markupsafe import Markup

from reportgen import prose, units
from reportgen.block import PhotoNote
from reportgen.edition import Edition
from reportgen.errors import listed
from reportgen.model import Prose
from reportgen.report import Report

MONTHS = (
    "January", "February", "March", "April", "May", "June", "July",
    "August", "September", "October", "November", "December",
)  # fmt: skip
NOT_STATED = "not stated"
SEVERITY_MEANS = {
    "stop": "Something must not be done with the boat until this is put right.",
    "settle": "To be put right, or agreed in writing, before the boat changes hands, the loan is paid out "
    "or the cover begins.",
    "schedule": "To be put right by a stated time.",
    "watch": "No work now; to be looked at again at a stated interval.",
    "sound": "Inspected and found in order on that day.",
}


@dataclass(frozen=True)
class Passage:
    """One part of a page.

    name: as its file and its template. title: heading on the page, empty where it has none of its own.
    build: report as the edition shows it -> values for the template, or None when there is nothing to say.
    in_contents: whether the page's contents list it. floor: whether no edition may leave it out.
    page: the appendix that it stands on, as a file without its ending; empty for the report's own page.
    """

    name: str
    title: str
    build: Callable[[Report, Edition], Mapping[str, Any] | None]
    in_contents: bool = True
    floor: bool = False
    page: str = ""


def day(date: datetime.date | None) -> str:
    """Print a date as 5 March 2026."""
    return "" if date is None else f"{date.day} {MONTHS[date.month - 1]} {date.year}"


def when(value: datetime.date | str | None) -> str:
    """Print a date, or the words that stand in its place."""
    if isinstance(value, datetime.date):
        return day(value)
    said = prose.plain(value or "")
    return said[:1].upper() + said[1:]


def deadline(value: datetime.date | str | None, left: int | None) -> str:
    """Print by when something is asked for, and how many days are left or have passed."""
    if left is None:
        return when(value)
    count = "1 day" if abs(left) == 1 else f"{abs(left)} days"
    return f"{when(value)}, {'today' if not left else f'{count} left' if left > 0 else f'past by {count}'}"


def days(dates: Iterable[datetime.date]) -> str:
    """Print several dates as `5 and 7 March 2026`, or each whole where the month changes."""
    given = sorted(set(dates))
    if len({(d.year, d.month) for d in given}) == 1:
        last = given[-1]
        return f"{listed([str(d.day) for d in given], 'and')} {MONTHS[last.month - 1]} {last.year}"
    return listed([day(d) for d in given], "and")


def rich(text: str) -> Markup:
    """Give a line of the writer's Markdown as HTML."""
    return Markup(prose.inline(text))  # noqa: S704 -- prose passes no HTML of the writer on


def sentence(text: str) -> Markup:
    """Give a line of the writer's Markdown as a sentence: a capital first, a stop last."""
    said = text.strip()
    if said and not said.endswith((".", "!", "?", ":", ";")):
        said += "."
    return rich(said[:1].upper() + said[1:])


def text_block(value: Prose) -> Markup:
    """Give a piece of the writer's prose as HTML."""
    return Markup(value.html)  # noqa: S704 -- made by prose


def steps(working: Iterable[Any]) -> list[dict[str, str]]:
    """Give the steps of a working as the template takes them; a step of money has no unit of its own."""
    return [
        {name: str(getattr(s, name, "")) for name in ("step", "formula", "values", "result", "unit")}
        for s in working
    ]


def amount(value: Decimal | None, currency: str) -> str:
    """Print a sum, or nothing where there is none."""
    return "" if value is None else units.money(value, currency)


def span(value: units.Span | None, currency: str = "") -> str:
    """Print a three-point estimate as `2 to 4 h, likely 2.5 h`, or a fixed figure."""
    if value is None:
        return ""
    printed = [_figure(v, value.unit, currency) for v in (value.low, value.likely, value.high)]
    return printed[0] if value.fixed else f"{printed[0]} to {printed[2]}, likely {printed[1]}"


def _figure(value: Decimal, unit: str, currency: str) -> str:
    return f"{value.normalize():f} {unit}" if unit else units.money(value, currency)


def pictures(notes: Iterable[PhotoNote]) -> list[dict[str, Any]]:
    """Give photos as the template takes them: published name, caption, day taken, what was done to it."""
    return [
        {
            "name": n.name,
            "caption": sentence(n.shows),
            "alt": prose.plain(n.shows),
            "taken": day(n.taken),
            "blurred": _blurred(n),
            "marked": _marked(n),
        }
        for n in notes
    ]


def _blurred(note: PhotoNote) -> str:
    """Say how much of a photo is blurred and what it hides, as far as the writer says it."""
    if not note.blur:
        return ""
    hidden = list(dict.fromkeys(prose.plain(b.hides) for b in note.blur if b.hides))
    parts = "one part" if len(note.blur) == 1 else f"{len(note.blur)} parts"
    return f"{parts} ({listed(hidden, 'and')})" if hidden else parts


def _marked(note: PhotoNote) -> str:
    """Say what was drawn onto a photo: each mark with its words."""
    bare = {"arrow": "an arrow", "ring": "a ring"}
    worded = {"arrow": "an arrow to", "ring": "a ring round", "label": "the words"}
    said = [
        f"{worded[m.form]} \u201c{prose.plain(m.label)}\u201d" if m.label else bare[m.form] for m in note.mark
    ]
    return listed(said, "and")


def reference(report: Report, id: str) -> dict[str, str]:
    """Give the link to a finding or reading: its anchor, number and title; no anchor to what is left out."""
    for entry in report.findings:
        if entry.finding.id == id:
            return {"anchor": id, "ref": str(entry.ref), "title": prose.plain(entry.finding.title)}
    for judged in report.readings:
        if judged.reading.id == id:
            return {"anchor": id, "ref": "", "title": prose.plain(judged.reading.title)}
    for old in report.follow_up.readings if report.follow_up else ():
        if old.id == id:
            told = f"{prose.plain(old.title)} of {day(old.last.on)}, report {old.last.number}"
            return {"anchor": "", "ref": "", "title": told}
    return {"anchor": "", "ref": "", "title": id}
