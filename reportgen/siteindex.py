"""Lists a folder of many reports on pages sorted by boat, maker, date, severity and number.

A few reports stand on one page. More get a page for each order; very many get several pages for each, with
the first and last report of every page on all of them, so that any report is a few taps away without script.
"""

from __future__ import annotations

import math
import re
import tempfile
import unicodedata
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, BinaryIO

from markupsafe import Markup

from reportgen import theme
from reportgen.blocks.finding import SEVERITIES
from reportgen.edition import Edition
from reportgen.pages import Entry, Page
from reportgen.passage import not_stated
from reportgen.theme import Theme
from reportgen.wording import later, later_in, number, say, say_in

FEW = 20  # so many reports stand on one page without orders [reports]
MOST_ROWS = 200  # the promise is at most 500; fewer keep a page light on a telephone [reports]
MOST_SIZE = 75_000  # of the rows of one page [characters]
MOST_LINKS = 120  # of a list of pages, or of letters [links]
HEADINGS = {
    "stop": later("Stop: something must not be done"),
    "settle": later("To settle before the boat changes hands"),
    "schedule": later("To schedule"),
    "watch": later("To watch"),
    "sound": later("All found sound"),
    "": later("No findings"),
}
WORST = {
    "stop": later("Worst: stop."),
    "settle": later("Worst: to settle."),
    "schedule": later("Worst: to schedule."),
    "watch": later("Worst: to watch."),
    "sound": later("Nothing worse than sound."),
    "": "",
}

Key = tuple[Any, ...]


@dataclass(frozen=True)
class Order:
    """One way to sort. name: as in "by boat"; key: what sorts; group: the heading over like reports.

    What sorts alike stands by boat.
    jump: what the list of letters, years or severities says. told: how a report is called in a page's range.
    """

    name: str
    key: Callable[[Entry], Key]
    group: Callable[[Entry], str]
    jump: Callable[[Entry], str]
    told: Callable[[Entry], str]


@dataclass(frozen=True, slots=True)
class Row:
    """One report ready to be listed: its entry, and its card's place and size in a file.

    start, end: in the file [bytes]. size: of the card [characters].
    """

    entry: Entry
    start: int
    end: int
    size: int


@dataclass(frozen=True)
class Sheet:
    """The reports of one page of an order. file: its name. said: its range, as Avocet to Heron."""

    file: str
    rows: tuple[Row, ...]
    said: str


def folded(text: str) -> str:
    """Give the form by which words are sorted: accents and case don't count."""
    bare = unicodedata.normalize("NFKD", text.casefold())
    return "".join(sign for sign in bare if not unicodedata.combining(sign)).strip()


def natural(text: str) -> str:
    """Give what sorts 9 before 10, wherever numbers stand in a text, and a number before any word."""
    return re.sub(r"\d+", _counted, folded(text))


def _counted(digits: re.Match[str]) -> str:
    plain = str(int(digits[0]))
    return f"\0{len(plain):06}{plain}"


def _letter(text: str) -> str:
    first = folded(text)[:1]
    return first.upper() if first.isalpha() else "0\u20139"


def _newest(entry: Entry) -> int:
    return -entry.day.toordinal() if entry.day else 0


def _name(entry: Entry) -> Key:
    return folded(entry.boat), natural(entry.number), entry.version, entry.folder


def _year(entry: Entry) -> str:
    return str(entry.day.year) if entry.day else not_stated()


def _grave(entry: Entry) -> int:
    return SEVERITIES.index(entry.worst) if entry.worst else len(SEVERITIES)


def _maker(entry: Entry) -> str:
    return entry.maker or say("Maker not stated")


def _severity(entry: Entry) -> str:
    return say_in("severity", entry.worst) if entry.worst else say_in("severity", "none")


ORDERS = (
    Order(
        later_in("order of a list", "boat"),
        _name,
        lambda e: _letter(e.boat),
        lambda e: _letter(e.boat),
        lambda e: e.boat,
    ),
    Order(
        later_in("order of a list", "maker"),
        lambda e: (not e.maker, folded(e.maker), natural(e.model)),
        _maker,
        lambda e: _letter(e.maker) if e.maker else not_stated(),
        _maker,
    ),
    Order(
        later_in("order of a list", "date"),
        lambda e: (_newest(e),),
        _year,
        _year,
        lambda e: e.inspected or not_stated(),
    ),
    Order(
        later_in("order of a list", "severity"),
        lambda e: (_grave(e), _newest(e)),
        lambda e: say(HEADINGS[e.worst]),
        _severity,
        lambda e: f"{_severity(e)}, {e.inspected or not_stated()}",
    ),
    Order(
        later_in("order of a list", "number"),
        lambda e: (natural(e.number), e.version, e.folder),
        lambda e: _letter(e.number),
        lambda e: _letter(e.number),
        lambda e: e.number,
    ),
)


def made(
    entries: Sequence[Entry],
    edition: Edition,
    look: Theme,
    plain: Sequence[tuple[str, str]] = (),
    feed: str = "",
) -> Iterator[tuple[str, bytes]]:
    """Give the pages that list the reports of a site, one by one with their names; index.html is by boat.

    plain: (file, title) of what stands beside the reports, such as a guide. feed: file of the feed, or "".
    Raises ThemeError.
    """
    # one report that nobody has released keeps the list of all of them out of search engines
    public = edition.public and all(entry.released for entry in entries)
    few = len(entries) <= FEW
    drafts = edition.public
    common = {
        "count": len(entries),
        "counted": number(f"{len(entries):,}"),
        "edition": say_in("edition", edition.name),
        "plain": tuple(plain),
        "feed": feed,
    }
    orders = ORDERS[:1] if few else ORDERS
    firsts = () if few else tuple((order.name, _file(order, 1)) for order in ORDERS)
    # the cards of ten thousand reports and their pages are too many to be held at once
    with tempfile.TemporaryFile() as cards:
        rows = [
            _kept(e, theme.part("entry.html", _card(e, drafts, 2 if few else 3), look), cards)
            for e in sorted(entries, key=_name)
        ]
        for order in orders:
            for values in _pages(order, rows, few, cards):
                heading = say("Inspection reports")
                title = f"{heading}{values['range'] and ': ' + values['range']}"
                given = {**values, **common, "orders": firsts, "order": order.name}
                page = Page("index.html", title, public, (), given, file=values["file"], sheet="site.css")
                yield page.file, theme.render(page, look)


