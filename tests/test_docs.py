"""README.md and DEVELOPERS.md say what the code does: every module, command, measurement and key."""

from __future__ import annotations

import ast
import dataclasses
import importlib
import re
from functools import cache
from types import ModuleType

import pytest

from reportgen import racks as rack
from reportgen.block import keys_of
from reportgen.blocks.disclosure import TOPICS
from reportgen.kind import Kind
from tests.project import (
    PACKAGE,
    PUBLISH_COMMAND,
    TEST_COMMAND,
    TOP,
    module_table,
    modules,
    racks,
    run,
    table_of,
    text_of,
)


def first_line(name: str) -> str:
    """Give the first line of the docstring of a module, or of a rack written `kinds/`."""
    path = PACKAGE / name / "__init__.py" if name.endswith("/") else PACKAGE / f"{name}.py"
    assert path.exists(), f"DEVELOPERS.md lists {name}, which isn't there"
    return (ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) or "").partition("\n")[0]


def test_table_lists_every_module_once() -> None:
    """The module table has a row for each module and each rack, and no other."""
    here = {f"{m}/" if m in racks() else m for m in modules() if "." not in m}
    listed = [name for name, _ in module_table()]
    assert sorted(listed) == sorted(here)


def test_table_says_what_the_modules_say() -> None:
    """The text of each row is the first line of the module's docstring, word for word."""
    wrong = {name: (text, first_line(name)) for name, text in module_table() if text != first_line(name)}
    assert not wrong


def test_table_is_read_in_order() -> None:
    """Rows are taken from the right table, in order, with racks and backticks, up to its end."""
    before = "| a | b |\n|---|---|\n\n"
    rows = "| module | what it is for |\n|---|---|\n| `errors` | One. |\n| kinds/ | Two. |\n"
    assert table_of(f"{before}{rows}\n| x | y |") == (("errors", "One."), ("kinds/", "Two."))


def _in_code(text: str) -> str:
    """Give all code of a Markdown text: fenced, indented never, and in backticks."""
    fenced = re.findall(r"^```.*?\n(.*?)^```", text, re.S | re.M)
    rest = re.sub(r"^```.*?^```", "", text, flags=re.S | re.M)
    return "\n".join([*fenced, *re.findall(r"`([^`\n]+)`", rest)])


@cache
def _readme_code() -> str:
    return _in_code(text_of("README.md"))


def _has(word: str, code: str) -> bool:
    """Tell whether a word stands in code as a whole: alone, or as a key before a colon."""
    return re.search(rf"(?<![\w-]){re.escape(word)}(?![\w-])", code) is not None


def _named(attribute: str, folder: str) -> list[str]:
    """Give the names that the things of a rack go by."""
    return [getattr(thing, "name", name) for name, thing in rack.all_of(folder, attribute).items()]


@pytest.mark.parametrize("command", rack.names("commands"))
def test_readme_shows_every_command(command: str) -> None:
    """Each command stands in README.md as a reader would type it."""
    assert f"reportgen {command}" in _readme_code()


def test_readme_names_every_measurement() -> None:
    """Each kind of reading stands in README.md by the word that a note uses."""
    kinds = _named("KIND", "kinds")
    assert kinds, "the package has no kind of reading"
    assert not [k for k in kinds if not _has(k, _readme_code())]


def _blocks(module: ModuleType) -> list[type]:
    """Give the blocks of keys that a module declares."""
    here = [c for c in vars(module).values() if isinstance(c, type) and c.__module__ == module.__name__]
    return [c for c in here if dataclasses.is_dataclass(c) and keys_of(c)]


@pytest.mark.parametrize("name", rack.names("blocks"))
def test_readme_shows_every_key(name: str) -> None:
    """Each key that a note may hold stands in README.md."""
    blocks = _blocks(importlib.import_module(f"reportgen.blocks.{name}"))
    assert blocks, f"blocks/{name}.py declares no block"
    missing = {b.__name__: [k for k in keys_of(b) if not _has(k, _readme_code())] for b in blocks}
    assert not {b: keys for b, keys in missing.items() if keys}


def test_readme_shows_every_key_of_a_photo() -> None:
    """Photos, what is blurred in them and what is drawn onto them stand in README.md as well."""
    blocks = _blocks(importlib.import_module("reportgen.block"))
    assert {b.__name__ for b in blocks} == {"PhotoNote", "Spot", "Region", "Blur", "Mark"}
    assert not [k for b in blocks for k in keys_of(b) if f"| `{k}` | " not in text_of("README.md")]


def test_key_in_prose_does_not_count() -> None:
    """A key is documented where it stands as code, not by the same word in a sentence."""
    code = _in_code("The price of a yard.\n\n```yaml\nyard stay: 3\n```\nSee `also needs`.\n")
    assert _has("yard stay", code)
    assert _has("also needs", code)
    assert not _has("price", code)
    assert not _has("stay-s", code)
    assert not _has("tay", code)


def test_every_topic_of_the_disclosure() -> None:
    """What a seller may be asked stands in README.md word for word, since notes are written by it."""
    assert not [topic for topic in TOPICS if f"`{topic}`" not in text_of("README.md")]


@pytest.mark.parametrize("page", ["README.md", "DEVELOPERS.md"])
def test_commands_of_the_page_exist(page: str) -> None:
    """Every `reportgen WORD --option` that a page shows is taken by the command line."""
    used = re.findall(r"(?<![\w./-])(?:\.venv/bin/)?reportgen ([a-z]+)([^\n&|;]*)", _in_code(text_of(page)))
    assert used or page != "README.md"
    for command, rest in used:
        shown = run(command, "--help")
        assert shown.returncode == 0, f"{page} shows `reportgen {command}`"
        unknown = [o for o in re.findall(r"(?<!\S)\[?(--[a-z-]+)", rest) if o not in shown.stdout]
        assert not unknown, f"{page}: `reportgen {command}` has no {unknown}"


def test_readme_has_the_two_commands() -> None:
    """README.md gives the command that publishes the demo and the one that CI runs as its test."""
    code = _readme_code()
    assert PUBLISH_COMMAND in code.replace(" \\\n    ", " ")
    assert TEST_COMMAND in code.splitlines()
    assert TEST_COMMAND in text_of(".ci/run").splitlines()


def test_links_of_the_pages_exist() -> None:
    """A link or picture of README.md and DEVELOPERS.md that is no web address is a file of the project."""
    for page in ("README.md", "DEVELOPERS.md"):
        targets = re.findall(r"\]\(([^)#\s]+)", text_of(page))
        lost = [t for t in targets if "://" not in t and not (TOP / t).exists()]
        assert not lost, f"{page} links to {lost}"


def _row(kind: Kind) -> str:
    """Give a kind's row of README.md: its name, what it measures, and its keys."""
    keys = ", ".join(f"`{name}`" for name in keys_of(kind.fields))
    columns = ", ".join(c.name for c in kind.table.columns) if kind.table else ""
    if kind.table:
        others = " and others" if columns and kind.table.others else ""
        keys += f"; table: {kind.table.rows} by {columns or 'any column'}{others}"
    return f"| `{kind.name}` | {kind.measures} | {keys} |"


@pytest.mark.parametrize("name", rack.names("kinds"))
def test_readme_has_the_row_of_every_kind(name: str) -> None:
    """What README.md says of a kind of reading is what the kind says of itself."""
    row = _row(rack.get("kinds", name, "KIND"))
    assert row in text_of("README.md"), f"put this line into the table of kinds: {row}"
