"""Writes data as JSON text that reads well and compares well: names in order, one value a line."""

from __future__ import annotations

import math
from collections.abc import Mapping
from json.encoder import encode_basestring
from typing import Any

_WORDS = {None: "null", True: "true", False: "false"}


def written(value: Any) -> str:
    """Give a value as JSON, as `json.dumps` does with sorted keys and an indent of one.

    ValueError for a number that JSON does not know, TypeError for what it has no form for.
    """
    return spaced(tabbed(value))


def spaced(tabbed: str) -> str:
    """Give JSON written with tabs as it is read best."""
    return tabbed.replace("\t", " ")


def packed(tabbed: str) -> bytes:
    """Give JSON written with tabs as UTF-8 without a blank or a line end outside its texts."""
    return tabbed.encode("utf-8").translate(None, b"\n\t")


def tabbed(value: Any, line: str = "\n") -> str:
    """Give a value as `written` does, but with a tab for each blank outside its texts, which hold none.

    line: what a new line begins with.
    """
    # with an indent Python's own writer goes sign by sign in generators, and takes four times as long
    if isinstance(value, str):
        return encode_basestring(value)
    inner = f"{line}\t"
    if isinstance(value, (list, tuple)):
        items = [tabbed(item, inner) for item in value]
        return f"[{inner}{f',{inner}'.join(items)}{line}]" if items else "[]"
    if value is None or value is True or value is False:
        return _WORDS[value]
    if isinstance(value, int):
        return int.__repr__(value)
    if isinstance(value, float):
        return _number(value)
    if isinstance(value, (dict, Mapping)):
        items = [
            f"{encode_basestring(name)}:\t{encode_basestring(item)}"
            if isinstance(item := value[name], str)  # as most are
            else f"{encode_basestring(name)}:\t{tabbed(item, inner)}"
            for name in sorted(value)
        ]
        return f"{{{inner}{f',{inner}'.join(items)}{line}}}" if items else "{}"
    raise TypeError(f"a {type(value).__name__} has no form in JSON")


def _number(value: float) -> str:
    if not math.isfinite(value):
        raise ValueError(f"the number {value!r} is not JSON compliant")
    return float.__repr__(value)
