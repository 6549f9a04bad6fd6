"""The demo from its notes to its packets: whole, valid, offline, the same bytes each time, and discreet."""

from __future__ import annotations

import hashlib
import json
import os
import re
import shutil
import subprocess
import sys
from collections import Counter
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from bs4 import BeautifulSoup
from PIL import Image, PngImagePlugin

from tests import leaks
from tests.project import CONTENT, EDITIONS, READERS, TOP, publish, run

SEVERITIES = {"stop", "settle", "schedule", "watch", "sound"}
OUTCOMES = {"within", "outside", "no limit applies", "not taken"}
FORMS = {"bars", "band", "grid", "curve", "trend", "counts"}  # of charts that readings are drawn as
PAGE_LIMIT = 150_000  # bytes of a report's page with its charts
PARTS = {
    *("format", "edition", "survey", "vessel", "people", "conditions", "use_limits", "findings", "readings"),
    *("identity", "hull_number", "coverage", "estimate", "settlement", "cautions", "sources"),
}


def _surveys() -> list[Path]:
    return sorted(p.parent for p in CONTENT.rglob("*.md") if leaks.front_matter(p).get("survey"))


def _reports(demo: Mapping[str, Path], edition: str) -> dict[str, dict[str, Any]]:
    """Give each report.json of an edition by its folder's name."""
    found = {
        p.parent.name: json.loads(p.read_text("utf-8")) for p in sorted(demo[edition].rglob("report.json"))
    }
    assert found, f"no report.json in the {edition} edition"
    return found


def _pages(demo: Mapping[str, Path], edition: str, parser: str = "lxml") -> dict[str, BeautifulSoup]:
    every = sorted(demo[edition].rglob("*.html"))
    assert every
    return {str(p.relative_to(demo[edition])): BeautifulSoup(p.read_bytes(), parser) for p in every}


def test_notes_are_without_a_mistake() -> None:
    """`check` has no error to tell about the demo."""
    result = run("check", "content")
    assert result.returncode == 0, result.stderr


def test_demo_is_as_large_as_promised(demo: Mapping[str, Path]) -> None:
    """Three surveys hold at least 15 notes, 45 findings over all severities, 35 readings of 20 kinds."""
    reports = _reports(demo, "buyer").values()
    severities = Counter(f["severity"] for r in reports for f in r["findings"])
    notes = [n for s in _surveys() for n in s.glob("*.md") if not n.name.startswith(("_", "."))]
    assert len(_surveys()) == len(reports) == 3
    assert len(notes) >= 15
    assert set(severities) == SEVERITIES
    assert severities.total() >= 45
    assert sum(len(r["readings"]) for r in reports) >= 35
    assert len({reading["kind"] for r in reports for reading in r["readings"]}) >= 20
    assert all(len({reading["kind"] for reading in r["readings"]}) >= 8 for r in reports)


def test_demo_shows_every_case(demo: Mapping[str, Path]) -> None:
    """The demo has checked and reported-done findings, a false listing, an unanswered reading, currencies."""
    reports = list(_reports(demo, "buyer").values())
    findings = [f for r in reports for f in r["findings"]]
    assert {"open", "reported done", "checked"} <= {f["state"] for f in findings}
    assert any(f["id"].startswith("unanswered-") for f in findings)
    assert any(line["agrees"] is False for r in reports for line in r["identity"])
    assert len({r["estimate"]["currency"] for r in reports}) >= 2
    assert {o["outcome"] for r in reports for o in r["readings"]} == OUTCOMES


def test_demo_draws_every_form_of_chart(demo: Mapping[str, Path]) -> None:
    """The pages of the demo show a chart of each form that a reading can have, in either edition."""
    for edition in EDITIONS:
        pages = [p for n, p in _pages(demo, edition).items() if n.endswith("/measurements.html")]
        assert len(pages) == len(_surveys())
        drawn = {c for page in pages for f in page.find_all("figure", class_="chart") for c in f["class"]}
        assert drawn - {"chart"} == FORMS


@pytest.mark.parametrize("survey", [pytest.param(s, id=s.name) for s in _surveys()])
def test_readings_outside_are_answered(demo: Mapping[str, Path], survey: Path) -> None:
    """What is outside names its finding; the one left unanswered on purpose is listed by the tool."""
    report = _reports(demo, "buyer")[survey.name]
    outside = [r for r in report["readings"] if r["outcome"] == "outside"]
    listed = {f["id"] for f in report["findings"]}
    assert outside
    assert all(r["answered_by"] and set(r["answered_by"]) <= listed for r in outside)
    unanswered = [r["id"] for r in outside if any(a.startswith("unanswered-") for a in r["answered_by"])]
    assert unanswered == (["leak-down-starboard-engine"] if survey.name == "packhorse" else [])


