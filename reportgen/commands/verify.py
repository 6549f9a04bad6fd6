"""Checks a packet that somebody sent you: every file, the signature, the version and the age."""

from __future__ import annotations

import argparse
import datetime
import json
import re
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from reportgen import wording
from reportgen.command import Command
from reportgen.errors import UsageError

if TYPE_CHECKING:
    from reportgen.proof import Checked
    from reportgen.standing import Told

_UNPROVEN = (
    "That files agree with the list beside them shows only that nothing was damaged: whoever changes a file "
    "can change the list. Ask the surveyor, by a way you know already, to confirm the packet fingerprint of "
    "32 characters, or for a file of signers and check with --signer. The content fingerprint of 16, "
    "which stands on the pages, proves nothing: whoever changes a page can copy it."
)

_OF_PACKET, _OF_CONTENT = 32, 16  # characters of the fingerprints

_NO_NEWER = "names no newer version; a copy can't know of later ones, its surveyor can"


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "packet", metavar="PACKET", type=Path, nargs="?", help="the folder you were sent, unpacked"
    )
    parser.add_argument(
        "--signer",
        metavar="FILE",
        type=Path,
        help="who may have signed it: a file of allowed signers, or the surveyor's public key",
    )
    parser.add_argument("--json", action="store_true", help="print what was found as JSON")
    parser.add_argument(
        "--page",
        metavar="FILE",
        type=Path,
        help="write a page for your own site by which readers without a command line can check",
    )
    parser.add_argument(
        "--language", choices=wording.LANGUAGES, default="en", help="language of that page; en if not said"
    )


def _run(arguments: argparse.Namespace) -> int:
    if (arguments.packet is None) == (arguments.page is None):
        raise UsageError("name the packet to check, or the --page to write")
    _no_digits(arguments.signer)
    return _check(arguments) if arguments.page is None else _page(arguments)


def _no_digits(signer: Path | None) -> None:
    """Raise UsageError for a fingerprint where a file of signers should be: people have those at hand."""
    digits = re.sub(r"\s", "", str(signer))
    if signer is None or not re.fullmatch("[0-9A-Fa-f]{8,64}", digits) or signer.exists():
        return
    found = f"--signer takes a file, and {digits} is a fingerprint of {len(digits)} characters"
    if len(digits) == _OF_CONTENT:
        raise UsageError(
            f"{found}, as the report's pages show it; it proves nothing: ask the surveyor for the packet "
            f"fingerprint, which has {_OF_PACKET}"
        )
    raise UsageError(
        f"{found}; leave --signer out, and hold it yourself against the packet fingerprint of {_OF_PACKET} "
        "characters that is printed then"
    )


def _page(arguments: argparse.Namespace) -> int:
    from reportgen import checkpage

    checkpage.write(arguments.page, arguments.signer, arguments.language)
    keys = "your key in it" if arguments.signer else "no key in it: --signer FILE puts yours in"
    print(f"{arguments.page}: a page to check packets with, {keys}.")
    print("Put it on your own site and tell readers its address. Never send it along with a report:")
    print("whoever can change a report can change a page that came with it.")
    return 0


def _check(arguments: argparse.Namespace) -> int:
    from reportgen import proof

    today = datetime.datetime.now().astimezone().date()
    every = proof.check(arguments.packet, arguments.signer, today)
    if arguments.json:
        print(json.dumps(_as_json(every), ensure_ascii=True, indent=1))
        return 1 if any(checked.faults for checked in every) else 0
    for checked in every:
        print(proof.printable(_name(arguments.packet, checked)))
        for line in _lines(checked):
            print(f"  {line}")
    faults = sum(len(checked.faults) for checked in every)
    if faults:
        print(f"Not as published: {faults} fault{'s' * (faults != 1)}.")
        return 1
    if all(checked.signature.state == "good" for checked in every):
        print("As published and signed: every file is the one that was signed, none is missing, none extra.")
    else:
        print("As listed: every file agrees with its sum, none is missing, none extra.", _UNPROVEN, sep="\n")
    return 0


def _as_json(every: Sequence[Checked]) -> dict[str, object]:
    """Give what --json prints; README.md promises its shape."""
    return {
        "format": "reportgen verify 1",
        "as_listed": not any(checked.faults for checked in every),
        "signed": all(checked.signature.state == "good" for checked in every),
        "folders": [
            {
                "folder": checked.folder,
                "files": len(checked.files.listed),
                "fingerprint": checked.fingerprint,
                "faults": list(checked.faults),
                "signature": {
                    "state": checked.signature.state,
                    "key": checked.signature.key,
                    "whose": checked.signature.whose,
                },
                "report": _report(checked.told),
            }
            for checked in every
        ],
    }


def _report(told: Told | None) -> dict[str, object] | None:
    if told is None or told.fault:
        return None
    names = ("boat", "number", "version", "status", "edition", "age_days", "expired", "replaced", "content")
    days = {name: getattr(told, name) for name in ("inspected", "relied_until")}
    return {name: getattr(told, name) for name in names} | {
        name: day.isoformat() if day else None for name, day in days.items()
    }


def _name(packet: Path, checked: Checked) -> str:
    return str(packet / checked.folder) if checked.folder else str(packet)


def _lines(checked: Checked) -> Iterator[str]:
    from reportgen.proof import printable

    if checked.told is not None and not checked.told.fault:
        yield from map(printable, _told(checked.told))
    yield f"{len(checked.files.listed)} files listed"
    yield from checked.faults
    yield f"packet fingerprint {checked.fingerprint}"
    if checked.told is not None and checked.told.content:
        yield f"content fingerprint {checked.told.content}, as on its pages; no proof"
    yield printable(_signature(checked))


def _told(told: Told) -> Iterator[str]:
    version = f", version {told.version}" if told.version is not None else ""
    yield f"{told.boat}: report {told.number}{version}, {told.status}, {told.edition} edition"
    if told.age_days is not None:
        ago = f"{told.age_days} day{'s' * (told.age_days != 1)} ago"
        ahead = "a day to come by this machine's clock"
        yield f"inspected {told.inspected}, {ago if told.age_days >= 0 else ahead}"
    if told.relied_until:
        yield f"not to be relied on after {told.relied_until}{': that day has passed' * told.expired}"
    if told.status == "withdrawn":
        yield "withdrawn: not to be relied on"
    yield f"replaced by {told.replaced}" if told.replaced else _NO_NEWER


def _signature(checked: Checked) -> str:
    found = checked.signature
    words = {
        "none": "not signed",
        "unchecked": f"signed with the key {found.key}, not checked: ssh-keygen is not on this machine",
        "unknown": f"signed with the key {found.key}; whose it is, is not known: name --signer FILE",
        "good": f"signed by {found.whose or 'the key you named'}, key {found.key}",
        "bad": "signature not accepted",
    }
    return words[found.state]


COMMAND = Command(
    "check a packet that somebody sent you",
    "Holds every file of a packet against its sum and names what was changed, is missing or is extra; checks "
    "the signature; tells the report's version and its age on this machine's clock.",
    _arguments,
    _run,
    "Exit code 0: all as published (a newer version may exist: it is told). 1: something is not, or --signer "
    "was given and the signature is missing or somebody else's. 2: wrong use.",
)
