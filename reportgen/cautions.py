"""Attaches the cautions that a boat, its findings and tests call for; words the headline of use limits."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, fields
from functools import cache
from importlib import resources
from typing import Any

import yaml

from reportgen import sources
from reportgen.block import shown
from reportgen.blocks.finding import HAZARDS
from reportgen.blocks.vessel import FUELS
from reportgen.boats import TYPES
from reportgen.errors import listed
from reportgen.findings import UseLimit
from reportgen.kind import Kind
from reportgen.model import Finding, Gap
from reportgen.wording import (
    all_of,
    language,
    later_in,
    number,
    number_in_words,
    say,
    say_in,
    say_n,
    system,
)

GENERAL = "general"
ALWAYS = "every report"
# what a type burns by its name; the notes say it of the others, engine by engine
_BURNS = {
    "outboard runabout": "gasoline",
    "gasoline sterndrive": "gasoline",
    "gasoline inboard": "gasoline",
    "diesel inboard cruiser": "diesel",
}


@dataclass(frozen=True)
class Caution:
    """One caution with what called for it.

    hazard: one of the hazards of a finding, or general. text: what can happen. do: what to do now.
    who: who may put it right. source: who publishes it, in words; source_ids in sources.yaml, (n,).
    because: what called for it, in words: findings by id, kinds of reading, type of boat, fuel, every report.
    findings: the ids among those, so that a view can leave out findings that a reader may not see.
    about: what tells it from others of its hazard, or empty.
    """

    id: str = shown("open", "")
    hazard: str = shown("open", "")
    text: str = shown("open", "")
    do: str = shown("open", "")
    who: str = shown("open", "")
    source: str = shown("open", "")
    source_ids: tuple[str, ...] = shown("open", ())
    because: tuple[str, ...] = shown("open", ())
    findings: tuple[str, ...] = shown("open", ())
    about: str = shown("open", "")

    @property
    def name(self) -> str:
        """Name it as no other caution of a report is named, in the language spoken."""
        hazard = say_in("hazard", self.hazard)
        return f"{hazard} ({self.about})" if self.about else hazard


@dataclass(frozen=True)
class Entry:
    """One caution as cautions.yaml holds it: what calls for it, and what it says.

    figures: by their place in its texts, as its source has them (ft, yards, °F) and in metric units.
    """

    caution: Caution
    hazards: tuple[str, ...] = ()
    kinds: tuple[str, ...] = ()
    types: tuple[str, ...] = ()
    fuels: tuple[str, ...] = ()
    only: tuple[str, ...] = ()
    mentioned: tuple[str, ...] = ()
    named: tuple[str, ...] = ()
    unless: tuple[str, ...] = ()
    freely: tuple[str, ...] = ()
    systems: tuple[str, ...] = ()
    yields: tuple[str, ...] = ()
    any_reading: bool = False
    always: bool = False
    figures: Mapping[str, tuple[str, str]] = field(default_factory=dict)


@cache
def entries() -> tuple[Entry, ...]:
    """Give every caution of cautions.yaml, worst hazard first."""
    text = resources.files("reportgen").joinpath("cautions.yaml").read_text(encoding="utf-8")
    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    return tuple(_entry(id, row) for id, row in yaml.load(text, Loader=loader).items())  # noqa: S506 safe both


def _entry(id: str, row: dict[str, Any]) -> Entry:
    when = row["when"] if isinstance(row["when"], dict) else {}
    ids = tuple(row["sources"])
    own = (id, row["hazard"], row["text"], row["do"], row.get("who", ""), _source_words(ids), ids)
    caution = Caution(*own, about=row.get("about", ""))
    told = {name: tuple(words) for name, words in when.items()}
    unknown = sorted(set(told) - _TRIGGERS)
    if unknown:
        raise ValueError(f"cautions.yaml: {id}: {listed(unknown, 'and')} is not known")
    _known(id, (row["hazard"], *told.get("hazards", ()), *told.get("freely", ())), (*HAZARDS, GENERAL))
    _known(id, told.get("types", ()), TYPES)
    _known(id, (*told.get("fuels", ()), *told.get("only", ())), FUELS)
    figures = {name: (noted, metric) for name, (noted, metric) in row.get("figures", {}).items()}
    any_reading, always = row["when"] == "any reading", row["when"] == "always"
    return Entry(caution, any_reading=any_reading, always=always, figures=figures, **told)


# what a row may ask for under `when`, explained at the head of cautions.yaml
_TRIGGERS = frozenset(each.name for each in fields(Entry) if each.type == "tuple[str, ...]")


def _known(id: str, words: Iterable[str], known: Sequence[str]) -> None:
    """Raise ValueError for a hazard or type that no note can have: such a caution would never attach."""
    unknown = [word for word in words if word not in known]
    if unknown:
        raise ValueError(f"cautions.yaml: {id}: {listed(unknown, 'and')} is not known")


def _source_words(ids: Iterable[str], spoken: str = "en") -> str:
    """Name the sources, and say of each where it was not read but remembered."""
    words = []
    for source in map(sources.get, ids):
        memory = [part.strip() for part in source.read.split(";") if "memory" in part]
        # in other languages the way it was read is one text
        told = "; ".join(memory) if spoken == "en" else say(source.read)
        words.append(f"{source} ({told})" if memory else str(source))
    return "; ".join(words)


def attach(
    findings: Iterable[Finding],
    kinds_taken: Iterable[Kind],
    boat_type: str,
    metric: bool = False,
    fuels: Iterable[str] = (),
) -> tuple[Caution, ...]:
    """Give the cautions that findings, readings taken and the type of boat call for, worst first, each once.

    findings: in any state, since a caution does no harm and a missing one can. kinds_taken: in any number.
    metric: whether the notes measure so, for a reader who has not asked for a system of units. fuels: of each
    engine found, empty where the notes don't say. The general caution is always among them, last.
    """
    dangers, kinds = [f for f in findings if f.hazards], tuple(kinds_taken)
    noted = set(fuels)
    burnt = _burnt(boat_type, noted)
    suited = [e for e in entries() if not e.only or not burnt or burnt & set(e.only)]
    called = {f.id: _called(suited, f) for f in dangers}
    tested = {kind.name: _tested(suited, kind) for kind in kinds}
    attached = []
    for entry in suited:
        told = [f for f in dangers if entry.caution.id in called[f.id]]
        # what is put right and checked is named only where nothing else of the kind is open
        ids = [f.id for f in told if f.state != "checked"] or [f.id for f in told]
        because = [*ids, *(_test(kind) for kind in kinds if entry.caution.id in tested[kind.name])]
        if boat_type in entry.types:
            because.append(boat_type)
        else:
            because += [fuel for fuel in entry.fuels if fuel in noted]
        if entry.always:
            because.append(ALWAYS)
        if because:
            attached.append(_with(entry, metric, tuple(dict.fromkeys(because)), tuple(dict.fromkeys(ids))))
    return tuple(attached)


def _burnt(boat_type: str, noted: set[str]) -> set[str]:
    """Give what the engines burn; nothing where that is not known of all of them."""
    own = {_BURNS[boat_type]} if boat_type in _BURNS else set()
    return own | noted - {""} if own or "" not in noted else set()


def _called(suited: Sequence[Entry], finding: Finding) -> set[str]:
    """Give the cautions that fit a finding, by id: at least one of each of its hazards."""
    fitting = {e.caution.id for e in suited if _fits(finding, e)}
    kept = [e for e in suited if e.caution.id in fitting and fitting.isdisjoint(e.yields)]
    return {e.caution.id for e in (*kept, *_else(suited, kept, finding.hazards))}


def _tested(suited: Sequence[Entry], kind: Kind) -> set[str]:
    """Give the cautions that taking a reading calls for, by its kind's name or the hazards of taking it."""
    fitting = [e for e in suited if _plain(kind.name) in map(_plain, e.kinds) or _of_all(e, kind)]
    every = [e for e in suited if e.any_reading]
    return {e.caution.id for e in (*fitting, *every, *_else(suited, fitting, kind.hazards))}


