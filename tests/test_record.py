"""The build record: only what changed is made again, and what the record says is never trusted blindly."""

from __future__ import annotations

import datetime
import hashlib
import json
import multiprocessing
import os
import threading
import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from reportgen import making, packet, publish, record, theme, workers
from reportgen.cli import main
from reportgen.errors import NotesError, PacketError
from reportgen.making import Wish
from tests import made

NOTE = """---
system: deck
{photos}---
## Cleat loose
```finding
severity: watch
look again: yearly
```
{text}
"""


def note(folder: Path, text: str, photo: str = "") -> None:
    photos = f"photos:\n  - {photo}: the cleat\n" if photo else ""
    (folder / "deck.md").write_text(NOTE.format(text=text, photos=photos))


class Site:
    """Three surveys and where they are published; `made` gives the folders that a publishing made anew."""

    def __init__(self, top: Path) -> None:
        self.notes, self.to = top / "notes", top / "site"
        for name in ("avocet", "brent", "curlew"):
            note(made.write(self.notes / name, {**made.TINY, "number": name}), "It moves.")
        self.wish = Wish(publish.edition_named("buyer"), theme.find(), charts=False, jobs=1)
        assert self.made() == ["avocet", "brent", "curlew"]
        age(self.notes)

    def made(self, **how: Any) -> list[str]:
        done = publish.publish(self.notes, self.to, replace(self.wish, **how))
        assert len(done.entries) + done.unchanged == len(list(self.notes.iterdir()))
        return sorted(entry.folder for entry in done.entries)

    @property
    def book(self) -> Path:
        return self.to.parent / ".site.reportgen"


def age(top: Path) -> None:
    """Let files look as if they had been there for a while; only their change time can't be set back."""
    old = time.time() - 100
    for path in top.rglob("*"):
        os.utime(path, (old, old))


def tree(top: Path) -> dict[str, bytes]:
    return {str(p.relative_to(top)): p.read_bytes() for p in sorted(top.rglob("*")) if p.is_file()}


def stands(top: Path) -> dict[Path, tuple[int, int]]:
    return {p: (p.stat().st_ino, p.stat().st_ctime_ns) for p in top.rglob("*")}


@pytest.fixture
def site(tmp_path: Path) -> Site:
    return Site(tmp_path)


def test_nothing_is_made_when_nothing_changed(site: Site, monkeypatch: pytest.MonkeyPatch) -> None:
    before = stands(site.to)
    assert site.made() == []
    monkeypatch.setattr(record, "_SOON", -(10**18))  # as if all had been written long ago
    assert site.made() == []
    monkeypatch.setattr(record.Salted, "read", None)  # nor read
    monkeypatch.setattr(record, "read_sums", None)
    assert site.made() == []
    assert stands(site.to) == before


def test_a_changed_note_has_its_survey_made_and_no_other(site: Site) -> None:
    index = (site.to / "index.html").stat().st_ino
    brent = (site.to / "brent" / "index.html").stat().st_ino
    note(site.notes / "avocet", "It moves by a finger.")
    assert site.made() == ["avocet"]
    assert "by a finger" in (site.to / "avocet" / "index.html").read_text()
    assert (site.to / "brent" / "index.html").stat().st_ino == brent
    # the list tells nothing of it, and stays
    assert (site.to / "index.html").stat().st_ino == index
    front = (site.notes / "avocet" / "cover.md").read_text()
    (site.notes / "avocet" / "cover.md").write_text(front.replace("sailing yacht", "gasoline inboard"))
    assert site.made() == ["avocet"]
    assert "gasoline inboard" in (site.to / "index.html").read_text()
    anew = site.to.parent / "anew"
    publish.publish(site.notes, anew, site.wish)
    assert tree(anew) == tree(site.to)


def test_a_touched_note_is_read_but_not_made_again(site: Site) -> None:
    age(site.notes)
    (site.notes / "brent" / "deck.md").touch()
    assert site.made() == []


def remove_a_page(folder: Path) -> None:
    (folder / "index.html").unlink()


def alter_a_page(folder: Path) -> None:
    page = folder / "index.html"
    old = page.stat()
    page.write_bytes(page.read_bytes().replace(b"Cleat", b"Shelf"))
    os.utime(page, ns=(old.st_atime_ns, old.st_mtime_ns))


