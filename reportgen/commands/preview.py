"""Shows the report in a browser of this machine while the notes are written, with all problems."""

from __future__ import annotations

import argparse
import signal
import sys
import threading
import webbrowser
from pathlib import Path
from typing import Any

from reportgen import wording
from reportgen.command import Command, a_day


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "notes", metavar="NOTES", type=Path, help="a note, a survey's folder, or a folder of surveys"
    )
    parser.add_argument(
        "--for", dest="edition", metavar="READER", default="buyer", help="edition to show; buyer if not said"
    )
    parser.add_argument("--theme", metavar="NAME", default="base", help="theme, base if not said")
    parser.add_argument(
        "--language", choices=wording.SPOKEN, default="", help="language of our words, not the notes' own"
    )
    parser.add_argument(
        "--units", choices=wording.SYSTEMS, default="", help="also show quantities in these units"
    )
    parser.add_argument("--port", type=int, default=0, metavar="N", help="port; any free one if not said")
    parser.add_argument(
        "--today", type=a_day, metavar="DATE", help="day to count on, if not the day reported"
    )
    parser.add_argument(
        "--editor",
        metavar="TEMPLATE",
        default="",
        help="address that opens a note in your editor, with {file}, {line} and {column} in it",
    )
    parser.add_argument("--open", action="store_true", help="open the page in your browser")


def _run(arguments: argparse.Namespace) -> int:
    from dataclasses import replace

    from reportgen import notes, previewing, previewpage, publish, serving, watching
    from reportgen.errors import UsageError

    def wish() -> previewing.Wish:
        look = publish.theme_named(arguments.theme, arguments.notes)
        look = replace(look, policy=previewpage.policy(look.policy))
        return previewing.Wish(
            publish.edition_named(arguments.edition, arguments.notes),
            look,
            arguments.today,
            arguments.language,
            arguments.units,
        )

    if not arguments.notes.exists():
        notes.find(arguments.notes)
    if not 0 <= arguments.port <= 65535:
        raise UsageError(f"{arguments.port} is no port; write one from 1024 to 65535, or leave --port out")
    editor = previewpage.editor(arguments.editor) if arguments.editor else ""
    wish()  # an edition or theme that isn't there is told now, not on the page
    bench = previewing.Bench(arguments.notes, wish)
    server = serving.Server(bench, arguments.port, editor)
    watch = watching.Watch(bench.tops)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    try:
        signal.signal(signal.SIGTERM, signal.default_int_handler)
        print(f"Preview, for this machine alone: {server.address}")
        print("Save a note and the page follows. Ctrl-C ends the preview.", flush=True)
        if arguments.open:
            webbrowser.open(server.address)
        _tell(bench.make())
        while changed := watch.changes(server.ended):
            _tell(bench.make(changed))
    except KeyboardInterrupt:
        print("Preview ended.", flush=True)
    finally:
        server.end()
    return 0


def _tell(state: Any) -> None:
    """Say on the terminal what was made and how many problems stand on the page."""
    errors = sum(1 for problem in state.problems if problem.level == "error")
    warnings = len(state.problems) - errors
    words = f"{errors} mistake{'s' * (errors != 1)}, {warnings} warning{'s' * (warnings != 1)}"
    print(f"made in {state.seconds:.2f} s: {words}", file=sys.stderr, flush=True)


COMMAND = Command(
    "show the report while you write, refreshed as you save",
    "Serves the report to this machine alone and refreshes the page in place when a note is saved. All "
    "problems stand on the page, each with a link to its line; nothing is written beside the notes.",
    _arguments,
    _run,
    "The address holds a secret word: give it to nobody. What publish writes has no script; the preview's "
    "pages have one, which refreshes them.",
)
