"""The work list: every open job once, after the strip-downs it needs, with blanks where prices go."""

from __future__ import annotations

import dataclasses
import datetime
import html
import json
import re
from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from bs4 import BeautifulSoup

from reportgen import pages, publish, racks, theme
from reportgen.blocks.conditions import Conditions
from reportgen.blocks.people import People, Surveyor
from reportgen.blocks.repair import Charge, Part, Repair, StripDown
from reportgen.cells import Cell, Head, Row, Table
from reportgen.editions import buyer, seller, yard
from reportgen.kind import Assessment, Judged
from reportgen.limits import Limit
from reportgen.model import Finding, Reading
from reportgen.passages import work_list
from reportgen.report import JudgedReading, Report
from reportgen.units import Quantity
from tests import made, money, sweep
from tests.project import CONTENT
from tests.test_worklist import report_of

BOATS = ("packhorse", "quillback", "stille-wouw")
NESTED = money.cover(
    strip_downs={
        "head off": StripDown(labour=money.hours("3"), trade="mechanical", also_needs=("manifold off",)),
        "manifold off": StripDown(
            labour=money.hours("1 / 1.5 / 2"), parts=(Part("gasket", 2, money.span("34"), "G-0041"),)
        ),
    }
)


def _values(*findings: Finding, **keys: Any) -> Mapping[str, Any]:
    values = work_list.PASSAGE.build(report_of(*findings, **keys), yard.EDITION)
    assert values is not None
    return values


def _page(report: Report) -> BeautifulSoup:
    found = [p for p in pages.arrange(report, yard.EDITION, {}, "0000") if p.file == "work-list.html"]
    return BeautifulSoup(theme.render(found[0], theme.find()), "html5lib")


VALVES = money.finding("valves", money.repair("1 / 1.5 / 2.5", needs=("head off",)), hazards=("hot parts",))
ELBOW = money.finding(
    "elbow",
    Repair(("manifold off",), money.hours("2"), "exhaust", (Part("elbow", 1, money.span("999"), "E-17"),)),
)


def test_groups_say_what_comes_first_and_what_they_wait_for() -> None:
    """The deeper strip-down names the step before it; the outer one stays open for both jobs."""
    first, second = _values(VALVES, ELBOW, cover=NESTED)["groups"]
    assert [first["strip_down"], second["strip_down"]] == ["manifold off", "head off"]
    assert second["after"] == [{"name": "manifold off", "step": 1}]
    assert [link["anchor"] for link in first["needed_by"]] == ["valves", "elbow"]
    assert [job["id"] for job in first["jobs"]] == ["elbow"]
    assert [job["id"] for job in second["jobs"]] == ["valves"]


def test_sums_and_promises_stand_apart() -> None:
    """The quote's table asks for sums alone; dates and who signs are lines to fill in behind it."""
    quote = _page(report_of(VALVES, ELBOW)).select_one(".whole")
    assert quote is not None
    assert [row.th.get_text() for row in quote.select("tbody tr")][-1:] == ["Total"]
    assert [line.get_text() for line in quote.select("dt")][:1] == ["Quote stands until"]
    assert len(quote.select("dd.write")) == len(quote.select("dt")) == 3


def test_lines_hold_hours_by_trade_and_part_numbers() -> None:
    """What is priced: labour with its trade, each part with its number and count; no figures of money."""
    first, _ = _values(VALVES, ELBOW, cover=NESTED)["groups"]
    assert first["lines"] == [
        {"what": "Labour", "number": "", "count": "1 h to 2 h, likely 1.5 h"},
        {"what": "gasket", "number": "G-0041", "count": "2"},
    ]
    assert first["jobs"][0]["lines"] == [
        {"what": "Labour, exhaust", "number": "", "count": "2 h"},
        {"what": "elbow", "number": "E-17", "count": "1"},
    ]


def test_job_at_a_fixed_cost_is_one_line_to_be_priced() -> None:
    """A fixed cost is a price of the report: the yard gets a line for the whole job instead."""
    [group] = _values(money.finding("hob", money.repair(cost="480.00")))["groups"]
    assert group["jobs"][0]["lines"] == [{"what": "The whole job", "number": "", "count": ""}]


