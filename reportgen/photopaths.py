"""Finds the file that a note means by a photo's name, and lets no name lead out of the survey's folder."""

from __future__ import annotations

import os
import stat
import unicodedata
from pathlib import Path, PurePosixPath, PureWindowsPath

from reportgen.errors import PhotoError, nearest


def inside(folder: Path, name: str) -> Path:
    """Give the file that `name` means in the survey's folder, links followed.

    Raises PhotoError when the name leads out of the folder (`..`, an absolute or Windows path, a link), or
    when no ordinary file stands there; a missing one is told with the nearest name that does.
    """
    _refuse_path(name)
    real = folder.resolve()
    path = _as_spelled(real, name)
    try:
        target = path.resolve(strict=True)
    except FileNotFoundError:
        raise _missing(real, name) from None
    except (OSError, RuntimeError):  # a loop of links is a RuntimeError up to Python 3.12
        raise PhotoError(f"{name} can't be followed to a file", "put the photo itself there") from None
    if not target.is_relative_to(real):
        raise PhotoError(f"{name} is a link that leads out of the survey's folder", "copy the photo into it")
    mode = target.stat().st_mode
    if stat.S_ISDIR(mode):
        raise PhotoError(f"{name} is a folder", f"name a photo in it, as {name.rstrip('/')}/PHOTO")
    if not stat.S_ISREG(mode):
        raise PhotoError(f"{name} is no ordinary file", "name a photo")
    return target


def _refuse_path(name: str) -> None:
    here = "photos come from the survey's own folder: write the path from there"
    windows = PureWindowsPath(name)
    if not name.strip() or any(unicodedata.category(c) == "Cc" for c in name):
        raise PhotoError(f"{name!r} is no file name", "write the photo's name")
    if "\\" in name or windows.drive:
        raise PhotoError(f"{name} is a Windows path", f"{here}, with /")
    if name.startswith("/"):
        raise PhotoError(f"{name} is an absolute path", here)
    if ".." in PurePosixPath(name).parts:
        raise PhotoError(f"{name} leads out with ..", here)


def _as_spelled(folder: Path, name: str) -> Path:
    """Give the path, also where the disk spells accented letters another way than the note."""
    path = folder / name
    if path.parent.is_dir() and not os.path.lexists(path):
        wanted = unicodedata.normalize("NFC", path.name)
        for entry in sorted(path.parent.iterdir()):
            if unicodedata.normalize("NFC", entry.name) == wanted:
                return entry
    return path


def _missing(folder: Path, name: str) -> PhotoError:
    known = [entry.name for entry in folder.iterdir() if entry.is_file()]
    below = PurePosixPath(name).parent
    where = folder / below
    # a folder reached through a link may lie elsewhere: its names are nobody's business
    if str(below) != "." and where.is_dir() and where.resolve().is_relative_to(folder):
        known += [str(below / entry.name) for entry in where.iterdir()]
    near = nearest(name, sorted(known))
    return PhotoError(
        f"there is no photo {name} in the survey's folder", f"write {near}" if near else "put it there"
    )
