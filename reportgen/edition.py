"""The contract of an edition, and the view: the report as one reader is entitled to it."""

from __future__ import annotations

import dataclasses
import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from pathlib import Path
from typing import Any

from reportgen import hullnumber, prose
from reportgen.block import PhotoNote
from reportgen.errors import Place, Problems
from reportgen.hullnumber import HullNumber
from reportgen.model import Prose
from reportgen.report import LeftOut, Report
from reportgen.scrub import Scrubber, masked_tail

# no edition may leave these out: what must not be run, the cautions, what nobody looked at
FLOOR = frozenset({"open"})
FLOOR_SEVERITIES = frozenset({"stop"})


@dataclass(frozen=True)
class Edition:
    """What one reader gets.

    name: as in `--for`. title: over the page; `owner_title` where an owner wrote the notes.
    reader: who it is for, one sentence. shows: categories of keys, all others are absent. masked: shown masked.
    leaves_out: severities not listed, counted instead. public: photos only where `public: yes`, text looked through.
    passages: the parts of the page in order; those that no edition may drop are put in by pages.py if missing.
    """

    name: str
    title: str
    reader: str
    shows: frozenset[str]
    passages: tuple[str, ...]
    masked: frozenset[str] = frozenset()
    leaves_out: frozenset[str] = frozenset()
    public: bool = False


def view(report: Report, edition: Edition, problems: Problems) -> Report:
    """Give the report with nothing in it that the edition's reader is not entitled to.

    A private value met in text that stays becomes "[left out]" with a warning; in a public edition it is an error.
    Raises ValueError when an edition would drop a stop finding: a bug of ours.
    """
    if edition.leaves_out & FLOOR_SEVERITIES:
        raise ValueError(f"edition {edition.name} leaves out stop findings")
    scrubber = Scrubber.of(report, edition.shows | FLOOR, edition.masked, edition.public)
    limiter = _Limiter(edition, scrubber, problems)
    kept = dataclasses.replace(
        report, findings=tuple(f for f in report.findings if f.finding.severity not in edition.leaves_out)
    )
    shown = limiter.limit(kept, report.cover.place)
    assert isinstance(shown, Report)
    # where photos lie is needed to publish them and is in no page, file or text
    return dataclasses.replace(
        shown, left_out=_left_out(report, edition, limiter.photos_left_out), photo_files=report.photo_files
    )


def _left_out(report: Report, edition: Edition, photos: int) -> LeftOut:
    severities = [f.finding.severity for f in report.findings if f.finding.severity in edition.leaves_out]
    counts = tuple((s, severities.count(s)) for s in sorted(set(severities)))
    return LeftOut(counts, photos)


class _Limiter:
    """Walks a report and gives its copy with hidden fields at their defaults and all text looked through."""

    def __init__(self, edition: Edition, scrubber: Scrubber, problems: Problems) -> None:
        self.edition, self.scrubber, self.problems = edition, scrubber, problems
        self.shows = edition.shows | FLOOR
        self.photos_left_out = 0

    def limit(self, value: Any, place: Place) -> Any:
        if isinstance(value, Prose):
            return self._prose(value, place)
        if dataclasses.is_dataclass(value) and not isinstance(value, type):
            return self._block(value, place)
        if isinstance(value, str):
            return self._text(value, place)
        if isinstance(value, Mapping):
            return {self.limit(k, place): self.limit(v, place) for k, v in value.items()}
        if isinstance(value, tuple):
            return self._items(value, place)
        if value is None or isinstance(value, (bool, int, float, Decimal, datetime.date, Path)):
            return value
        raise TypeError(f"a {type(value).__name__} can't be shown by an edition")

    def _items(self, values: tuple[Any, ...], place: Place) -> tuple[Any, ...]:
        if self.edition.public and any(isinstance(v, PhotoNote) for v in values):
            kept = tuple(v for v in values if v.public)
            self.photos_left_out += len(values) - len(kept)
            values = kept
        return tuple(self.limit(v, place) for v in values)

    def _block(self, value: Any, place: Place) -> Any:
        here = getattr(value, "place", place)
        place = here if isinstance(here, Place) and here.file else place
        changes: dict[str, Any] = {}
        for spec in dataclasses.fields(value):
            share = spec.metadata.get("share", "")
            old = getattr(value, spec.name)
            if not spec.metadata and _is_plain(value):
                new = self.limit(old, place)
            elif share in self.shows:
                new = self.limit(old, place)
            elif share in self.edition.masked:
                new = self._masked(share, old)
            else:
                new = _default(spec)
            if new is not old:
                changes[spec.name] = new
        return dataclasses.replace(value, **changes) if changes else value

    def _masked(self, share: str, value: Any) -> Any:
        if isinstance(value, HullNumber):
            return hullnumber.masked_view(value)
        if not isinstance(value, str) or not value:
            return value if value in ("", None, ()) else None
        return self.scrubber.masks.get(value) or masked_tail(value)

    def _text(self, text: str, place: Place) -> str:
        shown, hits = self.scrubber.text(text)
        for hit in hits:
            self._hit(hit, place)
        return shown

    def _prose(self, value: Prose, place: Place) -> Prose:
        where = value.place if value.place.file else place
        shown, hits = self.scrubber.text(value.markdown)
        for hit in hits:
            self._hit(hit, where)
        html = value.html if shown == value.markdown else prose.block(shown)
        # entities and markup can hide a value from the look through the source
        for hit in self.scrubber.found_in_html(html):
            self.problems.error(
                where, f"{hit} is written so that it can't be taken out", "write it in plain letters"
            )
        return Prose(shown, html, Place())

    def _hit(self, what: str, place: Place) -> None:
        found = f"{what} stands in text that the {self.edition.name} edition shows"
        if self.edition.public:
            self.problems.error(place, found, "reword it, or put it into a ```private fence")
        else:
            self.problems.warn(place, found, 'it is shown as "[left out]"')


def _is_plain(value: Any) -> bool:
    """Say whether a dataclass is a bare value, such as a quantity or a chart, with no categories of its own."""
    return not any(spec.metadata for spec in dataclasses.fields(value))


def _default(spec: dataclasses.Field[Any]) -> Any:
    if spec.default is not dataclasses.MISSING:
        return spec.default
    if spec.default_factory is not dataclasses.MISSING:
        return spec.default_factory()
    raise TypeError(f"{spec.name} has no category and no default")
