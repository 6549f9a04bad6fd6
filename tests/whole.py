"""A survey that fills every key of the notes, each private one with a word or number found nowhere else."""

from __future__ import annotations

import copy
import dataclasses
import random
import string
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml
from PIL import Image

from reportgen import charges
from reportgen.block import PHOTOS, Block, PhotoNote, keys_of, named
from reportgen.blocks.conditions import Conditions
from reportgen.blocks.disclosure import Answer
from reportgen.blocks.note import NoteKeys, NotInspected
from reportgen.blocks.repair import Charge
from reportgen.blocks.value import Comparable
from reportgen.kinds import compression
from reportgen.model import Cover, Finding, Reading
from reportgen.values import (
    Date,
    DateOrWords,
    Either,
    ListOf,
    MapOf,
    Measure,
    Money,
    OneOf,
    Percent,
    SpanOf,
    Text,
    Whole,
    YesNo,
)

Shares = frozenset[str]
NOTHING: Shares = frozenset()
NOT_PUBLIC = "photo not public"
UNIT = {"length": "m", "mass": "kg", "power": "hp", "time": "h", "temperature": "°C", "share": "%"}
# What is no free text or number: a rule of the notes says what may stand there.
FIXED: dict[str, Any] = {
    "Cover.survey": "pre-purchase",
    "Cover.follows": "",  # tests/test_earlier.py and tests/test_followup.py follow reports
    "Cover.number": "LT-77",
    "Cover.version": 2,
    "Cover.status": "final",
    "Cover.inspected": ["2026-03-01", "2026-03-02"],
    "Cover.reported": "2026-03-04",
    "Cover.agreed_scope_on": "2026-02-20",
    "Cover.not_to_be_relied_on_after": "2026-09-01",
    "Answer.answer": "yes",
    "Answer.paper": "yes",
    "Cover.share_strip_downs": "hours",
    "Vessel.type": "gasoline inboard",
    "SafetyEquipment.static_thrust": "200 lbf",
    "Extinguisher.made": "2024",
    "Extinguisher.serviced": "2025",
    "Signal.made": "2025-02",
    "Ventilation.open": "no",
    "Ventilation.net_volume": "50 ft³",
    "Ventilation.open_area": "9 in²",
    "Ventilation.blower_rating": "80 cfm",
    "Ventilation.blower_output": "31 cfm",
    "Ventilation.supply_opening": "12 in²",
    "Ventilation.exhaust_opening": "12 in²",
    "Signal.expires": "2028-07-31",
    "Price.currency": "USD",
    "Value.effective_date": "2026-03-02",
    "Comparable.currency": "USD",
    "Comparable.sold_in": "2025-11",
    "Comparable.weight": "50 %",
    "Adjustment.comparable_is": "poorer",
    "Price.material_threshold": "5 %",
    "Agreed.agreed_on": "2026-03-03",
    "AgreedRepair.covers": ["second"],
    "AgreedCredit.covers": ["third"],
    "Holdback.covers": [],
    "Holdback.until": "2043-11-30",
    "Engine.name": "main",
    "Engine.cylinders": 4,
    "Engine.fuel": "gasoline",
    "Engine.strokes": 4,
    "Surveyor.role": "surveyor",
    "Instrument.calibrated": "2026-01-10",
    "Sunk.paid_by": "buyer",
    "Sunk.for_": "",
    "Rates.tax": None,  # stands instead of parts tax and labour tax
    "StripDown.trade": "mechanical",
    "StripDown.also_needs": [],
    "Repair.trade": "mechanical",
    "Repair.needs": ["shaft out"],
    "Repair.in_price_of": [],  # stands instead of labour, parts and cost
    "YardQuote.covers": ["second"],
    "YardQuote.on": "2026-03-03",
    "YardQuote.valid_until": "2026-06-30",
    "YardQuote.use": "beside",
    "Finding.counted": "repair",
    "Quote.on": "2026-03-03",
    "Quote.valid_until": "2026-06-30",
    "Conditions.on": "2026-03-01",
    "NoteKeys.items": {"sounder": "powered up only"},
    "NoteKeys.inspected_items": ["keel bolts"],
    "Finding.severity": "stop",
    "Finding.forbids": ["running the engine"],
    "Finding.hazards": ["fire"],
    "Finding.severity_was": "",
    "Finding.withdrawn": "",
    "Finding.instead_of": [],
    "Withdrawn.by": "",
    "Withdrawn.why": "",
    "Reading.retest_of": "",
    "Finding.evidence": ["pressures"],
    "Finding.pays": {"seller": "60 %", "buyer": "40 %"},
    "Finding.settle_by": "repair",
    "Finding.basis": "surveyor's judgement",
    "Finding.confidence": "seen",
    "LookedAtAgain.on": "2026-03-02",
    "ReplacedBy.on": "2026-05-02",
    "ReplacedBy.number": "LT-91",
    "ReportedDone.on": "2026-03-02",
    "Checked.on": "2026-03-03",
    "Checked.evidence": ["pressures-again"],
    "Reading.kind": "compression",
    "Reading.at": "main",
    "Reading.unit": "psi",
    "Reading.not_taken": "",
    "Fields.cylinders": {1: 150, 2: 152, 3: 90, 4: 151},
    "Fields.wet": {3: 120},
    "Fields.engine_temperature": "warm",
    "Fields.altitude": "10 m",
    "Fields.banks": [[1, 2, 3, 4]],
    "Fields.limit": {"minimum": 120, "source": "an invented maker's manual, sheet 4"},
}