def test_price_columns_are_blank_and_no_box_is_ticked() -> None:
    """Every cell for a price or an amount is empty; boxes are drawn, hold no mark and no form's state."""
    page = _page(report_of(VALVES, ELBOW, cover=NESTED))
    blanks = page.select("td[data-h='Price each'], td[data-h='Amount']")
    assert len(blanks) >= 10
    assert not [c for c in blanks if c.get_text(strip=True)]
    boxes = page.select(".box")
    assert len(boxes) == 2 * 2 + 2  # opened and closed up for each strip-down, done for each job
    assert not [b for b in boxes if b.get_text(strip=True) or not b["aria-label"].startswith("Box to tick")]
    assert not page.find_all(["input", "button"])
    assert not re.search("[☑☒✓✔✗✘]", page.get_text())
    assert not page.find_all(checked=True)


def test_job_waits_open_for_every_strip_down_it_needs() -> None:
    """A job that needs two strip-downs stands at the later one and names the other."""
    both = money.finding("both", money.repair("1", needs=("head off", "shaft out")))
    cover = money.cover(strip_downs={**(NESTED.strip_downs or {}), "shaft out": StripDown()})
    *_, last = _values(both, cover=cover)["groups"]
    assert last["strip_down"] == "head off"
    assert last["jobs"][0]["also_open"] == [{"name": "shaft out", "step": 1}]


def test_work_done_or_checked_is_left_out_and_said() -> None:
    """Neither is offered for a quote again, and the page names both, apart from each other."""
    done = money.finding("done", money.repair("1"), reported_done=money.DONE)
    checked = money.finding("checked", money.repair("1"), checked=money.CHECKED)
    values = _values(VALVES, done, checked, cover=NESTED)
    assert [link["anchor"] for link in values["reported_done"]] == ["done"]
    assert [link["anchor"] for link in values["checked"]] == ["checked"]
    assert values["jobs"] == 1
    text = _page(report_of(VALVES, done, checked, cover=NESTED)).get_text()
    assert re.search(r"reported done, and wait for the surveyor’s check:\s*\d\.\sDone", text)
    assert re.search(r"done and checked:\s*\d\.\sChecked", text)


def test_limit_of_work_only_reported_done_still_stands() -> None:
    """What a yard must not do stands on its list, also where nothing is left to do but the check."""
    done = money.finding(
        "done", money.repair("1"), "stop", forbids=("running the engine",), reported_done=money.DONE
    )
    (limit,) = _values(VALVES, done, cover=NESTED)["limits"]
    assert (limit["what"], [link["anchor"] for link in limit["because"]]) == ("running the engine", ["done"])
    text = _page(report_of(VALVES, done, cover=NESTED)).get_text()
    assert f"Work on {limit['awaiting'][0]} is reported done but not checked, so this stands." in text


def test_no_open_job_no_page() -> None:
    """With nothing to do there is no list, no page, and no link to one."""
    for findings in ((), (money.finding("old", money.repair("1"), checked=money.CHECKED),)):
        report = report_of(*findings)
        assert work_list.PASSAGE.build(report, yard.EDITION) is None
        own, *others = pages.arrange(report, yard.EDITION, {}, "0000")
        assert "work-list.html" not in {p.file for p in others} | {file for file, _ in own.appendices}


def test_seller_has_no_work_list(tmp_path: Path) -> None:
    """An edition that does not show the work has neither the list nor its page."""
    shown = made.shown(made.full(tmp_path), seller.EDITION)
    assert shown.work_list is None
    assert "work-list.html" not in {p.file for p in pages.arrange(shown, seller.EDITION, {}, "0000")}


def test_list_goes_when_the_edition_leaves_one_of_its_findings_out(tmp_path: Path) -> None:
    """The hours of the whole would tell of the work that is left out."""
    shy = dataclasses.replace(buyer.EDITION, leaves_out=frozenset({"settle"}))
    whole = made.full(tmp_path)
    assert made.shown(whole, buyer.EDITION).work_list is not None
    assert made.shown(whole, shy).work_list is None


# ---- the demo's boats, published


@pytest.fixture(scope="module")
def packets(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, Mapping[str, bytes]]:
    """Give the files of the demo as the yard and the buyer get them."""
    found = {}
    for edition in (yard.EDITION, buyer.EDITION):
        to = tmp_path_factory.mktemp("work") / edition.name
        publish.publish(CONTENT, to, publish.Wish(edition, theme.find(), charts=False))
        found[edition.name] = sweep.files_in(to)
    return found


