"""Published sources by id: who publishes what a limit, factor or caution rests on, and how it was read."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib import resources

import yaml

from reportgen import wording


@dataclass(frozen=True)
class Source:
    """One published source.

    id: as the code names it.
    title, publisher, edition, clause: where to find it; the last three may be empty.
    read: how we read it, such as "section text", "quoted in two pages", "from memory".
    """

    id: str
    title: str
    publisher: str
    edition: str
    clause: str
    read: str

    @property
    def named(self) -> str:
        """Name it as sources.yaml does."""
        parts = (self.publisher, self.title, self.edition, self.clause)
        return ", ".join(part for part in parts if part)

    def __str__(self) -> str:
        return wording.publication(self.named)


@cache
def all_sources() -> dict[str, Source]:
    """Give every source of sources.yaml by id."""
    text = resources.files("reportgen").joinpath("sources.yaml").read_text(encoding="utf-8")
    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    rows = yaml.load(text, Loader=loader)  # noqa: S506 -- the safe loader, in C where there is one
    return {
        id: Source(
            id,
            **{name: str(row.get(name, "")) for name in ("title", "publisher", "edition", "clause", "read")},
        )
        for id, row in rows.items()
    }


def get(id: str) -> Source:
    """Give one source; KeyError for an id that sources.yaml doesn't have: a bug of ours."""
    return all_sources()[id]
