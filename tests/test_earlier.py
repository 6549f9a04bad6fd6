"""The report.json of an earlier report: read like notes of a stranger, every fault told with its spot."""

from __future__ import annotations

import json
import os
import tempfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from reportgen import earlier, jsonin
from reportgen.errors import Place, Problems
from reportgen.model import Earlier
from tests.following import document, errors, finding, reading, write

HERE = Place("survey/cover.md", 2, 1, "", (("follows", 5, 1),))


def _read(folder: Path, data: Any, name: str = "report.json") -> tuple[Earlier | None, list[str]]:
    text = data if isinstance(data, str) else json.dumps(data)
    (folder / "report.json").write_text(text, encoding="utf-8")
    problems = Problems()
    return earlier.read(name, folder, HERE, problems), [str(p) for p in problems]


def test_whole_report_is_read(tmp_path: Path) -> None:
    """Findings, readings, boat and days come over as notes would hold them."""
    data = document(
        [finding("hose", evidence=["cylinders"], repair={"cost": {"low": "1", "likely": "2", "high": "3"}})],
        readings=[reading("cylinders", [150, None])],
        price={"currency": "USD", "offered": "900.00", "material_threshold": 5},
        left_out={"findings": {"sound": 2}},
    )
    found, told = _read(tmp_path, data)
    assert told == []
    assert found is not None
    assert (found.number, found.version, found.on.isoformat()) == ("AL-11", 1, "2026-05-02")
    hose = found.findings[0].finding
    assert (hose.severity, hose.evidence) == ("settle", ("earlier/cylinders",))
    assert hose.first_reported
    assert hose.first_reported.isoformat() == "2026-05-04"
    assert hose.repair
    assert hose.repair.cost
    assert str(hose.repair.cost.likely) == "2.00"
    assert [str(c.quantity) for c in found.readings[0].last.values[0][1]] == ["150 psi", "None"]
    assert found.last_ref == 3  # two numbers were given to findings that this edition leaves out
    assert found.price
    assert str(found.price.offered) == "900.00"


@pytest.mark.parametrize("format_", ["reportgen report 1", "reportgen report 1.0", "reportgen report 1.7"])
def test_formats_of_this_main_version_are_read(tmp_path: Path, format_: str) -> None:
    """A file of the first format, without anything that came later, is accepted."""
    found, told = _read(tmp_path, document([finding("hose")], format=format_))
    assert found is not None
    assert told == []


