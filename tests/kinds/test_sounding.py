"""Sounding: words stay words, a gap is never within, and what a dull sound can mean is only suggested.

No outside check with a number exists: the published rows (MOI-4, MOI-8) are rules in words, which the tests
compare with what the page says.
"""

from __future__ import annotations

import pytest

from reportgen.kinds.sounding import KIND, SOUNDS
from tests.kinds.noted import assessed, mistakes

SOURCE = 'source: "invented yard standard 12"'


def fence(places: str, more: str = "") -> str:
    """Give a fence."""
    return f"kind: sounding\nplaces: {places}\n{more}"


def test_words_are_not_judged() -> None:
    """A dull place alone has no limit; the words and the count are told."""
    found = assessed(fence("{a: sharp, b: dull, c: sharp}", "hammer: plastic\npanel: solid\n"))
    assert found.outcome == "no limit applies"
    assert "a word, not a number" in found.because
    assert found.says[1:] == (
        "Sounds sharp: a and c.",
        "Sounds dull: b.",
        "Whether a second, harder hammer confirmed it is not stated.",
    )
    assert [(s.values, s.result) for s in found.working] == [("sharp 2, dull 1", "1 of 3")]


@pytest.mark.parametrize("sound", SOUNDS)
def test_every_word_is_read(sound: str) -> None:
    """Each word of the trade stands on the page as written."""
    chart = assessed(fence(f"{{a: {sound}}}")).chart
    assert chart is not None
    assert chart.table.rows == (("a", sound, "-", "-"),)
    assert chart.alt == f"Sounding of 1 place: 1 {sound}."


@pytest.mark.parametrize("wrong", ["dul", "3", "fine"])
def test_other_words_are_a_mistake(wrong: str) -> None:
    """A number or another word is refused, with the words to write."""
    [said] = mistakes(fence(f"{{a: {wrong}}}"))
    assert "dull" in said


# MOI-8, R p: a 3 ft patch that sounded different was skin never bonded to the core, without water.
def test_dull_suggests_more_than_water() -> None:
    """A void or a missing bond is named beside water, and how to confirm it, never as a diagnosis."""
    [said, inside] = assessed(fence("{a: sharp, b: dull}", "panel: cored\n")).suggests
    assert "never bonded" in said
    assert "water" in said
    assert "to be confirmed by a harder hammer" in said
    assert "bulkhead" in inside
    assert any("without any water" in s for s in KIND.proves_not)


# MOI-4, R p: a void reads high on the meter and is found by hammer; the two are read together.
def test_is_read_with_the_meter() -> None:
    """Meter and hammer are named together."""
    assert "a moisture meter" in assessed(fence("{b: dead}")).suggests[0]
    assert not assessed(fence("{b: sharp}")).suggests


def test_what_stands_behind_is_told() -> None:
    """A bulkhead behind a dull place is said, and no longer only supposed."""
    found = assessed(fence("{a: dull}", "behind: {a: bulkhead}\n"))
    assert "Behind a: bulkhead, which can change the sound by itself." in found.says
    assert len(found.suggests) == 1


@pytest.mark.parametrize(
    ("patch", "outcome"),
    [
        ("0.05 m²", "within"),
        ("0.0501 m²", "outside"),
        ("0.538 ft²", "within"),  # 0.04998 m²
        ("0.539 ft²", "outside"),  # 0.05007 m²
        ("not taken", "not taken"),
    ],
)
def test_patch_against_the_notes_figure(patch: str, outcome: str) -> None:
    """The extent of a patch is judged by the note alone, in any unit."""
    limit = f"patches: {{b: {patch}}}\nlimit: {{maximum: 0.05 m², {SOURCE}}}\n"
    assert assessed(fence("{a: sharp, b: dull}", limit)).outcome == outcome


def test_gap_is_never_within() -> None:
    """A place not sounded, or a patch not measured, leaves the whole not taken."""
    limit = f"limit: {{maximum: 0.05 m², {SOURCE}}}\n"
    small = f"patches: {{b: 0.01 m²}}\n{limit}"
    assert assessed(fence("{a: sharp, b: dull}", small)).outcome == "within"
    assert assessed(fence("{a: not taken, b: dull}", small)).outcome == "not taken"
    assert assessed(fence("{a: dead, b: dull}", small)).outcome == "not taken"
    unmeasured = assessed(fence("{a: sharp, b: dull}", limit))
    assert unmeasured.outcome == "not taken"
    assert "Not taken: patch at b, its extent was not measured." in unmeasured.says


def test_slips_are_told() -> None:
    """An extent below zero is not judged, and a patch of a place not sounded is named."""
    found = assessed(
        fence("{a: dull}", f"patches: {{a: -1 m², z: 1 m²}}\nlimit: {{maximum: 1 m², {SOURCE}}}\n")
    )
    assert found.outcome == "not taken"
    assert [w[0] for w in found.warnings] == ["a: -1 m² can't be right", "patches name z"]


def test_patches_are_summed_in_one_unit() -> None:
    """Two patches in two units have one sum."""
    found = assessed(fence("{a: dull, b: soft}", "patches: {a: 1 m², b: 10.7639104 ft²}\n"))
    [step] = [s for s in found.working if s.step == "patches together"]
    assert (step.values, step.result, step.unit) == ("1 + 1", "2", "m²")
