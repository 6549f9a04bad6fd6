"""Signatures: what we make the stock tool accepts, what it refuses we refuse, and no key is kept or shown."""

from __future__ import annotations

import base64
import os
import pty
import select
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reportgen import signing, sums
from reportgen.errors import PacketError, UsageError
from tests import keys
from tests.project import TOP

pytestmark = keys.needs_keygen

# PROTOCOL.sshsig of OpenSSH, section 1, its example. It lacks the hash that section 2 asks for, so ssh-keygen
# refuses it; it is the form of an earlier draft.
EXAMPLE = b"""-----BEGIN SSH SIGNATURE-----
U1NIU0lHAAAAAQAAADMAAAALc3NoLWVkMjU1MTkAAAAgJKxoLBJBivUPNTUJUSslQTt2hD
jozKvHarKeN8uYFqgAAAADZm9vAAAAAAAAAFMAAAALc3NoLWVkMjU1MTkAAABAKNC4IEbt
Tq0Fb56xhtuE1/lK9H9RZJfON4o6hE9R4ZGFX98gy0+fFJ/1d2/RxnZky0Y7GojwrZkrHT
FgCqVWAQ==
-----END SSH SIGNATURE-----
"""
PASSPHRASE = "low water at noon"  # noqa: S105 - of keys that live for one test


def ours(blob: bytes) -> bytes:
    text = base64.b64encode(blob)
    return b"-----BEGIN SSH SIGNATURE-----\n" + text + b"\n-----END SSH SIGNATURE-----\n"


def blob(
    magic: bytes = b"SSHSIG",
    version: int = 1,
    kind: bytes = b"ssh-ed25519",
    purpose: bytes = b"reportgen",
    hashed: bytes = b"sha512",
    tail: bytes = b"",
) -> bytes:
    """Build a signature's inner form by PROTOCOL.sshsig, section 2."""

    def string(data: bytes) -> bytes:
        return len(data).to_bytes(4) + data

    key = string(kind) + string(bytes(32))
    made = string(kind) + string(bytes(64))
    parts = b"".join(map(string, (key, purpose, b"", hashed, made)))
    return magic + version.to_bytes(4) + parts + tail


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return keys.packet(tmp_path / "packet")


