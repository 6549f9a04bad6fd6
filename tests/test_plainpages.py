"""Plain pages: their contents and links, what is refused on them, and their place in a site."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from bs4 import BeautifulSoup

from reportgen import notes, plainpages, proof, publish, sums, theme
from reportgen.editions import buyer
from reportgen.errors import NotesError, Problems
from reportgen.plainpages import PlainPage
from tests import made
from tests.browser import links
from tests.made import TINY
from tests.project import CONTENT

WISH = publish.Wish(buyer.EDITION, theme.find(), charts=False)
FIRST = "---\npage: The guide\n---\n\nSee [money](02-money.md#tax-and-yards), or [here](#part).\n\n# Part\n"
MONEY = "---\npage: Money & more\n---\n# Money\n\n## Tax and yards\n\n[Back](01-start.md) "
MONEY += "[out](https://example.org)\n\n## Tax and yards\n\n| a | b |\n|---|---|\n| 1 | 2 |\n"


def write(folder: Path, **texts: str) -> Path:
    """Write notes into a folder; a name's underline stands for a hyphen."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in texts.items():
        (folder / f"{name.removeprefix('n').replace('_', '-')}.md").write_text(text, encoding="utf-8")
    return folder


@pytest.fixture
def guide(tmp_path: Path) -> Path:
    """Give a folder of two plain pages."""
    return write(tmp_path / "notes" / "guide", n01_start=FIRST, n02_money=MONEY)


def read(folder: Path) -> tuple[tuple[PlainPage, ...], list[str]]:
    """Read plain pages; give them, and the problems as line, found and remedy."""
    problems = Problems()
    pages = plainpages.read(folder, problems)
    return pages, [f"{p.place.line}: {p.found}; {p.write}" for p in problems]


def test_pages_in_order_of_their_files(guide: Path) -> None:
    """Numbers that put the files in order are not in the names of the pages; the first is index.html."""
    pages, told = read(guide)
    assert told == []
    assert [(p.file, p.title) for p in pages] == [("index.html", "The guide"), ("money.html", "Money & more")]


def test_links_lead_to_pages_and_headings(guide: Path) -> None:
    """A link to a note becomes one to its page; headings begin below the title, each with its own id."""
    (first, money), _ = read(guide)
    page = BeautifulSoup(first.html, "lxml")
    assert [a["href"] for a in page.find_all("a")] == ["money.html#tax-and-yards", "#part"]
    page = BeautifulSoup(money.html, "lxml")
    assert [(h.name, h["id"]) for h in page.find_all(["h2", "h3"])] == [
        *(("h2", "money"), ("h3", "tax-and-yards"), ("h3", "tax-and-yards-2")),
    ]
    assert [a["href"] for a in page.find_all("a")] == ["index.html", "https://example.org"]


WRONG = {
    "---\npage: A\n---\n[x](02-mony.md)\n": ("4:", "write 02-money.md"),
    "---\npage: A\n---\n[x](02-money.md#taxi-and-yards)\n": ("4:", "write 02-money.md#tax-and-yards"),
    "---\npage: A\n---\n[x](#gone)\n": ("4:", "link to a heading as a whole"),
    "---\npage: A\n---\n[x](javascript:alert(1))\n": ("4:", "which is no page here"),
    "---\npage: A\n---\n[x](../cover.md)\n": ("4:", "which is no page here"),
    "---\npage: A\n---\n![x](a.png)\n": ("4:", "a picture"),
    "---\npage: A\nsystem: engine\n---\nx\n": ("3:", "'system' on a plain page; keep page: alone"),
    "---\npage:\n---\nx\n": ("1:", "no title"),
    "x\n": ("1:", "no title"),
    "---\npage: A\n---\n# X\n```reading\nkind: battery\n```\n": ("5:", "a reading on a plain page"),
    "---\npage: A\n---\n<!-- x -->\n": ("4:", "a remark"),
}


@pytest.mark.parametrize("text", WRONG)
def test_mistake_is_told_with_its_line(guide: Path, text: str) -> None:
    """What leads nowhere or doesn't belong on a plain page."""
    write(guide, n03_wrong=text)
    _, told = read(guide)
    line, said = WRONG[text]
    assert [t for t in told if t.startswith(line) and said in t], told


def test_two_notes_of_one_page(guide: Path) -> None:
    """Two file names may come to one page's name; one file of that name would hide the other."""
    write(guide, n07_money=MONEY)
    assert "its page would be money.html, as that of 02-money.md" in read(guide)[1][0]
    write(guide, n07_money=MONEY.replace("Tax", "Levy"), n08_index=FIRST)
    assert any("its page would be index.html" in t for t in read(guide)[1])


def test_what_is_private_stays_out(guide: Path) -> None:
    """A private fence is never published; raw HTML stands as text."""
    write(guide, n03_more="---\npage: A\n---\nSeen.\n\n```private\nhidden words\n```\n\n<script>x</script>\n")
    html = read(guide)[0][-1].html
    assert "hidden words" not in html
    assert "<script" not in html
    assert "Seen." in html


