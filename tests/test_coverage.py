"""What the inspection covered: each outcome, which of two wins, and what `check` says of the rest."""

from __future__ import annotations

import dataclasses
import json
import time
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from reportgen import asjson, checklist, coverage, edition, publish
from reportgen.blocks.conditions import Conditions
from reportgen.blocks.finding import Checked
from reportgen.blocks.note import NotInspected
from reportgen.blocks.vessel import BoatFacts, Engine, Vessel
from reportgen.coverage import CoveredItem
from reportgen.errors import Place, Problems
from reportgen.kind import Assessment
from reportgen.kinds import compression, leak_down, sounding
from reportgen.model import Cover, Finding, Gap, Reading, Survey
from reportgen.report import Report
from tests import made
from tests.project import EDITIONS, run

TWO = (Engine(name="port", fuel="gasoline"), Engine(name="starboard", fuel="gasoline"))


def _survey(type_: str = "gasoline inboard", found: BoatFacts | None = None, **keys: Any) -> Survey:
    told = {name: keys.pop(name) for name in ("conditions", "tests_not_made") if name in keys}
    cover = Cover(vessel=Vessel(type=type_, found=found), place=Place("cover.md", 1, 1), **told)
    return Survey(Path(), "boat", cover, **keys)


def _items(survey: Survey, *judged: tuple[Reading, Assessment, Any]) -> Mapping[str, CoveredItem]:
    covered = coverage.build(survey, judged)
    assert covered is not None
    return {item.name: item for item in covered.items}


def _taken(outcome: str, kind: Any = compression.KIND, **keys: Any) -> tuple[Reading, Assessment, Any]:
    return Reading(id="r", kind=kind.name, **keys), Assessment(outcome=outcome), kind


def _said(*items: tuple[str, str], found: tuple[Finding, ...] = (), gaps: tuple[str, ...] = ()) -> str:
    """Give the outcome of the engine mounts after the notes said all this."""
    survey = _survey(
        items=tuple((part, "", outcome) for part, outcome in items),
        findings=found,
        not_inspected=tuple(Gap(part) for part in gaps),
    )
    return _items(survey)["engine mounts"].outcome


WORN = Finding(id="worn", severity="settle", item="engine mounts")
WELL = Finding(id="well", severity="sound", item="engine mounts")
SOUND = ("engine mounts", "sound")


def test_nobody_mentions_it() -> None:
    """An item that the notes don't name is not mentioned, and says what is lost by that."""
    item = _items(_survey())["engine mounts"]
    assert (item.outcome, item.system) == ("not mentioned", "engine")
    assert item.could_hide == "a mount that has let go of the bed"
    assert item.would_take == "half an hour"


@pytest.mark.parametrize(
    ("outcome", "items", "found", "gaps"),
    [
        ("sound", (SOUND,), (), ()),
        ("sound", (), (WELL,), ()),
        ("finding", (), (WORN,), ()),
        ("finding", (SOUND,), (WELL, WORN), ("engine mounts",)),
        ("not inspected", (SOUND,), (WELL,), ("engine mounts",)),
        ("operated", (("engine mounts", "operated"),), (), ()),
        ("operated", (SOUND, ("engine mounts", "operated")), (), ()),
        ("powered up only", (("engine mounts", "operated"), ("mounts", "powered up only")), (), ()),
        ("told by others", (SOUND, ("engine mounts", "told by others")), (), ()),
        ("not fitted", (("engine mounts", "not fitted"),), (), ()),
        ("finding", (("engine mounts", "not fitted"),), (WORN,), ()),
    ],
)
def test_which_of_two_stands(
    outcome: str, items: tuple[tuple[str, str], ...], found: tuple[Finding, ...], gaps: tuple[str, ...]
) -> None:
    """A finding beats not inspected, that beats what was only tried, and that beats sound."""
    assert _said(*items, found=found, gaps=gaps) == outcome


