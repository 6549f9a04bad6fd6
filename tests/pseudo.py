"""Shows which words of a report are in no catalogue: `python -m tests.pseudo [PASSAGE]` lists them.

The demo is published in a language that puts each text of a catalogue into brackets. What stands outside
them and is neither a word of the notes nor of a published source is still to be converted.
"""

from __future__ import annotations

import html
import importlib
import re
import sys
import tempfile
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import is_dataclass
from functools import cache
from html.parser import HTMLParser
from pathlib import Path

from reportgen import publish, racks, sources, theme, wording
from reportgen.block import keys_of
from reportgen.blocks.finding import SEVERITIES
from reportgen.kind import OUTCOMES
from reportgen.unitnames import UNITS
from tests.project import CONTENT

OPEN, CLOSE = "\N{MATHEMATICAL LEFT WHITE SQUARE BRACKET}", "\N{MATHEMATICAL RIGHT WHITE SQUARE BRACKET}"
STATES = ("open", "reported done", "checked")
# what is the same in every language: file names, units, signs of the trade
SAME = frozenset("reportgen csv json html sha256sums jpg p10 p50 p80 p90 usd eur nz v hin a4".split())  # noqa: SIM905
SPOKEN_ATTRIBUTES = ("alt", "aria-label", "title", "data-h", "content")


class Brackets:
    """A catalogue that puts every text into brackets."""

    def gettext(self, message: str) -> str:
        """Give a text in brackets."""
        return f"{OPEN}{message}{CLOSE}"

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        """Give the English form in brackets."""
        return self.gettext(msgid1 if n == 1 else msgid2)

    def pgettext(self, context: str, message: str) -> str:
        """Give a word in brackets; a name may be the writer's, and stays so where no catalogue has it."""
        return message if context == "name" and message not in _names() else self.gettext(message)

    def npgettext(self, context: str, msgid1: str, msgid2: str, n: int) -> str:
        """Give the English form in brackets."""
        return self.ngettext(msgid1, msgid2, n)


@cache
def _names() -> frozenset[str]:
    from tests import catalogue

    return frozenset(each.text for each in catalogue.everything() if each.context == "name")


class _Outside(HTMLParser):
    """Collects what stands outside brackets, with the passage that it stands in."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.found: list[tuple[str, str]] = []
        self.depth, self.passage, self.silent = 0, "", ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if (given.get("id") or "").startswith("passage-"):
            self.passage = str(given["id"]).removeprefix("passage-")
        if tag in ("style", "script"):
            self.silent = tag
        for name in SPOKEN_ATTRIBUTES:
            if given.get(name) and tag != "meta":
                self.found.append((self.passage, f"\n{outer(str(given[name]))[0]}\n"))
        if tag not in ("strong", "span", "em", "a", "b", "code", "tspan"):
            self.found.append((self.passage, "\n"))

    def handle_endtag(self, tag: str) -> None:
        if tag == self.silent:
            self.silent = ""

    def handle_data(self, data: str) -> None:
        if not self.silent:
            text, self.depth = outer(data, self.depth)
            self.found.append((self.passage, text))


def outer(text: str, depth: int = 0) -> tuple[str, int]:
    """Give what stands outside brackets, and how deep the end of the text stands in them."""
    kept = []
    for sign in text:
        if sign == OPEN:
            depth += 1
            kept.append("\n")
        elif sign == CLOSE:
            depth -= 1
        elif depth == 0:
            kept.append(sign)
    return "".join(kept), depth


def _plain(text: str) -> str:
    bare = html.unescape(text).replace("\N{NON-BREAKING HYPHEN}", "-")
    return " ".join(re.sub(r"[*_`#\[\]()|\u201c\u201d\"'\u2019]", "", bare).casefold().split())


@cache
def _keys() -> frozenset[str]:
    modules = [importlib.import_module(f"reportgen.blocks.{name}") for name in racks.names("blocks")]
    blocks = [b for m in modules for b in vars(m).values() if isinstance(b, type) and is_dataclass(b)]
    return frozenset(key for block in blocks for key in keys_of(block))


def corpus(notes: Path) -> str:
    """Give all that the writer wrote, and the names of published sources, in plain small letters."""
    lines = []
    for path in sorted(notes.rglob("*.md")):
        for line in path.read_text(encoding="utf-8").splitlines():
            head, colon, rest = line.strip().removeprefix("- ").partition(":")
            lines.append(rest if colon and head.strip() in _keys() else line)
    lines += [str(source) for source in sources.all_sources().values()]
    return _plain("\n".join(lines).replace(",", " , "))


def left(pages: Iterable[str], written: str) -> Iterator[tuple[str, str]]:
    """Give (passage, words) of what stands outside brackets and is no word of the notes."""
    for page in pages:
        parser = _Outside()
        parser.feed(page)
        runs: list[list[str]] = []
        for passage, text in parser.found:
            if not runs or runs[-1][0] != passage:
                runs.append([passage, ""])
            runs[-1][1] += text
        for passage, text in runs:
            for piece in re.split(r"[\n,;:.()!?/=×+≥≤<>→%]+|\s[-\u2212\u2013]\s", text):
                words = _plain(piece)
                if _ours(words, written):
                    yield passage, words


def _ours(words: str, written: str) -> bool:
    if words in (*SEVERITIES, *STATES, *OUTCOMES):
        return True
    bare = re.sub(r"[-\u2212~<>\w]*\d[\w.,\u202f]*", " ", words)  # numbers and what hangs on them
    own = [w for w in re.findall(r"[^\W\d_][\w\u2019-]*", bare) if len(w) > 1 and w not in _same()]
    return bool(own) and words not in written and " ".join(bare.split()) not in written


@cache
def _same() -> frozenset[str]:
    units = {w.casefold() for table in UNITS.values() for unit in table for w in re.split(r"[/ ·]", unit)}
    with wording.speaking("de"):
        months = " ".join(wording.month(2026, n) for n in range(1, 13)).casefold().split()
    return SAME | units | set(months)


def published(editions: Iterable[str], notes: Path = CONTENT, charts: bool = True) -> list[str]:
    """Give the demo's pages with every text of a catalogue in brackets; charts: drawn or not."""
    kept, wording.catalogue = wording.catalogue, lambda spoken: Brackets()  # type: ignore[assignment]
    try:
        pages = []
        for name in editions:
            with tempfile.TemporaryDirectory() as folder:
                wish = publish.Wish(
                    publish.edition_named(name), theme.find(), charts=charts, language="de", units="both"
                )
                publish.publish(notes, Path(folder) / "site", wish)
                # a guide is the writer's from its first word to its last
                made = (p for p in sorted(Path(folder).rglob("*.html")) if p.parent.name != "guide")
                pages += [p.read_text(encoding="utf-8") for p in made]
        return pages
    finally:
        wording.catalogue = kept  # type: ignore[misc]


def main(only: str = "") -> None:
    """List what is left, by passage, the commonest first."""
    found = Counter(left(published(("buyer", "yard", "seller", "lender")), corpus(CONTENT)))
    by_passage: dict[str, list[tuple[int, str]]] = {}
    for (passage, words), n in found.items():
        by_passage.setdefault(passage, []).append((n, words))
    for passage, rows in sorted(by_passage.items()):
        if only in ("", passage):
            print(f"{passage or 'page'}: {len(rows)}")
            for n, words in sorted(rows, reverse=True)[: 400 if only else 12]:
                print(f"    {n:4} {words}")
    print(f"{len({words for _, words in found})} different texts left")


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:2]))
