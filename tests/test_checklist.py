"""The checklists: whole, short, in our words, named so that a writer's name finds its item."""

from __future__ import annotations

import itertools

import pytest

from reportgen import checklist, racks
from reportgen.blocks.finding import HAZARDS
from reportgen.boats import TYPES
from reportgen.checklist import STATES, TRADES, Checklist, Item, System, plain
from tests.project import PACKAGE

ITEMS = [(type_, item) for type_ in TYPES for system in checklist.of(type_).systems for item in system.items]
each_type = pytest.mark.parametrize("type_", TYPES)


def test_every_type_has_its_file_and_no_other() -> None:
    """One file for each type of boat that the notes may name."""
    files = {p.stem for p in (PACKAGE / "checklists").iterdir()}
    assert files == {type_.replace(" ", "_") for type_ in TYPES}


@each_type
def test_size_is_what_a_surveyor_goes_through(type_: str) -> None:
    """A list is long enough to be a survey and short enough to be read, and no system is empty."""
    systems = checklist.of(type_).systems
    assert 45 <= sum(len(s.items) for s in systems) <= 82
    assert all(s.items for s in systems)
    assert systems[0].name == "identification"


@pytest.mark.parametrize(("type_", "item"), ITEMS, ids=lambda v: v.name if isinstance(v, Item) else v)
def test_item_is_whole(type_: str, item: Item) -> None:
    """A name of one to four lower-case words; how, state, trade, and what is lost by not looking."""
    assert 1 <= len(item.name.split()) <= 4
    assert item.name == item.name.lower()
    assert item.state in STATES
    assert item.who in TRADES
    assert item.hazard in (*HAZARDS, "")
    for line in (item.how, item.could_hide, item.would_take):
        assert 5 < len(line) < 110, line
        assert line == line.strip().rstrip(".")


@each_type
def test_a_name_means_one_item(type_: str) -> None:
    """Names, other names and parts are told apart even as names are compared, and from the systems."""
    listed = checklist.of(type_)
    owners: dict[str, set[str]] = {}
    for item in (i for s in listed.systems for i in s.items):
        for name in (item.name, *item.also, *item.parts):
            owners.setdefault(plain(name), set()).add(item.name)
    assert {name: items for name, items in owners.items() if len(items) > 1} == {}
    systems = [plain(s.name) for s in listed.systems]
    assert len(systems) == len(set(systems))
    assert not set(systems) & set(owners), "a system's name would be taken for one of its items"


def test_every_reading_is_a_kind() -> None:
    """A checklist names only kinds that the rack has."""
    kinds = {kind.name for kind in racks.all_of("kinds", "KIND").values()}
    named = {name for _, item in ITEMS for name in item.readings}
    assert named - kinds == set()


def test_every_kind_covers_an_item() -> None:
    """A reading of any kind covers something on some type of boat."""
    kinds = {kind.name for kind in racks.all_of("kinds", "KIND").values()}
    assert kinds - {name for _, item in ITEMS for name in item.readings} == set()


@pytest.mark.parametrize(
    ("written", "means"),
    [
        ("Seacock", "seacocks"),
        ("the engine mount", "engine mounts"),
        ("raw water pump", "raw-water pump"),
        ("battery", "batteries"),
        ("exhaust hose", "exhaust hoses"),
        ("exhaust elbows", "exhaust risers"),
        ("shaft log hose", "shaft seal"),
    ],
)
def test_name_is_found_as_written(written: str, means: str) -> None:
    """Case, hyphens, plural and a leading "the" make no difference; other names lead to the item."""
    found = checklist.of("gasoline inboard").item(written)
    assert found is not None
    assert found.name == means


@pytest.mark.parametrize(
    ("written", "compared"),
    [
        ("Batteries", "battery"),
        ("Switches and fuses", "switch and fuse"),
        ("The gas hob", "gas hob"),
        ("Shut-offs", "shut off"),
        ("Glass", "glass"),
        ("the", ""),
    ],
)
def test_name_as_it_is_compared(written: str, compared: str) -> None:
    """Each word loses its plural, but gas and glass are no plurals."""
    assert plain(written) == compared


def test_name_that_is_not_there() -> None:
    """A name that the list hasn't gives nothing; a mistyped one has its nearest, a strange one none."""
    listed = checklist.of("gasoline inboard")
    assert listed.item("engine mouts") is None
    near = listed.nearest("engine mouts")
    assert near is not None
    assert near.name == "engine mounts"
    assert listed.nearest("wake tower") is None
    assert listed.item("") is None


def test_systems_are_found_by_name() -> None:
    """A system's name is compared as an item's is."""
    found = checklist.of("sailing yacht").system("The Sea Trial")
    assert found is not None
    assert found.items[0].name == "sails set"
    assert checklist.of("sailing yacht").system("trailer") is None


def test_part_is_told_from_another_name() -> None:
    """The heat exchanger is a part of the cooling, "cooling" is the cooling."""
    cooling = checklist.of("gasoline inboard").item("heat exchanger")
    assert cooling is not None
    assert not cooling.is_all_of("Heat exchangers")
    assert cooling.is_all_of("the Cooling")
    assert cooling.is_all_of("engine cooling")


@pytest.mark.parametrize("type_", ["", "rowing boat", "../sources"])
def test_unknown_type_has_no_list(type_: str) -> None:
    """There is no list for a type that the notes can't name."""
    with pytest.raises(KeyError):
        checklist.of(type_)


def test_list_is_read_once_and_frozen() -> None:
    """The same list is given each time, as blocks that nobody can change."""
    first = checklist.of("sailing yacht")
    assert first is checklist.of("sailing yacht")
    assert isinstance(first, Checklist)
    assert all(isinstance(s, System) and isinstance(s.items, tuple) for s in first.systems)
    with pytest.raises(AttributeError):
        first.systems[0].items[0].name = "x"  # type: ignore[misc]


def test_no_two_items_of_a_type_say_the_same() -> None:
    """A line copied from one item to the next would say how the wrong thing is looked at."""
    for type_, group in itertools.groupby(ITEMS, lambda pair: pair[0]):
        ways = [item.how for _, item in group]
        assert len(ways) == len(set(ways)), type_
