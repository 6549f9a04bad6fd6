"""A re-inspection of each demo boat, published for each reader: all accounted for, discreet, light."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from bs4 import BeautifulSoup

from reportgen import racks
from tests import again, leaks
from tests.project import CONTENT, run

PAGE_LIMIT = 150_000  # bytes of a report's page with its charts
# one worker publishes for all of these
pytestmark = pytest.mark.xdist_group("again")

EDITIONS = tuple(racks.all_of("editions", "EDITION"))


@pytest.fixture(scope="module")
def packets(demo: Mapping[str, Path], tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, Path]:
    """Give the published re-inspections by edition; each follows the buyer's file of the first report."""
    base = tmp_path_factory.mktemp("again")
    for boat in again.BOATS:
        again.write(boat, demo["buyer"] / boat, base / "notes")
    found = {}
    for edition in EDITIONS:
        found[edition] = base / edition
        result = run("publish", str(base / "notes"), "--to", str(found[edition]), "--for", edition)
        assert result.returncode == 0, result.stderr
    return found


def _data(packets: Mapping[str, Path], edition: str, boat: str) -> dict[str, Any]:
    read: dict[str, Any] = json.loads((packets[edition] / boat / "report.json").read_text("utf-8"))
    return read


@pytest.mark.parametrize("boat", again.BOATS)
def test_every_earlier_finding_has_its_line(
    packets: Mapping[str, Path], demo: Mapping[str, Path], boat: str
) -> None:
    """The list of what became of them is the earlier report's list, number by number."""
    then = json.loads((demo["buyer"] / boat / "report.json").read_text("utf-8"))
    now = _data(packets, "buyer", boat)
    accounts = now["follow_up"]["accounts"]
    assert [(a["id"], a["ref"]) for a in accounts] == [(f["id"], f["ref"]) for f in then["findings"]]
    became = Counter(a["became"] for a in accounts)
    assert became["put right and checked"] >= 1
    assert became["still open"] >= 1
    assert became["not looked at again"] >= 5
    refs = {f["id"]: f["ref"] for f in now["findings"]}
    assert all(refs[a["id"]] == a["ref"] for a in accounts if a["id"] in refs)
    first = {f["first_reported"] for f in now["findings"] if f["id"] in {a["id"] for a in accounts}}
    assert first == {then["survey"]["reported"]}


@pytest.mark.parametrize("boat", again.BOATS)
def test_readings_stand_beside_those_of_the_first_report(packets: Mapping[str, Path], boat: str) -> None:
    """At least two readings were taken again; what was outside is within where its finding is corrected."""
    now = _data(packets, "buyer", boat)
    repeated = [r for r in now["readings"] if r["repeats"].startswith("earlier/")]
    assert len(repeated) >= 2
    assert all(r["past"] and r["then_and_now"] for r in repeated)
    proof = {e for f in now["findings"] if f["state"] == "checked" for e in f["checked"].get("evidence", [])}
    mended = [r for r in repeated if r["id"] in proof and r["past"][-1]["outcome"] == "outside"]
    assert mended
    assert {r["outcome"] for r in mended} == {"within"}


@pytest.mark.parametrize("edition", EDITIONS)
def test_pages_are_light_and_lead_somewhere(packets: Mapping[str, Path], edition: str) -> None:
    """No page is over the limit, no anchor is there twice, and every link within a packet has its target."""
    pages = sorted(packets[edition].glob("*/*.html"))
    parsed = {page: BeautifulSoup(page.read_bytes(), "lxml") for page in pages}
    ids = {page: [tag["id"] for tag in soup.find_all(id=True)] for page, soup in parsed.items()}
    assert {p.name for p in pages} >= {"index.html", "then-and-now.html"}
    for page, soup in parsed.items():
        assert page.stat().st_size < PAGE_LIMIT, page
        assert len(set(ids[page])) == len(ids[page])
        for link in soup.find_all("a", href=True):
            file, _, anchor = str(link["href"]).partition("#")
            target = (page.parent / file).resolve() if file else page
            if ":" not in file:
                assert target.exists(), link
                assert not anchor or anchor in ids[target], link


