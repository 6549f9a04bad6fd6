"""A user's own edition: made from one of ours, with no more than that reader may get, and all floors."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from pathlib import Path

import pytest

from reportgen import asjson, ownedition, pages, publish, racks, theme
from reportgen.edition import CATEGORIES, NEVER, Edition
from reportgen.errors import NotesError, Problems, UsageError
from reportgen.passage import Passage
from reportgen.report import Report
from tests import made, sweep, whole
from tests.test_leaks import _may_show
from tests.whole import Filled

EDITIONS: Mapping[str, Edition] = racks.all_of("editions", "EDITION")
PASSAGES: Mapping[str, Passage] = racks.all_of("passages", "PASSAGE")


def _read(folder: Path, text: str, name: str = "marina") -> tuple[Edition | None, list[str]]:
    """Read an edition from its text; what is told, without the folder's path."""
    path = folder / f"{name}.yaml"
    path.write_text(text, encoding="utf-8")
    problems = Problems()
    made_ = ownedition.read(path, problems)
    return made_, [str(p).removeprefix(f"{folder}/") for p in problems]


def test_it_starts_from_one_of_ours(tmp_path: Path) -> None:
    """With nothing else said it is that edition under another name."""
    made_, told = _read(tmp_path, "starts from: lender\n")
    assert not told
    assert made_ is not None
    base = EDITIONS["lender"]
    same = {f.name for f in dataclasses.fields(Edition)} - {"name", "base", "place", "may_add"}
    assert {n: getattr(made_, n) for n in same} == {n: getattr(base, n) for n in same}
    assert (made_.name, made_.base, made_.may_add) == ("marina", "lender", frozenset())


def test_it_adds_and_takes_away(tmp_path: Path) -> None:
    """Categories, severities and parts; a part that is added stands where the widest edition has it."""
    text = (
        "starts from: lender\ntitle: For the berth\nreader: Made for the harbour office\n"
        "show: [agreed price, cost totals]\nhide: [value, people]\nmask: [serial]\n"
        "list: watch\nleave out: schedule\nadd: [estimate, settlement]\ndrop: [narrative, valuation]\n"
    )
    made_, told = _read(tmp_path, text)
    assert not told
    assert made_ is not None
    base = EDITIONS["lender"]
    assert (made_.title, made_.reader) == ("For the berth", "Made for the harbour office.")
    gone = {"value", "people", "serial"}
    assert made_.shows == (base.shows - gone) | {"agreed price", "cost totals"}
    assert made_.masked == {"serial"}
    assert made_.leaves_out == {"schedule", "sound"}
    assert not {"narrative", "valuation"} & set(made_.passages)
    at = made_.passages.index
    assert at("not_inspected") < at("estimate") < at("settlement") < at("cautions")


WRONG = {
    "starts from: lander\n": "1:14: starts from: found 'lander'; write lender",
    "title: x\n": "1:1: starts from: "
    "an edition has no starts from; "
    "write starts from: one of ours that it starts from",
    "starts from: seller\nshow: [cost, price]\n": "2:14: show: "
    "price is kept from whoever gets the "
    "seller edition; take it out; it may add cost, cost totals or work",
    "starts from: buyer\nshow: private\n": "2:7: show: "
    "private is kept from whoever gets the buyer "
    "edition; take it out; it may add nothing",
    "starts from: buyer\nshow: exact place\n": "2:7: show: "
    "exact place is kept from whoever gets the "
    "buyer edition; take it out; it may add nothing",
    "starts from: buyer\nhide: open\n": "2:7: hide: what protects the reader stands under open; take it out",
    "starts from: buyer\nmask: cost\n": "2:7: mask: cost can't be masked; write hull number or serial",
    "starts from: buyer\nleave out:\n  - sound\n  - stop\n": "4:5: leave out: "
    "no edition leaves stop findings out; take it out",
    "starts from: buyer\ndrop: [narrative, use limits]\n": "2:19: drop: "
    "no edition drops the part use limits; take it out",
    "starts from: buyer\ndrop: readigns\n": "2:7: drop: found 'readigns'; write readings",
    "starts from: buyer\nhide: price\nmask: serial\nshow: price\n": "4:7: show: "
    "price is both shown and hidden; keep one of the two",
    "starts from: buyer\nhides: price\n": "2:1: hides: unknown key 'hides' in an edition; write hide",
    "starts from: buyer\nshow: &a cost\n": "2:7: show: '&a' begins with &, which YAML reads as an anchor",
}


