"""The demo's pictures: all that the notes name, drawn by the script that lies beside them, light and true."""

from __future__ import annotations

import io
import re
import subprocess
import sys
from collections.abc import Callable, Iterator, Mapping
from decimal import Decimal
from pathlib import Path
from types import ModuleType
from typing import Any

import PIL
import pytest
import yaml
from PIL import Image

from reportgen import photos
from reportgen.block import Blur, PhotoNote
from tests.project import CONTENT, TOP

SURVEYS = ("packhorse", "quillback", "stille-wouw")
LIMIT, TOTAL = 250_000, 4_000_000  # bytes of one picture and of all
SIZES = {(1600, 1200), (1200, 1600)}
CHEAP = "gearcase-oil.jpg"

# One entry of a note's `photos`, long or short: its file, its caption, and what follows up to the next entry.
ENTRY = re.compile(
    r"^\s*- (?:photo: )?(?P<file>[\w-]+\.jpg)(?::|\n\s*shows:) (?P<shows>.*)"
    r"(?P<rest>(?:\n\s+(?:of|public|blur): .*)*)",
    re.MULTILINE,
)


class Blank:
    """A sheet that draws nothing and keeps what was lettered on it."""

    def __init__(self) -> None:
        self.words: list[str] = []

    def text(self, at: tuple[float, float], words: str, *_: Any, **__: Any) -> None:
        self.words.append(words)

    def __getattr__(self, name: str) -> Callable[..., None]:
        return lambda *_, **__: None


def _notes(survey: str) -> str:
    return "\n".join(p.read_text("utf-8") for p in sorted((CONTENT / survey).glob("*.md")))


def _named(survey: str) -> dict[str, re.Match[str]]:
    found = {m["file"]: m for m in ENTRY.finditer(_notes(survey))}
    # every mention of a picture is an entry that was understood
    assert sorted(set(re.findall(r"[\w-]+\.jpg", _notes(survey)))) == sorted(found)
    return found


@pytest.fixture(scope="module")
def drawing() -> Iterator[ModuleType]:
    """The drawing script, imported as it imports itself."""
    with pytest.MonkeyPatch.context() as patch:
        patch.syspath_prepend(str(CONTENT))
        import _draw

        yield _draw


def _lettered(drawing: ModuleType, survey: str, name: str) -> list[str]:
    sheet = Blank()
    drawing.PICTURES[survey][name].draw(sheet)
    return sheet.words


def test_the_blurred_number_is_gone(drawing: ModuleType) -> None:
    """The picture of the whole boat is public: its registration is under the blur, every stroke of it."""
    [entry] = [e for survey in SURVEYS for e in _named(survey).values() if "blur:" in e["rest"]]
    assert "ID 4409 ZZ" in _lettered(drawing, "quillback", entry["file"])
    said = re.search(r"blur: (\{.*\})", entry["rest"])
    assert said is not None
    sides = yaml.safe_load(said[1])
    assert sides.pop("hides") == "registration"
    path = CONTENT / "quillback" / entry["file"]
    note = PhotoNote(entry["file"], blur=(Blur(**{k: Decimal(str(v)) for k, v in sides.items()}),))
    with Image.open(path) as image, Image.open(io.BytesIO(photos.publish(path, note).large)) as copy:
        grey, published = image.convert("L"), copy.convert("L")
        # where the letters stand: the only dark strokes on the white bow above the stripe
        letters = [(x, y) for x in range(1064, 1200) for y in range(545, 600) if grey.getpixel((x, y)) < 90]
        kept = [at for at in letters if published.getpixel(at) < 90]
    assert len(letters) > 300
    assert not kept


@pytest.mark.parametrize("survey", SURVEYS)
def test_every_named_picture_is_drawn_and_there(drawing: ModuleType, survey: str) -> None:
    """The notes' list, the script's list and the folder's files are one and the same."""
    named = set(_named(survey))
    assert named
    assert named == set(drawing.PICTURES[survey])
    assert named == {p.name for p in (CONTENT / survey).glob("*.jpg")}


