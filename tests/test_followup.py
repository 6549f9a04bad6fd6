"""A survey that follows a report: every finding accounted for, nothing grave lost, values compared."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from reportgen import asjson, beside, edition, followcheck
from reportgen.blocks.finding import SEVERITIES
from reportgen.cells import Cell
from reportgen.editions import buyer, seller
from reportgen.errors import Problems
from reportgen.followup import BECAME
from reportgen.report import Report
from reportgen.units import Quantity
from tests.following import again, document, errors, finding, read, reading, warnings, write

BY = {"by": "Ruth Halvane", "on": "2026-06-01"}
DONE = {"by": "yard", "on": "2026-05-20", "how": "renewed"}
CHECKED = {**BY, "how": "sighted"}


def _became(made: Report) -> dict[str, str]:
    assert made.follow_up
    return {a.id: a.became for a in made.follow_up.accounts}


def _proven(folder: Path) -> dict[str, Any]:
    Image.new("RGB", (40, 30)).save(folder / "after.jpg")
    return {**CHECKED, "photos": [{"photo": "after.jpg", "shows": "the new part"}]}


def _cylinders(values: str, **keys: str) -> str:
    more = "".join(f"{name}: {value}\n" for name, value in keys.items())
    return f"```reading\nkind: compression\nunit: psi\ncylinders: {{{values}}}\n{more}```\n"


LIMIT = '{minimum: 120, source: "a maker\'s manual"}'


# ---- what becomes of a finding


def test_nothing_said_is_taken_over_with_number_and_day(tmp_path: Path) -> None:
    """An open finding stays with all that it said; it says that nobody looked, and since when it stands."""
    then = document([finding("hose", 4, "stop", hazards=["flooding"], prose="It weeps.")])
    _, made, problems = read(write(tmp_path, then))
    assert not problems.errors
    (listed,) = made.findings
    assert (listed.ref, listed.state, listed.finding.taken_over) == (4, "open", True)
    assert listed.finding.prose.markdown == "It weeps."
    assert str(listed.finding.first_reported) == "2026-05-04"
    assert [u.what for u in made.use_limits] == ["using hose"]
    assert _became(made) == {"hose": "not looked at again"}
    assert made.follow_up
    assert made.follow_up.new == ()


def test_written_again_overrides_only_what_is_written(tmp_path: Path) -> None:
    """Under the same heading only the keys that change are written; the rest is as it was."""
    then = document([finding("hose", 4, "stop", prose="It weeps.", where="port")])
    body = again("Hose", **{"where": "starboard", "looked at again": {**BY, "result": "still weeps"}})
    _, made, problems = read(write(tmp_path, then, body))
    assert not problems.errors
    (listed,) = made.findings
    assert (listed.finding.severity, listed.finding.where, listed.finding.risk) == (
        *("stop", "starboard"),
        "it fails",
    )
    assert listed.finding.prose.markdown == "It weeps."
    assert _became(made) == {"hose": "still open"}
    assert made.follow_up
    assert [(c.key, c.then, c.now) for c in made.follow_up.accounts[0].changes] == [
        ("where", "port", "starboard")
    ]


def test_reported_done_lifts_nothing_and_checked_does(tmp_path: Path) -> None:
    """The yard's word leaves the use limit standing; the check lifts it and makes the finding corrected."""
    then = document([finding("hose", 1, "stop"), finding("pump", 2, "stop")])
    tmp_path.mkdir(exist_ok=True)
    body = again("Hose", **{"reported done": DONE})
    body += again("Pump", **{"reported done": DONE, "checked": _proven(tmp_path)})
    _, made, problems = read(write(tmp_path, then, body))
    assert not problems.errors
    assert _became(made) == {"hose": "reported done, not checked", "pump": "put right and checked"}
    assert [u.what for u in made.use_limits] == ["using hose"]
    assert [u.what for u in made.lifted] == ["using pump"]