def test_finding_leaves_the_part_unseen() -> None:
    """Where a part was not looked at, what could hide there stays, though the item has a finding."""
    seen = _items(_survey(findings=(WORN,)))["engine mounts"]
    part = _items(_survey(findings=(WORN,), not_inspected=(Gap("mounts"),)))["engine mounts"]
    assert (seen.outcome, seen.could_hide) == ("finding", "")
    assert (part.outcome, part.could_hide) == ("finding", "a mount that has let go of the bed")


@pytest.mark.parametrize(
    "name", ["Engine Mount", "the engine mounts", "engine-mounts", "engine mounts and beds"]
)
def test_names_are_compared_loosely(name: str) -> None:
    """Case, hyphens, plural and "the" make no difference, and an item has other names."""
    assert _said((name, "sound")) == "sound"


@pytest.mark.parametrize(
    ("outcome", "counts_as"),
    [
        ("within", "sound"),
        ("outside", "finding"),
        ("no limit applies", coverage.MEASURED),
        ("not taken", "not mentioned"),
    ],
)
def test_reading_covers_by_its_outcome(outcome: str, counts_as: str) -> None:
    """Within is sound, outside a finding; without a limit it is only measured, and not taken is nothing."""
    items = _items(_survey(), _taken(outcome))
    assert items["cranking compression"].outcome == counts_as
    assert items["cranking compression"].readings == (() if outcome == "not taken" else ("r",))
    assert items["leak-down"].outcome == "not mentioned"


def test_reading_of_its_own_item_covers_that_alone() -> None:
    """With `item:` a reading covers what it names, not what its kind stands for."""
    items = _items(_survey(), _taken("within", item="engine mounts"))
    assert items["engine mounts"].outcome == "sound"
    assert items["cranking compression"].outcome == "not mentioned"


def test_generator_is_not_the_engine() -> None:
    """The generator's compression says nothing of the main engine, nor the other way round."""
    boat = BoatFacts(engines=(Engine(name="main"),), generators=(Engine(name="generator"),))
    survey = _survey("diesel inboard cruiser", boat)
    items = _items(survey, _taken("within", at="generator"))
    assert (items["generator compression"].outcome, items["compression"].outcome) == (
        "sound",
        "not mentioned",
    )
    items = _items(survey, _taken("within", leak_down.KIND, at="main"))
    assert (items["generator compression"].outcome, items["compression"].outcome) == (
        "not mentioned",
        "sound",
    )


def test_gasoline_engine_is_not_the_diesel() -> None:
    """On a workboat with outboards the diesel's items aren't covered by their readings."""
    items = _items(_survey("aluminium workboat", BoatFacts(engines=TWO)), _taken("within", at="port"))
    assert items["cranking compression"].outcome == "sound"
    assert items["diesel compression"].outcome == "not mentioned"


def test_side_is_no_part_of_the_name() -> None:
    """With two engines each side's plugs are plugs, and the worse side stands."""
    survey = _survey(
        "outboard runabout",
        BoatFacts(engines=TWO),
        items=(("port spark plugs", "", "sound"), ("spark plugs starboard engine", "", "sound")),
        not_inspected=(Gap("starboard tilt and trim"),),
    )
    items = _items(survey)
    assert items["spark plugs"].parts == ("port spark plugs", "spark plugs starboard engine")
    assert items["tilt and trim"].outcome == "not inspected"


def test_system_that_is_not_there_leaves_the_count() -> None:
    """One word takes a whole system out, but not an item of it that the notes name."""
    bare = coverage.build(_survey(), ())
    survey = _survey(items=(("trailer", "", "not fitted"), ("trailer tires", "", "sound")))
    covered = coverage.build(survey, ())
    assert bare is not None
    assert covered is not None
    assert covered.counts.not_fitted == 2
    assert covered.counts.items == bare.counts.items - 2
    assert [i.outcome for i in covered.items if i.system == "trailer"] == [
        "sound",
        "not fitted",
        "not fitted",
    ]


def test_system_that_is_not_there_has_no_readings() -> None:
    """A reading of the outboards doesn't bring back the diesel that the boat hasn't."""
    survey = _survey("aluminium workboat", items=(("diesel engine", "", "not fitted"),))
    assert _items(survey, _taken("within"))["diesel compression"].outcome == "not fitted"


