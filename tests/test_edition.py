"""The view of an edition: closed by default, floors that no edition can drop, ids that tell nothing."""

from __future__ import annotations

import dataclasses
import datetime
import inspect
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any, get_type_hints

import pytest

from reportgen import edition, followup, racks, report
from reportgen.block import PhotoNote
from reportgen.blocks.conditions import Conditions
from reportgen.blocks.deal import Price
from reportgen.blocks.finding import FindingKeys, SeverityWas
from reportgen.blocks.people import People, Person, Surveyor
from reportgen.blocks.vessel import BoatFacts, Vessel
from reportgen.cautions import Caution
from reportgen.costshares import FindingCost
from reportgen.edition import FLOOR, IDS, NOT_LISTED, NOT_PUBLIC, OURS, PLAIN, Edition, view
from reportgen.editions import insurer
from reportgen.errors import Place, Problems
from reportgen.estimate import Estimate
from reportgen.findings import UseLimit
from reportgen.kind import Assessment
from reportgen.model import Cover, Finding, Gap, Prose, Reading
from reportgen.report import JudgedReading, ListedFinding, Report
from reportgen.settlement import Settlement
from reportgen.valuation import CostToCome, Valuation
from reportgen.worklist import WorkGroup, WorkList

SHARES = {
    *("open", "work", "cost", "payer", "price", "deal", "rates", "people", "contact", "surveyor"),
    *("hull number", "serial", "identity", "place", "exact place", "private"),
    *("value", "agreed price", "cost totals", "surveyor contact"),
}
# Fields that no edition is meant to show, and that therefore have no category.
INTERNAL = {
    "PhotoFile.path",
    "Report.photo_files",
    "Report.private",
    "Assessment.warnings",
    "Prose.place",
    "Prose.html",
    "Prose.markdown",
}
# What the rules on privacy name: the category of each must not become a wider one by accident.
RULED = {
    "Person.name": "people",
    "Person.contact": "contact",
    "Surveyor.contact": "surveyor contact",
    "Conditions.exact_place": "exact place",
    "Conditions.attended": "people",
    "Price.offered": "price",
    "Price.agreed": "agreed price",
    "Price.deposit": "price",
    "Value.market": "value",
    "BoatFacts.hull_number": "hull number",
    "BoatFacts.registration": "serial",
    "BoatFacts.engine_serial": "serial",
    "BoatFacts.hailing_port": "identity",
    "Engine.serial": "serial",
    "Repair.cost": "cost",
    "Part.each": "cost",
    "Quote.from_": "people",
    "ReportedDone.by": "people",
    "ReportedDone.invoice": "people",
    "Finding.private": "private",
    "Reading.private": "private",
    "PhotoNote.photo": "private",
}
SHUT = Edition("shut", "Shut", "Nobody.", frozenset(), (), public=True)
OPEN = Edition("open", "Open", "The writer.", frozenset(SHARES - {"private"}), ())


def _finding(id: str, severity: str = "settle", **keys: Any) -> Finding:
    return Finding(id=id, title=keys.pop("title", id.capitalize()), severity=severity, **keys)


def _report(*findings: Finding, **keys: Any) -> Report:
    listed = tuple(ListedFinding(n, f, f.state) for n, f in enumerate(findings, 1))
    cover = keys.pop("cover", Cover(place=Place("cover.md", 2, 1)))
    return Report(slug="boat", cover=cover, findings=listed, headline="One thing must not be done.", **keys)


def _shown(whole: Report, made: Edition) -> tuple[Report, list[str]]:
    problems = Problems()
    return view(whole, made, problems), [str(p) for p in problems]


# ---- closed by default


def _classes() -> Iterator[type]:
    """Give every dataclass that a report can hold, found by the types of its fields and by the kinds."""
    wanted: list[Any] = [Report, *(k.fields for k in racks.all_of("kinds", "KIND").values())]
    seen: set[Any] = set()
    while wanted:
        here = wanted.pop()
        if here in seen:
            continue
        seen.add(here)
        wanted += getattr(here, "__args__", ())
        if inspect.isclass(here) and dataclasses.is_dataclass(here):
            yield here
            wanted += [*get_type_hints(here).values(), *here.__subclasses__()]