def test_what_was_checked_before_is_not_taken_over(tmp_path: Path) -> None:
    """A closed finding is history, unless it is found again: then its old check is gone."""
    closed = {"reported_done": DONE, "checked": CHECKED}
    then = document([finding("hose", 1, **closed), finding("pump", 2, **closed)])
    _, made, problems = read(write(tmp_path, then, again("Hose", severity="settle")))
    assert not problems.errors
    assert [(f.finding.id, f.state) for f in made.findings] == [("hose", "open")]
    assert _became(made) == {"hose": "found again", "pump": "checked before"}


def test_sound_then_is_not_sound_now(tmp_path: Path) -> None:
    """What was found sound is told as then; only a new version of the same report still lists it."""
    then = document([finding("belt", 1, "sound")])
    _, made, _ = read(write(tmp_path, then))
    assert not made.findings
    assert _became(made) == {"belt": "found sound then"}
    _, made, problems = read(write(tmp_path, then, number="AL-11", version=2, changes="a date"))
    assert not problems.errors
    assert [f.finding.id for f in made.findings] == ["belt"]
    assert made.follow_up
    assert made.follow_up.revision


def test_new_findings_go_on_counting(tmp_path: Path) -> None:
    """Numbers stay with their findings, and that of a withdrawn one is not given again."""
    then = document([finding("hose", 1), finding("pump", 7)], last_ref=9)
    body = again("Pump", withdrawn={**BY, "why": "it runs"})
    body += again("Alternator loose", severity="watch", **{"look again": "often"})
    _, made, problems = read(write(tmp_path, then, body))
    assert not problems.errors
    assert {f.finding.id: f.ref for f in made.findings} == {"hose": 1, "alternator-loose": 10}
    assert made.last_ref == 10
    assert made.follow_up
    assert made.follow_up.new == ("alternator-loose",)
    back = next(a for a in made.follow_up.accounts if a.id == "pump")
    assert (back.became, back.by, back.why) == ("withdrawn", "Ruth Halvane", "it runs")


def test_replacing_finding_is_reported_since_the_first(tmp_path: Path) -> None:
    """What stands instead of earlier findings keeps their first day, and is not called new."""
    then = document([finding("hose", 1, first_reported="2024-01-05"), finding("pump", 2)])
    body = again("Cooling", severity="settle", **{"instead of": ["hose", "pump"]})
    _, made, problems = read(write(tmp_path, then, body))
    assert not problems.errors
    assert _became(made) == {"hose": "replaced", "pump": "replaced"}
    assert str(made.findings[0].finding.first_reported) == "2024-01-05"
    assert made.follow_up
    assert made.follow_up.new == ()


def test_parts_nobody_saw_stay_told(tmp_path: Path) -> None:
    """What was not inspected then and is not spoken of now is still not inspected."""
    gaps = [{"part": "tank", "system": "fuel", "why": "no access"}, {"part": "keel bolts", "why": "afloat"}]
    then = document(coverage={"not_inspected": gaps})
    _, made, _ = read(write(tmp_path, then, **{"inspected items": ["keel bolts"]}))
    assert [(g.part, g.entry.why) for g in made.not_inspected] == [
        ("tank", "no access; not inspected in report AL-11 either")
    ]


def test_prices_of_another_rate_are_not_used_again(tmp_path: Path) -> None:
    """An earlier repair is priced only where this survey has the rates and strip-downs that it needs."""
    repair = {
        "labour": {"low": "1", "likely": "2", "high": "3", "unit": "h"},
        "parts": [{"what": "hose", "count": 1, "each": {"low": "9", "likely": "9", "high": "9"}}],
    }
    then = document([finding("hose", repair=repair, pays={"seller": 100})], price={"currency": "USD"})
    money: dict[str, Any] = {"price": {"currency": "USD"}, "rates": {"labour": 100}}
    _, made, _ = read(write(tmp_path / "a", then, **money))
    assert made.findings[0].cost
    assert str(made.findings[0].cost.likely) == "209.00"
    assert made.findings[0].finding.pays is None  # agreed for the earlier deal only
    for keys in ({}, {"price": {"currency": "EUR"}, "rates": {"labour": 100}}):
        _, made, problems = read(write(tmp_path / "b", then, **keys))
        assert not problems.errors
        assert made.findings[0].finding.repair
        assert made.findings[0].finding.repair.unpriced == "estimated in report AL-11, not estimated again"
        assert made.findings[0].cost is None