def test_system_left_out_as_a_whole() -> None:
    """A system under `not inspected` stands for each item of it that nothing else is said of."""
    survey = _survey(not_inspected=(Gap("sea trial"),), items=(("leaks under way", "", "sound"),))
    said = [i.outcome for i in coverage.build(survey, ()).items if i.system == "sea trial"]  # type: ignore[union-attr]
    assert said == ["not inspected", "not inspected", "sound", "not inspected"]


def test_system_is_not_praised_as_a_whole() -> None:
    """Who writes "trailer" under inspected items has to say which of its items."""
    covered = coverage.build(_survey(items=(("trailer", "hull", "sound"),)), ())
    assert covered is not None
    assert covered.counts.sound == 0
    assert [(b.part, b.system, b.outcome) for b in covered.beyond] == [("trailer", "hull", "sound")]


def test_part_not_fitted_takes_nothing_away() -> None:
    """Without a heat exchanger an engine is still cooled."""
    item = _items(_survey(items=(("heat exchanger", "", "not fitted"),)))["engine cooling"]
    assert (item.outcome, item.parts) == ("not mentioned", ())


@pytest.mark.parametrize(
    ("said", "only"),
    [
        (("main fuses", "helm fuses"), ("main fuses",)),
        (("main fuses", "switches and fuses"), ()),
        (("fuses and breakers",), ()),
        (("port main fuses",), ("port main fuses",)),
        ((), ()),
    ],
)
def test_parts_are_told_where_nobody_names_the_whole(said: tuple[str, ...], only: tuple[str, ...]) -> None:
    """Who looked at the main fuses has not said so of the switches."""
    item = _items(_survey(items=tuple((part, "", "sound") for part in said)))["switches and fuses"]
    assert item.only == only
    assert item.outcome == ("sound" if said else "not mentioned")


def test_part_left_out_is_none_looked_at() -> None:
    """A part under `not inspected` is not among those that the item was judged by."""
    survey = _survey(items=(("main fuses", "", "sound"),), not_inspected=(Gap("battery switch"),))
    item = _items(survey)["switches and fuses"]
    assert (item.outcome, item.only) == ("not inspected", ("main fuses",))


def test_reading_speaks_for_the_whole() -> None:
    """What is measured is no part, and a system left out as a whole leaves out whole items."""
    survey = _survey(items=(("compression", "", "sound"),), not_inspected=(Gap("sea trial"),))
    items = _items(survey, _taken("within"))
    assert items["cranking compression"].only == items["speed and rpm"].only == ()


def test_counts_add_up() -> None:
    """Each fitted item is in one of the counts; what the checklist hasn't is in none."""
    said = [
        ("engine mounts", "sound"),
        ("horn", "operated"),
        ("shore power", "not fitted"),
        ("wake tower", "sound"),
    ]
    survey = _survey(
        items=tuple((part, "", outcome) for part, outcome in said),
        findings=(Finding(id="f", severity="watch", item="seacocks"),),
        not_inspected=(Gap("fuel tanks"), Gap("mast")),
    )
    covered = coverage.build(survey, ())
    assert covered is not None
    n = covered.counts
    assert (n.sound, n.findings, n.not_inspected, n.others, n.not_fitted) == (1, 1, 1, 1, 3)
    assert n.items == len(covered.items) - 3 == 4 + n.not_mentioned
    assert {b.part for b in covered.beyond} == {"mast", "wake tower"}


def test_type_without_a_list_has_no_coverage() -> None:
    """Where the type is missing or mistyped there is nothing to hold the notes against."""
    assert coverage.build(_survey(""), ()) is None
    problems = Problems()
    coverage.problems(None, _survey(""), problems)
    assert not list(problems)


def _warnings(survey: Survey) -> list[str]:
    problems = Problems()
    coverage.problems(coverage.build(survey, ()), survey, problems)
    assert not problems.errors
    return [str(p) for p in problems]