CLASSES = sorted(set(_classes()) - set(PLAIN) - {Place}, key=lambda c: c.__qualname__)


def test_every_field_has_a_category_or_is_private_on_purpose() -> None:
    """A category is one of a fixed list; a field without one is named here."""
    assert len(CLASSES) > 30
    without = set()
    for block in CLASSES:
        for spec in dataclasses.fields(block):
            share = spec.metadata.get("share")
            if share is None and spec.type != "Place":
                without.add(f"{block.__name__}.{spec.name}")
            assert share in {None, *SHARES}, f"{block.__name__}.{spec.name}: {share}"
    assert without <= INTERNAL


@pytest.mark.parametrize("path", RULED)
def test_private_field_stays_in_its_category(path: str) -> None:
    """What the rules on privacy name has the category that hides it."""
    block = next(c for c in CLASSES if c.__name__ == path.split(".")[0])
    spec = {f.name: f for f in dataclasses.fields(block)}[path.split(".")[1]]
    assert spec.metadata["share"] == RULED[path]


@dataclasses.dataclass(frozen=True)
class Made:
    """A block as somebody may add it tomorrow."""

    told: str = dataclasses.field(default="", metadata={"share": "open"})
    forgotten: str = ""
    odd: str = dataclasses.field(default="", metadata={"share": "crew"})


@dataclasses.dataclass(frozen=True)
class Bare:
    """A block in which nobody gave any field a category."""

    told: str = ""


def _limited(value: Any, made: Edition) -> Any:
    whole = _report()
    scrubber = edition.Scrubber.of(whole, made.shows | FLOOR, made.masked, made.public)
    return edition._Limiter(whole, made, scrubber, Problems()).limit(value, Place())


@pytest.mark.parametrize("made", [SHUT, OPEN])
def test_field_without_a_category_is_hidden(made: Edition) -> None:
    """What has no category, or one that the edition does not list, is absent."""
    assert _limited(Made("a", "b", "c"), made) == Made("a", "", "")
    assert _limited(Bare("a"), made) == Bare("")


def test_field_without_a_default_can_not_be_hidden() -> None:
    """A hidden field that must have a value is a bug of ours, and told."""

    @dataclasses.dataclass(frozen=True)
    class Needed:
        told: str

    with pytest.raises(TypeError, match=r"Needed.told has no category and no default"):
        _limited(Needed("a"), OPEN)
    with pytest.raises(TypeError, match="can't be shown"):
        _limited({1, 2}, OPEN)


@pytest.mark.parametrize("shares", [{"private"}, {""}, {"private", "open"}])
@pytest.mark.parametrize("part", ["shows", "masked"])
def test_no_edition_may_show_what_is_private(shares: set[str], part: str) -> None:
    """The writer's private keys are no category that an edition may list."""
    made = dataclasses.replace(SHUT, **{part: frozenset(shares)})
    with pytest.raises(ValueError, match="shows what is private"):
        view(_report(), made, Problems())


# ---- floors


FLOORED = {
    "findings": (_finding("a", "stop", forbids=("running it",)), _finding("b", "sound")),
    "use_limits": (UseLimit("running it", ("a",), ("A",)),),
    "cautions": (Caution("c", "fire", "It burns.", because=("a", "b"), findings=("a", "b")),),
    "not_inspected": (Gap("tank", "fuel"), Gap("keel", "hull")),
}


def _floored() -> Report:
    keys = {name: value for name, value in FLOORED.items() if name != "findings"}
    cover = Cover(tests_not_made={"sea trial": "ice", "moisture": "rain"}, place=Place("cover.md", 2, 1))
    return _report(*FLOORED["findings"], cover=cover, **keys)


