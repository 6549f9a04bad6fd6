"""The list of a site's reports: orders, pages, ways between them, and what is in it for whom."""

from __future__ import annotations

import dataclasses
import datetime
import itertools
from collections.abc import Mapping
from functools import cache
from pathlib import Path

import pytest
from bs4 import BeautifulSoup, Tag

from reportgen import feed, pages, publish, siteindex, theme
from reportgen.blocks.finding import SEVERITIES
from reportgen.editions import buyer, seller
from reportgen.pages import Entry
from reportgen.passage import day
from tests import made
from tests.browser import links

LOOK = theme.find()
NAMES = ("Avocet", "brent", "Égret", "Heron", "Osprey", "7 Winds", "Zoë", "Knot", "Ruff", "Teal", "Ümit")
MAKERS = ("Pellam Boatworks", "", "Ardent Yards", "Östman Bryggeri")


def entry(number: int, /, **keys: object) -> Entry:
    """Give the entry of one of many invented reports."""
    on = datetime.date(2019, 1, 1) + datetime.timedelta(days=number * 7 % 2000)
    worst = (*SEVERITIES, "")[number % 6]
    boat = f"{NAMES[number % 11]} {number // 11}"
    limits = ("starting the engine",) if worst == "stop" else ()
    filled = Entry(
        *(f"boat-{number}", boat, "sailing yacht", f"N-{number}", day(on)),
        *("Counts as a sentence.", "No use limit stands.", limits),
        *(True, MAKERS[number % 4], f"M{number % 30}", 1990 + number % 30, 1, "final", worst, on, on),
        surveyor="Ruth Halvane",
    )
    return dataclasses.replace(filled, **keys)  # type: ignore[arg-type]


@cache
def site(count: int) -> Mapping[str, bytes]:
    """Give the pages that list so many reports."""
    return dict(siteindex.made([entry(n) for n in range(count)], buyer.EDITION, LOOK, (), ""))


@cache
def soup(count: int, file: str) -> BeautifulSoup:
    """Give one of these pages, read."""
    return BeautifulSoup(site(count)[file], "lxml")


def folders(page: BeautifulSoup) -> list[str]:
    """Give the reports that a page lists, in its order."""
    return [str(a["href"]).removesuffix("/index.html") for a in page.select(".entries a")]


def order(count: int, name: str) -> list[str]:
    """Give all reports of an order by following its pages one after another, as a reader would."""
    file, seen = "index.html" if name == "boat" else f"by-{name}.html", []
    while file:
        page = soup(count, file)
        seen += folders(page)
        after = [a for a in page.find_all("a") if a.text.startswith("After: ")]
        file = str(after[0]["href"]) if after else ""
    return seen


def test_few_reports_stand_on_one_page_without_more() -> None:
    """Up to twenty reports need neither orders nor letters."""
    assert list(site(siteindex.FEW)) == ["index.html"]
    page = soup(siteindex.FEW, "index.html")
    assert len(folders(page)) == siteindex.FEW
    assert not page.find_all(["nav", "details"])
    assert len(page.select(".entries h2")) == siteindex.FEW
    assert sorted(site(siteindex.FEW + 1)) == sorted(
        ["index.html", *(f"by-{name}.html" for name in ("maker", "date", "severity", "number"))]
    )


@pytest.mark.parametrize("name", [o.name for o in siteindex.ORDERS])
@pytest.mark.parametrize("count", [21, 450])
def test_every_order_lists_every_report_once(count: int, name: str) -> None:
    """Following the pages of any order, each report is met exactly once, in that order."""
    entries = {e.folder: e for e in map(entry, range(count))}
    seen = order(count, name)
    assert sorted(seen) == sorted(entries)
    ordered = [entries[folder] for folder in seen]
    if name == "date":
        assert all(a.day >= b.day for a, b in itertools.pairwise(ordered) if a.day and b.day)
    elif name == "number":
        assert [int(e.number[2:]) for e in ordered] == list(range(count))
    elif name == "severity":
        ranks = [(*SEVERITIES, "").index(e.worst) for e in ordered]
        assert ranks == sorted(ranks)
        like = [(a, b) for a, b in itertools.pairwise(ordered) if a.worst == b.worst]
        assert all(a.day >= b.day for a, b in like if a.day and b.day)
    elif name == "maker":
        assert [m for m, _ in itertools.groupby(e.maker for e in ordered)] == [
            *("Ardent Yards", "Östman Bryggeri", "Pellam Boatworks", "")
        ]
    else:
        firsts = [m for m, _ in itertools.groupby(e.boat.split()[0] for e in ordered)]
        assert firsts[:4] == ["7", "Avocet", "brent", "Égret"]
        assert firsts[-1] == "Zoë"


