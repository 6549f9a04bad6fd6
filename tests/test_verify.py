"""`verify` and `publish --sign` at the command line: exit codes, names, and no promise beyond what is so."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from pathlib import Path

import pytest
from bs4 import BeautifulSoup

from tests import keys
from tests.project import run
from tests.test_signing import notes


def verify(*words: object) -> tuple[int, str, str]:
    done = run("verify", *map(str, words))
    return done.returncode, done.stdout, done.stderr


def test_a_whole_packet_without_a_signature(tmp_path: Path) -> None:
    """Exit code 0, with what that does not prove, the version and the age."""
    code, out, err = verify(keys.packet(tmp_path / "packet"))
    assert (code, err) == (0, "")
    assert "Quiet Example: report R-7, version 2, final, buyer edition" in out
    assert "inspected 2026-03-03, " in out
    assert "names no newer version" in out
    assert "not signed" in out
    assert "whoever changes a file can change the list" in out
    assert "signed:" not in out


def test_a_changed_packet_fails_with_the_files_names(tmp_path: Path) -> None:
    """Exit code 1, each fault on a line, and how many there are."""
    folder = keys.packet(tmp_path / "packet")
    (folder / "photos/a.jpg").write_bytes(b"x")
    (folder / "verify.html").write_bytes(b"x")
    code, out, _ = verify(folder)
    assert code == 1
    assert "  changed: photos/a.jpg\n  extra: verify.html\n" in out
    assert out.endswith("Not as published: 2 faults.\n")
    assert "As listed" not in out


def test_replaced_withdrawn_and_expired_are_told(tmp_path: Path) -> None:
    """The packet is whole, so the exit code is 0; the reader is told in words."""
    folder = keys.packet(
        tmp_path / "packet",
        status="withdrawn",
        replaced_by={"version": 3, "on": "2026-03-20"},
        not_to_be_relied_on_after="2026-03-04",
    )
    code, out, _ = verify(folder)
    assert code == 0
    assert "replaced by version 3 on 2026-03-20" in out
    assert "withdrawn: not to be relied on" in out
    assert "not to be relied on after 2026-03-04: that day has passed" in out


def test_wrong_use(tmp_path: Path) -> None:
    """No folder, a file, no word at all: exit code 2; a folder without a list: 1."""
    (tmp_path / "packet.zip").write_bytes(b"")
    for words in ([tmp_path / "none"], [tmp_path / "packet.zip"], []):
        code, out, err = verify(*words)
        assert (code, out) == (2, "")
        assert err
    code, out, err = verify(tmp_path)
    assert (code, out) == (1, "")
    assert "has no SHA256SUMS" in err


@keys.needs_keygen
def test_a_signed_site_from_notes_to_reader(tmp_path: Path) -> None:
    """Signed, checked by stock tools and by us with the printed line; then each change fails by its name."""
    key = keys.make(tmp_path / "key")
    for name in ("one", "two"):
        notes(tmp_path / "notes" / name)
    to = tmp_path / "site"
    done = run("publish", str(tmp_path / "notes"), "--to", str(to), "--sign", str(key))
    assert done.returncode == 0, done.stderr
    signers = tmp_path / "signers"
    lines = done.stdout.splitlines()
    said = next(n for n, line in enumerate(lines) if line.startswith("the packet, and may hold"))
    signers.write_text(lines[said + 1] + "\n")
    for name in ("", "one", "two"):
        assert keys.stock(to / name, signers)
        sums = subprocess.run(["sha256sum", "-c", "--strict", "--quiet", "SHA256SUMS"], cwd=to / name)
        assert sums.returncode == 0
    code, out, _ = verify(to, "--signer", signers)
    assert code == 0
    assert "As published and signed" in out
    assert out.count(f"signed by {keys.EMAIL}") == 3
    for fingerprint in (
        line.split("fingerprint ")[1] for line in done.stdout.splitlines() if "finger" in line
    ):
        assert fingerprint in out or "told them" in fingerprint
    assert "whose it is, is not known" in verify(to)[1]

    page = to / "one" / "index.html"
    whole = page.read_bytes()
    page.write_bytes(whole.replace(b"Example", b"Exampke", 1))
    assert _faults(to, signers) == ["changed: index.html"]
    page.write_bytes(whole)
    page.rename(to / "one" / "page.html")
    assert _faults(to, signers) == ["missing: index.html", "extra: page.html"]
    (to / "one" / "page.html").rename(page)
    (to / "one" / "SHA256SUMS.sig").unlink()
    assert _faults(to, signers) == [f"signature: there is none, though {signers} asks for one"]
    shutil.copy(to / "two" / "SHA256SUMS.sig", to / "one")
    if (to / "one" / "SHA256SUMS").read_bytes() != (to / "two" / "SHA256SUMS").read_bytes():
        assert "not of this list" in _faults(to, signers)[0]


def _faults(to: Path, signers: Path) -> list[str]:
    code, out, _ = verify(to, "--signer", signers)
    assert code == 1
    words = ("changed: ", "missing: ", "extra: ", "signature: ")
    return [line.strip() for line in out.splitlines() if line.strip().startswith(words)]


def test_the_page_says_what_its_fingerprint_proves(tmp_path: Path) -> None:
    """Nothing by itself; whom to ask for what does; the digits are those that `verify` tells."""
    to = tmp_path / "packet"
    assert run("publish", str(notes(tmp_path / "notes")), "--to", str(to)).returncode == 0
    page = BeautifulSoup((to / "index.html").read_bytes(), "html5lib")
    about = page.find(id="passage-about")
    assert about is not None
    words = " ".join(about.get_text().split())
    assert "whoever alters a page can copy it" in words
    assert f"ask Ruth Halvane ({keys.EMAIL}), by a way you knew before, for the packet fingerprint" in words
    digits = re.search(r"Content fingerprint ((?:[0-9a-f]{4} ?){4})\.", words)
    assert digits is not None
    assert f"content fingerprint {digits[1]}, as on its pages" in verify(to)[1]


@keys.needs_keygen
def test_publishing_again_without_a_key_takes_the_signature_away(tmp_path: Path) -> None:
    """An old signature over a new list would only look broken; signing twice gives the same bytes."""
    key, survey, to = keys.make(tmp_path / "key"), notes(tmp_path / "notes"), tmp_path / "packet"
    signed = []
    for words in (["--sign", str(key)], ["--sign", str(key)], []):
        done = run("publish", str(survey), "--to", str(to), *words)
        assert done.returncode == 0, done.stderr
        assert "not written by reportgen" not in done.stderr
        path = to / "SHA256SUMS.sig"
        signed.append(path.read_bytes() if path.exists() else None)
    assert signed[0] == signed[1] != signed[2] is None
    assert verify(to)[0] == 0


@keys.needs_keygen
def test_a_site_that_stands_is_signed_and_unsigned_with_its_index(tmp_path: Path) -> None:
    """The index's signature comes and goes with those of the reports."""
    key, to = keys.make(tmp_path / "key"), tmp_path / "site"
    for name in ("one", "two"):
        notes(tmp_path / "notes" / name)
    signers = keys.signers(tmp_path / "signers", (keys.EMAIL, key))
    for words, code in (([], 1), (["--sign", str(key)], 0), ([], 1), (["--sign", str(key)], 0)):
        assert run("publish", str(tmp_path / "notes"), "--to", str(to), *words).returncode == 0
        assert verify(to, "--signer", signers)[0] == code
        assert verify(to)[0] == 0
        assert len(list(to.rglob("SHA256SUMS.sig"))) == (3 if words else 0)


