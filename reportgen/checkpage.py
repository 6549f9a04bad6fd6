"""Writes the page by which a reader without a command line checks a packet, for the surveyor's own site.

The page is one file with its style and script inside. It can ask for nothing: its policy allows only these
two, by their hashes. It is never part of a packet, for whoever changes a packet could change it too.
"""

from __future__ import annotations

import base64
import hashlib
import os
import tempfile
from functools import cache
from pathlib import Path

from jinja2 import Environment, StrictUndefined
from markupsafe import Markup

from reportgen import signing
from reportgen.errors import PacketError, UsageError
from reportgen.sums import SUMS

_MARK = "reportgen verify --page"
_PARTS = Path(__file__).resolve().parent / "checker"
_SCRIPTS = ("signature.js", "page.js")


def page(signers: Path | None = None) -> str:
    """Give the page as HTML; with a file of signers, their keys are filled in.

    Raises UsageError when the file of signers is none.
    """
    lines = signing.signers_in(signers) if signers is not None else []
    style, script = _part("page.css"), "".join(map(_part, _SCRIPTS))
    policy = (
        f"default-src 'none'; script-src '{_hash(script)}'; style-src '{_hash(style)}'; "
        "base-uri 'none'; form-action 'none'"
    )
    environment = Environment(autoescape=True, undefined=StrictUndefined, keep_trailing_newline=True)
    return environment.from_string(_part("page.html")).render(
        policy=policy,
        mark=_MARK,
        style=Markup(style),  # noqa: S704 -- a file of the package
        script=Markup(script),  # noqa: S704 -- a file of the package
        signers="\n".join(lines),
    )


def write(file: Path, signers: Path | None = None) -> None:
    """Write the page as a whole or not at all; an older one is replaced, anything else is not.

    Raises UsageError when another file stands there or the place lies in a packet, PacketError when it
    can't be written.
    """
    text = page(signers)
    where = Path(os.path.realpath(file))
    inside = next((above for above in where.parents if (above / SUMS).exists()), None)
    if inside is not None:
        raise UsageError(
            f"{file} would lie in the packet {inside.name}: put the page on your own site, beside no packet"
        )
    if where.exists() and not _is_ours(where):
        raise UsageError(f"{file} is there and is no such page; name another file")
    try:
        _replace(where, text)
    except OSError as error:
        raise PacketError(f"{file} can't be written: {error.strerror or error}") from error


def _is_ours(path: Path) -> bool:
    try:
        return path.is_file() and f'content="{_MARK}"'.encode() in path.read_bytes()[:4000]
    except OSError:
        return False


def _replace(path: Path, text: str) -> None:
    with tempfile.TemporaryDirectory(prefix=".reportgen-", dir=path.parent) as folder:
        new = Path(folder) / "page"
        new.write_text(text, encoding="utf-8", newline="\n")
        new.chmod(0o644)
        new.replace(path)


@cache
def _part(name: str) -> str:
    return (_PARTS / name).read_text(encoding="utf-8")


def _hash(text: str) -> str:
    return f"sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}"
