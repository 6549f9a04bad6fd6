"""Every hazard, test and type of boat has its cautions; none is lost, and none is without a source."""

from __future__ import annotations

import dataclasses
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reportgen import cautions, racks, sources, units, wording
from reportgen.blocks.finding import HAZARDS, Checked
from reportgen.boats import TYPES
from reportgen.findings import UseLimit
from reportgen.kind import Assessment, Kind
from reportgen.model import Finding, Gap

KINDS: dict[str, Kind] = racks.all_of("kinds", "KIND")


def _kind(name: str, hazards: tuple[str, ...] = ()) -> Kind:
    return Kind(
        name, name.title(), "", object, (), (), lambda r, a: Assessment(), (), (), {}, *[""] * 4, hazards
    )


def _ids(*args: object) -> list[str]:
    return [c.id for c in cautions.attach(*args)]  # type: ignore[arg-type]


# ---- what every entry has to be


@pytest.mark.parametrize("entry", cautions.entries(), ids=lambda e: e.caution.id)
def test_every_caution_is_whole(entry: cautions.Entry) -> None:
    """It says what can happen, what to do, who may mend it, and who publishes it; something calls for it."""
    caution = entry.caution
    assert caution.hazard in (*HAZARDS, "general")
    assert caution.text.endswith(".")
    assert caution.do.endswith(".")
    assert caution.who or entry.always
    assert caution.source_ids
    for id in caution.source_ids:
        assert str(sources.get(id)) in caution.source
        assert sources.get(id).read
    assert entry.hazards or entry.kinds or entry.types or entry.any_reading or entry.always


@pytest.mark.parametrize("entry", cautions.entries(), ids=lambda e: e.caution.id)
def test_cautions_are_calm_and_short(entry: cautions.Entry) -> None:
    """No sentence over 26 words, no capitals for alarm, no exclamation mark, and nothing is called safe."""
    for text in (entry.caution.text, entry.caution.do, entry.caution.who):
        assert "!" not in text
        assert not re.search(r"\b(safe|safely|safer)\b", text, re.I)
        assert not re.search(r"\b(?!RPM)[A-Z]{4,}\b", text)
        assert max(len(sentence.split()) for sentence in re.split(r"[.;:] ", text)) <= 26


# Source: 33 CFR 183.610(f), the words of the blower's label (row BLO-L, printed).
def test_blower_is_run_as_long_as_its_label_tells() -> None:
    """Four minutes before each start, with the label as the source."""
    [caution] = [e.caution for e in cautions.entries() if "blower for" in e.caution.do]
    assert "run the blower for at least 4 minutes" in caution.do
    assert "33 CFR 183.610(f)" in caution.source


def test_what_was_not_read_says_so() -> None:
    """A source from memory and one that doesn't exist are told on the page itself."""
    by_id = {e.caution.id: e.caution.source for e in cautions.entries()}
    assert "from memory" in by_id["hot-parts"]
    assert "common practice, no source" in by_id["moving-parts"]
    assert "memory" not in by_id["carbon-monoxide"]
    for entry in cautions.entries():
        for source in map(sources.get, entry.caution.source_ids):
            assert ("memory" in entry.caution.source) or "memory" not in source.read
            assert source.publisher or "no source" in source.title


def test_sources_of_cautions_are_all_used() -> None:
    """No row stands in sources.yaml for a caution that is gone."""
    used = {id for e in cautions.entries() for id in e.caution.source_ids}
    assert {id for id in sources.all_sources() if id.startswith("caution-")} <= used


def test_hazards_stand_together_worst_first_general_last() -> None:
    """What kills without a warning leads; one hazard isn't scattered over the page."""
    order = list(dict.fromkeys(e.caution.hazard for e in cautions.entries()))
    assert len([1 for a, b in zip(_hazards(), _hazards()[1:], strict=False) if a != b]) == len(order) - 1
    assert order[:3] == ["explosion", "carbon monoxide", "electric shock"]
    assert order[-1] == "general"
    assert order.index("flooding") < order.index("loss of propulsion") < order.index("pollution")


def _hazards() -> list[str]:
    return [e.caution.hazard for e in cautions.entries()]


def test_a_trigger_that_no_note_can_have_is_refused() -> None:
    """A slip in the data would mean a caution that never attaches."""
    row = {"hazard": "fire", "text": "", "do": "", "who": "", "sources": [], "when": {"hazards": ["fier"]}}
    with pytest.raises(ValueError, match="fier is not known"):
        cautions._entry("slip", row)
    for name, word in (("types", "rowing boat"), ("only", "coal"), ("freely", "fier")):
        with pytest.raises(ValueError, match=f"{word} is not known"):
            cautions._entry("slip", row | {"when": {name: [word]}})
    with pytest.raises(ValueError, match="whenever is not known"):
        cautions._entry("slip", row | {"when": {"whenever": ["fire"]}})


