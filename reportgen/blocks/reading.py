"""What every reading says, whatever it measures; its kind adds keys of its own."""

from __future__ import annotations

from dataclasses import dataclass

from reportgen.block import PHOTOS, PhotoNote, key
from reportgen.values import ListOf, Text


@dataclass(frozen=True)
class ReadingKeys:
    """The keys of a `reading` fence that all kinds share.

    unit: what bare numbers of the fence are in. with_: instruments of the cover note.
    not_taken: why there are no values at all.
    """

    kind: str = key(
        Text(), need="must", share="open", help="what it measures; `reportgen kinds` lists them", default=""
    )
    at: str = key(Text(), share="open", help="what was measured: an engine's name", default="")
    unit: str = key(Text(), share="open", help="unit of bare numbers", default="")
    conditions: str = key(Text(), share="open", help="how it was taken", default="")
    with_: tuple[str, ...] = key(
        ListOf(Text()), share="open", name="with", help="instruments used", default=()
    )
    item: str = key(Text(), share="open", help="checklist item it belongs to, if not its kind's", default="")
    retest_of: str = key(
        Text(),
        share="open",
        help="the reading it repeats; earlier/ID for one of an earlier report",
        default="",
    )
    by: str = key(Text(), share="people", help="who took it, if not the surveyor", default="")
    photos: tuple[PhotoNote, ...] = key(PHOTOS, share="open", help="photos with captions", default=())
    not_taken: str = key(Text(), share="open", help="why it was not taken", default="")
    private: str = key(Text(), help="never published", default="")
