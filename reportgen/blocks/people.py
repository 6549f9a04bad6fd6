"""The people of a survey and what they may be shown as."""

from __future__ import annotations

from dataclasses import dataclass

from reportgen.block import Block, key
from reportgen.values import ListOf, OneOf, Text

ROLES = ("surveyor", "mechanic", "owner")


@dataclass(frozen=True)
class Surveyor:
    """Who inspected and signs."""

    name: str = key(Text(), need="must", share="surveyor", help="the full name", default="")
    role: str = key(OneOf(ROLES), share="surveyor", help="surveyor, mechanic or owner", default="surveyor")
    firm: str = key(Text(), share="surveyor", help="name of the firm, if any", default="")
    credentials: str = key(Text(), share="surveyor", help="membership with its number", default="")
    insurance: str = key(Text(), share="surveyor", help="professional indemnity insurance", default="")
    contact: str = key(
        Text(), share="surveyor contact", help="e-mail address or telephone number", default=""
    )


@dataclass(frozen=True)
class Person:
    """A person or firm with a part in the deal."""

    name: str = key(Text(), share="people", help="name", default="")
    contact: str = key(Text(), share="contact", help="e-mail address or telephone number", default="")


_PERSON = Block(Person, "a person", "name")


@dataclass(frozen=True)
class People:
    """Who is who."""

    surveyor: Surveyor = key(
        Block(Surveyor, "the surveyor", "name"),
        need="must",
        share="surveyor",
        help="who inspected",
        default=Surveyor(),
    )
    inspectors: tuple[Surveyor, ...] = key(
        ListOf(Block(Surveyor, "an inspector", "name")),
        share="surveyor",
        help="others who may sign checks",
        default=(),
    )
    client: Person | None = key(_PERSON, share="people", help="who asked for the survey")
    seller: Person | None = key(_PERSON, share="people", help="seller")
    owner: Person | None = key(_PERSON, share="people", help="owner, if not the seller")
    buyer: Person | None = key(_PERSON, share="people", help="buyer, if not the client")
    broker: Person | None = key(_PERSON, share="people", help="broker")
    yard: Person | None = key(_PERSON, share="people", help="yard")
