"""A packet that stands and one that is to take its place, for the trials that break a publishing midway."""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

from tests.project import CONTENT, TOP

BOATS = ("packhorse", "quillback")
Tree = dict[str, str]


def tree(folder: Path) -> Tree:
    """Give a digest of every file below a folder, by its path."""
    files = sorted(p for p in folder.rglob("*") if p.is_file())
    return {str(p.relative_to(folder)): hashlib.sha256(p.read_bytes()).hexdigest() for p in files}


@dataclass(frozen=True)
class Scene:
    """An old site and the notes of a new one. old, new: digests by report's folder, "" for the index."""

    top: Path
    notes: Path
    old: dict[str, Tree]
    new: dict[str, Tree]

    @property
    def to(self) -> Path:
        """Give the folder that is published over."""
        return self.top / "here" / "site"

    def again(self, into: Path | None = None) -> None:
        """Put the old site back, with nothing beside it."""
        here = into or self.top / "here"
        shutil.rmtree(here, ignore_errors=True)
        shutil.copytree(self.top / "old", here, symlinks=True)

    def command(self, to: Path | None = None) -> list[str]:
        """Give the command that publishes the new notes."""
        words = ["publish", str(self.notes), "--to", str(to or self.to), "--no-charts"]
        return [sys.executable, "-m", "reportgen", *words]

    def finish(self, to: Path | None = None) -> subprocess.CompletedProcess[str]:
        """Publish to the end."""
        return subprocess.run(self.command(to), cwd=TOP, capture_output=True, text=True)

    def faults(self, to: Path | None = None, *, whole: bool = True) -> list[str]:
        """Give each report folder that is neither old nor new; the index too, if it must be `whole`."""
        to = to or self.to
        found = []
        for name in self.old:
            if name or whole:
                seen = tree(to / name) if name else _index(to)
                if seen not in (self.old[name], self.new[name]):
                    found.append(f"{name or 'index'}: {len(seen)} files, neither old nor new")
        return found

    def rubbish(self, to: Path | None = None) -> list[str]:
        """Give what lies beside the site and is neither it nor its record."""
        to = to or self.to
        known = {to.name, f".{to.name}.reportgen"}
        return sorted({p.name for p in to.parent.iterdir()} - known)


def _index(to: Path) -> Tree:
    return {name: digest for name, digest in tree(to).items() if "/" not in name}


def _trees(to: Path) -> dict[str, Tree]:
    return {"": _index(to), **{name: tree(to / name) for name in BOATS}}


def make(top: Path) -> Scene:
    """Publish the old site and learn what the new one will be."""
    notes = top / "notes"
    for name in BOATS:
        shutil.copytree(CONTENT / name, notes / name)
    os.environ["SOURCE_DATE_EPOCH"] = "0"
    first = Scene(top, notes, {}, {})
    for where, word in (("old", "Old"), ("new", "New")):
        for cover in notes.glob("*/cover.md"):
            text = cover.read_text(encoding="utf-8")
            cover.write_text(f"{text.rstrip()}\n\n{word} words at the end.\n", encoding="utf-8")
        (top / where).mkdir()
        done = first.finish(top / where / "site")
        assert done.returncode == 0, done.stderr
    return Scene(top, notes, _trees(top / "old" / "site"), _trees(top / "new" / "site"))
