"""The contract of a passage: one part of a page, from the report to plain values for its template."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from markupsafe import Markup, escape

from reportgen import american, prose, units, wording
from reportgen.block import PhotoNote
from reportgen.edition import Edition
from reportgen.model import Prose
from reportgen.report import Report
from reportgen.wording import all_of, later, say, say_in, say_n

NOT_STATED = later("not stated")
_DATE = re.compile(r"\b\d{4}-\d\d-\d\d\b", re.ASCII)
_MONTH = "|".join(american.MONTHS)
_SIGNED = re.compile(  # `5 March 2026`, `March 5, 2026`, `2026-03-05`
    rf"(?P<who>.*[^\s,]),?\s+(?:(?P<day1>\d\d?) (?P<month>{_MONTH}),? (?P<year1>\d{{4}})"
    rf"|(?P<named>{_MONTH}) (?P<day2>\d\d?),? (?P<year2>\d{{4}})"
    r"|(?P<year>\d{4})-(?P<mm>\d\d)-(?P<day>\d\d))\.?$",
    re.ASCII,
)
SEVERITY_MEANS = {
    "stop": later("Something must not be done with the boat until this is put right."),
    "settle": later(
        "To be put right, or agreed in writing, before the boat changes hands, the loan is "
        "paid out or the cover begins."
    ),
    "schedule": later("To be put right by a stated time."),
    "watch": later("No work now; to be looked at again at a stated interval."),
    "sound": later("Inspected and found in order on that day."),
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


def between_two(report: Report) -> bool:
    """Say whether the report is about a deal, so that it matters who of the two pays."""
    price = report.cover.price
    asked = price is not None and any((price.asking, price.offered, price.agreed))
    return (
        asked
        or report.cover.survey not in ("insurance", "damage")
        or any(f.finding.pays for f in report.findings)
    )


def edition_named(report: Report, name: str) -> str:
    """Give an edition's name in words: the buyer's is the client's where nobody sells."""
    if name == "buyer" and not between_two(report):
        return say_in("edition", "client")
    return say_in("edition", name)


def not_stated() -> str:
    """Give the words that stand in the place of what the notes leave out."""
    return say(NOT_STATED)


def day(date: datetime.date | None) -> str:
    """Print a date as 5 March 2026."""
    return "" if date is None else wording.day(date)


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
    count = say_n("{n} day", "{n} days", abs(left))
    if not left:
        return f"{when(value)}, {say('today')}"
    passed = say("{days} left", days=count) if left > 0 else say("past by {days}", days=count)
    return f"{when(value)}, {passed}"


def days(dates: Iterable[datetime.date]) -> str:
    """Print several dates as `5 and 7 March 2026`, or each whole where the month changes."""
    return wording.days(dates)


def rich(text: str) -> Markup:
    """Give a line of the writer's Markdown as HTML."""
    return _spoken(prose.inline(text), "i")


def mixed(text: str) -> Markup:
    """Give a line in which words of the writer stand among ours as HTML; no one language is its own."""
    return Markup(prose.inline(text))  # noqa: S704 -- prose passes no HTML of the writer on


def titled(text: str) -> Markup:
    """Give a title of the writer's without its Markdown, escaped, for text and not for an attribute."""
    return _spoken(str(escape(prose.plain(text))), "i")


def _spoken(html: str, tag: str) -> Markup:
    """Mark the writer's words with their language where the page has another, for those who listen to it.

    tag: `i` is HTML's own for words of another language, and the style keeps it upright. A page says so some
    three hundred times: short, and without the marks that HTML can spare.
    """
    spoken = wording.foreign()
    marked = f"<{tag} lang={spoken}>{html}</{tag}>" if spoken and html else html
    return Markup(marked)  # noqa: S704 -- prose passes no HTML of the writer on


def sentence(text: str) -> Markup:
    """Give a line of the writer's Markdown as a sentence: a capital first, a stop last."""
    said = text.strip()
    if said and not said.endswith((".", "!", "?", ":", ";")):
        said += "."
    return rich(capital(said))