def test_demo_has_values_and_a_boat_without_one(demo: Mapping[str, Path]) -> None:
    """Two boats have comparables and a stated value for each way of stating it; the third has no value."""
    values = {name: r.get("valuation") for name, r in _reports(demo, "buyer").items()}
    assert [name for name, value in values.items() if value is None] == ["quillback"]
    assert {v["stated_for"] for v in values.values() if v} == {"as found", "after repair"}
    assert any(c["over"] for v in values.values() if v for c in v["comparables"])
    for name, page in _pages(demo, "buyer").items():
        told = page.find(id="passage-valuation") is not None
        assert told is (name in {f"{n}/index.html" for n, v in values.items() if v}), name
    for name, page in _pages(demo, "seller").items():
        assert page.find(id="passage-valuation") is None, name
        # the page of words is the same in every edition, so that it tells nothing
        assert name.endswith("/words.html") or "comparable" not in page.get_text().lower(), name


def test_what_is_left_out_of_the_material_defects_says_why(demo: Mapping[str, Path]) -> None:
    """A stop that doesn't count for its age stands with whose word that is; without one nothing is said."""
    pages = [p.read_text("utf-8") for p in sorted(demo["buyer"].rglob("index.html"))]
    told = [
        ("Left out as normal for age" in page, "by common practice it makes no" in page) for page in pages
    ]
    assert set(told) == {(True, True), (False, False)}


def test_demo_mentions_nearly_everything(demo: Mapping[str, Path]) -> None:
    """Every outcome of a checklist's item appears, and a handful of items a boat is not mentioned."""
    covered = [r["coverage"] for r in _reports(demo, "buyer").values()]
    for each in covered:
        outcomes = {item["outcome"] for item in each["items"]}
        assert {"sound", "finding", "not inspected", "not mentioned", "not fitted"} <= outcomes
        assert all(item["why"] for item in each["not_inspected"])
    every = {item["outcome"] for c in covered for item in c["items"]}
    assert {"operated", "powered up only", "measured, not judged"} <= every
    assert all(1 <= c["counts"]["not_mentioned"] <= 8 for c in covered)
    assert all(c["beyond_checklist"] for c in covered)


@pytest.mark.parametrize("edition", READERS)
def test_json_has_every_part(demo: Mapping[str, Path], edition: str) -> None:
    """report.json has the parts that the note format promises, for the edition it says it is."""
    for name, report in _reports(demo, edition).items():
        hidden = set() if edition == "buyer" else {"estimate", "settlement"}
        assert PARTS - hidden <= set(report), name
        assert report["edition"] == edition
        assert {r["outcome"] for r in report["readings"]} <= OUTCOMES
        assert all(limit["source"] for r in report["readings"] for limit in r["limits"])


@pytest.mark.parametrize("edition", READERS)
def test_no_edition_drops_what_protects(demo: Mapping[str, Path], edition: str) -> None:
    """Every edition has all use limits, stop findings, cautions and what was not inspected."""
    whole = _reports(demo, "buyer")
    for name, report in _reports(demo, edition).items():
        assert [u["what"] for u in report["use_limits"]] == [u["what"] for u in whole[name]["use_limits"]]
        assert _ids(report, "stop") == _ids(whole[name], "stop")
        for part in ("hazard",):
            assert [c[part] for c in report["cautions"]] == [c[part] for c in whole[name]["cautions"]]
        assert len(report["coverage"]["not_inspected"]) == len(whole[name]["coverage"]["not_inspected"])
        assert report["coverage"]["not_mentioned"] == whole[name]["coverage"]["not_mentioned"]
        assert report["coverage"]["counts"] == whole[name]["coverage"]["counts"]


def _ids(report: Mapping[str, Any], severity: str) -> list[str]:
    return sorted(f["id"] for f in report["findings"] if f["severity"] == severity)


@pytest.mark.parametrize("edition", READERS)
def test_pages_are_plain_and_strict(demo: Mapping[str, Path], edition: str) -> None:
    """Each page has one h1, a language, a title, a strict policy, and neither script nor inline style."""
    # read as a browser reads, which also finds what stands where it should not
    for name, page in _pages(demo, edition, "html5lib").items():
        assert len(page.find_all("h1")) == 1, name
        assert page.html["lang"], name
        assert page.title.get_text(strip=True), name
        assert not page.find_all("script"), name
        assert not [
            t for t in page.find_all(True) if any(a == "style" or a.startswith("on") for a in t.attrs)
        ]
        policy = page.find("meta", attrs={"http-equiv": "Content-Security-Policy"})["content"]
        rules = dict(r.strip().split(" ", 1) for r in policy.split(";") if r.strip())
        assert rules["default-src"] == "'none'", name
        assert rules["base-uri"] == rules["form-action"] == "'none'", name
        assert "script-src" not in rules, name
        assert not re.search(r"unsafe|https?:|\*", policy), name


