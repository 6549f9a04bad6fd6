"""Reads YAML as plain text with the place of every word, so that no value changes its meaning unasked."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

import yaml

from reportgen.errors import Place, Problems

MAX_DEPTH = 32
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_PLAIN_TAGS = {"str", "int", "float", "bool", "null", "timestamp", "seq", "map", "merge", "value"}


@dataclass(frozen=True)
class Scalar:
    """One word or sentence, as written. quoted: whether it stood in quotes or as a block of text."""

    text: str
    place: Place
    quoted: bool = False

    @property
    def empty(self) -> bool:
        """Say whether nothing was filled in (an empty plain value)."""
        return not self.quoted and self.text in ("", "~", "null")


@dataclass(frozen=True)
class Items:
    """A list of nodes."""

    items: tuple[Node, ...]
    place: Place
    braces: bool = False


@dataclass(frozen=True)
class Keys:
    """A mapping: (key, value) pairs in the order written."""

    entries: tuple[tuple[Scalar, Node], ...]
    place: Place
    braces: bool = False

    def get(self, key: str) -> Node | None:
        """Give the value of a key, or None."""
        return next((value for name, value in self.entries if name.text == key), None)


Node = Scalar | Items | Keys


def read(text: str, file: str, line: int, problems: Problems, column: int = 0) -> Keys:
    """Read one block of YAML.

    text: the block; line: the line of the file before its first one; column: characters cut off at the left.
    Problems get every mistake found; what can be read is returned all the same.
    """
    reader = _Reader(text.replace("\N{NO-BREAK SPACE}", " "), file, line, column, problems)
    return reader.block()


class _Reader:
    def __init__(self, text: str, file: str, line: int, column: int, problems: Problems) -> None:
        self.text, self.file, self.line, self.column, self.problems = text, file, line, column, problems
        self.lines = text.split("\n")
        self.seen: set[int] = set()

    def place(self, mark: yaml.Mark, key: str = "") -> Place:
        return Place(self.file, self.line + mark.line + 1, self.column + mark.column + 1, key)

    def here(self) -> Place:
        return Place(self.file, self.line + 1, 1)

    def block(self) -> Keys:
        empty = Keys((), self.here())
        self._remarks()
        try:
            if any(self._forbidden_words()):
                return empty
            node = yaml.compose(self.text, Loader=_LOADER)
        except yaml.MarkedYAMLError as error:
            self._syntax(error)
            return empty
        except (yaml.YAMLError, ValueError, RecursionError) as error:
            self.problems.error(self.here(), _first_line(error), "write plain text only")
            return empty
        if node is None:
            return empty
        if not isinstance(node, yaml.MappingNode):
            self.problems.error(self.place(node.start_mark), "no keys here", "write lines of `key: value`")
            return empty
        walked = self._walk(node, "", 0)
        return walked if isinstance(walked, Keys) else empty

    def _forbidden_words(self) -> Iterator[bool]:
        """Refuse anchors, aliases and tags at their own place; only scanned for when a sign of one is there."""
        if not re.search(r"(?:^|[\s,\[{:-])[&*!]", self.text):
            return
        kinds = {
            yaml.AnchorToken: ("an anchor", "&"),
            yaml.AliasToken: ("an alias", "*"),
            yaml.TagToken: ("a tag", "!"),
        }
        for token in yaml.scan(self.text, Loader=_LOADER):
            name, sign = kinds.get(type(token), ("", ""))
            if name:
                word = self._word(token.start_mark)
                self.problems.error(
                    self.place(token.start_mark),
                    f"{word!r} begins with {sign}, which YAML reads as {name}",
                    f'put the text in quotes: "{word}"',
                )
                yield True

    def _word(self, mark: yaml.Mark) -> str:
        rest = self.lines[mark.line][mark.column :] if mark.line < len(self.lines) else ""
        return re.split(r"[\s,\]}]", rest, maxsplit=1)[0]

    def _walk(self, node: yaml.Node, key: str, depth: int) -> Node:
        place = self.place(node.start_mark, key)
        if depth > MAX_DEPTH:
            self.problems.error(place, f"more than {MAX_DEPTH} levels of nesting", "write it flatter")
            return Scalar("", place)
        if isinstance(node, yaml.ScalarNode):
            return self._scalar(node, place)
        if isinstance(node, yaml.SequenceNode):
            return Items(
                tuple(self._walk(n, key, depth + 1) for n in node.value), place, bool(node.flow_style)
            )
        return self._keys(node, place, depth) if isinstance(node, yaml.MappingNode) else Scalar("", place)

    def _scalar(self, node: yaml.ScalarNode, place: Place) -> Scalar:
        quoted = node.style is not None
        text = node.value
        if not quoted and re.fullmatch("[“”„‘’‚«].*[“”‘’»]", text, re.S):
            self.problems.error(
                place, f"curly quotes round {text}", f'write "{text[1:-1]}" with straight quotes'
            )
        return Scalar(text, place, quoted)

    def _keys(self, node: yaml.MappingNode, place: Place, depth: int) -> Keys:
        entries: list[tuple[Scalar, Node]] = []
        known: set[str] = set()
        braces = bool(node.flow_style)
        for key_node, value_node in node.value:
            where = self.place(key_node.start_mark)
            if not isinstance(key_node, yaml.ScalarNode):
                self.problems.error(where, "a list or block as a key", "write one word before the colon")
                continue
            name = Scalar(key_node.value, where.at(key_node.value), key_node.style is not None)
            if name.text in known:
                self.problems.error(name.place, f"{name.text!r} stands twice", "keep one of the two")
            value = self._walk(value_node, name.text, depth + 1)
            if braces and isinstance(value, Scalar) and value.empty and not self._has_colon(value_node, name):
                self._broken_braces(name, entries)
                continue
            if name.text not in known:
                known.add(name.text)
                entries.append((name, value))
        return Keys(tuple(entries), place, braces)

    def _has_colon(self, value: yaml.Node, name: Scalar) -> bool:
        line = self.lines[value.start_mark.line] if value.start_mark.line < len(self.lines) else ""
        before = line[: value.start_mark.column + 1]
        return bool(re.search(r":\s*[,}]?$", before))

    def _broken_braces(self, name: Scalar, entries: list[tuple[Scalar, Node]]) -> None:
        """A key without a value inside braces is nearly always a comma or a missing blank."""
        glued = re.fullmatch(r"([^:]+):(\S.*)", name.text)
        if glued:
            self.problems.error(
                name.place, f"no blank after the colon in {name.text!r}", f"write {glued[1]}: {glued[2]}"
            )
            return
        last = entries[-1] if entries else None
        before = last[1].text if last and isinstance(last[1], Scalar) else ""
        if last and re.fullmatch(r"[+-]?\d+", before) and re.fullmatch(r"\d+.*", name.text):
            thousands = re.fullmatch(r"\d{3}(\D.*)?", name.text)
            joint = "" if thousands else "."
            write = f"write {last[0].text}: {before}{joint}{name.text}"
            self.problems.error(name.place, f"a comma inside the number {before},{name.text}", write)
        elif last and before:
            self.problems.error(
                name.place,
                f"a comma in the text {before + ', ' + name.text!r} ends it there",
                f'put it in quotes: {last[0].text}: "{before}, {name.text}"',
            )
        else:
            self.problems.error(
                name.place, f"{name.text!r} has no value", f"write {name.text}: and its value"
            )

    def _remarks(self) -> None:
        """Warn of a `#` straight before a letter or digit: YAML drops what follows in silence."""
        if "#" not in self.text:
            return
        in_block_text = -1
        for number, line in enumerate(self.lines):
            indent = len(line) - len(line.lstrip())
            if in_block_text >= 0 and (not line.strip() or indent > in_block_text):
                continue
            in_block_text = indent if re.search(r":\s*[|>][+-]?\d*\s*(#.*)?$", line) else -1
            bare = re.sub(r'"(?:[^"\\]|\\.)*"|\'[^\']*\'', lambda m: "x" * len(m[0]), line)
            match = re.search(r"(?:(?<=\s)|^)#(?=\w)", bare)
            if match:
                dropped = line[match.start() :].rstrip()
                before = line[: match.start()].rstrip()
                corrected = f'{before} "{dropped}"'.strip() if before.endswith(":") else f'"{dropped}"'
                self.problems.warn(
                    Place(self.file, self.line + number + 1, self.column + match.start() + 1),
                    f"{dropped!r} is read as a remark and dropped",
                    f"put it in quotes: {corrected}; or write # and a blank for a remark",
                )

    def _syntax(self, error: yaml.MarkedYAMLError) -> None:
        mark = error.problem_mark or error.context_mark
        if mark is None:
            self.problems.error(self.here(), _first_line(error), "look at the block's lines")
            return
        found, write, line = self._plain_words(str(error.problem or ""), mark, error.context_mark)
        self.problems.error(
            Place(self.file, self.line + line + 1, self.column + mark.column + 1), found, write
        )

    def _plain_words(self, problem: str, mark: yaml.Mark, context: yaml.Mark | None) -> tuple[str, str, int]:
        for number in (mark.line, mark.line - 1):
            line = self.lines[number] if 0 <= number < len(self.lines) else ""
            glued = re.match(r"\s*(?:- )?([a-z][a-z ]*):(?=[^\s:/])(.+)", line)
            if glued:
                return (
                    f"no blank after the colon in {line.strip()!r}",
                    f"write {glued[1]}: {glued[2]}",
                    number,
                )
        line = self.lines[mark.line] if mark.line < len(self.lines) else ""
        if "\t" in line[: mark.column + 1]:
            return "a tab at the start of the line", "indent with blanks", mark.line
        if "mapping values are not allowed" in problem:
            key, _, rest = line.strip().partition(": ")
            return (
                f"a second colon in {line.strip()!r}",
                f'put the text in quotes: {key}: "{rest}"',
                mark.line,
            )
        if "found unexpected end of stream" in problem or "while scanning a quoted" in str(context or ""):
            start = context.line if context else mark.line
            return "a quote that is opened and not closed", "close it with the same quote sign", start
        if "expected ',' or" in problem:
            start = context.line if context else mark.line
            return "a bracket or brace that is opened and not closed", "close it with ] or }", start
        if "cannot start any token" in problem:
            word = self._word(mark)
            return (
                f"{word!r} begins with a sign that YAML keeps for itself",
                f'put it in quotes: "{word}"',
                mark.line,
            )
        if "could not find expected ':'" in problem or "expected <block end>" in problem:
            text = line.strip() or "this line"
            return f"{text!r} fits no key", "write `key: value`, lines of one block at one depth", mark.line
        return f"{line.strip()!r} can't be read as YAML ({problem})", "write `key: value`", mark.line


def _first_line(error: Exception) -> str:
    return (str(error).splitlines() or ["not readable"])[0]