@pytest.mark.parametrize("file", ["index.html", "by-maker.html", "by-date-2.html", "by-severity.html"])
def test_letters_lead_to_the_first_report_of_each(file: str) -> None:
    """A letter, year or severity leads to its heading, on whichever page that stands."""
    jumps = soup(450, file).select(".jumps a")
    assert len(jumps) > 1
    for jump in jumps:
        target, _, anchor = str(jump["href"]).partition("#")
        heading = soup(450, target).find(id=anchor)
        assert isinstance(heading, Tag)
        assert "continued" not in heading.text
        said, word = siteindex.folded(heading.text), siteindex.folded(jump.text)
        if file != "by-severity.html" and jump.text != "not stated":
            assert said.startswith(word)
        elif jump.text != "none":
            assert {"settle": "to settle", "sound": "all found"}.get(word, word).split()[0] in said


def test_range_of_each_page_is_told_on_all() -> None:
    """The list of pages says from which to which boat each goes, and marks the page at hand."""
    files = [f for f in site(450) if f.startswith(("index", "by-boat"))]
    assert len(files) == 3
    for file in files:
        page = soup(450, file)
        told = {str(a["href"]): a.text for a in page.select(".ranges a")}
        assert list(told) == files
        names = [a.text for a in page.select(".entries a")]
        assert told[file] == f"{names[0]} to {names[-1]}"
        assert [str(a["href"]) for a in page.select('[aria-current="page"]')] == [file]
        assert told[file] in page.select_one("title").text  # type: ignore[union-attr]


def test_links_between_the_pages_lead_somewhere(tmp_path: Path) -> None:
    """No link is broken but those to the reports, which aren't made here; every page is reached."""
    for file, data in site(450).items():
        (tmp_path / file).write_bytes(data)
    assert {f for f in links.faults(tmp_path) if "boat-" not in f} == set()
    assert links.unlinked(tmp_path) == []


def test_pages_stay_light() -> None:
    """However much stands on its cards, a page is well below the limit, with at most 500 reports."""
    assert max(map(len, site(450).values())) < 100_000
    assert max(len(folders(soup(450, f))) for f in site(450)) <= 500
    long = [entry(n, limits=("x" * 3000,), headline="y" * 3000) for n in range(60)]
    files = dict(siteindex.made(long, buyer.EDITION, LOOK))
    assert max(map(len, files.values())) < 110_000


def test_lists_of_pages_and_letters_stay_short() -> None:
    """With hundreds of pages, an even share of them is listed; a list of hundreds of letters is no help."""
    assert len(siteindex._spread([("f", "s")] * 1000)) <= siteindex.MOST_LINKS
    assert siteindex._spread([]) == ()
    signs = [entry(n, boat=chr(0x4E00 + n)) for n in range(siteindex.MOST_LINKS + 5)]
    page = BeautifulSoup(dict(siteindex.made(signs, buyer.EDITION, LOOK))["index.html"], "lxml")
    assert not page.select(".jumps")


