"""Faults planted one at a time into what judges, counts and hides, to see whether a test notices.

A mutant is one change of one place of a module: a comparison turned, a number moved, a sign swapped, a
condition negated, a line taken out. It counts as killed if the module's tests fail or take too long.
"""

from __future__ import annotations

import ast
import copy
import multiprocessing
import os
import random
import shutil
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tests.project import PACKAGE, TOP

MOST_SECONDS = 240
LEAST = 0.85  # share of mutants that has to be killed [-]

_KINDS = sorted(p.stem for p in (PACKAGE / "kinds").glob("*.py") if p.stem != "__init__")
_MONEY = ("test_ten_estimates.py", "test_estimate.py", "test_ways.py", "test_worklist.py")
_DEAL = ("test_ways.py", "test_agreement.py", "test_settlement.py", "passages/test_settlement.py")
_HULL = ("test_hullnumber.py", "test_identity.py", "passages/test_identity.py")
_VIEW = ("test_edition.py", "test_scrub.py", "test_spellings.py", "editions", "test_ownedition.py")
_BILLS = ("bill", "charges", "costshares", "deviations", "jobs", "splitting", "uncertainty", "visits")
# the modules of each group, and the tests that answer for them
GROUPS: dict[str, dict[str, tuple[str, ...]]] = {
    "kinds": {
        **{f"kinds/{name}": (f"kinds/test_{name}.py", "kinds/test_every_kind_holds.py") for name in _KINDS},
        "judging": ("test_judging.py", "kinds"),
        "altitude": ("test_altitude.py", "kinds/test_compression.py"),
    },
    "estimate": {name: (f"test_{name}.py", *_MONEY) for name in _BILLS},
    "settlement": dict.fromkeys(("agreement", "settlement", "ways", "material"), _DEAL),
    "identity": dict.fromkeys(("hullnumber", "identity"), _HULL),
    "edition": dict.fromkeys(("edition", "scrub", "spellings"), _VIEW),
}

_TURNED: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq, ast.NotEq: ast.Eq, ast.In: ast.NotIn, ast.NotIn: ast.In,
    ast.Is: ast.IsNot, ast.IsNot: ast.Is,
}  # fmt: skip
_SWAPPED: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult, ast.Mod: ast.Mult, ast.Pow: ast.Mult,
}  # fmt: skip


@dataclass(frozen=True)
class Mutant:
    """One planted fault: in which module below the package, where, which, and the module's text then."""

    group: str
    module: str
    line: int
    what: str
    text: str


Spoiled = Iterator[tuple[str, ast.AST]]


def _compare(node: ast.Compare) -> Spoiled:
    for number, op in enumerate(node.ops):
        if turned := _TURNED.get(type(op)):
            made = copy.deepcopy(node)
            made.ops[number] = turned()
            yield f"{type(op).__name__} -> {turned.__name__}", made


def _words(node: ast.AST) -> bool:
    return isinstance(node, ast.JoinedStr) or isinstance(getattr(node, "value", None), str)


def _arithmetic(node: ast.BinOp | ast.AugAssign) -> Spoiled:
    # words that are put together are no sum
    if type(node.op) in _SWAPPED and not _words(getattr(node, "left", node)):
        made = copy.deepcopy(node)
        made.op = _SWAPPED[type(node.op)]()
        yield f"{type(node.op).__name__} -> {type(made.op).__name__}", made
    if isinstance(node, ast.AugAssign):
        yield "line taken out", ast.Pass()


def _both(node: ast.BoolOp) -> Spoiled:
    made = copy.deepcopy(node)
    made.op = ast.Or() if isinstance(node.op, ast.And) else ast.And()
    yield f"{type(node.op).__name__} -> {type(made.op).__name__}", made


def _negated(node: ast.If | ast.IfExp | ast.While) -> Spoiled:
    made = copy.deepcopy(node)
    made.test = ast.UnaryOp(ast.Not(), node.test)
    yield "condition negated", made


def _unary(node: ast.UnaryOp) -> Spoiled:
    if isinstance(node.op, (ast.Not, ast.USub)):
        yield "sign or not taken out", node.operand


def _constant(node: ast.Constant) -> Spoiled:
    if isinstance(node.value, (int, float)):
        value = (not node.value) if isinstance(node.value, bool) else node.value + 1
        yield f"{node.value!r} -> {value!r}", ast.Constant(value)


def _return(node: ast.Return) -> Spoiled:
    if node.value is not None and getattr(node.value, "value", node) is not None:
        yield "return None", ast.Return(ast.Constant(None))


def _call(node: ast.Expr) -> Spoiled:
    if not isinstance(node.value, ast.Constant):
        yield "line taken out", ast.Pass()


def _leap(node: ast.Continue | ast.Break) -> Spoiled:
    yield f"{type(node).__name__} taken out", ast.Pass()