@pytest.mark.parametrize("edition", READERS)
def test_pages_are_light(demo: Mapping[str, Path], edition: str) -> None:
    """A page with its charts stays under 150 KB."""
    sizes = {str(p.relative_to(demo[edition])): p.stat().st_size for p in demo[edition].rglob("*.html")}
    assert not {name: size for name, size in sizes.items() if size > PAGE_LIMIT}


@pytest.mark.parametrize("language", ["de", "fr"])
def test_no_page_is_heavy_in_a_wordier_language(tmp_path: Path, language: str) -> None:
    """The largest report keeps to the same size in the two languages with the most letters."""
    publish(tmp_path, "buyer", CONTENT / "stille-wouw", "--language", language)
    sizes = {p.name: p.stat().st_size for p in tmp_path.glob("*.html")}
    assert {"index.html", "measurements.html"} < sizes.keys()
    assert not {name: size for name, size in sizes.items() if size > PAGE_LIMIT}
    if language == "fr":
        crowded = {name: _crowded((tmp_path / name).read_bytes()) for name in sizes}
        assert not {name: found for name, found in crowded.items() if found}


def _crowded(page: bytes) -> list[str]:
    """Give each sign of French words that stands without its thin blank; the writer's English has none."""
    body = BeautifulSoup(page, "lxml").body
    assert body is not None
    for other in body.select("[lang]:not([lang=fr]), code, pre, style"):
        other.decompose()
    text = "\n".join(body.strings)
    assert text.count("\N{NARROW NO-BREAK SPACE}") > 5
    return re.findall(r".{0,30}(?<!\N{NARROW NO-BREAK SPACE})[:;?!](?=\s|$)", text)


@pytest.mark.parametrize("edition", READERS)
def test_charts_have_their_numbers_beside_them(demo: Mapping[str, Path], edition: str) -> None:
    """Each chart is a picture with real text, a name, and a table of its numbers straight after it."""
    charts = [(n, s) for n, p in _pages(demo, edition).items() for s in p.find_all("svg") if s.find("text")]
    assert charts
    for name, svg in charts:
        assert svg.get("role") == "img", name
        assert svg.get("aria-label") or svg.get("aria-labelledby") or svg.find("title"), name
        figure = svg.find_parent("figure")
        assert figure is not None, name
        beside = figure.find_next_sibling("details")
        assert beside is not None, name
        assert beside.find("table") is not None, name


def _digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


@pytest.mark.parametrize("edition", READERS)
def test_sums_cover_every_file(demo: Mapping[str, Path], edition: str) -> None:
    """SHA256SUMS lists all files of its folder with their true sums, and stock sha256sum agrees."""
    lists = sorted(demo[edition].rglob("SHA256SUMS"))
    assert len(lists) == 1 + len(_surveys())
    covered: set[Path] = set()
    for sums in lists:
        rows = [line.split("  ", 1) for line in sums.read_text(encoding="utf-8").splitlines()]
        assert {name: digest for digest, name in rows} == {
            name: _digest(sums.parent / name) for _, name in rows
        }
        covered |= {sums, *(sums.parent / name for _, name in rows)}
        if shutil.which("sha256sum"):
            command = ["sha256sum", "-c", "--strict", "--quiet", "SHA256SUMS"]
            assert subprocess.run(command, cwd=sums.parent, capture_output=True).returncode == 0
    assert {p for p in demo[edition].rglob("*") if p.is_file()} == covered


# Read by every Python that a build starts: another day, in years, for whoever asks for the time.
LATER = """
import datetime, time
_by, _seconds, _date, _datetime = 400_000_000, time.time, datetime.date, datetime.datetime
class _Like(type):
    def __instancecheck__(cls, value): return isinstance(value, cls.__mro__[1])
class Date(_date, metaclass=_Like):
    @classmethod
    def today(cls): return _date.fromtimestamp(_seconds() + _by)
class Datetime(_datetime, metaclass=_Like):
    @classmethod
    def now(cls, tz=None): return _datetime.fromtimestamp(_seconds() + _by, tz)
    @classmethod
    def today(cls): return cls.now()
    @classmethod
    def utcnow(cls): return cls.now()
datetime.date, datetime.datetime = Date, Datetime
time.time = lambda: _seconds() + _by
_gm, _local = time.gmtime, time.localtime
time.gmtime = lambda s=None: _gm(time.time() if s is None else s)
time.localtime = lambda s=None: _local(time.time() if s is None else s)
"""


