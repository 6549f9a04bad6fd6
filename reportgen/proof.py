"""Checks a packet that somebody sent: its files against their sums, its signature, its version and its age.

    for checked in proof.check(Path("packet"), signers=Path("signers"), today=datetime.date.today()):
        print(checked.faults, checked.fingerprint, checked.signature, checked.told)

Two fingerprints are told apart by their length. That of the content, 16 characters on every page, says which
report a page belongs to; it covers words and figures, and whoever alters a page can copy it, so 64 bits are
enough. That of the packet, 32, is the beginning of the SHA-256 of SHA256SUMS and so covers every
file; it can't stand in what it covers, so `publish` and `verify` tell it. 32 are 128 bits: nobody can
make another packet with the same ones (2^128 trials; two of one maker, 2^64), and they can be read out.

Source: NIST SP 800-107 Rev. 1, section 5.1 (the leftmost bits of a hash, and what their number resists),
from memory.
"""

from __future__ import annotations

import datetime
import hashlib
import os
import re
import stat
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote

from reportgen import signing, standing
from reportgen.errors import PacketError, UsageError
from reportgen.standing import Told
from reportgen.sums import SIGNATURE, SUMS, folded, is_inside, joined, shown

DIGITS = 32  # of a packet's fingerprint
MOST_BYTES = 20_000_000  # of a list of sums: some hundred thousand files
_LINE = re.compile(r"([0-9a-f]{64}) [ *](.+)")
_REPORT = "report.json"


@dataclass(frozen=True)
class Files:
    """How the files of a folder stand to its list of sums, each group sorted.

    listed: sum by name. changed, missing, extra: names. refused: what is wrong with the list or the folder
    itself, in words.
    """

    listed: Mapping[str, str] = field(default_factory=dict)
    changed: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    extra: tuple[str, ...] = ()
    refused: tuple[str, ...] = ()


@dataclass(frozen=True)
class Signed:
    """How the signature of a list stands.

    state: none, unchecked (no ssh-keygen here), unknown (good, but nobody said whose it should be), good or
    bad. key: the key's fingerprint. whose: as the file of signers names it. why: what is bad.
    """

    state: str
    key: str = ""
    whose: str = ""
    why: str = ""


@dataclass(frozen=True)
class Checked:
    """What was found out about one folder with a list of sums.

    folder: its name in the site, empty for the packet itself. fingerprint: the packet's, in fours. told: what
    report.json says, None in a site's index or where it can't be relied on.
    """

    folder: str
    files: Files
    fingerprint: str
    signature: Signed
    told: Told | None

    @property
    def faults(self) -> tuple[str, ...]:
        """Give all that is not as published, in words; none for a whole packet."""
        files = self.files
        groups = (("changed", files.changed), ("missing", files.missing), ("extra", files.extra))
        named = [f"{word}: {printable(name)}" for word, names in groups for name in names]
        bad = [f"signature: {printable(self.signature.why)}"] if self.signature.state == "bad" else []
        told = [f"{_REPORT}: {self.told.fault}"] if self.told and self.told.fault else []
        return (*map(printable, files.refused), *named, *told, *bad)


def fingerprint(sums: bytes) -> str:
    """Give the packet's fingerprint from its list of sums: 32 hexadecimal digits in fours."""
    digest = hashlib.sha256(sums).hexdigest()[:DIGITS]
    return " ".join(digest[at : at + 4] for at in range(0, DIGITS, 4))


def fingerprint_of(folder: Path) -> str:
    """Give the fingerprint of the packet that stands in a folder."""
    return fingerprint((folder / SUMS).read_bytes())


def printable(text: str) -> str:
    """Give a name so that no sign of it can move the cursor or turn the line round."""
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode() for c in shown(text))


def check(folder: Path, signers: Path | None, today: datetime.date) -> tuple[Checked, ...]:
    """Check a packet, or a site's index and then each of its reports.

    signers: a file of allowed signers or a public key; None if the reader has none. today: the day to count
    the age to [d].

    Raises UsageError when there is no such folder or the file of signers is none, PacketError when the
    folder has no list of sums or can't be read.
    """
    if not folder.is_dir():
        raise UsageError(f"{folder} is no folder; unpack what you were sent and name the folder")
    try:
        return _check(Path(os.path.realpath(folder)), signers, today)
    except OSError as error:
        raise PacketError(f"{folder} can't be read: {error.strerror or error}") from error