FAULTS: dict[str, tuple[Any, str]] = {
    "newer": (document(format="reportgen report 2"), "format: reportgen report 2 is newer than"),
    "no format": (document(format=None), "format: is not reportgen's"),
    "another program's": ({"format": "other 1"}, "format: is not reportgen's"),
    "list": ("[]", "is no report"),
    "no JSON": ('{"format": ', "line 1, column 12: is no JSON from here on"),
    "empty": ("", "line 1, column 1: is no JSON"),
    "deep": ('{"a":' * 9000 + "1" + "}" * 9000, "is nested deeper than any report"),
    "not a number": ('{"a": NaN}', "NaN is no number"),
    "huge number": ('{"a": 1e999999999}', "a number beyond all measure"),
    "long number": ('{"a": ' + "9" * 5000 + "}", "a number beyond all measure"),
    "twice": ('{"a": 1, "a": 2}', "a key stands twice"),
    "altered": (
        document(fingerprint="0000 0000 0000 0000"),
        "fingerprint: is not that of what the file holds",
    ),
    "severity": (document([finding("hose", 1, "sttle")]), "findings[0].severity: found 'sttle'"),
    "basis": (document([finding("a"), finding("b", 2, basis="x")]), "findings[1].basis: found 'x'"),
    "day": (
        document([finding("hose", first_reported="soon")]),
        "findings[0].first_reported: 'soon' is not a date",
    ),
    "id": (document([finding("../etc")]), "findings[0].id: is no id"),
    "two ids": (document([finding("a"), finding("a", 2)]), "findings: the id a stands twice"),
    "two numbers": (document([finding("a"), finding("b")]), "findings: the number 1 stands twice"),
    "number": (document([finding("a", ref=-1)]), "findings[0].ref: is no whole number"),
    "no title": (document([finding("a", title=7)]), "findings[0].title: is no text"),
    "hidden signs": (document([finding("a", title="a\u202eb")]), "findings[0].title: holds signs"),
    "long": (document([finding("a", risk="x" * 5000)]), "findings[0].risk: is longer than 4000"),
    "many": (document([finding(f"a{n}", n) for n in range(1001)]), "findings: holds more than 1000"),
    "findings": ({**document(), "findings": {}}, "findings: is no list"),
    "survey": (document(survey=3), "survey: is missing or no object"),
    "no day": (document(survey={"number": "A", "inspected": []}), "survey.inspected: names no day"),
    "type": (document(vessel={"type": "car"}), "vessel.type: found 'car'"),
    "outcome": (document(readings=[reading("c", [1], "fine")]), "readings[0].outcome: is 'fine'"),
    "unit": (
        document(readings=[reading("c", [1], values={"a": [{"quantity": {"value": 1, "unit": "x"}}]})]),
        "readings[0].values.a[0].quantity: has the unknown unit 'x'",
    ),
    "value": (
        document(readings=[reading("c", [1], values={"a": [{"quantity": {"value": "1", "unit": "V"}}]})]),
        "readings[0].values.a[0].quantity: is no number",
    ),
    "past": (
        document(
            readings=[reading("c", [1], past=[{"on": "2026-05-02", "number": "A", "outcome": "within"}])]
        ),
        "readings[0].past: days are not in order",
    ),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_fault_is_told_at_follows_with_its_spot(tmp_path: Path, fault: str) -> None:
    """Nothing of a faulty file is used, and one line says where it is named, where in it, and what."""
    data, says = FAULTS[fault]
    found, told = _read(tmp_path, data)
    assert found is None
    assert len(told) == 1
    assert told[0].startswith("survey/cover.md:5:1: follows: report.json: ")
    assert says in told[0]
    assert len(told[0]) < 300


def test_fault_stops_publishing(tmp_path: Path) -> None:
    """The same comes out of a survey's notes, at the line of the key, and nothing else beside it."""
    body = "## X\n```finding\nseverity: watch\nevidence: [earlier/c]\nlook again: often\n```\n"
    told = errors(write(tmp_path / "boat", '{"format": "reportgen report 9"}', body))
    assert len(told) == 1
    assert told[0].startswith(f"{tmp_path}/boat/cover.md:4:1: follows: then/report.json: format: ")


NAMES = {
    "/etc/passwd": "no path from the survey's folder",
    "~/report.json": "no path from the survey's folder",
    "C:/report.json": "no path from the survey's folder",
    "then\\report.json": "no path from the survey's folder",
    "http://example.com/report.json": "there is no such file",
    "cover.md": "no report.json",
    "none.json": "there is no such file",
    "folder.json": "no ordinary file",
    "pipe.json": "no ordinary file",
}


@pytest.mark.parametrize("name", NAMES)
def test_only_a_file_beside_the_notes_is_opened(tmp_path: Path, name: str) -> None:
    """An absolute path, a folder, a pipe and what is no JSON are refused without being opened."""
    (tmp_path / "folder.json").mkdir()
    os.mkfifo(tmp_path / "pipe.json")
    found, told = _read(tmp_path, document(), name)
    assert found is None
    assert NAMES[name] in told[0]


def test_huge_file_is_not_opened(tmp_path: Path) -> None:
    """Over 5 MB is refused by its size."""
    (tmp_path / "big.json").write_bytes(b" " * (jsonin.MOST_BYTES + 1))
    found, told = _read(tmp_path, document(), "big.json")
    assert found is None
    assert "5,000,001 bytes; no report is over 5,000,000" in told[0]
    (tmp_path / "latin.json").write_bytes(b'{"a": "\xe9"}')
    assert "is no UTF-8 text at byte 7" in _read(tmp_path, document(), "latin.json")[1][0]


def test_the_path_may_lead_out_of_the_folder(tmp_path: Path) -> None:
    """Reports of one boat stand beside each other, so the earlier one lies outside."""
    (tmp_path / "new").mkdir()
    (tmp_path / "report.json").write_text(json.dumps(document()), encoding="utf-8")
    problems = Problems()
    assert earlier.read("../report.json", tmp_path / "new", HERE, problems)
    assert not list(problems)


def test_photos_come_from_beside_the_file_only(tmp_path: Path) -> None:
    """A photo is used if it lies in the earlier packet and is one; a name that leads out is a fault."""
    (tmp_path / "photos").mkdir()
    Image.new("RGB", (40, 30)).save(tmp_path / "photos/photo-01.jpg")
    (tmp_path / "photos/photo-02.jpg").write_text("no picture", encoding="utf-8")
    (tmp_path / "photos/photo-04.jpg").symlink_to("/etc/passwd")
    named = [{"name": f"photo-0{n}", "shows": f"p{n}"} for n in (1, 2, 3, 4)]
    found, told = _read(tmp_path, document([finding("hose", photos=named)]))
    assert told == []
    assert found is not None
    assert [(p.shows, p.taken and p.taken.isoformat()) for p in found.findings[0].photos] == [
        ("p1", "2026-05-02")
    ]
    assert not found.findings[0].photos[0].public
    found, told = _read(tmp_path, document([finding("hose", photos=[{"name": "../../x"}])]))
    assert found is None
    assert "findings[0].photos[0].name: is no id" in told[0]


def test_names_hidden_by_an_edition_are_no_fault(tmp_path: Path) -> None:
    """Another reader's edition hides who did the work; it is read as not named."""
    done = {"on": "2026-05-03", "how": "renewed"}
    found, told = _read(
        tmp_path, document([finding("hose", reported_done=done, checked=done)], people={}, edition="yard")
    )
    assert told == []
    assert found is not None
    hose = found.findings[0].finding
    assert hose.state == "checked"
    assert hose.checked
    assert hose.checked.by == "not named"


def test_markup_and_dead_links_of_the_file_do_no_harm(tmp_path: Path) -> None:
    """Its text is read as Markdown of a note: no HTML of its own, and no link to a place of the old page."""
    text = "see [the hose](#gone) <script>alert(1)</script>"
    found, _ = _read(tmp_path, document([finding("hose", prose=text)]))
    assert found is not None
    assert found.findings[0].prose == "see the hose <script>alert(1)</script>"


json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=10), inner, max_size=3),
    max_leaves=8,
)