@pytest.mark.parametrize("text", WRONG)
def test_mistake_is_told_at_its_place(tmp_path: Path, text: str) -> None:
    """Line, column, key, what was found and what to write; such an edition is not used."""
    made_, told = _read(tmp_path, text)
    assert made_ is None
    assert any(line.startswith(f"marina.yaml:{WRONG[text]}") for line in told), told


@pytest.mark.parametrize(
    ("name", "says"), [("seller", "is an edition of ours"), ("Marina 2", "is no name of an edition")]
)
def test_name_of_the_file_is_the_name_of_the_edition(tmp_path: Path, name: str, says: str) -> None:
    """A file can't take the place of one of ours, nor have a name that nobody can type."""
    made_, told = _read(tmp_path, "starts from: buyer\n", name)
    assert made_ is None
    assert says in told[0]


@pytest.mark.parametrize("data", [b"starts from: \xff\n", b"#" * 100_001])
def test_file_that_is_no_text_is_refused(tmp_path: Path, data: bytes) -> None:
    """Not UTF-8, or of a size that no edition has."""
    path = tmp_path / "marina.yaml"
    path.write_bytes(data)
    problems = Problems()
    assert ownedition.read(path, problems) is None
    assert len(problems.errors) == 1


@pytest.mark.parametrize("base", EDITIONS)
def test_what_is_private_to_the_base_can_never_be_added(tmp_path: Path, base: str) -> None:
    """Each category that the base neither shows nor may add is an error, and in no case shown."""
    kept = set(CATEGORIES) - EDITIONS[base].shows - EDITIONS[base].may_add - {"open"}
    assert {"private", "exact place"} <= kept
    for category in kept:
        made_, told = _read(tmp_path, f"starts from: {base}\nshow: {category}\n")
        assert made_ is None, category
        assert f"{category} is kept from whoever gets the {base} edition" in told[0]


@pytest.mark.parametrize("base", EDITIONS)
def test_choices_of_ours_stay_within_the_rules(base: str) -> None:
    """What an own edition may add is known, not shown anyway, and never private or of use to a thief."""
    may_add = EDITIONS[base].may_add
    assert may_add <= set(CATEGORIES) - NEVER - EDITIONS[base].shows - {
        "exact place",
        "hull number",
        "serial",
    }


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Filled:
    """Give a survey with every key filled in."""
    return whole.write(tmp_path_factory.mktemp("own") / "boat")


@pytest.fixture(scope="module")
def full(filled: Filled) -> Report:
    """Give its report."""
    return made.built(filled.folder)


def _list(words: object) -> str:
    return f"[{', '.join(sorted(words))}]"  # type: ignore[call-overload]


@pytest.mark.parametrize("base", EDITIONS)
def test_barest_edition_still_protects(tmp_path: Path, full: Report, base: str) -> None:
    """With all dropped that can be, the stops, use limits, cautions and gaps are all there."""
    ours = EDITIONS[base]
    parts = {n for n in ours.passages if not (PASSAGES[n].floor or PASSAGES[n].page)}
    text = (
        f"starts from: {base}\nhide: {_list(ours.shows | ours.masked)}\n"
        f"leave out: {_list({'settle', 'schedule', 'watch', 'sound'})}\n"
        f"drop: {_list(n.replace('_', ' ') for n in parts)}\n"
    )
    bare, told = _read(tmp_path, text)
    assert not told
    assert bare is not None
    assert not bare.shows | bare.masked
    shown = made.shown(full, bare)
    assert [u.what for u in shown.use_limits] == [u.what for u in full.use_limits]
    assert [c.text for c in shown.cautions] == [c.text for c in full.cautions]
    assert [g.part for g in shown.not_inspected] == [g.part for g in full.not_inspected]
    assert {f.finding.severity for f in shown.findings} == {"stop"}
    page, *_ = pages.arrange(shown, bare, {}, "0000", charts=False)
    assert {n for n, p in PASSAGES.items() if p.floor} <= {p["name"] for p in page.values["passages"]}


