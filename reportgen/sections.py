"""Splits a note into its front matter, its findings and readings, and the text in between."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from markdown_it.token import Token

from reportgen import prose, yamltext
from reportgen.errors import Place, Problems
from reportgen.model import Prose
from reportgen.yamltext import INVISIBLE, Keys, Scalar, named_sign

FENCES = ("finding", "reading")
WORDS = (*FENCES, "private")
LONGEST = 20_000  # a paragraph beyond this is no prose, and slow to read [characters]
_DELIMITER = re.compile(r"[\s>*+\d.)-]*\|?[\s:|-]*-[\s:|-]*")


@dataclass(frozen=True)
class RawTable:
    """A table as written: header cells (columns,), rows (rows,) of (columns,) cells, each with its place."""

    heads: tuple[Scalar, ...]
    rows: tuple[tuple[Scalar, ...], ...]


@dataclass
class Section:
    """A heading with what stands under it.

    fence: "finding", "reading" or empty for narrative. data: the fence's keys. place: of the heading.
    offset: lines of the file before the text that `tokens` count from.
    """

    title: str
    level: int
    place: Place
    fence: str = ""
    data: Keys | None = None
    tokens: list[Token] = field(default_factory=list)
    lines: list[tuple[int, int]] = field(default_factory=list)
    env: dict[str, Any] = field(default_factory=dict)
    text: Sequence[str] = ()
    offset: int = 0
    prose_place: Place = field(default=Place())

    def prose(self) -> Prose:
        """Give the section's own text as Markdown and HTML."""
        if not self.tokens:
            return Prose(place=self.place)
        markdown = "\n\n".join("\n".join(self.text[a:b]) for a, b in self.lines)
        return Prose(markdown, prose.render(self.tokens, self.env), self.prose_place)

    def take_table(self) -> RawTable | None:
        """Take the table out that stands first under the fence; None if another thing does."""
        if not self.tokens or self.tokens[0].type != "table_open":
            return None
        end = next(n for n, t in enumerate(self.tokens) if t.type == "table_close") + 1
        tokens, self.tokens = self.tokens[:end], self.tokens[end:]
        self.lines = self.lines[1:]
        if self.lines:
            self.prose_place = Place(self.prose_place.file, self.offset + self.lines[0][0] + 1, 1)
        head, *rows = self._cells(tokens)
        return RawTable(head, tuple(rows))

    @property
    def later_table(self) -> Place | None:
        """Give the place of the first table that is not directly under the fence."""
        lines = (t.map[0] for t in self.tokens if t.type == "table_open" and t.map and t.level == 0)
        line = next(lines, None)
        return None if line is None else Place(self.prose_place.file, self.offset + line + 1, 1)

    def _cells(self, tokens: Sequence[Token]) -> Iterator[tuple[Scalar, ...]]:
        """Give the cells of each row as text with its place, columns counted by what stands before."""
        row: list[Scalar] = []
        line = at = 0
        for token, inner in itertools.pairwise(tokens):
            if token.type == "tr_open":
                line, at, row = (token.map or [0, 0])[0], 0, []
            elif token.type in ("th_open", "td_open"):
                text = inner.content.strip()
                found = self.text[line].find(text, at) if text else -1
                at = found + len(text) if found >= 0 else at
                row.append(Scalar(text, Place(self.place.file, self.offset + line + 1, max(found, 0) + 1)))
            elif token.type == "tr_close":
                yield tuple(row)

    def links(self) -> Iterator[tuple[str, str, Place]]:
        """Give ("link" or "image", address, place) of each link and picture of the text."""
        for line, what, address in prose.links(self.tokens):
            yield what, address, _found(address, line, self.text, self.offset, self.place.file)

    def anchors(self) -> Iterator[tuple[str, Place]]:
        """Give each id that the text links to, with its place."""
        for what, address, place in self.links():
            if what == "link" and address.startswith("#"):
                yield address[1:], place


