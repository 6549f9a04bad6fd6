"""Puts the passages of an edition in order on a page, with their charts drawn."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import count
from typing import Any

from markupsafe import Markup

from reportgen import racks
from reportgen.chart import Chart
from reportgen.edition import Edition
from reportgen.passage import Passage, day
from reportgen.photos import PublishedPhoto
from reportgen.report import Report


@dataclass(frozen=True)
class Page:
    """One page ready for a theme.

    template: file of the theme. title: of the browser's tab. public: whether it may be indexed.
    contents: (anchor, title) of each listed passage. appendices: (file, title) of the pages beside it.
    values: what the template gets, plain. file: its name in the packet.
    """

    template: str
    title: str
    public: bool
    contents: tuple[tuple[str, str], ...]
    values: Mapping[str, Any]
    appendices: tuple[tuple[str, str], ...] = ()
    file: str = "index.html"


@dataclass(frozen=True)
class Entry:
    """One survey in a site's index; every value as the edition shows it.

    folder: where its report stands. released: whether somebody has released it to the public.
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


def in_order(edition: Edition) -> tuple[Passage, ...]:
    """Give the passages of an edition in its order; those no edition may leave out are put in if missing."""
    rack: Mapping[str, Passage] = racks.all_of("passages", "PASSAGE")
    # an appendix stands beside every edition: it holds what the page's readings rest on
    always = [name for name, passage in rack.items() if passage.floor or passage.page]
    missing = [name for name in always if name not in edition.passages]
    # a passage named twice would give the page two anchors of one name
    return tuple(rack[name] for name in dict.fromkeys((*edition.passages, *missing)))


def arrange(
    report: Report,
    edition: Edition,
    pictures: Mapping[str, PublishedPhoto],
    fingerprint: str,
    charts: bool = True,
) -> Page:
    """Give the report's own page.

    pictures: published photos by name. charts: whether to draw them; their tables stand in any case.
    """
    parts = _parts(report, edition, "", charts)
    listed = tuple((_anchor(p["name"]), str(p["title"])) for p in parts if p["listed"])
    beside = tuple((page.file, page.title) for page in appendices(report, edition, fingerprint, charts=False))
    title = f"{_boat(report)}: {edition.title}, {report.cover.number}"
    values = _values(report, edition, pictures, fingerprint) | {"passages": parts}
    return Page("page.html", title, _public(report, edition), listed, values, beside)


def appendices(report: Report, edition: Edition, fingerprint: str, charts: bool = True) -> tuple[Page, ...]:
    """Give the pages beside the report's own: one for each appendix that a passage stands on."""
    names = dict.fromkeys(passage.page for passage in in_order(edition) if passage.page)
    found = ((name, _parts(report, edition, name, charts=True)) for name in names)
    values = _values(report, edition, {}, fingerprint)
    return tuple(
        Page(
            "appendix.html",
            str(parts[0]["title"]),
            _public(report, edition),
            (),
            values | {"passages": parts},
            file=f"{name}.html",
        )
        for name, parts in found
        if parts
    )


def _parts(report: Report, edition: Edition, page: str, charts: bool) -> list[dict[str, Any]]:
    """Give the passages of one page that have something to say, with their charts drawn."""
    keys = count(1)
    built = ((p, p.build(report, edition)) for p in in_order(edition) if p.page == page)
    return [
        {"name": p.name, "title": p.title, "listed": p.in_contents, "v": _drawn(values, keys, charts)}
        for p, values in built
        if values is not None
    ]


def _boat(report: Report) -> str:
    return report.cover.vessel.name or report.cover.vessel.type


def _public(report: Report, edition: Edition) -> bool:
    return edition.public and report.cover.release is not None


def _values(
    report: Report, edition: Edition, pictures: Mapping[str, PublishedPhoto], fingerprint: str
) -> dict[str, Any]:
    """Give what every page of a report tells of it."""
    return {
        "sizes": {name: _size(picture) for name, picture in pictures.items()},
        "number": report.cover.number,
        "version": report.cover.version,
        "status": report.cover.status,
        "edition": edition.name,
        "boat": _boat(report),
        "inspected": day(max(report.cover.inspected, default=None)),
        "fingerprint": fingerprint,
    }


def index(entries: Sequence[Entry], edition: Edition) -> Page:
    """Give the page that lists the reports of a site."""
    rows = [dataclasses.asdict(entry) for entry in entries]
    # one report that nobody has released keeps the list of all of them out of search engines
    public = edition.public and all(entry.released for entry in entries)
    return Page("index.html", "Inspection reports", public, (), {"entries": rows, "edition": edition.name})


def entry(report: Report, edition: Edition, folder: str) -> Entry:
    """Give the index's line of a report."""
    cover = report.cover
    return Entry(
        folder,
        cover.vessel.name or cover.vessel.type,
        cover.vessel.type,
        cover.number,
        day(max(cover.inspected, default=None)),
        report.counted,
        report.headline,
        tuple(limit.what for limit in report.use_limits),
        cover.release is not None,
    )


def _anchor(name: str) -> str:
    return f"passage-{name.replace('_', '-')}"


def _size(picture: PublishedPhoto) -> Mapping[str, int]:
    return {
        "width": picture.width,
        "height": picture.height,
        "small_width": picture.small_width,
        "small_height": picture.small_height,
    }


def _drawn(value: Any, keys: Iterator[int], charts: bool) -> Any:
    """Give a passage's values with each chart replaced by its picture and table."""
    if isinstance(value, Chart):
        svg = racks.get("charts", value.form, "draw")(value, f"c{next(keys)}-") if charts else ""
        return {
            "title": value.title,
            "svg": Markup(svg),  # noqa: S704 -- charts/ escape every word of the notes
            "header": value.table.header,
            "rows": value.table.rows,
            "form": value.form,
        }
    if isinstance(value, Mapping):
        return {name: _drawn(item, keys, charts) for name, item in value.items()}
    if isinstance(value, (tuple, list)):
        return [_drawn(item, keys, charts) for item in value]
    return value
