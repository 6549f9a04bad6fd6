"""Begins a survey's notes from the checklist of its type."""

from __future__ import annotations

import argparse
import datetime
import sys
from collections.abc import Mapping
from pathlib import Path

from reportgen.command import Command, a_day
from reportgen.errors import PacketError, UsageError, listed, nearest


def _types() -> list[str]:
    """Give the types of boats by the files of their checklists, which takes no time."""
    files = (Path(__file__).parents[1] / "checklists").glob("*.yaml")
    return sorted(file.stem.replace("_", " ") for file in files)


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("folder", metavar="DIR", type=Path, help="folder for the notes, new or empty")
    parser.add_argument("--type", metavar="TYPE", help=f"type of boat: {listed(_types())}")
    parser.add_argument("--survey", metavar="KIND", help="kind of survey, pre-purchase if not said")
    parser.add_argument("--today", type=a_day, metavar="DATE", help="day of the inspection, if not today")
    parser.add_argument(
        "--currency", default="USD", metavar="CODE", help="of the money lines, USD if not said"
    )


def _run(arguments: argparse.Namespace) -> int:
    from reportgen import starting

    folder: Path = arguments.folder
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise UsageError(f"{folder} is there and not empty; name a new folder")
    day = arguments.today or datetime.datetime.now().astimezone().date()
    told = _told(arguments, day)
    day = datetime.date.fromisoformat(told.pop("day", day.isoformat()))
    files = starting.notes(told.pop("type"), day, told.pop("currency"), told)
    _write(folder, files)
    print(f"{len(files)} notes in {folder}, beginning with {starting.COVER}. Fill them in, then:")
    print(f"reportgen check {folder}")
    print(f"reportgen publish {folder} --to {folder}-report")
    return 0


def _told(arguments: argparse.Namespace, day: datetime.date) -> dict[str, str]:
    """Give what the command line says, or without a type what is answered; only a terminal is asked."""
    from reportgen import units

    currency = arguments.currency.upper()
    if not units.currency_known(currency):
        raise UsageError(f"no currency {arguments.currency!r}; write a code such as USD or EUR")
    types = _types()
    if arguments.type is None:
        if not (sys.stdin.isatty() and sys.stdout.isatty()):
            raise UsageError(f"name the --type of boat: {listed(types)}")
        from reportgen import asking

        return asking.ask(day, currency)
    if arguments.type not in types:
        near = nearest(arguments.type, types)
        raise UsageError(f"no type of boat {arguments.type!r}; write {near or listed(types)}")
    return {"type": arguments.type, "currency": currency} | _survey(arguments.survey)


def _survey(kind: str | None) -> dict[str, str]:
    """Give the kind of survey that the command line names, if any."""
    from reportgen.blocks.cover import SURVEYS

    if kind is not None and kind not in SURVEYS:
        raise UsageError(f"no survey {kind!r}; write {nearest(kind, SURVEYS) or listed(SURVEYS)}")
    return {"survey": kind} if kind else {}


def _write(folder: Path, files: Mapping[str, str]) -> None:
    """Write all notes or none: what was begun is taken away again."""
    begun: list[Path] = []
    made = not folder.exists()
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, text in files.items():
            begun.append(folder / name)
            begun[-1].write_text(text, encoding="utf-8", newline="\n")
    except OSError as error:
        for path in begun:
            path.unlink(missing_ok=True)
        if made and folder.is_dir():
            folder.rmdir()
        raise PacketError(f"{folder} can't be written: {error.strerror or error}") from error


COMMAND = Command(
    "begin a survey's notes from the checklist of its type",
    "Writes a cover note and a note a system into DIR: the items to look at, the readings to take with their "
    "units, how each is taken and what to mind. What stays empty is reported as not stated or not taken. "
    "Without --type, and on a terminal, it asks what is known of the boat; Enter leaves a thing out.",
    _arguments,
    _run,
    "Publishing works at once; the report says what is not filled in.",
)
