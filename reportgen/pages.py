"""Puts the passages of an edition in order on a page, with their charts drawn."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from markupsafe import Markup

from reportgen import racks
from reportgen.blocks.finding import SEVERITIES
from reportgen.blocks.vessel import BoatFacts
from reportgen.chart import Chart
from reportgen.edition import Edition
from reportgen.passage import Passage, dated, day, days, edition_named
from reportgen.photos import PublishedPhoto
from reportgen.report import Report
from reportgen.wording import language, later_in, say, say_in

WORDS = "words.html"
SHEET = "appendix.css"  # added to the style of the pages beside a report
# what charts/ write of their own accord, by the name that they ask for
_CHART_WORDS = {
    "not taken": later_in("chart", "not taken"),
    "outside": later_in("chart", "outside"),
    "minimum": later_in("chart", "minimum"),
    "maximum": later_in("chart", "maximum"),
    "not priced": later_in("chart", "not priced"),
    "own scale": later_in("chart", "each row has a scale of its own, from zero"),
    "by source": later_in("chart", "{source}:"),
    "range": later_in("chart", "lowest to highest"),
    "not from zero": later_in("chart", "the scale does not begin at zero"),
}
# words that narrow what stands before them; "without" isn't among them, it may be a limit of its own
_NARROWS = re.compile(
    r"(with|under|at|in|on|by|from|near|over|above|before|after|during|while|along|against|through"
    r"|avec|sous|par|près|pendant|sur|dans|mit|bei|während|auf|im|con|bajo|por|en|cerca|durante"
    r"|met|onder|tijdens|bij|op)\b"
)
_PLAIN = frozenset({str, Markup, bool, int, type(None)})  # what most values of a passage are
Draw = Callable[[Chart, str], str]
Parts = Mapping[str, Sequence[Mapping[str, Any]]]


@dataclass(frozen=True)
class Page:
    """One page ready for a theme.

    template: file of the theme. title: of the browser's tab. public: whether it may be indexed.
    contents: (anchor, title) of each listed passage. appendices: (file, title) of the pages beside it.
    values: what the template gets, plain. file: its name in the packet. sheet: style sheet added, or "".
    words: the page that says what words of the trade mean, empty if this page leads to none.
    foot: what stands at the foot of each printed sheet, beside its number.
    """

    template: str
    title: str
    public: bool
    contents: tuple[tuple[str, str], ...]
    values: Mapping[str, Any]
    appendices: tuple[tuple[str, str], ...] = ()
    file: str = "index.html"
    sheet: str = ""
    words: str = ""
    foot: str = ""


@dataclass(frozen=True, slots=True)
class Entry:
    """One survey in a site's index; every value as the edition shows it.

    folder: where its report stands. released: whether somebody has released it to the public.
    worst: the gravest severity of what is not put right and checked, "" without findings.
    day: the last of the inspection. told: the day of the report, else that day.
    language: of the words that are ours.
    """

    folder: str
    boat: str
    type: str
    number: str
    inspected: str
    counted: str
    headline: str
    limits: tuple[str, ...]
    released: bool = False
    maker: str = ""
    model: str = ""
    built: int | None = None
    version: int = 1
    status: str = ""
    worst: str = ""
    day: datetime.date | None = None
    told: datetime.date | None = None
    surveyor: str = ""
    language: str = "en"


def in_order(edition: Edition) -> tuple[Passage, ...]:
    """Give the passages of an edition in its order; those no edition may leave out are put in if missing."""
    rack: Mapping[str, Passage] = racks.all_of("passages", "PASSAGE")
    # an appendix stands beside every edition: it holds what the page's readings rest on
    always = [name for name, passage in rack.items() if passage.floor or passage.page]
    missing = [name for name in always if name not in edition.passages]
    # a passage named twice would give the page two anchors of one name
    return tuple(rack[name] for name in dict.fromkeys((*edition.passages, *missing)))


def draw(chart: Chart, key: str) -> str:
    """Draw a chart as SVG, with ids that begin with `key`."""
    return str(racks.get("charts", chart.form, "draw")(chart, key))


def arrange(
    report: Report,
    edition: Edition,
    pictures: Mapping[str, PublishedPhoto],
    fingerprint: str,
    charts: bool = True,
    sent: Sequence[str] = (),
    parts: Parts | None = None,
) -> tuple[Page, ...]:
    """Give the report's pages: its own first, then one for each appendix that a passage stands on.

    pictures: published photos by name. charts: whether to draw them; their tables stand in any case.
    sent: files beside the pages that hold the whole report. parts: as `drawn` gave them, if that was done.
    """
    parts = parts or drawn(report, edition, charts)
    beside = tuple((f"{n}.html", str(found[0]["title"])) for n, found in parts.items() if n and found)
    values = _values(report, edition, pictures, fingerprint) | {"sent": tuple(sent)}
    public = edition.public and report.cover.release is not None
    listed = tuple((_anchor(p["name"]), str(p["title"])) for p in parts[""] if p["listed"])
    title = f"{_boat(report)}: {edition.titled(report)}, {report.cover.number}"
    foot = foot_of(report, edition.name)
    given = values | {"passages": parts[""]}
    own = Page("page.html", title, public, listed, given, beside, words=WORDS, foot=foot)
    appendices = (
        Page(
            "appendix.html",
            f"{named}: {_boat(report)}, {report.cover.number}",
            public,
            (),
            values | {"passages": parts[file[:-5]]},
            file=file,
            sheet=SHEET,
            words=WORDS if file != WORDS else "",
            foot=foot,
        )
        for file, named in beside
    )
    return own, *appendices


def drawn(report: Report, edition: Edition, charts: bool = True, draw: Draw = draw) -> Parts:
    """Give the passages of each page that have something to say, by its name, with their charts drawn.

    It needs no photos, so that they can be worked on meanwhile. draw: how a chart is drawn.
    """
    names = dict.fromkeys(("", *(passage.page for passage in in_order(edition))))
    drawer = _Drawer(charts, draw)
    return {name: _parts(report, edition, name, drawer) for name in names}


def _parts(report: Report, edition: Edition, page: str, drawer: _Drawer) -> list[dict[str, Any]]:
    """Give the passages of one page that have something to say, with their charts drawn."""
    built = ((p, p.build(report, edition)) for p in in_order(edition) if p.page == page)
    return [
        {"name": p.name, "title": values.get("heading") or say(p.title)}
        | {"listed": p.in_contents, "v": drawer.drawn(values)}
        for p, values in built
        if values is not None
    ]


def foot_of(report: Report, edition: str) -> str:
    """Give the line by which each printed sheet tells which report it belongs to, and in which edition."""
    return say(
        "{boat}, report {number}, version {version}, {status}, {edition} edition",
        boat=_boat(report),
        number=report.cover.number,
        version=report.cover.version,
        status=say_in("status", report.cover.status),
        edition=edition_named(report, edition),
    )


def _boat(report: Report) -> str:
    return report.cover.vessel.name or say_in("boat", report.cover.vessel.type)


def _values(
    report: Report, edition: Edition, pictures: Mapping[str, PublishedPhoto], fingerprint: str
) -> dict[str, Any]:
    """Give what every page of a report tells of it."""
    return {
        "sizes": {name: _size(picture) for name, picture in pictures.items()},
        "number": report.cover.number,
        "version": report.cover.version,
        "status": say_in("status", report.cover.status),
        "edition": edition_named(report, edition.name),
        "boat": _boat(report),
        "inspected": days(report.cover.inspected),
        "fingerprint": fingerprint,
        "originals": any(picture.original for picture in pictures.values()),
    }


def entry(report: Report, edition: Edition, folder: str) -> Entry:
    """Give the index's line of a report."""
    cover = report.cover
    boat = cover.vessel.found or cover.vessel.advertised or BoatFacts()
    last = max(cover.inspected, default=None)
    return Entry(
        folder,
        _boat(report),
        cover.vessel.type,
        cover.number,
        days(cover.inspected),
        report.counted,
        report.headline,
        widest([limit.what for limit in report.use_limits]),
        cover.release is not None,
        boat.maker,
        boat.model,
        boat.built,
        cover.version,
        cover.status,
        _worst(report),
        last,
        cover.reported or last,
        cover.people.surveyor.name,
        cover.language,
    )


