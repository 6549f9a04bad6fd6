"""Advertised beside found, printed as written, and what the hull number tells and cannot."""

from __future__ import annotations

import datetime
from decimal import Decimal
from typing import Any

import pytest

from reportgen import hullnumber, wording
from reportgen.blocks.vessel import BoatFacts, Engine, Vessel
from reportgen.editions import buyer
from reportgen.identity import Line
from reportgen.model import Cover
from reportgen.passages import identity
from reportgen.report import Report
from reportgen.units import Quantity


def _page(**keys: Any) -> dict[str, Any]:
    return dict(identity.PASSAGE.build(Report(**keys), buyer.EDITION) or {})


def test_quantities_and_years_are_printed() -> None:
    """Each value as text; what was not given is nothing, never a word."""
    lines = (Line("length", Quantity(Decimal("22.4"), "ft"), None), Line("built", 2015, 2013, False, "ask"))
    first, second = _page(identity=lines)["lines"]
    assert (first["advertised"], first["found"], first["agrees"]) == ("22.4 ft", None, None)
    assert (second["advertised"], second["found"], second["agrees"], second["note"]) == (
        "2015",
        "2013",
        False,
        "Ask.",
    )


def test_note_on_a_verdict_is_a_sentence_of_its_own() -> None:
    """After yes and no a capital and one stop; where there is no verdict the note stands as it is."""
    notes = ("all engines found together", "The plate states at most 230 hp.", "not advertised", "")
    lines = [
        Line("power", agrees=agrees, note=n)
        for agrees, n in zip((True, False, None, True), notes, strict=True)
    ]
    assert [line["note"] for line in _page(identity=tuple(lines))["lines"]] == [
        *("All engines found together.", "The plate states at most 230 hp.", "not advertised", ""),
    ]


def test_hull_number_says_what_it_tells() -> None:
    """The number with its problems, what it tells and what it can't."""
    number = hullnumber.read("ZZP30417J213", latest=datetime.date(2026, 3, 1))
    hull = _page(hull_number=number)["hull"]
    assert (hull["text"], hull["valid"], hull["format"]) == ("ZZP30417J213", True, number.format)
    assert hull["tells"] == number.tells[1:]
    assert (number.tells[0][0], hull["format"]) == ("Form", number.tells[0][1])
    assert hull["cannot_tell"]


def test_engines_are_listed_with_what_is_known() -> None:
    """Serial and hours only where there are any."""
    engine = Engine("main", "Tarn", "T8", "T8-55", hours=Quantity(Decimal("412"), "h"))
    cover = Cover(vessel=Vessel(found=BoatFacts(engines=(engine,), drives=(Engine("leg"),))))
    line = Line("built", 2015, 2015, True)
    rows = _page(cover=cover, identity=(line,))["engines"]
    assert ["Tarn", "T8", "serial T8-55", "412 h run"] in [[f for f in r["facts"] if f] for r in rows]
    assert all("serial " not in " ".join(r["facts"]) for r in rows if r["what"] == "Drive")


def test_nothing_to_compare_has_no_such_part() -> None:
    """A boat of which nothing was advertised or found."""
    assert identity.PASSAGE.build(Report(), buyer.EDITION) is None


def test_engine_is_told_once() -> None:
    """What the list of engines says does not stand again among what was found; what was advertised stays."""
    engine = Engine("port", "Kestle", "K115", cylinders=4, fuel="gasoline", strokes=4)
    vessel = Vessel(waters="coastal", found=BoatFacts(engines=(engine,)))
    lines = (
        Line("port engine: maker", None, "Kestle"),
        Line("port engine: hours", "1200 h", "1184 h", False),
        Line("capacity plate: persons", None, 8),
    )
    page = _page(cover=Cover(vessel=vessel), identity=lines)
    assert [line["what"] for line in page["lines"]] == ["port engine: hours", "capacity plate: persons"]
    assert page["engines"][0]["facts"] == ["Kestle", "K115", "4 cylinders", "gasoline", "4-stroke"]
    assert page["waters"] == "coastal"


def test_boat_nobody_advertised_is_told_as_found() -> None:
    """An insurer's survey has no listing to compare with, so nothing is called not advertised."""
    assert _page(identity=(Line("built", None, 1987),))["heading"] == "The boat as found"
    assert _page(identity=(Line("built", 1986, 1987, False),))["heading"] == ""


@pytest.mark.parametrize(
    ("language", "engine"),
    [("en", "Port engine"), ("es", "Motor babor"), ("fr", "Moteur bâbord")],  # codespell:ignore
)
def test_side_of_an_engine_is_the_readers(language: str, engine: str) -> None:
    """The note says which side; a reader of another language gets it in the words of the other pages."""
    cover = Cover(vessel=Vessel(found=BoatFacts(engines=(Engine("Port"), Engine("mizzen")))))
    with wording.speaking(language):
        page = _page(cover=cover, identity=(Line("port engine: hours", "1 h", "2 h", False),))
        side, other = page["engines"]
        assert (side["what"], side["name"], other["name"]) == (engine, "", "mizzen")
        assert page["lines"][0]["what"].startswith(engine[0].lower() + engine[1:])
