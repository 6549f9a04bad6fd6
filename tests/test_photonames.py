"""Photos from note to packet: named anew, blurred wherever listed, only those that the edition shows."""

from __future__ import annotations

import hashlib
import io
import json
import os
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from reportgen import packet, publish, report, theme
from reportgen.errors import NotesError
from tests import made

PLATE = "blur: [{left: 10, top: 10, width: 30, height: 30, hides: number plate}]"
ARROW = "mark: [{arrow: {left: 70, top: 70}, label: crack}]"
COLOURS = {"riser.jpg": (200, 30, 30), "owner.jpg": (30, 160, 30), "berth.jpg": (30, 30, 200)}


def finding(title: str, severity: str, *entries: str) -> str:
    keys = [f"severity: {severity}", "photos:", *(f"  - {{{entry}}}" for entry in entries)]
    return f"## {title}\n```finding\n" + "\n".join(keys) + "\n```\n\nSeen.\n\n"


@pytest.fixture
def survey(tmp_path: Path) -> Path:
    """A survey whose three photos each have a colour of their own and a camera's time and remark in them."""
    folder = tmp_path / "boat"
    folder.mkdir()
    for name, colour in COLOURS.items():
        exif = Image.Exif()
        exif[0x010E] = "kept private"
        exif.get_ifd(0x8769)[0x9003] = "2026:02:27 14:05:59"
        image = Image.new("RGB", (640, 480), colour)
        image.paste((255, 255, 255), (64, 48, 256, 192))
        image.save(folder / name, exif=exif, quality=95)
    return folder


def packet_of(folder: Path, edition: str) -> Path:
    to = folder.parent / edition
    wish = publish.Wish(publish.edition_named(edition), theme.find("base"))
    publish.publish(folder, to, wish)
    return to


def data_of(published: Path) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((published / "report.json").read_text(encoding="utf-8"))
    return found


def colour(file: Path, at: tuple[int, int]) -> tuple[int, ...]:
    with Image.open(file) as image:
        return image.convert("RGB").getpixel(at)  # type: ignore[return-value]


def test_what_is_blurred_once_is_blurred_wherever_the_file_is_listed(survey: Path) -> None:
    """Under another finding, by another spelling or through a link: all show the same copy."""
    (survey / "again.jpg").symlink_to("riser.jpg")
    made.write(
        survey,
        made.TINY,
        finding("Riser", "settle", "photo: riser.jpg, shows: a")
        + finding("Hose", "settle", f"photo: ./riser.jpg, shows: b, {PLATE}")
        + finding("Clamp", "settle", "photo: again.jpg, shows: c"),
    )
    shown = made.built(survey)
    notes = report.photos_of(shown)
    assert [(n.name, len(n.blur)) for n in notes] == [("photo-01", 1)] * 3
    to = packet_of(survey, "buyer")
    assert [p.name for p in sorted((to / "photos").iterdir())] == ["photo-01-small.jpg", "photo-01.jpg"]
    assert colour(to / "photos" / "photo-01.jpg", (160, 120)) != (255, 255, 255)
    assert (to / "index.html").read_text(encoding="utf-8").count(
        "Blurred here: one part (number plate)."
    ) == 3


def test_other_marks_make_another_copy(survey: Path) -> None:
    """A file that is marked in one place and bare in another is published twice, each as the note says."""
    body = finding("Riser", "settle", f"photo: riser.jpg, shows: a, {ARROW}", "photo: riser.jpg, shows: b")
    to = packet_of(made.write(survey, made.TINY, body), "buyer")
    with Image.open(to / "photos" / "photo-01.jpg") as one, Image.open(to / "photos" / "photo-02.jpg") as two:
        assert one.tobytes() != two.tobytes()
    page = (to / "index.html").read_text(encoding="utf-8")
    assert page.count("Marked for this report: an arrow to “crack”.") == 1
    assert [p["marked"] for p in data_of(to)["photos"]] == [["arrow"], []]


def test_data_say_where_and_what(survey: Path) -> None:
    """report.json has each region in percent, as numbers, beside the caption, and each photo's size."""
    body = finding("Riser", "settle", f"photo: riser.jpg, shows: a, {PLATE}, {ARROW}")
    to = packet_of(made.write(survey, made.TINY, body), "buyer")
    data = data_of(to)
    assert data["findings"][0]["photos"] == [
        {
            "shows": "a",
            "name": "photo-01",
            "blur": [{"left": 10, "top": 10, "width": 30, "height": 30, "hides": "number plate"}],
            "mark": [{"arrow": {"left": 70, "top": 70}, "label": "crack"}],
        }
    ]
    assert data["photos"] == [
        {
            "name": "photo-01",
            "file": "photos/photo-01.jpg",
            "width": 640,
            "height": 480,
            "blurred": 1,
            "marked": ["arrow"],
            "original_sha256": hashlib.sha256((survey / "riser.jpg").read_bytes()).hexdigest(),
            "camera_clock": "2026-02-27T14:05",
        }
    ]


def test_originals_are_told_of_in_private_editions_only(survey: Path) -> None:
    """Checksums and the camera's clock; the day that the writer gives stands before the camera's."""
    body = finding("Riser", "settle", "photo: riser.jpg, shows: a, public: yes")
    body += finding("Hose", "settle", "photo: owner.jpg, shows: b, public: yes, taken: 2026-02-26")
    made.write(survey, made.TINY, body)
    sums = [hashlib.sha256((survey / name).read_bytes()).hexdigest() for name in ("riser.jpg", "owner.jpg")]
    buyer, seller = (packet_of(survey, name) for name in ("buyer", "seller"))
    page = (buyer / "index.html").read_text(encoding="utf-8").replace("\N{NO-BREAK SPACE}", " ")
    assert [p["original_sha256"] for p in data_of(buyer)["photos"]] == sums
    assert page.count("hold the <span class=nb>SHA-256</span> of each original") == 1
    assert page.count("Taken 27 February 2026, 14:05, by the camera’s clock.") == 1
    assert page.count("Taken 26 February 2026.") == 1
    for file in (p for p in seller.rglob("*") if p.is_file() and p.name != "SHA256SUMS"):
        told = file.read_bytes().replace("\N{NO-BREAK SPACE}".encode(), b" ").decode("latin-1")
        assert not [
            word for word in (*sums, "SHA-256 of", "14:05", "2026-02-27", "27 February") if word in told
        ], file.name
    assert len(list((seller / "photos").iterdir())) == 4


