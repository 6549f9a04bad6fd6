"""Lists a packet's files with their sums, and tells by the list which files of a folder are ours."""

from __future__ import annotations

import errno
import os
import re
import unicodedata
from collections.abc import Iterable, Mapping
from pathlib import Path

from reportgen.errors import PacketError

SUMS = "SHA256SUMS"
SIGNATURE = "SHA256SUMS.sig"

PAGE = "index.html"  # what every report and every index has: a list of sums without it is not ours
MOST_FOREIGN = 10_000  # more of them, and the folder is somebody's home rather than a packet's
_SUM_LINE = re.compile(r"([0-9a-f]{64}) [ *](.+)")


def sums(found: Mapping[str, str]) -> bytes:
    """Give the SHA256SUMS, for signing, of digests by file: sorted, all but itself and its signature."""
    names = sorted(set(found) - {SUMS, SIGNATURE})
    return "".join(f"{found[name]}  {name}\n" for name in names).encode()


def read_sums(folder: Path) -> dict[str, str] | None:
    """Give what a folder's SHA256SUMS lists, sum by name; None if there is none or a line of it is wrong."""
    path = folder / SUMS
    if path.is_symlink() or not path.is_file():
        return None
    try:
        lines = path.read_text("utf-8").removesuffix("\n").split("\n")
    except (OSError, ValueError):
        return None
    found = [_SUM_LINE.fullmatch(line) for line in lines]
    listed = {match[2]: match[1] for match in found if match and is_inside(match[2])}
    return listed if listed and len(listed) == len(lines) else None


def check_names(names: Iterable[str]) -> None:
    """See that names can stand on every disk, one beside the other.

    Raises PacketError for a name that leads out, holds signs that other systems refuse, or differs from
    another one only in case or in the spelling of accents. It guards against a mistake of ours.
    """
    spelled: dict[str, str] = {}
    names = tuple(names)
    for name in names:
        if not name or not is_inside(name) or any(unicodedata.category(c) in ("Cc", "Cs") for c in name):
            raise PacketError(f"a packet can't hold a file named {name!r}: this is a mistake in reportgen")
        parts = name.split("/")
        for depth in range(1, len(parts) + 1):
            part = "/".join(parts[:depth])
            if spelled.setdefault(folded(part), part) != part:
                raise PacketError(
                    f"{part} and {spelled[folded(part)]} are one name on some disks: rename one"
                )
    for name in sorted(_folders_of(names).intersection(names)):
        raise PacketError(f"{name} can't be a file and a folder: this is a mistake in reportgen")


def folded(name: str) -> str:
    """Give the form in which two names are alike that some disk can't tell apart."""
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", name).casefold())


def foreign(folder: Path, owned: frozenset[str], below: str = "") -> list[str]:
    """Give what stands in a folder and is not owned, sorted; a folder with nothing in it ends with /."""
    found: list[str] = []
    empty = True
    for entry in sorted(os.scandir(folder / below), key=lambda e: e.name):
        empty = False
        name = joined(below, entry.name)
        if entry.is_dir(follow_symlinks=False):
            if Path(entry.path).is_mount():
                raise OSError(errno.EXDEV, os.strerror(errno.EXDEV), entry.path)
            found += foreign(folder, owned, name)
        elif name not in owned:
            found.append(name)
        if len(found) > MOST_FOREIGN:
            return found
    return [f"{below}/"] if empty and below else found


def clashes(ours: Iterable[str], others: Iterable[str]) -> list[str]:
    """Give those of the other names that stand where one of ours or a folder of ours should."""
    files = {folded(name) for name in ours}
    folders = _folders_of(files)
    found = []
    for name in others:
        bare = folded(name.rstrip("/"))
        if bare in files or _folders_of([bare]) & files or (bare in folders and not name.endswith("/")):
            found.append(name)
    return found


def _folders_of(names: Iterable[str]) -> set[str]:
    return {name[:at] for name in names for at, sign in enumerate(name) if sign == "/"}


def names_below(folder: str, names: Iterable[str]) -> frozenset[str]:
    """Give the names that lie in a folder, as seen from there."""
    return frozenset(n.removeprefix(f"{folder}/") for n in names if n.startswith(f"{folder}/"))


def joined(folder: str, name: str) -> str:
    """Give a name as seen from above its folder; "" is the folder above itself."""
    return f"{folder}/{name}" if folder else name


def shown(name: str) -> str:
    """Give a name that can be printed, also if its bytes are no text."""
    return os.fsencode(name).decode("utf-8", "replace")


def is_inside(name: str) -> bool:
    """Tell whether a relative name stays inside its folder; "" is the folder itself."""
    return not name or (
        not any(c in name for c in "\\\n\r\0") and all(p not in ("", ".", "..") for p in name.split("/"))
    )