def test_card_says_what_a_reader_looks_for() -> None:
    """Boat, maker and model, number, day, version and state, worst and counts, and the use limits."""
    limited = entry(0, status="final", version=3, limits=("running it", "going afloat"))
    page = dict(siteindex.made([limited], buyer.EDITION, LOOK))["index.html"]
    card = BeautifulSoup(page, "lxml").select_one("li")
    assert card is not None
    which = "Pellam Boatworks, M0, 1990. Sailing yacht."
    assert [part.text for part in card.find_all(["h2", "p"])] == [
        "Avocet 0",
        f"{which} Inspected 1\xa0January 2019. Report N-0, version\xa03, final.",
        "Worst: stop. Counts as a sentence.",
        "Must not be done: running it; going afloat.",
    ]


def test_what_is_not_stated_is_said_so() -> None:
    """A report without maker, day or findings is listed in every order all the same."""
    bare = Entry("bare", "sailing yacht", "sailing yacht", "bare", "", "No findings.", "One.", ())
    files = dict(siteindex.made([bare, *map(entry, range(30))], buyer.EDITION, LOOK))
    assert len(files) == len(siteindex.ORDERS)
    assert all(b'href="bare/index.html"' in data for data in files.values())
    assert "Maker not stated" in files["by-maker.html"].decode()
    assert "on a day not stated" in files["by-date.html"].decode()
    assert "No findings" in files["by-severity.html"].decode()


def test_words_of_the_notes_are_never_markup() -> None:
    """A boat's name can't put a script on the page, in a card, a heading, a link or the title."""
    evil = "<script>alert(1)</script>"
    entries = [entry(n, boat=f"{evil}{n}", maker=evil, number=evil, limits=(evil,)) for n in range(250)]
    for _, data in siteindex.made(entries, buyer.EDITION, LOOK, [("a/index.html", evil)], "feed.xml"):
        assert b"<script" not in data


def test_natural_numbers() -> None:
    """9 comes before 10 and 09 beside 9; letters follow digits."""
    given = ["QB-10", "qb-9", "9", "QB-9-b", "10", "A"]
    assert sorted(given, key=siteindex.natural) == ["9", "10", "A", "qb-9", "QB-9-b", "QB-10"]


def test_site_is_published_and_old_pages_go(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A site that shrinks loses its pages by order."""
    monkeypatch.setattr(siteindex, "FEW", 2)
    notes, site = tmp_path / "notes", tmp_path / "site"
    wish = publish.Wish(buyer.EDITION, LOOK, charts=False)
    for n in range(3):
        made.write(notes / f"boat-{n}", made.TINY)
    publish.publish(notes, site, wish)
    assert len(list(site.glob("by-*.html"))) == 4
    assert (site / "feed.xml").exists()
    (notes / "boat-1" / "cover.md").unlink()
    publish.publish(notes, site, wish)
    names = ["SHA256SUMS", "feed.xml", "index.html", "reports.json"]
    assert sorted(p.name for p in site.iterdir() if p.is_file()) == names


def test_index_and_feed_hold_nothing_private(tmp_path: Path) -> None:
    """Of a survey that uses every key, the public list shows no name, no number in full and no sum."""
    full = made.full(tmp_path)
    one = pages.entry(made.shown(full, seller.EDITION), seller.EDITION, "x")
    files = dict(siteindex.made([one], seller.EDITION, LOOK))
    files[feed.FILE] = feed.made([dataclasses.replace(one, released=True)], seller.EDITION)
    people = full.cover.people
    hidden = [p.name for p in (people.client, people.seller, people.owner, people.buyer, people.broker) if p]
    hidden += [full.cover.found.hull_number, full.cover.found.registration]
    text = b"".join(files.values()).decode()
    assert hidden
    assert not [name for name in hidden if name and name in text]


def test_pages_come_one_by_one(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of ten thousand reports, no more than one page and no card but those on it are held at once."""
    made: list[str] = []
    render = theme.render

    def counted(page: pages.Page, look: theme.Theme) -> bytes:
        made.append(page.file)
        return render(page, look)

    monkeypatch.setattr(theme, "render", counted)
    for number, (name, _) in enumerate(siteindex.made([entry(n) for n in range(30)], buyer.EDITION, LOOK), 1):
        assert (len(made), made[-1]) == (number, name)