def _check(folder: Path, signers: Path | None, today: datetime.date) -> tuple[Checked, ...]:
    data = _list_of(folder)
    listed, _ = parse(data)
    if _REPORT in listed:
        return (_one(folder, "", (), signers, today),)
    tops = {name.split("/")[0] for name in listed}
    # a folder with a list of its own is a report of the site, unless the index has files in it
    below = sorted(p.name for p in folder.iterdir() if p.name not in tops and _has_list(p))
    index = _one(folder, "", below, signers, today)
    reports = [_one(folder / name, name, (), signers, today) for name in below]
    return (_with_links(folder, index, below), *standing.over_all(reports, lambda c: c.told, _with_told))


def _with_told(checked: Checked, told: Told) -> Checked:
    return replace(checked, told=told)


def _list_of(folder: Path) -> bytes:
    path = folder / SUMS
    if not _has_list(folder):
        raise PacketError(f"{folder} has no {SUMS}: it is no packet, or its list was taken away")
    if path.stat().st_size > MOST_BYTES:
        raise PacketError(f"{path} is too large to be a list of sums")
    return path.read_bytes()


def _has_list(folder: Path) -> bool:
    path = folder / SUMS
    return not folder.is_symlink() and not path.is_symlink() and path.is_file()


def _one(
    folder: Path, name: str, apart: Sequence[str], signers: Path | None, today: datetime.date
) -> Checked:
    data = _list_of(folder)
    files = compare(folder, data, apart)
    told = None
    if _REPORT in files.listed and _REPORT not in (*files.changed, *files.missing):
        told = standing.read(folder / _REPORT, today)
    elif _REPORT not in files.listed and not apart:
        files = replace(files, refused=(*files.refused, f"{SUMS} lists no {_REPORT}: this is no report"))
    signature = _signature(folder, data, signers, told.email if told else "")
    return Checked(name, files, fingerprint(data), signature, told)


def parse(data: bytes) -> tuple[dict[str, str], tuple[str, ...]]:
    """Read a list of sums: sum by name, and what is wrong with each line that can't be taken, in words.

    A line is 64 hexadecimal digits, two blanks (or a blank and a star) and a name inside the folder.
    """
    try:
        text = data.decode("utf-8")
    except ValueError:
        return {}, (f"{SUMS} is no text",)
    if "\r" in text:
        return {}, (f"the line ends of {SUMS} were changed on the way: have it sent as a file",)
    wrong = [] if text.endswith("\n") else [f"{SUMS} is cut off at its end"]
    listed: dict[str, str] = {}
    spelled: set[str] = set()
    for number, line in enumerate(text.removesuffix("\n").split("\n"), 1):
        why = _line_fault(line, spelled)
        if why:
            wrong.append(f"{SUMS}, line {number}: {why}")
        else:
            listed[line[66:]] = line[:64]
            spelled.add(folded(line[66:]))
    return listed, tuple(wrong)


def _line_fault(line: str, spelled: set[str]) -> str:
    match = _LINE.fullmatch(line)
    if match is None:
        return "it is no sum and name"
    name = match[2]
    if not is_inside(name) or any(unicodedata.category(c) == "Cc" for c in name):
        return f"{name} leads out of the folder or is no plain name"
    if name in (SUMS, SIGNATURE):
        return f"{name} can't list itself"
    return f"{name} is listed twice" if folded(name) in spelled else ""


