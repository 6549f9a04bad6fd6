"""Back-pressure by the maker's figure; limits differ from model to model, so no published case is checked."""

from __future__ import annotations

import pytest

from reportgen.kind import Assessment
from tests.kinds.noted import FOUR_STROKE, assessed, mistakes

NOTE = 'limit: {maximum: 9.5 kPa, source: "invented manual 4A"}\n'


def noted(values: str, more: str = NOTE) -> Assessment:
    """Give what a reading at full load comes out as."""
    return assessed(f"kind: exhaust-back-pressure\npressures: {values}\n{more}")


@pytest.mark.parametrize(
    ("pressure", "outcome"),
    [("9.5 kPa", "within"), ("9.51 kPa", "outside"), ("95 mbar", "within"), ("38.2 inH2O", "outside")],
)
def test_makers_figure(pressure: str, outcome: str) -> None:
    """Equal to the figure is within, in any unit: 38.2 inH2O is 9.52 kPa."""
    assert noted(f"{{full load: {pressure}}}").outcome == outcome


def test_one_makers_example_is_shown_and_not_judged() -> None:
    """10 kPa of one large diesel stands beside the reading as a criterion; it never decides."""
    found = noted("{full load: 30 kPa}", "")
    assert found.outcome == "no limit applies"
    assert "10 kPa" in found.criteria[0]


def test_below_full_load_proves_little() -> None:
    """Makers' figures are for full load, and the page says where it wasn't."""
    assert any("full load" in s for s in noted("{full load: 3 kPa}").says)
    assert not any("full load" in s for s in noted("{full load: 3 kPa}", f"{NOTE}load: full\n").says)


def test_gap_is_never_within() -> None:
    """A step not taken leaves it not taken; a breach beside it is outside."""
    assert noted("{cruise: not taken, full load: 8 kPa}").outcome == "not taken"
    assert noted("{cruise: not taken, full load: 18 kPa}").outcome == "outside"


def test_engines_side_by_side() -> None:
    """Engines in columns are drawn as lines of one panel, held to one figure."""
    table = (
        "| rpm | port pressure (kPa) | starboard pressure (kPa) |\n|---|---|---|\n"
        "| 1800 | 3.1 | 3.4 |\n| 2600 | 7.9 | 12.2 |\n"
    )
    text = f"kind: exhaust-back-pressure\n{NOTE}{table}"
    found = assessed(text, FOUR_STROKE, ("port", "starboard"))
    assert found.judged[0].where == ("2600, starboard pressure",)
    assert found.chart is not None
    [panel] = found.chart.data["panels"]
    assert [s["name"] for s in panel["series"]] == ["port", "starboard"]
    assert panel["outside"] == (("starboard", 2600.0),)
    assert [limit["value"] for limit in panel["limits"]] == [9.5]


def test_nonsense_is_told() -> None:
    """A unit that is no pressure is a mistake."""
    assert "hp" in mistakes("kind: exhaust-back-pressure\npressures: {full load: 12 hp}\n")[0]
