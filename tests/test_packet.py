"""Packets: whole or untouched whatever happens on the way; foreign files stay as they were."""

from __future__ import annotations

import errno
import hashlib
import itertools
import json
import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from reportgen import packet, swap
from reportgen.errors import PacketError
from tests.project import TOP

Files = dict[str, bytes]

sha256sum = pytest.mark.skipif(not shutil.which("sha256sum"), reason="this machine has no sha256sum")
root_only = pytest.mark.skipif(
    not hasattr(os, "geteuid") or os.geteuid() != 0 or not shutil.which("unshare"),
    reason="mounting a small disk needs root and unshare",
)


def report(text: str, **more: bytes) -> Files:
    """Give the files of a report; `text` is in each, so that a mixture shows."""
    files = {name: f"{name} {text}".encode() for name in ("index.html", "report.json", "photos/1-1600.jpg")}
    return files | {name.replace("_", "/"): data for name, data in more.items()}


@dataclass(frozen=True)
class Site:
    """What is published at one time: reports by folder ("" for the packet itself) and the index."""

    reports: Mapping[str, Files]
    index: Files = field(default_factory=dict)

    def publish(self, to: Path, **how: float) -> packet.Written:
        with packet.Staging(to, wait=how.get("wait", 5.0)) as staging:
            for folder, files in self.reports.items():
                staging.report(folder, files)
            if self.index:
                staging.index(self.index.items())
            return staging.publish()


OLD = Site(
    {"avocet": report("old", only_old=b"1"), "brent": report("old"), "curlew": report("old")},
    {"index.html": b"old index", "by-date.html": b"old dates", "style.css": b"old"},
)
NEW = Site(
    {"avocet": report("new", only_new=b"2"), "brent": report("new"), "dunlin": report("new")},
    {"index.html": b"new index", "style.css": b"new", "list/by-boat.html": b"new boats"},
)
OLD_ONE, NEW_ONE = Site({"": report("old", only_old=b"1")}), Site({"": report("new", only_new=b"2")})


def foreign_files(to: Path, folders: tuple[str, ...]) -> dict[str, tuple[bytes, int, int]]:
    """Put files of the reader's own into the packet; give what must not change of them."""
    for folder in folders:
        (to / folder / "own").mkdir(parents=True, exist_ok=True)
        (to / folder / "empty").mkdir()
        (to / folder / "empty").chmod(0o700)
        for name in ("letter.pdf", "photos/mine.jpg", "own/notes.txt"):
            path = to / folder / name
            path.write_text(f"{folder} {name}")
            path.chmod(0o640)
            os.utime(path, ns=(1_600_000_000_123_456_789, 1_500_000_000_987_654_321))
        os.utime(to / folder / "own", ns=(1, 1_400_000_000_000_000_007))
        (to / folder / "link").symlink_to("/nowhere/at/all")
    return seen_foreign(to)


def seen_foreign(to: Path) -> dict[str, tuple[bytes, int, int]]:
    found = {}
    for path in sorted(to.rglob("*")):
        if path.name in ("letter.pdf", "mine.jpg", "notes.txt", "link"):
            data = os.fsencode(path.readlink()) if path.is_symlink() else path.read_bytes()
        elif path.name in ("own", "empty"):
            data = b""
        else:
            continue
        found[str(path.relative_to(to))] = (data, path.lstat().st_mode, path.lstat().st_mtime_ns)
    return found


def own_files(folder: Path, *, deep: bool = True) -> Files | None:
    """Give the files that reportgen wrote into a folder, without the sums; None if there is none."""
    if not folder.is_dir():
        return None
    found = {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.name not in ("letter.pdf", "mine.jpg", "notes.txt", "link")
    }
    if not deep:  # the index: leave out what lies in a report's folder
        birds = ("avocet", "brent", "curlew", "dunlin")
        found = {name: data for name, data in found.items() if name.split("/")[0] not in birds}
    return found or None


def faults(to: Path, old: Site, new: Site, *, index: bool = True) -> list[str]:
    """Give every report (and the index) that is neither the old one as a whole nor the new one."""
    wrong = []
    for folder in sorted({*old.reports, *new.reports}):
        allowed = [_with_sums(site.reports.get(folder)) for site in (old, new)]
        if own_files(to / folder) not in allowed:
            wrong.append(folder or "the packet")
    if index and (old.index or new.index):
        allowed = [_with_sums(site.index or None) for site in (old, new)]
        if own_files(to, deep=False) not in allowed:
            wrong.append("the index")
    return wrong


def sums(files: Files) -> bytes:
    """Give the list of the sums of files."""
    return swap.sums({name: hashlib.sha256(data).hexdigest() for name, data in files.items()})