def test_reading_listed_by_the_tool_goes_on(tmp_path: Path) -> None:
    """What reportgen listed itself stays one finding when its reading is taken again and still outside."""
    listed = finding("unanswered-cylinders", 3, listed_by_tool=True, evidence=["cylinders"])
    then = document([listed], readings=[reading("cylinders", [100, 150])])
    body = "## Cylinders\n" + _cylinders("1: 101, 2: 150", limit=LIMIT)
    _, made, problems = read(write(tmp_path, then, body))
    assert not problems.errors
    assert [(f.ref, f.finding.id, f.finding.by_tool) for f in made.findings] == [
        (3, "unanswered-cylinders", True)
    ]
    assert made.findings[0].finding.evidence == ("earlier/cylinders", "cylinders")
    assert _became(made) == {"unanswered-cylinders": "still open"}


def test_listed_reading_that_is_within_now_is_told(tmp_path: Path) -> None:
    """The tool takes nothing of its own back: the writer is told to check it, and then it is closed."""
    listed = finding("unanswered-cylinders", 3, listed_by_tool=True, evidence=["cylinders"])
    then = document([listed], readings=[reading("cylinders", [100, 150])])
    body = "## Cylinders\n" + _cylinders("1: 148, 2: 150", limit=LIMIT)
    told = warnings(write(tmp_path, then, body))
    assert [t for t in told if "still listed, although cylinders is within; write a finding with id:" in t]
    body += again("Low", id="unanswered-cylinders", checked={**CHECKED, "evidence": ["cylinders"]})
    _, made, problems = read(write(tmp_path, then, body))
    assert not problems.errors
    assert [(f.finding.id, f.state) for f in made.findings] == [("unanswered-cylinders", "checked")]
    assert not [p for p in problems.warnings if "although" in p.found]


def test_check_by_a_reading_that_is_outside_is_told(tmp_path: Path) -> None:
    """A retest that is outside too is listed again by the tool, and the writer is told of it."""
    then = document([finding("valve", evidence=["cylinders"])], readings=[reading("cylinders", [100, 150])])
    body = "## Cylinders\n" + _cylinders("1: 101, 2: 150", limit=LIMIT)
    body += again("Valve", checked={**CHECKED, "evidence": ["cylinders"]})
    _, made, problems = read(write(tmp_path, then, body))
    assert [p for p in problems.warnings if p.found == "checked, although cylinders is outside its limit"]
    assert {f.finding.id: f.state for f in made.findings} == {
        "unanswered-cylinders": "open",
        "valve": "checked",
    }


# ---- what the writer must put right

