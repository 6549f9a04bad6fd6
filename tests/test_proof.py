"""Packets that somebody sent: each change is found and named, however it was made."""

from __future__ import annotations

import datetime
import hashlib
import os
import unicodedata
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reportgen import proof, signing, sums
from reportgen.errors import PacketError, UsageError
from reportgen.proof import Checked
from tests import keys

DAY = datetime.date(2026, 3, 13)
SUM = "0" * 64


def one(folder: Path, signers: Path | None = None) -> Checked:
    (checked,) = proof.check(folder, signers, DAY)
    return checked


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return keys.packet(tmp_path / "packet")


def test_a_whole_packet_has_no_fault(folder: Path) -> None:
    """Every file agrees; which report it is and its age are told."""
    checked = one(folder)
    assert checked.faults == ()
    assert sorted(checked.files.listed) == ["index.html", "photos/a.jpg", "report.json"]
    assert checked.signature.state == "none"
    assert checked.told is not None
    assert checked.told.age_days == 10


def test_the_fingerprint_is_the_beginning_of_the_lists_own_sum(folder: Path) -> None:
    """A reader without reportgen gets it from sha256sum SHA256SUMS; it is no 16 digits as on the page."""
    whole = hashlib.sha256((folder / "SHA256SUMS").read_bytes()).hexdigest()
    said = one(folder).fingerprint
    assert said == proof.fingerprint_of(folder)
    assert whole.startswith(said.replace(" ", ""))
    assert [len(group) for group in said.split()] == [4] * 8
    # FIPS 180-4, as published with the standard's examples: SHA-256 of "abc"
    assert proof.fingerprint(b"abc") == "ba78 16bf 8f01 cfea 4141 40de 5dae 2223"


# ---- files


def flip(folder: Path) -> None:
    data = bytearray((folder / "photos/a.jpg").read_bytes())
    data[3] ^= 4
    (folder / "photos/a.jpg").write_bytes(data)


def rename(folder: Path) -> None:
    (folder / "photos/a.jpg").rename(folder / "photos/b.jpg")


def outside(folder: Path) -> Path:
    path = folder.parent / "outside"
    path.write_bytes(b"picture")
    return path


def to_link(folder: Path) -> None:
    (folder / "photos/a.jpg").unlink()
    (folder / "photos/a.jpg").symlink_to(outside(folder))


def to_linked_folder(folder: Path) -> None:
    (folder / "photos").rename(folder.parent / "moved")
    (folder / "photos").symlink_to(folder.parent / "moved")


CHANGES: dict[str, tuple[Callable[[Path], object], tuple[str, ...]]] = {
    "one bit": (flip, ("changed: photos/a.jpg",)),
    "removed": (lambda f: (f / "photos/a.jpg").unlink(), ("missing: photos/a.jpg",)),
    "added": (lambda f: (f / "photos/c.jpg").write_bytes(b""), ("extra: photos/c.jpg",)),
    "added below": (lambda f: keys.listed(f / "photos/more", {"index.html": b""}), (
        "extra: photos/more/SHA256SUMS", "extra: photos/more/index.html")),
    "added hidden": (lambda f: (f / ".hidden").write_bytes(b""), ("extra: .hidden",)),
    "renamed": (rename, ("missing: photos/a.jpg", "extra: photos/b.jpg")),
    "in another case": (lambda f: (f / "index.html").rename(f / "Index.html"), (
        "missing: index.html", "extra: Index.html")),
    "a link to the same bytes": (to_link, (
        "photos/a.jpg is a link, which no packet has", "missing: photos/a.jpg")),
    "a link that leads nowhere": (lambda f: (f / "x").symlink_to("nowhere"), (
        "x is a link, which no packet has",)),
    "a linked folder": (to_linked_folder, ("photos is a link, which no packet has", "missing: photos/a.jpg")),
    "no plain file": (lambda f: os.mkfifo(f / "pipe"), ("pipe is no plain file, which no packet has",)),
    "a folder of nothing": (lambda f: (f / "own").mkdir(), ("extra: own/",)),
    "a folder for a file": (lambda f: ((f / "index.html").unlink(), (f / "index.html").mkdir()), (
        "missing: index.html", "extra: index.html/")),
}  # fmt: skip


