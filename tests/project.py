"""The project as its own tests see it: its folders, its files, its map of modules and its demo."""

from __future__ import annotations

import re
import subprocess
import sys
from functools import cache
from pathlib import Path

TOP = Path(__file__).resolve().parents[1]
PACKAGE = TOP / "reportgen"
CONTENT = TOP / "content"

# The demo is published for every reader; browsers look at who may see everything and at who may see least.
READERS = ("buyer", "lender", "insurer", "yard", "seller")
EDITIONS = ("buyer", "seller")

TEST_COMMAND = ".venv/bin/python -m pytest"
PUBLISH_COMMAND = (
    "python3 -m venv .venv"
    " && .venv/bin/pip install -c .ci/constraints.txt -e '.[test]'"
    " && .venv/bin/reportgen publish content --to site"
)


def text_of(name: str) -> str:
    """Give a file at the top of the project; a missing one fails the test by its name."""
    path = TOP / name
    assert path.exists(), f"{name} is not written yet"
    return path.read_text(encoding="utf-8")


@cache
def files() -> tuple[Path, ...]:
    """Give every file that belongs to the project: known to git, or new and not ignored."""
    if not (TOP / ".git").exists():
        # unpacked from an archive: all but what tools leave behind
        every = (p for p in sorted(TOP.rglob("*")) if p.is_file())
        return tuple(p for p in every if not _left_behind(p.relative_to(TOP)))
    listing = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    names = subprocess.run(listing, cwd=TOP, capture_output=True, check=True, text=True).stdout.split("\0")
    return tuple(TOP / n for n in sorted(filter(None, names)) if (TOP / n).is_file())


def _left_behind(path: Path) -> bool:
    top = path.parts[0]
    return "__pycache__" in path.parts or top == "site" or (top.startswith(".") and top != ".ci")


@cache
def modules() -> dict[str, Path]:
    """Give the package's modules by dotted name below `reportgen`, `kinds.compression` for one of a rack."""
    found = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        parts = path.relative_to(PACKAGE).with_suffix("").parts
        if parts[-1] == "__init__":
            parts = parts[:-1]
        if parts and parts != ("__main__",):
            found[".".join(parts)] = path
    return found


@cache
def racks() -> frozenset[str]:
    """Give the names of the folders of like things in the package."""
    return frozenset(p.parent.name for p in PACKAGE.glob("*/__init__.py"))


_ROW = re.compile(r"^\|\s*`?(\w+/?)`?\s*\|\s*(.*?)\s*\|$")


def table_of(text: str) -> tuple[tuple[str, str], ...]:
    """Give the rows (name, purpose) under the heading `| module | what it is for |`, racks as `kinds/`."""
    lines = iter(text.splitlines())
    for line in lines:
        if re.fullmatch(r"\|\s*module\s*\|\s*what it is for\s*\|", line):
            break
    else:
        raise AssertionError("no row `| module | what it is for |`")
    next(lines, "")
    rows = []
    for line in lines:
        row = _ROW.match(line)
        if row is None:
            break
        rows.append((row[1], row[2]))
    return tuple(rows)


@cache
def module_table() -> tuple[tuple[str, str], ...]:
    """Give the module table of DEVELOPERS.md in its order, which is the order of imports."""
    return table_of(text_of("DEVELOPERS.md"))


def run(*arguments: str, **options: object) -> subprocess.CompletedProcess[str]:
    """Run `python -m reportgen` with arguments from the project's top folder."""
    command = [sys.executable, "-m", "reportgen", *arguments]
    settings: dict[str, object] = {"cwd": TOP, "capture_output": True, "text": True, "timeout": 300}
    return subprocess.run(command, **(settings | options))  # type: ignore[call-overload]


def publish(folder: Path, edition: str, notes: Path = CONTENT, *options: str) -> None:
    """Publish notes into a folder for one reader, with options of the command; it must succeed."""
    assert notes.is_dir(), f"{notes.relative_to(TOP)}/ is not written yet"
    result = run("publish", str(notes), "--to", str(folder), "--for", edition, *options)
    assert result.returncode == 0, f"publish for {edition} failed:\n{result.stderr[-3000:]}"
