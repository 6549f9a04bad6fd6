"""Finds the things of a rack: the folder is the list, so adding a file adds the thing."""

from __future__ import annotations

import importlib
import os
from functools import cache

TYPE_CHECKING = False  # typing's own would slow down `--help`
if TYPE_CHECKING:
    from typing import Any

_HERE = os.path.dirname(__file__)  # noqa: PTH120 - pathlib is slow to load, and a list of names needs little


@cache
def names(rack: str) -> tuple[str, ...]:
    """Give the module names in `reportgen/<rack>/`, sorted."""
    # by its files, so that a list of names imports nothing
    files = os.listdir(f"{_HERE}/{rack}")  # noqa: PTH208
    return tuple(sorted(f[:-3] for f in files if f.endswith(".py") and not f.startswith("_")))


def source(rack: str, name: str) -> str:
    """Give the text of `reportgen/<rack>/<name>.py` without running it."""
    with open(f"{_HERE}/{rack}/{name}.py", encoding="utf-8") as file:  # noqa: PTH123
        return file.read()


@cache
def get(rack: str, name: str, attribute: str) -> Any:
    """Give the thing that `reportgen/<rack>/<name>.py` holds under `attribute`.

    Raises AttributeError when the file has no such thing: a bug of ours, told at once.
    """
    module = importlib.import_module(f"reportgen.{rack}.{name}")
    return getattr(module, attribute)


def named(rack: str, name: str, attribute: str) -> Any:
    """Give the thing of a rack that writers call `name`, None if there is none; no other is loaded."""
    file = name.replace("-", "_")
    found = get(rack, file, attribute) if file in names(rack) else None
    return found if found is not None and found.name == name else None


@cache
def _all(rack: str, attribute: str) -> tuple[tuple[str, Any], ...]:
    return tuple((name, get(rack, name, attribute)) for name in names(rack))


def all_of(rack: str, attribute: str) -> dict[str, Any]:
    """Give every thing of a rack by its module's name, in name order."""
    return dict(_all(rack, attribute))
