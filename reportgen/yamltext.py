"""Reads YAML as plain text with the place of every word, so that no value changes its meaning unasked."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import yaml

from reportgen import yamlnodes
from reportgen.errors import Place, Problems

MAX_DEPTH = 32
_HARD_BLANK = re.compile("[\u00a0\u2000-\u200a\u202f\u205f\u3000]")
# control signs, line ends that only YAML knows, and signs that turn the direction of the text
INVISIBLE = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u200b\u2028-\u202e\u2060-\u2069\ufeff\ufffe\uffff]"
)
_CURLY = re.compile("[“”„‘’‚«].*[“”‘’»]", re.S)
# a block without any of these holds no curly quotes, and no escape that could make an invisible sign
_ODD = re.compile(rf"[“”„‘’‚«\\]|{INVISIBLE.pattern}")
_KEY = re.compile(r"\s*([A-Za-z0-9][^:#]*):(?=\s|$|[^\s/:])")
_GLUED = re.compile(r"([A-Za-z][A-Za-z -]*):([^\s:/].*)")
_BEGINS_KEY = re.compile(r"\s*[^\s#\-}\],]")


@dataclass(frozen=True)
class Scalar:
    """One word or sentence, as written.

    quoted: whether it stood in quotes or as a block of text.
    lost: whether it couldn't be read; the mistake is told already, so nothing more is to be said of it.
    """

    text: str
    place: Place
    quoted: bool = False
    lost: bool = False

    @property
    def empty(self) -> bool:
        """Say whether nothing was filled in (an empty plain value)."""
        return not self.quoted and not self.lost and self.text in ("", "~", "null")


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
Inside = tuple[tuple[str, int, int], ...]  # as a Place has it


def read(text: str, file: str, line: int, problems: Problems, column: int = 0) -> Keys:
    """Read one block of YAML.

    text: the block; line: the line of the file before its first one; column: characters cut off at the left.
    Problems get every mistake found; what can be read is returned all the same.
    """
    return _Reader(_HARD_BLANK.sub(" ", text), file, line, column, problems).block()


class _Reader:
    def __init__(self, text: str, file: str, line: int, column: int, problems: Problems) -> None:
        self.text, self.file, self.line, self.column, self.problems = text, file, line, column, problems
        self.lines = text.split("\n")
        self.odd = bool(_ODD.search(text))
        self.dropped: set[int] = set()
        self.key = ""

    def place(self, mark: yaml.Mark, key: str = "", inside: Inside = ()) -> Place:
        line, column = self.line + mark.line + 1, self.column + mark.column + 1
        return Place(self.file, line, column, key or self.key, inside)

    def line_at(self, number: int) -> str:
        """Give a line of the block; YAML's marks may lie before the first or after the last."""
        return self.lines[number] if 0 <= number < len(self.lines) else ""

    def here(self) -> Place:
        return Place(self.file, self.line + 1, 1)

    def block(self) -> Keys:
        self._remarks()
        node, failure = None, None
        try:
            node = None if self._forbidden() else yamlnodes.compose(self.text)
        except (yaml.YAMLError, ValueError, RecursionError) as error:
            failure = error
        if isinstance(node, yaml.MappingNode):
            return self._keys(node, "", 0)
        return self._piecewise(failure) if self.text.strip() else Keys((), self.here())

    def _piecewise(self, failure: Exception | None) -> Keys:
        """Read a faulty block key by key, so that one mistake doesn't hide the next."""
        entries: list[tuple[Scalar, Node]] = []
        known: set[str] = set()
        told = False
        for start, end in self._pieces():
            piece = _Reader(
                "\n".join(self.lines[start:end]), self.file, self.line + start, self.column, self.problems
            )
            piece.dropped = {n - start for n in self.dropped}
            piece.key = next((name.text for name, _ in piece.lost()), "")
            found = piece.alone()
            told = told or found is None
            for name, value in found or piece.lost():
                if name.text in known:
                    self.problems.error(name.place, f"{name.text!r} stands twice", "keep one of the two")
                else:
                    entries.append((name, value))
                known.add(name.text)
        if failure and not told:
            self._syntax(failure)
        return Keys(tuple(entries), self.here().holding(_inside(entries)))

    def _pieces(self) -> Iterator[tuple[int, int]]:
        """Give (first line, line after the last) of each key of the outermost level."""
        indents = [len(s) - len(s.lstrip()) if _BEGINS_KEY.match(s) else None for s in self.lines]
        outer = next((i for i in indents if i is not None), 0)
        starts = [n for n, indent in enumerate(indents) if indent is not None and indent <= outer]
        starts = starts if starts[:1] == [0] else [0, *starts]
        yield from zip(starts, [*starts[1:], len(self.lines)], strict=True)

    def alone(self) -> tuple[tuple[Scalar, Node], ...] | None:
        """Read one key with all that stands under it; None after telling why it can't be read."""
        try:
            if self._forbidden(tell=True):
                return None
            node = yamlnodes.compose(self.text)
        except (yaml.YAMLError, ValueError, RecursionError) as error:
            self._syntax(error)
            return None
        if node is None:
            return ()
        if isinstance(node, yaml.MappingNode):
            self.key = ""
            return self._keys(node, "", 0).entries
        self._no_keys(node)
        return None

    def lost(self) -> tuple[tuple[Scalar, Node], ...]:
        """Give the key of a piece that can't be read, so that it doesn't count as missing."""
        match = next((m for m in map(_KEY.match, self.lines) if m), None)
        if not match:
            return ()
        place = Place(self.file, self.line + self.lines.index(match.string) + 1, self.column + 1, match[1])
        return ((Scalar(match[1], place), Scalar("", place, lost=True)),)

    def _no_keys(self, node: yaml.Node) -> None:
        place = self.place(node.start_mark)
        text = self.line_at(node.start_mark.line).strip()
        glued = _GLUED.fullmatch(text)
        if not text:
            self.problems.error(self.here(), "a line --- inside the block", "take the line out")
        elif glued:
            self.problems.error(
                place, f"no blank after the colon in {text!r}", f"write {glued[1]}: {glued[2]}"
            )
        elif isinstance(node, yaml.ScalarNode):
            self.problems.error(place, f"{text!r} fits no key", "write `key: value`")
        else:
            self.problems.error(place, "a list, and no keys", "write lines of `key: value`")

    def _forbidden(self, tell: bool = False) -> bool:
        """Say whether there are anchors, aliases or tags."""
        found = False
        for mark, sign, name in yamlnodes.forbidden(self.text):
            found = True
            if tell:
                self.problems.error(
                    self.place(mark),
                    f"{self._word(mark)!r} begins with {sign}, which YAML reads as {name}",
                    f"put the text in quotes: {self._in_quotes(mark)}",
                )
        return found

    def _word(self, mark: yaml.Mark) -> str:
        rest = self.line_at(mark.line)[mark.column :]
        return re.split(r"[\s,\]}]", rest, maxsplit=1)[0]

    def _in_quotes(self, mark: yaml.Mark) -> str:
        """Give the corrected line: the value that begins at `mark` in quotes, with its key."""
        line = self.line_at(mark.line)
        before, rest = line[: mark.column].lstrip(), line[mark.column :].rstrip()
        if re.search(r"[\[{]", before):
            return _quoted(self._word(mark))
        return f"{before}{_quoted(rest)}"

    def _walk(self, node: yaml.Node, key: str, depth: int) -> Node:
        if depth > MAX_DEPTH:
            place = self.place(node.start_mark, key)
            self.problems.error(place, f"more than {MAX_DEPTH} levels of nesting", "write it flatter")
            return Scalar("", place, lost=True)
        if isinstance(node, yaml.MappingNode):
            return self._keys(node, key, depth)
        place = self.place(node.start_mark, key)
        if isinstance(node, yaml.ScalarNode):
            return self._scalar(node, place)
        if not isinstance(node, yaml.SequenceNode):
            return Scalar("", place)
        items = tuple([self._walk(each, key, depth + 1) for each in node.value])
        return Items(items, place, bool(node.flow_style))

    def _scalar(self, node: yaml.ScalarNode, place: Place) -> Scalar:
        # the C loader gives "" for a plain value, the Python one None
        quoted, text = bool(node.style), str(node.value)
        if self.odd:
            text = self._without_odd(text, quoted, place)
        lost = not quoted and not text and node.start_mark.line in self.dropped
        return Scalar(text, place, quoted, lost)

    def _without_odd(self, text: str, quoted: bool, place: Place) -> str:
        """Tell curly quotes and signs that can't be seen, and give the text with blanks for these."""
        if not quoted and _CURLY.fullmatch(text):
            self.problems.error(place, f"curly quotes round {text}", f"write {_quoted(text[1:-1])}")
        sign = INVISIBLE.search(text)
        if sign:
            self.problems.error(place, f"an invisible sign ({named_sign(sign[0])})", "type the text again")
        return INVISIBLE.sub(" ", text)

    def _keys(self, node: yaml.MappingNode, key: str, depth: int) -> Keys:
        entries: list[tuple[Scalar, Node]] = []
        known: set[str] = set()
        braces = bool(node.flow_style)
        for key_node, value_node in node.value:
            if not isinstance(key_node, yaml.ScalarNode):
                where = self.place(key_node.start_mark)
                self.problems.error(where, "a list or block as a key", "write one word before the colon")
                continue
            where = self.place(key_node.start_mark, key_node.value)
            name = Scalar(key_node.value, where, bool(key_node.style))
            if name.text in known:
                self.problems.error(name.place, f"{name.text!r} stands twice", "keep one of the two")
            value = self._walk(value_node, name.text, depth + 1)
            if braces and isinstance(value, Scalar) and value.empty and not self._has_colon(value_node):
                self._broken_braces(name, entries)
            elif name.text not in known:
                known.add(name.text)
                entries.append((name, value))
        return Keys(tuple(entries), self.place(node.start_mark, key, _inside(entries)), braces)

    def _has_colon(self, value: yaml.Node) -> bool:
        line = self.line_at(value.start_mark.line)
        before = line[: value.start_mark.column + 1]
        return bool(re.search(r":\s*[,}]?$", before))

    def _broken_braces(self, name: Scalar, entries: list[tuple[Scalar, Node]]) -> None:
        """A key without a value inside braces is nearly always a comma or a missing blank."""
        glued = _GLUED.fullmatch(name.text)
        last = entries[-1] if entries else None
        before = last[1].text if last and isinstance(last[1], Scalar) else ""
        if glued:
            found, write = f"no blank after the colon in {name.text!r}", f"write {glued[1]}: {glued[2]}"
            entries.append((Scalar(glued[1], name.place.at(glued[1])), Scalar("", name.place, lost=True)))
        elif last and re.fullmatch(r"[+−-]?\d+", before) and re.match(r"\d", name.text):
            thousands = re.fullmatch(r"\d{3}(\D.*)?", name.text)
            found = f"a comma inside the number {before},{name.text}"
            write = f"write {last[0].text}: {before}{'' if thousands else '.'}{name.text}"
        elif last and before:
            text = f"{before}, {name.text}"
            found = f"a comma in the text {text!r} ends it there"
            write = f"put it in quotes: {last[0].text}: {_quoted(text)}"
        else:
            found, write = f"{name.text!r} has no value", f"write {name.text}: and its value"
        self.problems.error(name.place.at(glued[1] if glued else last[0].text if last else ""), found, write)
        if last and before and not glued:
            # what stands before the comma is only half of the value
            entries[-1] = (last[0], Scalar(f"{before}, {name.text}", last[1].place, lost=True))

    def _remarks(self) -> None:
        """Tell a `#` straight before a letter or digit: YAML drops what follows in silence."""
        in_block_text = -1
        for number, line in enumerate(self.lines if "#" in self.text else ()):
            indent = len(line) - len(line.lstrip())
            if in_block_text >= 0 and (not line.strip() or indent > in_block_text):
                continue
            in_block_text = indent if re.search(r":\s*[|>][+-]?\d*\s*(#.*)?$", line) else -1
            bare = re.sub(r'"(?:[^"\\]|\\.)*"|\'[^\']*\'', lambda m: "x" * len(m[0]), line)
            match = re.search(r"(?:(?<=\s)|^)#(?=\w)", bare)
            if match:
                self._remark(number, line, match.start())

    def _remark(self, number: int, line: str, column: int) -> None:
        place = Place(self.file, self.line + number + 1, self.column + column + 1)
        dropped, before = line[column:].rstrip(), line[:column].strip()
        found = f"{dropped!r} is read as a remark and dropped"
        if not before:
            self.problems.warn(place, found, f"write # {dropped[1:]} for a remark, or take the # out")
            return
        self.dropped.add(number)
        named = _KEY.match(before)
        place = place.at(named[1]) if named else place
        match = re.match(r"(.*?:\s|-\s)(.*)", before + " ")
        key, rest = (match[1], f"{match[2]}{dropped}") if match else ("", f"{before} {dropped}")
        self.problems.error(place, found, f"put it in quotes: {key}{_quoted(rest)}; or write # {dropped[1:]}")

    def _syntax(self, error: Exception) -> None:
        mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
        if mark is None:
            first = (str(error).splitlines() or ["not readable"])[0]
            self.problems.error(self.here(), f"can't be read as YAML ({first})", "write `key: value`")
            return
        context = getattr(error, "context_mark", None)
        found, write, line = self._plain_words(str(getattr(error, "problem", "")), mark, context)
        spot = next((m for m in (context, mark) if m and m.line == line), mark)
        self.problems.error(self.place(spot), found, write)

    def _plain_words(self, problem: str, mark: yaml.Mark, context: yaml.Mark | None) -> tuple[str, str, int]:
        """Give what was found, what to write, and the line in the block."""
        line = self.line_at(mark.line)
        start = context.line if context else mark.line
        if "\t" in line[: mark.column + 1] and not line[: mark.column + 1].strip():
            return "a tab at the start of the line", "indent with blanks", mark.line
        if "mapping values are not allowed" in problem:
            return (*self._second_colon(mark, line), mark.line)
        if "found unexpected end of stream" in problem or "unexpected document" in problem:
            return "a quote that is opened and not closed", "close it with the same quote sign", start
        if "expected ',' or" in problem or "expected the node content" in problem:
            return self._bracket(mark, start)
        if "cannot start any token" in problem:
            found = f"{self._word(mark)!r} begins with a sign that YAML keeps for itself"
            return found, f"put the text in quotes: {self._in_quotes(mark)}", mark.line
        if "found another document" in problem:
            return "a line --- inside the block", "take the line out", mark.line
        if "expected <block end>" in problem and self.line_at(start).strip()[:2] != "- ":
            rest = line[mark.column :].strip()
            return f"{rest!r} after the end of the value", "put the whole value in quotes", mark.line
        text = line.strip() or "this line"
        if "could not find expected ':'" in problem or "expected <block end>" in problem:
            return f"{text!r} fits no key", "write `key: value`, lines of one block at one depth", mark.line
        return f"{text!r} can't be read as YAML ({problem})", "write `key: value`", mark.line

    def _second_colon(self, mark: yaml.Mark, line: str) -> tuple[str, str]:
        above = self.line_at(mark.line - 1)
        indents = [len(s) - len(s.lstrip()) for s in (above, line)]
        text = line.strip()
        if indents[1] > indents[0] and line[: mark.column].strip().find(": ") < 0 and _KEY.match(above):
            return (
                f"{text!r} stands deeper than the line above, which has a value",
                f"write {text} at its depth",
            )
        key, _, rest = text.partition(": ")
        return f"a second colon in {text!r}", f"put the text in quotes: {key}: {_quoted(rest)}"

    def _bracket(self, mark: yaml.Mark, start: int) -> tuple[str, str, int]:
        opened = self.line_at(start).strip()
        ends = {"[": "]", "{": "}"}
        depth: list[str] = []
        for sign in re.sub(r'"[^"]*"|\'[^\']*\'', "", opened):
            depth += [ends[sign]] if sign in ends else []
            if depth and sign == depth[-1]:
                depth.pop()
        if not depth:
            return f"{opened!r} can't be read", "put text with a colon, comma or quote in quotes", mark.line
        return (
            "a bracket or brace that is opened and not closed",
            f"write {opened}{''.join(depth[::-1])}",
            start,
        )


def _inside(entries: Iterable[tuple[Scalar, Node]]) -> Inside:
    return tuple([(name.text, name.place.line, name.place.column) for name, _ in entries])


def _quoted(text: str) -> str:
    """Give a text in the quotes that it can stand in."""
    return f"'{text}'" if '"' in text or "\\" in text else f'"{text}"'


def named_sign(sign: str) -> str:
    """Name a sign that can't be seen, as `U+202E`."""
    return f"U+{ord(sign):04X}"