@pytest.mark.parametrize(
    ("head", "plain"),
    [
        ("---\npage: A\n---\n", True),
        ("\ufeff---\r\n'page' : A\r\n---\r\n", True),
        ("---\nsystem: x\npage: A\n---\n", True),
        ("---\nsurvey: pre-sale\n---\npage: A\n", False),
        ("page: A\n", False),
        ("---\nsystem: x\n---\n---\npage: A\n---\n", False),
    ],
)
def test_plain_pages_are_told_from_surveys(tmp_path: Path, head: str, plain: bool) -> None:
    """By the front matter of the first note alone."""
    folder = write(tmp_path / "x", a=head)
    assert plainpages.apart((folder,)) == (((), (folder,)) if plain else ((folder,), ()))
    assert plainpages.apart((folder / "a.md",))[plain] == (folder / "a.md",)


def test_site_with_a_guide(tmp_path: Path, guide: Path) -> None:
    """Plain pages stand in a folder of the site: linked, listed with their sums, and taken away again."""
    top, site = guide.parent, tmp_path / "site"
    made.write(top / "boat", TINY)
    publish.publish(top, site, WISH)
    assert {f for f in links.faults(site) if "report.json" not in f} == set()
    assert {"guide/index.html", "guide/money.html", "index.html"} <= set(sums.read_sums(site) or ())
    checked = proof.check(site, None, WISH.today or made.built(top / "boat").counted_on)
    assert [c.folder for c in checked] == ["", "boat"]
    assert [c.faults for c in checked] == [(), ()]
    assert "noindex" in (site / "guide" / "money.html").read_text()
    (guide / "02-money.md").unlink()
    write(guide, n01_start="---\npage: The guide\n---\nx\n")
    publish.publish(top, site, WISH)
    assert [p.name for p in (site / "guide").iterdir()] == ["index.html"]
    (guide / "01-start.md").unlink()
    publish.publish(top, site, WISH)
    assert not (site / "guide").exists()


def test_a_removed_page_fails_the_proof(tmp_path: Path, guide: Path) -> None:
    """A plain page that was taken away or changed on the way is named."""
    made.write(guide.parent / "boat", TINY)
    publish.publish(guide.parent, tmp_path / "site", WISH)
    (tmp_path / "site" / "guide" / "index.html").unlink()
    (tmp_path / "site" / "guide" / "money.html").write_text("other")
    [index, _] = proof.check(tmp_path / "site", None, made.built(guide.parent / "boat").counted_on)
    assert index.files.missing == ("guide/index.html",)
    assert index.files.changed == ("guide/money.html",)


def test_plain_pages_alone(tmp_path: Path, guide: Path) -> None:
    """A folder of plain pages can be published by itself, also as one note."""
    publish.publish(guide, tmp_path / "alone", WISH)
    names = sorted(p.name for p in (tmp_path / "alone").iterdir())
    assert names == ["SHA256SUMS", "index.html", "money.html"]
    assert "All reports" not in (tmp_path / "alone" / "money.html").read_text()
    write(tmp_path / "one", a="---\npage: A\n---\nx\n")
    publish.publish(tmp_path / "one" / "a.md", tmp_path / "single", WISH)
    assert sorted(p.name for p in (tmp_path / "single").iterdir()) == ["SHA256SUMS", "index.html"]


def test_mistakes_stop_publishing(tmp_path: Path, guide: Path) -> None:
    """Nothing is written while a plain page has a mistake; `check` tells the same."""
    write(guide, n03_wrong="---\npage: A\n---\n[x](gone.md)\n")
    made.write(guide.parent / "boat", TINY)
    with pytest.raises(NotesError, match="no page here"):
        publish.publish(guide.parent, tmp_path / "site", WISH)
    assert not (tmp_path / "site").exists()
    problems = Problems()
    assert len(publish.check(guide.parent, problems)) == 1
    assert ["no page here" in p.found for p in problems.errors] == [True]


def test_a_plain_page_among_a_surveys_notes(tmp_path: Path) -> None:
    """It would be lost in the report, so the writer is told where it belongs."""
    folder = made.write(tmp_path / "boat", TINY)
    write(folder, z="---\npage: A\n---\nx\n")
    problems = Problems()
    notes.read(folder, problems)
    assert "a plain page among the notes of a survey" in [p.found for p in problems.errors]


def test_report_of_the_folders_name(tmp_path: Path, guide: Path) -> None:
    """A survey whose report would stand in the guide's folder is refused."""
    made.write(guide.parent / "Guide", TINY)
    with pytest.raises(NotesError, match="the same folder"):
        publish.publish(guide.parent, tmp_path / "site", WISH)


def test_packet_takes_no_page_for_a_report(tmp_path: Path, guide: Path) -> None:
    """The folder of plain pages is the index's, whatever stood in the site before."""
    made.write(guide.parent / "boat", TINY)
    site = tmp_path / "site"
    assert publish.publish(guide.parent, site, WISH).written.folders == ("boat",)
    again = publish.publish(guide.parent, site, replace(WISH, fresh=True)).written
    assert (again.folders, again.removed, again.foreign) == (("boat",), (), ())


def test_demo_has_a_guide() -> None:
    """The guide of the demo is made of plain pages without a mistake."""
    pages, told = read(CONTENT / "guide")
    assert told == []
    assert 6 <= len(pages) <= 10