def widest(limits: Sequence[str]) -> tuple[str, ...]:
    """Give use limits without those that another one holds already: the short list of a site says each once.

    Only words that narrow what stands before them count, in the languages of the notes: `going under way with
    the port engine` lies within `going under way`; `running the engine hatch fan` isn't running the engine.
    The report itself keeps every limit.
    """
    plain = [" ".join(limit.casefold().split()) for limit in limits]
    narrowed = (
        any(one.startswith(f"{other} ") and _NARROWS.match(one, len(other) + 1) for other in plain)
        for one in plain
    )
    return tuple(limit for limit, within in zip(limits, narrowed, strict=True) if not within)


def _worst(report: Report) -> str:
    """Give the gravest severity that is still asked for, of what is listed and what is only counted."""
    here = {f.finding.severity for f in report.findings if f.state != "checked"}
    here |= {severity for severity, count in report.left_out.findings if count}
    return next((severity for severity in SEVERITIES if severity in here), "")


def _anchor(name: str) -> str:
    return f"passage-{name.replace('_', '-')}"


def _size(picture: PublishedPhoto) -> Mapping[str, int | str]:
    """Give the room that a photo takes on the page [px], and when it was taken by its camera's clock."""
    taken = picture.taken
    return {
        "taken": f"{day(taken.date())}, {taken:%H:%M}," if taken else "",
        "width": picture.width,
        "height": picture.height,
        "small_width": picture.small_width,
        "small_height": picture.small_height,
    }


def _worded(chart: Chart) -> Chart:
    """Give a chart with the words in the reader's language that are drawn into it."""
    if language() == "en":
        return chart
    words = {name: say_in("chart", text) for name, text in _CHART_WORDS.items()}
    return replace(chart, data={**chart.data, "words": words})


class _Drawer:
    """Draws each chart of a report once, whichever pages show it, with ids of its own."""

    def __init__(self, charts: bool, draw: Draw = draw) -> None:
        self._svg = draw if charts else None
        self._known: dict[int, Mapping[str, Any]] = {}

    def drawn(self, value: Any) -> Any:
        """Give a passage's values with each chart replaced by its picture and table."""
        if isinstance(value, Chart):
            # a report keeps its charts, so that no two of them ever have one identity
            if id(value) not in self._known:
                self._known[id(value)] = self._draw(value, f"c{len(self._known) + 1}-")
            return self._known[id(value)]
        if isinstance(value, (tuple, list)):
            return [item if item.__class__ in _PLAIN else self.drawn(item) for item in value]
        if isinstance(value, (dict, Mapping)):
            return {n: item if item.__class__ in _PLAIN else self.drawn(item) for n, item in value.items()}
        return value

    def _draw(self, chart: Chart, key: str) -> Mapping[str, Any]:
        svg = self._svg(_worded(chart), key) if self._svg else ""
        return {
            "chart": chart,  # kept as long as its picture
            "title": chart.title,
            "svg": Markup(svg),  # noqa: S704 -- charts/ escape every word of the notes
            "header": chart.table.header,
            "rows": [[dated(cell) for cell in row] for row in chart.table.rows],
            "form": chart.form,
        }
