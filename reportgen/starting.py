"""Writes the notes of a new survey from the checklist of its type, ready to be filled in."""

from __future__ import annotations

import datetime
import json
import re
import textwrap
from collections.abc import Iterator, Mapping

from reportgen import cautions, checklist, prose, racks
from reportgen.blocks.disclosure import TOPICS
from reportgen.cautions import Caution
from reportgen.checklist import Item, System
from reportgen.errors import listed
from reportgen.kind import Kind, fenced

COVER = "00-cover.md"

_COVER = """\
---
# Fill in what you know and take out what you don't need. What stays empty is reported as not stated,
# and the report stays preliminary until then. A line that begins with # is a remark, never published.
survey: {survey}# or pre-sale, insurance, damage, re-inspection
# number: of the report; without it the folder's name is taken
status: preliminary           # final needs reported: and the day
inspected: {day}
made for:{made_for}
vessel:
  name:{name}
  type: {type}
  waters:                     # inland, coastal, offshore
{advertised}  found:                      # what you found aboard
    maker:{maker}
    model:{model}
    built:{built}
    length:{length}# with its unit: 7.2 m, 24 ft
    hull number:{hull_number}
    second hull number:       # as read at its second, often hidden place
    engine hours:
    engines:
      - name: main
        maker:
        cylinders:
        fuel:                 # gasoline or diesel
        strokes:              # 2 or 4
conditions:
  place:{place}
  state:                      # ashore, afloat, in slings
  weather:
  air:                        # 14 °C
  sea trial:                  # yes, or no and why
people:                       # also client, seller, broker, yard: each a name
  # in the braces also firm, role: mechanic, credentials, contact
  surveyor: {{name: {surveyor}}}
# Take the # off what you used, and say which: the report lists it.
# instruments:
{instruments}
# Money: take the # off these lines to have repairs priced.
# price: {{currency: {currency}{asking}}}
{dates}# rates: {{labour: 0, supplies: 0 %, parts tax: 0 %, contingency: 0 %}}
# strip-downs:                # what several repairs need, paid once; a repair names it under needs:
#   haul-out: {{cost: 0}}       # or {{labour: 2 h}}
# What she is worth, where you are asked for it.
# value: {{type: market value, stated for: as found, effective date: {day}, market: 0}}
# comparables: [{{what: boat and year, price: 0, sold: {day}, source: who says so}}]
{disclosure}---
Write here in your own words what boat it is and how the day went.
"""

_LISTING = """\
  advertised:                 # what the listing says
    maker:
    model:
    built:
    engine hours:
"""
_DATES = "# dates: {{acceptance by: {day}}}   # also offer, notice by, closing\n"
_DISCLOSURE = """\
# The seller's answers: take the # off, and write behind each topic yes, no or not known; after yes
# in quotes what it was, when, what was done, and whether there is paper: "yes: touched a rock, 2023".
# disclosure:
{topics}
# For the public edition (--for seller), once it is final: who gives it out, to whom, and when.
# release: {{by: , to: whoever wants to buy, on: {day}}}
"""
NO_DEAL = ("insurance", "damage")  # surveys that no purchase hangs on

_NOTE = """\
---
system: {system}
# Behind each item one of: sound, operated, powered up only, not fitted, told by others,
# or: not inspected, and why. What stays empty is reported as not mentioned.
# What is wrong gets a finding below; write its item: there, and leave it empty here.
# The whole system in one line, instead of the list: {system}: not inspected, and why
items:
{items}
---
"""

_FINDING = """\
```private
To add a finding, write a heading and this fence below it, then your own words:

    ## What you found, and where
    (three backticks) finding
    severity: settle            # stop, settle, schedule, watch, sound
    item: {item}
    risk: what may happen if it is left
    action: what should be done, by which trade
    basis: surveyor's judgement
    confidence: seen            # measured, seen, suspected, told
    repair:                     # or {{unpriced: why}}
      labour: 1 / 1.5 / 3 h
      parts: [{{what: hose, each: 90}}]
    (three backticks)

With stop also: forbids: [running the engine]. With schedule: by when. With watch: look again.
A photo: put it beside this note, and list it in the fence under photos: [name.jpg: what it shows].
```
"""


# what `start` may be told beforehand: each is a place of the cover note
TOLD = ("survey", "name", "maker", "model", "built", "length", "hull number", "surveyor", "made for", "place")


