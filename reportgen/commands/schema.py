"""Prints the rules of the notes, or of report.json, as JSON Schema: for editors and other programs."""

from __future__ import annotations

import argparse
import json

from reportgen.command import Command

PARTS = ("front", "cover", "note", "finding", "reading", "report")


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--of",
        choices=PARTS,
        default="front",
        help="front matter of any note (the default), of the cover note alone, of other notes alone; the "
        "keys of a finding; the keys of a reading; or report.json of any edition",
    )


def _run(arguments: argparse.Namespace) -> int:
    print(json.dumps(_document(arguments.of), ensure_ascii=False, indent=1))
    return 0


def _document(of: str) -> dict[str, object]:
    from reportgen import reportschema, schema

    return reportschema.document() if of == "report" else schema.document("" if of == "front" else of)


COMMAND = Command(
    "print the rules of the notes, or of report.json, as JSON Schema",
    "Prints the JSON Schema (draft 2020-12) of a part of the notes: an editor that understands it completes "
    "keys and words, shows what each is for, and underlines mistakes while you write. --of report prints "
    "that of report.json, for programs that read it.",
    _arguments,
    _run,
    "The schema knows keys, words and forms; whether the notes fit together only `reportgen check` tells.",
)
