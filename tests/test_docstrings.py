"""What the docstrings promise: every module, class and function says what it is, of what it really has."""

from __future__ import annotations

import ast
import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest

from tests.project import PACKAGE

FILES = {str(p.relative_to(PACKAGE)): p for p in sorted(PACKAGE.rglob("*.py"))}
Function = ast.FunctionDef | ast.AsyncFunctionDef

# Words that open a part of a docstring; anything else before a colon is the name of a parameter or field.
PARTS = {"example", "examples", "note", "raises", "returns", "source", "sources", "units", "yields"}


@dataclass(frozen=True)
class Thing:
    """A public class or function with its name, its docstring and the names that it may describe."""

    name: str
    text: str
    names: frozenset[str]


def _parameters(node: Function) -> frozenset[str]:
    a = node.args
    every = [*a.posonlyargs, *a.args, *a.kwonlyargs, *filter(None, (a.vararg, a.kwarg))]
    return frozenset(p.arg for p in every) - {"self", "cls"}


def _fields(node: ast.ClassDef) -> frozenset[str]:
    """Give what a class's docstring may describe: fields, what methods set, arguments of __init__."""
    names = {
        n.target.id for n in node.body if isinstance(n, ast.AnnAssign) and isinstance(n.target, ast.Name)
    }
    names |= {
        t.id for n in node.body if isinstance(n, ast.Assign) for t in n.targets if isinstance(t, ast.Name)
    }
    for part in node.body:
        if isinstance(part, Function):
            names |= _parameters(part) if part.name == "__init__" else {part.name}
            names |= {
                n.attr
                for n in ast.walk(part)
                if isinstance(n, ast.Attribute) and isinstance(n.ctx, ast.Store)
            }
    return frozenset(names)


def _promised(tree: ast.Module) -> frozenset[str]:
    """Give the names that a Protocol of a file already explains for all who keep it."""
    kept: set[str] = set()
    for node in tree.body:
        if isinstance(node, ast.ClassDef) and any("Protocol" in ast.unparse(b) for b in node.bases):
            kept |= {n.name for n in node.body if isinstance(n, Function)}
            kept |= _fields(node)
    return frozenset(kept)


@cache
def _promised_by_all() -> frozenset[str]:
    return frozenset().union(*(_promised(ast.parse(p.read_text(encoding="utf-8"))) for p in FILES.values()))


def things(source: str) -> list[Thing]:
    """Give every public class, function and method of a source text."""
    tree = ast.parse(source)
    promised = _promised(tree) | _promised_by_all()
    found = []
    for node in tree.body:
        if isinstance(node, Function) and not node.name.startswith("_"):
            found.append(Thing(node.name, ast.get_docstring(node) or "", _parameters(node)))
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            found.append(Thing(node.name, ast.get_docstring(node) or "", _fields(node)))
            for part in node.body:
                if isinstance(part, Function) and not part.name.startswith("_"):
                    text = ast.get_docstring(part) or ("kept." if part.name in promised else "")
                    found.append(Thing(f"{node.name}.{part.name}", text, _parameters(part)))
    return found


def described(text: str) -> list[str]:
    """Give the names that a docstring's lines describe, such as `low, high: bounds [kPa]`."""
    names: list[str] = []
    for line in text.splitlines()[1:]:
        head = re.match(r"\s*((?:\*{0,2}[a-z_]\w*)(?:, \*{0,2}[a-z_]\w*)*)\s?: \S", line)
        if head:
            names += [n.lstrip("*") for n in head[1].split(", ")]
    return [n for n in names if n not in PARTS]


@pytest.mark.parametrize("name", FILES)
def test_module_opens_with_one_sentence(name: str) -> None:
    """A module's docstring begins with one whole sentence on one line: it is copied into the module table."""
    text = ast.get_docstring(ast.parse(FILES[name].read_text(encoding="utf-8"))) or ""
    first, _, rest = text.partition("\n")
    assert first[:1].isalpha()
    assert re.search(r"[.`][.]?$", first), f"no full stop in: {first}"
    assert not re.search(r"[.!?] [A-Z]", first), f"more than one sentence: {first}"
    assert not rest or rest.startswith("\n"), "a blank line follows the first sentence"


@pytest.mark.parametrize("name", FILES)
def test_public_things_say_what_they_are(name: str) -> None:
    """Each public class, function and method has a docstring whose first line is a sentence."""
    every = things(FILES[name].read_text(encoding="utf-8"))
    assert not [t.name for t in every if not re.search(r"[.:]$", t.text.partition("\n")[0])]


@pytest.mark.parametrize("name", FILES)
def test_docstring_and_signature_name_the_same(name: str) -> None:
    """What a docstring describes by name is a parameter of the function or a field of the class."""
    every = things(FILES[name].read_text(encoding="utf-8"))
    wrong = {t.name: [n for n in described(t.text) if n not in t.names] for t in every}
    assert not {k: v for k, v in wrong.items() if v}


def test_planted_faults_are_found() -> None:
    """A missing docstring and a parameter that isn't there are seen."""
    source = '''
def bare(x): return x

def lying(low):
    """Give it.

    low, high: bounds [kPa].
    Source: nobody.
    """

class Kept(Protocol):
    """A promise."""

    def read(self): """Read it."""

class Keeper:
    """Keeps it."""

    def read(self): return 1
    def other(self): return 1
'''
    every = {t.name: t for t in things(source)}
    assert [n for n, t in every.items() if not t.text] == ["bare", "Keeper.other"]
    assert described(every["lying"].text) == ["low", "high"]
    assert "high" not in every["lying"].names


def test_no_file_of_the_package_is_over_400_lines() -> None:
    """A file that grows past 400 lines holds a rack that wants to come out."""
    long = {n: count for n, p in FILES.items() if (count := _lines(p)) > 400}
    assert not long


def _lines(path: Path) -> int:
    return len(path.read_text(encoding="utf-8").splitlines())
