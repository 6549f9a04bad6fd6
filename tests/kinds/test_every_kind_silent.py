"""What a note is silent on is said on the page, for each key that decides what its figures are worth."""

from __future__ import annotations

import dataclasses

import pytest

from tests.kinds.altered import ABOUT, KINDS, example, with_own

# kind | key left out | words of the sentence that stands there then, and not where the key is told
SAID = """
anodes | judged_by | Not stated: by eye or by weight
anodes | alloy | Not stated: the alloy
anodes | water | Not stated: the water
battery | chemistry | kind of battery is not stated
battery | rested | How long it rested is not stated
battery_fastening | weight | battery's weight is not stated
battery_fastening | spring_terminals | spring alone holds a terminal is not stated
battery_load | held | How long the load was held is not stated
battery_load | charge | How far it was charged before is not stated
blisters | ashore | How long the boat had been ashore is not stated
bonding | to | Not stated: what the other lead was on
bonding | leads | resistance of the test leads is not stated
borescope | reached | What the scope could show of each cylinder is not stated
carbon_monoxide | running | What was running is not stated
charging | battery | What kind of battery it is
compression | engine_temperature | Whether the engine was warm or cold is not stated
conductor | system | system's voltage is not stated
conductor | engine_space | No circuit is said to run through the engine space
coolant_analysis | coolant | Which coolant it is is not stated
coolant_analysis | age | How old the coolant is is not stated
cooling | thermostat | At which temperature the thermostat opens is not stated
coupling | turned_180 | not taken again with the shaft's half turned
coupling | state | Whether the boat was afloat is not stated
coupling | afloat_for | How long the boat had been afloat is not stated
coupling | laden | Tanks and load are not told
cranking_amps | standard | By which standard it is rated and tested is not stated
cranking_amps | charged | State of charge and temperature are not stated
exhaust_back_pressure | load | Not said to be at full load
exhaust_back_pressure | tapped | Where the gauge was put in is not stated
fuel_tank | capacity | What the tank holds is not stated
fuel_tank | head | pressure of a full system is not stated
fuel_tank | medium | What it was filled with is not stated
gas_pressure | appliances | Which appliances and valves were in the test is not stated
gearcase | test | a test of pressure or of vacuum is not stated
gearcase | turned | Whether it was turned meanwhile is not stated
gearcase | shifted | Whether it was shifted meanwhile is not stated
hull_potential | with_shore_lead | Not stated: readings with the shore lead in
hull_potential | electrode | Not stated: the electrode
hull_potential | water | Not stated: the water
hull_potential | rested | how long the boat lay at rest
hull_thickness | original_is | original is not stated to be measured or drawn
hull_thickness | gauge_checked_on | Not stated: what the gauge was checked on
leak_down | engine_temperature | Whether the engine was warm or cold is not stated
moisture | reference | a dry reference place
moisture | scale | its scale
moisture | coating | the coating
moisture | ashore | the hours ashore
oil_pressure | oil | What oil is in the engine is not stated
oil_pressure | oil_temperature | How hot the oil was is not stated
rig_age | told_by | What the date rests on is not stated
rig_tension | wire | The kind of wire is not stated
rudder_play | bearings | The kind of bearings is not stated
sea_trial | full_throttle | Full throttle is not noted
sea_trial | held | How long full throttle was held is not noted
sea_trial | load | Load is not stated
sea_trial | sea | Sea is not stated
sea_trial | bottom | Bottom is not stated
shaft_clearance | shaft | shaft's diameter is not stated
sounding | hammer | Not stated: the hammer
sounding | second_hammer | second, harder hammer confirmed it is not stated
sounding | panel | Not stated: the panel
stray_current | all_off | current with every circuit off is not stated
stray_current | shore_lead | whether the shore lead was in
trailer | placard | What pressure the placard asks for is not stated
trailer | cold | not said to be cold
trailer | rating | gross weight rating of the plate is not stated
trailer | towed | How far it was towed before the hubs were read is not stated
vapour | gas | What gas the meter was set to is not stated
vapour | blower_run | Whether the blower had run before is not stated
voltage_drop | system | system's voltage is not stated
voltage_drop | critical | No circuit is named as critical
"""
ROWS = [line.split(" | ") for line in SAID.strip().splitlines()]


@pytest.mark.parametrize(("file", "key", "words"), ROWS, ids=[f"{file}-{key}" for file, key, _ in ROWS])
def test_silence_of_the_note_is_said(file: str, key: str, words: str) -> None:
    """A reader must not take for granted what nobody wrote down, nor be told of a lack that isn't there."""
    told = example(file)
    specs = {spec.name: spec for spec in dataclasses.fields(told.fields)}
    silent = with_own(told, **{key: specs[key].default})
    said = [s for s in KINDS[file].assess(silent, ABOUT).says if words in s]
    assert len(said) == 1, KINDS[file].assess(silent, ABOUT).says
    assert not [s for s in KINDS[file].assess(told, ABOUT).says if words in s]