def test_check_warns_once_a_system() -> None:
    """One line names all items of a system that the notes don't mention."""
    listed = checklist.of("gasoline inboard")
    lines = _warnings(_survey(items=(("trailer tires", "", "sound"), ("shore power", "", "not fitted"))))
    assert len(lines) == len(listed.systems) - 1
    assert (
        "cover.md:1:1: inspected items: warning: trailer: 2 of 3 items not mentioned: "
        "trailer bearings and brakes, trailer frame; "
        "write them under items, inspected items or not inspected, with why"
    ) in lines


def test_what_is_not_mentioned_is_told_at_the_note_of_its_system() -> None:
    """Whoever has a note for the system is sent there, to its items if it has any."""
    place = Place("15-trailer.md", 2, 1, "", (("items", 6, 1),))
    survey = dataclasses.replace(_survey(), places={"trailer": place, "hull": Place("hull.md", 3, 1)})
    [trailer] = [line for line in _warnings(survey) if " trailer: " in line]
    assert trailer.startswith("15-trailer.md:6:1: items: warning: trailer: 3 of 3 items not mentioned: ")
    [hull] = [line for line in _warnings(survey) if " hull: " in line]
    assert hull.startswith("hull.md:3:1: items: warning: hull: ")


def test_check_says_nothing_of_what_is_mentioned() -> None:
    """Where every item is named, in whatever way, there is nothing to warn of."""
    names = [i.name for s in checklist.of("sailing yacht").systems for i in s.items]
    assert _warnings(_survey("sailing yacht", items=tuple((n, "", "sound") for n in names))) == []


def test_near_miss_is_told_at_its_place() -> None:
    """A name that is nearly an item's gets a warning with that name, unless the item is covered anyway."""
    entry = NotInspected(why="no access", place=Place("hull.md", 7, 3))
    survey = _survey(not_inspected=(Gap("seacocs", "", entry),), items=(("wake tower", "", "sound"),))
    near = [line for line in _warnings(survey) if "checklist of this type" in line]
    told = "'seacocs' is not on the checklist of this type; write seacocks, if that is meant"
    assert near == [f"hull.md:7:3: not inspected: warning: {told}"]
    covered = _survey(not_inspected=survey.not_inspected, items=(("seacocks", "", "sound"),))
    assert not [line for line in _warnings(covered) if "checklist of this type" in line]


def test_many_strange_names_are_no_burden() -> None:
    """Thousands of names that no checklist has are listed, not pondered one by one."""
    parts = tuple((f"seacock of hull {n}", "", "sound") for n in range(5000))
    survey = _survey(items=parts * 2)
    begun = time.process_time()
    covered = coverage.build(survey, ())
    coverage.problems(covered, survey, Problems())
    assert covered is not None
    assert len(covered.beyond) == 5000
    assert time.process_time() - begun < 2


NOTES: dict[str, Any] = {
    "survey": "pre-sale",
    "inspected": "2026-03-01",
    "reported": "2026-03-02",
    "vessel": {"name": "Gorse Bank", "type": "gasoline inboard"},
    "people": {"surveyor": {"name": "Ruth Halvane"}},
    "inspected items": ["engine mounts", "wake tower"],
    "not inspected": {"fuel tanks": "deck not lifted"},
    "items": {"shore power": "not fitted"},
}
BODY = """## Bilge pump works
```finding
severity: sound
item: bilge pump
```
"""


@pytest.fixture
def report(tmp_path: Path) -> Report:
    """Give a small survey's report."""
    return made.built(made.write(tmp_path / "gorse", NOTES, BODY))


@pytest.mark.parametrize("name", EDITIONS)
def test_every_edition_tells_what_nobody_looked_at(report: Report, name: str) -> None:
    """No edition drops what was not inspected or not mentioned; ids of findings left out are not named."""
    reader = publish.edition_named(name)
    shown = made.shown(report, reader)
    assert shown.coverage is not None
    assert report.coverage is not None
    assert shown.coverage.counts == report.coverage.counts
    said = asjson.document(shown, reader)["coverage"]
    assert said["counts"]["not_mentioned"] == len(said["not_mentioned"]) > 40
    assert {"item": "seacocks", "system": "bilge and seacocks"} in said["not_mentioned"]
    listed = {f.finding.id for f in shown.findings}
    assert {id for item in said["items"] for id in item.get("findings", [])} <= listed
    assert {"part": "wake tower", "outcome": "sound"} in said["beyond_checklist"]
    assert json.dumps(said)


