"""Keeps the list of a site's reports as data, so that it can be made again without reading its reports."""

from __future__ import annotations

import dataclasses
import datetime
import json
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from reportgen.pages import Entry

FILE = "reports.json"


def text(entries: Iterable[Entry]) -> bytes:
    """Give the entries as JSON, one a line, with nothing in them that the list's pages do not show."""
    lines = (json.dumps(vars(e), default=str, sort_keys=True, ensure_ascii=False) for e in entries)
    return ("[\n" + ",\n".join(lines) + "\n]\n").encode("utf-8")


def read(path: Path) -> dict[str, Entry]:
    """Give the entries of a file that `text` made, by folder; none if it isn't such a file."""
    try:
        rows = json.loads(path.read_bytes())
        return {entry.folder: entry for entry in map(_entry, rows)}
    except (OSError, ValueError, TypeError, AttributeError):
        return {}


_DAYS = frozenset(f.name for f in dataclasses.fields(Entry) if "date" in str(f.type))


def _entry(row: Mapping[str, Any]) -> Entry:
    values: dict[str, Any] = {}
    for name, value in row.items():
        if isinstance(value, list):
            value = tuple(value)
        elif name in _DAYS and value is not None:
            value = datetime.date.fromisoformat(value)
        values[name] = value
    return Entry(**values)
