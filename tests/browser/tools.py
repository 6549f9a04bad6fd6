"""The tools of the page checks: where they are, and what is missing."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import TypeVar

from tests.project import EDITIONS, TOP

CHECKERS = TOP / ".tools" / "node_modules"
AXE = CHECKERS / "axe-core" / "axe.min.js"
NU = CHECKERS / "vnu-jar" / "build" / "dist" / "vnu.jar"
# One boat is looked at in every setting, every other page in one; the next page takes the next setting.
FULL_EDITION, FULL_BOAT = "buyer", "stille-wouw"
SHARES = 4
SAME = "guide"  # the same pages in every edition
# What else a report may be published in, each with its boat: the theme for copies, the longest words.
DRESSES = {
    "carbon": ("stille-wouw", "--theme", "carbon"),
    "de": ("quillback", "--language", "de"),
}
PROGRAMS = ("chromium", "java", "pdftotext", "pdftoppm")

# Set by .ci/run: there a missing tool is a failure, elsewhere its checks are skipped with the reason.
REQUIRED = os.environ.get("REPORTGEN_BROWSER") == "required"


def missing() -> list[str]:
    """Give what the browser checks need and this machine hasn't."""
    programs = [name for name in PROGRAMS if shutil.which(name) is None]
    return programs + [f.name for f in (AXE, NU) if not f.exists()]


def pages_of(folder: Path) -> list[Path]:
    """Give every page below a folder, sorted; there is at least one."""
    pages = sorted(folder.rglob("*.html"))
    assert pages, f"no page in {folder}"
    return pages


Setting = TypeVar("Setting")


def turns(
    edition: str, folder: Path, settings: Sequence[Setting], share: int | None = None
) -> Iterator[tuple[Path, Setting]]:
    """Give the pages of an edition, each with a setting: one boat in all, others in turn.

    share: which of the checks that share the pages of the editions between the fullest and the barest, of
    SHARES; such a page is looked at by one of them. None for a check that looks at every page.
    """
    first = len(edition)
    for number, path in enumerate(pages_of(folder), first):
        full = edition == FULL_EDITION and FULL_BOAT in path.relative_to(folder).parts
        if share is not None and edition not in EDITIONS and number % SHARES != share:
            continue
        if SAME in path.relative_to(folder).parts and edition != FULL_EDITION:
            continue
        for setting in settings if full else [settings[number % len(settings)]]:
            yield path, setting


def nothing(found: Mapping[str, Sequence[str]]) -> None:
    """Fail with every fault on a line of its own, page by page, if there is one."""
    lines = [f"{name}: {fault}" for name, faults in found.items() for fault in faults]
    assert not lines, "\n".join([f"{len(lines)} faults", *lines[:60]])