MISTAKES: dict[str, tuple[Mapping[str, Any], str, str]] = {
    "stop lowered": (
        finding("hose", 1, "stop"),
        again("Hose", severity="watch", **{"look again": "often"}),
        "severity: a stop of the earlier report as watch, without why",
    ),
    "stop replaced": (
        finding("hose", 1, "stop"),
        again("Pipe", severity="settle", **{"instead of": "hose"}),
        "severity: a stop of the earlier report as settle, without why",
    ),
    "no proof": (
        finding("hose"),
        again("Hose", checked=CHECKED),
        "checked: put right since the earlier report, without a photo or a reading",
    ),
    "no retest": (
        finding("hose", evidence=["cylinders"], confidence="measured"),
        again("Hose", checked={**CHECKED, "photos": [{"photo": "after.jpg", "shows": "it"}]}),
        "checked: put right, but earlier/cylinders was outside and no later reading is named",
    ),
    "withdrawn by a stranger": (
        finding("hose"),
        again("Hose", withdrawn={**BY, "by": "yard", "why": "w"}),
        "withdrawn: 'yard' is not the surveyor or an inspector of this survey",
    ),
    "withdrawn unknown": (
        finding("hose"),
        again("Pipe", severity="settle", withdrawn={**BY, "why": "w"}),
        "withdrawn: withdrawn, but no earlier report has it",
    ),
    "instead of unknown": (
        finding("hose"),
        again("Pipe", severity="settle", **{"instead of": "hsoe"}),
        "instead of: 'hsoe' is no other finding of an earlier report; write hose",
    ),
    "retest of unknown": (
        finding("hose"),
        "## C\n" + _cylinders("1: 150", **{"retest of": "earlier/cylinder"}),
        "retest of: 'earlier/cylinder' is no reading of an earlier report; write earlier/cylinders",
    ),
    "retest of another kind": (
        finding("hose"),
        "## C\n```reading\nkind: battery\nretest of: earlier/cylinders\nbatteries: {house: 12.6}\n```\n",
        "retest of: 'earlier/cylinders' is a compression reading, this one is battery",
    ),
    "evidence unknown": (
        finding("hose"),
        again("Hose", evidence=["earlier/nothing"]),
        "evidence: 'earlier/nothing' is no reading or finding of this survey",
    ),
    "id of a reading": (
        finding("hose"),
        "## Hose\n" + _cylinders("1: 150"),
        "'hose' is the id of a finding of the report that is followed; write another id:",
    ),
}


@pytest.mark.parametrize("mistake", MISTAKES)
def test_mistake_is_told_at_its_place(tmp_path: Path, mistake: str) -> None:
    """Each way of losing a finding, or of closing one without proof, stops publishing with its own line."""
    old, body, says = MISTAKES[mistake]
    Image.new("RGB", (40, 30)).save(tmp_path / "after.jpg")
    then = document([old], readings=[reading("cylinders", [100])])
    told = errors(write(tmp_path, then, body))
    assert [line for line in told if says in line], told
    assert len(told) == 1
    assert told[0].split(":")[1].isdigit()


def test_with_the_reason_it_is_no_mistake(tmp_path: Path) -> None:
    """A stop may be lowered with the reason and the day, and what it forbade is forbidden no more."""
    then = document([finding("hose", 1, "stop")])
    was = {"stop": "renewed, only its clamp is wrong", "on": "2026-06-01"}
    body = again("Hose", severity="watch", **{"look again": "often", "severity was": was})
    _, made, problems = read(write(tmp_path, then, body))
    assert not problems.errors
    assert not made.use_limits
    assert made.follow_up
    assert (made.follow_up.accounts[0].severity, made.follow_up.accounts[0].now) == ("stop", "watch")


BOATS: dict[str, tuple[dict[str, Any], dict[str, Any], str]] = {
    "type": ({"type": "sailing yacht"}, {}, "the report is of a sailing yacht, this boat is a gasoline"),
    "hull number": (
        {"type": "gasoline inboard", "found": {"hull_number": "ZZQ23457C515"}},
        {},
        "the report is of a boat with another hull number",
    ),
    "later": ({}, {"inspected": "2026-04-01"}, "was inspected on 2026-05-02, later than this boat"),
    "version": ({}, {"number": "AL-11"}, "version 1 follows version 1 of the same number; write version: 2"),
    "addendum": ({}, {"status": "addendum", "scope": None}, "an addendum without a scope"),
}