@pytest.mark.parametrize("change", CHANGES)
def test_each_change_is_named(folder: Path, change: str) -> None:
    """And it is all that is named."""
    alter, faults = CHANGES[change]
    alter(folder)
    assert sorted(one(folder).faults) == sorted(faults)


def test_unicode_names_in_whichever_spelling_a_disk_gives(tmp_path: Path) -> None:
    """A composed name in the list is found as a decomposed one; if both are there, one is extra."""
    composed = unicodedata.normalize("NFC", "photos/büg né.jpg")
    other = unicodedata.normalize("NFD", composed)
    folder = keys.packet(tmp_path / "packet", {composed: b"x", "船.txt": b"y"})
    assert one(folder).faults == ()
    (folder / composed).rename(folder / other)
    assert one(folder).faults == ()
    (folder / composed).write_bytes(b"x")
    assert one(folder).faults == (f"extra: {other}",)
    (folder / other).unlink()
    (folder / composed).write_bytes(b"z")
    assert one(folder).faults == (f"changed: {composed}",)


def test_names_that_are_no_text_or_move_the_cursor_are_shown_tamely(folder: Path) -> None:
    """A stranger's file name reaches the terminal as letters only."""
    (folder / "a\x1b[2J\u202egpj.exe").write_bytes(b"")
    Path(os.fsdecode(os.fsencode(folder) + b"/\xff")).write_bytes(b"")
    faults = one(folder).faults
    assert all(fault.isprintable() for fault in faults)
    assert faults[0] == "extra: a\\x1b[2J\\u202egpj.exe"
    assert len(faults) == 2


# ---- the list

LISTS = {
    "no sum": ("hello\n", "line 1: it is no sum and name"),
    "empty": ("", "cut off"),
    "an empty line": (f"{SUM}  a\n\n", "line 2: it is no sum and name"),
    "a short sum": (f"{SUM[1:]}  a\n", "no sum and name"),
    "capitals": (f"{'A' * 64}  a\n", "no sum and name"),
    "one blank": (f"{SUM} a\n", "no sum and name"),
    "no name": (f"{SUM}  \n", "no sum and name"),
    "above": (f"{SUM}  ../a\n", "../a leads out"),
    "above in the middle": (f"{SUM}  a/../../b\n", "leads out"),
    "absolute": (f"{SUM}  /etc/passwd\n", "leads out"),
    "another system's sign": (f"{SUM}  a\\b\n", "leads out"),
    "escaped": (f"\\{SUM}  a\\nb\n", "no sum and name"),
    "a dot": (f"{SUM}  ./a\n", "leads out"),
    "two signs": (f"{SUM}  a//b\n", "leads out"),
    "a tab": (f"{SUM}  a\tb\n", "leads out"),
    "twice": (f"{SUM}  a\n{SUM}  a\n", "line 2: a is listed twice"),
    "twice in another case": (f"{SUM}  a\n{SUM}  A\n", "A is listed twice"),
    "twice in another spelling": (f"{SUM}  \u00e9\n{SUM}  e\u0301\n", "listed twice"),
    "itself": (f"{SUM}  SHA256SUMS\n", "can't list itself"),
    "its signature": (f"{SUM}  SHA256SUMS.sig\n", "can't list itself"),
    "line ends of another system": (f"{SUM}  a\r\n", "line ends"),
    "no end": (f"{SUM}  a", "cut off"),
}


@pytest.mark.parametrize("case", LISTS)
def test_a_list_that_is_no_list_is_refused(folder: Path, case: str) -> None:
    """By line and reason; the packet fails, whatever else is right."""
    text, words = LISTS[case]
    assert any(words in why for why in proof.parse(text.encode())[1])
    (folder / "SHA256SUMS").write_text((folder / "SHA256SUMS").read_text() + text, newline="")
    if case != "empty":
        assert one(folder).faults