def test_no_two_cautions_have_one_name() -> None:
    """Who publishes a caution stands on another page: its name alone has to tell which it is."""
    for language in ("en", "es", "fr", "de", "nl"):
        with wording.speaking(language):
            every = cautions.attach(
                [Finding(id=h, hazards=(h,)) for h in HAZARDS], tuple(KINDS.values()), "sailing yacht"
            )
            names = [c.name for c in every]
            assert len(set(names)) == len(names) > 15
    assert len({(e.caution.hazard, e.caution.about) for e in cautions.entries()}) == len(cautions.entries())


# ---- what calls for a caution


@pytest.mark.parametrize("hazard", HAZARDS)
def test_every_hazard_of_a_finding_brings_its_own_caution(hazard: str) -> None:
    """A finding that names a hazard gets a caution of that very hazard, with the finding's id."""
    attached = cautions.attach((Finding(id="f1", hazards=(hazard,)),), (), "")
    own = [c for c in attached if c.hazard == hazard]
    assert own
    assert all(c.because == c.findings == ("f1",) for c in own)


@pytest.mark.parametrize("boat_type", TYPES)
def test_every_type_of_boat_has_cautions(boat_type: str) -> None:
    """Carbon monoxide and rescue gear concern them all; each type has more of its own."""
    attached = {c.id: c for c in cautions.attach((), (), boat_type)}
    assert {"carbon-monoxide", "rescue-gear", "general"} < set(attached)
    assert attached["carbon-monoxide"].because == (boat_type,)


def test_cautions_follow_the_type() -> None:
    """A mast concerns sailing yachts alone, fuel vapour those that burn gasoline."""
    by_type = {t: set(_ids((), (), t)) for t in TYPES}
    assert [t for t in TYPES if "dismasting" in by_type[t]] == ["sailing yacht"]
    assert [t for t in TYPES if "fuel-vapour" in by_type[t]] == [
        "outboard runabout",
        "gasoline sterndrive",
        "gasoline inboard",
    ]
    assert [t for t in TYPES if "shock-in-the-water" in by_type[t]] == [
        "gasoline inboard",
        "diesel inboard cruiser",
        "sailing yacht",
    ]


@pytest.mark.parametrize("name", KINDS)
def test_every_kind_taken_brings_a_caution_that_names_it(name: str) -> None:
    """Whatever was measured, the page says what taking it can mean."""
    kind = KINDS[name]
    title = f"{kind.title[0].lower()}{kind.title[1:]}"
    named = [c for c in cautions.attach((), (kind, kind), "") if c.because == (title,)]
    assert "readings" in [c.id for c in named]
    assert {c.hazard for c in named} >= set(kind.hazards)


def test_compression_and_leak_down_have_cautions_of_their_own() -> None:
    """Ignition and fuel off for the one, the crankshaft held for the other; blanks and hyphens are alike."""
    assert _ids((), (_kind("compression"),), "") == [
        "compression-test",
        "compression-test-diesel",
        "running-ashore",
        "readings",
        "general",
    ]
    assert _ids((), (_kind("leak-down"),), "") == ["leak-down-test", "readings", "general"]
    assert _ids((), (_kind("leak down"),), "") == ["leak-down-test", "readings", "general"]


def test_kinds_named_in_the_data_exist() -> None:
    """A test's caution is no dead letter."""
    known = {cautions._plain(kind.name) for kind in KINDS.values()}
    assert {cautions._plain(name) for e in cautions.entries() for name in e.kinds} <= known


def test_hazards_of_taking_a_reading_bring_cautions() -> None:
    """A new kind declares its hazards and needs no change here."""
    attached = cautions.attach((), (_kind("squeak", ("lifting",)),), "")
    assert [(c.id, c.because) for c in attached] == [
        ("lifting-and-blocking", ("squeak",)),
        ("readings", ("squeak",)),
        ("general", ("every report",)),
    ]


def test_each_once_with_all_that_calls_for_it() -> None:
    """One caution names findings, tests and the type together."""
    found = (Finding(id="a", hazards=("fire", "explosion")), Finding(id="b", hazards=("fire",)))
    attached = cautions.attach(found, (_kind("squeak", ("fire",)),), "gasoline inboard")
    (fire,) = (c for c in attached if c.id == "fire")
    assert fire.because == (*fire.findings, "squeak") == ("a", "b", "squeak")
    (vapour,) = (c for c in attached if c.id == "fuel-vapour")
    assert vapour.because == ("a", "gasoline inboard")