def _with_sums(files: Files | None) -> Files | None:
    return files and files | {"SHA256SUMS": sums(files)}


def rubbish(to: Path) -> list[str]:
    """Give what stands beside the packet and is neither it nor its record."""
    return sorted({p.name for p in to.parent.iterdir()} - {to.name, f".{to.name}.reportgen"})


def check_sums(folder: Path) -> None:
    done = subprocess.run(
        ["sha256sum", "-c", "--strict", "--quiet", "SHA256SUMS"], cwd=folder, capture_output=True, text=True
    )
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")


@pytest.fixture
def to(tmp_path: Path) -> Path:
    return tmp_path / "site"


# ---- what is written


@sha256sum
def test_stock_tools_accept_the_sums_of_each_report_and_of_the_index(to: Path) -> None:
    OLD.publish(to)
    NEW.publish(to)
    for folder in ("", "avocet", "brent", "dunlin"):
        check_sums(to / folder)
    lines = (to / "avocet" / "SHA256SUMS").read_text().splitlines()
    names = [line[66:] for line in lines]
    assert names == sorted(["index.html", "report.json", "photos/1-1600.jpg", "only/new"])
    # the index lists its own files, not those of the reports
    assert [line[66:] for line in (to / "SHA256SUMS").read_text().splitlines()] == sorted(NEW.index)
    assert packet.read_sums(to / "avocet") == {line[66:]: line[:64] for line in lines}
    (to / "avocet" / "report.json").write_bytes(b"altered")
    with pytest.raises(AssertionError):  # the control: the check can fail
        check_sums(to / "avocet")


def test_a_signature_stands_beside_the_sums_and_is_not_listed(to: Path) -> None:
    files = report("one")
    files |= {"SHA256SUMS.sig": b"signed " + sums(files)}
    Site({"": files}).publish(to)
    assert b"sig" not in (to / "SHA256SUMS").read_bytes()
    assert (to / "SHA256SUMS.sig").read_bytes() == b"signed " + (to / "SHA256SUMS").read_bytes()
    # and without a key the next time, the old signature goes
    assert NEW_ONE.publish(to).foreign == ()
    assert not (to / "SHA256SUMS.sig").exists()


def tree(folder: Path) -> dict[str, tuple[int, bytes]]:
    return {
        str(p.relative_to(folder)): (p.stat().st_mode, b"" if p.is_dir() else p.read_bytes())
        for p in sorted(folder.rglob("*"))
    }


@pytest.mark.parametrize("umask", [0o000, 0o022, 0o077])
def test_same_input_same_bytes_and_modes_whatever_the_umask(tmp_path: Path, umask: int) -> None:
    OLD.publish(tmp_path / "one")
    before = os.umask(umask)
    try:
        other = Site(dict(reversed(OLD.reports.items())), dict(reversed(OLD.index.items())))
        other.publish(tmp_path / "two")
        NEW.publish(tmp_path / "two")
        other.publish(tmp_path / "two")
    finally:
        os.umask(before)
    assert tree(tmp_path / "one") == {n: v for n, v in tree(tmp_path / "two").items() if n != "list"}
    assert {p.stat().st_mode & 0o777 for p in (tmp_path / "two").rglob("*") if p.is_file()} == {0o644}
    folders = [tmp_path / "two", *(p for p in (tmp_path / "two").rglob("*") if p.is_dir())]
    assert {p.stat().st_mode & 0o777 for p in folders} == {0o755}