HOSTILE = [
    SHUT,
    dataclasses.replace(SHUT, leaves_out=frozenset({"settle", "schedule", "watch", "sound"})),
    dataclasses.replace(SHUT, masked=frozenset({"open"})),
    dataclasses.replace(SHUT, shows=frozenset({"work"}), passages=("masthead",)),
    *racks.all_of("editions", "EDITION").values(),
]


@pytest.mark.parametrize("made", HOSTILE, ids=range(len(HOSTILE)))
def test_no_edition_drops_what_protects(made: Edition) -> None:
    """Stops, use limits, cautions and what was not inspected are in every edition, even a hostile one."""
    shown, _ = _shown(_floored(), made)
    assert [(f.finding.id, f.finding.forbids) for f in shown.findings if f.finding.severity == "stop"] == [
        ("a", ("running it",))
    ]
    assert shown.use_limits == FLOORED["use_limits"]
    assert [(c.hazard, c.text) for c in shown.cautions] == [("fire", "It burns.")]
    assert [g.part for g in shown.not_inspected] == ["tank", "keel"]
    assert shown.cover.tests_not_made == {"sea trial": "ice", "moisture": "rain"}
    assert shown.headline


def test_edition_without_stop_findings_is_refused() -> None:
    """An edition that leaves stop findings out is a bug of ours."""
    made = dataclasses.replace(SHUT, leaves_out=frozenset({"stop"}))
    with pytest.raises(ValueError, match="leaves out stop findings"):
        view(_floored(), made, Problems())


