"""The feed holds to RFC 4287, tells of new reports, and says the same for the same notes."""

from __future__ import annotations

import datetime
import re
from urllib.parse import urlsplit
from xml.etree import ElementTree as ET

import pytest

from reportgen import feed
from reportgen.editions import buyer, seller
from reportgen.errors import UsageError
from reportgen.pages import Entry
from tests.test_siteindex import entry

ATOM = "{http://www.w3.org/2005/Atom}"
# RFC 4287: which children an element may have, and how often at least and at most
# (sections 4.1.1 feed, 4.1.2 entry, 3.2 person; appendix B has the same as RELAX NG)
ANY = 10**9
FEED = {
    "author": (0, ANY), "category": (0, ANY), "contributor": (0, ANY), "generator": (0, 1), "icon": (0, 1),
    "logo": (0, 1), "id": (1, 1), "link": (0, ANY), "rights": (0, 1), "subtitle": (0, 1), "title": (1, 1),
    "updated": (1, 1), "entry": (0, ANY),
}  # fmt: skip
ENTRY = {
    "author": (0, ANY), "category": (0, ANY), "content": (0, 1), "contributor": (0, ANY), "id": (1, 1),
    "link": (0, ANY), "published": (0, 1), "rights": (0, 1), "source": (0, 1), "summary": (0, 1),
    "title": (1, 1), "updated": (1, 1),
}  # fmt: skip
PERSON = {"name": (1, 1), "uri": (0, 1), "email": (0, 1)}
LINK = {"href", "rel", "type", "hreflang", "title", "length"}
# RFC 4287, 3.3 Date Constructs: a date-time of RFC 3339 with an upper-case T and Z
MOMENT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?(Z|[+-]\d\d:\d\d)")


def faults(data: bytes) -> list[str]:
    """Give what is wrong with an Atom feed by RFC 4287; the checks stand beside the sections they follow."""
    try:
        root = ET.fromstring(data)  # noqa: S314 - our own bytes
    except ET.ParseError as error:
        return [f"section 2: not well-formed XML: {error}"]
    if root.tag != f"{ATOM}feed":
        return ["4.1.1: the document element is no atom:feed"]
    wrong = [*_element(root, FEED, "4.1.1"), *_links(root)]
    entries = root.findall(f"{ATOM}entry")
    if root.find(f"{ATOM}author") is None and (
        not entries or any(e.find(f"{ATOM}author") is None for e in entries)
    ):
        wrong.append("4.1.1: neither the feed nor every entry has an author")
    for each in entries:
        wrong += [*_element(each, ENTRY, "4.1.2"), *_links(each)]
        alternate = [k for k in each.findall(f"{ATOM}link") if k.get("rel", "alternate") == "alternate"]
        if each.find(f"{ATOM}content") is None and not alternate:
            wrong.append("4.1.2: an entry without content has no alternate link")
        if each.find(f"{ATOM}content") is None and each.find(f"{ATOM}summary") is None:
            wrong.append("4.1.1.1: an entry with neither text nor summary")
    ids = [e.findtext(f"{ATOM}id") for e in entries]
    if len(set(ids)) != len(ids):
        wrong.append("4.1.1: two entries of one id")
    return wrong


def _element(element: ET.Element, allowed: dict[str, tuple[int, int]], section: str) -> list[str]:
    wrong = []
    names = [child.tag.removeprefix(ATOM) for child in element]
    wrong += [f"{section}: {name} does not belong there" for name in names if name not in allowed]
    for name, (least, most) in allowed.items():
        if not least <= names.count(name) <= most:
            wrong.append(f"{section}: {names.count(name)} times {name}")
    for child in element:
        name, text = child.tag.removeprefix(ATOM), child.text or ""
        if name in ("author", "contributor"):
            wrong += _element(child, PERSON, "3.2")
        elif name in ("updated", "published") and not _moment(text):
            wrong.append(f"3.3: {text!r} is no moment")
        elif name == "id" and not (urlsplit(text).scheme and text == text.strip()):
            wrong.append(f"4.2.6: {text!r} is no absolute IRI")
        elif name in ("title", "summary", "rights", "subtitle"):
            if child.get("type", "text") == "text" and len(child):
                wrong.append(f"3.1.1: {name} as text holds elements")
            if child.get("type", "text") not in ("text", "html", "xhtml"):
                wrong.append(f"3.1: {name} of a type that is none")
    return wrong


def _moment(text: str) -> bool:
    if not MOMENT.fullmatch(text):
        return False
    try:
        datetime.datetime.fromisoformat(text)
    except ValueError:
        return False
    return True


def _links(element: ET.Element) -> list[str]:
    links = element.findall(f"{ATOM}link")
    wrong = ["4.2.7.1: a link without href" for link in links if not link.get("href")]
    wrong += [f"4.2.7: a link with {set(k.attrib) - LINK}" for k in links if set(k.attrib) - LINK]
    kinds = [(k.get("type"), k.get("hreflang")) for k in links if k.get("rel", "alternate") == "alternate"]
    return wrong + (["4.1.1: two alternate links of one type"] if len(set(kinds)) != len(kinds) else [])


def _feed(count: int = 4, base: str = "", **keys: object) -> bytes:
    return feed.made([entry(n, **keys) for n in range(count)], buyer.EDITION, base)