_WAYS: dict[type[ast.AST], Callable[[Any], Spoiled]] = {
    ast.Compare: _compare, ast.BinOp: _arithmetic, ast.AugAssign: _arithmetic, ast.BoolOp: _both,
    ast.If: _negated, ast.IfExp: _negated, ast.While: _negated, ast.UnaryOp: _unary,
    ast.Constant: _constant, ast.Return: _return, ast.Expr: _call,
    ast.Continue: _leap, ast.Break: _leap,
}  # fmt: skip


def _changes(node: ast.AST) -> Spoiled:
    """Give each way to spoil a node, as what is told and the node in its place."""
    if way := _WAYS.get(type(node)):
        yield from way(node)


_ANNOTATIONS = ("annotation", "returns", "decorator_list")


def _places(tree: ast.AST, path: tuple[tuple[str, int | None], ...] = ()) -> Iterator[tuple]:  # type: ignore[type-arg]
    """Give every node with the way to it; annotations and what only type checkers read are passed over."""
    for name, value in ast.iter_fields(tree):
        if name in _ANNOTATIONS:
            continue
        for number, each in enumerate(value) if isinstance(value, list) else [(None, value)]:
            if isinstance(each, ast.AST):
                here = (*path, (name, number))
                yield here, each
                yield from _places(each, here)


def _planted(tree: ast.Module, path: tuple[tuple[str, int | None], ...], new: ast.AST) -> str:
    made = copy.deepcopy(tree)
    at: ast.AST = made
    for name, number in path[:-1]:
        at = getattr(at, name) if number is None else getattr(at, name)[number]
    name, number = path[-1]
    if number is None:
        setattr(at, name, new)
    else:
        getattr(at, name)[number] = new
    return ast.unparse(ast.fix_missing_locations(made))


def mutants_of(group: str, module: str) -> list[Mutant]:
    """Give every mutant of a module, the same each time."""
    tree = ast.parse((PACKAGE / f"{module}.py").read_text(encoding="utf-8"))
    return [
        Mutant(group, module, getattr(node, "lineno", 0), what, _planted(tree, path, new))
        for path, node in _places(tree)
        for what, new in _changes(node)
    ]


def _ends(mutant: Mutant, folder: Path) -> str:
    """Say how the tests of a mutant's module end in a copy of the project."""
    file = folder / "reportgen" / f"{mutant.module}.py"
    kept = file.read_text(encoding="utf-8")
    file.write_text(mutant.text, encoding="utf-8")
    tests = [t for t in GROUPS[mutant.group][mutant.module] if (folder / "tests" / t).exists()]
    # the first failure is enough, and what takes long comes last
    command = [
        sys.executable,
        "-m",
        "pytest",
        "-q",
        "-x",
        "-p",
        "no:cacheprovider",
        *(f"tests/{t}" for t in tests),
    ]
    try:
        ended = subprocess.run(
            command,
            cwd=folder,
            capture_output=True,
            timeout=MOST_SECONDS,
            env=os.environ | {"PYTHONDONTWRITEBYTECODE": "1", "REPORTGEN_EXAMPLES": "20"},
        ).returncode
    except subprocess.TimeoutExpired:
        return "too long"
    finally:
        file.write_text(kept, encoding="utf-8")
    return "survived" if ended == 0 else "killed"


_HERE: list[Path] = []


def _begin(top: str) -> None:
    folder = Path(tempfile.mkdtemp(dir=top)) / "project"
    ignored = shutil.ignore_patterns(".*", "__pycache__", "site")
    shutil.copytree(TOP, folder, ignore=ignored, symlinks=True)
    shutil.copytree(TOP / ".ci", folder / ".ci")
    _HERE.append(folder)


def _work(mutant: Mutant) -> tuple[Mutant, str]:
    return mutant, _ends(mutant, _HERE[0])


def run(group: str, count: int, seed: int) -> int:
    """Try `count` mutants of a group, spread over its modules; give the number of those that survived."""
    every = {module: mutants_of(group, module) for module in GROUPS[group]}
    pool = [mutant for mutants in every.values() for mutant in mutants]
    tried = random.Random(seed).sample(pool, min(count, len(pool)))  # noqa: S311
    # the control: with nothing planted the tests pass, so that a failure means something
    sound = [Mutant(group, m, 0, "nothing", (PACKAGE / f"{m}.py").read_text("utf-8")) for m in every]
    ends: Counter[str] = Counter()
    with tempfile.TemporaryDirectory() as top, multiprocessing.Pool(2, _begin, (top,)) as workers:
        for mutant, end in workers.imap_unordered(_work, sound if count > len(sound) else sound[:1]):
            assert end == "survived", f"the tests of {mutant.module} {end} with nothing planted"
        for mutant, end in workers.imap_unordered(_work, tried):
            ends[end] += 1
            if end == "survived":
                print(f"survived: {mutant.module}.py:{mutant.line}: {mutant.what}", flush=True)
    share = 1 - ends["survived"] / len(tried)
    print(f"{group}: {len(tried)} of {len(pool)} mutants tried, {dict(ends)}: {share:.0%} killed")
    return 0 if share >= LEAST else 1