@dataclass(frozen=True)
class Token:
    """A value of the notes. path: block and key. shares: categories it stands under, outermost first."""

    value: str
    path: str
    shares: frozenset[str]

    def hidden(self, shows: frozenset[str]) -> bool:
        """Say whether an edition with these categories may not show it."""
        return bool(self.shares - shows - {"open"})


@dataclass
class Writer:
    """Writes the notes of a survey and keeps account of every value put into them."""

    chance: random.Random = field(default_factory=lambda: random.Random(20260301))  # noqa: S311
    tokens: list[Token] = field(default_factory=list)
    photos: list[str] = field(default_factory=list)

    def word(self) -> str:
        """Give ten letters and digits that begin with a capital and look like nothing else."""
        letters = string.ascii_lowercase.replace("i", "").replace("o", "")
        body = "".join(self.chance.choice(letters if n % 2 else "2345679") for n in range(8))
        return self.chance.choice("BDFGKMPRVXZ") + self.chance.choice(letters) + body

    def keep(self, value: str, path: str, shares: frozenset[str]) -> str:
        """Note a value down and give it."""
        self.tokens.append(Token(value, path, shares))
        return value

    def block(self, cls: type, shares: Shares, leave: Shares = NOTHING) -> dict[str, Any]:
        """Give a block of keys with all of them filled in."""
        filled = {}
        for name, spec in keys_of(cls).items():
            path = f"{cls.__name__}.{spec.name}"
            if path not in leave:
                filled[name] = self.value(spec, path, shares | {spec.metadata["share"]}, leave)
        return {name: value for name, value in filled.items() if value not in ("", [], None)}

    def value(
        self, spec: dataclasses.Field[Any], path: str, shares: frozenset[str], leave: frozenset[str]
    ) -> Any:
        """Give a key's value, by its type."""
        if path in FIXED:
            return copy.deepcopy(FIXED[path])  # one list twice would become an alias
        if path in CUSTOM:
            return CUSTOM[path](self, path, shares)
        return self.typed(spec.metadata["type"], path, shares, leave)

    def typed(self, type_: Any, path: str, shares: frozenset[str], leave: frozenset[str]) -> Any:
        """Give a value of a type; a type that is new here has to be taught here."""
        if isinstance(type_, Block):
            return self.block(type_.block, shares, leave)
        if type_ is PHOTOS:
            return self.pictures(path, shares)
        if isinstance(type_, ListOf):
            return [self.typed(type_.item, path, shares, leave)]
        if isinstance(type_, MapOf):
            return {"shaft out": self.typed(type_.value, path, shares, leave)}
        if isinstance(type_, Either):
            return self.typed(type_.items, path, shares, leave)
        if isinstance(type_, SpanOf):
            return self.span(type_, path, shares)
        return self.plain(type_, path, shares)

    def plain(self, type_: Any, path: str, shares: frozenset[str]) -> Any:
        """Give a single value, one that can be found again wherever the type leaves room for it."""
        drawn = {
            Text: self.word,
            DateOrWords: self.word,
            Money: self.sum,
            Percent: self.share,
            Date: self.day,
        }
        if type(type_) in drawn:
            value = self.keep(drawn[type(type_)](), path, shares)
            return f"{value} %" if isinstance(type_, Percent) else value
        if isinstance(type_, OneOf):
            return type_.choices[0]
        if isinstance(type_, YesNo):
            return "yes"
        if isinstance(type_, Whole):
            return max(type_.least, 4)
        if isinstance(type_, Measure):
            return f"17 {UNIT[type_.dimension]}"
        raise AssertionError(f"tests/whole.py does not know how a note fills {path}: {type_}")

    def new(self, draw: Callable[[], str]) -> str:
        """Give a number that no other value has."""
        taken = {token.value for token in self.tokens}
        return next(value for value in iter(draw, "") if value not in taken)

    def share(self) -> str:
        return self.new(lambda: f"{self.chance.randint(501, 989) / 100:.2f}{self.chance.randint(1, 9)}")

    def day(self) -> str:
        year, month = self.chance.randint(2031, 2039), self.chance.randint(1, 12)
        return f"{year}-{month:02}-{self.chance.randint(10, 28)}"

    def sum(self) -> str:
        return f"{self.chance.randint(11_111, 98_765)}.{self.chance.randint(11, 98)}"

    def span(self, type_: SpanOf, path: str, shares: frozenset[str]) -> str:
        """Give low / likely / high in order."""
        if type_.dimension == "money":
            values = sorted((self.sum() for _ in range(3)), key=float)
        else:
            # four decimals, since three look like the thousands of a sum
            drawn = (self.chance.randint(1_011, 9_998) * 10 + self.chance.randint(1, 9) for _ in range(3))
            values = [f"{n / 10_000:.4f}" for n in sorted(drawn)]
        kept = " / ".join(self.keep(v, path, shares) for v in values)
        return kept if type_.dimension == "money" else f"{kept} h"

    def pictures(self, path: str, shares: frozenset[str]) -> list[dict[str, Any]]:
        """Give two photos, one of them fit for the public; their files' names are private."""
        rows = []
        for public in (True, False):
            under = shares if public else shares | {NOT_PUBLIC}
            name = self.keep(self.word(), f"{path}: file", shares | {"private"})
            self.photos.append(f"{name}.jpg")
            caption = self.keep(self.word(), f"{path}: caption", under)
            hidden, drawn = (self.keep(self.word(), f"{path}: {of}", under) for of in ("blur", "mark"))
            rows.append(
                {
                    "photo": f"{name}.jpg",
                    "shows": caption,
                    "public": "yes" if public else "no",
                    "blur": [{"left": 10, "top": 10, "width": 20, "height": 20, "hides": hidden}],
                    "mark": [{"label": drawn, "at": {"left": 50, "top": 50}}],
                }
            )
        assert {"photo", "shows", "public", "blur", "mark"} <= {named(f) for f in keys_of(PhotoNote).values()}
        return rows

    def hull(self, path: str, shares: frozenset[str]) -> str:
        """Give a hull number of the current form; its serial is what nobody may see."""
        serial = "".join(self.chance.choice("23456789") for _ in range(5))
        self.tokens.append(Token(serial, f"{path}: serial", shares))
        return self.keep(f"ZZQ{serial}C515", path, shares)

    def rates(self, path: str, shares: frozenset[str]) -> dict[str, str]:
        rate = f"1{self.chance.randint(11, 99)}.{self.chance.randint(11, 98)}"
        return {"mechanical": self.keep(rate, path, shares)}

    def past_day(self, path: str, shares: frozenset[str]) -> str:
        year, month = self.chance.randint(2011, 2019), self.chance.randint(1, 12)
        return self.keep(f"{year}-{month:02}-{self.chance.randint(10, 28)}", path, shares)

    def comparables(self, path: str, shares: frozenset[str]) -> list[dict[str, Any]]:
        """Give two: one adjusted by an amount, the other by a share."""
        return [
            self.block(Comparable, shares, frozenset({leave}))
            for leave in ("Adjustment.share", "Adjustment.amount")
        ]

    def charges(self, path: str, shares: frozenset[str]) -> list[dict[str, Any]]:
        """Give four, each by another basis."""
        bases = {f"Charge.{name}" for name in charges.BASES}
        apart = [bases - {basis} | ({"Charge.for_"} if basis == "Charge.flat" else set()) for basis in bases]
        return [self.block(Charge, shares, frozenset(leave)) for leave in sorted(apart, key=sorted)]

    def yard_days(self, path: str, shares: frozenset[str]) -> str:
        return self.span(SpanOf("time"), path, shares).replace(" h", " days")

    def deposit(self, path: str, shares: frozenset[str]) -> str:
        return self.keep(f"{self.chance.randint(3111, 9876)}.{self.chance.randint(11, 98)}", path, shares)

    def last_day(self, path: str, shares: frozenset[str]) -> str:
        return self.keep(f"2041-{self.chance.randint(1, 12):02}-{self.chance.randint(10, 28)}", path, shares)

    def small(self, path: str, shares: frozenset[str]) -> str:
        """Give a sum that is below any price here, also together with others like it."""
        return self.keep(f"{self.chance.randint(1111, 2999)}.{self.chance.randint(11, 98)}", path, shares)

    def days(self, path: str, shares: frozenset[str]) -> list[dict[str, Any]]:
        return [self.block(Conditions, shares)]

    def answers(self, path: str, shares: frozenset[str]) -> dict[str, Any]:
        return {"grounding": "not known", "earlier repairs": self.block(Answer, shares)}

    def gaps(self, path: str, shares: frozenset[str]) -> dict[str, Any]:
        return {"fuel tank": self.block(NotInspected, shares), "gas locker": "locked"}

    def signer(self, path: str, shares: frozenset[str]) -> str:
        return next(t.value for t in self.tokens if t.path == "Surveyor.name")

    def text(self, path: str, shares: frozenset[str]) -> str:
        return self.keep(self.word(), path, shares)