@pytest.mark.parametrize("boat", BOATS)
def test_other_boat_or_order_is_refused(tmp_path: Path, boat: str) -> None:
    """A report of another boat, a later one, the same version, and an addendum about nothing are told."""
    vessel, front, says = BOATS[boat]
    then = document(**({"vessel": vessel} if vessel else {}))
    told = errors(write(tmp_path, then, **front))
    assert [line for line in told if says in line and "cover.md:" in line], told


def test_addendum_needs_a_report(tmp_path: Path) -> None:
    """An addendum to nothing is a mistake."""
    assert "an addendum to no report" in errors(write(tmp_path, "{}", status="addendum", follows=None))[0]


def test_renamed_things_are_told(tmp_path: Path) -> None:
    """A new name of the boat, a finding and a reading that look like earlier ones: told, not assumed."""
    then = document(
        [finding("raw-water-hose-soft")],
        readings=[reading("cylinders-port", [100])],
        vessel={"name": "Uria", "type": "gasoline inboard"},
    )
    body = again("Raw-water hose is soft", severity="settle")
    body += "## Cylinders again\n" + _cylinders("1: 150")
    told = warnings(write(tmp_path, then, body))
    assert [t for t in told if "the report is of Uria, this boat is called Alca" in t]
    assert [t for t in told if "reads like 'raw-water-hose-soft' of report AL-11" in t]
    assert [t for t in told if "write retest of: earlier/cylinders-port, to compare them" in t]


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("ZZQ23456C515", "zzq 23456-C515", True),
        ("ZZQ\u2022\u2022\u2022\u2022\u2022C515", "ZZQ23456C515", True),
        ("ZZQ23457C515", "ZZQ23456C515", False),
        ("ZZQ23456C515", "US-ZZQ23456C515", False),
    ],
)
def test_hull_numbers_are_compared_in_every_spelling(one: str, other: str, same: bool) -> None:
    """Blanks, hyphens and case don't matter, and dots of a masked number may be anything."""
    assert followcheck.same_number(one, other) is same


# ---- every earlier finding once

ACTIONS = ("nothing", "done", "checked", "looked", "withdrawn", "replaced", "again")


def _act(action: str, title: str, severity: str, proof: Mapping[str, Any]) -> str:
    stop = severity == "stop"
    new = {"severity": severity} | ({"forbids": f"doing {title}"} if stop else {})
    if severity == "schedule":
        new["by when"] = "soon"
    keys: dict[str, dict[str, Any]] = {
        "done": {"reported done": DONE},
        "checked": {"checked": dict(proof)},
        "looked": {"looked at again": {**BY, "result": "as before"}},
        "withdrawn": {"withdrawn": {**BY, "why": "an error"}},
        "again": new,
    }
    if action == "replaced":
        return again(f"In place of {title}", **new, **{"instead of": title})
    return again(title, **keys[action]) if action in keys else ""


@settings(max_examples=60)
@given(
    st.lists(
        st.tuples(
            st.sampled_from(SEVERITIES),
            st.sampled_from(("open", "done", "checked")),
            st.sampled_from(ACTIONS),
        ),
        max_size=6,
    )
)
def test_every_earlier_finding_is_accounted_for_once(said: list[tuple[str, str, str]]) -> None:
    """Whatever the new notes say, each earlier finding has one line, and no open stop is lost."""
    then, body = [], ""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        proof = _proven(folder)
        for n, (severity, state, action) in enumerate(said, 1):
            title = f"finding-{n}x"
            closed = {"reported_done": DONE} if state != "open" else {}
            closed |= {"checked": {**CHECKED, "on": "2026-05-30"}} if state == "checked" else {}
            then.append(finding(title, n, severity, **closed))
            body += _act(action, title, severity, proof)
        _, made, problems = read(write(folder, document(then), body))
    assert not problems.errors, [str(p) for p in problems.errors]
    assert made.follow_up
    accounts = made.follow_up.accounts
    assert [a.id for a in accounts] == [f["id"] for f in then]
    assert all(a.became in BECAME for a in accounts)
    listed = {f.finding.id for f in made.findings}
    gone = {"withdrawn", "replaced", "checked before", "found sound then"}
    for account, (severity, state, action) in zip(accounts, said, strict=True):
        in_list = account.id in listed
        assert in_list or account.became in gone
        assert not (in_list and account.became in {"withdrawn", "replaced", "found sound then"})
        if severity == "stop" and state != "checked" and action in ("nothing", "done", "looked", "again"):
            assert f"using {account.id}" in {u.what for u in made.use_limits} or action == "again"
            assert any(account.id in u.because for u in made.use_limits)
    refs = [f.ref for f in made.findings]
    assert len(set(refs)) == len(refs)
    again_read = asjson.document(edition.view(made, buyer.EDITION, Problems()), buyer.EDITION)
    assert [a["id"] for a in again_read["follow_up"]["accounts"]] == [a.id for a in accounts]