def test_a_photo_that_the_edition_may_not_show_is_not_in_its_packet(survey: Path) -> None:
    """Neither one that is not public nor one of a finding that is left out: told by the copies' colours."""
    body = finding("Riser", "settle", "photo: riser.jpg, shows: a, public: yes")
    body += finding("Hose", "settle", "photo: owner.jpg, shows: b")
    body += finding("Clamp", "sound", "photo: berth.jpg, shows: c, public: yes")
    made.write(survey, made.TINY, body)
    seen = {}
    for name in ("buyer", "seller"):
        to = packet_of(survey, name)
        seen[name] = {
            file
            for copy in (to / "photos").iterdir()
            for file, own in COLOURS.items()
            if max(abs(a - b) for a, b in zip(colour(copy, (5, 5)), own, strict=True)) < 12
        }
        assert len(list((to / "photos").iterdir())) == 2 * len(seen[name])
    assert seen == {"buyer": set(COLOURS), "seller": {"riser.jpg"}}


def test_a_private_word_is_not_drawn_either(survey: Path) -> None:
    """A label that names the client is drawn as the edition shows it: told, and without the name."""
    front = {**made.TINY, "people": made.TINY["people"] | {"client": {"name": "Quillon Verhey"}}}
    mark = "mark: [{at: {left: 40, top: 60}, label: %s}]"
    page, copies = [], []
    for label in ("Quillon Verhey", "'[left out]'"):
        body = finding("Riser", "settle", f"photo: riser.jpg, shows: a, public: yes, {mark % label}")
        wish = publish.Wish(publish.edition_named("buyer"), theme.find("base"))
        # the buyer's edition without the names of persons: what is drawn has to follow the view
        shut = wish.edition.shows - {"people"}
        wish = publish.Wish(made.replaced(wish.edition, shows=shut), wish.theme)
        to = survey.parent / f"packet-{len(copies)}"
        publish.publish(made.write(survey, front, body), to, wish)
        copies.append((to / "photos" / "photo-01.jpg").read_bytes())
        page.append((to / "index.html").read_text(encoding="utf-8"))
    assert "Quillon" not in page[0]
    assert "the words “[left out]”" in page[0]
    assert copies[0] == copies[1]


@pytest.mark.parametrize("name", ["buyer", "seller"])
def test_a_damaged_photo_stops_the_packet_at_the_line_that_lists_it(survey: Path, name: str) -> None:
    """The old packet stays whole, to the byte."""
    body = finding("Riser", "settle", "photo: riser.jpg, shows: a, public: yes")
    made.write(survey, made.TINY, body)
    to = packet_of(survey, name)
    before = {p.relative_to(to): p.read_bytes() for p in to.rglob("*") if p.is_file()}
    whole = (survey / "riser.jpg").read_bytes()
    (survey / "riser.jpg").write_bytes(whole[: len(whole) * 2 // 3])
    line = (
        (survey / "cover.md")
        .read_text(encoding="utf-8")
        .split("\n")
        .index("  - {photo: riser.jpg, shows: a, public: yes}")
    )
    with pytest.raises(NotesError) as error:
        packet_of(survey, name)
    [problem] = [p for p in error.value.problems if p.level == "error"]
    assert problem.found == "riser.jpg is cut short or damaged"
    assert (Path(problem.place.file).name, problem.place.line) == ("cover.md", line + 1)
    assert {p.relative_to(to): p.read_bytes() for p in to.rglob("*") if p.is_file()} == before
    assert not [p for p in to.parent.iterdir() if p.name not in ("boat", name, f".{name}.reportgen")]
    assert packet.read_sums(to) is not None


def test_originals_are_only_read(survey: Path) -> None:
    """Bytes, times and rights of the files stay; photos that may only be read can be published."""
    body = finding("Riser", "settle", f"photo: riser.jpg, shows: a, {PLATE}, {ARROW}")
    made.write(survey, made.TINY, body)
    path = survey / "riser.jpg"
    path.chmod(0o444)
    os.utime(path, ns=(1_700_000_000_000_000_000, 1_700_000_000_000_000_001))
    before = path.read_bytes(), path.stat().st_mtime_ns, path.stat().st_mode
    packet_of(survey, "buyer")
    assert (path.read_bytes(), path.stat().st_mtime_ns, path.stat().st_mode) == before


def test_publishing_again_gives_the_same_bytes(survey: Path) -> None:
    """Blurred and marked photos too, whichever of them is ready first."""
    entries = [f"photo: {name}, shows: a, {PLATE}, {ARROW}" for name in COLOURS]
    made.write(survey, made.TINY, finding("Riser", "settle", *entries))
    first = {p.name: p.read_bytes() for p in packet_of(survey, "buyer").rglob("*.jpg")}
    second = {p.name: p.read_bytes() for p in packet_of(survey, "buyer").rglob("*.jpg")}
    assert first == second
    assert len(first) == 6
    with Image.open(io.BytesIO(first["photo-01.jpg"])) as image:
        assert not image.getexif()
        assert "icc_profile" not in image.info