def compare(folder: Path, data: bytes, apart: Iterable[str] = ()) -> Files:
    """Hold a folder's files against a list of sums.

    apart: folders in it that have lists of their own and are passed over.
    """
    listed, wrong = parse(data)
    found: dict[str, Path] = {}
    odd: list[str] = []
    empty = _walk(folder, "", frozenset(apart), found, odd)
    # a disk or an archive may have spelled accents in another way
    composed = {unicodedata.normalize("NFC", name): name for name in found if name not in listed}
    where = {
        name: name if name in found else composed.get(unicodedata.normalize("NFC", name)) for name in listed
    }
    changed = [n for n, at in where.items() if at is not None and _sum(found[at]) != listed[n]]
    missing = [name for name, at in where.items() if at is None]
    # a folder whose listed files are missing is no more than that
    spare = [name for name in empty if not any(n.startswith(name) for n in missing)]
    extra = {*found, *spare} - {SUMS, SIGNATURE} - set(where.values())
    groups = {"changed": changed, "missing": missing, "extra": extra}
    return Files(listed, **{word: tuple(sorted(g)) for word, g in groups.items()}, refused=(*wrong, *odd))


def _walk(
    folder: Path, below: str, apart: frozenset[str], found: dict[str, Path], odd: list[str]
) -> list[str]:
    """Gather a folder's files, and what is neither file nor folder; give its empty folders."""
    with os.scandir(folder / below) as entries:
        inside = sorted(entries, key=lambda e: e.name)
    empty: list[str] = [] if inside or not below else [f"{below}/"]
    for entry in inside:
        name, mode = joined(below, entry.name), entry.stat(follow_symlinks=False).st_mode
        if stat.S_ISREG(mode):
            found[name] = Path(entry.path)
        elif not stat.S_ISDIR(mode):
            # a link could show the reader another file than the one that travels on
            odd.append(
                f"{name} is {'a link' if stat.S_ISLNK(mode) else 'no plain file'}, which no packet has"
            )
        elif name not in apart:
            empty += _walk(folder, name, apart, found, odd)
    return empty


def _sum(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _signature(folder: Path, data: bytes, signers: Path | None, email: str) -> Signed:
    path = folder / SIGNATURE
    if not os.path.lexists(path):
        return (
            Signed("bad", why=f"there is none, though {signers} asks for one") if signers else Signed("none")
        )
    if path.is_symlink() or not path.is_file() or path.stat().st_size > signing.MOST_BYTES:
        return Signed("bad", why=f"{SIGNATURE} is no signature")
    try:
        return _judged(data, path.read_bytes(), signers, email)
    except PacketError as error:
        return Signed("bad", why=str(error))


def _judged(data: bytes, signature: bytes, signers: Path | None, email: str) -> Signed:
    key = signing.read(signature).fingerprint
    if signers is not None:
        return Signed("good", key, signing.accepted(data, signature, signers, email))
    if not signing.available():
        return Signed("unchecked", key)
    if not signing.check(data, signature):
        return Signed("bad", key, why="it is not of this list: the list was changed, or the signature")
    return Signed("unknown", key)


class _Links(HTMLParser):
    """Gathers the folders of the reports that a page links to."""

    def __init__(self) -> None:
        super().__init__()
        self.folders: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Take the target of a link."""
        target = unquote(dict(attrs).get("href") or "") if tag == "a" else ""
        match = re.fullmatch(r"([^/:]+)/index\.html", target)
        if match and match[1] not in (".", ".."):
            self.folders.add(match[1])


def _with_links(folder: Path, index: Checked, below: Iterable[str]) -> Checked:
    """Hold a site's reports against the links of its index, since no list names whole reports."""
    pages = [n for n in index.files.listed if n.endswith(".html") and "/" not in n]
    if set(pages) & {*index.files.changed, *index.files.missing}:
        return index
    links = _Links()
    for page in pages:
        links.feed((folder / page).read_text("utf-8", "replace"))
    # plain pages stand in folders too, and are listed with the index
    plain = {name.split("/")[0] for name in index.files.listed if name.endswith("/index.html")}
    missing = {f"{name}/" for name in links.folders - set(below) - plain}
    extra = {f"{name}/" for name in set(below) - links.folders}
    files = replace(
        index.files,
        missing=tuple(sorted({*index.files.missing, *missing})),
        extra=tuple(sorted({*index.files.extra, *extra})),
    )
    return replace(index, files=files)
