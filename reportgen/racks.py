"""Finds the things of a rack: the folder is the list, so adding a file adds the thing."""

from __future__ import annotations

import importlib
from functools import cache
from pathlib import Path
from typing import Any


@cache
def names(rack: str) -> tuple[str, ...]:
    """Give the module names in `reportgen/<rack>/`, sorted."""
    # by its files, so that a list of names imports nothing
    files = (Path(__file__).parent / rack).glob("*.py")
    return tuple(sorted(file.stem for file in files if not file.name.startswith("_")))


@cache
def get(rack: str, name: str, attribute: str) -> Any:
    """Give the thing that `reportgen/<rack>/<name>.py` holds under `attribute`.

    Raises AttributeError when the file has no such thing: a bug of ours, told at once.
    """
    module = importlib.import_module(f"reportgen.{rack}.{name}")
    return getattr(module, attribute)


@cache
def _all(rack: str, attribute: str) -> tuple[tuple[str, Any], ...]:
    return tuple((name, get(rack, name, attribute)) for name in names(rack))


def all_of(rack: str, attribute: str) -> dict[str, Any]:
    """Give every thing of a rack by its module's name, in name order."""
    return dict(_all(rack, attribute))