def test_public_edition_keeps_both_reports_secrets(packets: Mapping[str, Path]) -> None:
    """No private value of the first or the second notes stands in the seller's packet."""
    for boat in again.BOATS:
        secrets = leaks.private_values(CONTENT / boat) | leaks.private_values(again.NOTES / boat)
        assert len(secrets) > 5
        assert not leaks.found_in(packets["seller"] / boat, secrets)


def test_private_file_followed_for_the_public_shows_no_money_or_payer(packets: Mapping[str, Path]) -> None:
    """What the buyer's file of the first report says of costs and payers is not in the public one."""
    for boat in again.BOATS:
        for finding in _data(packets, "seller", boat)["findings"]:
            assert not {"pays", "repair", "cost", "settle_by"} & set(finding)
        text = (packets["seller"] / boat / "report.json").read_text("utf-8")
        assert '"invoice"' not in text


def test_photos_before_and_after_are_both_there(packets: Mapping[str, Path]) -> None:
    """A finding put right shows the first report's photo and the new one; the public one only what may."""
    elbow = next(f for f in _data(packets, "buyer", "quillback")["findings"] if f["ref"] == 1)
    before, after = elbow["photos_before"], elbow["checked"]["photos"]
    assert (len(before), len(after)) == (1, 1)
    folder = packets["buyer"] / "quillback/photos"
    assert all((folder / f"{p['name']}.jpg").is_file() for p in (*before, *after))
    public = next(f for f in _data(packets, "seller", "quillback")["findings"] if f["ref"] == 1)
    assert "photos_before" not in public
    assert len(public["checked"]["photos"]) == 1


def test_addendum_says_what_it_is_about(packets: Mapping[str, Path]) -> None:
    """Its head names the report that it adds to and its scope; the parts nobody saw are still told."""
    page = (packets["buyer"] / "packhorse/index.html").read_text("utf-8")
    head = BeautifulSoup(page, "html5lib").find("header")
    assert head
    said = " ".join(head.get_text().split())
    assert "Addendum to report PH-2026-07, version 1, inspected 18 August 2026 and 10 September 2026." in said
    assert "the starboard gearcase and the starboard leak-down; nothing else." in said.lower()
    assert len(_data(packets, "buyer", "packhorse")["coverage"]["not_inspected"]) >= 8


def test_sheet_is_never_ticked_beforehand(packets: Mapping[str, Path]) -> None:
    """The closing-out sheet has seven empty boxes for each recommendation that is open, and no control."""
    for boat in again.BOATS:
        soup = BeautifulSoup((packets["buyer"] / boat / "closing-out.html").read_bytes(), "html5lib")
        waiting = [
            f
            for f in _data(packets, "buyer", boat)["findings"]
            if f["severity"] in ("stop", "settle", "schedule") and f["state"] != "checked"
        ]
        boxes = soup.find_all(class_="box")
        assert len(boxes) == 7 * len(waiting)
        assert not [b for b in boxes if b.get_text().strip()]
        assert not soup.find_all(["input", "form", "script"])
        assert [f"close-{f['id']}" for f in waiting] == [
            s["id"] for s in soup.find_all("section", id=lambda i: bool(i) and str(i).startswith("close-"))
        ]
    assert not (packets["seller"] / "quillback/closing-out.html").exists()


def test_follow_up_of_a_masked_file_knows_the_boat(demo: Mapping[str, Path], tmp_path: Path) -> None:
    """The seller's file of the first report, masked and without what is sound, can be followed too."""
    notes = again.write("packhorse", demo["seller"] / "packhorse", tmp_path)
    result = run("publish", str(notes), "--to", str(tmp_path / "out"))
    assert result.returncode == 0, result.stderr
    data = json.loads((tmp_path / "out/report.json").read_text("utf-8"))
    assert data["follow_up"]["left_out"] == [["sound", 4]]
    assert "leaves out 4 sound" in (tmp_path / "out/index.html").read_text("utf-8")
