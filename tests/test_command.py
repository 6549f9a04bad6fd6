"""Bars and colours stand on a terminal only, and not where its owner or its kind forbids them."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

from reportgen import command
from reportgen.command import Progress
from reportgen.errors import Place, Problem
from tests import made
from tests.project import run
from tests.terminal import on_terminal


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


@pytest.fixture(autouse=True)
def environment(monkeypatch: pytest.MonkeyPatch) -> pytest.MonkeyPatch:
    """Give an environment that says nothing of colours."""
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setenv("WT_SESSION", "1")
    return monkeypatch


def shown(stream: io.StringIO, count: int = 4) -> str:
    """Give what a run over some surveys shows."""
    progress = Progress(stream)
    for number in range(count):
        progress(number, count, f"boat-{number}")
    progress(count, count, "")
    return stream.getvalue()


def test_bar_on_a_terminal() -> None:
    """The bar grows on one line and ends it; no earlier name is left behind a shorter line."""
    text = shown(Terminal())
    assert text.count("\n") == 1
    assert text.endswith("\n")
    steps = text.strip("\r\n").split("\r")
    assert [s.count("#") for s in steps] == [0, 5, 10, 15, 20]
    assert steps[1].startswith("[#####...............] 1 of 4 surveys boat-1")
    assert len(steps[4]) == len(steps[3])
    assert "4 of 4 surveys" in steps[4]


def test_plain_lines_elsewhere(environment: pytest.MonkeyPatch) -> None:
    """In a log, and on a terminal that can't move its cursor, whole lines are written."""
    assert shown(io.StringIO()) == "0 of 4 surveys read\n4 of 4 surveys read\n"
    environment.setenv("TERM", "dumb")
    assert shown(Terminal()) == "0 of 4 surveys read\n4 of 4 surveys read\n"


def test_one_survey_needs_no_bar() -> None:
    """Of a single survey nothing is shown."""
    assert shown(Terminal(), 1) == ""


def test_colour() -> None:
    """The place of a mistake is red, of a warning yellow; all words stand as without colour."""
    wrong = Problem(Place("a.md", 3, 1, "severity"), "found", "write")
    line = command.problem_line(wrong, Terminal())
    assert line == "\x1b[31ma.md:3:1\x1b[0m: severity: found; write"
    warning = Problem(Place("a.md", 3, 1), "found", "write", "warning")
    assert command.problem_line(warning, Terminal()).startswith("\x1b[33ma.md:3:1\x1b[0m: warning:")
    assert command.problem_line(wrong, io.StringIO()) == str(wrong)


@pytest.mark.parametrize(("name", "value"), [("NO_COLOR", "1"), ("NO_COLOR", "no"), ("TERM", "dumb")])
def test_no_colour(name: str, value: str, environment: pytest.MonkeyPatch) -> None:
    """NO_COLOR, whatever it says, and a dumb terminal keep the text plain."""
    environment.setenv(name, value)
    assert command.styled("word", "mistake", Terminal()) == "word"


def test_empty_no_color_says_nothing(environment: pytest.MonkeyPatch) -> None:
    """An empty NO_COLOR counts as not set, as its convention has it."""
    environment.setenv("NO_COLOR", "")
    assert command.styled("word", "mistake", Terminal()) != "word"


def test_on_a_real_terminal(tmp_path: Path) -> None:
    """`check` colours on a terminal, not with NO_COLOR, and not in a pipe."""
    folder = made.write(tmp_path / "s", {**made.TINY, "scop": "x"})
    assert "\x1b[31m" in on_terminal("check", str(folder))[1]
    assert "\x1b" not in on_terminal("check", str(folder), env={"NO_COLOR": "1"})[1]
    piped = run("check", str(folder))
    assert "\x1b" not in piped.stderr + piped.stdout