CUSTOM: Mapping[str, Any] = {
    "BoatFacts.hull_number": Writer.hull,
    "Rates.labour": Writer.rates,
    "Rates.second_person": Writer.rates,
    "Charge.for_": Writer.yard_days,
    "Cover.each_visit": Writer.charges,
    "Repair.charges": Writer.charges,
    "StripDown.charges": Writer.charges,
    "Price.deposit": Writer.deposit,
    "DealDates.closing": Writer.last_day,
    "AgreedRepair.if_not_done": Writer.small,
    "AgreedCredit.amount": Writer.small,
    "Holdback.amount": Writer.small,
    "Cover.conditions": Writer.days,
    "Cover.comparables": Writer.comparables,
    "Comparable.sold": Writer.past_day,
    "Comparable.listed": Writer.past_day,
    "Cover.disclosure": Writer.answers,
    "NoteKeys.not_inspected": Writer.gaps,
    "ReportedDone.invoice": Writer.text,
    "Checked.by": Writer.signer,
}
_LEAVE = frozenset({"Repair.cost", "Repair.tax", "Repair.quote", "Repair.unpriced", "StripDown.tax"})
_FIXED_COST = frozenset({"Repair.labour", "Repair.trade", "Repair.parts", "Repair.unpriced"}) | {
    "Repair.second_person",
    "Repair.overtime",
}


