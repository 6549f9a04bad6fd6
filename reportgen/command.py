"""The contract of a command, and how it speaks to a terminal or to a log."""

from __future__ import annotations

import argparse
import datetime
import sys
from collections.abc import Callable
from dataclasses import dataclass
from typing import TextIO


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


class Progress:
    """Shows how far long work is: one moving line on a terminal, plain lines elsewhere."""

    def __init__(self, stream: TextIO | None = None) -> None:
        self._stream = stream or sys.stderr
        self._moving = self._stream.isatty()
        self._width = 0

    def __call__(self, done: int, of: int, name: str) -> None:
        """Tell that `done` of `of` surveys are ready and that work on `name` begins."""
        if of < 2:
            return
        if self._moving:
            line = f"{done} of {of} surveys {name}"[:78]
            self._stream.write(f"\r{line:<{self._width}}" + ("\n" if done == of else ""))
            self._width = len(line)
        elif done == of or done % 100 == 0:
            self._stream.write(f"{done} of {of} surveys read\n")
        self._stream.flush()
