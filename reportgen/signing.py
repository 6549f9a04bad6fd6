"""Signs lists of sums and checks signatures with the stock ssh-keygen, which alone reads private keys.

A signature has OpenSSH's own form (PROTOCOL.sshsig), so a reader needs nothing of ours to check it:

    ssh-keygen -Y verify -f SIGNERS -I E-MAIL -n reportgen -s SHA256SUMS.sig < SHA256SUMS

SIGNERS is a file of allowed signers (ssh-keygen(1)): a line `E-MAIL namespaces="reportgen" KEY`. No key is
stored, printed or read by reportgen; a passphrase is asked by ssh-keygen itself or held by an agent.
"""

from __future__ import annotations

import base64
import binascii
import hashlib
import os
import re
import shutil
import subprocess
import tempfile
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from reportgen.errors import PacketError, UsageError

# a signature made for another purpose is none here, and ours is none elsewhere
NAMESPACE = "reportgen"
MOST_BYTES = 65_536  # of a signature or a file of signers; an RSA key of 16384 bits needs a tenth

_BEGIN, _END = b"-----BEGIN SSH SIGNATURE-----\n", b"\n-----END SSH SIGNATURE-----"
_HASHES = ("sha256", "sha512")
_AT_ONCE = 2000  # lists in one command; a passphrase is then asked once for nearly every site
_KEY_TYPE = re.compile(r"(?:sk-)?(?:ssh|ecdsa)-[\w.@-]+")
_KEY = re.compile(rf"(?:^|\s){_KEY_TYPE.pattern}\s+[A-Za-z0-9+/]{{16,}}=*(?:\s|$)")
_NO_TOOL = "ssh-keygen is not on this machine: install OpenSSH (8.2 or later)"
# what ssh-keygen says, and what its user should do
_REFUSED = {
    "too open": "others may read that file: let only yourself read it (chmod 600)",
    "incorrect passphrase": "the passphrase is wrong, or nobody could be asked: load the key into an agent",
    "agent refused": "the agent refused to sign with it",
    "unknown option": "ssh-keygen is too old: install OpenSSH 8.2 or later",
    "No private key found": "it is no private key, and no agent holds it",
    "invalid format": "it is no SSH key",
    "Couldn't load public key": "it is no SSH key",
}


@dataclass(frozen=True)
class Signature:
    """What a signature says of itself; whether it is good, only `check` and `accepted` tell.

    key_type: such as ssh-ed25519. key: the public key as a .pub file has it. fingerprint: that of the key,
    as ssh-keygen prints it. namespace: the purpose it was made for.
    """

    key_type: str
    key: str
    fingerprint: str
    namespace: str

    @property
    def public_line(self) -> str:
        """Give the public key as one line of a .pub file."""
        return f"{self.key_type} {self.key}"


def read(data: bytes) -> Signature:
    """Read a signature without checking it.

    Raises PacketError that says what is wrong with its form or purpose.
    Source: OpenSSH, PROTOCOL.sshsig, sections 1 and 2.
    """
    blob = _unarmored(data)
    if not blob.startswith(b"SSHSIG"):
        raise PacketError("it is none of SSH's")
    if int.from_bytes(blob[6:10]) != 1:
        raise PacketError("it is of a newer form than this reportgen knows")
    key, namespace, _, hashed, _ = _strings(blob[10:], 5)
    # an unknown hash or a purpose of somebody else's is told before any key is looked at
    if hashed.decode("ascii", "replace") not in _HASHES:
        raise PacketError("it uses a hash that SSH signatures do not allow")
    purpose = namespace.decode("utf-8", "replace")
    if purpose != NAMESPACE:
        raise PacketError(f"it was made for another purpose ({purpose!r}), not for reportgen")
    length = int.from_bytes(key[:4])
    key_type = key[4 : 4 + length].decode("ascii", "replace")
    if not _KEY_TYPE.fullmatch(key_type):
        raise PacketError("it names a kind of key that SSH does not know")
    digest = base64.b64encode(hashlib.sha256(key).digest()).decode().rstrip("=")
    return Signature(key_type, base64.b64encode(key).decode(), f"SHA256:{digest}", purpose)


