"""Attaches the cautions that a boat, its findings and tests call for; words the headline of use limits."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from importlib import resources
from typing import Any

import yaml

from reportgen import sources
from reportgen.block import shown
from reportgen.blocks.finding import HAZARDS
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


@dataclass(frozen=True)
class Caution:
    """One caution with what called for it.

    hazard: one of the hazards of a finding, or general. text: what can happen. do: what to do now.
    who: who may put it right. source: who publishes it, in words; source_ids in sources.yaml, (n,).
    because: what called for it, in words: ids of findings, kinds of reading, the type of boat, every report.
    findings: the ids among those, so that a view can leave out findings that a reader may not see.
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


@dataclass(frozen=True)
class Entry:
    """One caution as cautions.yaml holds it: what calls for it, and what it says.

    figures: by their place in its texts, as its source has them (ft, yards, °F) and in metric units.
    """

    caution: Caution
    hazards: tuple[str, ...] = ()
    kinds: tuple[str, ...] = ()
    types: tuple[str, ...] = ()
    never: tuple[str, ...] = ()
    mentioned: tuple[str, ...] = ()
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
    caution = Caution(id, row["hazard"], row["text"], row["do"], row.get("who", ""), _source_words(ids), ids)
    hazards, kinds, types, never, mentioned = (
        tuple(when.get(name, ())) for name in ("hazards", "kinds", "types", "never", "mentioned")
    )
    _known(id, (row["hazard"], *hazards), (*HAZARDS, GENERAL))
    _known(id, (*types, *never), TYPES)
    any_reading, always = row["when"] == "any reading", row["when"] == "always"
    figures = {name: (noted, metric) for name, (noted, metric) in row.get("figures", {}).items()}
    return Entry(caution, hazards, kinds, types, never, mentioned, any_reading, always, figures)


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
    findings: Iterable[Finding], kinds_taken: Iterable[Kind], boat_type: str, metric: bool = False
) -> tuple[Caution, ...]:
    """Give the cautions that findings, readings taken and the type of boat call for, worst first, each once.

    findings: in any state, since a caution does no harm and a missing one can. kinds_taken: in any number.
    metric: whether the notes measure so, for a reader who has not asked for a system of units. The general
    caution is always among them, last.
    """
    found, kinds = tuple(findings), tuple(kinds_taken)
    dangers = [f for f in found if f.hazards]
    attached = []
    for entry in entries():
        told = [f for f in dangers if not set(f.hazards).isdisjoint(entry.hazards) and _mentions(f, entry)]
        # what is put right and checked is named only where nothing else of the kind is open
        ids = [f.id for f in told if f.state != "checked"] or [f.id for f in told]
        because = [*ids, *_tests(entry, kinds)]
        if boat_type in entry.types:
            because.append(boat_type)
        if entry.always:
            because.append(ALWAYS)
        if because and boat_type not in entry.never:
            attached.append(_with(entry, metric, tuple(dict.fromkeys(because)), tuple(dict.fromkeys(ids))))
    return tuple(attached)


def _mentions(finding: Finding, entry: Entry) -> bool:
    """Say whether a finding uses one of a caution's words, where that one asks for any."""
    if not entry.mentioned:
        return True
    words = "|".join(map(re.escape, entry.mentioned))
    told = (finding.title, finding.item, finding.system, finding.where, finding.prose.markdown)
    return re.search(rf"\b({words})\b", " ".join(told), re.IGNORECASE) is not None


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
    return Caution(*said, because, ids)


def _figure(noted: str, metric: str, by_metre: bool) -> str:
    """Print a figure in the reader's units first, and as its source has it in any case."""
    amount, _, unit = noted.partition(" ")
    own = say("{n} yards", n=amount) if unit == "yards" else number(noted)
    if system() == "us" or (not system() and language() == "en" and not by_metre):
        return own
    first, second = (own, number(metric)) if system() == "both" and not by_metre else (number(metric), own)
    return f"{first} ({second})"


def _tests(entry: Entry, kinds: Iterable[Kind]) -> list[str]:
    """Name the tests that call for a caution, by the kind's name or by the hazards of taking it."""
    named = {_plain(name) for name in entry.kinds}
    return [
        say_in("in a sentence", "{reading}", reading=_small(say(kind.title)))
        for kind in kinds
        if entry.any_reading
        or _plain(kind.name) in named
        or (not entry.mentioned and set(kind.hazards) & set(entry.hazards))
    ]


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