# ---- readings then and now


@pytest.mark.parametrize(("now", "told"), [(11, "\N{MINUS SIGN}20 points"), (30, "\N{MINUS SIGN}1 point")])
def test_change_of_a_percentage_is_told_in_points(now: int, told: str) -> None:
    """From 31 to 11 % is 20 points and not 20 % less."""
    then, later = (Cell("3", Quantity(Decimal(value), "%")) for value in (31, now))
    assert beside._change(then, later)[0] == told


def test_values_stand_beside_the_old_ones(tmp_path: Path) -> None:
    """The same reading of both days, value by value, in today's unit, with what changed most."""
    then = document([finding("valve")], readings=[reading("cylinders", [151, 101, None])])
    body = "## Cylinders\n" + _cylinders("1: 1041, 2: 1020, 3: 1035").replace("psi", "kPa")
    _, made, problems = read(write(tmp_path, then, body))
    assert not problems.errors
    (both,) = made.compared
    assert (both.id, both.before, both.then, both.now) == (
        *("cylinders", "earlier/cylinders"),
        *("outside", "within"),
    )
    rows = [(b.name, b.then, b.now, b.change) for b in both.values]
    # 151 psi = 1041.1 kPa and 101 psi = 696.4 kPa by 1 psi = 6.894757 kPa (NIST SP 811, appendix B.8)
    assert rows == [
        ("1", "1041 kPa", "1041 kPa", rows[0][3]),
        ("2", "696.4 kPa", "1020 kPa", "+324 kPa"),
        ("3", "not taken", "1035 kPa", ""),
    ]
    assert [b.name for b in both.most] == ["2"]
    assert both.chart
    assert both.chart.form == "trend"
    assert [p["name"] for p in both.chart.data["panels"]] == ["cylinders"]


def test_trend_runs_over_three_surveys(tmp_path: Path) -> None:
    """The second report hands the first one's values on, so that the third draws all of them."""
    first = document([finding("valve", evidence=["cylinders"])], readings=[reading("cylinders", [150, 130])])
    body = "## Cylinders\n" + _cylinders("1: 149, 2: 125")
    _, second, problems = read(write(tmp_path / "b", first, body))
    assert not problems.errors
    view = edition.view(second, buyer.EDITION, Problems())
    data = json.loads(asjson.text(asjson.document(view, buyer.EDITION)))
    assert [p["on"] for p in data["readings"][0]["past"]] == ["2026-05-02"]
    body = "## Cylinders\n" + _cylinders("1: 148, 2: 118")
    _, third, problems = read(write(tmp_path / "c", data, body, number="AL-13", inspected="2027-06-02"))
    assert not problems.errors
    (both,) = third.compared
    assert [p.on.isoformat() for p in both.past] == ["2026-05-02", "2026-06-01"]
    points = both.chart.data["panels"][0]["series"][1]["points"] if both.chart else ()
    assert [(x, y) for x, y, *_ in points] == [
        ("2026-05-02", 130.0),
        ("2026-06-01", 125.0),
        ("2027-06-02", 118.0),
    ]
    # the finding still rests on the first survey's reading, since when it was not looked at
    assert third.findings[0].finding.evidence == ("earlier/cylinders",)
    assert str(third.findings[0].finding.first_reported) == "2026-05-04"


