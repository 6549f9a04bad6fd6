"""Reads YAML into nodes where every word stays as it is written, and finds what YAML would read into one."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import yaml

_MAYBE_FORBIDDEN = re.compile(r"(?:^|[\s,\[{:-])[&*!]")
_FORBIDDEN = {
    yaml.AnchorToken: ("&", "an anchor"),
    yaml.AliasToken: ("*", "an alias"),
    yaml.TagToken: ("!", "a tag"),
}


class _AsWritten:
    """Leaves out a loader's search for the type of each word, which takes half of its time."""

    def resolve(self, *_: object) -> str:
        return ""

    def descend_resolver(self, *_: object) -> None:
        pass

    def ascend_resolver(self) -> None:
        pass


def _as_written(loader: type) -> Any:
    return type("_Loader", (_AsWritten, loader), {})


_LOADER = _as_written(getattr(yaml, "CBaseLoader", yaml.BaseLoader))


def compose(text: str) -> yaml.Node | None:
    """Give the node of a text, None for an empty one; yaml.YAMLError or ValueError where it is no YAML."""
    return yaml.compose(text, Loader=_LOADER)


def forbidden(text: str) -> Iterator[tuple[yaml.Mark, str, str]]:
    """Give (place, sign, what YAML takes it for) of each anchor, alias and tag; errors as of compose."""
    if _MAYBE_FORBIDDEN.search(text):
        for token in yaml.scan(text, Loader=_LOADER):
            if type(token) in _FORBIDDEN:
                yield token.start_mark, *_FORBIDDEN[type(token)]
