"""What a chart shows, as plain data; how it is drawn is the matter of charts/."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Table:
    """The numbers of a chart as a table: header of `n` words, rows of `n` printed cells each."""

    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Chart:
    """One picture of numbers.

    form: the file in charts/ that draws it.
    title: what it shows, with the unit.
    alt: the text alternative, one or two sentences with the numbers that matter.
    data: plain values as the form's own docstring lists them.
    table: the same numbers, printed beside the picture.
    """

    form: str
    title: str
    alt: str
    data: Mapping[str, Any]
    table: Table