def capital(text: str) -> str:
    """Give a text with a capital first and the rest as it is: nouns of some languages keep theirs."""
    return text[:1].upper() + text[1:]


def text_block(value: Prose) -> Markup:
    """Give a piece of the writer's prose as HTML."""
    return _spoken(value.html, "div")


def steps(working: Iterable[Any]) -> list[dict[str, str]]:
    """Give the steps of a working as the template takes them; a step of money has no unit of its own."""
    told = ("step", "formula", "values", "result")
    return [
        {name: dated(_signs(str(getattr(s, name, "")))) for name in told}
        | {"unit": units.in_words(str(getattr(s, "unit", "")), getattr(s, "result", "") == "1")}
        for s in working
    ]


def _signs(working: str) -> str:
    """Put the signs of arithmetic into a working; elsewhere a writer's `10 - 12` may be a range."""
    return working.replace(" - ", " \N{MINUS SIGN} ").replace(" x ", " × ")


def dated(text: str) -> str:
    """Give a text with its dates written as the rest of the page writes them."""
    return _DATE.sub(_day, text)


def _day(date: re.Match[str]) -> str:
    try:
        return day(datetime.date.fromisoformat(date[0]))
    except ValueError:
        return date[0]


def signature(text: str) -> Markup:
    """Give a line of the writer's as HTML; a date that ends it is written as the rest of the page has it."""
    found = _SIGNED.match(text.strip())
    signed = _date_of(found) if found else None
    if found is None or signed is None:
        return rich(text)
    return rich(found["who"]) + f", {day(signed)}"


def _date_of(found: re.Match[str]) -> datetime.date | None:
    """Read the date of a signature; None for what is none, such as a thirtieth of February."""
    month = found["month"] or found["named"]
    number = american.MONTHS.index(month) + 1 if month else int(found["mm"])
    year, number_of_day = (found[f"{part}1"] or found[f"{part}2"] or found[part] for part in ("year", "day"))
    try:
        return datetime.date(int(year), number, int(number_of_day))
    except ValueError:
        return None


def amount(value: Decimal | None, currency: str) -> str:
    """Print a sum, or nothing where there is none."""
    return "" if value is None else units.money(value, currency)


def span(value: units.Span | None, currency: str = "") -> str:
    """Print a three-point estimate as `2 to 4 h, likely 2.5 h`, or a fixed figure."""
    if value is None:
        return ""
    printed = [_figure(v, value.unit, currency) for v in (value.low, value.likely, value.high)]
    return (
        printed[0]
        if value.fixed
        else say(
            "{printed} to {printed_2}, likely {printed_3}",
            printed=printed[0],
            printed_2=printed[2],
            printed_3=printed[1],
        )
    )


def _figure(value: Decimal, unit: str, currency: str) -> str:
    return f"{wording.number(f'{value.normalize():f}')} {unit}" if unit else units.money(value, currency)


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
    parts = say_n("one part", "{n} parts", len(note.blur))
    return f"{parts} ({all_of(hidden)})" if hidden else parts


def _marked(note: PhotoNote) -> str:
    """Say what was drawn onto a photo: each mark with its words."""
    return all_of([_mark(m.form, prose.plain(m.label)) for m in note.mark])


def _mark(form: str, label: str) -> str:
    if not label:
        return say("an arrow") if form == "arrow" else say("a ring")
    if form == "label":
        return say("the words \u201c{label}\u201d", label=label)
    arrow = form == "arrow"
    to = say("an arrow to \u201c{label}\u201d", label=label)
    return to if arrow else say("a ring, labelled \u201c{label}\u201d", label=label)


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
            told = say(
                "{title} of {on}, report {number}",
                title=prose.plain(old.title),
                on=day(old.last.on),
                number=old.last.number,
            )
            return {"anchor": "", "ref": "", "title": told}
    return {"anchor": "", "ref": "", "title": id}