def alter_page_and_sums(folder: Path) -> None:
    alter_a_page(folder)
    found = {n: hashlib.sha256(d).hexdigest() for n, d in tree(folder).items() if n != "SHA256SUMS"}
    (folder / "SHA256SUMS").write_bytes(packet.swap.sums(found))


def remove_all(folder: Path) -> None:
    for path in folder.iterdir():
        path.unlink()
    folder.rmdir()


def link_a_page(folder: Path) -> None:
    (folder / "index.html").rename(folder.parent.parent / "elsewhere.html")
    (folder / "index.html").symlink_to("../../elsewhere.html")


@pytest.mark.parametrize("harm", [remove_a_page, alter_a_page, alter_page_and_sums, remove_all, link_a_page])
def test_a_report_that_does_not_stand_as_made_is_made_again(site: Site, harm: Callable[[Path], None]) -> None:
    before = tree(site.to)
    harm(site.to / "brent")
    assert site.made() == ["brent"]
    assert tree(site.to) == before


def test_a_copied_site_and_foreign_files_are_no_change(site: Site) -> None:
    age(site.to)
    (site.to / "brent" / "letter.txt").write_text("mine")
    assert site.made() == []
    assert site.made() == []
    assert (site.to / "brent" / "letter.txt").read_text() == "mine"


def test_a_deleted_survey_goes_and_foreign_files_stay(site: Site) -> None:
    (site.to / "brent" / "letter.txt").write_text("mine")
    for path in (site.notes / "brent").iterdir():
        path.unlink()
    (site.notes / "brent").rmdir()
    assert site.made() == []
    assert "brent" not in (site.to / "index.html").read_text()
    assert tree(site.to / "brent") == {"letter.txt": b"mine"}
    assert site.made() == []


def test_an_altered_list_is_made_again(site: Site) -> None:
    before = tree(site.to)
    (site.to / "index.html").write_text("somebody else's")
    site.made()
    assert tree(site.to) == before