@pytest.fixture(scope="session")
def key(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return keys.make(tmp_path_factory.mktemp("keys") / "ruth")


@pytest.fixture(scope="session")
def other(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return keys.make(tmp_path_factory.mktemp("keys") / "other")


def signed(folder: Path, key: Path) -> tuple[bytes, bytes]:
    """Sign a packet; give its list and the signature."""
    signing.sign([folder / sums.SUMS], key)
    return (folder / sums.SUMS).read_bytes(), (folder / sums.SIGNATURE).read_bytes()


# ---- making


@pytest.mark.parametrize("kind", ["ed25519", "rsa", "ecdsa"])
def test_stock_tool_accepts_what_we_sign(folder: Path, tmp_path: Path, kind: str) -> None:
    """Each kind of key; then not under another purpose or name, nor for a list with one bit changed."""
    key = keys.make(tmp_path / "key", kind)
    allowed = keys.signers(tmp_path / "signers", (f'{keys.EMAIL} namespaces="reportgen"', key))
    made = signing.sign([folder / sums.SUMS], key)
    assert keys.stock(folder, allowed)
    assert not keys.stock(folder, allowed, namespace="git")
    assert not keys.stock(folder, allowed, email="somebody@example.com")
    told = subprocess.run(["ssh-keygen", "-lf", f"{key}.pub"], capture_output=True, text=True).stdout
    assert made.fingerprint in told.split()
    assert Path(f"{key}.pub").read_text().startswith(f"{made.public_line} ")
    data = bytearray((folder / sums.SUMS).read_bytes())
    data[0] ^= 1
    (folder / sums.SUMS).write_bytes(data)
    assert not keys.stock(folder, allowed)


def test_each_list_of_several_gets_its_own(
    tmp_path: Path, key: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Also where they are more than one command takes."""
    monkeypatch.setattr(signing, "_AT_ONCE", 2)
    folders = [keys.packet(tmp_path / f"-{n}", {"n.txt": b"%d" % n}) for n in range(5)]
    monkeypatch.chdir(tmp_path)
    signing.sign([Path(f"-{n}") / sums.SUMS for n in range(5)], key)
    allowed = keys.signers(tmp_path / "signers", (keys.EMAIL, key))
    assert all(keys.stock(folder, allowed) for folder in folders)
    assert len({(f / sums.SIGNATURE).read_bytes() for f in folders}) == 5


def refusal(folder: Path, key: Path) -> str:
    with pytest.raises(PacketError) as caught:
        signing.sign([folder / sums.SUMS], key)
    assert not (folder / sums.SIGNATURE).exists()
    assert "nothing was written" in str(caught.value)
    return str(caught.value)


def test_refused_keys_are_told_with_a_remedy(
    folder: Path, tmp_path: Path, key: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A key that others may read, one that is none, a public one without an agent; never the key's text."""
    monkeypatch.delenv("SSH_AUTH_SOCK", raising=False)
    junk = tmp_path / "junk"
    junk.write_text("secret words\n")
    junk.chmod(0o600)
    said = refusal(folder, junk)
    assert f"{junk} can't sign: it is no SSH key" in said
    assert "secret words" not in said
    wide = tmp_path / "wide"
    wide.write_bytes(key.read_bytes())
    wide.chmod(0o644)
    assert "chmod 600" in refusal(folder, wide)
    public = tmp_path / "alone.pub"
    public.write_bytes(Path(f"{key}.pub").read_bytes())
    assert "can't sign" in refusal(folder, public)


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ('Load key "k": incorrect passphrase supplied to decrypt private key', "load the key into an agent"),
        ("unknown option -- Y\nusage: ssh-keygen", "too old: install OpenSSH 8.2"),
        ("first\nSomething of a later version.\n\n", "ssh-keygen says: Something of a later version."),
        ("", "ssh-keygen gives no reason"),
    ],
)
def test_what_ssh_keygen_says_is_told(said: str, told: str) -> None:
    """With a remedy where we know one, else in its own last words."""
    assert told in signing._reason(said)


def test_no_tool_and_no_key_are_told_before_any_work(
    tmp_path: Path, key: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Wrong use for a key that isn't there; the way out where ssh-keygen is missing."""
    with pytest.raises(UsageError, match="no key stands at"):
        signing.ready(tmp_path / "none")
    with pytest.raises(UsageError, match="no key stands at"):
        signing.ready(tmp_path)
    signing.ready(key)
    monkeypatch.setenv("PATH", str(tmp_path))
    assert not signing.available()
    with pytest.raises(PacketError, match=r"install OpenSSH .* or publish without --sign"):
        signing.ready(key)


def test_a_signature_that_does_not_hold_is_not_published(
    folder: Path, key: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An ssh-keygen that signs something else is found out."""
    real = signing.shutil.which("ssh-keygen")
    false = tmp_path / "bin" / "ssh-keygen"
    false.parent.mkdir()
    false.write_text(
        '#!/bin/sh\nif [ "$2" = sign ]; then for f; do :; done; echo x > "$f.x"\n'
        f'{real} -Y sign -f "$4" -n reportgen "$f.x"; mv "$f.x.sig" "$f.sig"; else exec {real} "$@"; fi\n'
    )
    false.chmod(0o755)
    monkeypatch.setenv("PATH", f"{false.parent}:{os.environ['PATH']}")
    with pytest.raises(PacketError, match="does not hold; nothing was written"):
        signing.sign([folder / sums.SUMS], key)


# ---- passphrases


def at_a_terminal(command: list[str], answer: str, seconds: float = 60) -> tuple[int, str]:
    """Run a command at a terminal of its own, answer when it asks, give its exit code and all it showed."""
    child, terminal = pty.fork()
    if child == 0:
        os.chdir(TOP)
        os.environ.pop("SSH_AUTH_SOCK", None)
        os.environ.pop("SSH_ASKPASS", None)
        os.execv(command[0], command)  # noqa: S606 - the test's own command
    shown, answered, end = b"", False, time.monotonic() + seconds
    while time.monotonic() < end:
        if not select.select([terminal], [], [], 0.2)[0]:
            continue
        try:
            got = os.read(terminal, 4096)
        except OSError:
            break
        shown += got
        if b"Enter passphrase" in shown and not answered:
            os.write(terminal, f"{answer}\n".encode())
            answered = True
        if not got:
            break
    os.close(terminal)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), shown.decode()


SURVEY = """---
survey: pre-purchase
inspected: [2026-05-14]
vessel: {name: Example, type: sailing yacht}
people: {surveyor: {name: Ruth Halvane, contact: ruth@example.com}}
---
"""


def notes(folder: Path) -> Path:
    """Write the smallest survey."""
    folder.mkdir(parents=True)
    (folder / "cover.md").write_text(SURVEY)
    return folder


def test_the_passphrase_is_asked_once_by_ssh_keygen_and_kept_nowhere(tmp_path: Path) -> None:
    """A site of two reports and an index: one question, three signatures, no trace of the answer."""
    key = keys.make(tmp_path / "locked", passphrase=PASSPHRASE)
    for name in ("one", "two"):
        notes(tmp_path / "notes" / name)
    to = tmp_path / "out" / "site"
    command = [sys.executable, "-m", "reportgen", "publish", str(tmp_path / "notes"), "--to", str(to)]
    code, shown = at_a_terminal([*command, "--sign", str(key)], PASSPHRASE)
    assert code == 0, shown
    assert shown.count("Enter passphrase") == 1
    assert PASSPHRASE not in shown
    assert key.read_text().splitlines()[1] not in shown
    allowed = keys.signers(tmp_path / "signers", (keys.EMAIL, key))
    assert all(keys.stock(to / name, allowed) for name in ("", "one", "two"))
    private = [key.read_bytes()[200:280], PASSPHRASE.encode()]
    for path in (p for p in (tmp_path / "out").rglob("*") if p.is_file()):
        assert not any(each in path.read_bytes() for each in private), path


def test_a_wrong_passphrase_leaves_the_old_packet_whole(tmp_path: Path) -> None:
    """Neither a new page nor a signature appears, and nothing is left beside the packet."""
    key = keys.make(tmp_path / "locked", passphrase=PASSPHRASE)
    survey, to = notes(tmp_path / "notes"), tmp_path / "out" / "packet"
    command = [sys.executable, "-m", "reportgen", "publish", str(survey), "--to", str(to)]
    assert subprocess.run(command, cwd=TOP, capture_output=True).returncode == 0
    before = {p: p.read_bytes() for p in to.rglob("*") if p.is_file()}
    (survey / "cover.md").write_text(SURVEY.replace("Example", "Another"))
    code, shown = at_a_terminal([*command, "--sign", str(key)], "a guess")
    assert code == 1
    assert "the passphrase is wrong" in shown
    assert {p: p.read_bytes() for p in to.rglob("*") if p.is_file()} == before
    assert {p.name for p in to.parent.iterdir()} == {"packet", ".packet.reportgen"}


def test_whoever_breaks_off_at_the_question_leaves_nothing(tmp_path: Path) -> None:
    """Control-C where the passphrase is asked: no packet, no working folder."""
    key = keys.make(tmp_path / "locked", passphrase=PASSPHRASE)
    survey, to = notes(tmp_path / "notes"), tmp_path / "out" / "packet"
    command = [sys.executable, "-m", "reportgen", "publish", str(survey), "--to", str(to)]
    code, shown = at_a_terminal([*command, "--sign", str(key)], "\x03")
    assert code == 1
    assert "stopped; nothing was changed" in shown
    assert not to.parent.exists()


@contextmanager
def agent(socket: Path) -> Iterator[None]:
    """Run an agent of our own and end it by its number."""
    running = subprocess.Popen(["ssh-agent", "-D", "-a", str(socket)], stdout=subprocess.DEVNULL)
    try:
        for _ in range(100):
            if socket.exists():
                break
            time.sleep(0.02)
        yield
    finally:
        running.send_signal(signal.SIGTERM)
        running.wait()


def test_an_agent_signs_where_only_the_public_half_is_named(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The private half never is a file that we are told of."""
    key = keys.make(tmp_path / "held")
    with agent(tmp_path / "a"):
        monkeypatch.setenv("SSH_AUTH_SOCK", str(tmp_path / "a"))
        subprocess.run(["ssh-add", "-q", str(key)], check=True, capture_output=True)
        key.unlink()
        signing.sign([folder / sums.SUMS], Path(f"{key}.pub"))
    assert keys.stock(folder, keys.signers(tmp_path / "signers", (keys.EMAIL, key)))


# ---- reading


def test_what_a_signature_says_of_itself() -> None:
    """The kind of its key and its purpose; one made for something else is refused by that purpose."""
    found = signing.read(ours(blob()))
    assert (found.key_type, found.namespace) == ("ssh-ed25519", "reportgen")
    with pytest.raises(PacketError, match=r"another purpose .'git'., not for reportgen"):
        signing.read(ours(blob(purpose=b"git")))


MALFORMED = {
    "nothing": (b"", "cut off"),
    "no armour": (b"SSHSIG", "cut off"),
    "head alone": (b"-----BEGIN SSH SIGNATURE-----\n", "cut off"),
    "words before": (b"hello\n" + EXAMPLE, "cut off"),
    "words after": (EXAMPLE + b"hello\n", "cut off"),
    "line ends of another system": (EXAMPLE.replace(b"\n", b"\r\n"), "line ends"),
    "the protocol's own example": (EXAMPLE, "too early or too late"),
    "no base64": (EXAMPLE.replace(b"U1NI", b"U1N!"), "base64"),
    "cut in the middle": (EXAMPLE.replace(b"FgCqVWAQ==\n", b""), "damaged"),
    "not of SSH": (ours(blob(magic=b"SSHSIQ")), "none of SSH's"),
    "newer": (ours(blob(version=2)), "newer form"),
    "weak hash": (ours(blob(hashed=b"sha1")), "hash"),
    "no kind of key": (ours(blob(kind=b"\xff\xfe")), "kind of key"),
    "too long": (ours(blob(tail=b"x")), "too early or too late"),
    "too short": (ours(blob()[:-1]), "too early or too late"),
    "lengths beyond": (ours(b"SSHSIG\0\0\0\1\xff\xff\xff\xff"), "too early or too late"),
}


@pytest.mark.parametrize("case", MALFORMED)
def test_malformed_signatures_are_refused_by_reason(case: str) -> None:
    """The stock tool refuses each as well."""
    data, words = MALFORMED[case]
    with pytest.raises(PacketError, match=words):
        signing.read(data)
    command = ["ssh-keygen", "-Y", "check-novalidate", "-n", "reportgen", "-s", "/dev/stdin"]
    assert subprocess.run(command, input=data, capture_output=True).returncode != 0


@given(st.binary(max_size=300), st.booleans())
def test_no_bytes_break_the_reader(data: bytes, armoured: bool) -> None:
    """Whatever a stranger sends is either read or refused in words."""
    try:
        signing.read(ours(b"SSHSIG\0\0\0\1" + data) if armoured else data)
    except PacketError as error:
        said = str(error)
        assert said


# ---- accepting


def test_whose_signature_it_is(folder: Path, tmp_path: Path, key: Path, other: Path) -> None:
    """The surveyor's own line, a pattern, a plain public key; line ends and marks of other systems."""
    data, made = signed(folder, key)
    remark = f'{keys.EMAIL} namespaces="reportgen"'
    allowed = keys.signers(tmp_path / "s", ("zoe@example.com", other), (remark, key))
    assert signing.accepted(data, made, allowed, keys.EMAIL) == keys.EMAIL
    assert signing.accepted(data, made, allowed, "Ruth@Example.com") == keys.EMAIL
    assert signing.accepted(data, made, allowed) == keys.EMAIL
    assert signing.accepted(data, made, Path(f"{key}.pub"), keys.EMAIL) == ""
    pattern = keys.signers(tmp_path / "p", ("*@example.com", key))
    assert signing.accepted(data, made, pattern, keys.EMAIL) == keys.EMAIL
    assert signing.accepted(data, made, pattern) == "*@example.com"
    odd = tmp_path / "odd"
    odd.write_bytes(b"\xef\xbb\xbf# known\r\n\r\n" + allowed.read_bytes().replace(b"\n", b"\r\n"))
    assert signing.accepted(data, made, odd, keys.EMAIL) == keys.EMAIL


def test_another_signer_is_refused_and_named(folder: Path, tmp_path: Path, key: Path, other: Path) -> None:
    """A key that isn't listed, one of another person, one for another purpose, one that has run out."""
    data, made = signed(folder, key)

    def said(words: str, whose: Path = key, email: str = keys.EMAIL) -> str:
        with pytest.raises(PacketError) as caught:
            signing.accepted(data, made, keys.signers(tmp_path / "s", (words, whose)), email)
        return str(caught.value)

    assert "does not list" in said(keys.EMAIL, other)
    assert signing.read(made).fingerprint in said(keys.EMAIL, other)
    assert "signed by zoe@example.com, but the report names ruth@example.com" in said("zoe@example.com")
    assert "does not let ruth@example.com sign reports" in said(f'{keys.EMAIL} namespaces="git"')
    assert "does not let ruth@example.com sign reports" in said(f'{keys.EMAIL} namespaces="git"', email="")
    assert "not for this day" in said(f'{keys.EMAIL} valid-before="20200101"', email="")


def test_a_changed_list_is_no_longer_signed(folder: Path, tmp_path: Path, key: Path) -> None:
    """One bit of the list or of the signature, with and without a file of signers."""
    data, made = signed(folder, key)
    allowed = keys.signers(tmp_path / "s", (keys.EMAIL, key))
    assert signing.check(data, made)
    for wrong in (data[:-1] + b"x", data + b"\n"):
        assert not signing.check(wrong, made)
        with pytest.raises(PacketError, match="not of this list"):
            signing.accepted(wrong, made, allowed, keys.EMAIL)
    lines = made.split(b"\n")
    lines[-3] = lines[-3][:4] + (b"A" if lines[-3][4:5] != b"A" else b"B") + lines[-3][5:]
    assert not signing.check(data, b"\n".join(lines))


def test_a_file_of_signers_that_is_none_is_wrong_use(folder: Path, tmp_path: Path, key: Path) -> None:
    """Missing, empty, no text, too large, or a private key, whose text is not shown."""
    data, made = signed(folder, key)
    (tmp_path / "empty").write_text("# nobody\n\n")
    (tmp_path / "bytes").write_bytes(b"\xff\xfe\x00")
    (tmp_path / "large").write_bytes(b"#" * (signing.MOST_BYTES * 16 + 1))
    for name, words in {
        "none": "can't be read",
        "empty": "no signer",
        "bytes": "can't be",
        "large": "large",
    }.items():
        with pytest.raises(UsageError, match=words):
            signing.accepted(data, made, tmp_path / name)
    with pytest.raises(UsageError, match="holds a private key") as caught:
        signing.accepted(data, made, key)
    assert key.read_text().splitlines()[1] not in str(caught.value)
    (tmp_path / "junk").write_text("# mine\nthree words here\n")
    with pytest.raises(UsageError, match="junk:2: no public key stands there"):
        signing.accepted(data, made, tmp_path / "junk")
