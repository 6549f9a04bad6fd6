"""Hull potential: each published range from both sides, what it needs to hold, other electrodes, waters."""

from __future__ import annotations

import pytest

from reportgen.kind import About
from reportgen.potentials import METALS, RANGES
from tests.kinds.noted import assessed, mistakes

SEA = "electrode: silver/silver chloride\nwater: sea\n"
SOURCE = 'source: "invented yard standard 12"'


def outcome(values: str, hull: str = "fibreglass with inboard", more: str = SEA) -> str:
    """Give the outcome of potentials in mV against silver/silver chloride in sea water."""
    return assessed(f"kind: hull-potential\nplaces: {values}\nhull: {hull}\n{more}").outcome


# POT-1, POT-4, POT-5, R p: the anode seller's table, read as text; the two rows for aluminium were read on
# the same page: fibreglass with aluminium drive -900 to -1050, aluminium -900 to -1100.
@pytest.mark.parametrize(
    ("hull", "least", "most"),
    [
        ("fibreglass with inboard", -750, -1000),
        ("fibreglass with aluminium drive", -900, -1050),
        ("aluminium", -900, -1100),
        ("steel", -800, -1050),
        ("wood", -550, -600),
    ],
)
def test_range_of_each_hull(hull: str, least: int, most: int) -> None:
    """A value equal to either end is within, one beyond it is outside on that side."""
    assert RANGES[hull] == (most, least)
    for inside in (least, most, least - 0.1, most + 0.1, (least + most) / 2):
        assert outcome(f"{{shaft: {inside}}}", hull) == "within"
    for beyond in (least + 0.1, most - 0.1):
        assert outcome(f"{{shaft: {beyond}}}", hull) == "outside"


# POTC-3, POTC-4, POTC-6, R k: the verdicts of the rows.
@pytest.mark.parametrize(
    ("hull", "value", "said"),
    [
        ("fibreglass with inboard", -700, "Too little protection at shaft with -700 mV"),
        ("aluminium", -1150, "Too negative at shaft with -1150 mV"),
        ("wood", -750, "Too negative at shaft with -750 mV"),
    ],
)
def test_verdict_is_in_the_trades_words(hull: str, value: int, said: str) -> None:
    """Below zero at least and at most mislead, so that the reason says too little or too negative."""
    found = assessed(f"kind: hull-potential\nplaces: {{shaft: {value}}}\nhull: {hull}\n{SEA}")
    assert found.outcome == "outside"
    assert found.because.startswith(said)


@pytest.mark.parametrize(("hull", "eaten"), [("aluminium", "aluminium"), ("wood", "timber")])
def test_too_negative_is_said_to_harm(hull: str, eaten: str) -> None:
    """Of aluminium and wood the page says that too much harms, even where it reads within."""
    low, high = RANGES[hull]
    found = assessed(f"kind: hull-potential\nplaces: {{a: {(low + high) / 2}}}\nhull: {hull}\n{SEA}")
    assert found.outcome == "within"
    assert found.because == f"Every place lies between {low:g} mV and {high:g} mV (a general rule)."
    assert any("Too negative harms" in s and eaten in s for s in found.says)


# POTM-3 and POTM-4, R p: stainless steel -750, bronze -550; the others read on the same page.
@pytest.mark.parametrize(("metal", "least"), [("stainless steel", -750), ("bronze", -550)])
def test_metal_of_a_place_is_told_not_judged(metal: str, least: int) -> None:
    """The metal's own figure stands beside the reading and changes no outcome."""
    assert METALS[metal] == least
    for value, said in ((least, "a is."), (least + 1, "a is not.")):
        text = f"kind: hull-potential\nplaces: {{a: {value}}}\nmetals: {{a: {metal}}}\nhull: steel\n{SEA}"
        found = assessed(text)
        assert any(s.endswith(said) for s in found.says)
        assert {j.limit.value for j in found.judged} == {-1050.0, -800.0}


@pytest.mark.parametrize(
    ("more", "why"),
    [
        ("", "does not name the electrode and the water"),
        ("electrode: silver/silver chloride\n", "does not name the water"),
        ("electrode: zinc\nwater: sea\n", "not for zinc in sea water"),
        (
            "electrode: silver/silver chloride\nwater: fresh\n",
            "not for silver/silver chloride in fresh water",
        ),
    ],
)
def test_range_needs_its_electrode_and_water(more: str, why: str) -> None:
    """Otherwise no limit applies, and the reason is given; the note's own figure is judged all the same."""
    text = f"kind: hull-potential\nplaces: {{a: -100}}\nhull: steel\n{more}"
    found = assessed(text)
    assert found.outcome == "no limit applies"
    assert why in found.because
    assert assessed(f"{text}limit: {{maximum: -150 mV, {SOURCE}}}\n").outcome == "outside"