def test_retest_of_the_same_survey(tmp_path: Path) -> None:
    """A reading that a check names is set beside the one that the finding rests on."""
    body = "## Before\n" + _cylinders("1: 100, 2: 150", limit=LIMIT)
    body += "## After\n" + _cylinders("1: 148, 2: 150", limit=LIMIT)
    check = {**CHECKED, "evidence": ["after"]}
    keys = {"severity": "settle", "evidence": ["before"], "confidence": "measured"}
    body += again("Valve", **keys, **{"reported done": DONE, "checked": check})
    _, made, problems = read(write(tmp_path, "{}", body, follows=None))
    assert not problems.errors
    (both,) = made.compared
    assert (both.id, both.before, both.then, both.now, both.past) == (
        *("after", "before"),
        *("outside", "within", ()),
    )
    assert both.chart is None


# ---- what an edition may show


def test_nothing_private_of_the_earlier_report_comes_in(tmp_path: Path) -> None:
    """Names, numbers and sums that only the earlier file holds are taken out of a public page."""
    people = {
        "surveyor": {"name": "Ruth Halvane"},
        "client": {"name": "Quillon Vantrease", "contact": "qv@example.com"},
    }
    told = "Mr Quillon Vantrease offered 41250.75 USD; qv@example.com; hull ZZQ23456C515"
    done = {"by": "Brackwater Yard", "on": "2026-05-20", "how": told, "invoice": "INV-88123"}
    old = finding(
        "hose", risk=told, prose=told, reported_done=done, pays={"seller": 100}, first_reported="2024-02-03"
    )
    belt = finding("belt", 2, "sound", prose="praiseworthy")
    data = document([old, belt], people=people, price={"currency": "USD", "offered": "41250.75"})
    body = again("Hose", **{"looked at again": {**BY, "result": "as before"}})
    _, made, problems = read(write(tmp_path, data, body))
    assert not problems.errors
    shown = edition.view(made, seller.EDITION, Problems())
    text = asjson.text(asjson.document(shown, seller.EDITION))
    for secret in ("Quillon", "Vantrease", "41250.75", "qv@example.com", "23456", "Brackwater", "INV-88123"):
        assert secret not in text, secret
    assert "praiseworthy" not in text
    assert '"belt"' not in text
    assert "2024-02-03" in text
    full = edition.view(made, buyer.EDITION, Problems())
    told_all = asjson.text(asjson.document(full, buyer.EDITION))
    assert "Brackwater" in told_all
    assert "INV-88123" in told_all
    assert '"people": {\n  "client"' not in told_all  # the earlier client is no matter of this report


def test_ids_that_tell_a_name_are_replaced(tmp_path: Path) -> None:
    """A finding of the earlier report whose id tells a private name gets a neutral one, withdrawn or not."""
    people = {"surveyor": {"name": "Ruth Halvane"}, "client": {"name": "Quillon Vantrease"}}
    data = document(
        [finding("vantrease-hose", prose="by Quillon Vantrease"), finding("vantrease-pump", 2)], people=people
    )
    body = again("Vantrease pump", withdrawn={**BY, "why": "an error"})
    _, made, problems = read(write(tmp_path, data, body))
    assert not problems.errors
    told = Problems()
    shown = edition.view(made, seller.EDITION, told)
    # the earlier report's words can't be reworded, so what is taken out of them is only told
    assert [p for p in told.warnings if "'Quillon Vantrease'" in p.found]
    assert not told.errors
    text = asjson.text(asjson.document(shown, seller.EDITION))
    assert "antrease" not in text
    assert [a["id"] for a in json.loads(text)["follow_up"]["accounts"]] == ["finding-1", "finding-2"]