@pytest.mark.parametrize("boat", BOATS)
@pytest.mark.parametrize("edition", ["yard", "buyer"])
def test_every_link_leads_somewhere(
    packets: Mapping[str, Mapping[str, bytes]], edition: str, boat: str
) -> None:
    """Links within the list and to the packet's other pages meet an anchor there, none is there twice."""
    files = {name.split("/", 1)[1]: data for name, data in packets[edition].items() if name.startswith(boat)}
    pages_ = {n: BeautifulSoup(data, "lxml") for n, data in files.items() if n.endswith(".html")}
    anchors = {n: [tag["id"] for tag in page.find_all(id=True)] for n, page in pages_.items()}
    links = [a["href"] for a in pages_["work-list.html"].find_all("a")]
    assert len(links) > 20
    for link in links:
        file, _, anchor = link.partition("#")
        assert not anchor or anchor in anchors[file or "work-list.html"], link
        assert file in {"", *files}, link
    assert len(set(anchors["work-list.html"])) == len(anchors["work-list.html"])
    assert [a["href"] for a in pages_["index.html"].select(".contents a")].count("work-list.html") == 1


@pytest.mark.parametrize("boat", BOATS)
def test_every_open_finding_with_work_stands_once(
    packets: Mapping[str, Mapping[str, bytes]], boat: str
) -> None:
    """What report.json lists as open and to be done is on the page once, with its action and its cautions."""
    files = packets["yard"]
    data = json.loads(files[f"{boat}/report.json"])
    wanted = {
        f["id"]
        for f in data["findings"]
        if f["state"] == "open" and (f["severity"] in ("stop", "settle", "schedule") or "repair" in f)
        if (f.get("repair") or {}).get("for_a_yard") is not False
    }
    page = BeautifulSoup(files[f"{boat}/work-list.html"], "html5lib")
    jobs = [job["id"].removeprefix("job-") for job in page.select(".job")]
    assert sorted(jobs) == sorted(wanted)
    assert len(jobs) >= 7
    for finding in data["findings"]:
        if finding["id"] in wanted:
            text = page.find(id=f"job-{finding['id']}").get_text(" ")
            assert all(hazard in text for hazard in finding.get("hazards", []))
            # the very cautions that the report hangs on the finding, each with its words at the end
            linked = [a["href"] for a in page.select(f"#job-{finding['id']} a[href^='#caution-']")]
            called = [f"#caution-{c['id']}" for c in data["cautions"] if finding["id"] in c["because"]]
            assert linked == called
            assert all(page.select_one(each) for each in linked)
            assert all(what in text for what in finding["forbids"])


def _sums(value: Any, name: str = "") -> set[Decimal]:
    """Give every sum of money of a report's JSON: texts that are a number, but for hours."""
    if isinstance(value, Mapping):
        hours = value.get("unit") == "h"
        return set() if hours else {s for key, each in value.items() for s in _sums(each, key)}
    if isinstance(value, list):
        return {s for each in value for s in _sums(each, name)}
    return {Decimal(value)} if isinstance(value, str) and re.fullmatch(r"-?\d+(\.\d+)?", value) else set()


def _figures(data: bytes) -> set[Decimal]:
    """Give every number of a file, with or without marks of thousands, in its text and in its tags."""
    text = html.unescape(data.decode("utf-8"))
    texts = (text, re.sub(r"<[^>]*>", "", text))
    found = {n for t in texts for n in re.findall(r"\d+(?:[,\u00a0\u202f ]\d{3})*(?:\.\d+)?", t)}
    return {Decimal(re.sub(r"[^\d.]", "", n)) for n in found}


MONEY = ("estimate", "settlement", "valuation", "price")


@pytest.mark.parametrize("boat", BOATS)
def test_no_price_and_no_payer_reaches_the_yard(
    packets: Mapping[str, Mapping[str, bytes]], boat: str
) -> None:
    """No sum that the buyer's packet holds stands in any file of the yard's, nor who pays or how."""
    whole = json.loads(packets["buyer"][f"{boat}/report.json"])
    sums = {s for part in MONEY for s in _sums(whole.get(part, {}))}
    sums |= {s for f in whole["findings"] for s in _sums(f.get("cost", {})) | _sums(f.get("repair", {}))}
    # whole sums of few digits are met by accident, as years, lengths and counts
    wanted = {s for s in sums if s >= 20 and (s != s.to_integral_value() or s >= 10_000)}
    wanted |= {s.quantize(Decimal(1)) for s in wanted if s >= 10_000}
    assert len(wanted) > 40
    names = [n for n in packets["yard"] if n.startswith(f"{boat}/") and n.endswith((".html", ".json"))]
    assert {f"{boat}/index.html", f"{boat}/work-list.html", f"{boat}/report.json"} <= set(names)
    assert f"{boat}/costs.csv" not in packets["yard"]
    assert not {n: f for n in names if (f := wanted & _figures(packets["yard"][n]))}
    # the same search finds them where they may stand, and not on the list that the buyer hands on
    assert len(wanted & _figures(packets["buyer"][f"{boat}/index.html"])) > 30
    assert not wanted & _figures(packets["buyer"][f"{boat}/work-list.html"])
    keys = _keys(json.loads(packets["yard"][f"{boat}/report.json"]))
    assert {"action", "labour", "work_list"} <= keys
    assert not keys & {"pays", "settle_by", "cost", "each", "known_before_offer", *MONEY[:3]}
    text = packets["yard"][f"{boat}/index.html"] + packets["yard"][f"{boat}/work-list.html"]
    assert not re.search("[Pp]aid by|settled by|price credit|no price yet", text.decode())


