"""SSH keys made for one test run by the stock ssh-keygen, and packets to sign with them."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import subprocess
from collections.abc import Mapping
from pathlib import Path

import pytest

from reportgen import asjson, sums

# .ci/run installs ssh-keygen, so there a missing one fails the tests instead of skipping them
needs_keygen = pytest.mark.skipif(
    shutil.which("ssh-keygen") is None and os.environ.get("REPORTGEN_BROWSER") != "required",
    reason="not on this machine: ssh-keygen; .ci/run installs it",
)
EMAIL = "ruth@example.com"


def make(path: Path, kind: str = "ed25519", passphrase: str = "") -> Path:
    """Make a key pair; give the private one's path."""
    kind, _, size = kind.partition("-")
    size = "2048" if kind == "rsa" else size
    bits = ["-b", size] if size else []
    command = [
        "ssh-keygen",
        "-q",
        "-t",
        kind,
        *bits,
        "-N",
        passphrase,
        "-C",
        "made for a test",
        "-f",
        str(path),
    ]
    subprocess.run(command, check=True, capture_output=True)
    return path


def signers(path: Path, *lines: tuple[str, Path]) -> Path:
    """Write a file of allowed signers: words before each key, and the key whose public half is taken."""
    text = "".join(f"{words} {Path(f'{key}.pub').read_text()}" for words, key in lines)
    path.write_text(text, encoding="utf-8")
    return path


def stock(folder: Path, allowed: Path, email: str = EMAIL, namespace: str = "reportgen") -> bool:
    """Tell whether the stock tool alone accepts the signature of a folder's list of sums."""
    command = ["ssh-keygen", "-Y", "verify", "-f", str(allowed), "-I", email, "-n", namespace]
    data = (folder / sums.SUMS).read_bytes()
    done = subprocess.run([*command, "-s", str(folder / sums.SIGNATURE)], input=data, capture_output=True)
    return done.returncode == 0


def report_json(**survey: object) -> bytes:
    """Give a small report.json whose fingerprint is that of its content."""
    head = {"number": "R-7", "version": 2, "status": "final", "inspected": ["2026-03-01", "2026-03-03"]}
    data = {
        "format": asjson.FORMAT,
        "edition": "buyer",
        "survey": head | survey,
        "vessel": {"name": "Quiet Example"},
        "people": {"surveyor": {"name": "Ruth Halvane", "contact": f"{EMAIL}, by day"}},
    }
    return json.dumps(data | {"fingerprint": asjson.fingerprint(data)}).encode()


def packet(folder: Path, more: Mapping[str, bytes] | None = None, **survey: object) -> Path:
    """Write a small packet with its list of sums."""
    files = {"index.html": b"<p>page</p>", "report.json": report_json(**survey), "photos/a.jpg": b"picture"}
    files |= more or {}
    return listed(folder, files)


def listed(folder: Path, files: Mapping[str, bytes]) -> Path:
    """Write files and the list of their sums."""
    for name, data in (
        *files.items(),
        (sums.SUMS, sums.sums({name: hashlib.sha256(data).hexdigest() for name, data in files.items()})),
    ):
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    return folder
