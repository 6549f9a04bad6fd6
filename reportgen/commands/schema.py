"""Prints the rules of the notes, or of report.json, as JSON Schema: for editors and other programs."""

from __future__ import annotations

import argparse
import json

from reportgen.command import Command

PARTS = ("front", "cover", "note", "finding", "reading")


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--of",
        choices=PARTS,
        default="front",
        help="front matter of any note (the default), of the cover note alone, of other notes alone; the "
        "keys of a finding; the keys of a reading",
    )


def _run(arguments: argparse.Namespace) -> int:
    from reportgen import schema

    of = arguments.of
    made = schema.document("" if of == "front" else of)
    print(json.dumps(made, ensure_ascii=False, indent=1))
    return 0


COMMAND = Command(
    "print the rules of the notes as JSON Schema, for editors",
    "Prints the JSON Schema (draft 2020-12) of a part of the notes: an editor that understands it completes "
    "keys and words, shows what each is for, and underlines mistakes while you write.",
    _arguments,
    _run,
    "The schema knows keys, words and forms; whether the notes fit together only `reportgen check` tells.",
)
