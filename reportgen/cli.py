"""The command line: reads what the user typed and hands it to one of the commands."""

from __future__ import annotations

import argparse
import sys
from typing import Any

from reportgen import __version__, racks
from reportgen.errors import NotesError, PacketError, ThemeError, UsageError

DONE, AT_FAULT, WRONG_USE = 0, 1, 2


def parser() -> argparse.ArgumentParser:
    """Give the parser of the whole command line, with a sub-parser for every file in commands/."""
    top = argparse.ArgumentParser(
        prog="reportgen",
        description="Turns a surveyor's notes on a used boat into a report that others can read and trust.",
        epilog="Begin with: reportgen check NOTES. Then: reportgen publish NOTES --to DIR.",
    )
    top.add_argument("--version", action="version", version=f"reportgen {__version__}")
    commands = top.add_subparsers(dest="command", metavar="COMMAND", required=True)
    for name, command in racks.all_of("commands", "COMMAND").items():
        sub = commands.add_parser(
            name, help=command.help, description=command.description, epilog=command.epilog
        )
        command.arguments(sub)
        sub.set_defaults(run=command.run, parser=top)
    return top


def main(argv: list[str] | None = None) -> int:
    """Run one command and give its exit code: 0 done, 1 notes, theme or packet at fault, 2 wrong use."""
    for stream in (sys.stdout, sys.stderr):
        # a console of another code page must not stop a report half-way
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    try:
        arguments = parser().parse_args(argv)
    except SystemExit as end:
        return end.code if isinstance(end.code, int) else WRONG_USE
    try:
        return _run(arguments)
    except BrokenPipeError:
        # the reader of our output has left, such as `head`; nothing more can be told
        sys.stderr.close()
        return AT_FAULT
    except KeyboardInterrupt:
        print("stopped; nothing was changed", file=sys.stderr)
        return AT_FAULT


def _run(arguments: Any) -> int:
    try:
        return int(arguments.run(arguments))
    except UsageError as error:
        print(f"reportgen: {error}", file=sys.stderr)
        return WRONG_USE
    except NotesError as error:
        for problem in error.problems:
            print(problem, file=sys.stderr)
        count = sum(1 for p in error.problems if p.level == "error")
        print(f"{count} mistake{'s' * (count != 1)} in the notes; nothing was written.", file=sys.stderr)
        return AT_FAULT
    except (ThemeError, PacketError) as error:
        print(f"reportgen: {error}", file=sys.stderr)
        return AT_FAULT
