"""Writes the feed by which a program tells its user of new reports: Atom, as RFC 4287 has it."""

from __future__ import annotations

import datetime
import re
import uuid
from collections.abc import Sequence
from html import escape
from urllib.parse import urlsplit

from reportgen.edition import Edition
from reportgen.errors import UsageError
from reportgen.pages import Entry
from reportgen.wording import later, say, say_in, tag

FILE = "feed.xml"
MOST = 50  # newest reports in a feed [reports]
NOBODY = later("surveyor not named")
# drawn once by chance (RFC 9562, version 4); every name below is made from it and never changes
_OURS = uuid.UUID("5d2f1c0e-8a57-4c0b-9d6e-3f1b7a42c9e8")
# signs that no text of XML 1.0 can hold, such as a form feed (its production 2, Char)
_NO_XML = re.compile("[^\\t\\n\\r\\x20-\\ud7ff\\ue000-\\ufffd\\U00010000-\\U0010ffff]")


def base_checked(address: str) -> str:
    """Give the address at which the site will stand, with a slash at its end; "" for none.

    Raises UsageError for what is no web address.
    """
    if not address:
        return ""
    try:
        parts = urlsplit(address)
        good = parts.scheme in ("http", "https") and bool(parts.hostname)
    except ValueError:
        good = False
    if not good or parts.query or parts.fragment or not address.isprintable() or " " in address:
        raise UsageError(f"{address!r} is no address of a site; write it as https://example.org/reports/")
    return address if address.endswith("/") else f"{address}/"


def made(entries: Sequence[Entry], edition: Edition, base: str = "") -> bytes:
    """Give the feed of the newest reports, by the days that they state, never by the clock; b"" for none.

    base: address of the site, with a slash at its end; links are relative to the feed without it.
    In a public edition only released reports are told of. Of one number, the highest version is told.
    """
    told = _told([e for e in entries if e.told and (e.released or not edition.public)], edition)
    if not told:
        return b""
    # without an address, the oldest report is what stays the same while others are added
    oldest = min(told, key=lambda e: (e.told, _seed(e, edition)))
    named = say_in("edition", edition.name)
    name = _id("feed", edition.name, base or _seed(oldest, edition))
    latest = sorted(told, key=lambda e: (-_ordinal(e), e.number, e.folder))[:MOST]
    lines = [
        '<?xml version="1.0" encoding="utf-8"?>',
        f'<feed xmlns="http://www.w3.org/2005/Atom" xml:lang="{tag()}">',
        f"<id>{name}</id>",
        f"<title>{_text(say('Inspection reports, {edition} edition', edition=named))}</title>",
        f"<updated>{_time(latest[0])}</updated>",
        f'<link rel="self" type="application/atom+xml" href={_link(base, FILE)}/>',
        f'<link rel="alternate" type="text/html" href={_link(base, "index.html")}/>',
        *(line for entry in latest for line in _entry(entry, edition, base)),
        "</feed>",
    ]
    return "\n".join([*lines, ""]).encode("utf-8")


def _told(entries: Sequence[Entry], edition: Edition) -> list[Entry]:
    """Keep one entry of each report: the highest version, since an id names one entry."""
    kept: dict[str, Entry] = {}
    for entry in sorted(entries, key=lambda e: (e.version, e.told, e.folder)):
        kept[_seed(entry, edition)] = entry
    return list(kept.values())


def _entry(entry: Entry, edition: Edition, base: str) -> list[str]:
    about = ", ".join(filter(None, (entry.boat, entry.maker, entry.model)))
    limits = (
        say("Must not be done: {limits}.", limits="; ".join(entry.limits)) if entry.limits else entry.headline
    )
    title = say(
        "{boat}: report {number}, version {version}", boat=about, number=entry.number, version=entry.version
    )
    said = " ".join(filter(None, (entry.counted, limits)))
    return [
        "<entry>",
        f"<id>{_id('report', _seed(entry, edition))}</id>",
        f"<title>{_text(title)}</title>",
        f"<updated>{_time(entry)}</updated>",
        f"<author><name>{_text(entry.surveyor or say(NOBODY))}</name></author>",
        f'<link rel="alternate" type="text/html" href={_link(base, f"{entry.folder}/index.html")}/>',
        f"<summary>{_text(said)}</summary>",
        "</entry>",
    ]


def _seed(entry: Entry, edition: Edition) -> str:
    """Give what makes a report itself, whatever its version: by whom, which number, for whom."""
    return "\n".join((entry.surveyor, entry.number, edition.name))


def _id(*parts: str) -> str:
    return uuid.uuid5(_OURS, "\n".join(parts)).urn


def _ordinal(entry: Entry) -> int:
    return entry.told.toordinal() if entry.told else 0


def _time(entry: Entry) -> str:
    """Give the day of a report as the moment that RFC 3339 asks for: its midnight, universal time."""
    return f"{(entry.told or datetime.date.min).isoformat()}T00:00:00Z"


def _text(said: str) -> str:
    return escape(_NO_XML.sub("", said), quote=False)


def _link(base: str, file: str) -> str:
    return f'"{escape(f"{base}{file}")}"'