@pytest.mark.parametrize("what", ["theme", "edition", "day", "version", "fresh", "charts", "tool"])
def test_what_all_reports_are_made_with_counts(
    site: Site, what: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import datetime

    how: dict[str, Any] = {}
    if what == "theme":
        (tmp_path / "own").mkdir()
        (tmp_path / "own" / "style.css").write_text("body{}")
        base = theme.find()
        how = {"theme": replace(base, folders=(tmp_path / "own", *base.folders))}
        assert len(site.made(**how)) == 3
        assert site.made(**how) == []
        (tmp_path / "own" / "style.css").write_text("p{}")
    elif what == "version":
        monkeypatch.setattr(record, "__version__", "99")
    elif what == "tool":
        real = record._told
        monkeypatch.setattr(record, "_told", lambda n, f: real(n.replace("units.py", "new.py"), f))
    else:
        how = {
            "edition": {"edition": replace(site.wish.edition, title="For the next owner")},
            "day": {"today": datetime.date(2026, 9, 1)},
            "fresh": {"fresh": True},
            "charts": {"charts": True},
        }[what]
    assert len(site.made(**how)) == 3


def break_salt(book: dict[str, Any]) -> None:
    book["made"]["salt"] = 7


def break_rows(book: dict[str, Any]) -> None:
    book["made"]["surveys"] = [1]


def lead_out(book: dict[str, Any]) -> None:
    for row in book["made"]["surveys"].values():
        row[0] = "../notes"


def strange_row(book: dict[str, Any]) -> None:
    book["made"]["surveys"]["brent"] = [["brent"], 1, None, {}, [], {}, ["\0"]]


def strange_photo(book: dict[str, Any]) -> None:
    for row in book["made"]["surveys"].values():
        row[6] = {"0" * 32: "../../secret"}


@pytest.mark.parametrize("harm", [break_salt, break_rows, lead_out, strange_row, strange_photo])
def test_a_hostile_record_only_costs_time(site: Site, harm: Callable[[dict[str, Any]], None]) -> None:
    before = tree(site.to)
    book = json.loads(site.book.read_text())
    harm(book)
    site.book.write_text(json.dumps(book))
    assert "brent" in site.made()
    assert tree(site.to) == before


@pytest.mark.parametrize("text", ["{", "[]", '{"made": 5}', "[" * 100_000])
def test_a_broken_record_is_ignored_and_told(
    site: Site, text: str, capsys: pytest.CaptureFixture[str]
) -> None:
    site.book.write_text(text)
    assert main(["publish", str(site.notes), "--to", str(site.to), "--no-charts", "--jobs", "1"]) == 0
    told = capsys.readouterr()
    assert "record beside the packet can't be read" in told.err
    assert "unchanged" not in told.out
    assert main(["publish", str(site.notes), "--to", str(site.to), "--no-charts", "--jobs", "1"]) == 0
    assert "3 surveys unchanged" in capsys.readouterr().out


def test_the_record_is_private_and_holds_no_value(site: Site) -> None:
    text = site.book.read_text()
    assert site.book.stat().st_mode & 0o777 == 0o600
    assert not [word for word in ("Halvane", "Cleat", "moves", "sailing", "2026") if word in text]


def test_two_surveys_that_come_to_stand_in_one_folder_are_told(site: Site) -> None:
    (site.notes / "curlew").rename(site.notes / "Brent")
    with pytest.raises(NotesError, match="same folder"):
        site.made()


def test_what_is_told_of_files_covers_the_last_of_many_and_what_links_lead_to(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(record, "_SOON", -(10**18))
    salted, folder, away = record.Salted("0" * 32), tmp_path / "boat", tmp_path / "away.md"
    (folder / "photos").mkdir(parents=True)
    for name in ("a.md", "b.md", "photos/c.jpg", "z.md"):
        (folder / name).write_text(name)
    away.write_text("away")
    (folder / "link.md").symlink_to(away)
    told = [(salted.seen(folder), salted.placed(folder), salted.seen(folder / "a.md", ["../away.md"]))]
    for path in (away, folder / "z.md", folder / "photos" / "c.jpg"):
        path.write_text("changed")
        told.append(
            (salted.seen(folder), salted.placed(folder), salted.seen(folder / "a.md", ["../away.md"]))
        )
    assert all(len(set(each)) == 4 and "" not in each for each in zip(*told, strict=True))
    monkeypatch.setattr(record, "MOST_FILES", 3)
    assert salted.seen(folder) == salted.seen(folder / "a.md") == ""
    assert salted.placed(folder) == told[-1][1]


def test_a_photo_that_has_not_changed_is_not_made_again(site: Site, monkeypatch: pytest.MonkeyPatch) -> None:
    brent = site.notes / "brent"
    for name, color in (("a.jpg", "red"), ("b.jpg", "blue")):
        Image.new("RGB", (64, 48), color).save(brent / name)
    note(brent, "It moves.", "b.jpg")
    assert site.made() == ["brent"]
    published: list[str] = []
    real = making.photos.publish
    monkeypatch.setattr(making.photos, "publish", lambda p, n: published.append(p.name) or real(p, n))
    note(brent, "It moves a lot.", "a.jpg: new\n  - b.jpg")  # the old one is second now
    assert site.made() == ["brent"]
    assert published == ["a.jpg"]
    other = site.to.parent / "other"
    publish.publish(site.notes, other, site.wish)
    assert tree(other) == tree(site.to)
    published.clear()
    (site.to / "brent" / "photos" / "photo-01.jpg").write_bytes(b"somebody's own")
    assert site.made() == ["brent"]
    assert published == ["a.jpg"]
    assert tree(other) == tree(site.to)


def test_a_photo_that_is_not_what_its_header_said_has_its_pages_made_anew(
    site: Site, monkeypatch: pytest.MonkeyPatch
) -> None:
    Image.new("RGB", (64, 48), "red").save(site.notes / "brent" / "a.jpg")
    note(site.notes / "brent", "It moves.", "a.jpg")
    assert site.made() == ["brent"]
    real = making.photos.foreseen
    monkeypatch.setattr(making.photos, "foreseen", lambda *of: replace(real(*of), width=999, original="0"))
    other = site.to.parent / "other"
    publish.publish(site.notes, other, site.wish)
    assert tree(other) == tree(site.to)


def test_photos_of_a_survey_with_mistakes_are_not_worked_on(
    site: Site, monkeypatch: pytest.MonkeyPatch
) -> None:
    """They are begun before the report is computed, which may find that there is none to be made."""
    monkeypatch.setattr(making.photos, "publish", lambda path, note: time.sleep(0.1))
    Image.new("RGB", (64, 48), "red").save(site.notes / "brent" / "a.jpg")
    note(site.notes / "brent", "It moves.", "a.jpg")
    others = set(threading.enumerate())  # such as those that a cluster's test leaves behind
    with pytest.raises(NotesError, match="lies after 2001"):
        site.made(today=datetime.date(2001, 1, 1))
    assert set(threading.enumerate()) <= others


@pytest.mark.parametrize("way", ["threads", "fork"])
def test_any_executor_gives_the_same_bytes(site: Site, way: str, monkeypatch: pytest.MonkeyPatch) -> None:
    if way == "threads":
        executor = ThreadPoolExecutor(2)
    else:
        executor = ProcessPoolExecutor(2, multiprocessing.get_context("fork"))
    real = workers.Workers
    monkeypatch.setattr(workers, "Workers", lambda j, c, n: real(j, c, n, executor=executor))
    other = site.to.parent / "other"
    publish.publish(site.notes, other, site.wish)
    assert tree(other) == tree(site.to)


def test_mistakes_come_back_from_another_process(site: Site) -> None:
    note(site.notes / "brent", "It moves.", "gone.jpg")
    (site.notes / "curlew" / "cover.md").write_text("---\nsurvey: none such\n---\n")
    before = tree(site.to)
    with pytest.raises(NotesError) as error:
        site.made(jobs=2)
    assert {Path(p.place.file).parent.name for p in error.value.problems if p.level == "error"} == {
        "brent",
        "curlew",
    }
    assert tree(site.to) == before


def test_a_cluster_of_two_workers_gives_the_same_bytes(site: Site) -> None:
    distributed = pytest.importorskip("distributed", reason="the extra cluster is not installed")
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None
    ) as cluster:
        other = site.to.parent / "other"
        publish.publish(site.notes, other, replace(site.wish, cluster=cluster.scheduler_address))
    assert tree(other) == tree(site.to)


def test_a_cluster_that_cannot_be_had_is_told(site: Site, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(__import__("sys").modules, "distributed", None)
    with pytest.raises(PacketError, match=r"reportgen\[cluster\]"):
        site.made(cluster="tcp://127.0.0.1:1", fresh=True)


def test_a_report_that_is_followed_counts(tmp_path: Path) -> None:
    wish = Wish(publish.edition_named("buyer"), theme.find(), charts=False)
    first, second = tmp_path / "first", tmp_path / "second"
    note(made.write(first, {**made.TINY, "number": "one"}), "It moves.")
    publish.publish(first, tmp_path / "out1", wish)
    cover = {"number": "two", "inspected": "2026-04-01", "follows": "../out1/report.json"}
    note(made.write(second, {**made.TINY, **cover}), "It still moves.")
    done = publish.publish(second, tmp_path / "out2", wish)
    assert [len(done.entries), done.unchanged] == [1, 0]
    done = publish.publish(second, tmp_path / "out2", wish)
    assert [len(done.entries), done.unchanged] == [0, 1]
    note(first, "It moves by a hand.")
    publish.publish(first, tmp_path / "out1", wish)
    done = publish.publish(second, tmp_path / "out2", wish)
    assert [len(done.entries), done.unchanged] == [1, 0]


def test_only_so_many_warnings_are_kept(site: Site, monkeypatch: pytest.MonkeyPatch) -> None:
    whole = publish.publish(site.notes, site.to, replace(site.wish, fresh=True))
    monkeypatch.setattr(publish, "MOST_TOLD", 2)
    done = publish.publish(site.notes, site.to, replace(site.wish, fresh=True))
    assert done.warnings == whole.warnings[:2]
    assert done.untold == len(whole.warnings) - 2 > 0


def test_a_changed_guide_has_the_list_made_and_no_report(site: Site) -> None:
    guide = site.notes / "guide"
    guide.mkdir()
    (guide / "one.md").write_text("---\npage: How to read\n---\nSlowly.\n")
    assert publish.publish(site.notes, site.to, site.wish).unchanged == 3
    assert "Slowly." in (site.to / "guide" / "index.html").read_text()
    (guide / "one.md").write_text("---\npage: How to read\n---\nTwice.\n")
    done = publish.publish(site.notes, site.to, site.wish)
    assert (done.entries, done.unchanged) == ((), 3)
    assert "Twice." in (site.to / "guide" / "index.html").read_text()
    before = stands(site.to)
    assert publish.publish(site.notes, site.to, site.wish).unchanged == 3
    assert stands(site.to) == before
    (guide / "one.md").unlink()
    guide.rmdir()
    assert publish.publish(site.notes, site.to, site.wish).unchanged == 3
    assert not (site.to / "guide").exists()
