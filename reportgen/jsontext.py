"""Writes data as JSON text that reads well and compares well: names in order, one value a line."""

from __future__ import annotations

import math
from collections.abc import Mapping
from json.encoder import encode_basestring
from typing import Any

_WORDS = {None: "null", True: "true", False: "false"}


def written(value: Any, line: str = "\n") -> str:
    """Give a value as JSON, as `json.dumps` does with sorted keys and an indent of one.

    line: what a new line begins with. ValueError for a number that JSON does not know, TypeError for
    what it has no form for.
    """
    # with an indent Python's own writer goes sign by sign in generators, and takes four times as long
    if isinstance(value, str):
        return encode_basestring(value)
    if value is None or value is True or value is False:
        return _WORDS[value]
    if isinstance(value, int):
        return int.__repr__(value)
    if isinstance(value, float):
        return _number(value)
    inner = f"{line} "
    if isinstance(value, Mapping):
        items = [f"{encode_basestring(name)}: {written(value[name], inner)}" for name in sorted(value)]
        return f"{{{inner}{f',{inner}'.join(items)}{line}}}" if items else "{}"
    if isinstance(value, (list, tuple)):
        items = [written(item, inner) for item in value]
        return f"[{inner}{f',{inner}'.join(items)}{line}]" if items else "[]"
    raise TypeError(f"a {type(value).__name__} has no form in JSON")


def _number(value: float) -> str:
    if not math.isfinite(value):
        raise ValueError(f"the number {value!r} is not JSON compliant")
    return float.__repr__(value)
