"""The checklist of each type of boat: its systems, their items, and how each is looked at."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from importlib import resources
from typing import Any

import yaml

STATES = ("any", "ashore", "afloat", "sea trial")
TRADES = ("surveyor", "mechanic", "electrician", "rigger")
# below this likeness two names are two things; "helm switch" and "helm switches" lie above it
_ALIKE = 0.85


@dataclass(frozen=True)
class Item:
    """One item of a checklist; what it says is common practice, no source.

    name: at most four words, as a writer types it. how: how it is inspected. state: the boat must be in.
    who: the trade that does it. readings: kinds of reading that cover it. hazard: what a fault of it, or
    looking at it, endangers; may be empty. could_hide: what may be there if nobody looks. would_take: what
    looking takes. also: other names for it.
    fitting: whether it is a thing that a boat has or lacks, and no test, paper or part of every hull, of
    which `not fitted` says that it doesn't apply.
    parts: names of parts of it; naming one covers the item, but one that isn't fitted takes nothing away.
    """

    name: str
    how: str
    state: str
    who: str
    readings: tuple[str, ...] = ()
    hazard: str = ""
    could_hide: str = ""
    would_take: str = ""
    also: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    fitting: bool = True

    def is_all_of(self, name: str) -> bool:
        """Say whether a name means the item itself, not a part or one side of it."""
        return plain(name) in map(plain, (self.name, *self.also))


@dataclass(frozen=True)
class System:
    """A part of the boat with its items, (items,), in the order a surveyor goes through them."""

    name: str
    items: tuple[Item, ...]


@dataclass(frozen=True)
class Checklist:
    """What is looked at on a boat of one type, (systems,)."""

    type: str
    systems: tuple[System, ...]

    @cached_property
    def _by_name(self) -> dict[str, Item]:
        items = [item for system in self.systems for item in system.items]
        named = {plain(other): item for item in items for other in (*item.also, *item.parts)}
        return named | {plain(item.name): item for item in items}

    def item(self, name: str) -> Item | None:
        """Give the item that a writer's name means, None if the checklist has none of that name."""
        return self._by_name.get(plain(name))

    def system(self, name: str) -> System | None:
        """Give the system of that name, None if there is none."""
        return next((s for s in self.systems if plain(s.name) == plain(name)), None)

    def nearest(self, name: str) -> Item | None:
        """Give the item whose name is most like a mistyped one, None if none is near."""
        found = difflib.get_close_matches(plain(name), list(self._by_name), n=1, cutoff=_ALIKE)
        return self._by_name[found[0]] if found else None


def plain(name: str) -> str:
    """Give a name as names are compared: without case, hyphens, plural s and a leading "the"."""
    words = name.casefold().replace("-", " ").split()
    return " ".join(_singular(word) for word in (words[1:] if words[:1] == ["the"] else words))


def _singular(word: str) -> str:
    if word.endswith("ies"):
        return word[:-3] + "y"
    if word.endswith(("ches", "shes", "xes")):
        return word[:-2]
    return word[:-1] if word.endswith("s") and len(word) > 3 and not word.endswith("ss") else word


@cache
def of(type: str) -> Checklist:
    """Give the checklist of a type of boat; KeyError for a type without one.

    type: one of the types that `vessel: type:` knows, such as "gasoline inboard".
    """
    name = f"{type.replace(' ', '_')}.yaml"
    files = {file.name: file for file in resources.files("reportgen").joinpath("checklists").iterdir()}
    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    rows = yaml.load(files[name].read_text(encoding="utf-8"), Loader=loader)  # noqa: S506 -- the safe loader
    return Checklist(type, tuple(System(name, tuple(_items(items))) for name, items in rows.items()))


def _items(rows: Mapping[str, Mapping[str, Any]]) -> Iterable[Item]:
    for name, row in rows.items():
        yield Item(
            name,
            row["how"],
            row["state"],
            row["who"],
            tuple(row.get("readings", ())),
            row.get("hazard", ""),
            row["if not"],
            row["would take"],
            tuple(row.get("also", ())),
            tuple(row.get("parts", ())),
            row.get("fitting", True),
        )
