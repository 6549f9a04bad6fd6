"""The straight line of DEVELOPERS.md: who may import whom, proven from the source."""

from __future__ import annotations

import ast
import re
import sys
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.project import PACKAGE, TOP, module_table, modules, racks

# Slow to load, so they may be imported inside the function that first needs them.
LATE = {"matplotlib", "numpy", "PIL", "Pint", "pint", "babel", "pillow_heif", "weasyprint", "distributed"}
# A project on the registry is not always imported by its own name.
PROJECT_OF = {
    "yaml": "pyyaml",
    "PIL": "pillow",
    "jinja2": "jinja2",
    "markdown_it": "markdown-it-py",
    "pillow_heif": "pillow-heif",
}


@dataclass(frozen=True)
class Import:
    """One import: of what (dotted, in full), on which line, and whether inside a function."""

    what: str
    line: int
    inside: bool


def _targets(node: ast.AST) -> Iterator[str]:
    """Give the dotted names that a node brings in; a rack that is asked for by name counts as imported."""
    if isinstance(node, ast.Import):
        yield from (name.name for name in node.names)
    elif isinstance(node, ast.ImportFrom):
        base = f"{'.' * node.level}{node.module or ''}"
        yield from (f"{base}.{name.name}" for name in node.names)
    elif isinstance(node, ast.Call) and node.args and isinstance(node.args[0], ast.Constant):
        called, first = ast.unparse(node.func), str(node.args[0].value)
        if called in ("importlib.import_module", "import_module", "__import__"):
            yield first
        elif called.startswith("racks.") and first in racks():
            yield f"reportgen.{first}"


def imports_of(source: str) -> tuple[Import, ...]:
    """Give every import of a source text: at the top, under TYPE_CHECKING and inside functions."""
    found: list[Import] = []

    def walk(node: ast.AST, inside: bool) -> None:
        found.extend(Import(t, getattr(node, "lineno", 0), inside) for t in _targets(node))
        within = inside or isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda)
        for child in ast.iter_child_nodes(node):
            walk(child, within)

    walk(ast.parse(source), inside=False)
    return tuple(found)


def _own(what: str) -> str | None:
    """Give the module or rack of ours that a dotted name reaches; None for somebody else's."""
    parts = what.split(".")
    ours = parts[0] == "reportgen" and len(parts) > 1 and not parts[1].startswith("__")
    return parts[1] if ours else None


def faults(module: str, source: str, line: tuple[str, ...]) -> list[str]:
    """Give what is wrong with a module's imports, given the line of modules."""
    rack = module.split(".")[0] if "." in module or module in racks() else ""
    place = line.index(f"{rack}/" if rack else module)
    wrong = []
    for each in imports_of(source):
        at = f"{module}:{each.line} imports {each.what}"
        if each.what.startswith("."):
            wrong.append(f"{at}: write the name in full")
            continue
        own, top = _own(each.what), each.what.split(".")[0]
        if own:
            row = f"{own}/" if own in racks() else own
            if rack and own == rack:
                wrong.append(f"{at}: things of one rack never import each other")
            elif row not in line:
                wrong.append(f"{at}: {row} is not in the table")
            elif line.index(row) >= place:
                wrong.append(f"{at}: it stands below")
        if top == "matplotlib" and module != "drawing" and rack != "charts":
            wrong.append(f"{at}: only drawing and charts/ draw")
        # a rack asked for by name is loaded when it is asked for, which is what racks are for
        may_wait = top in LATE or own in racks() or module in ("cli", "racks") or rack == "commands"
        if each.inside and not may_wait:
            wrong.append(f"{at}: imports stand at the top of the file")
    return wrong


def _line() -> tuple[str, ...]:
    return tuple(name for name, _ in module_table())


@pytest.mark.parametrize("module", modules())
def test_module_imports_only_from_above(module: str) -> None:
    """A module imports only what stands above it in DEVELOPERS.md, and never another thing of its rack."""
    line = _line()
    row = f"{module.split('.')[0]}/" if module.split(".")[0] in racks() else module
    assert row in line, f"{row} is not in the module table of DEVELOPERS.md"
    assert not faults(module, modules()[module].read_text(encoding="utf-8"), line)


PLANTED = {
    "upwards": ("units", "from reportgen import publish"),
    "to itself through a rack": ("kinds.compression", "from reportgen.kinds import leak_down"),
    "in a function": ("units", "def f():\n    import json"),
    "under TYPE_CHECKING": ("units", "if TYPE_CHECKING:\n    from reportgen.publish import x"),
    "by name": ("units", "import importlib\nm = importlib.import_module('reportgen.publish')"),
    "a rack by name": ("units", "from reportgen import racks\nk = racks.names('kinds')"),
    "relative": ("units", "from . import errors"),
    "drawing elsewhere": ("units", "def f():\n    import matplotlib.pyplot"),
}


@pytest.mark.parametrize("planted", PLANTED)
def test_planted_fault_is_found(planted: str) -> None:
    """Each way of breaking the line is seen, so that a clean result means something."""
    module, source = PLANTED[planted]
    line = ("errors", "racks", "units", "kinds/", "publish", "cli")
    assert len(faults(module, source, line)) == 1
    assert not faults("units", "import json\nfrom reportgen.errors import Place", line)


def _third_party() -> dict[str, Path]:
    """Give the projects of others that the package imports, each with one file that does."""
    found = {}
    for path in [*modules().values(), PACKAGE / "__init__.py", PACKAGE / "__main__.py"]:
        for each in imports_of(path.read_text(encoding="utf-8")):
            top = each.what.split(".")[0]
            if top and top not in ("reportgen", "__future__") and top not in sys.stdlib_module_names:
                found[PROJECT_OF.get(top, top).lower()] = path
    return found


def _declared(*extras: str) -> set[str]:
    project = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    wanted = [*project["dependencies"], *(d for e in extras for d in project["optional-dependencies"][e])]
    return {re.split(r"[<>=!~;\[ ]", d)[0].lower() for d in wanted}


def test_every_import_is_a_declared_dependency() -> None:
    """What the package imports is what an install brings."""
    undeclared = {
        n: str(p) for n, p in _third_party().items() if n not in _declared("cluster", "heif", "pdf")
    }
    assert not undeclared


def test_every_dependency_is_imported() -> None:
    """No install brings what the package doesn't use."""
    assert _declared() <= set(_third_party()), _declared() - set(_third_party())