def test_fuel_vapour_has_no_place_on_a_diesel() -> None:
    """A gas leak on a diesel boat calls for the gas caution, not for the one on gasoline."""
    found = (Finding(id="a", hazards=("explosion",)),)
    ids = _ids(found, (), "diesel inboard cruiser")
    assert "cooking-gas" in ids
    assert "fuel-vapour" not in ids
    assert "fuel-vapour" in _ids(found, (), "aluminium workboat")


def test_cooking_gas_is_for_boats_that_have_it() -> None:
    """A leak of gasoline sends nobody to a gas fitter; a leak of gas does, on whatever boat."""
    gasoline = Finding(id="a", title="Fuel hose weeps", hazards=("explosion",))
    gas = Finding(id="b", title="Hob", where="galley, LPG hose", hazards=("explosion",))
    vapour, pressure = (_kind(name, ("explosion",)) for name in ("vapour", "gas-pressure"))
    assert "cooking-gas" not in _ids((gasoline,), (vapour,), "gasoline inboard")
    (caution,) = (
        c for c in cautions.attach((gasoline, gas), (), "gasoline inboard") if c.id == "cooking-gas"
    )
    assert caution.because == ("b",)
    assert "cooking-gas" in _ids((), (pressure,), "gasoline inboard")


def _because(id: str, *args: object) -> tuple[str, ...]:
    """Give what calls for one caution; nothing where it does not stand."""
    return next((c.because for c in cautions.attach(*args) if c.id == id), ())  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("finding", "fits"),
    [
        (Finding(title="Extinguisher in the red", system="fuel", hazards=("fire",)), False),
        (Finding(title="Wire chafed", system="electrical", hazards=("fire",)), False),
        (Finding(title="Hose hard", item="fuel hoses", hazards=("fire",)), True),
        (Finding(title="Hose hard", system="fuel", hazards=("fire",)), True),
        (Finding(title="Gas tank weeps", hazards=("explosion",)), True),
        (Finding(title="Bilge smells", hazards=("explosion",)), True),
        (Finding(title="Hob leaks propane", hazards=("explosion", "fire")), False),
        (Finding(title="Battery vents into the cabin", hazards=("explosion",)), False),
        (Finding(title="Battery loose", risk="sparks beside the fuel tank", hazards=("explosion",)), True),
        (Finding(title="Extinguisher empty", risk="fuel in the bilge", hazards=("fire", "explosion")), True),
    ],
    ids=lambda each: each.title if isinstance(each, Finding) else "",
)
def test_fuel_vapour_is_called_for_by_what_may_let_it_out_or_light_it(finding: Finding, fits: bool) -> None:
    """An extinguisher under `fuel` is no fuel leak; an explosion that names no other cause counts as one."""
    named = dataclasses.replace(finding, id="a")
    assert ("a" in _because("fuel-vapour", (named,), (), "aluminium workboat")) == fits
    assert any(c.hazard in finding.hazards for c in cautions.attach((named,), (), "aluminium workboat"))


def test_a_hazard_that_no_words_fit_still_has_a_caution() -> None:
    """It gets the first of the hazard that the boat can have, be it a finding or a new kind of reading."""
    found = (Finding(id="a", title="Battery box", hazards=("structure", "explosion")),)
    spirit = (Finding(id="a", title="Stove spirit in the bilge", hazards=("explosion",)),)
    new = (_kind("squeak", ("explosion",)),)
    assert _because("structure", found, (), "sailing yacht") == ("a",)
    assert _because("fuel-vapour", spirit, new, "aluminium workboat") == ("a", "squeak")
    assert _because("cooking-gas", spirit, new, "diesel inboard cruiser")[:2] == ("a", "squeak")


def test_a_battery_test_is_about_batteries() -> None:
    """Hydrogen on charge, not fuel; and a battery of 12 V gives no shock in the water."""
    for name in ("battery", "battery_fastening", "battery_load", "cranking_amps", "charging"):
        ids = _ids((), (KINDS[name],), "aluminium workboat")
        assert "batteries" in ids
        assert not {"fuel-vapour", "shock-in-the-water", "cooking-gas"} & set(ids)


