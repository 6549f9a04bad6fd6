"""The fields of each type of value in a report, with who may see them: looked up once a type."""

from __future__ import annotations

import dataclasses
from functools import cache
from typing import Any, NamedTuple

Kind = Any  # a type: mypy doubts that every type may stand in a cache


class Field(NamedTuple):
    """One field of a type: its name, its category ("private" if it has none), and both names for messages."""

    name: str
    share: str
    path: str
    spec: dataclasses.Field[Any]

    @property
    def default(self) -> Any:
        """Give what stands in a block that leaves the field out; TypeError where no block may."""
        if self.spec.default is not dataclasses.MISSING:
            return self.spec.default
        if self.spec.default_factory is not dataclasses.MISSING:
            return self.spec.default_factory()
        raise TypeError(f"{self.path} has no category and no default")


@cache
def fields_of(kind: Kind) -> tuple[Field, ...] | None:
    """Give the fields of a type in order; None for a type of plain values, such as text or a number."""
    # a report holds some five thousand blocks of eighty types, and dataclasses would list each anew
    if not dataclasses.is_dataclass(kind):
        return None
    of = str(getattr(kind, "__name__", ""))
    return tuple(
        Field(spec.name, spec.metadata.get("share", "private"), f"{of}.{spec.name}", spec)
        for spec in dataclasses.fields(kind)
    )


@cache
def bare(kind: Kind) -> bool:
    """Say whether no field of a type says anything of itself, so that all count as what they stand in."""
    return not any(field.spec.metadata for field in fields_of(kind) or ())