def _keys(value: Any) -> set[str]:
    if isinstance(value, Mapping):
        return set(value) | {key for each in value.values() for key in _keys(each)}
    return {key for each in value for key in _keys(each)} if isinstance(value, list) else set()


def test_yard_edition_has_numbers_to_order_by(packets: Mapping[str, Mapping[str, bytes]]) -> None:
    """Hull number and engine serials stand in full; client and seller don't."""
    text = packets["yard"]["quillback/work-list.html"].decode()
    assert "ZZP30417J213" in text
    assert "TB8-220961" in text
    everything = b"".join(data for name, data in packets["yard"].items() if name.endswith((".html", ".json")))
    assert b"Marla Quenby" not in everything
    assert b"Everett Tolsom" not in everything


def test_engines_are_told_apart(packets: Mapping[str, Mapping[str, bytes]]) -> None:
    """Each is named by what it is and by its own name, with the number that parts are ordered by."""
    page = BeautifulSoup(packets["yard"]["packhorse/work-list.html"], "html5lib")
    about = {row.dt.get_text(): row.dd.get_text() for row in page.dl.find_all("div")}
    assert about["Engine, port"].endswith("serial K115-70933")
    assert about["Engine, starboard"].endswith("serial K115-70948")


def test_list_is_the_same_whatever_day_it_is_printed() -> None:
    """A quote that has run out changes the estimate and not the work."""
    late = report_of(VALVES, ELBOW, cover=NESTED, on=money.DAY + datetime.timedelta(days=900))
    assert late.work_list == report_of(VALVES, ELBOW, cover=NESTED).work_list


def test_a_yard_knows_whom_to_ask() -> None:
    """The list stands alone on a workbench: it names the surveyor, how to reach her, and the report."""
    people = People(surveyor=Surveyor("Ruth Halvane", contact="ruth@example.com"))
    cover = dataclasses.replace(NESTED, people=people, number="RH-7", version=2)
    told = {row["name"]: row["value"] for row in _values(VALVES, cover=cover)["about"]}
    assert told["Questions on the work"] == "Ruth Halvane, ruth@example.com, report RH-7, version 2"


def test_a_reading_is_taken_again_at_the_last_job_that_rests_on_it() -> None:
    """Before both are done it shows nothing; one that was within needs no second look, a proof has a box."""
    elbow = dataclasses.replace(ELBOW, evidence=("pressures", "plugs"), done_when="it holds 10 psi")
    valves = dataclasses.replace(VALVES, evidence=("pressures", "plugs"))
    found = report_of(valves, elbow, cover=NESTED)
    taken = tuple(
        JudgedReading(Reading(id=id, title=id, kind="compression"), assessment=Assessment(outcome))
        for id, outcome in (("pressures", "outside"), ("plugs", "within"))
    )
    report = dataclasses.replace(found, readings=taken)
    first, second = dict(work_list.PASSAGE.build(report, yard.EDITION) or {})["groups"]
    [earlier], [last] = first["jobs"], second["jobs"]
    assert (earlier["id"], earlier["retest"]) == ("elbow", [])
    assert [link["anchor"] for link in earlier["later"]] == ["valves"]
    assert [r["id"] for r in last["retest"]] == ["pressures"]
    assert last["later"] == []
    text = _page(report).get_text(" ")
    assert re.search(r"Done when\s+It\s+holds\s+10\s+psi", text)


def _taken(kind: str, found: Assessment, **more: Any) -> JudgedReading:
    of = racks.all_of("kinds", "KIND")[kind.replace("-", "_")]
    reading = Reading(id="run", title="run", kind=kind, fields=of.fields(), **more)
    return JudgedReading(reading, of.title, assessment=found)