def test_a_list_in_another_code_is_refused() -> None:
    """As some editors save it."""
    assert proof.parse(f"{SUM}  a\n".encode("utf-16"))[1] == ("SHA256SUMS is no text",)
    assert proof.parse(f"\ufeff{SUM}  a\n".encode())[1]


@given(st.dictionaries(st.text("abc/é.", min_size=1, max_size=5), st.binary(max_size=3), max_size=4))
def test_what_the_writer_lists_is_read_again(files: dict[str, bytes]) -> None:
    """Names that a packet may hold come back with their sums; those it may not are refused."""
    try:
        sums.check_names(files)
    except PacketError:
        return
    listed, wrong = proof.parse(
        sums.sums({name: hashlib.sha256(data).hexdigest() for name, data in files.items()})
    )
    assert wrong == (
        () if files else ("SHA256SUMS is cut off at its end", "SHA256SUMS, line 1: it is no sum and name")
    )
    assert listed == {name: hashlib.sha256(data).hexdigest() for name, data in files.items()}


@given(st.binary(max_size=200))
def test_no_bytes_break_the_reader(data: bytes) -> None:
    """A list from a stranger is read or refused in words; every name that is taken stays inside."""
    listed, wrong = proof.parse(data)
    assert listed or wrong
    assert all(sums.is_inside(name) for name in listed)


def test_a_folder_without_a_list_is_no_packet(tmp_path: Path, folder: Path) -> None:
    """Nor one whose list is a link or too large, nor a file, nor nothing."""
    (folder / "SHA256SUMS").rename(tmp_path / "list")
    with pytest.raises(PacketError, match="has no SHA256SUMS"):
        one(folder)
    (folder / "SHA256SUMS").symlink_to(tmp_path / "list")
    with pytest.raises(PacketError, match="has no SHA256SUMS"):
        one(folder)
    for name in ("list", "nothing"):
        with pytest.raises(UsageError, match="is no folder; unpack"):
            one(tmp_path / name)