def test_a_sites_first_publish_appears_at_once(to: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    moved: list[tuple[str, bool]] = []
    real = os.rename

    def spy(old: Path, new: Path) -> None:
        moved.append((Path(new).name, to.exists()))
        real(old, new)

    monkeypatch.setattr(os, "rename", spy)
    written = OLD.publish(to)
    assert moved == [("site", False)]
    assert written == packet.Written(("avocet", "brent", "curlew"), (), (), True)
    assert faults(to, OLD, OLD) == []
    assert rubbish(to) == []


def test_the_record_is_private_holds_names_only_and_lies_beside(to: Path) -> None:
    OLD.publish(to)
    record = to.parent / ".site.reportgen"
    assert record.stat().st_mode & 0o777 == 0o600
    assert json.loads(record.read_text()) == {
        "format": 1,
        "folders": ["avocet", "brent", "curlew"],
        "index": ["SHA256SUMS", "by-date.html", "index.html", "style.css"],
        "swapping": [],
    }
    assert not [p for p in to.rglob("*") if "reportgen" in p.name]


def test_the_record_keeps_what_others_wrote_there(to: Path) -> None:
    OLD.publish(to)
    record = to.parent / ".site.reportgen"
    record.write_text(json.dumps(json.loads(record.read_text()) | {"digests": {"a": "b"}}))
    NEW.publish(to)
    assert json.loads(record.read_text())["digests"] == {"a": "b"}


def test_reports_that_are_gone_are_taken_away_and_kept_ones_stay(to: Path) -> None:
    OLD.publish(to)
    before = (to / "brent" / "index.html").stat().st_ino
    with packet.Staging(to) as staging:
        staging.report("avocet", NEW.reports["avocet"])
        staging.keep("brent")
        staging.index(NEW.index.items())
        written = staging.publish()
    assert (written.folders, written.removed) == (("avocet",), ("curlew",))
    assert (to / "brent" / "index.html").stat().st_ino == before
    assert not (to / "curlew").exists()
    assert not (to / "by-date.html").exists()
    assert OLD.publish(to).removed == ()
    assert faults(to, OLD, OLD) == []
    assert not (to / "list").exists()


def test_a_report_that_is_not_there_cannot_be_kept(to: Path) -> None:
    with packet.Staging(to) as staging, pytest.raises(PacketError, match="holds no report to keep"):
        staging.keep("brent")


@pytest.mark.parametrize("times", [1, 2])
def test_a_report_may_become_a_site_and_the_reverse(to: Path, times: int) -> None:
    for _ in range(times):
        OLD_ONE.publish(to)
        foreign = foreign_files(to, ("",)) if not (to / "own").exists() else seen_foreign(to)
        NEW.publish(to)
        assert faults(to, NEW, NEW) == []
        assert not (to / "report.json").exists()
        assert seen_foreign(to) == foreign
        written = OLD_ONE.publish(to)
        assert written.removed == ("avocet", "brent", "dunlin")
        assert faults(to, OLD_ONE, OLD_ONE) == []
        assert seen_foreign(to) == foreign


def test_a_folder_of_an_old_report_may_become_the_name_of_a_new_one(to: Path) -> None:
    OLD_ONE.publish(to)
    site = Site({"photos": report("new") | {"1-1600.jpg": b"of the new one"}}, {"index.html": b"index"})
    site.publish(to)
    assert own_files(to / "photos") == _with_sums(site.reports["photos"])
    assert not (to / "report.json").exists()


# ---- foreign files


@pytest.mark.parametrize("one_step", [True, False])
def test_foreign_files_stay_as_they_were_and_are_named(
    to: Path, monkeypatch: pytest.MonkeyPatch, one_step: bool
) -> None:
    if not one_step:
        monkeypatch.setattr(swap, "exchange", lambda one, other: False)
    OLD.publish(to)
    before = foreign_files(to, ("avocet", "curlew"))
    inode = (to / "avocet" / "letter.pdf").stat().st_ino
    written = NEW.publish(to)
    assert written.in_one_step == one_step
    assert written.foreign == tuple(
        f"{folder}/{name}"
        for folder in ("avocet", "curlew")
        for name in ("empty/", "letter.pdf", "link", "own/notes.txt", "photos/mine.jpg")
    )
    assert seen_foreign(to) == before
    assert (to / "avocet" / "letter.pdf").stat().st_ino == inode
    assert faults(to, NEW, NEW) == []
    assert rubbish(to) == []
    # what is left of the report that is gone is nobody's report any more
    assert NEW.publish(to).foreign == written.foreign[:5]
    assert seen_foreign(to) == before


def test_foreign_files_are_copied_where_the_disk_knows_no_second_names(
    to: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*names: object, **how: object) -> None:
        raise OSError(errno.EPERM, "no links here")

    monkeypatch.setattr(os, "link", refuse)
    OLD.publish(to)
    before = foreign_files(to, ("avocet", "curlew"))
    NEW.publish(to)
    assert seen_foreign(to) == before
    assert faults(to, NEW, NEW) == []


def test_a_foreign_file_that_comes_in_during_the_change_is_kept(
    to: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    OLD_ONE.publish(to)
    (to / "letter.pdf").write_text("first")
    real = swap.exchange

    def late(one: Path, other: Path) -> bool:
        (other / "late.txt").write_text("late")
        (other / "draft").write_text("second, longer")
        (other / "draft").replace(other / "letter.pdf")
        return real(one, other)

    monkeypatch.setattr(swap, "exchange", late)
    NEW_ONE.publish(to)
    assert (to / "late.txt").read_text() == "late"
    assert (to / "letter.pdf").read_text() == "second, longer"


def test_a_folder_that_cannot_be_written_to_goes_with_the_old_packet(to: Path) -> None:
    OLD_ONE.publish(to)
    (to / "locked").mkdir()
    (to / "locked" / "file").write_text("x")
    (to / "locked").chmod(0o555)
    NEW_ONE.publish(to)
    assert (to / "locked").stat().st_mode & 0o777 == 0o555
    assert rubbish(to) == []


def test_a_reader_of_the_old_packet_may_keep_it_open(to: Path) -> None:
    OLD_ONE.publish(to)
    with (to / "index.html").open("rb") as file:
        NEW_ONE.publish(to)
        assert file.read() == b"index.html old"


def set_up(to: Path, kind: str) -> str:
    """Put something of the user's where the packet should go; give the name that the message must hold."""
    to.mkdir()
    if kind == "page":
        (to / "index.html").write_text("mine")
        return "index.html"
    if kind == "sums":
        (to / "SHA256SUMS").write_text(f"{'0' * 64}  disk.iso\n")
        (to / "disk.iso").write_text("mine")
        return "SHA256SUMS"
    if kind == "case":
        (to / "INDEX.html").write_text("mine")
        return "INDEX.html"
    if kind == "file for a folder":
        (to / "photos").write_text("mine")
        return "photos"
    (to / "report.json").mkdir()
    (to / "report.json" / "x").write_text("mine")
    return "report.json/x"


@pytest.mark.parametrize("kind", ["page", "sums", "case", "file for a folder", "folder for a file"])
@pytest.mark.parametrize("folder", ["", "avocet"])
def test_a_foreign_file_in_the_way_is_named_and_nothing_is_written(to: Path, kind: str, folder: str) -> None:
    if folder:
        to.mkdir()
    name = set_up(to / folder if folder else to, kind)
    before = tree(to)
    site = NEW if folder else NEW_ONE
    with pytest.raises(PacketError) as error:
        site.publish(to)
    assert f": {folder}/{name}".replace(": /", ": ") in str(error.value)
    assert str(error.value).endswith("choose another folder")
    assert tree(to) == before
    assert rubbish(to) == []
    assert not (to.parent / ".site.reportgen").exists()


@pytest.mark.parametrize("make", ["file", "link", "folder"])
def test_what_stands_where_the_index_or_a_reports_folder_should_go_is_named(to: Path, make: str) -> None:
    OLD.publish(to)
    (to.parent / "elsewhere").mkdir()
    for name in ("list", "dunlin"):
        path = to / name
        if make == "file":
            path.write_text("mine")
        elif make == "link":
            path.symlink_to(to.parent / "elsewhere")
        else:
            (path / "by-boat.html" / "x" if name == "list" else path / "index.html").mkdir(parents=True)
        before = tree(to)
        with pytest.raises(PacketError, match=f"did not write.*{name}"):
            NEW.publish(to)
        assert tree(to) == before
        assert list((to.parent / "elsewhere").iterdir()) == []
        path.unlink() if path.is_symlink() or path.is_file() else shutil.rmtree(path)
    NEW.publish(to)


def test_a_folder_full_of_other_things_is_no_place_for_a_packet(
    to: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(packet, "MOST_FOREIGN", 5)
    to.mkdir()
    for number in range(6):
        (to / str(number)).touch()
    with pytest.raises(PacketError, match="choose a folder of its own"):
        NEW_ONE.publish(to)


# ---- where a packet can't go


def test_missing_parents_are_made_and_go_again_when_nothing_came_of_it(tmp_path: Path) -> None:
    NEW_ONE.publish(tmp_path / "a" / "b" / "site")
    assert faults(tmp_path / "a" / "b" / "site", NEW_ONE, NEW_ONE) == []
    with pytest.raises(PacketError), packet.Staging(tmp_path / "c" / "d" / "site") as staging:
        staging.report("", {})
    assert not (tmp_path / "c").exists()


def test_a_link_to_a_folder_is_followed(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    (tmp_path / "link").symlink_to("real")
    NEW_ONE.publish(tmp_path / "link")
    assert (tmp_path / "link").is_symlink()
    assert faults(tmp_path / "real", NEW_ONE, NEW_ONE) == []


def test_places_that_will_not_do_are_refused(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("mine")
    (tmp_path / "notes").mkdir()
    (tmp_path / "note.md").touch()
    OLD_ONE.publish(tmp_path / "packet")
    cases: list[tuple[Path, Path | None, str]] = [
        (tmp_path / "file", None, "is a file, not a folder"),
        (tmp_path / "file" / "site", None, "a file stands where a folder is needed"),
        (Path("/"), None, "name a folder in it"),
        (tmp_path / "notes", tmp_path / "notes", "the notes lie in"),
        (tmp_path, tmp_path / "notes", "the notes lie in"),
        (tmp_path, tmp_path / "note.md", "the notes lie in"),
        (tmp_path / "notes" / "site", tmp_path / "notes", "lies among the notes"),
        (tmp_path / "packet" / "inner", None, "lies inside the packet packet"),
        (tmp_path / ("x" * 300), None, "a name gets too long"),
    ]
    if Path("/proc").is_mount():
        cases.append((Path("/proc"), None, "is a disk of its own"))
    before = tree(tmp_path)
    for place, notes, says in cases:
        with pytest.raises(PacketError, match=says), packet.Staging(place, notes=notes, wait=0):
            pytest.fail("it began")
    assert tree(tmp_path) == before
    with packet.Staging(tmp_path / "site", notes=tmp_path / "note.md") as staging:  # beside a note is right
        staging.report("", report("x"))
        staging.publish()


@pytest.mark.parametrize(
    "names",
    [
        ["/etc/x"],
        ["../x"],
        ["a/../x"],
        ["a\nb"],
        ["a\rb"],
        ["a\\b"],
        ["a\0b"],
        [""],
        ["a//b"],
        ["a/"],
        ["./a"],
        ["\udc80"],
        ["Riser.jpg", "riser.jpg"],
        ["stra\u00dfe", "strasse"],
        ["\u00e9", "e\u0301"],
        ["photos/a", "Photos/b"],
        ["a", "a/b"],
        ["SHA256SUMS"],
    ],
)
def test_names_that_some_disk_could_not_hold_are_refused(to: Path, names: list[str]) -> None:
    files = dict.fromkeys([*names, "index.html"], b"")
    for folder in ("", "avocet"):
        with pytest.raises(PacketError), packet.Staging(to) as staging:
            staging.report(folder, files)
    with pytest.raises(PacketError), packet.Staging(to) as staging:
        staging.index(files.items())
    assert not to.exists()
    assert rubbish(to) == []


def test_each_file_of_the_index_is_written_before_the_next_is_made(to: Path) -> None:
    """Its pages are too many to be held at once; one may come piece by piece."""
    written: list[bytes] = []

    def files() -> Iterator[tuple[str, swap.Data]]:
        yield "reports.json", (piece for piece in (b"one ", b"two"))
        written.extend(path.read_bytes() for path in to.parent.rglob("reports.json"))
        yield "index.html", b"list"

    with packet.Staging(to) as staging:
        staging.report("avocet", report("one"))
        staging.index(files())
        staging.publish()
    assert written == [b"one two"]
    listed = packet.read_sums(to) or {}
    assert listed["reports.json"] == hashlib.sha256(b"one two").hexdigest()


def test_mistakes_of_the_caller_are_refused(to: Path) -> None:
    page = {"index.html": b""}
    for folder in ("a/b", "..", "a\\b"):
        with pytest.raises(PacketError), packet.Staging(to) as staging:
            staging.report(folder, page)
    with packet.Staging(to) as staging:
        staging.report("a", page)
        with pytest.raises(PacketError, match="two reports are to stand in a"):
            staging.report("a", page)
        staging.report("A", page)
        staging.index(page.items())
        with pytest.raises(PacketError, match="are one name on some disks"):
            staging.publish()
    for files in ({"x": b""}, {}):
        with pytest.raises(PacketError), packet.Staging(to) as staging:
            staging.index(files.items())
    with pytest.raises(PacketError, match="nothing was staged"), packet.Staging(to) as staging:
        staging.publish()
    assert not to.exists()
    assert not (to.parent / ".site.reportgen").exists()


@pytest.mark.parametrize(
    "text",
    ["", "rubbish", "[1]", '{"folders": 7}', '{"folders": ["../../keep", "/", 3], "index": ["../keep"]}'],
)
def test_a_record_that_somebody_edited_leads_nowhere(to: Path, text: str) -> None:
    OLD.publish(to)
    shutil.copytree(to / "avocet", to.parent / "keep")
    (to.parent / ".site.reportgen").write_text(text)
    NEW.publish(to)
    assert (to.parent / "keep" / "index.html").is_file()
    assert [w for w in faults(to, OLD, NEW) if w != "the index"] == []


@pytest.mark.parametrize("line", ["../x", "/x", "a\\b", "", "a/./b"])
def test_sums_with_a_line_that_leads_out_are_not_ours(to: Path, line: str) -> None:
    to.mkdir()
    (to / "index.html").write_text("mine")
    (to / "SHA256SUMS").write_text(f"{'0' * 64}  index.html\n{'0' * 64}  {line}\n")
    assert packet.read_sums(to) is None
    with pytest.raises(PacketError, match="did not write"):
        NEW_ONE.publish(to)


# ---- broken off at any step


def naive(site: Site, to: Path) -> None:
    """Write in place, as one should not: the control that the checks below must catch."""
    for folder, files in site.reports.items():
        for name, data in (*files.items(), ("SHA256SUMS", sums(files))):
            path = to / folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.with_suffix(".part").write_bytes(data)
            path.with_suffix(".part").replace(path)


@contextmanager
def at_step(number: int, act: Callable[[], None], *, after: bool) -> Iterator[list[str]]:
    """Do something just before or after the N-th step that changes the disk; give the steps' names."""
    steps: list[str] = []

    def wrapped(name: str, real: Callable[..., object]) -> Callable[..., object]:
        def step(*names: object, **how: object) -> object:
            # deleting the working folder and flushing it are many steps alike: a few stand for all
            if steps.count(name) > 2 and (name == "flush" or "dir_fd" in how):
                return real(*names, **how)
            steps.append(name)
            now = len(steps) == number
            if now and not after:
                act()
            try:
                return real(*names, **how)
            finally:
                if now and after:
                    act()

        return step

    with pytest.MonkeyPatch.context() as patch:
        for owner, name in (
            (os, "rename"),
            (os, "replace"),
            (os, "link"),
            (os, "unlink"),
            (swap, "exchange"),
        ):
            patch.setattr(owner, name, wrapped(name, getattr(owner, name)))
        patch.setattr(swap, "_flush_one", wrapped("flush", swap._flush_one))
        yield steps


def full() -> None:
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def interrupt() -> None:
    raise KeyboardInterrupt


def kill() -> None:
    os.kill(os.getpid(), signal.SIGKILL)


SCENES = [(None, NEW), (None, NEW_ONE), (OLD, NEW), (OLD_ONE, NEW_ONE)]
SCENE_NAMES = ["first site", "first report", "site", "report"]
NOTHING = Site({})


@contextmanager
def begun(folder: Path, old: Site | None, one_step: bool) -> Iterator[tuple[Path, object]]:
    """Give a place with the old packet in it, and what of it is foreign."""
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    to = folder / "site"
    before: object = {}
    if old:
        old.publish(to)
        before = foreign_files(to, tuple(name for name in ("", "avocet", "curlew") if name in old.reports))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(os, "fsync", lambda number: None)  # hundreds of runs would wait for the disk
        if not one_step:
            patch.setattr(swap, "exchange", lambda one, other: False)
        yield to, before


@pytest.mark.parametrize("one_step", [True, False], ids=["exchange", "two renames"])
@pytest.mark.parametrize(("old", "new"), SCENES, ids=SCENE_NAMES)
@pytest.mark.parametrize(
    ("act", "after"),
    [(full, False), (interrupt, False), (interrupt, True)],
    ids=["full", "break", "break after"],
)
def test_an_error_at_any_step_leaves_each_report_whole(
    tmp_path: Path, old: Site | None, new: Site, act: Callable[[], None], after: bool, one_step: bool
) -> None:
    for number in itertools.count(1):
        with begun(tmp_path / "here", old, one_step) as (to, before):
            error = ""
            with at_step(number, act, after=after) as steps:
                try:
                    new.publish(to)
                except (PacketError, KeyboardInterrupt) as raised:
                    error = repr(raised)
            assert "the disk is full: make room" in error or act is interrupt or not error
            assert faults(to, old or NOTHING, new) == [], (number, steps)
            assert seen_foreign(to) == before, (number, steps)
            if len(steps) >= number:
                # a broken clean-up may leave its working folder, which the next run takes away
                assert len(rubbish(to)) <= 1, (number, steps)
            else:
                assert rubbish(to) == []
            new.publish(to)
            assert faults(to, new, new) == [], (number, steps)
            assert rubbish(to) == [], (number, steps)
            assert seen_foreign(to) == before, (number, steps)
        if len(steps) < number:
            break
        assert error or steps[number - 1] == "unlink", (number, steps)
    assert number > 5


def forked(work: Callable[[], None]) -> int:
    """Do the work in a child; give how it ended."""
    child = os.fork()
    if child == 0:
        try:
            work()
        except BaseException:  # noqa: BLE001 - a child must never return into the test run
            os._exit(1)
        os._exit(0)
    return os.waitpid(child, 0)[1]


@pytest.mark.parametrize("one_step", [True, False], ids=["exchange", "two renames"])
@pytest.mark.parametrize(("old", "new"), SCENES, ids=SCENE_NAMES)
@pytest.mark.parametrize("after", [False, True], ids=["before", "after"])
def test_a_kill_at_any_step_leaves_each_report_whole(
    tmp_path: Path, old: Site | None, new: Site, after: bool, one_step: bool
) -> None:
    """With the exchange at once; with two renames, and for the index, as soon as the next run has begun."""
    for number in itertools.count(1):
        with begun(tmp_path / "here", old, one_step) as (to, before):

            def work(number: int = number, to: Path = to) -> None:
                with at_step(number, kill, after=after):
                    new.publish(to)

            ended = forked(work)
            if one_step:
                assert faults(to, old or NOTHING, new, index=False) == [], number
                assert seen_foreign(to) == before
            with pytest.raises(ZeroDivisionError), packet.Staging(to):
                raise ZeroDivisionError  # the next run finds mistakes in the notes and publishes nothing
            assert faults(to, old or NOTHING, new) == [], number
            assert seen_foreign(to) == before, number
            assert rubbish(to) == [], number
            new.publish(to)
            assert faults(to, new, new) == [], number
            assert seen_foreign(to) == before, number
        if ended == 0:
            break
        assert ended == signal.SIGKILL
    assert number > 5


@pytest.mark.parametrize("act", [full, kill])
def test_the_checks_above_catch_one_who_writes_in_place(tmp_path: Path, act: Callable[[], None]) -> None:
    caught = 0
    for number in range(1, 12):
        with begun(tmp_path / "here", OLD, True) as (to, _):

            def work(number: int = number, to: Path = to) -> None:
                with at_step(number, act, after=False):
                    naive(NEW, to)

            assert forked(work) != 0
            caught += bool(faults(to, OLD, NEW, index=False))
    assert caught > 5


def test_a_report_missing_or_mixed_is_a_fault(to: Path) -> None:
    OLD.publish(to)
    assert faults(to, OLD, NEW) == []
    (to / "brent" / "index.html").write_bytes(NEW.reports["brent"]["index.html"])
    shutil.rmtree(to / "avocet")
    (to / "style.css").write_bytes(b"new")
    assert faults(to, OLD, NEW) == ["avocet", "brent", "the index"]


# ---- full and read-only disks, two publishers


SMALL_DISK = """
import os, sys
from pathlib import Path
from reportgen import packet
from reportgen.errors import PacketError

to = Path(sys.argv[1]) / "site"
def publish(text, size):
    with packet.Staging(to) as staging:
        staging.report("", {"index.html": text, "photos/1.jpg": os.urandom(size)})
        staging.publish()
publish(b"old", 100_000)
before = sorted((p.relative_to(to), p.read_bytes()) for p in to.rglob("*") if p.is_file())
if sys.argv[2] == "read-only":
    assert os.system(f"mount -o remount,ro {to.parent}") == 0
try:
    publish(b"new", 400_000)
except PacketError as error:
    print(str(error).replace(str(to), "SITE"))
assert before == sorted((p.relative_to(to), p.read_bytes()) for p in to.rglob("*") if p.is_file())
print(sorted(p.name for p in to.parent.iterdir()))
if sys.argv[2] != "read-only":
    publish(b"new", 100_000)
    print(to.joinpath("index.html").read_text())
"""


@root_only
@pytest.mark.parametrize(
    ("kind", "options", "says"),
    [
        ("full", "size=400k", "SITE can't be written: the disk is full: make room and publish again"),
        ("read-only", "size=4m", "SITE can't be written: that disk can only be read: choose another folder"),
    ],
)
def test_a_real_full_or_read_only_disk_leaves_the_old_packet_whole(
    tmp_path: Path, kind: str, options: str, says: str
) -> None:
    mount = f'mount -t tmpfs -o {options} tmpfs "$1" && exec "$3" -c "$4" "$1" "$2"'
    command = ["unshare", "-m", "sh", "-c", mount, "sh", str(tmp_path), kind, sys.executable, SMALL_DISK]
    done = subprocess.run(command, capture_output=True, text=True, cwd=TOP)
    if done.returncode == 1 and "unshare failed" in done.stderr:
        pytest.skip("this machine does not let root mount a disk of its own")
    assert done.stderr == ""
    expected = [says, "['.site.reportgen', 'site']"] + (["new"] if kind == "full" else [])
    assert done.stdout.splitlines() == expected


def test_a_second_publisher_waits_and_then_says_who_is_at_work(to: Path) -> None:
    ready, go = os.pipe(), os.pipe()
    child = os.fork()
    if child == 0:
        os.close(go[1])  # so that the child ends when this test fails
        with packet.Staging(to) as staging:
            staging.report("", report("first"))
            os.write(ready[1], b"x")
            os.read(go[0], 1)
            staging.publish()
        os._exit(0)
    os.read(ready[0], 1)
    began = time.monotonic()
    with pytest.raises(PacketError, match=f"is being published by process {child}: wait until it is done"):
        NEW_ONE.publish(to, wait=0.3)
    assert 0.3 <= time.monotonic() - began < 3
    assert not to.exists()
    os.write(go[1], b"x")
    NEW_ONE.publish(to, wait=20)
    assert os.waitpid(child, 0)[1] == 0
    assert faults(to, NEW_ONE, NEW_ONE) == []
    assert rubbish(to) == []
    for number in (*ready, *go):
        os.close(number)


def nobody() -> str:
    return "somebody else is at work"


def test_the_lock_is_kept_while_the_record_is_replaced(tmp_path: Path) -> None:
    mine, other = (swap.Journal(tmp_path / ".site.reportgen") for _ in range(2))
    mine.open(0, nobody)
    for _ in range(2):
        with pytest.raises(PacketError, match="somebody else"):
            other.open(0, nobody)
        mine.write(swap.Contents(("avocet",)), tmp_path)
    mine.close(forget=False)
    other.open(0, nobody)
    assert other.contents.folders == ("avocet",)
    other.close(forget=True)
    assert list(tmp_path.iterdir()) == []


def test_a_lock_on_a_record_that_was_just_replaced_does_not_count(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Between opening and locking, its holder may have put a new record in place and gone."""
    path = tmp_path / ".site.reportgen"
    path.touch()
    real, calls = swap.fcntl.flock, []

    def late(number: int, how: int) -> None:
        if not calls:
            (tmp_path / "new").write_text('{"folders": ["brent"]}')
            (tmp_path / "new").replace(path)
        calls.append(number)
        real(number, how)

    monkeypatch.setattr(swap.fcntl, "flock", late)
    journal = swap.Journal(path)
    journal.open(5, nobody)
    assert journal.contents.folders == ("brent",)
    assert len(calls) == 2
    journal.close(forget=False)


def test_many_publishers_at_once_leave_one_whole_packet(to: Path) -> None:
    sites = [
        Site(
            {
                "": report(f"of {n}"),
            }
        )
        for n in range(4)
    ]
    children = []
    for site in sites:
        child = os.fork()
        if child == 0:
            try:
                for _ in range(5):
                    site.publish(to, wait=30)
            except BaseException:  # noqa: BLE001 - a child must never return into the test run
                os._exit(1)
            os._exit(0)
        children.append(child)
    while children:
        assert os.waitpid(children.pop(), 0)[1] == 0
        assert any(own_files(to) == _with_sums(site.reports[""]) for site in sites) or children
    assert any(own_files(to) == _with_sums(site.reports[""]) for site in sites)
    assert rubbish(to) == []


def test_workers_may_stage_reports_for_their_parent(to: Path) -> None:
    with packet.Staging(to) as staging:
        for folder in ("avocet", "brent"):
            assert forked(lambda folder=folder: staging.report(folder, NEW.reports[folder])) == 0
        staging.report("dunlin", NEW.reports["dunlin"])
        staging.index(NEW.index.items())
        assert staging.publish().folders == ("avocet", "brent", "dunlin")
    assert faults(to, NEW, NEW) == []


def test_all_is_on_the_disk_before_anything_changes_places(to: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    OLD_ONE.publish(to)
    steps: list[str] = []
    for owner, name in ((os, "fsync"), (swap, "exchange")):
        real = getattr(owner, name)
        monkeypatch.setattr(owner, name, lambda *a, name=name, real=real: [steps.append(name), real(*a)][1])
    NEW_ONE.publish(to)
    first = steps.index("exchange")
    files_and_folders = len([*to.rglob("*"), to])
    assert steps[:first].count("fsync") >= files_and_folders
    assert steps[first:] == ["exchange", "fsync", "fsync", "fsync"]  # the record, the packet, what holds it


def test_many_files_are_flushed_together(to: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(swap, "_MANY", 1)
    asked: list[str] = []
    real = swap._system_call
    failing = {"now": False}

    def spy(name: str) -> Callable[..., int] | None:
        asked.append(name)
        return (lambda number: -1) if failing["now"] and name == "syncfs" else real(name)

    monkeypatch.setattr(swap, "_system_call", spy)
    OLD_ONE.publish(to)
    assert "syncfs" in asked
    failing["now"] = True
    with pytest.raises(PacketError, match="can't be written"):
        NEW_ONE.publish(to)
    assert faults(to, OLD_ONE, OLD_ONE) == []
    monkeypatch.setattr(swap, "_system_call", lambda name: None)  # a system that knows neither call
    assert not NEW_ONE.publish(to).in_one_step
    assert faults(to, NEW_ONE, NEW_ONE) == []