@pytest.mark.parametrize("part", ["use_limits", "cautions", "not_inspected", "headline"])
def test_floor_is_counted_after_the_view(part: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Should a category be given that hides what protects, nothing is published at all."""
    spec = {f.name: f for f in dataclasses.fields(Report)}[part]
    monkeypatch.setattr(spec, "metadata", {"share": "price"})
    for name in ("_apart", "fields_of"):  # which remember what they were told of a type
        monkeypatch.setattr(edition, name, getattr(edition, name).__wrapped__)
    with pytest.raises(ValueError, match="drops what no edition may drop"):
        view(_floored(), SHUT, Problems())


# ---- what is left out


def test_left_out_finding_is_named_nowhere() -> None:
    """No link, reason or list of ids names a finding that the edition leaves out, and its count is told."""
    made = dataclasses.replace(SHUT, leaves_out=frozenset({"sound"}))
    reading = JudgedReading(Reading(id="r"), answered_by=("a", "hidden"))
    only = Caution("d", "flooding", "It floods.", because=("hidden",), findings=("hidden",))
    both = Caution(
        "c", "fire", "It burns.", because=("a", "hidden", "compression test"), findings=("a", "hidden")
    )
    whole = _report(
        _finding("a", "stop", evidence=("r", "hidden")), _finding("hidden", "sound"), readings=(reading,)
    )
    shown, _ = _shown(dataclasses.replace(whole, cautions=(both, only)), made)
    assert "hidden" not in repr(dataclasses.replace(shown, photo_files={})).lower()
    assert shown.cautions[0].because == ("a", "compression test")
    assert shown.cautions[1].because == (NOT_LISTED,)
    assert shown.readings[0].answered_by == ("a",)
    assert shown.left_out.findings == (("sound", 1),)


@pytest.mark.parametrize(("severity", "hidden"), [("watch", True), ("sound", False)])
def test_total_goes_with_a_hidden_row(severity: str, hidden: bool) -> None:
    """A total that would give a hidden finding's cost away by subtraction is hidden with it."""
    made = dataclasses.replace(OPEN, leaves_out=frozenset({severity}))
    costs = (FindingCost("a", likely=Decimal("5.00")), FindingCost("b", likely=Decimal("7.00")))
    whole = _report(
        _finding("a", "stop"),
        _finding("b", "watch"),
        _finding("c", "sound"),
        estimate=Estimate("USD", likely=Decimal("12.00"), by_finding=costs),
        settlement=Settlement("USD"),
        valuation=Valuation("USD", market=Decimal("900.00"), cost_to_come=CostToCome(Decimal("12.00"))),
    )
    shown, _ = _shown(whole, made)
    assert (shown.estimate is None) is hidden
    assert (shown.settlement is None) is hidden
    assert shown.valuation is not None
    assert shown.valuation.market == 900
    assert (shown.valuation.cost_to_come is None) is hidden


def test_photo_needs_to_be_public_in_a_public_edition() -> None:
    """Only photos marked so are in a public edition; the others are counted and their files not named."""
    photos = (PhotoNote("a.jpg", public=True, name="photo-01"), PhotoNote("b.jpg", name="photo-02"))
    files = {"photo-01": Path("a.jpg"), "photo-02": Path("b.jpg")}
    shown, _ = _shown(_report(photos=photos, photo_files=files), SHUT)
    assert [(p.name, p.photo) for p in shown.photos] == [("photo-01", None)]
    assert shown.left_out.photos == 1
    assert set(shown.photo_files) == {"photo-01"}
    assert len(_shown(_report(photos=photos, photo_files=files), OPEN)[0].photos) == 2


# ---- text and ids


def _secret(**keys: Any) -> Report:
    people = People(
        surveyor=Surveyor(name="Ruth Halvane"), seller=Person("Marla Quenby"), buyer=Person("Bo Lee")
    )
    place = Conditions(exact_place="berth C1477")
    cover = Cover(people=people, conditions=(place,), place=Place("cover.md", 2, 1))
    findings = keys.pop("findings", ())
    return _report(*findings, cover=cover, **keys)


def test_private_value_is_a_warning_or_an_error_at_its_line() -> None:
    """In a private edition a hit is a warning, in a public one an error; both give file and line."""
    prose = Prose("He left it at berth C1477.", "<p>He left it at berth C1477.</p>", Place("engine.md", 9, 1))
    found = _finding("a", prose=prose, place=Place("engine.md", 5, 1))
    buyer = dataclasses.replace(OPEN, shows=OPEN.shows - {"exact place"})
    shown, told = _shown(_secret(findings=(found,)), buyer)
    assert shown.findings[0].finding.prose.html == "<p>He left it at [left out].</p>\n"
    said = "'berth C1477' (exact place) stands in text that the open edition shows"
    assert told == [f'engine.md:9:1: warning: {said}; it is shown as "[left out]"']
    _, told = _shown(_secret(findings=(found,)), SHUT)
    assert told[0] == (
        "engine.md:9:1: 'berth C1477' (exact place) stands in text that the shut edition shows; "
        "reword it, or put it into a ```private fence"
    )


def test_where_the_line_is_not_known_the_message_gives_the_words_around() -> None:
    """What the report says by itself is told at the cover note, which alone would help nobody to find it."""
    long = f"{'One two three four five six. ' * 3}He left it at berth C1477. {'Seven eight nine. ' * 9}"
    _, told = _shown(_secret(counted=long), SHUT)
    assert told[0] == (
        "cover.md:2:1: 'berth C1477' (exact place) stands in text that the shut edition shows, in "
        "'... four five six. He left it at berth C1477. Seven eight nine. "
        "Seven eight nine. Seven eight ...'; "
        "reword it, or put it into a ```private fence"
    )
    _, told = _shown(_secret(counted="At berth C1477."), SHUT)
    assert "shows, in 'At berth C1477.'; reword" in told[0]


def test_a_value_is_told_of_at_each_place_where_it_was_written_and_not_where_it_is_repeated() -> None:
    """The list of use limits repeats a finding's title; two findings that say the same were written twice."""
    title = "Told by Marla Quenby"
    found = (
        _finding("a", "stop", title=title, place=Place("engine.md", 5, 1)),
        _finding("b", title=title, place=Place("hull.md", 7, 1)),
    )
    limits = (UseLimit("running it", ("a",), (title,)),)
    made = dataclasses.replace(OPEN, shows=OPEN.shows - {"people"})
    _, told = _shown(_secret(findings=found, use_limits=limits), made)
    assert [line.partition(": ")[0] for line in told] == ["engine.md:5:1", "hull.md:7:1"]
    whole = _secret(use_limits=limits)
    _, told = _shown(whole, made)
    assert [line.partition(": ")[0] for line in told] == ["cover.md:2:1"]


def test_words_of_an_edition_of_ones_own_are_looked_through() -> None:
    """Its title and its reader stand on every page; ours need no look."""
    whole, here = _secret(), Place("bank.yaml", 3, 1)
    made = dataclasses.replace(OPEN, shows=OPEN.shows - {"people"}, reader="For Marla Quenby.", place=here)
    assert _shown(whole, made)[1] == []
    [told] = _shown(whole, dataclasses.replace(made, base="lender"))[1]
    assert told.startswith("bank.yaml:3:1: 'Marla Quenby' (people) stands in the words of the edition")


def test_photo_is_counted_wherever_it_hangs() -> None:
    """Those of a finding count with those of the whole boat, and a list of other things has none."""
    own = (PhotoNote("c.jpg", name="photo-03"), PhotoNote("d.jpg", name="photo-04"))
    photos = (PhotoNote("a.jpg", public=True, name="photo-01"), PhotoNote("b.jpg", name="photo-02"))
    files = {f"photo-0{n}": Path(f"{n}.jpg") for n in range(1, 5)}
    whole = _report(_finding("a", photos=own), photos=photos, photo_files=files)
    shown, _ = _shown(whole, SHUT)
    assert shown.left_out.photos == 3
    assert set(shown.photo_files) == {"photo-01"}


def test_work_list_goes_with_a_finding_that_is_left_out() -> None:
    """Its hours would tell of what is not listed."""
    listed = WorkList(groups=(WorkGroup(jobs=("b",)),))
    whole = _report(_finding("a", "stop"), _finding("b", "watch"), _finding("c", "sound"), work_list=listed)
    for severity, kept in (("watch", False), ("sound", True)):
        shown, _ = _shown(whole, dataclasses.replace(OPEN, leaves_out=frozenset({severity})))
        assert (shown.work_list is not None) is kept


def test_value_hidden_by_markup_in_a_line_is_taken_out() -> None:
    """A caption whose entities spell a name is left out whole, and told of."""
    shown, told = _shown(_secret(findings=(_finding("a", where="by M&#97;rla's berth"),)), SHUT)
    assert shown.findings[0].finding.where == "[left out]"
    assert len(told) == 1


def test_value_hidden_by_markup_in_prose_stops_the_publishing() -> None:
    """Prose that spells a name with entities can't be mended by the tool: it is an error in any edition."""
    prose = Prose("M&#97;rla saw it.", "<p>M&#97;rla saw it.</p>", Place("engine.md", 9, 1))
    made = dataclasses.replace(OPEN, shows=OPEN.shows - {"people"})
    _, told = _shown(_secret(findings=(_finding("a", prose=prose),)), made)
    assert "is written so that it can't be taken out; write it in plain letters" in "".join(told)
    assert "warning" not in "".join(told)


def test_id_made_of_a_secret_is_replaced_everywhere() -> None:
    """Anchor, evidence and reasons take the same neutral id; two secrets keep two ids."""
    reading = JudgedReading(
        Reading(id="marla-quenby-s-engine", title="Marla Quenby's engine"), answered_by=("a",)
    )
    found = (
        _finding("finding-2", "stop", evidence=("marla-quenby-s-engine",)),
        _finding("told-by-quenby", "stop", title="Told by Quenby"),
    )
    limits = (UseLimit("running it", ("finding-2", "told-by-quenby"), ("A", "Told by Quenby")),)
    made = dataclasses.replace(OPEN, shows=OPEN.shows - {"people"})
    shown, _ = _shown(_secret(findings=found, readings=(reading,), use_limits=limits), made)
    assert [f.finding.id for f in shown.findings] == ["finding-2", "finding-2-"]
    assert shown.use_limits[0].because == ("finding-2", "finding-2-")
    assert shown.readings[0].reading.id == "reading-1"
    assert shown.findings[0].finding.evidence == ("reading-1",)
    assert "quenby" not in repr(shown).lower()


def test_every_field_that_holds_ids_is_known() -> None:
    """The fields that edition.py treats as ids are there, and hold text or lists of text."""
    named = {f"{c.__name__}.{f.name}": str(f.type) for c in CLASSES for f in dataclasses.fields(c)}
    assert set(named) >= IDS
    assert {named[i] for i in IDS} <= {"str", "tuple[str, ...]"}
    assert set(named) >= OURS


def test_folder_named_after_a_person_is_renamed() -> None:
    """The report's folder takes its number where the folder's own name tells a person's."""
    whole = dataclasses.replace(_secret(), slug="marla-quenby-boat")
    cover = dataclasses.replace(whole.cover, number="QB 26/1")
    shown, told = _shown(dataclasses.replace(whole, cover=cover), SHUT)
    assert shown.slug == "qb-26-1"
    assert "rename it" in told[0]
    assert _shown(whole, OPEN)[0].slug == "marla-quenby-boat"


@pytest.mark.parametrize("slug", ["zzq41207c515", "boat-zzq-41207-c515", "zzq_41207_c515_sold", "id-4409-zz"])
def test_folder_named_by_a_number_is_renamed_in_public(slug: str) -> None:
    """Hull number and registration in a folder's name are masked by giving it another one."""
    facts = BoatFacts(hull_number="ZZQ41207C515", registration="ID 4409 ZZ")
    cover = Cover(number="QB-1", vessel=Vessel(found=facts), place=Place("cover.md", 2, 1))
    whole = dataclasses.replace(_report(cover=cover), slug=slug)
    public = dataclasses.replace(SHUT, masked=frozenset({"hull number", "serial"}))
    assert _shown(whole, public)[0].slug == "qb-1"
    assert _shown(whole, OPEN)[0].slug == slug


def test_order_tells_no_cost() -> None:
    """Who sees no cost gets the notes' order within a severity: cover first, then by file and line."""
    places = {"dear": ("b.md", 3), "cheap": ("b.md", 2), "other": ("a.md", 9), "first": ("cover.md", 40)}
    found = {id: _finding(id, place=Place(file, line, 1)) for id, (file, line) in places.items()}
    whole = _report(*found.values(), _finding("tool", by_tool=True, place=Place("a.md", 1, 1)))
    shown, _ = _shown(whole, dataclasses.replace(OPEN, shows=OPEN.shows - {"cost"}))
    assert [f.finding.id for f in shown.findings] == ["first", "other", "cheap", "dear", "tool"]
    assert _shown(whole, OPEN)[0].findings[0].finding.id == "dear"


def test_reading_answered_by_what_is_left_out_is_still_answered() -> None:
    """Outside its limit, answered by a finding that only is counted: the page does not call it unanswered."""
    made = dataclasses.replace(OPEN, leaves_out=frozenset({"watch"}))
    outside, within = Assessment("outside"), Assessment("within")
    readings = (
        JudgedReading(Reading(id="r"), assessment=outside, answered_by=("w",)),
        JudgedReading(Reading(id="s"), assessment=outside, answered_by=("w", "a")),
        JudgedReading(Reading(id="t"), assessment=within, answered_by=("w",)),
    )
    whole = _report(_finding("a"), _finding("w", "watch"), readings=readings)
    shown, _ = _shown(whole, made)
    assert [r.answered_by for r in shown.readings] == [(NOT_LISTED,), ("a", NOT_LISTED), ()]


@pytest.mark.parametrize("share", sorted(NOT_PUBLIC))
def test_no_public_edition_shows_whose_boat_it_is_or_the_deal(share: str) -> None:
    """An edition that anybody may read can't be declared with names, numbers, prices or value."""
    with pytest.raises(ValueError, match="is public and shows whose boat"):
        view(_report(), dataclasses.replace(SHUT, shows=frozenset({share})), Problems())


def test_price_that_equals_the_value_takes_nothing_from_our_own_sentences() -> None:
    """What we say of figures that the edition shows stays; the same sum in the writer's text goes."""
    sentence = "The stated market value of $28,500.00 lies within the range."
    worth = Valuation("USD", market=Decimal("28500.00"), compared=(sentence,), reasoning="offered $28,500")
    cover = Cover(price=Price("USD", offered=Decimal("28500.00")), place=Place("cover.md", 2, 1))
    made = dataclasses.replace(OPEN, shows=OPEN.shows - {"price"})
    shown, told = _shown(_report(cover=cover, valuation=worth), made)
    assert shown.valuation is not None
    assert shown.valuation.compared == (sentence,)
    assert shown.valuation.reasoning == "offered [left out]"
    assert len(told) == 1


def test_short_value_is_told_of_once() -> None:
    """A name of three letters is met by accident: one warning where it stands, and the text is left alone."""
    found = (_finding("a", where="Lee saw it"), _finding("b", where="Lee again"))
    shown, told = _shown(_secret(findings=found), SHUT)
    assert shown.findings[0].finding.where == "Lee saw it"
    [line] = told
    assert "'Lee' (people)" in line
    assert "too short" in line


def test_names_of_two_things_stay_two() -> None:
    """Two tests not made whose names were taken out are still two."""
    cover = dataclasses.replace(_secret().cover, tests_not_made={"Marla Quenby": "a", "Quenby, Marla": "b"})
    shown, _ = _shown(_report(cover=cover), SHUT)
    assert len(shown.cover.tests_not_made or ()) == 2


def test_the_view_is_made_of_the_report_alone() -> None:
    """The whole report is not changed by its view."""
    whole = _floored()
    before = repr(whole)
    _shown(whole, SHUT)
    assert repr(whole) == before
    assert issubclass(Finding, FindingKeys)
    assert report.LeftOut() == whole.left_out
    assert isinstance(whole.counted_on, datetime.date)


def test_lowered_finding_stays_for_whoever_read_of_it_as_graver() -> None:
    """A stop that has become one to watch is listed for the insurer, with why; a plain one is counted."""
    was = SeverityWas("stop", "new gasket", datetime.date(2026, 6, 30))
    lowered = Finding(id="head", title="Head", severity="watch", severity_was=was)
    plain = Finding(id="belt", title="Belt", severity="watch")
    less = SeverityWas("watch", "renewed")
    sound = Finding(id="pump", title="Pump", severity="sound", severity_was=less)
    listed = tuple(ListedFinding(n, f) for n, f in enumerate((lowered, plain, sound), 1))
    shown = view(Report(findings=listed), insurer.EDITION, Problems())
    assert [f.finding.id for f in shown.findings] == ["head"]
    assert shown.left_out.findings == (("watch", 1), ("sound", 1))


def test_an_account_of_what_is_left_out_is_left_out_too() -> None:
    """What became of an earlier watch is told to nobody whose edition lists no watch; the rest is."""
    accounts = tuple(followup.Account(severity, severity=severity) for severity in ("stop", "watch"))
    whole = _report(_finding("a"), follow_up=followup.FollowUp(accounts=accounts))
    made = dataclasses.replace(OPEN, leaves_out=frozenset({"watch"}))
    for reader, told in ((OPEN, ["stop", "watch"]), (made, ["stop"])):
        shown, _ = _shown(whole, reader)
        assert shown.follow_up is not None
        assert [a.severity for a in shown.follow_up.accounts] == told


def test_a_short_value_in_prose_is_told_of() -> None:
    """A name of three letters stays in a paragraph as well: the writer is told at its line."""
    text = Prose("Lee was there.", "<p>Lee was there.</p>", Place("engine.md", 9, 1))
    _, told = _shown(_secret(findings=(_finding("a", prose=text),)), SHUT)
    assert [line for line in told if "engine.md:9" in line and "too short" in line]
