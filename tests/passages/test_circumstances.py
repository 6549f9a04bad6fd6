"""How the inspection was done: rows with something in them, day by day, and who is who."""

from __future__ import annotations

import datetime
from decimal import Decimal

from reportgen.blocks.conditions import Conditions
from reportgen.blocks.cover import Instrument
from reportgen.blocks.people import People, Person
from reportgen.editions import buyer
from reportgen.model import Cover
from reportgen.passages import circumstances
from reportgen.report import Report
from reportgen.units import Quantity

DAY = datetime.date(2026, 3, 1)


def test_only_rows_with_something_in_them() -> None:
    """Each day has its own rows, and none is empty."""
    days = (Conditions(on=DAY, state=("ashore", "in slings"), air=Quantity(Decimal(14), "°C")), Conditions())
    values = circumstances.PASSAGE.build(Report(cover=Cover(conditions=days)), buyer.EDITION)
    assert values is not None
    assert values["days"][0] == [("Day", "1 March 2026"), ("State", "ashore and in slings"), ("Air", "14 °C")]
    assert values["days"][1] == []


def test_people_and_instruments() -> None:
    """Who is who with contact, and each instrument with the day of its calibration."""
    people = People(
        client=Person("Marla Quenby", "marla@example.com"), yard=Person("The yard"), broker=Person()
    )
    cover = Cover(people=people, instruments=(Instrument("gauge", DAY), Instrument("lamp")))
    values = circumstances.PASSAGE.build(Report(cover=cover), buyer.EDITION)
    assert values is not None
    assert values["people"] == [("Client", ["Marla Quenby", "marla@example.com"]), ("Yard", ["The yard"])]
    assert values["instruments"] == [
        {"what": "gauge", "calibrated": "1 March 2026"},
        {"what": "lamp", "calibrated": ""},
    ]