def test_pictures_are_light_and_of_one_size() -> None:
    """Each is a JPEG of the agreed size under 250 KB, without any data but its pixels."""
    paths = sorted(CONTENT.rglob("*.jpg"))
    assert not [p.name for p in paths if p.stat().st_size > LIMIT]
    assert sum(p.stat().st_size for p in paths) <= TOTAL
    for path in paths:
        with Image.open(path) as image:
            assert image.format == "JPEG", path.name
            assert image.size in SIZES, path.name
            assert not image.getexif(), path.name


def test_drawing_again_gives_the_same_picture(tmp_path: Path) -> None:
    """The script makes the committed file again: to the byte with the Pillow it was drawn with."""
    command = [sys.executable, "content/_draw.py", "--to", str(tmp_path), CHEAP]
    subprocess.run(command, cwd=TOP, check=True, capture_output=True)
    drawn = tmp_path / "packhorse" / CHEAP
    kept = CONTENT / "packhorse" / CHEAP
    assert [p.name for p in tmp_path.rglob("*.jpg")] == [CHEAP]
    pinned = re.search(r"(?im)^pillow==(\S+)", (TOP / ".ci/constraints.txt").read_text("utf-8"))
    assert pinned is not None
    if PIL.__version__ == pinned[1]:
        assert drawn.read_bytes() == kept.read_bytes()
    else:
        with Image.open(drawn) as new, Image.open(kept) as old:
            assert new.size == old.size


def test_a_needle_stands_where_its_caption_says(drawing: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each dial that a caption reads is drawn at that value and in that unit."""
    read = []
    for survey in SURVEYS:
        for name, entry in _named(survey).items():
            if said := re.search(r"needle at ([\d.]+) (\w+)", entry["shows"]):
                shown = _dials(drawing, survey, name, monkeypatch)
                assert shown == [(float(said[1]), said[2])], name
                read.append(name)
    assert read == ["gauge-three.jpg", "gauge-six.jpg", "rudder-play.jpg"]


def _dials(
    drawing: ModuleType, survey: str, name: str, monkeypatch: pytest.MonkeyPatch
) -> list[tuple[float, str]]:
    shown: list[tuple[float, str]] = []
    draw = drawing.PICTURES[survey][name].draw

    def keep(sheet: Blank, at: object, radius: float, scale: Any, value: float) -> None:
        assert scale.angle(scale.low) == scale.start
        assert scale.angle(scale.high) == scale.start + scale.sweep
        shown.append((value, scale.unit))

    monkeypatch.setitem(draw.__globals__, "dial", keep)
    draw(Blank())
    return shown


def test_silted_tubes_are_as_many_as_counted(drawing: ModuleType) -> None:
    """52 tubes, light through 35 of them: as many are drawn open."""
    counted = re.search(r"counted (\d+) tubes and could see light through (\d+)", _notes("stille-wouw"))
    assert counted is not None
    plate = drawing.PICTURES["stille-wouw"]["stack-silted.jpg"].draw.__globals__
    assert (sum(plate["ROWS"]), sum(plate["ROWS"]) - plate["CLOSED"]) == (int(counted[1]), int(counted[2]))


def test_numbers_of_the_boat_are_the_notes_own(drawing: ModuleType) -> None:
    """Hull and registration number are lettered as the notes have them."""
    for name, key in (("hull-number.jpg", "hull number"), ("boat-on-trailer.jpg", "registration")):
        number = re.search(rf"^\s+{key}: (.+)$", _notes("quillback"), re.MULTILINE)
        assert number is not None
        assert number[1] in _lettered(drawing, "quillback", name)


def test_a_public_picture_tells_no_number(drawing: ModuleType) -> None:
    """No picture marked `public: yes` carries a hull, registration or serial number, unless it is blurred."""
    public: Mapping[tuple[str, str], list[str]] = {
        (survey, name): _lettered(drawing, survey, name)
        for survey in SURVEYS
        for name, entry in _named(survey).items()
        if "public: yes" in entry["rest"] and "blur:" not in entry["rest"]
    }
    assert len(public) == 9
    for (survey, name), words in public.items():
        numbers = re.findall(r"^\s+(?:hull number|registration|serial): (.+)$", _notes(survey), re.MULTILINE)
        assert numbers
        assert not [n for n in numbers if n in " ".join(words)], name