LIMIT = Limit("maximum", 92, "°C", "maximum", "invented manual 4A", "", "note", "coolant")
COOLANT = Cell("2200, coolant", Quantity(Decimal(97), "°C"))
TRIAL = Table("rpm", (Head("coolant", "coolant", "", "°C"),), (Row("2200", (COOLANT,)),))
HOT = Judged(LIMIT, 97, "outside", ("2200, coolant",), "2200, coolant")
KEPT = Judged(dataclasses.replace(LIMIT, of="speed"), 9, "within", (), "2200, speed")
UNEVEN = Judged(
    Limit("spread", 12, "%", "maximum", "invented manual 4A", "", "note"), 15.7, "outside", ("3",)
)
CELLS = tuple(Cell(str(n), Quantity(Decimal(10 + n), "%")) for n in range(1, 10))


@pytest.mark.parametrize(
    ("taken", "lines"),
    [
        (
            _taken("sea-trial", Assessment("outside", judged=(HOT, KEPT)), table=TRIAL),
            [("Coolant, at 2200 rpm", "97 °C", "at most 92 °C", "°C")],
        ),
        (
            _taken("leak-down", Assessment("no limit applies", values=(("lost", CELLS[:2]),))),
            [("Cylinder 1", "11 %", "", "%"), ("Cylinder 2", "12 %", "", "%")],
        ),
        (
            _taken("leak-down", Assessment("no limit applies", values=(("lost", CELLS),))),
            [("Leak-down", "9 values from 11 to 19 %", "", "%")],
        ),
        (
            _taken("compression", Assessment("outside", judged=(dataclasses.replace(HOT, where=("3",)),))),
            [("Coolant, at cylinder 3", "97 °C", "at most 92 °C", "°C")],
        ),
        (
            _taken("compression", Assessment("outside", judged=(UNEVEN,))),
            [("Spread", "15.7 %", "at most 12 %", "%")],
        ),
    ],
)
def test_new_value_has_a_blank_beside_the_old(
    taken: JudgedReading, lines: list[tuple[str, str, str, str]]
) -> None:
    """Each limit that was not kept, or each value where none applies: as found, asked, and room to write."""
    valves = dataclasses.replace(VALVES, evidence=("run",))
    report = dataclasses.replace(report_of(valves, cover=NESTED), readings=(taken,))
    rows = _page(report).select("dd table.quote tbody tr")
    told = [tuple(" ".join(cell.get_text().split()) for cell in row.select("th, td")) for row in rows]
    assert told == lines
    assert all("blank" in row.select("td")[-1]["class"] for row in rows)


def _seen(*conditions: Conditions, days: tuple[int, ...] = (9, 10)) -> str:
    inspected = tuple(datetime.date(2026, 6, day) for day in days)
    cover = dataclasses.replace(NESTED, conditions=conditions, inspected=inspected)
    told = {row["name"]: row["value"] for row in _values(VALVES, cover=cover)["about"]}
    return str(told["Last seen"])


def test_list_says_how_the_boat_was_left() -> None:
    """Many a yard's hand gets nothing but the printed list: what is tagged stands at its head."""
    cover = dataclasses.replace(NESTED, conditions=(Conditions(left=("valve closed", "cables off")),))
    told = {row["name"]: row["value"] for row in _values(VALVES, cover=cover)["about"]}
    assert told["Left so by the surveyor"] == "valve closed; cables off"
    assert "Left so by the surveyor" not in {row["name"] for row in _values(VALVES, cover=NESTED)["about"]}


def test_last_seen_is_the_last_day() -> None:
    """A boat that was afloat first and ashore last was last seen ashore, on that day alone."""
    ninth, tenth = (datetime.date(2026, 6, day) for day in (9, 10))
    afloat, ashore = Conditions(ninth, state=("afloat",)), Conditions(tenth, "Reed Basin", state=("ashore",))
    assert _seen(afloat, ashore) == "10 June 2026, ashore, Reed Basin"
    assert _seen(Conditions(state=("ashore",))) == "10 June 2026, ashore"
    assert _seen(Conditions(state=("afloat", "ashore"))) == "9 and 10 June 2026, afloat and ashore"
    assert _seen() == "10 June 2026"


def test_a_haul_out_is_hauled_and_launched() -> None:
    """A boat is not opened and closed up: a strip-down of charges alone is a lift."""
    cover = money.cover(
        strip_downs={"haul-out": StripDown(charges=(Charge("lift", flat=money.span("300")),))}
    )
    anodes = money.finding("anodes", money.repair("1", needs=("haul-out",)))
    report = report_of(anodes, cover=cover)
    text = " ".join(_page(report).get_text(" ").split())
    assert "Step 1: haul-out" in text
    assert "hauled out ." in text.replace("out.", "out .")
    assert "launched again, after all of:" in text
    assert "closed up" not in text
