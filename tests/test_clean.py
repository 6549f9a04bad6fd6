"""What no file of the project may hold: a registry's host, a path of one machine, a secret, bulk."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.project import TOP, files

# Put together from parts, so that this file doesn't hold what it looks for.
HOSTS = [
    "py" + "pi.org",
    "pythonhosted" + ".org",
    "npm" + "js.org",
    "npm" + "js.com",
    "yarnpkg" + ".com",
    "deb.debian" + ".org",
    "proxy.golang" + ".org",
]
FOLDERS = ["work", "root", "farm", "home", "Users", "tmp", "opt"]
PATTERNS = {
    "a registry's host": re.compile("|".join(map(re.escape, HOSTS)), re.IGNORECASE),
    "a path of one machine": re.compile(rf"(?<![\w.~*}})<-])/(?:{'|'.join(FOLDERS)})/\w"),
    "a private key": re.compile("-----BEGIN [A-Z ]*" + "PRIVATE KEY-----"),
}


def found_in(text: str) -> dict[str, list[str]]:
    """Give what a text holds that it may not, by what it is."""
    hits = {what: [m[0] for m in pattern.finditer(text)] for what, pattern in PATTERNS.items()}
    return {what: each for what, each in hits.items() if each}


def _text(path: Path) -> str:
    # bytes that are no text are read as Latin-1: a path within a picture's metadata is seen as well
    return path.read_bytes().decode("utf-8", errors="surrogateescape")


def test_no_file_names_a_registry_or_a_machine() -> None:
    """The project installs from wherever the reader's tools are set to, and knows no machine's folders."""
    assert files()
    hits = {str(p.relative_to(TOP)): found_in(_text(p)) for p in files()}
    assert not {name: each for name, each in hits.items() if each}


@pytest.mark.parametrize(
    "text",
    [
        "index-url = https://" + HOSTS[0] + "/simple",
        "resolved: https://registry." + HOSTS[2] + "/x",
        "open('/" + "root/notes')",
        '"/' + 'work/main"',
        "-----BEGIN OPENSSH " + "PRIVATE KEY-----",
    ],
)
def test_planted_text_is_found(text: str) -> None:
    """Each thing that may not be there is seen when it is."""
    assert len(found_in(text)) == 1


@pytest.mark.parametrize("text", ["tests/" + "work/x", "../root/x", "https://example.org/home/x", "a/opt/b"])
def test_relative_paths_are_no_fault(text: str) -> None:
    """A folder within the project or on a web page may have any name."""
    assert not found_in(text)


def test_no_file_is_bulky() -> None:
    """No file but a language's texts is over 600 KB: what is large is made, not kept."""
    others = (p for p in files() if p.suffix not in (".po", ".mo"))
    assert not {str(p.relative_to(TOP)): p.stat().st_size for p in others if p.stat().st_size > 600_000}