@pytest.mark.parametrize(
    ("about", "hull"),
    [
        (About(material="welded aluminum"), "aluminium"),
        (About(material="steel, multi-chine"), "steel"),
        (About(material="fibreglass", boat_type="diesel inboard cruiser"), "fibreglass with inboard"),
        (About(material="grp", boat_type="gasoline sterndrive"), "fibreglass with aluminium drive"),
        (About(material="fibreglass", boat_type="sailing yacht"), ""),
        (About(material="steel with aluminium house"), ""),
    ],
)
def test_hull_from_the_cover_note(about: About, hull: str) -> None:
    """What the cover note tells for certain is taken and said; where it leaves a doubt, no limit applies."""
    found = assessed(f"kind: hull-potential\nplaces: {{a: -950}}\n{SEA}", about)
    assert found.outcome == ("within" if hull else "no limit applies")
    assert any(f"Taken as {hull}, from the head of the report" in s for s in found.says) == bool(hull)


# The offsets are from memory (topic 8, head of the section): shown, said so, never judged.
@pytest.mark.parametrize(
    ("electrode", "value", "shown"),
    [("copper/copper sulphate", -960, "-910 to -900"), ("zinc", 130, "-900")],
)
def test_other_electrode_is_shown_not_judged(electrode: str, value: int, shown: str) -> None:
    """The working gives what silver/silver chloride might have shown."""
    text = f"kind: hull-potential\nplaces: {{a: {value}}}\nhull: steel\nelectrode: {electrode}\nwater: sea\n"
    found = assessed(text)
    [step] = found.working
    assert "from memory" in step.step
    assert step.result == shown
    assert found.outcome == "no limit applies"
    assert not found.judged


# Source: the same guidance, a shift of at least 200 mV in the negative direction (row without a value in the
# list of checks; sentence read on the page).
@pytest.mark.parametrize(("own", "result"), [(-400, "within"), (-401, "outside"), (-399, "within")])
@pytest.mark.parametrize("water", ["sea", "fresh"])
def test_shift_by_the_anodes(own: int, result: str, water: str) -> None:
    """200 mV or more from the place's own voltage, in whatever water."""
    text = f"kind: hull-potential\nplaces: {{a: -600}}\nwithout anodes: {{a: {own}}}\nwater: {water}\n"
    found = assessed(text)
    assert found.outcome == result
    assert found.working[0].result == f"{abs(-600 - own)} mV"
    assert assessed(f"{text}limit: {{shift: 250 mV, {SOURCE}}}\n").outcome == "outside"


def test_shore_lead_is_judged_and_compared() -> None:
    """With the lead in each place is judged too, and the change is worked out and explained."""
    found = assessed(
        f"kind: hull-potential\nplaces: {{a: -800}}\nwith shore lead: {{a: -740}}\n"
        f"hull: fibreglass with inboard\n{SEA}"
    )
    assert dict(found.outcomes) == {"a": "within", "a, shore lead in": "outside"}
    [change] = [s for s in found.working if "shore lead" in s.step and "change" in s.step]
    assert (change.result, change.unit) == ("60", "mV")
    assert any("earth wire" in s for s in found.suggests)


def test_note_figure_for_one_place_replaces_the_range_there_only() -> None:
    """A seacock with a figure of its own is held to it, the rest to the range."""
    more = f"{SEA}limit: {{maximum: {{seacock: -500 mV}}, {SOURCE}}}\n"
    assert outcome("{shaft: -800, seacock: -520}", more=more) == "within"
    assert outcome("{shaft: -520, seacock: -520}", more=more) == "outside"
    assert outcome("{shaft: -800, seacock: -480}", more=more) == "outside"


def test_gap_is_never_within() -> None:
    """A place not taken leaves the whole not taken; a breach elsewhere is outside all the same."""
    assert outcome("{a: -800, b: not taken}") == "not taken"
    assert outcome("{a: -700, b: not taken}") == "outside"


@pytest.mark.parametrize(
    ("value", "write"), [("850", "write it negative"), ("-0.85", "write millivolts"), ("-3 V", "millivolts")]
)
def test_what_no_metal_shows_is_not_judged(value: str, write: str) -> None:
    """Swapped leads and volts for millivolts are told to the writer and left out."""
    found = assessed(f"kind: hull-potential\nplaces: {{a: {value}, b: -800}}\nhull: steel\n{SEA}")
    assert found.outcome == "not taken"
    assert write in found.warnings[0][1]


def test_units_and_slips() -> None:
    """Volts come out as millivolts do; a unit of something else and an unknown metal are mistakes."""
    assert outcome("{a: -0.8 V}", "steel") == outcome("{a: -800}", "steel") == "within"
    assert outcome("{a: -0.799 V}", "steel") == "outside"
    assert mistakes("kind: hull-potential\nplaces: {a: -800 psi}\n")
    assert "write aluminium" in mistakes("kind: hull-potential\nplaces: {a: -800}\nmetals: {a: tin}\n")[0]


def test_chart_has_the_band() -> None:
    """Each place stands in the band of its hull, both ends drawn."""
    chart = assessed(f"kind: hull-potential\nplaces: {{a: -700, b: -900}}\nhull: wood\n{SEA}").chart
    assert chart is not None
    assert chart.form == "band"
    assert [(r["low"], r["high"], r["outside"]) for r in chart.data["rows"]] == [(-600.0, -550.0, True)] * 2