def _paths(value: Any, at: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    found = [at] if at else []
    for key, each in value.items() if isinstance(value, dict) else enumerate(value):
        found.append((*at, key))
        if isinstance(each, dict | list):
            found += _paths(each, (*at, key))
    return found


BASE = document(
    [
        finding(
            "hose", 1, "stop", checked={"by": "A", "on": "2026-05-03", "how": "seen"}, pays={"seller": 100}
        ),
        finding(
            "pump",
            2,
            evidence=["c"],
            repair={"labour": {"low": "1", "likely": "2", "high": "3", "unit": "h"}},
        ),
    ],
    readings=[reading("c", [150, None])],
    coverage={"not_inspected": [{"part": "tank", "system": "fuel", "why": "no access"}]},
)
PATHS = sorted(set(_paths(BASE)), key=str)


@given(st.sampled_from(PATHS), json_values)
def test_whatever_stands_anywhere_is_read_or_told(at: tuple[Any, ...], value: Any) -> None:
    """Any value in any place gives a report or one located message, never a traceback."""
    data = json.loads(json.dumps(BASE))
    spot = data
    for key in at[:-1]:
        spot = spot[key]
    spot[at[-1]] = value
    with tempfile.TemporaryDirectory() as name:
        found, told = _read(Path(name), data)
    assert (found is None) == (len(told) == 1)