@pytest.mark.parametrize("base", EDITIONS)
def test_fullest_edition_leaks_nothing(tmp_path: Path, filled: Filled, base: str) -> None:
    """With all added that may be, no value of another category is in any byte of the packet."""
    ours = EDITIONS[base]
    parts = set(PASSAGES) - set(ours.passages)
    folder = tmp_path / ownedition.FOLDER
    folder.mkdir()
    text = (
        f"starts from: {base}\nshow: {_list(ours.may_add)}\nlist: {_list(ours.leaves_out)}\n"
        f"add: {_list(n.replace('_', ' ') for n in parts)}\n"
    )
    own, told = _read(folder, text, "fullest")
    assert not told
    assert own is not None
    publish.publish(filled.folder, tmp_path / "out", publish.Wish(own, theme.find(), charts=False))
    files = sweep.files_in(tmp_path / "out")
    may = _may_show(base) | ours.may_add | ({"sound"} if ours.leaves_out else set())
    hidden = {t.value: t.path for t in filled.tokens if t.hidden(frozenset(may))}
    assert len(hidden) > 15
    found = sweep.found(files, hidden)
    assert not {hidden[value]: where for value, where in found.items()}


def test_lender_may_be_told_the_price_agreed_and_totals(tmp_path: Path, full: Report) -> None:
    """Those two alone, on the page and in the data: no other price, no cost of any one repair."""
    own, told = _read(
        tmp_path, "starts from: lender\nshow: [agreed price, cost totals]\nlist: [watch, sound]\n"
    )
    assert not told
    assert own is not None
    for edition, shown in ((own, True), (EDITIONS["lender"], False)):
        view = made.shown(full, edition)
        data = asjson.document(view, edition)
        page, *_ = pages.arrange(view, edition, {}, "0000", charts=False)
        parts = {p["name"]: p["v"] for p in page.values["passages"]}
        assert bool(parts["valuation"]["agreed"]) is shown
        assert len(parts["at_a_glance"]["totals"]) == (2 if shown else 0)
        assert data.get("price", {}).keys() == ({"currency", "agreed"} if shown else set())
        assert [t["severity"] for t in data.get("cost_totals", [])] == (["stop", "settle"] if shown else [])
        assert not {"estimate", "settlement"} & set(data)


def test_total_goes_with_a_row_that_is_left_out(tmp_path: Path, full: Report) -> None:
    """Totals by severity are gone as soon as a finding with a price is not listed."""
    own, _ = _read(tmp_path, "starts from: lender\nshow: cost totals\nleave out: settle\n")
    assert own is not None
    assert full.cost_totals
    assert made.shown(full, own).cost_totals == ()


def test_words_of_the_edition_are_looked_through(tmp_path: Path) -> None:
    """A private name in its title or reader would stand on every page: an error at the file."""
    people = {"surveyor": {"name": "Ruth Halvane"}, "seller": {"name": "Marla Quenby"}}
    survey = made.write(tmp_path / "boat", {**made.TINY, "people": people})
    own, _ = _read(tmp_path, "starts from: yard\nreader: For the yard of Marla Quenby\n")
    assert own is not None
    with pytest.raises(NotesError, match=r"marina\.yaml: 'Marla Quenby' \(people\) stands in the words of"):
        publish.publish(survey, tmp_path / "out", publish.Wish(own, theme.find(), charts=False))


def test_it_is_found_beside_the_notes(tmp_path: Path) -> None:
    """By its name, in the folder of the notes or of the note; `check` tells what is wrong with it."""
    survey = made.write(tmp_path / "boat", made.TINY)
    (survey / "editions").mkdir()
    file = survey / "editions" / "marina.yaml"
    file.write_text("starts from: yard\n", encoding="utf-8")
    for source in (survey, survey / "cover.md"):
        assert publish.edition_named("marina", source).base == "yard"
    with pytest.raises(UsageError, match="no edition is called 'marna'; write marina"):
        publish.edition_named("marna", survey)
    with pytest.raises(UsageError):
        publish.edition_named("marina")
    file.write_text("starts from: yard\nshow: price\n", encoding="utf-8")
    with pytest.raises(NotesError, match="price is kept from whoever gets the yard edition"):
        publish.edition_named("marina", survey)
    for source in (survey, tmp_path):
        problems = Problems()
        publish.check(source, problems)
        assert [p.place.line for p in problems.errors] == [2]