def _found(address: str, line: int, text: Sequence[str], offset: int, file: str) -> Place:
    """Give the place of a link; of one written another way than it is read, the line's beginning."""
    column = text[line].find(address) if line < len(text) else -1
    return Place(file, offset + line + 1, max(0, column) + 1)


def split(text: str, file: str, problems: Problems) -> tuple[Keys, list[Section]]:
    """Split a note's text into front matter and sections.

    text: with \\n line ends and no BOM. The first section may be text before any heading (level 0).
    """
    keys, lines, offset = _parted(text, file, problems)
    env: dict[str, Any] = {}
    tokens = prose.parser().parse("\n".join(lines), env)
    return keys, _Splitter(lines, file, offset, problems, env).run(tokens)


def unsplit(text: str, file: str, problems: Problems) -> tuple[Keys, Section]:
    """Give a note's front matter, and all of its text as one section; its links are not checked yet."""
    keys, lines, offset = _parted(text, file, problems)
    whole = Section("", 0, Place(file, offset + 1, 1), text=lines, offset=offset)
    whole.tokens = prose.parser().parse("\n".join(lines), whole.env)
    _Splitter(lines, file, offset, problems, whole.env).check(whole.tokens)
    return keys, whole


def _parted(text: str, file: str, problems: Problems) -> tuple[Keys, list[str], int]:
    """Give a note's keys, the lines of its text, and how many lines stand before these."""
    lines = _visible(text, file, problems).split("\n")
    start, end, body = _front_matter(lines, file, problems)
    keys = yamltext.read("\n".join(lines[start:end]), file, start, problems)
    return keys, _readable(lines[body:], file, body, problems), body


def _visible(text: str, file: str, problems: Problems) -> str:
    """Tell signs that can't be seen, and give the text with blanks instead."""
    if not INVISIBLE.search(text):
        return text
    for number, line in enumerate(text.split("\n"), 1):
        match = INVISIBLE.search(line)
        if match:
            place = Place(file, number, match.start() + 1)
            problems.error(
                place, f"an invisible sign ({named_sign(match[0])})", "delete it and type the text again"
            )
    return INVISIBLE.sub(" ", text)


def _front_matter(lines: Sequence[str], file: str, problems: Problems) -> tuple[int, int, int]:
    """Give where the front matter begins and ends, and where the body begins [lines from 0]."""
    first = next((n for n, line in enumerate(lines) if line.strip()), 0)
    if lines[first].rstrip() != "---":
        return 0, 0, 0
    closing = next((n for n in range(first + 1, len(lines)) if lines[n].rstrip() == "---"), None)
    if closing is not None:
        return first + 1, closing, closing + 1
    problems.error(
        Place(file, first + 1, 1),
        "front matter that is opened and not closed",
        "write --- on a line of its own after the keys",
    )
    # what looks like keys is read as such, so that the next mistakes are told as well
    after = (
        n
        for n in range(first + 1, len(lines))
        if not lines[n].strip() or lines[n].startswith(("```", "# ", "## "))
    )
    end = next(after, len(lines))
    return first + 1, end, end


def _readable(lines: list[str], file: str, offset: int, problems: Problems) -> list[str]:
    """Take out what would take the Markdown reader minutes: endless paragraphs, tables of a million cells."""
    kept = list(lines)
    run = columns = cells = 0
    fenced = False

    def tell(number: int, found: str, write: str) -> None:
        problems.error(Place(file, offset + number + 1, 1), found, write)

    for number, line in enumerate(lines):
        fenced ^= line.startswith(("```", "~~~"))
        if fenced or not line.strip():
            run = columns = 0
        elif "|" in line and "-" in line and _DELIMITER.fullmatch(line):
            columns = len(line.strip().strip("|").split("|"))
            if columns > prose.MOST_COLUMNS:
                tell(number, f"a table of {columns} columns", f"keep a table to {prose.MOST_COLUMNS} columns")
                kept[number], columns = "", 0
        else:
            # a row is filled up to the table's width, however short it was written
            cells += columns
            run += 0 if columns and len(line) < LONGEST // 10 else len(line) + 1
        if run > LONGEST:
            found = f"more than {LONGEST:,} characters without a blank line"
            tell(number, found, "leave a blank line between paragraphs")
            kept[number], run = "", 0
        elif cells > prose.MOST_CELLS:
            found = f"tables of more than {prose.MOST_CELLS:,} cells in one note"
            tell(number, found, "give a summary, and keep the rest in a file of its own")
            return kept[:number]
    return kept


