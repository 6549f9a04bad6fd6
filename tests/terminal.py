"""Runs the command line on a terminal of its own, as a person would: typed keys in, all that shows out."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import subprocess
import sys
import termios
import time
from collections.abc import Mapping

from tests.project import TOP


def on_terminal(
    *arguments: str, keys: bytes = b"", after: bytes = b"", env: Mapping[str, str] | None = None
) -> tuple[int, str]:
    """Run reportgen with stdin, stdout and stderr on a terminal; give its exit code and all it showed.

    keys: typed once `after` is shown, and Ctrl-C again until it is heard.
    """
    ours, theirs = pty.openpty()
    command = [sys.executable, "-m", "reportgen", *arguments]
    process = subprocess.Popen(
        command,
        stdin=theirs,
        stdout=theirs,
        stderr=theirs,
        cwd=TOP,
        env={**os.environ, "TERM": "xterm", **(env or {})},
        start_new_session=True,
        preexec_fn=lambda: fcntl.ioctl(0, termios.TIOCSCTTY, 0),  # noqa: PLW1509 - so that Ctrl-C is one
    )
    os.close(theirs)
    shown, typed, end = b"", not keys, time.monotonic() + 60
    while time.monotonic() < end:
        if not select.select([ours], [], [], 0.5)[0]:
            # a signal that comes just before Python waits for a key is heard with the next one
            if typed and b"\x03" in keys:
                os.write(ours, b"\x03")
            continue
        try:
            shown += os.read(ours, 4096)
        except OSError:  # the other side is closed
            break
        if not typed and after in shown:
            os.write(ours, keys)
            typed = True
    if time.monotonic() >= end:
        process.kill()
    code = process.wait(60)
    os.close(ours)
    return code, shown.decode()
