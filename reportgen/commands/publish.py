"""Writes the packet: a folder with the report's page, photos, data and sums."""

from __future__ import annotations

import argparse
import gc
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from reportgen import wording
from reportgen.command import Command, Progress, a_day, problem_line

if TYPE_CHECKING:
    from reportgen.publish import Published


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "notes", metavar="NOTES", type=Path, help="a note, a survey's folder, or a folder of surveys"
    )
    parser.add_argument("--to", metavar="DIR", type=Path, required=True, help="folder of the packet")
    parser.add_argument(
        "--for",
        dest="edition",
        metavar="READER",
        default="buyer",
        help="buyer (the default), lender, insurer, seller, yard, or one of your own in NOTES/editions",
    )
    parser.add_argument(
        "--theme", metavar="NAME", default="base", help="base, carbon, or one of your own in NOTES/themes"
    )
    parser.add_argument(
        "--today", type=a_day, metavar="DATE", help="day to count on, if not the day reported"
    )
    parser.add_argument(
        "--no-charts", action="store_true", help="leave the pictures of charts out; tables stay"
    )
    parser.add_argument(
        "--sign", metavar="KEY", type=Path, help="sign with your SSH key, such as ~/.ssh/id_ed25519"
    )
    parser.add_argument(
        "--one-file", action="store_true", help="also the whole report as one HTML file, for mail"
    )
    parser.add_argument(
        "--base", metavar="URL", default="", help="address at which the site will stand, for its feed"
    )
    parser.add_argument(
        "--fresh", action="store_true", help="make everything anew, also what has not changed"
    )
    parser.add_argument(
        "--jobs", type=_count, metavar="N", default=0, help="surveys worked on at once, if not as many as pay"
    )
    parser.add_argument(
        "--cluster",
        metavar="ADDRESS",
        default="",
        help="have the work done by a Dask scheduler's workers, such as tcp://10.0.0.5:8786",
    )
    parser.add_argument("--pdf", action="store_true", help="also the whole report as a PDF, for portals")
    parser.add_argument(
        "--paper",
        choices=("A4", "Letter", "both"),
        default="both",
        help="paper of the PDF; both (the default) prints on either",
    )
    parser.add_argument(
        "--language", choices=wording.SPOKEN, default="", help="language of our words, not the notes' own"
    )
    parser.add_argument(
        "--units", choices=wording.SYSTEMS, default="", help="also show quantities in these units"
    )


def _count(text: str) -> int:
    """Read a number of processes; argparse prints the error."""
    if not (text.isascii() and text.isdigit() and 1 <= int(text) <= 256):
        raise argparse.ArgumentTypeError(f"{text!r} is not a number from 1 to 256")
    return int(text)


def _run(arguments: argparse.Namespace) -> int:
    # what is made for a survey lives until the survey is done, and then `making` looks for the rubbish:
    # to look every 700 things finds none
    gc.set_threshold(200_000, 20, 20)
    from reportgen import feed, publish, sending

    wish = publish.Wish(
        publish.edition_named(arguments.edition, arguments.notes),
        publish.theme_named(arguments.theme, arguments.notes),
        arguments.today,
        not arguments.no_charts,
        arguments.sign.expanduser() if arguments.sign else None,
        forms=sending.Forms(arguments.one_file, arguments.paper if arguments.pdf else ""),
        language=arguments.language,
        units=arguments.units,
        base=feed.base_checked(arguments.base),
        fresh=arguments.fresh,
        jobs=arguments.jobs,
        cluster=arguments.cluster,
    )
    done = publish.publish(arguments.notes, arguments.to, wish, Progress())
    _tell_problems(done)
    _tell_reports(done, arguments.to, arguments.edition)
    return 0


def _tell_problems(done: Published) -> None:
    if done.ignored:
        print("the record beside the packet can't be read: everything was made anew", file=sys.stderr)
    for warning in done.warnings:
        print(problem_line(warning, sys.stderr), file=sys.stderr)
    if done.untold:
        print(f"and {done.untold:,} more warnings: reportgen check tells all of them", file=sys.stderr)
    if done.written.removed:
        gone = ", ".join(done.written.removed)
        print(f"taken away, since no longer among the notes: {gone}", file=sys.stderr)
    if done.written.foreign:
        names = ", ".join(done.written.foreign)
        print(f"not written by reportgen and left as it was: {names}", file=sys.stderr)


def _tell_reports(done: Published, to: Path, edition: str) -> None:
    from reportgen import sending

    for entry in done.entries:
        where = to / entry.folder / "index.html"
        print(f"{entry.boat}: {entry.counted} -> {where}")
        print(f"  packet fingerprint {done.fingerprints[entry.folder]}")
    count = len(done.entries) + done.unchanged
    if done.unchanged:
        print(
            f"{done.unchanged} survey{'s' * (done.unchanged != 1)} unchanged since the last time; "
            "their warnings: reportgen check"
        )
    if count > 1:
        print(f"{count} reports for the {edition} -> {to / 'index.html'}")
    if not done.entries:
        return
    if done.signers:
        print("Signed. Whoever is to check it needs a file of signers with this line, by another way than")
        print("the packet, and may hold the packet fingerprint against what you told them:")
        print(done.signers)
    for line in sending.advice(to, [entry.folder for entry in done.entries], done.sent):
        print(line)


COMMAND = Command(
    "write the packet that others can read",
    "Writes the packet of one edition: page, photos, report.json, costs.csv and SHA256SUMS, all or nothing.",
    _arguments,
    _run,
    "Files in DIR that reportgen did not write are left as they are. --sign needs ssh-keygen (OpenSSH 8.2 "
    "or later), which asks for the passphrase or takes the key from an agent; nothing of the key is kept.",
)