def notes(
    type: str, day: datetime.date, currency: str = "USD", told: Mapping[str, str] | None = None
) -> Mapping[str, str]:
    """Give the files of a new survey by name: the cover note, then a note a system of the type's checklist.

    type: a type of boat that has a checklist. day: of the inspection. currency: of the money lines.
    told: what is known already, by the names in TOLD; what is not told is left to be filled in.
    A kind of reading stands in the first system that it covers an item of.
    """
    listed_systems = checklist.of(type).systems
    kinds: dict[str, Kind] = {k.name: k for k in racks.all_of("kinds", "KIND").values()}
    wanted = [name for s in listed_systems for i in s.items for name in i.readings]
    instruments = dict.fromkeys(kinds[name].instrument for name in wanted)
    lines = "\n".join(f"#   - {{what: {json.dumps(name, ensure_ascii=False)}}}" for name in instruments)
    filled = _filled(told or {}) | _deal((told or {}).get("survey", ""), day)
    files = {COVER: _COVER.format(day=day, type=type, currency=currency, instruments=lines, **filled)}
    written: set[str] = set()
    for number, system in enumerate(listed_systems, 1):
        own = dict.fromkeys(name for i in system.items for name in i.readings if name not in written)
        written |= set(own)
        files[f"{number:02d}-{prose.slug(system.name)}.md"] = _note(system, [kinds[n] for n in own], type)
    return files


def _filled(told: Mapping[str, str]) -> dict[str, str]:
    """Give what stands behind each key of the cover note, quoted where YAML would read it otherwise."""
    words = {name: _quoted(told.get(name, "")) for name in TOLD}
    behind = {name.replace(" ", "_"): f" {text}" if text else "" for name, text in words.items()}
    remarks = {"survey": f"{words['survey'] or 'pre-purchase':<21} ", "length": f"{behind['length']:<18} "}
    return behind | remarks | {"surveyor": words["surveyor"] or "not stated"}


def _deal(survey: str, day: datetime.date) -> dict[str, str]:
    """Give what only a boat for sale has: the listing, a price asked, days to keep, the seller's answers."""
    if survey in NO_DEAL:
        return dict.fromkeys(("advertised", "asking", "dates", "disclosure"), "")
    topics = "\n".join(f"#   {topic}:" for topic in TOPICS)
    return {
        "advertised": _LISTING,
        "asking": ", asking: 0, offered: 0, deposit: 0, subject to: survey",
        "dates": _DATES.format(day=day),
        "disclosure": _DISCLOSURE.format(topics=topics, day=day),
    }


def _quoted(text: str) -> str:
    return (
        text
        if re.fullmatch(r"[^\W_][\w .-]*", text)
        else json.dumps(text, ensure_ascii=False)
        if text
        else ""
    )


def _note(system: System, kinds: list[Kind], type: str) -> str:
    items = "\n".join(line for item in system.items for line in _item(item))
    head = _NOTE.format(system=system.name, items=items)
    usual = [kind for kind in kinds if not kind.extra]
    sections = "".join(f"\n{fenced(kind, kind.blank)}\n{_hints(kind, type)}" for kind in usual)
    return f"{head}{sections}\n{_finding(system, [kind for kind in kinds if kind.extra])}"


def _finding(system: System, extra: list[Kind]) -> str:
    """Say how a finding is added, and which readings only a separate agreement brings."""
    named = listed((f"reportgen kinds {kind.name}" for kind in extra), "and")
    more = "\n".join(_wrapped(f"By separate agreement only, with an example: {named}.")) if extra else ""
    text = _FINDING.format(item=system.items[0].name)
    return text.replace("```private\n", f"```private\n{more}\n\n", 1) if more else text


def _item(item: Item) -> Iterator[str]:
    """Give an item's lines: how it is looked at and what to mind, then its name to be filled in."""
    state = "" if item.state == "any" else f" ({item.state})"
    mind = f"; mind: {item.hazard}" if item.hazard else ""
    measured = f"; measured below or in another note: {listed(item.readings, 'and')}" if item.readings else ""
    yield from _wrapped(f"{item.how}{state}{measured}{mind}", "  # ")
    yield f"  {item.name}:"


def _hints(kind: Kind, type: str) -> str:
    """Give how a reading is taken and what to mind, in a fence that is never published."""
    lines = [*_wrapped(f"How: {kind.how}"), *_wrapped(f"With: {kind.instrument}.")]
    for caution in _cautions(kind, type):
        # the first sentence is the one to have read before; the report prints the caution whole
        lines += _wrapped(f"Mind {caution.hazard}: {re.split(r'(?<=[.]) ', caution.do)[0]}")
    if kind.unanswered == "stop":
        lines += _wrapped("Outside its limits it forbids using the boat until a finding answers it.")
    lines += _wrapped(
        f"Leave empty what was not taken. For the limits and an example: reportgen kinds {kind.name}"
    )
    return "\n".join(("```private", *lines, "```", ""))


def _cautions(kind: Kind, type: str) -> tuple[Caution, ...]:
    """Give the cautions made for this reading; without one, the first of each hazard of taking it."""
    called = cautions.attach((), (kind,), type)
    own = {e.caution.id for e in cautions.entries() if kind.name in (k.replace(" ", "-") for k in e.kinds)}
    first = {c.hazard: c for c in reversed(called) if c.hazard in kind.hazards}
    return tuple(c for c in called if c.id in own) or tuple(reversed(first.values()))


def _wrapped(text: str, indent: str = "") -> list[str]:
    return textwrap.wrap(" ".join(text.split()), 100, initial_indent=indent, subsequent_indent=indent)
