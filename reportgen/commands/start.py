"""Begins a survey's notes from the checklist of its type."""

from __future__ import annotations

import argparse
import datetime
from collections.abc import Mapping
from pathlib import Path

from reportgen.blocks.vessel import TYPES
from reportgen.command import Command, a_day
from reportgen.errors import PacketError, UsageError, listed, nearest


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("folder", metavar="DIR", type=Path, help="folder for the notes, new or empty")
    parser.add_argument("--type", required=True, metavar="TYPE", help=f"type of boat: {listed(TYPES)}")
    parser.add_argument("--today", type=a_day, metavar="DATE", help="day of the inspection, if not today")
    parser.add_argument(
        "--currency", default="USD", metavar="CODE", help="of the money lines, USD if not said"
    )


def _run(arguments: argparse.Namespace) -> int:
    from reportgen import starting, units

    if arguments.type not in TYPES:
        near = nearest(arguments.type, TYPES)
        raise UsageError(f"no type of boat {arguments.type!r}; write {near or listed(TYPES)}")
    currency = arguments.currency.upper()
    if not units.currency_known(currency):
        raise UsageError(f"no currency {arguments.currency!r}; write a code such as USD or EUR")
    folder: Path = arguments.folder
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise UsageError(f"{folder} is there and not empty; name a new folder")
    day = arguments.today or datetime.datetime.now().astimezone().date()
    files = starting.notes(arguments.type, day, currency)
    _write(folder, files)
    print(f"{len(files)} notes in {folder}, beginning with {starting.COVER}. Fill them in, then:")
    print(f"reportgen check {folder}")
    print(f"reportgen publish {folder} --to {folder}-report")
    return 0


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
    "units, how each is taken and what to mind. What stays empty is reported as not stated or not taken.",
    _arguments,
    _run,
    "Publishing works at once; the report says what is not filled in.",
)
