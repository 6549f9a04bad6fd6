"""Mangled notes for the long trials: seeds from the demo and the text cases, cut, mixed and poisoned."""

from __future__ import annotations

import random
from functools import cache

from tests.nasty import PIECES
from tests.notes_cases import cases
from tests.project import CONTENT


@cache
def seeds() -> tuple[str, ...]:
    """Give every note of the demo and of the text cases."""
    demo = [path.read_text(encoding="utf-8") for path in sorted(CONTENT.glob("*/*.md"))]
    return (*demo, *(text for case in cases() for text in case.notes.values()))


def _line(chance: random.Random, lines: list[str], at: int) -> list[str]:
    """Give what stands in the place of a line: it cut, doubled, poisoned, moved, or lines of another seed."""
    line = lines[at]
    column = chance.randint(0, len(line))
    bit = chance.choice(PIECES) * chance.choice((1, 1, 1, 2, 50))
    other = chance.choice(seeds()).split("\n")
    start = chance.randrange(len(other))
    return chance.choice(
        (
            [line[:column]],
            [],
            [line, line],
            [line[:column] + bit + line[column:]],
            [line[:column] + bit],
            [line[:column], line[column:]],
            ["  " * chance.choice((1, 2, 40)) + line],
            [line.lstrip()],
            [line, *other[start : start + chance.randint(1, 12)]],
            [line[:column] + chr(chance.choice((0, 9, 0x85, 0xA0, 0x202E, 0x2028, 0xD800, 0xFEFF, 0x1F600)))],
            [line.swapcase()],
            ["".join(chance.sample(line, len(line)))],
        )
    )


def mangled(chance: random.Random) -> str:
    """Give a note with one to twenty of its lines mangled, or now and then a heap of hostile pieces."""
    if chance.random() < 0.1:
        return "".join(chance.choices(PIECES, k=chance.randint(1, 200)))
    lines = chance.choice(seeds()).split("\n")
    if chance.random() < 0.3:
        first = chance.randrange(len(lines))
        lines = lines[: first + chance.randint(1, 60)]
    for _ in range(chance.choice((1, 1, 2, 3, 5, 20))):
        if not lines:
            lines = [""]
        at = chance.randrange(len(lines))
        lines[at : at + 1] = _line(chance, lines, at)
    return "\n".join(lines)