class _Splitter:
    """Walks the top-level tokens once; `open` holds the fenced sections that later text may belong to."""

    def __init__(
        self, lines: list[str], file: str, offset: int, problems: Problems, env: dict[str, Any]
    ) -> None:
        self.text, self.file, self.offset = lines, file, offset
        self.problems, self.env = problems, env
        self.done: list[Section] = []
        self.open: list[Section] = []
        self.owner = self._section("", 0, Place(file, offset + 1, 1))

    def _section(self, title: str, level: int, place: Place) -> Section:
        section = Section(title, level, place, env=self.env, text=self.text, offset=self.offset)
        self.done.append(section)
        return section

    def place(self, token: Token, key: str = "") -> Place:
        return Place(self.file, self.offset + (token.map[0] if token.map else 0) + 1, 1, key)

    def run(self, tokens: list[Token]) -> list[Section]:
        self.check(tokens)
        for line, what, address in prose.links(tokens):
            place = _found(address, line, self.text, self.offset, self.file)
            refused(what, address, place, self.problems)
        groups = _groups(tokens)
        for number, group in enumerate(groups):
            first = group[0]
            fence = _fence_word(first)
            if first.type == "heading_open":
                self._heading(group, groups[number + 1] if number + 1 < len(groups) else None)
            elif fence in FENCES:
                if number == 0 or groups[number - 1][0].type != "heading_open":
                    self._stray(first, fence)
            elif fence != "private":
                self._add(group)
        return [s for s in self.done if s.fence or s.tokens or s.title]

    def _heading(self, group: list[Token], following: list[Token] | None) -> None:
        level = int(group[0].tag[1])
        while self.open and self.open[-1].level >= level:
            self.open.pop()
        title = prose.plain(group[1].content).strip()
        fence = _fence_word(following[0]) if following else ""
        if fence in FENCES and following:
            self.owner = self._section(title, level, self.place(group[0]))
            self.owner.fence = fence
            self.owner.data = self._data(following[0])
            self.open.append(self.owner)
        elif self.open:
            self.owner = self.open[-1]
            self._add(group)
        else:
            self.owner = self._section(title, level, self.place(group[0]))

    def _data(self, token: Token) -> Keys:
        start = (token.map or [0, 0])[0]
        return yamltext.read(token.content.rstrip("\n"), self.file, self.offset + start + 1, self.problems)

    def _stray(self, token: Token, fence: str) -> None:
        second = any(s.data is not None and s is self.owner for s in self.open)
        if second:
            self.problems.error(
                self.place(token),
                f"a second fence under the heading {self.owner.title!r}",
                "give it a heading of its own",
            )
        else:
            self.problems.error(
                self.place(token),
                f"a {fence} fence that does not stand directly under a heading",
                f"put a line with the {fence}'s title above it: ## Title",
            )
        yamltext.read(
            token.content.rstrip("\n"), self.file, self.offset + (token.map or [0])[0] + 1, self.problems
        )

    def _add(self, group: list[Token]) -> None:
        first = group[0]
        if not self.owner.tokens:
            self.owner.prose_place = self.place(first)
        private = [t.map for t in group if _fence_word(t) == "private" and t.map]
        self.owner.tokens.extend(t for t in group if _fence_word(t) != "private")
        start, end = first.map or (0, 0)
        for begins, ends in private:
            self.owner.lines.append((start, begins))
            start = ends
        self.owner.lines.append((start, end))

    def check(self, tokens: list[Token]) -> None:
        """Tell what neither a report nor a plain page can hold."""
        rows = 0
        for token in tokens:
            if token.level >= prose.MAX_NESTING - 2:
                self.problems.error(self.place(token), "lists or quotes nested too deep", "write it flatter")
                break
            rows = rows + 1 if token.type == "tr_open" else 0 if token.type == "table_open" else rows
            if token.type == "tr_open" and rows == prose.MOST_ROWS + 2:
                write = f"keep a table to {prose.MOST_ROWS} rows"
                self.problems.error(self.place(token), f"a table of more than {prose.MOST_ROWS} rows", write)
            if token.type == "fence":
                self._fence(token, _written(token))
            elif token.type == "code_block":
                self._hidden_fence(self.place(token), token.content, "indented by four blanks or more")
        for line, part in prose.inline_parts(tokens):
            place = Place(self.file, self.offset + line + 1, 1)
            if part.type == "code_inline" and len(part.markup) > 2:
                self._hidden_fence(place, part.markup + part.content, "on one line")
            elif part.type == "text" and "<!--" in part.content:
                self.problems.error(place, "a remark <!-- that the page would show", "put it into ```private")

    def _fence(self, token: Token, word: str) -> None:
        place = self.place(token)
        if _near(word):
            self.problems.error(
                place, f"a fence with the word {word!r}", f"write {token.markup}{_near(word)}"
            )
            word = _near(word)
        if word not in WORDS:
            return
        if word in FENCES and token.level > 0:
            self.problems.error(place, f"a {word} fence inside a list or quote", "move it to the left margin")
        start, end = token.map or [0, 0]
        last = self.text[end - 1].lstrip("> \t") if end <= len(self.text) else ""
        if end - start < 2 or not last.startswith(token.markup):
            self.problems.error(
                place, f"a {word} fence that is opened and not closed", f"write {token.markup} after it"
            )

    def _hidden_fence(self, place: Place, content: str, how: str) -> None:
        """Find a fence that Markdown takes for an example, so that its text would be published."""
        match = re.match(r"\s*(?:```+|~~~+)\s*(\w+)", content)
        if match and match[1].lower() in WORDS:
            self.problems.error(
                place, f"a {match[1]} fence {how}", f"write ```{match[1].lower()} alone at the left margin"
            )


