"""The contract of a command, and how it speaks to a terminal or to a log."""

from __future__ import annotations

import argparse
import datetime
import os
import sys
from collections.abc import Callable
from dataclasses import dataclass
from typing import TextIO

from reportgen.errors import Problem


@dataclass(frozen=True)
class Command:
    """One command. help: for the list. run: gives the exit code; results to stdout, problems to stderr."""

    help: str
    description: str
    arguments: Callable[[argparse.ArgumentParser], None]
    run: Callable[[argparse.Namespace], int]
    epilog: str = ""


def a_day(text: str) -> datetime.date:
    """Read a date typed on the command line; argparse prints the error."""
    try:
        return datetime.date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is not a date; write it as 2026-05-14") from None


def plain(stream: TextIO) -> bool:
    """Say whether a stream takes text alone: it is no terminal, or one that can't move its cursor."""
    return not stream.isatty() or os.environ.get("TERM", "") == "dumb"


_STYLES = {"mistake": "31", "warning": "33", "heading": "1"}


def styled(text: str, style: str, stream: TextIO) -> str:
    """Give text in a style of _STYLES: only on a terminal, and never where NO_COLOR is set (to anything).

    Colour says nothing that the words don't say.
    """
    old_console = os.name == "nt" and "WT_SESSION" not in os.environ
    if plain(stream) or os.environ.get("NO_COLOR") or old_console:
        return text
    return f"\x1b[{_STYLES[style]}m{text}\x1b[0m"


def problem_line(problem: Problem, stream: TextIO) -> str:
    """Give a problem as one line, its place in the colour of its level."""
    place, line = str(problem.place), str(problem)
    style = "warning" if problem.level == "warning" else "mistake"
    return styled(place, style, stream) + line.removeprefix(place)


class Progress:
    """Shows how far long work is: one moving bar on a terminal, plain lines elsewhere."""

    WIDE = 20  # of the bar [letters]

    def __init__(self, stream: TextIO | None = None) -> None:
        self._stream = stream or sys.stderr
        self._moving = not plain(self._stream)
        self._width = 0

    def __call__(self, done: int, of: int, name: str) -> None:
        """Tell that `done` of `of` surveys are ready and that work on `name` begins."""
        if of < 2:
            return
        if self._moving:
            full = self.WIDE * done // of
            line = f"[{'#' * full}{'.' * (self.WIDE - full)}] {done} of {of} surveys {name}"[:78].rstrip()
            self._stream.write(f"\r{line:<{self._width}}" + ("\n" if done == of else ""))
            self._width = len(line)
        elif done == of or done % 100 == 0:
            self._stream.write(f"{done} of {of} surveys read\n")
        self._stream.flush()