def _elsewhere(folder: Path) -> dict[str, str]:
    """Give the environment of another machine at another time."""
    (folder / "sitecustomize.py").write_text(LATER, encoding="utf-8")
    path = os.pathsep.join([str(folder), str(TOP)])
    kept = {k: v for k, v in os.environ.items() if not k.startswith(("LC_", "LANG", "PYTHON", "COV"))}
    other = {"LC_ALL": "C", "TZ": "Pacific/Kiritimati", "PYTHONHASHSEED": "4711", "HOME": str(folder)}
    return kept | other | {"PYTHONPATH": path, "MPLCONFIGDIR": str(folder / "fonts")}


def _tree(folder: Path) -> dict[str, str]:
    return {str(p.relative_to(folder)): _digest(p) for p in sorted(folder.rglob("*")) if p.is_file()}


@pytest.mark.parametrize("edition", EDITIONS)
def test_same_notes_give_the_same_bytes(demo: Mapping[str, Path], edition: str, tmp_path: Path) -> None:
    """Another folder, clock, time zone, locale and hash seed make no difference in any byte."""
    notes = shutil.copytree(CONTENT, tmp_path / "other name" / "content", copy_function=shutil.copy)
    command = [sys.executable, "-m", "reportgen", "publish", str(notes), "--to", "out", "--for", edition]
    env = _elsewhere(tmp_path)
    result = subprocess.run(command, cwd=tmp_path, env=env, capture_output=True, text=True, umask=0o077)
    assert result.returncode == 0, result.stderr
    assert _tree(tmp_path / "out") == _tree(demo[edition])


def test_the_other_clock_is_another(tmp_path: Path) -> None:
    """The environment of the test above really tells another day, so that the test means something."""
    code = "import datetime, time; print(datetime.date.today(), datetime.datetime.now(), time.localtime()[0])"
    told = [
        subprocess.run(
            [sys.executable, "-c", code], env=env, capture_output=True, text=True, check=True
        ).stdout
        for env in (_elsewhere(tmp_path), None)
    ]
    years = [[int(y) for y in re.findall(r"\b(20\d\d)\b", text)] for text in told]
    assert [there - here for there, here in zip(*years, strict=True)] == pytest.approx([12.5] * 3, abs=1)


def test_publishing_again_changes_nothing(demo: Mapping[str, Path], tmp_path: Path) -> None:
    """A second run over a finished site leaves every byte as it was."""
    again = shutil.copytree(demo["buyer"], tmp_path / "site")
    result = run("publish", "content", "--to", str(again), "--for", "buyer")
    assert result.returncode == 0, result.stderr
    assert _tree(again) == _tree(demo["buyer"])


@pytest.mark.parametrize("survey", [pytest.param(s, id=s.name) for s in _surveys()])
@pytest.mark.parametrize("edition", READERS)
def test_edition_keeps_what_is_private(demo: Mapping[str, Path], edition: str, survey: Path) -> None:
    """No value that a reader may not see stands in that packet, in any spelling, name or picture's data."""
    values = leaks.private_values(survey, edition)
    assert len(values) >= {"buyer": 1, "seller": 5}.get(edition, 2)
    assert not leaks.found_in(demo[edition] / survey.name, values)


@pytest.mark.parametrize("survey", [pytest.param(s, id=s.name) for s in _surveys()])
def test_the_search_finds_what_may_be_shown(demo: Mapping[str, Path], survey: Path) -> None:
    """The same search finds the seller's secrets where the buyer reads them; so its silence counts."""
    values = leaks.private_values(survey)
    shown = " ".join(leaks.found_in(demo["buyer"], values))
    assert not [name for name in values if name not in shown and re.search("people|price offered", name)]


@pytest.mark.parametrize(
    "text",
    [
        "<p>Marla <b>Quen</b>by</p>",
        "<p>MARLA-QUENBY</p>",
        "<p>Marla&nbsp;Qu&#101;nby</p>",
        "<p>offered 36,500 dollars</p>",
        "<p>offered 36 500 dollars</p>",
        '<img alt="marla quenby">',
    ],
)
def test_leak_is_found_in_every_spelling(tmp_path: Path, text: str) -> None:
    """The search sees a value split by tags, written as entities, in capitals or with separators."""
    (tmp_path / "page.html").write_text(text, encoding="utf-8")
    assert leaks.found_in(tmp_path, {"name": "Marla Quenby", "offer": "36500"})


def test_leak_is_found_in_names_and_pictures(tmp_path: Path) -> None:
    """The search reads file names and what a picture carries, and takes no number out of a longer one."""
    info = PngImagePlugin.PngInfo()
    info.add_text("Author", "Marla Quenby")
    Image.new("RGB", (2, 2)).save(tmp_path / "a.png", pnginfo=info)
    (tmp_path / "marla_quenby.txt").write_text("1365009", encoding="utf-8")
    found = leaks.found_in(tmp_path, {"name": "Marla Quenby", "offer": "36500"})
    assert found == ["a.png: name", "marla_quenby.txt: name"]
