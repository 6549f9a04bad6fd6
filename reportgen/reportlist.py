"""Keeps the list of a site's reports as data, so that it can be made again without reading its reports."""

from __future__ import annotations

import dataclasses
import datetime
import json
import sys
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

from reportgen.pages import Entry

FILE = "reports.json"


def lines(entries: Iterable[Entry]) -> Iterator[bytes]:
    """Give the entries as JSON, one a line, with nothing in them that the list's pages do not show."""
    between = "[\n"
    for entry in entries:
        values = {name: getattr(entry, name) for name in _NAMES}
        line = json.dumps(values, default=str, sort_keys=True, ensure_ascii=False)
        yield f"{between}{line}".encode()
        between = ",\n"
    yield b"\n]\n"


def shared(entry: Entry) -> Entry:
    """Give an entry whose texts are one with those of others that say the same; a site may hold thousands."""
    texts: dict[str, Any] = {
        name: sys.intern(text) for name in _ALIKE if isinstance(text := getattr(entry, name), str)
    }
    return dataclasses.replace(entry, **texts, limits=tuple(map(sys.intern, entry.limits)))


def read(path: Path) -> dict[str, Entry]:
    """Give the entries of a file that `lines` made, by folder; none if it isn't such a file."""
    try:
        rows = json.loads(path.read_bytes())
        return {entry.folder: entry for entry in map(_entry, rows)}
    except (OSError, ValueError, TypeError, AttributeError):
        return {}


_NAMES = tuple(f.name for f in dataclasses.fields(Entry))
_ALIKE = tuple(name for name in _NAMES if name not in ("folder", "boat", "number"))
_DAYS = frozenset(f.name for f in dataclasses.fields(Entry) if "date" in str(f.type))


def _entry(row: Mapping[str, Any]) -> Entry:
    values: dict[str, Any] = {}
    for name, value in row.items():
        if isinstance(value, list):
            value = tuple(value)
        elif name in _DAYS and value is not None:
            value = datetime.date.fromisoformat(value)
        values[name] = value
    return shared(Entry(**values))
