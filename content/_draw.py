"""Draws the pictures of the demo's three invented surveys: `python content/_draw.py` makes all of them again.

Nothing here was photographed: boats, parts and damage are invented, and each picture says so in its corner.
Names may follow to draw a few only; `--to FOLDER` puts the pictures elsewhere.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from _drawing import PICTURES
from _drawing.sheet import Sheet

HERE = Path(__file__).parent


def draw(survey: str, name: str) -> bytes:
    """One picture as a JPEG file's bytes, the same each time with the same Pillow."""
    picture = PICTURES[survey][name]
    sheet = Sheet(name, *picture.size)
    picture.draw(sheet)
    sheet.frame(picture.seen)
    return sheet.jpeg()


def main(arguments: list[str]) -> None:
    """Draw what is named, or everything, and say how large each file came out [KB]."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("names", nargs="*", help="pictures to draw, all without any")
    parser.add_argument("--to", type=Path, default=HERE, help="folder of the surveys' folders")
    told = parser.parse_args(arguments)
    for survey, pictures in PICTURES.items():
        for name in pictures:
            if not told.names or name in told.names:
                path = told.to / survey / name
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(draw(survey, name))
                print(f"{survey}/{name}: {path.stat().st_size / 1000:.0f} KB")


if __name__ == "__main__":
    main(sys.argv[1:])