@pytest.mark.parametrize("words", [["--sign", "nothing"], ["--sign", "."]])
def test_signing_with_no_key_is_wrong_use(tmp_path: Path, words: list[str]) -> None:
    """Told before anything is read or written."""
    survey = notes(tmp_path / "notes")
    done = run("publish", str(survey), "--to", str(tmp_path / "packet"), *words)
    assert done.returncode == 2
    assert "no key stands at" in done.stderr
    assert not (tmp_path / "packet").exists()


def test_the_same_as_json(tmp_path: Path) -> None:
    """`--json` tells the same in fields, with the same exit code."""
    folder = keys.packet(tmp_path / "packet")
    code, out, err = verify(folder, "--json")
    found = json.loads(out)
    assert (code, err, found["format"]) == (0, "", "reportgen verify 1")
    assert (found["as_listed"], found["signed"]) == (True, False)
    (checked,) = found["folders"]
    assert checked["report"]["number"] == "R-7"
    assert checked["report"]["inspected"] == "2026-03-03"
    assert checked["signature"]["state"] == "none"
    assert checked["fingerprint"] in verify(folder)[1]
    (folder / "photos/a.jpg").write_bytes(b"x")
    code, out, _ = verify(folder, "--json")
    found = json.loads(out)
    assert (code, found["as_listed"]) == (1, False)
    assert found["folders"][0]["faults"] == ["changed: photos/a.jpg"]


@pytest.mark.parametrize(
    ("given", "told"),
    [
        ("0123 4567 89ab cdef", "of 16 characters, as the report's pages show it; it proves nothing"),
        ("0123456789abcdef" * 2, "leave --signer out"),
    ],
)
def test_a_fingerprint_is_no_file_of_signers(tmp_path: Path, given: str, told: str) -> None:
    """Whoever brings the shorter one hears that it proves nothing, and which one does."""
    done = run("verify", str(tmp_path), "--signer", given)
    assert done.returncode == 2
    assert told in done.stderr
    assert "32" in done.stderr
