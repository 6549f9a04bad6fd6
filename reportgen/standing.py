"""Says by a packet's report.json which report it is, how old it is, and whether a newer one replaced it.

The file comes from a stranger: it is read with a limit, and nothing in it is taken for granted.
"""

from __future__ import annotations

import datetime
import json
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, TypeVar

from reportgen import asjson

MOST_BYTES = 5_000_000
_EMAIL = re.compile(r"[^\s<>()\[\],;:\"@]+@[^\s<>()\[\],;:\"@]+\.\w+")
_Thing = TypeVar("_Thing")


@dataclass(frozen=True)
class Told:
    """What a report says of itself; text is empty and the rest None where it says nothing.

    boat, number, version, status, edition: as on the page. inspected: the last day of the inspection.
    age_days: since then [d], below 0 for a day to come. relied_until: last day it may be relied on.
    expired: whether that day has passed. replaced: by what, in words. content: the fingerprint of its
    content. email: of its surveyor. fault: what is wrong with the file.
    """

    boat: str = ""
    number: str = ""
    version: int | None = None
    status: str = ""
    edition: str = ""
    inspected: datetime.date | None = None
    age_days: int | None = None
    relied_until: datetime.date | None = None
    expired: bool = False
    replaced: str = ""
    content: str = ""
    email: str = ""
    fault: str = ""


def email_of(contact: str) -> str:
    """Give the e-mail address in a contact, empty if there is none."""
    match = _EMAIL.search(contact)
    return match[0] if match else ""


def read(path: Path, today: datetime.date) -> Told:
    """Read what a report says of itself; what is wrong with it stands under `fault`."""
    if path.stat().st_size > MOST_BYTES:
        return Told(fault="it is larger than any report's")
    try:
        data = json.loads(path.read_bytes())
        content = asjson.fingerprint(data) if isinstance(data, dict) else ""
    except (ValueError, RecursionError):
        return Told(fault="it is no JSON that reportgen writes")
    if not content or data.get("format") != asjson.FORMAT:
        return Told(fault="it is no report of a form that this reportgen knows")
    fault = "" if data.get("fingerprint") == content else "its fingerprint is not that of its content"
    return replace(_told(data, today), content=content, fault=fault)


def _told(data: Mapping[str, Any], today: datetime.date) -> Told:
    survey, vessel = _block(data, "survey"), _block(data, "vessel")
    surveyor = _block(_block(data, "people"), "surveyor")
    days = survey.get("inspected")
    inspected = max(filter(None, map(_date, days if isinstance(days, list) else [days])), default=None)
    until = _date(survey.get("not_to_be_relied_on_after"))
    version = survey.get("version")
    return Told(
        boat=_text(vessel, "name") or _text(vessel, "type"),
        number=_text(survey, "number"),
        version=version if isinstance(version, int) else None,
        status=_text(survey, "status"),
        edition=_text(data, "edition"),
        inspected=inspected,
        age_days=(today - inspected).days if inspected else None,
        relied_until=until,
        expired=until is not None and today > until,
        replaced=_replaced(survey.get("replaced_by")),
        email=email_of(_text(surveyor, "contact")),
    )


def _replaced(by: object) -> str:
    """Give what replaced a report, in words, from text or from {number, version, on, why}."""
    if not isinstance(by, dict):
        return by if isinstance(by, str) else ""
    number, version = by.get("number"), by.get("version")
    words = [
        f"report {number}" if number else "",
        f"version {version}" if version else "",
        f"on {by['on']}" if by.get("on") else "",
        f"({by['why']})" if by.get("why") else "",
    ]
    return " ".join(filter(None, words))


def over_all(
    things: Sequence[_Thing],
    told_of: Callable[[_Thing], Told | None],
    with_told: Callable[[_Thing, Told], _Thing],
) -> list[_Thing]:
    """Mark each report of a site of which the same site holds a higher version.

    things: whatever holds reports. told_of, with_told: take what it says, and put it in.
    """
    highest: dict[str, int] = {}
    for told in map(told_of, things):
        if told is not None and told.number and told.version is not None:
            highest[told.number] = max(told.version, highest.get(told.number, 0))
    marked = []
    for thing in things:
        told = told_of(thing)
        if told is not None and told.version is not None and not told.replaced:
            newest = highest.get(told.number, 0)
            if told.version < newest:
                thing = with_told(thing, replace(told, replaced=f"version {newest}, in the same site"))
        marked.append(thing)
    return marked


def _block(data: Mapping[str, Any], name: str) -> Mapping[str, Any]:
    found = data.get(name)
    return found if isinstance(found, dict) else {}


def _text(data: Mapping[str, Any], name: str) -> str:
    found = data.get(name)
    return found if isinstance(found, str) else ""


def _date(value: object) -> datetime.date | None:
    try:
        return datetime.date.fromisoformat(value) if isinstance(value, str) else None
    except ValueError:
        return None
