"""The command line is there at once: `--help` loads nothing that it doesn't print."""

from __future__ import annotations

import resource
import subprocess
import sys

import pytest

from reportgen import cli, racks
from tests.project import TOP, run

# what takes long to load, and what makes a command out of a list of names
HEAVY = (
    "dataclasses",
    "inspect",
    "typing",
    "pathlib",
    "shutil",
    "datetime",
    "difflib",
    "yaml",
    "jinja2",
    "numpy",
)


def _cpu_ms(*arguments: str) -> float:
    """Give the processor time of a run of Python [ms]: unlike the clock it is the same on a busy machine."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([sys.executable, *arguments], check=True, stdout=subprocess.DEVNULL, cwd=TOP)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return (after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime) * 1000


def test_help_takes_at_most_three_times_nothing() -> None:
    """`--help` takes at most three times what Python takes to do nothing, the least of five runs each."""
    pairs = [(_cpu_ms("-c", "pass"), _cpu_ms("-m", "reportgen", "--help")) for _ in range(5)]
    nothing, helped = (min(times) for times in zip(*pairs, strict=True))
    assert helped <= 3 * nothing, f"{helped:.0f} ms against {nothing:.0f} ms"


def test_help_loads_little() -> None:
    """No library that takes long, and no command, is loaded for the list of commands."""
    code = (
        "import sys; before = set(sys.modules)\n"
        "from reportgen.cli import main\n"
        "main(['--help'])\n"
        "print('loaded', *sorted(set(sys.modules) - before))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=TOP)
    loaded = done.stdout.splitlines()[-1].split()
    assert loaded[0] == "loaded"
    assert not set(loaded) & set(HEAVY)
    assert [m for m in loaded if m.startswith("reportgen")] == [
        "reportgen",
        "reportgen.cli",
        "reportgen.racks",
    ]


@pytest.mark.parametrize("command", racks.names("commands"))
def test_list_says_what_the_command_says(command: str) -> None:
    """The help that is read from a command's file is the command's own."""
    found = cli._HELP.search(racks.source("commands", command))
    assert found, f"write COMMAND = Command( and its help on a line of its own in commands/{command}.py"
    assert found[1] == racks.get("commands", command, "COMMAND").help


@pytest.mark.parametrize("columns", ["40", "200", "x", ""])
def test_help_is_as_wide_as_the_terminal(columns: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Lines fit the width that the terminal tells, 80 where it tells none."""
    monkeypatch.setenv("COLUMNS", columns)
    lines = cli.parser("check").format_help().splitlines()
    wide = int(columns) if columns.isdecimal() else 80
    assert max(map(len, lines)) <= wide
    assert len(lines) > 10 or wide == 200


def test_slip_names_the_commands() -> None:
    """A command that does not exist is refused with those that do."""
    done = run("anchor", "x")
    assert done.returncode == 2
    assert all(name in done.stderr for name in racks.names("commands"))
