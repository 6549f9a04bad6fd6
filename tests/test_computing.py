"""Nothing computes after the report: passages, editions, report.json and templates only pick and print."""

from __future__ import annotations

import ast
from pathlib import Path

import jinja2
import pytest
from jinja2 import nodes

from tests.project import PACKAGE, TOP, modules

TEMPLATES = sorted((TOP / "themes").rglob("*.html")) + sorted((TOP / "themes").rglob("*.j2"))
PICKING = [name for name in modules() if name.split(".")[0] in ("passages", "editions", "asjson")]
COMPUTING = {"Decimal", "abs", "divmod", "max", "min", "pow", "round", "sum"}
FILTERS = {"abs", "float", "int", "max", "min", "round", "sum"}
SIGNS = (nodes.Add, nodes.Sub, nodes.Mul, nodes.Div, nodes.FloorDiv, nodes.Mod, nodes.Pow, nodes.Neg)


def _is_text(node: ast.expr) -> bool:
    words = isinstance(node, ast.Constant) and isinstance(node.value, str)
    return words or isinstance(node, ast.JoinedStr | ast.Tuple | ast.List)


def sums_in(source: str) -> list[str]:
    """Give the places of a Python text that compute a number; putting words or lists together is none."""
    found = []
    tree = ast.parse(source)
    # `text[n + 1 :]` is a place in a text
    places = {id(n) for s in ast.walk(tree) if isinstance(s, ast.Slice) for n in ast.walk(s)}
    for node in ast.walk(tree):
        if id(node) in places:
            continue
        if isinstance(node, ast.BinOp | ast.AugAssign):
            sides = (node.left, node.right) if isinstance(node, ast.BinOp) else (node.value,)
            joins = isinstance(node.op, ast.Add) and any(map(_is_text, sides))
            # a set's union and the like are no sums
            if not joins and not isinstance(node.op, ast.BitOr | ast.BitAnd):
                found.append(f"{node.lineno}: {ast.unparse(node)}")
        elif isinstance(node, ast.Call) and ast.unparse(node.func).split(".")[-1] in COMPUTING:
            found.append(f"{node.lineno}: {ast.unparse(node)}")
    return found


def sums_in_template(source: str) -> list[str]:
    """Give the places of a template that compute a number."""
    read = jinja2.Environment(autoescape=True, extensions=["jinja2.ext.do", "jinja2.ext.i18n"])
    read.newstyle_gettext = True  # type: ignore[attr-defined]
    tree = read.parse(source)
    signs = [f"{n.lineno}: {type(n).__name__}" for n in tree.find_all(SIGNS)]
    return signs + [f"{n.lineno}: {n.name}" for n in tree.find_all(nodes.Filter) if n.name in FILTERS]


@pytest.mark.parametrize("name", PICKING)
def test_module_computes_nothing(name: str) -> None:
    """What stands on a page was computed before the report was built."""
    assert not sums_in(modules()[name].read_text(encoding="utf-8"))


def test_there_are_passages_and_templates() -> None:
    """The two tests here run over something."""
    assert len([n for n in PICKING if n.startswith("passages.")]) >= 5
    assert len(TEMPLATES) >= 5
    assert (PACKAGE / "asjson.py").exists()


@pytest.mark.parametrize("path", [pytest.param(p, id=str(p.relative_to(TOP))) for p in TEMPLATES])
def test_template_computes_nothing(path: Path) -> None:
    """A template prints what it is given."""
    assert not sums_in_template(path.read_text(encoding="utf-8"))


@pytest.mark.parametrize(
    "source", ["a - b", "a * 2", "x = a + b", "total += 1", "sum(xs)", "round(x)", "max(a)"]
)
def test_sum_is_found(source: str) -> None:
    """Each way of computing in Python is seen."""
    assert sums_in(source)


@pytest.mark.parametrize("source", ["'a' + b", "(*a,) + b", "len(a)", "a | b", "f'{a}'", "a[n + 1 :]"])
def test_words_are_no_sum(source: str) -> None:
    """Putting words, lists and sets together is no computing, nor is counting."""
    assert not sums_in(source)


@pytest.mark.parametrize("source", ["{{ a - b }}", "{{ a + b }}", "{% set x = a * 2 %}", "{{ a | sum }}"])
def test_sum_in_a_template_is_found(source: str) -> None:
    """Each way of computing in a template is seen, and joining words is none."""
    assert sums_in_template(source)
    assert not sums_in_template("{{ a ~ b }}{{ a | length }}{{ loop.index }}")