@pytest.mark.parametrize("count", [1, 4, 200])
@pytest.mark.parametrize("base", ["", "https://example.org/reports/"])
def test_feed_is_valid(count: int, base: str) -> None:
    """By RFC 4287, with and without an address of the site."""
    assert faults(_feed(count, base)) == []


PLANTED = {
    "<id>urn": ("<id> urn", "4.2.6"),
    "</updated>": ("+1</updated>", "3.3"),
    "<summary>": ("<summary>x</summary><summary>", "4.1.2"),
    "T00:00:00Z": (" 00:00:00Z", "3.3"),
    "<entry>": ("<entry><name>x</name>", "4.1.2"),
    "<author>": ("<author><name>x</name>", "3.2"),
    "<author><name>Ruth Halvane</name></author>": ("", "author"),
    "</title>": ("<b/></title>", "3.1.1"),
    "</feed>": ("", "section 2"),
    "2005/Atom": ("2005/atom", "4.1.1"),
    ' href="boat': (' ref="boat', "4.2.7"),
    '<link rel="alternate" type="text/html" href="boat': ('<link rel="related" href="boat', "alternate link"),
}


@pytest.mark.parametrize("sound", PLANTED)
def test_planted_fault_is_found(sound: str) -> None:
    """The check sees what the RFC forbids."""
    bad, told = PLANTED[sound]
    text = _feed().decode()
    assert sound in text
    assert any(told in fault for fault in faults(text.replace(sound, bad).encode()))


def _entries(data: bytes) -> list[ET.Element]:
    return ET.fromstring(data).findall(f"{ATOM}entry")  # noqa: S314 - our own bytes


def test_newest_fifty_by_the_days_of_the_notes() -> None:
    """The days are the reports', newest first, and the feed's is the newest."""
    data = _feed(200)
    told = [e.findtext(f"{ATOM}updated") or "" for e in _entries(data)]
    assert len(told) == feed.MOST
    assert told == sorted(told, reverse=True)
    newest = max(e.told for e in map(entry, range(200)) if e.told)
    assert told[0] == f"{newest}T00:00:00Z"
    assert data == _feed(200)


def test_ids_last() -> None:
    """A new version keeps its report's id; another edition, surveyor or number has another."""

    def id_of(one: Entry, edition: object = buyer.EDITION) -> str:
        return _entries(feed.made([one], edition))[0].findtext(f"{ATOM}id") or ""  # type: ignore[arg-type]

    first = id_of(entry(1))
    assert re.fullmatch(r"urn:uuid:[0-9a-f]{8}-[0-9a-f]{4}-5[0-9a-f-]{21}", first)
    assert id_of(entry(1, version=2, boat="Renamed", told=datetime.date(2026, 1, 2))) == first
    others = [id_of(entry(1, number="N-x")), id_of(entry(1, surveyor="X")), id_of(entry(1), seller.EDITION)]
    assert len({first, *others}) == 4
    # the same for ever: a program would tell of every report anew
    assert first == "urn:uuid:5ef33634-c93a-5543-b553-0c686d12fdb2"


def test_id_of_the_feed_stays_while_reports_are_added() -> None:
    """It hangs on the oldest report, or on the address of the site."""
    names = {ET.fromstring(_feed(n)).findtext(f"{ATOM}id") for n in (1, 4, 20)}  # noqa: S314
    assert len(names) == 1
    based = {
        ET.fromstring(feed.made([entry(n)], buyer.EDITION, "https://example.org/")).findtext(f"{ATOM}id")  # noqa: S314
        for n in (1, 9)
    }
    assert len(based) == 1


def test_highest_version_alone_is_told() -> None:
    """Two versions side by side in a site are one report."""
    old, new = entry(1), entry(1, version=2, folder="boat-1-again", told=datetime.date(2020, 1, 2))
    [only] = _entries(feed.made([new, old], buyer.EDITION))
    link = only.find(f"{ATOM}link")
    assert link is not None
    assert link.get("href") == "boat-1-again/index.html"


def test_public_feed_tells_of_what_is_released() -> None:
    """A draft for the owner is no news for the public; without anything to tell there is no feed."""
    released, draft = entry(1), entry(2, released=False)
    assert len(_entries(feed.made([released, draft], seller.EDITION))) == 1
    assert feed.made([draft], seller.EDITION) == b""
    assert len(_entries(feed.made([released, draft], buyer.EDITION))) == 2
    assert feed.made([entry(1, told=None)], buyer.EDITION) == b""


def test_words_of_the_notes_are_text() -> None:
    """Signs of markup, quotes and signs that XML can't hold make no fault."""
    data = _feed(2, boat='<b a="x">&\x0c\ufffe]]>', surveyor="", headline="\x00&")
    assert faults(data) == []
    assert feed.NOBODY in data.decode()


@pytest.mark.parametrize(
    "address", ["ftp://x.org", "example.org", "https://", "https://x.org/?a", "https://[x"]
)
def test_wrong_address_is_refused(address: str) -> None:
    """The address of a site is one of the web, without a query."""
    with pytest.raises(UsageError, match="no address of a site"):
        feed.base_checked(address)


def test_address_ends_with_a_slash() -> None:
    """Links are put behind it."""
    assert feed.base_checked("https://example.org/a") == "https://example.org/a/"
    assert b'href="https://example.org/a/boat-1/index.html"' in _feed(2, "https://example.org/a/")
