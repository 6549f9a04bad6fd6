"""How the boat lay and what the day was like when it was inspected."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from reportgen.block import key
from reportgen.units import Quantity
from reportgen.values import Date, ListOf, Measure, OneOf, Text

STATES = ("ashore", "afloat", "in slings")


@dataclass(frozen=True)
class Conditions:
    """The conditions of one day, or of all days. humidity in percent."""

    on: datetime.date | None = key(Date(), share="open", help="day, where several differ")
    place: str = key(Text(), share="place", help="place, as it may be published", default="")
    exact_place: str = key(Text(), share="exact place", help="berth, gate, keys; private", default="")
    state: tuple[str, ...] = key(
        ListOf(OneOf(STATES)), share="open", help="ashore, afloat, in slings", default=()
    )
    ashore_for: Quantity | None = key(Measure("time"), share="open", help="how long ashore")
    weather: str = key(Text(), share="open", help="weather", default="")
    air: Quantity | None = key(Measure("temperature"), share="open", help="air temperature")
    water: Quantity | None = key(Measure("temperature"), share="open", help="water temperature")
    humidity: Quantity | None = key(Measure("share"), share="open", help="relative humidity")
    altitude: Quantity | None = key(Measure("length"), share="open", help="height above sea level")
    power_and_water: str = key(Text(), share="open", help="shore power and water at hand", default="")
    sea_trial: str = key(Text(), share="open", help="yes, or no and why", default="")
    left: tuple[str, ...] = key(
        ListOf(Text()),
        share="open",
        help="how the boat was left: what is closed, off, tagged, and until when",
        default=(),
    )
    attended: tuple[str, ...] = key(ListOf(Text()), share="people", help="who attended", default=())
