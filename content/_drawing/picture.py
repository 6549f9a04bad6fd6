"""What a picture of the demo is: who draws it, its size, and from where it is seen."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from _drawing.sheet import Sheet

WIDE, TALL = (1600, 1200), (1200, 1600)


@dataclass(frozen=True)
class Picture:
    """One picture. draw: draws all but the frame. seen: a few words for the foot. size: [pixels]."""

    draw: Callable[[Sheet], None]
    seen: str = ""
    size: tuple[int, int] = WIDE