def _fence(word: str, block: Mapping[str, Any]) -> str:
    return f"```{word}\n{yaml.safe_dump(dict(block), allow_unicode=True, sort_keys=False)}```\n"


@dataclass(frozen=True)
class Filled:
    """A survey's folder with every value put into it."""

    folder: Path
    tokens: tuple[Token, ...]


def sections(writer: Writer) -> Iterator[str]:
    """Give the findings and readings, each key of theirs in at least one of them."""
    top = frozenset({"open"})
    first = writer.block(Finding, top, _LEAVE)
    yield f"## First\n{_fence('finding', first)}\nSeen at the bracket.\n"
    second = writer.block(
        Finding, top, _FIXED_COST | {"Finding.checked", "Finding.forbids", "Finding.evidence"}
    )
    second |= {"severity": "settle", "pays": "seller"}
    yield f"## Second\n{_fence('finding', second)}\nSeen at the bilge.\n"
    bare = {"severity": "stop", "forbids": ["running the engine"], "risk": "r", "evidence": ["pressures"]}
    why = writer.keep(writer.word(), "Repair.unpriced", frozenset({"open", "work"}))
    yield f"## Third\n{_fence('finding', bare | {'repair': {'unpriced': why}})}\n"
    sound = {"severity": "sound", "evidence": ["pressures"], "hazards": ["flooding"]}
    secret = writer.keep(writer.word(), "left out: heading", frozenset({"open", "sound"}))
    yield f"## {secret}\n{_fence('finding', sound)}\n{secret} is in order.\n"
    for title in ("Pressures", "Pressures again"):
        reading = writer.block(Reading, top) | writer.block(compression.Fields, top)
        yield f"## {title}\n{_fence('reading', reading)}\nTaken warm.\n"


def write(folder: Path) -> Filled:
    """Write the survey into a folder."""
    writer, top = Writer(), frozenset({"open"})
    front = writer.block(Cover, top) | writer.block(NoteKeys, top)
    fenced = writer.keep(f"{writer.word()} {writer.word()}", "private fence", frozenset({"private"}))
    body = "\n".join(sections(writer))
    folder.mkdir(parents=True, exist_ok=True)
    head = yaml.safe_dump(front, allow_unicode=True, sort_keys=False)
    private = f"```private\n{fenced}\n```\n"
    (folder / "cover.md").write_text(f"---\n{head}---\n\nWords.\n\n{private}\n{body}", encoding="utf-8")
    for name in writer.photos:
        secret = writer.keep(writer.word(), "photo metadata", frozenset({"private"}))
        exif = Image.Exif()
        exif[0x010E] = exif[0x013B] = secret
        Image.new("RGB", (64, 48), "gray").save(folder / name, exif=exif, comment=secret.encode())
    tokens = {t.value: t for t in writer.tokens}
    assert len(tokens) == len(writer.tokens), "a value was drawn twice"
    return Filled(folder, tuple(tokens.values()))
