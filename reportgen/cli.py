"""The command line: reads what the user typed and hands it to one of the commands."""

from __future__ import annotations

import argparse
import os
import re
import sys

from reportgen import __version__, racks

TYPE_CHECKING = False  # typing's own takes longer to load than all of this file
if TYPE_CHECKING:
    from typing import Any

DONE, AT_FAULT, WRONG_USE = 0, 1, 2
_HELP = re.compile(r'^COMMAND = Command\(\n    "(.*)",$', re.M)


def parser(only: str | None = None) -> argparse.ArgumentParser:
    """Give the parser of the whole command line, with a sub-parser for every file in commands/.

    only: the one command to load, where it is known already which was typed; the others are listed by
    what their files say and not imported, so that `--help` is there at once. None loads all.
    """
    top = argparse.ArgumentParser(
        prog="reportgen",
        description="Turns a surveyor's notes on a used boat into a report that others can read and trust.",
        epilog="Begin with: reportgen check NOTES. Then: reportgen publish NOTES --to DIR.",
        formatter_class=_formatter,
    )
    top.add_argument("--version", action="version", version=f"reportgen {__version__}")
    commands = top.add_subparsers(dest="command", metavar="COMMAND", required=True)
    for name in racks.names("commands"):
        listed = _HELP.search(racks.source("commands", name)) if only is not None and name != only else None
        if listed:
            commands.add_parser(name, help=listed[1], add_help=False, formatter_class=_formatter)
            continue
        command = racks.get("commands", name, "COMMAND")
        sub = commands.add_parser(
            name,
            help=command.help,
            description=command.description,
            epilog=command.epilog,
            formatter_class=_formatter,
        )
        command.arguments(sub)
        sub.set_defaults(run=command.run, parser=parser)
    return top


def _formatter(prog: str) -> argparse.HelpFormatter:
    """Lay out help to the terminal's width, which argparse would load a library of archives to find."""
    try:
        columns = int(os.environ.get("COLUMNS", "")) or os.get_terminal_size(1).columns
    except (OSError, ValueError):
        columns = 80
    return argparse.HelpFormatter(prog, width=max(columns, 20) - 2)


def _typed(argv: list[str] | None) -> str:
    """Give the command that was typed, as far as it can be told before all is parsed."""
    words = sys.argv[1:] if argv is None else argv
    return next((word for word in words if not word.startswith("-")), "")


def main(argv: list[str] | None = None) -> int:
    """Run one command and give its exit code: 0 done, 1 notes, theme or packet at fault, 2 wrong use."""
    for stream in (sys.stdout, sys.stderr):
        # a console of another code page must not stop a report half-way
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    try:
        arguments = parser(_typed(argv)).parse_args(argv)
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
    from reportgen.command import problem_line
    from reportgen.errors import NotesError, PacketError, ThemeError, UsageError

    try:
        return int(arguments.run(arguments))
    except UsageError as error:
        print(f"reportgen: {error}", file=sys.stderr)
        return WRONG_USE
    except NotesError as error:
        for problem in error.problems:
            print(problem_line(problem, sys.stderr), file=sys.stderr)
        count = sum(1 for p in error.problems if p.level == "error")
        print(f"{count} mistake{'s' * (count != 1)} in the notes; nothing was written.", file=sys.stderr)
        return AT_FAULT
    except (ThemeError, PacketError) as error:
        print(f"reportgen: {error}", file=sys.stderr)
        return AT_FAULT
