"""Splits a note into its front matter, its findings and readings, and the text in between."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

from markdown_it.token import Token

from reportgen import prose, yamltext
from reportgen.errors import Place, Problems
from reportgen.model import Prose
from reportgen.yamltext import Keys

FENCES = ("finding", "reading")
_CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\u202a-\u202e\u2066-\u2069]")


@dataclass
class Section:
    """A heading with what stands under it.

    fence: "finding", "reading" or empty for narrative. data: the fence's keys. place: of the heading.
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
    prose_place: Place = field(default=Place())

    def prose(self) -> Prose:
        """Give the section's own text as Markdown and HTML."""
        if not self.tokens:
            return Prose(place=self.place)
        markdown = "\n\n".join("\n".join(self.text[a:b]) for a, b in self.lines)
        return Prose(markdown, prose.render(self.tokens, self.env), self.prose_place)


def split(text: str, file: str, problems: Problems) -> tuple[Keys, list[Section]]:
    """Split a note's text into front matter and sections.

    text: with \\n line ends and no BOM. The first section may be text before any heading (level 0).
    """
    _invisible(text, file, problems)
    front, body, offset = _front_matter(text, file, problems)
    keys = yamltext.read(front, file, 1, problems) if front is not None else Keys((), Place(file, 1, 1))
    return keys, _sections(body, file, offset, problems)


def _invisible(text: str, file: str, problems: Problems) -> None:
    for number, line in enumerate(text.split("\n"), 1):
        match = _CONTROL.search(line)
        if match:
            place = Place(file, number, match.start() + 1)
            problems.error(
                place, f"an invisible sign (U+{ord(match[0]):04X})", "delete it and type the text again"
            )


def _front_matter(text: str, file: str, problems: Problems) -> tuple[str | None, str, int]:
    """Give the front matter, the body, and how many lines stand before the body."""
    lines = text.split("\n")
    if lines[0].rstrip() != "---":
        return None, text, 0
    for number, line in enumerate(lines[1:], 1):
        if line.rstrip() == "---":
            return "\n".join(lines[1:number]), "\n".join(lines[number + 1 :]), number + 1
    problems.error(
        Place(file, 1, 1),
        "front matter that is opened and not closed",
        "write --- on a line of its own after the keys",
    )
    return None, "", 0


def _sections(body: str, file: str, offset: int, problems: Problems) -> list[Section]:
    env: dict[str, Any] = {}
    tokens = prose.parser().parse(body, env)
    return _Splitter(body, file, offset, problems, env).run(tokens)


class _Splitter:
    """Walks the top-level tokens once; `open` holds the fenced sections that later text may belong to."""

    def __init__(self, body: str, file: str, offset: int, problems: Problems, env: dict[str, Any]) -> None:
        self.text, self.file, self.offset = body.split("\n"), file, offset
        self.problems, self.env = problems, env
        self.done: list[Section] = []
        self.open: list[Section] = []
        self.owner = self._section("", 0, Place(file, offset + 1, 1))

    def _section(self, title: str, level: int, place: Place) -> Section:
        section = Section(title, level, place, env=self.env, text=self.text)
        self.done.append(section)
        return section

    def place(self, token: Token, key: str = "") -> Place:
        return Place(self.file, self.offset + (token.map[0] if token.map else 0) + 1, 1, key)

    def run(self, tokens: list[Token]) -> list[Section]:
        self._check(tokens)
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
        start, end = token.map or [0, 0]
        closing = self.text[end - 1].strip() if end - 1 < len(self.text) else ""
        if end - start < 2 or not closing.startswith(token.markup):
            self.problems.error(
                self.place(token),
                f"a {token.info.split()[0]} fence that is opened and not closed",
                f"write {token.markup} after it",
            )
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
        self.owner.tokens.extend(group)
        if first.map:
            self.owner.lines.append((first.map[0], first.map[1]))

    def _check(self, tokens: list[Token]) -> None:
        for token in tokens:
            if token.level >= prose.MAX_NESTING - 2:
                self.problems.error(self.place(token), "lists or quotes nested too deep", "write it flatter")
                break
            word = _fence_word(token)
            if word in (*FENCES, "private") and token.level > 0:
                self.problems.error(
                    self.place(token), f"a {word} fence inside a list or quote", "move it to the left margin"
                )
            near = next((f for f in FENCES if word and word not in FENCES and _distance(word, f) <= 2), None)
            if near and word != "heading":
                self.problems.error(self.place(token), f"a fence with the word {word!r}", f"write ```{near}")
        for line, what, address in prose.links(tokens):
            self._link(line, what, address)

    def _link(self, line: int, what: str, address: str) -> None:
        place = Place(self.file, self.offset + line + 1, 1)
        if what == "image":
            self.problems.error(
                place,
                f"a picture {address!r} in the text",
                "list it under photos: in the fence or the front matter",
            )
        elif not prose.link_allowed(address):
            self.problems.error(
                place,
                f"a link to {address!r}",
                "link to https://, http://, mailto:, tel: or #id of this survey only",
            )


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


def _fence_word(token: Token) -> str:
    return token.info.split()[0].lower() if token.type == "fence" and token.info.split() else ""


def _distance(a: str, b: str) -> int:
    """Give how many letters must change to make one word the other."""
    row = list(range(len(b) + 1))
    for i, x in enumerate(a, 1):
        last, row[0] = row[0], i
        for j, y in enumerate(b, 1):
            last, row[j] = row[j], min(row[j] + 1, row[j - 1] + 1, last + (x != y))
    return row[-1]
