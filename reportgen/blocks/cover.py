"""What the cover note says about the survey itself: kind, number, version, dates, scope, standards."""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass, field, replace
from typing import Self

from reportgen.block import Block, key
from reportgen.errors import Place
from reportgen.values import Context, Custom, Date, Either, ListOf, MapOf, OneOf, Text, Whole, wrong
from reportgen.wording import LANGUAGES, SPOKEN, SYSTEMS
from reportgen.yamltext import Node

SURVEYS = ("pre-purchase", "pre-sale", "insurance", "damage", "re-inspection")
JURISDICTIONS = ("US", "none")
NO_JURISDICTION = "none"
STATUSES = ("preliminary", "final", "revised", "addendum", "withdrawn")


def _number(node: Node, context: Context) -> str | None:
    text = Text().read(node, context)
    if text and not re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9._/ -]{0,39}", text):
        wrong(node, context, "write letters, digits, dots, dashes, at most 40")
        return None
    return text


_NUMBER = Custom("text", _number, (Text(),))


@dataclass(frozen=True)
class Instrument:
    """An instrument with the day of its last calibration."""

    what: str = key(Text(), need="must", share="open", help="what it is", default="")
    calibrated: datetime.date | None = key(Date(), share="open", help="last calibration")
    serial: str = key(Text(), share="serial", help="serial number", default="")


@dataclass(frozen=True)
class Release:
    """By whom, to whom and when the seller's edition was released; how to ask for the full hull number."""

    by: str = key(Text(), need="must", share="open", help="who releases it", default="")
    to: str = key(Text(), need="must", share="open", help="to whom", default="")
    on: datetime.date | None = key(Date(), need="must", share="open", help="date")
    ask: str = key(Text(), share="open", help="how a buyer may ask for the full hull number", default="")


@dataclass(frozen=True)
class ReplacedBy:
    """The report that stands in this one's place."""

    number: str = key(_NUMBER, need="must", share="open", help="its number", default="")
    version: int = key(Whole(1), share="open", help="its version, 1 if left out", default=1)
    on: datetime.date | None = key(Date(), need="must", share="open", help="day of that report")
    why: str = key(Text(), need="must", share="open", help="why it was replaced", default="")
    where: str = key(Text(), share="open", help="where to find it: a path or an address", default="")


@dataclass(frozen=True)
class CoverKeys:
    """The cover note's keys about the survey itself.

    inspected: one or more days. version: from 1. tests_not_made: with the reason of each, where given.
    """

    survey: str = key(OneOf(SURVEYS), need="must", share="open", help="kind of survey", default="")
    number: str = key(_NUMBER, share="open", help="the report's number", default="")
    version: int = key(Whole(1), share="open", help="version, 1 at first", default=1)
    status: str = key(OneOf(STATUSES), share="open", help="status of the report", default="preliminary")
    changes: tuple[str, ...] = key(
        ListOf(Text()), share="open", help="what changed and why; needed from version 2", default=()
    )
    follows: str = key(
        Text(), help="report.json of an earlier report of the same boat, path from the notes", default=""
    )
    replaced_by: ReplacedBy | None = key(
        Block(ReplacedBy, "replaced by"), share="open", help="the report that stands in place of this one"
    )
    inspected: tuple[datetime.date, ...] = key(
        ListOf(Date()), need="must", share="open", help="day or days of the inspection", default=()
    )
    reported: datetime.date | None = key(Date(), share="open", help="day of the report")
    made_for: str = key(Text(), share="people", help="purpose, and who may rely on it", default="")
    not_to_be_relied_on_after: datetime.date | None = key(
        Date(), share="open", help="last day it may be relied on"
    )
    scope: str = key(Text(), share="open", help="what was agreed to be done", default="")
    agreed_scope_on: datetime.date | None = key(Date(), share="open", help="day the scope was agreed")
    standards: tuple[str, ...] = key(
        ListOf(Text()), share="open", help="yardsticks with their edition", default=()
    )
    instruments: tuple[Instrument, ...] = key(
        ListOf(Block(Instrument, "an instrument", "what")), share="open", help="instruments used", default=()
    )
    tests_not_made: dict[str, str] | tuple[str, ...] | None = key(
        Either(
            "a list of tests, or test: why",
            items=ListOf(Text()),
            keys=MapOf(Text(), "test"),
            text=ListOf(Text()),
        ),
        share="open",
        help="tests that were not made, with the reason",
    )
    equipment: tuple[str, ...] = key(ListOf(Text()), share="open", help="equipment found aboard", default=())
    jurisdiction: str = key(
        OneOf(JURISDICTIONS),
        share="open",
        help="whose rules on safety equipment apply, US if left out",
        default="US",
    )
    release: Release | None = key(
        Block(Release, "the release"), share="open", help="release of the seller's edition"
    )
    certification: str = key(Text(), share="surveyor", help="the surveyor's own statement", default="")
    terms: str = key(Text(), share="surveyor", help="the surveyor's own terms", default="")
    signed: str = key(Text(), share="surveyor", help="who signed, and when", default="")
    language: str = key(
        OneOf(SPOKEN), share="open", help="language of our words, en if left out", default="en"
    )
    notes_language: str = key(
        OneOf(LANGUAGES), share="open", help="language of the notes, if another than language", default=""
    )
    units: str = key(
        OneOf(SYSTEMS),
        share="open",
        help="also show quantities in these units, beside those noted",
        default="",
    )
    place: Place = field(default=Place())

    def spoken(self, language: str = "", units: str = "") -> Self:
        """Give the note with a language and units that were asked for; the notes stay in the writer's own."""
        return replace(
            self,
            language=language or self.language,
            notes_language=self.notes_language or self.language.partition("-")[0],
            units=units or self.units,
        )