def _unarmored(data: bytes) -> bytes:
    if b"\r" in data:
        raise PacketError("its line ends were changed on the way: have it sent as a file")
    text = data.rstrip(b"\n")
    if not text.startswith(_BEGIN) or not text.endswith(_END) or len(text) < len(_BEGIN) + len(_END):
        raise PacketError("it is cut off, or is none of SSH's")
    try:
        return base64.b64decode(text[len(_BEGIN) : -len(_END)].replace(b"\n", b""), validate=True)
    except binascii.Error:
        raise PacketError("it is damaged: it is no base64 text") from None


def _strings(blob: bytes, count: int) -> list[bytes]:
    """Give the strings of a blob, each with its length before it (RFC 4251, section 5)."""
    found: list[bytes] = []
    while blob and len(found) < count:
        length = int.from_bytes(blob[:4])
        if len(blob) < 4 + length:
            break
        found.append(blob[4 : 4 + length])
        blob = blob[4 + length :]
    if blob or len(found) != count:
        raise PacketError("it is damaged: it ends too early or too late")
    return found


def ready(key: Path) -> None:
    """See before any work that something can be signed.

    Raises UsageError when there is no such key, PacketError when ssh-keygen is missing.
    """
    if not key.is_file():
        raise UsageError(f"no key stands at {key}; name your SSH key, such as ~/.ssh/id_ed25519")
    if shutil.which("ssh-keygen") is None:
        raise PacketError(f"{_NO_TOOL}, or publish without --sign; nothing was written")


def sign(lists: Sequence[Path], key: Path) -> Signature:
    """Put a signature beside each list, named as it with .sig added, and give the last.

    key: a private key, or a public one whose private half an agent holds.

    Raises PacketError when ssh-keygen is missing, refuses the key, or made what does not hold.
    """
    for begin in range(0, len(lists), _AT_ONCE):
        # absolute names, since one that begins with a dash would be an option
        names = [str(path.absolute()) for path in lists[begin : begin + _AT_ONCE]]
        # the terminal stays ssh-keygen's own, so that it can ask for a passphrase
        done = _keygen(["sign", "-f", str(key.absolute()), "-n", NAMESPACE, *names])
        if done.returncode:
            raise PacketError(f"{key} can't sign: {_reason(done.stderr)}; nothing was written")
    made = [Path(f"{path}.sig").read_bytes() for path in lists]
    for path, signature in zip(lists, made, strict=True):
        if not check(path.read_bytes(), signature):
            raise PacketError(f"what ssh-keygen signed with {key} does not hold; nothing was written")
    return read(made[-1])


def check(data: bytes, signature: bytes) -> bool:
    """Tell whether a signature holds for `data`, whoever made it; PacketError if nothing can be checked."""
    read(signature)
    with tempfile.TemporaryDirectory(prefix="reportgen-") as folder:
        file = Path(folder) / "sig"
        file.write_bytes(signature)
        return _keygen(["check-novalidate", "-n", NAMESPACE, "-s", str(file)], data).returncode == 0