def _kept(entry: Entry, card: Markup, cards: BinaryIO) -> Row:
    """Write a card to the file of cards, and give where it is found again."""
    start = cards.tell()
    return Row(entry, start, start + cards.write(card.encode("utf-8")), len(card))


def _read(row: Row, cards: BinaryIO) -> Markup:
    cards.seek(row.start)
    return Markup(cards.read(row.end - row.start).decode("utf-8"))  # noqa: S704 -- as theme.part made it


def _card(entry: Entry, drafts: bool, level: int) -> dict[str, Any]:
    """Give what a report's card says; a draft is named as one where others are public."""
    boat = ", ".join(filter(None, (entry.maker, entry.model)))
    about = [boat + (f", {entry.built}" if boat and entry.built else ""), say_in("boat", entry.type)]
    return {
        "e": entry,
        "about": ". ".join(f"{said[:1].upper()}{said[1:]}" for said in about if said and said != entry.boat),
        "worst": say(WORST[entry.worst]),
        "draft": drafts and not entry.released,
        "level": level,
    }


def _pages(order: Order, rows: Sequence[Row], few: bool, cards: BinaryIO) -> Iterator[dict[str, Any]]:
    """Give the values of each page of an order; the rows are in the order of the boats' names."""
    ordered = sorted(rows, key=lambda row: order.key(row.entry))
    sheets = _sheets(order, ordered)
    jumps = () if few else _jumps(order, sheets)
    listed = _spread([(sheet.file, sheet.said) for sheet in sheets])
    by = say("by {order}", order=say_in("order of a list", order.name))
    for at, sheet in enumerate(sheets):
        before, after = at and sheets[at - 1], at + 1 < len(sheets) and sheets[at + 1]
        yield {
            "file": sheet.file,
            "number": at + 1,
            "of": len(sheets),
            "range": "" if few else by + (f", {sheet.said}" if len(sheets) > 1 else ""),
            "groups": [
                (anchor, heading, [_read(row, cards) for row in group])
                for anchor, heading, group in ([("", "", sheet.rows)] if few else _groups(order, sheets, at))
            ],
            "jumps": jumps,
            "listed": listed if len(sheets) > 1 else (),
            "before": before and (before.file, before.said),
            "after": after and (after.file, after.said),
        }


def _sheets(order: Order, ordered: Sequence[Row]) -> tuple[Sheet, ...]:
    """Share the reports of an order among pages, each light and of at most so many reports."""
    shares: list[list[Row]] = [[]]
    size = 0
    for row in ordered:
        if shares[-1] and (len(shares[-1]) >= MOST_ROWS or size + row.size > MOST_SIZE):
            shares.append([])
            size = 0
        shares[-1].append(row)
        size += row.size
    return tuple(
        Sheet(_file(order, at), tuple(share), _range(order, share)) for at, share in enumerate(shares, 1)
    )


def _file(order: Order, number: int) -> str:
    if order.name == "boat" and number == 1:
        return "index.html"
    return f"by-{order.name}.html" if number == 1 else f"by-{order.name}-{number}.html"


def _range(order: Order, share: Sequence[Row]) -> str:
    if not share:
        return ""
    ends = dict.fromkeys(_short(order.told(row.entry)) for row in (share[0], share[-1]))
    first, *more = ends
    return say("{first} to {last}", first=first, last=more[0]) if more else first


def _short(text: str) -> str:
    """Give a name short enough to stand in a list of many."""
    return text if len(text) <= 40 else f"{text[:39].rstrip()}\u2026"


def _groups(order: Order, sheets: Sequence[Sheet], at: int) -> list[tuple[str, str, list[Row]]]:
    """Give (anchor, heading, rows) of each group on a page; one that began before says so."""
    groups: list[tuple[str, str, list[Row]]] = []
    known = order.group(sheets[at - 1].rows[-1].entry) if at else None
    last = None
    for row in sheets[at].rows:
        name = order.group(row.entry)
        if name != last:
            heading = say("{group}, continued", group=name) if name == known else name
            groups.append((f"g{len(groups) + 1}", heading, []))
            last = name
        groups[-1][2].append(row)
    return groups


def _jumps(order: Order, sheets: Sequence[Sheet]) -> tuple[tuple[str, str], ...]:
    """Give (link, words) of the first report of each letter, year or severity; none for a single one."""
    found: dict[str, str] = {}
    for sheet in sheets:
        group, last = 0, None
        for row in sheet.rows:
            name = order.group(row.entry)
            group += name != last
            last = name
            found.setdefault(order.jump(row.entry), f"{sheet.file}#g{group}")
    if not 1 < len(found) <= MOST_LINKS:
        return ()
    return tuple((link, words) for words, link in found.items())


def _spread(links: Sequence[tuple[str, str]]) -> tuple[tuple[str, str], ...]:
    """Give so many links, evenly taken, that the list stays readable."""
    return tuple(links[:: math.ceil(len(links) / MOST_LINKS) or 1])
