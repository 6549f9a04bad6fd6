"""Reads the notes and prints every problem with its place and what to write instead."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from reportgen.command import Command, a_day, problem_line, styled
from reportgen.errors import NotesError, Problems

if TYPE_CHECKING:
    from reportgen.advice import Advice


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "notes", metavar="NOTES", type=Path, help="a note, a survey's folder, or a folder of surveys"
    )
    parser.add_argument(
        "--all", action="store_true", help="print all that would make the report better, not a screenful"
    )
    parser.add_argument("--json", action="store_true", help="print problems, advice and counts as JSON")
    parser.add_argument(
        "--today", type=a_day, metavar="DATE", help="day to count on, if not the day reported"
    )


def _run(arguments: argparse.Namespace) -> int:
    problems = Problems()
    read, better = _read(arguments, problems)
    if problems.errors:
        better = []  # what a mistake hides is not missing
    if arguments.json:
        print(json.dumps(_as_json(problems, better, len(read)), ensure_ascii=False, indent=1))
        return 1 if problems.errors else 0
    for problem in problems:
        print(problem_line(problem, sys.stderr), file=sys.stderr)
    print(*read, sep="\n", end="\n" * bool(read))
    _print_advice(better, arguments.all)
    errors, warnings = len(problems.errors), len(problems.warnings)
    print(f"{errors} mistake{'s' * (errors != 1)}, {warnings} warning{'s' * (warnings != 1)}.")
    return 1 if errors else 0


def _read(arguments: argparse.Namespace, problems: Problems) -> tuple[list[str], list[Advice]]:
    """Read every survey; give a line on each, and what would make its report better."""
    from reportgen import advice, notes, publish

    read: list[str] = []
    better: list[Advice] = []
    try:
        for survey, report in publish.reviewed(arguments.notes, problems, arguments.today):
            read.append(f"{survey.slug}: {notes.what_was_read(survey)}")
            better += advice.of(survey, report)
    except NotesError as error:
        for problem in error.problems:
            problems.error(problem.place, problem.found, problem.write)
    return read, better


def _print_advice(better: list[Advice], whole: bool) -> None:
    from reportgen import advice

    if better:
        print(styled("What would make it better (nothing of this stands in the way):", "heading", sys.stdout))
        print(*advice.lines(better, 0 if whole else advice.SCREEN), sep="\n")


def _as_json(problems: Problems, better: list[Advice], surveys: int) -> dict[str, object]:
    """Give what --json prints; README.md promises its shape."""
    counts = {
        "surveys": surveys,
        "errors": len(problems.errors),
        "warnings": len(problems.warnings),
        "advice": len(better),
    }
    return {
        "format": "reportgen check 1",
        "counts": counts,
        "problems": [problem.as_json() for problem in problems],
        "advice": [one.as_json() for one in better],
    }


COMMAND = Command(
    "read the notes and print every problem, and what would make the report better",
    "Reads the notes, judges the readings and prints each problem, as file:line:column: key: found; remedy. "
    "When there is no mistake, it ends with what would make the report better.",
    _arguments,
    _run,
    "Exit code 0: nothing stands in the way of publishing (warnings and advice may remain). 1: mistakes were "
    "found.",
)
