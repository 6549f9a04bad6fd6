"""Writes the page by which a reader without a command line checks a packet, for the surveyor's own site.

The page is one file with its style and script inside. It can ask for nothing: its policy allows only these
two, by their hashes. It is never part of a packet, for whoever changes a packet could change it too.
"""

from __future__ import annotations

import base64
import hashlib
import json
import os
import re
import tempfile
from collections.abc import Sequence
from functools import cache
from pathlib import Path

from jinja2 import Environment, FileSystemLoader
from markupsafe import Markup

from reportgen import racks, sandbox, signing, wording
from reportgen.blocks.cover import STATUSES
from reportgen.boats import TYPES
from reportgen.errors import PacketError, UsageError
from reportgen.sums import SUMS
from reportgen.wording import say, say_in

_MARK = "reportgen verify --page"
_PARTS = Path(__file__).resolve().parent / "checker"
_SCRIPTS = ("signature.js", "page.js")
# a text of ours in a script: `say("...")`, or several pieces joined by `+`
_SAYS = re.compile(r'\bsay\(\s*("(?:[^"\\]|\\.)*"(?:\s*\+\s*"(?:[^"\\]|\\.)*")*)')
_PIECE = re.compile(r'"(?:[^"\\]|\\.)*"')


def page(signers: Path | None = None, language: str = "en") -> str:
    """Give the page as HTML; with a file of signers, their keys are filled in.

    language: one of wording.LANGUAGES. Raises UsageError when the file of signers is none.
    """
    lines = signing.signers_in(signers) if signers is not None else []
    with wording.speaking(language):
        return _said(lines)


def texts(script: str) -> tuple[str, ...]:
    """Give the texts of ours in a script, each once, in their order."""
    found = (
        "".join(json.loads(piece) for piece in _PIECE.findall(said[1])) for said in _SAYS.finditer(script)
    )
    return tuple(dict.fromkeys(found))


def _words() -> str:
    """Give the texts of the scripts in the language spoken, as the table that they look into."""
    known: dict[str, str] = {}
    if wording.language() != "en":
        known = {text: say(text) for name in _SCRIPTS for text in texts(_part(name))}
        contract = {"edition": racks.names("editions"), "status": STATUSES, "boat": TYPES}
        known |= {
            f"{context}|{word}": say_in(context, word) for context, own in contract.items() for word in own
        }
    # no word of a language may end the script
    return json.dumps(known, ensure_ascii=False, indent=0).replace("<", "\\u003c")


def _said(lines: Sequence[str]) -> str:
    style, (first, *rest) = _part("page.css"), map(_part, _SCRIPTS)
    script = "".join([first, f"const WORDS = {_words()};\n", *rest])
    policy = (
        f"default-src 'none'; script-src '{_hash(script)}'; style-src '{_hash(style)}'; "
        "base-uri 'none'; form-action 'none'"
    )
    return (
        _templates()
        .get_template("page.html")
        .render(
            language=wording.language(),
            policy=policy,
            mark=_MARK,
            style=Markup(style),  # noqa: S704 -- a file of the package
            script=Markup(script),  # noqa: S704 -- a file of the package
            signers="\n".join(lines),
        )
    )


def write(file: Path, signers: Path | None = None, language: str = "en") -> None:
    """Write the page as a whole or not at all; an older one is replaced, anything else is not.

    Raises UsageError when another file stands there or the place lies in a packet, PacketError when it
    can't be written.
    """
    text = page(signers, language)
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
def _templates() -> Environment:
    return sandbox.plain(FileSystemLoader(_PARTS))


@cache
def _part(name: str) -> str:
    return (_PARTS / name).read_text(encoding="utf-8")


def _hash(text: str) -> str:
    return f"sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}"