def test_edition_that_drops_it_is_refused(report: Report, monkeypatch: pytest.MonkeyPatch) -> None:
    """An edition without what nobody looked at is a bug of ours, told at once."""
    monkeypatch.setattr(edition, "_without_left_out", lambda whole, _: made.replaced(whole, coverage=None))
    with pytest.raises(ValueError, match="drops what no edition may drop"):
        made.shown(report, publish.edition_named("buyer"))


def test_mistakes_come_first(tmp_path: Path) -> None:
    """While notes have mistakes nothing is said of what they don't mention: a mistake may hide it."""
    made.write(tmp_path / "gorse", {**NOTES, "inspected itms": ["seacocks"]}, BODY)
    done = run("check", str(tmp_path / "gorse"))
    assert done.returncode == 1
    assert "not mentioned" not in done.stderr


def test_publishing_prints_the_warnings(tmp_path: Path) -> None:
    """Who publishes without `check` is told the same."""
    made.write(tmp_path / "gorse", NOTES, BODY)
    done = run("publish", str(tmp_path / "gorse"), "--to", str(tmp_path / "out"), "--no-charts")
    assert done.returncode == 0, done.stderr
    assert "trailer: 3 of 3 items not mentioned: trailer tires, " in done.stderr


def test_what_a_finding_rests_on_goes_to_its_item() -> None:
    """A transom that sounds dull is no look at the bottom; what an open finding rests on is not sound."""
    dull = Finding(id="dull", severity="settle", item="transom core", evidence=("r",))
    survey = _survey("outboard runabout", findings=(dull,))
    measured = "measured, not judged"
    alone = _items(_survey("outboard runabout"), _taken("no limit applies", sounding.KIND))
    assert (alone["bottom laminate"].outcome, alone["transom core"].outcome) == (measured, "not mentioned")
    items = _items(survey, _taken("no limit applies", sounding.KIND))
    assert items["bottom laminate"].outcome == "not mentioned"
    assert (items["transom core"].outcome, items["transom core"].readings) == ("finding", ("r",))
    own = _items(survey, _taken("no limit applies", sounding.KIND, item="bottom laminate"))
    assert own["bottom laminate"].outcome == measured
    low = Finding(id="low", severity="settle", item="cylinder bores", evidence=("r",))
    engine = _items(_survey("outboard runabout", findings=(low,)), _taken("within"))
    assert engine["cranking compression"].outcome == "finding"
    put_right = dataclasses.replace(low, checked=Checked())
    engine = _items(_survey("outboard runabout", findings=(put_right,)), _taken("within"))
    assert engine["cranking compression"].outcome == "sound"


def test_no_sea_trial_is_said_once() -> None:
    """Who writes `sea trial: no, boat ashore` has told why its items were not inspected."""
    ashore = (Conditions(sea_trial="no, boat ashore"),)
    [gap] = coverage.untried(_survey(conditions=ashore))
    assert (gap.part, gap.system, gap.entry.why) == ("sea trial", "sea trial", "boat ashore")
    assert not coverage.untried(_survey(conditions=(*ashore, Conditions(sea_trial="yes, an hour"))))
    assert not coverage.untried(_survey(conditions=ashore, not_inspected=(Gap("Sea trial"),)))


def test_test_not_made_is_an_item_not_inspected() -> None:
    """A test that the checklist has under the same name is no item that nobody mentions."""
    tests = {"engine mounts": "tank in the way", "opinion of value": "outside the scope"}
    [gap] = coverage.untried(_survey(tests_not_made=tests))
    assert (gap.part, gap.system, gap.entry.why) == ("engine mounts", "engine", "tank in the way")
    assert not coverage.untried(_survey(tests_not_made=tests, items=(("engine mounts", "", "operated"),)))
