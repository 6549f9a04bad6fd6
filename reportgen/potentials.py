"""Holds what is published on metal under water: voltages that protect it, and what electrodes show."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from reportgen.kind import About
from reportgen.wording import later, later_in

# hull to the range of protection, most negative first [mV against silver/silver chloride in sea water]
RANGES: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "fibreglass with inboard": (-1000.0, -750.0),
        "fibreglass with aluminium drive": (-1050.0, -900.0),
        "aluminium": (-1100.0, -900.0),
        "steel": (-1050.0, -800.0),
        "wood": (-600.0, -550.0),
    }
)
# metal to the least negative voltage at which it is protected [mV, the same electrode and water]
METALS: Mapping[str, float] = MappingProxyType(
    {
        later_in("name", "aluminium"): -900.0,
        later_in("name", "mild steel"): -800.0,
        later_in("name", "stainless steel"): -750.0,
        later_in("name", "bronze"): -550.0,
    }
)
SILVER = later_in("name", "silver/silver chloride")
COPPER, ZINC = later_in("name", "copper/copper sulphate"), later_in("name", "zinc")
ELECTRODES = (SILVER, COPPER, ZINC, "other")
# water that the boat lay in to an electrode in it
WATERS = {
    "sea": later("{electrode} in sea water"),
    "brackish": later("{electrode} in brackish water"),
    "fresh": later("{electrode} in fresh water"),
}
# what to add to a reading to get that against silver/silver chloride, from memory [mV]
OFFSETS: Mapping[str, tuple[float, float]] = MappingProxyType(
    {COPPER: (50.0, 60.0), ZINC: (-1030.0, -1030.0)}
)
HULL_OF_TYPE = {
    "gasoline inboard": "fibreglass with inboard",
    "diesel inboard cruiser": "fibreglass with inboard",
    "gasoline sterndrive": "fibreglass with aluminium drive",
}
TOO_MUCH = {
    "aluminium": later("Too negative harms as well: aluminium is eaten by the alkali that forms on it."),
    "fibreglass with aluminium drive": later(
        "Too negative harms as well: the alkali that forms eats the drive."
    ),
    "wood": later("Too negative harms as well: the alkali that forms eats the timber round the fastenings."),
}


def hull_of(about: About) -> str:
    """Give the hull as RANGES names it, from the cover note, empty where that doesn't tell for certain."""
    material = about.material.replace("aluminum", "aluminium")
    named = [m for m in ("aluminium", "steel", "wood") if m in material]
    if len(named) == 1:
        return named[0]
    glass = any(word in material for word in ("fibreglass", "fiberglass", "grp", "frp"))
    return HULL_OF_TYPE.get(about.boat_type, "") if glass and not named else ""