def _of_all(entry: Entry, kind: Kind) -> bool:
    """Say whether a caution is for whatever has its hazards, so also for a kind that shares one."""
    asks = entry.mentioned or entry.named or entry.systems
    return not asks and not set(kind.hazards).isdisjoint(entry.hazards)


def _else(suited: Sequence[Entry], chosen: Sequence[Entry], hazards: Iterable[str]) -> list[Entry]:
    """Give the first caution of each hazard that none of those chosen is of: no danger goes without one."""
    missing = dict.fromkeys(h for h in hazards if h not in {e.caution.hazard for e in chosen})
    own = (next((e for e in suited if h == e.caution.hazard and h in e.hazards), None) for h in missing)
    return [entry for entry in own if entry]


def _fits(finding: Finding, entry: Entry) -> bool:
    """Say whether a caution is of a finding's hazards, and its words are those that the caution asks for."""
    shared = set(finding.hazards) & set(entry.hazards)
    named = f"{finding.title} {finding.item}"
    told = (named, finding.system, finding.where, finding.risk, finding.action, finding.prose.markdown)
    if entry.systems and not _uses(finding.system, entry.systems):
        return False
    if entry.named and not _uses(named, entry.named):
        return False
    mentions = _uses(" ".join(told), entry.mentioned)
    freely = shared & set(entry.freely)
    # of what has another cause by its name only a hazard that the caution takes freely counts, if it is told
    if _uses(named, entry.unless):
        return bool(freely) and mentions
    return bool(shared if mentions or not entry.mentioned else freely)


