"""Faults planted one at a time into what judges, counts and hides, to see whether a test notices.

A mutant is one change of one place of a module: a comparison turned, a number moved, a sign swapped, a
condition negated, a line taken out. It counts as killed if the module's tests fail or take too long.
"""

from __future__ import annotations

import ast
import contextlib
import copy
import fnmatch
import multiprocessing
import os
import random
import resource
import shutil
import signal
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings

from tests.project import PACKAGE, TOP

NOTHING = "nothing"
LOG = "told.txt"  # what the tests say, in a worker's folder
MOST_SECONDS = 1500  # of waiting
MOST_WORK = 150  # of the processor, so that a busy machine kills no mutant [s]
EXAMPLES = 25  # of each property
LEAST = 0.85  # share of mutants that has to be killed [-]

_KINDS = sorted(p.stem for p in (PACKAGE / "kinds").glob("*.py") if p.stem != "__init__")
_MONEY = tuple(f"test_{n}.py" for n in ("jobs", "charges", "estimate", "bill", "ten_estimates", "worklist"))
_DEAL = ("test_ways.py", "test_agreement.py", "test_settlement.py", "passages/test_settlement.py")
_HULL = ("test_hullnumber.py", "test_identity.py", "passages/test_identity.py")
_VIEW = ("test_edition.py", "test_scrub.py", "editions", "test_ownedition.py")
_EVERY = tuple(
    f"kinds/test_every_kind{which}.py" for which in ("_worked", "_silent", "_holds", "", "_properties")
)
_BILLS = ("bill", "charges", "costshares", "deviations", "jobs", "splitting", "uncertainty", "visits")
# the modules of each group, and the tests that answer for them, the module's own ones first
GROUPS: dict[str, dict[str, tuple[str, ...]]] = {
    "kinds": {
        **{f"kinds/{name}": (f"kinds/test_{name}.py", *_EVERY) for name in _KINDS},
        "judging": ("test_judging.py", "test_cylinders.py", "kinds"),
        "altitude": ("test_altitude.py", "kinds/test_compression.py"),
    },
    "estimate": {name: (f"test_{name}.py", *_MONEY) for name in _BILLS},
    "settlement": dict.fromkeys(("agreement", "settlement", "ways", "material"), _DEAL),
    "identity": dict.fromkeys(("hulldate", "hullnumber", "identity"), _HULL),
    "edition": {name: (f"test_{name}.py", *_VIEW) for name in ("edition", "scrub", "spellings")},
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
    """One planted fault: in which module below the package, which, what stands where in its tree then."""

    group: str
    module: str
    what: str = NOTHING
    path: tuple[tuple[str, int | None], ...] = ()
    new: ast.AST = field(default_factory=ast.Pass)
    line: int = 0

    def text(self, whole: str) -> str:
        """Give a module's text with the fault in it."""
        return whole if self.what == NOTHING else _planted(ast.parse(whole), self.path, self.new)


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
            # zip's strict=True stands guard over our own slips: with lists alike it changes nothing
            if isinstance(each, ast.AST) and getattr(each, "arg", "") != "strict":
                here = (*path, (name, number))
                yield here, each
                yield from _places(each, here)


def _planted(tree: ast.Module, path: tuple[tuple[str, int | None], ...], new: ast.AST) -> str:
    at: ast.AST = tree
    for name, number in path[:-1]:
        at = getattr(at, name) if number is None else getattr(at, name)[number]
    name, number = path[-1]
    if number is None:
        setattr(at, name, new)
    else:
        getattr(at, name)[number] = new
    return ast.unparse(ast.fix_missing_locations(tree))


def mutants_of(group: str, module: str) -> list[Mutant]:
    """Give every mutant of a module, the same each time."""
    tree = ast.parse((PACKAGE / f"{module}.py").read_text(encoding="utf-8"))
    return [
        Mutant(group, module, what, path, new, getattr(node, "lineno", 0))
        for path, node in _places(tree)
        for what, new in _changes(node)
    ]


# hypothesis is here before pytest wants it, of which it warns
_WARNED = ("-W", "ignore::pytest.PytestAssertRewriteWarning")
# a test of speed would fail for a busy machine and not for a fault
_OPTIONS = ("-q", "-x", "-p", "no:cacheprovider", *_WARNED, "-k", "not fifth_of_a_second")


@dataclass(frozen=True)
class _Order:
    """Tells pytest which tests to run, and which of them first."""

    module: str

    def pytest_sessionstart(self) -> None:
        """Draw fewer examples than CI does: what survives these may still be noticed there."""
        settings.register_profile("few", settings.get_profile("ci"), max_examples=EXAMPLES)
        settings.load_profile("few")

    def pytest_collection_modifyitems(self, config: pytest.Config, items: list[pytest.Item]) -> None:
        """Leave out what tries another kind alone, and put what draws examples behind the rest."""
        name = self.module.removeprefix("kinds/")
        if name != self.module:
            others = [
                f"*/test_every_kind*[[]*{other}[]-]*"
                for other in _KINDS
                if other not in name and name not in other
            ]
            items[:] = [i for i in items if not any(fnmatch.fnmatch(i.nodeid, other) for other in others)]
        items.sort(key=lambda item: hasattr(getattr(item, "obj", None), "hypothesis"))


def _test(mutant: Mutant, tests: list[str], keep: bool) -> None:
    """Run the tests in this process, which ends with pytest's number; keep: the compiled modules."""
    number = 70
    try:
        os.setpgid(0, 0)
        resource.setrlimit(resource.RLIMIT_CPU, (MOST_WORK, MOST_WORK + 5))
        sys.dont_write_bytecode = not keep
        os.environ |= {"CI": "1"} if keep else {"CI": "1", "PYTHONDONTWRITEBYTECODE": "1"}
        # the project is imported anew, from the copy
        for name in list(sys.modules):
            if name.partition(".")[0] in ("tests", "reportgen"):
                del sys.modules[name]
        told = os.open(LOG, os.O_RDWR | os.O_CREAT | os.O_TRUNC)
        for stream in (0, 1, 2):
            os.dup2(told, stream)
        number = pytest.main([*_OPTIONS, *tests], plugins=[_Order(mutant.module)])
    except BaseException:
        traceback.print_exc()
        raise
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(int(number))


def _ends(mutant: Mutant, folder: Path, keep: bool = False) -> str:
    """Say how the tests of a mutant's module end in a copy of the project: first its own, then the rest."""
    file = folder / "reportgen" / f"{mutant.module}.py"
    kept = file.read_text(encoding="utf-8")
    wanted = (f"tests/{test}" for test in GROUPS[mutant.group][mutant.module])
    tests = [test for test in dict.fromkeys(wanted) if (folder / test).exists()]
    if mutant.what != NOTHING:
        file.write_text(mutant.text(kept), encoding="utf-8")
    try:
        ends = (_end_of(mutant, some, keep) for some in (tests[:1], tests[1:]))
        return next((end for end in ends if end != "survived"), "survived")
    finally:
        if mutant.what != NOTHING:
            file.write_text(kept, encoding="utf-8")


def _end_of(mutant: Mutant, tests: list[str], keep: bool) -> str:
    """Say how some tests end, in a process of their own."""
    child = os.fork()
    if child == 0:
        _test(mutant, tests, keep)
    last = time.monotonic() + MOST_SECONDS
    try:
        while os.waitid(os.P_PID, child, os.WEXITED | os.WNOHANG | os.WNOWAIT) is None:
            if time.monotonic() > last:
                return "too long"
            time.sleep(0.02)
        ended = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    finally:
        _stop(child)
    if ended in (-signal.SIGXCPU, -signal.SIGKILL):
        return "too long"
    return "survived" if ended == 0 else "killed"


def _stop(child: int) -> None:
    """End whatever a child leaves running, and the child itself."""
    with contextlib.suppress(ProcessLookupError, PermissionError):
        os.killpg(child, signal.SIGKILL)
    with contextlib.suppress(ChildProcessError):
        os.waitpid(child, 0)


_HERE: list[Path] = []


def _begin(top: str) -> None:
    """Make a copy of the project and get ready for it: what takes long to import is here before the fork."""
    folder = Path(tempfile.mkdtemp(dir=top)) / "project"
    ignored = shutil.ignore_patterns(".*", "__pycache__", "site")
    shutil.copytree(TOP, folder, ignore=ignored, symlinks=True)
    shutil.copytree(TOP / ".ci", folder / ".ci")
    for name in ("hypothesis.strategies", "numpy", "yaml", "PIL.Image", "babel.numbers", "jinja2", "pint"):
        __import__(name)
    os.chdir(folder)
    sys.path[:] = [str(folder), *(p for p in sys.path if Path(p).resolve() != TOP)]
    _HERE.append(folder)


def _work(mutant: Mutant) -> tuple[Mutant, str]:
    folder, sound = _HERE[0], mutant.what == NOTHING
    end = _ends(mutant, folder, keep=sound)
    if sound and end != "survived":
        told = (folder / LOG).read_text(encoding="utf-8")[-2000:]
        raise AssertionError(f"the tests of {mutant.module} end with nothing planted: {end}\n{told}")
    return mutant, end


def run(group: str, count: int, seed: int) -> int:
    """Try `count` mutants of a group, spread over its modules; give 0 if enough of them are killed."""
    every = {module: mutants_of(group, module) for module in GROUPS[group]}
    pool = [mutant for mutants in every.values() for mutant in mutants]
    tried = random.Random(seed).sample(pool, min(count, len(pool)))  # noqa: S311
    # the control: with nothing planted the tests pass, so that a failure means something
    sound = [Mutant(group, module) for module in sorted({mutant.module for mutant in tried})]
    ends: Counter[str] = Counter()
    with tempfile.TemporaryDirectory() as top, multiprocessing.Pool(2, _begin, (top,)) as workers:
        workers.map(_work, sound, chunksize=1)
        for mutant, end in workers.imap_unordered(_work, tried):
            ends[end] += 1
            if end == "survived":
                print(f"survived: {mutant.module}.py:{mutant.line}: {mutant.what}", flush=True)
            if ends.total() % 20 == 0:
                print(f"{ends.total()} of {len(tried)} tried: {dict(ends)}", flush=True)
    share = 1 - ends["survived"] / len(tried)
    print(f"{group}: {len(tried)} of {len(pool)} mutants tried, {dict(ends)}: {share:.0%} killed")
    return 0 if share >= LEAST else 1