def test_an_engine_that_burns_gasoline_brings_fuel_vapour() -> None:
    """Types that don't tell the fuel have it from the engines found, also a small one on a diesel boat."""
    assert _because("fuel-vapour", (), (), "aluminium workboat", False, ("gasoline",)) == ("gasoline",)
    assert _because("fuel-vapour", (), (), "sailing yacht", False, ("diesel", "gasoline")) == ("gasoline",)
    assert "gasoline" in _because("fuel-vapour", (), (), "diesel inboard cruiser", False, ("gasoline",))
    assert not _because("fuel-vapour", (), (), "sailing yacht", False, ("diesel",))
    assert _because("fuel-vapour", (), (), "gasoline inboard", False, ("gasoline",)) == ("gasoline inboard",)


@pytest.mark.parametrize(
    ("boat_type", "fuels", "gasoline", "diesel"),
    [
        ("diesel inboard cruiser", ("diesel", "diesel"), False, True),
        ("diesel inboard cruiser", (), False, True),
        ("diesel inboard cruiser", ("diesel", "gasoline"), True, True),
        ("gasoline sterndrive", ("",), True, False),
        ("aluminium workboat", ("diesel",), False, True),
        ("aluminium workboat", ("diesel", ""), True, True),
        ("sailing yacht", (), True, True),
    ],
)
def test_a_compression_test_warns_of_the_fuel_that_is_burnt(
    boat_type: str, fuels: tuple[str, ...], gasoline: bool, diesel: bool
) -> None:
    """No ignition to disable on a diesel, no injectors to take out of the others; unknown has both."""
    ids = _ids((), (KINDS["compression"],), boat_type, False, fuels)
    assert ("compression-test" in ids, "compression-test-diesel" in ids) == (gasoline, diesel)


def test_a_dry_pump_is_called_for_by_pumps() -> None:
    """Hot coolant says nothing of an impeller, whatever else its text mentions."""
    gas = Finding(id="a", title="Gas in the coolant", hazards=("hot parts",), risk="impeller and head suffer")
    pump = Finding(id="b", title="Water pump due", hazards=("loss of propulsion",))
    found = (gas, pump)
    assert _because("running-ashore", found, (KINDS["spark_plugs"],), "") == ("b",)
    assert _because("hot-parts", found, (), "") == ("a",)
    assert _because("propulsion", found, (), "") == ("b",)


def test_current_through_a_hull_is_no_weak_stringer() -> None:
    """Of an electrical fault the electrician reads what current does; any other loss of strength stays so."""
    light = Finding(id="a", system="electrical", hazards=("structure",), risk="current through the hull")
    tray = Finding(id="b", system="electrical", title="Tray broke the stringer", hazards=("structure",))
    rudder = Finding(id="c", system="hull", title="Post cracked in a current", hazards=("structure",))
    found = (light, tray, rudder)
    assert _because("hull-current", found, (), "") == ("a",)
    assert _because("structure", found, (), "") == ("b", "c")


@given(
    st.lists(st.lists(st.sampled_from(HAZARDS), max_size=3), max_size=5),
    st.lists(st.sampled_from(HAZARDS), max_size=2),
    st.sampled_from(["", *TYPES]),
)
def test_no_caution_is_lost_doubled_or_out_of_order(
    hazards: list[list[str]], taking: list[str], boat_type: str
) -> None:
    """More findings never take a caution away, the order stays, and the general caution is always last."""
    found = tuple(Finding(id=f"f{n}", hazards=tuple(h)) for n, h in enumerate(hazards))
    ids = _ids(found, (_kind("squeak", tuple(taking)),), boat_type)
    assert ids == [e.caution.id for e in cautions.entries() if e.caution.id in ids]
    assert len(set(ids)) == len(ids)
    assert ids[-1] == "general"
    for fewer in range(len(found)):
        assert set(_ids(found[:fewer], (), boat_type)) <= set(ids)
    attached = {c.hazard for c in cautions.attach(found, (), boat_type)}
    assert {hazard for each in hazards for hazard in each} <= attached


def test_a_checked_finding_keeps_its_caution() -> None:
    """The state of a finding takes no caution away: a missing caution can hurt, one more can't."""
    checked = Finding(id="f1", severity="stop", hazards=("flooding",), checked=Checked(by="R. Teasel"))
    assert checked.state == "checked"
    assert "flooding" in _ids((checked,), (), "")


# ---- the headline

LIMIT = UseLimit("running the engine", ("a",), ("Riser",))


def _gaps(*parts: str, system: str = "") -> tuple[Gap, ...]:
    return tuple(Gap(part, system) for part in parts)


NONE_FOUND = "No use limit was found in what was inspected."
ONE = "One thing must not be done with the boat until put right and checked."
TWO = "Two things must not be done with the boat until put right and checked."


