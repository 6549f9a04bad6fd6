"""The text cases of tests/notes: a note with its mistakes and the lines that `check` must print."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path

FOLDER = Path(__file__).parent / "notes"

# What a case's `front` lines (from line 9 on) and `body` are put into; nothing in it is a mistake.
STANDARD = """---
survey: damage
inspected: 2026-05-14
reported: 2026-05-16
vessel: {name: Ember Lark, type: gasoline inboard}
people: {surveyor: R. Ostwin}
price: {currency: EUR}
rates: {labour: 90}
"""
_BLOCK = re.compile(r"^~~~~ (\w+) ?(\S*)\n(.*?)^~~~~$", re.M | re.S)


@dataclass(frozen=True)
class Case:
    """One case. topic, title: of its file and heading. notes: file name to text. says: lines expected."""

    topic: str
    title: str
    notes: dict[str, str]
    says: tuple[str, ...]

    def write(self, folder: Path) -> None:
        """Write the notes into a folder."""
        for name, text in self.notes.items():
            (folder / name).write_text(text, encoding="utf-8")


def cover(front: str = "", body: str = "") -> str:
    """Give the standard cover note with more keys and a text."""
    return f"{STANDARD}{front}---\n{body}"


@cache
def cases() -> tuple[Case, ...]:
    """Give the cases of every file, in order."""
    return tuple(case for path in sorted(FOLDER.glob("*.md")) for case in _cases(path))


def _cases(path: Path) -> list[Case]:
    parts = re.split(r"^# (.+)\n", re.sub(_BLOCK, _hidden, path.read_text(encoding="utf-8")), flags=re.M)
    return [
        _case(path.stem, title, _shown(text)) for title, text in zip(parts[1::2], parts[2::2], strict=True)
    ]


def _hidden(match: re.Match[str]) -> str:
    """Keep a block's own headings out of the way."""
    return re.sub("^", "\x00", match[0], flags=re.M)


def _shown(text: str) -> str:
    return text.replace("\x00", "")


def _case(topic: str, title: str, text: str) -> Case:
    front = body = ""
    notes: dict[str, str] = {}
    says: tuple[str, ...] | None = None
    for word, name, block in _BLOCK.findall(text):
        if word == "note":
            notes[name] = block
        elif word == "front":
            front = block
        elif word == "body":
            body = block
        elif word == "says":
            says = tuple(block.splitlines())
        else:
            raise ValueError(f"{topic}: {title}: no block is called {word!r}")
    if says is None:
        raise ValueError(f"{topic}: {title}: no ~~~~ says")
    if "~~~~ front" in text or "~~~~ body" in text:
        notes["cover.md"] = cover(front, body)
    return Case(topic, title, notes, says)