def _uses(text: str, words: Sequence[str]) -> bool:
    return bool(words) and re.search(rf"\b({'|'.join(map(re.escape, words))})\b", text, re.I) is not None


def of_every_test(caution: Caution) -> bool:
    """Say whether any test at all calls for a caution, and not only some."""
    return any(entry.any_reading for entry in entries() if entry.caution.id == caution.id)


def _with(entry: Entry, metric: bool, because: tuple[str, ...], ids: tuple[str, ...]) -> Caution:
    caution, figures = entry.caution, {name: _figure(*own, metric) for name, own in entry.figures.items()}
    said = (
        caution.id,
        caution.hazard,
        say(caution.text, **figures),
        say(caution.do, **figures),
        say(caution.who),
        _source_words(caution.source_ids, language()),
        caution.source_ids,
    )
    return Caution(*said, because, ids, say(caution.about) if caution.about else "")


def _figure(noted: str, metric: str, by_metre: bool) -> str:
    """Print a figure in the reader's units first, and as its source has it in any case."""
    amount, _, unit = noted.partition(" ")
    own = say("{n} yards", n=amount) if unit == "yards" else number(noted)
    if system() == "us" or (not system() and language() == "en" and not by_metre):
        return own
    first, second = (own, number(metric)) if system() == "both" and not by_metre else (number(metric), own)
    return f"{first} ({second})"


def _test(kind: Kind) -> str:
    return say_in("in a sentence", "{reading}", reading=_small(say(kind.title)))


def _small(title: str) -> str:
    """Give a reading's title as it stands within an English sentence; in other languages it is quoted."""
    return f"{title[:1].lower()}{title[1:]}" if language() == "en" else title


def _plain(name: str) -> str:
    return name.lower().replace("-", " ")


# Parts that can kill while they look whole: the headline names each that nobody looked at.
_GRAVE = {
    later_in("part of the boat", "fuel"): r"fuel|gasoline|petrol|(gas|diesel) tank",
    later_in("part of the boat", "exhaust"): r"exhausts?|risers?|mufflers?|mixing elbows?",
    later_in("part of the boat", "steering"): r"steering|rudders?|helm|tillers?",
    later_in("part of the boat", "gas"): r"gas|lpg|propane|butane",
    later_in(
        "part of the boat", "shore power"
    ): r"shore[ -]?(power|supply|line|cord|inlet)|ac (system|inlet|supply)",
}

_SENDER = re.compile(r"(fuel|gas|petrol|gasoline|diesel)( level| tank)? (sender|gauge)s?", re.I)


def grave_gaps(gaps: Iterable[Gap]) -> tuple[str, ...]:
    """Name the grave parts among those not inspected: fuel, exhaust, steering, gas, shore power."""
    # a sender that nobody looked at gives a wrong level, and is not the fuel system
    weighty = (gap for gap in gaps if not _SENDER.fullmatch(gap.part))
    parts = [f"{gap.part} / {gap.system}".lower() for gap in weighty]
    return tuple(
        name for name, words in _GRAVE.items() if any(re.search(rf"\b({words})\b", part) for part in parts)
    )


def headline(use_limits: Sequence[UseLimit], gaps: Sequence[Gap]) -> str:
    """Word the first thing a reader is told: how many use limits stand, or that none was found, and where.

    That nothing was found is said of what was inspected only, so the parts that were not are counted too.
    """
    if use_limits:
        said = say_n(
            "{count} thing must not be done with the boat until put right and checked.",
            "{count} things must not be done with the boat until put right and checked.",
            len(use_limits),
            count=number_in_words(len(use_limits)).capitalize(),
        )
    else:
        said = say("No use limit was found in what was inspected.")
    return f"{said} {_gaps_in_words(gaps)}"


def _gaps_in_words(gaps: Sequence[Gap]) -> str:
    if not gaps:
        return say("No part is noted as not inspected.")
    grave = all_of(say_in("part of the boat", name) for name in grave_gaps(gaps))
    count = number_in_words(len(gaps)).capitalize()
    if not grave:
        return say_n(
            "{count} part was not inspected.", "{count} parts were not inspected.", len(gaps), count=count
        )
    return say_n(
        "{count} part was not inspected: {grave}.",
        "{count} parts were not inspected, among them {grave}.",
        len(gaps),
        count=count,
        grave=grave,
    )