def refused(what: str, address: str, place: Place, problems: Problems) -> None:
    """Tell a picture, or a link that a page of ours doesn't follow."""
    if what == "image":
        found, write = (
            f"a picture {address!r} in the text",
            "list it under photos: in the fence or the front matter",
        )
        problems.error(place, found, write)
    elif not prose.link_allowed(address):
        write = "link to https://, http://, mailto:, tel: or #id of this survey only"
        problems.error(place, f"a link to {address!r}", write)


def _groups(tokens: Iterable[Token]) -> list[list[Token]]:
    """Give the top-level blocks, each as its run of tokens."""
    groups: list[list[Token]] = []
    depth = 0
    for token in tokens:
        if depth == 0:
            groups.append([])
        groups[-1].append(token)
        depth += token.nesting
    return groups


def _written(token: Token) -> str:
    return token.info.split()[0].lower() if token.type == "fence" and token.info.split() else ""


def _fence_word(token: Token) -> str:
    """Give the fence's word; one that is nearly ours is read as ours, its mistake being told."""
    word = _written(token)
    return _near(word) or word


def _near(word: str) -> str:
    """Give our word that differs in one or two letters; none for our own, and none for "heading"."""
    if word in ("", "heading", *WORDS):
        return ""
    alike = (w for w in WORDS if abs(len(w) - len(word)) <= 2 and _distance(word, w) <= 2)
    return next(alike, "")


def _distance(a: str, b: str) -> int:
    """Give how many letters must change to make one word the other."""
    row = list(range(len(b) + 1))
    for i, x in enumerate(a, 1):
        last, row[0] = row[0], i
        for j, y in enumerate(b, 1):
            last, row[j] = row[j], min(row[j] + 1, row[j - 1] + 1, last + (x != y))
    return row[-1]
