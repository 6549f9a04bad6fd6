"""Reads the notes and prints every problem with its place and what to write instead."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path

from reportgen.command import Command, a_day
from reportgen.errors import NotesError, Problems


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "notes", metavar="NOTES", type=Path, help="a note, a survey's folder, or a folder of surveys"
    )
    parser.add_argument("--json", action="store_true", help="print the problems as JSON")
    parser.add_argument(
        "--today", type=a_day, metavar="DATE", help="day to count on, if not the day reported"
    )


def _run(arguments: argparse.Namespace) -> int:
    from reportgen import notes, publish

    problems = Problems()
    try:
        surveys = publish.check(arguments.notes, problems, arguments.today)
    except NotesError as error:
        surveys = ()
        for problem in error.problems:
            problems.error(problem.place, problem.found, problem.write)
    if arguments.json:
        print(json.dumps([p.as_json() for p in problems], ensure_ascii=False, indent=1))
        return 1 if problems.errors else 0
    for problem in problems:
        print(problem, file=sys.stderr)
    for survey in surveys:
        print(f"{survey.slug}: {notes.what_was_read(survey)}")
    errors, warnings = len(problems.errors), len(problems.warnings)
    print(f"{errors} mistake{'s' * (errors != 1)}, {warnings} warning{'s' * (warnings != 1)}.")
    return 1 if errors else 0


COMMAND = Command(
    "read the notes and print every problem",
    "Reads the notes, judges the readings and prints each problem, as file:line:column: key: found; remedy.",
    _arguments,
    _run,
    "Exit code 0: nothing stands in the way of publishing (warnings may remain). 1: mistakes were found.",
)