def accepted(data: bytes, signature: bytes, signers: Path, email: str = "") -> str:
    """Give whom a good signature is from, as the file of allowed signers names them.

    signers: that file, or a plain public key, for which the answer is "" since it names nobody.
    email: the surveyor's as the report tells it, empty if it tells none; another's signature is refused.

    Raises PacketError that says why the signature is not accepted, or UsageError for the file of signers.
    """
    found = read(signature)
    lines = signers_in(signers)
    with tempfile.TemporaryDirectory(prefix="reportgen-") as folder:
        file, allowed = Path(folder) / "sig", Path(folder) / "signers"
        file.write_bytes(signature)
        bare = all(_KEY_TYPE.fullmatch(line.split()[0]) for line in lines)
        allowed.write_text("".join(f"{'* ' * bare}{line}\n" for line in lines), "utf-8")
        asked = _keygen(["find-principals", "-f", str(allowed), "-s", str(file)])
        names = [line.strip() for line in asked.stdout.splitlines() if line.strip()]
        if asked.returncode or not names:
            raise PacketError(
                f"signed with the key {found.fingerprint}, which {signers} does not list, or not for this day"
            )
        name, identity = _whose(names, email)
        options = ["-f", str(allowed), "-I", identity, "-n", NAMESPACE, "-s", str(file)]
        done = _keygen(["verify", *options], data)
    if done.returncode == 0:
        return "" if bare else name
    if check(data, signature):
        raise PacketError(_not_theirs(names, email, signers))
    raise PacketError("it is not of this list: the list was changed, or the signature")


def _not_theirs(names: Sequence[str], email: str, signers: Path) -> str:
    whose = ", ".join(names)
    if email and email.casefold() not in map(str.casefold, names):
        return f"signed by {whose}, but the report names {email} as its surveyor"
    return f"{signers} does not let {whose} sign reports, or no longer"


def _whose(names: Sequence[str], email: str) -> tuple[str, str]:
    """Give the name to tell and the identity to ask ssh-keygen about; names may be patterns."""
    if email:
        alike = [name for name in names if name.casefold() == email.casefold()]
        identity = alike[0] if alike else email
        return identity, identity
    return names[0], names[0].replace("*", "x").replace("?", "x")


def signers_in(signers: Path) -> list[str]:
    """Give the lines of a file of signers, without remarks.

    Raises UsageError when it can't be read, names nobody, or holds a private key.
    """
    try:
        if signers.stat().st_size > MOST_BYTES * 16:
            raise UsageError(f"{signers} is too large for a file of signers")
        text = signers.read_text("utf-8-sig")
    except (OSError, ValueError) as error:
        raise UsageError(f"{signers} can't be read as a file of signers: {error}") from error
    if "PRIVATE KEY" in text:
        raise UsageError(
            f"{signers} holds a private key; name a file with public ones, such as {signers}.pub"
        )
    found = []
    for number, line in enumerate(text.splitlines(), 1):
        if line.strip() and not line.lstrip().startswith("#"):
            if _KEY.search(line) is None:
                raise UsageError(
                    f"{signers}:{number}: no public key stands there; a line reads: E-MAIL KEY-TYPE KEY"
                )
            found.append(line.strip())
    if not found:
        raise UsageError(f"{signers} names no signer; a line of it reads: E-MAIL KEY-TYPE KEY")
    return found


def available() -> bool:
    """Tell whether this machine has what checks a signature."""
    return shutil.which("ssh-keygen") is not None


def _keygen(words: Iterable[str], data: bytes | None = None) -> subprocess.CompletedProcess[str]:
    program = shutil.which("ssh-keygen")
    if program is None:
        raise PacketError(f"{_NO_TOOL}, then try again")
    command = [program, "-Y", *words]
    # its words are looked through for what went wrong, so they may not be translated
    env = os.environ | {"LC_ALL": "C"}
    done = subprocess.run(command, input=data, capture_output=True, env=env, check=False)  # noqa: S603 -- no shell, our own words
    said = (done.stdout.decode("utf-8", "replace"), done.stderr.decode("utf-8", "replace"))
    return subprocess.CompletedProcess(command, done.returncode, *said)


def _reason(said: str) -> str:
    """Give what ssh-keygen said, in words that say what to do where we know it."""
    for words, remedy in _REFUSED.items():
        if words in said:
            return remedy
    lines = [line for line in said.splitlines() if line.strip()]
    return f"ssh-keygen says: {lines[-1].strip()}" if lines else "ssh-keygen gives no reason"