def test_a_disk_that_fails_is_told(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file that can't be read is no changed file and no traceback."""

    def fails(path: Path) -> str:
        raise PermissionError(13, "Permission denied", str(path))

    monkeypatch.setattr(proof, "_sum", fails)
    with pytest.raises(PacketError, match="can't be read: Permission denied"):
        one(folder)


def test_a_huge_list_is_not_read(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The limit holds before a byte is read."""
    monkeypatch.setattr(proof, "MOST_BYTES", 10)
    with pytest.raises(PacketError, match="too large"):
        one(folder)


def test_a_new_list_over_a_changed_report_is_found_by_the_reports_own_fingerprint(folder: Path) -> None:
    """Sums alone could not tell."""
    data = (folder / "report.json").read_bytes().replace(b"Quiet", b"Queer")
    keys.listed(folder, {"index.html": b"<p>page</p>", "report.json": data, "photos/a.jpg": b"picture"})
    assert one(folder).faults == ("report.json: its fingerprint is not that of its content",)


def test_a_list_without_a_report_is_no_report(tmp_path: Path) -> None:
    """Nobody can pass off a folder of pages for a report."""
    folder = keys.listed(tmp_path / "p", {"index.html": b""})
    assert one(folder).faults == ("SHA256SUMS lists no report.json: this is no report",)


def test_a_report_that_was_changed_says_nothing(folder: Path) -> None:
    """What stands in a changed report.json is not passed on."""
    (folder / "report.json").write_bytes(keys.report_json(version=9))
    checked = one(folder)
    assert checked.told is None
    assert checked.faults == ("changed: report.json",)


# ---- sites


@pytest.fixture
def site(tmp_path: Path) -> Path:
    links = b'<a href="old/index.html">1</a> <a href="new/index.html">2</a> <a href="new/report.json">3</a>'
    keys.listed(tmp_path / "site", {"index.html": links, "list/by-boat.html": b""})
    keys.packet(tmp_path / "site" / "old", version=1)
    keys.packet(tmp_path / "site" / "new", version=2)
    return tmp_path / "site"


def test_a_site_is_checked_with_all_its_reports(site: Path) -> None:
    """Index first; the older version of a report is told as replaced."""
    every = proof.check(site, None, DAY)
    assert [c.folder for c in every] == ["", "new", "old"]
    assert [c.faults for c in every] == [(), (), ()]
    assert [c.told.replaced for c in every if c.told] == ["", "version 2, in the same site"]


def test_reports_that_were_taken_away_or_added_are_named(site: Path) -> None:
    """The index links to each report, so a whole folder can't vanish or slip in."""
    (site / "old").rename(site / "renamed")
    index = proof.check(site, None, DAY)[0]
    assert index.faults == ("missing: old/", "extra: renamed/")
    (site / "renamed" / "SHA256SUMS").unlink()
    assert set(proof.check(site, None, DAY)[0].faults) == {
        "missing: old/",
        *(f"extra: renamed/{name}" for name in ("index.html", "photos/a.jpg", "report.json")),
    }


def test_links_of_a_changed_index_are_not_followed(site: Path) -> None:
    """What a changed page links to says nothing of what there should be."""
    (site / "index.html").write_bytes(b'<a href="ghost/index.html">x</a>')
    assert proof.check(site, None, DAY)[0].faults == ("changed: index.html",)


def test_a_list_of_its_own_does_not_hide_extra_files_of_the_index(site: Path) -> None:
    """A folder that the index has files in is no report."""
    keys.listed(site / "list", {"index.html": b""})
    assert set(proof.check(site, None, DAY)[0].faults) == {"extra: list/SHA256SUMS", "extra: list/index.html"}


# ---- signatures


@keys.needs_keygen
def test_how_a_signature_stands(folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """None, unknown, good, bad, asked for but missing, and not checked without the tool."""

    key = keys.make(tmp_path / "key")
    allowed = keys.signers(tmp_path / "signers", (keys.EMAIL, key))
    assert one(folder, allowed).faults == (f"signature: there is none, though {allowed} asks for one",)
    signing.sign([folder / "SHA256SUMS"], key)
    assert one(folder).signature.state == "unknown"
    good = one(folder, allowed)
    assert (good.signature.state, good.signature.whose, good.faults) == ("good", keys.EMAIL, ())
    with monkeypatch.context() as patch:
        patch.setenv("PATH", str(tmp_path))
        assert one(folder).signature.state == "unchecked"
        assert "ssh-keygen is not on this machine" in one(folder, allowed).faults[0]
    # a changed file with a new list: the sums agree, the signature doesn't
    (folder / "photos/a.jpg").write_bytes(b"another")
    keys.packet(folder, {"photos/a.jpg": b"another"})
    for signers in (None, allowed):
        assert one(folder, signers).faults == (
            "signature: it is not of this list: the list was changed, or the signature",
        )


@keys.needs_keygen
def test_a_signer_of_another_survey_is_refused(folder: Path, tmp_path: Path) -> None:
    """Both are in the file of signers, but the report names one of them."""

    ruth, zoe = keys.make(tmp_path / "ruth"), keys.make(tmp_path / "zoe")
    allowed = keys.signers(tmp_path / "signers", (keys.EMAIL, ruth), ("zoe@example.com", zoe))
    signing.sign([folder / "SHA256SUMS"], zoe)
    assert one(folder, allowed).faults == (
        f"signature: signed by zoe@example.com, but the report names {keys.EMAIL} as its surveyor",
    )


@pytest.mark.parametrize("what", ["link", "folder", "large", "junk"])
def test_a_signature_that_is_none_is_a_fault(folder: Path, tmp_path: Path, what: str) -> None:
    """Also where nobody asked for one."""
    path = folder / "SHA256SUMS.sig"
    if what == "link":
        path.symlink_to(outside(folder))
    elif what == "folder":
        path.mkdir()
    else:
        path.write_bytes(b"x" * (70_000 if what == "large" else 10))
    assert [f for f in one(folder).faults if f.startswith("signature: ")]
