"""The demo's boats looked at again: notes in tests/again, put beside the demo's own published reports."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

from PIL import Image

from tests.project import TOP

NOTES = TOP / "tests" / "again"
BOATS = ("packhorse", "quillback", "stille-wouw")


def write(boat: str, packet: Path, folder: Path) -> Path:
    """Write a boat's re-inspection. packet: her published report; folder: where the notes go."""
    notes = shutil.copytree(NOTES / boat, folder / boat, copy_function=shutil.copy)
    (notes / "earlier").mkdir()
    shutil.copy(packet / "report.json", notes / "earlier/report.json")
    shutil.copytree(packet / "photos", notes / "earlier/photos", copy_function=shutil.copy)
    for note in sorted(notes.glob("*.md")):
        for name in re.findall(r"[\w-]+\.jpg", note.read_text(encoding="utf-8")):
            Image.new("RGB", (640, 480), "slategray").save(notes / name)
    return notes