@pytest.mark.parametrize(
    ("limits", "gaps", "first", "second"),
    [
        (0, _gaps(), NONE_FOUND, "No part is noted as not inspected."),
        (0, _gaps("keel bolts"), NONE_FOUND, "One part was not inspected."),
        (0, _gaps("rudder"), NONE_FOUND, "One part was not inspected: steering."),
        (0, _gaps("keel bolts", "mast step"), NONE_FOUND, "Two parts were not inspected."),
        (
            0,
            _gaps("keel bolts", "fuel tank", "shore power inlet"),
            NONE_FOUND,
            "Three parts were not inspected, among them fuel and shore power.",
        ),
        (1, _gaps("rudder"), ONE, "One part was not inspected: steering."),
        (2, _gaps(), TWO, "No part is noted as not inspected."),
    ],
)
def test_headline(limits: int, gaps: tuple[Gap, ...], first: str, second: str) -> None:
    """It is said of what was inspected only, with the count of what was not."""
    assert cautions.headline((LIMIT,) * limits, gaps) == f"{first} {second}"


@pytest.mark.parametrize(
    ("part", "system", "named"),
    [
        ("fuel tank", "", ("fuel",)),
        ("gasoline hoses", "", ("fuel",)),
        ("Port exhaust riser", "", ("exhaust",)),
        ("hose clamps", "exhaust", ("exhaust",)),
        ("steering cable", "", ("steering",)),
        ("Rudder bearings", "", ("steering",)),
        ("gas locker", "", ("gas",)),
        ("LPG hose", "", ("gas",)),
        ("shore-power cord", "", ("shore power",)),
        ("gas tank", "", ("fuel", "gas")),  # either may be meant, so both are named
        ("head gasket", "", ()),
        ("power take-off", "", ()),
        ("shoreline cable", "", ("shore power",)),
        ("shore party's dinghy", "", ()),
        ("mast step", "rig", ()),
        ("fuel sender", "fuel", ()),
        ("Fuel gauge", "engine", ()),
        ("fuel tank and sender", "", ("fuel",)),
    ],
)
def test_grave_gaps_are_named(part: str, system: str, named: tuple[str, ...]) -> None:
    """Whole words decide, in the part or its system."""
    assert cautions.grave_gaps(_gaps(part, system=system)) == named


@given(st.lists(st.text(max_size=20), max_size=15), st.integers(0, 15))
def test_headline_never_calls_a_boat_safe(parts: list[str], limits: int) -> None:
    """Whatever the notes say, the headline's own words promise nothing, and the count is right."""
    words = cautions.headline((LIMIT,) * limits, _gaps(*parts))
    assert "safe" not in words.lower()
    assert ("No use limit was found in what was inspected" in words) == (limits == 0)
    number = cautions.number_in_words(len(parts))
    assert f"{number} part{'s were' if len(parts) > 1 else ' was' if parts else ' is'}" in words.lower()


def test_the_headline_never_repeats_a_parts_own_words() -> None:
    """They may hold a name that an edition has to leave out."""
    assert "Nobody" not in cautions.headline((), _gaps("fuel tank of J. Nobody"))


# ---- figures in the reader's units


@pytest.mark.parametrize("entry", [e for e in cautions.entries() if e.figures], ids=lambda e: e.caution.id)
def test_metric_figures_are_those_of_the_source(entry: cautions.Entry) -> None:
    """To the last figure printed, and a least distance is never less. Source: the yard is 0.9144 m."""
    for noted, metric in entry.figures.values():
        (value, _, unit), (other, _, own) = noted.partition(" "), metric.partition(" ")
        there, unit = (3 * float(value), "ft") if unit == "yards" else (float(value), unit)
        step = 0.1 if "." in other else 1.0
        assert units.convert(there, unit, own) == pytest.approx(float(other), abs=step / 2)
        assert own == "°C" or float(other) >= units.convert(there, unit, own)


@pytest.mark.parametrize(
    ("language", "system", "metric", "said"),
    [
        ("en", "", False, "at least 20 ft from"),
        ("en", "", True, "at least 6.1 m (20 ft) from"),
        ("en", "metric", False, "at least 6.1 m (20 ft) from"),
        ("en", "us", True, "at least 20 ft from"),
        ("en", "both", False, "at least 20 ft (6.1 m) from"),
        ("en", "both", True, "at least 6.1 m (20 ft) from"),
        ("de", "", False, "mindestens 6,1 m (20 ft) von"),
    ],
)
def test_distances_stand_in_the_reader_s_units(language: str, system: str, metric: bool, said: str) -> None:
    with wording.speaking(language, system):
        told = cautions.attach([], [], "diesel inboard cruiser", metric)
    assert any(said in c.do for c in told)
    assert not any("{" in c.do + c.text for c in told)
