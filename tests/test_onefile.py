"""All pages in one document: every link leads somewhere inside, every id is one, nothing is loaded."""

from __future__ import annotations

import base64
import hashlib
import html
import re

import pytest

from reportgen import onefile
from reportgen.errors import ThemeError

STYLE = ".a{color:red}"
HEAD = '<!doctype html><html lang="en"><head><meta http-equiv="Content-Security-Policy" content="x">'


def page(body: str, title: str = "Boat", style: str = STYLE) -> bytes:
    """Give a page with a main part."""
    head = f"{HEAD}<title>{title}</title><style>{style}</style></head>"
    return f'{head}<body><main id="content">{body}</main></body></html>'.encode()


PHOTO = '<a href="photos/p.jpg"><img src="photos/p-small.jpg" alt="pump"></a>'
FILES = {
    "index.html": page(
        f'<h1>Boat</h1><a href="more.html">a</a><a href="more.html#x">b</a><a href="#x">c</a><i id="x"></i>'
        f'{PHOTO}<p class="in-packet">See <a href="report.json"><p>it</p></a></p>'
        '<svg viewBox="0 0 1 1" aria-labelledby="t"><title id="t">drawn</title><path fill="url(#h)"/>'
        '<defs><pattern id="h"/></defs></svg><a href="https://example.com/?a=1&amp;b=2">out</a>'
        '<a href="costs.csv">costs</a>'
    ),
    "more.html": page(
        f'<h1>More</h1><h3>Low</h3><a href="index.html">a</a><a href="index.html#x">b</a><a href="#x">c</a>'
        f'<i id="x" class="q" title="a &quot;b&quot; &lt;"></i>{PHOTO}'
        '<svg viewBox="0 0 1 1" aria-labelledby="t"><title id="t">drawn</title><path fill="url(#h)"/>'
        '<defs><pattern id="h"/></defs></svg>',
        title="More &amp; more",
    ),
    "photos/p.jpg": b"large",
    "photos/p-small.jpg": b"small",
    "report.json": b"{}",
    "costs.csv": b"",
}


def data(name: str) -> str:
    """Give a picture as an address that holds it."""
    return f"data:image/jpeg;base64,{base64.b64encode(FILES[name]).decode()}"


@pytest.fixture(scope="module")
def text() -> str:
    """Give the one file of two pages."""
    return onefile.html(FILES, ".b{top:0}").decode()


def test_every_link_leads_inside(text: str) -> None:
    """No id stands twice, and what links, labels and hatchings name is there."""
    ids = re.findall(r'\sid="([^"]*)"', text)
    assert len(ids) == len(set(ids))
    links = set(re.findall(r'href="([^"]*)"', text)) - {"https://example.com/?a=1&amp;b=2"}
    assert all(link.startswith("#") for link in links)
    named = {link[1:] for link in links} | set(re.findall(r'labelledby="([^"]*)"', text))
    assert named | set(re.findall(r"url\(#([^)]*)\)", text)) <= set(ids)


def test_links_keep_their_meaning(text: str) -> None:
    """A link within a page, to another page and into another page each lead to the right place."""
    own, other = text.split('<section class="annex" id="page--more" aria-label="More &amp; more">')
    assert '<a href="#page--more">a</a><a href="#more--x">b</a><a href="#x">c</a><i id="x">' in own
    assert '<a href="#content">a</a><a href="#x">b</a><a href="#more--x">c</a><i id="more--x"' in other
    assert 'fill="url(#h)"' in own
    assert 'fill="url(#more--h)"' in other
    assert 'title="a &quot;b&quot; &lt;"' in other
    assert other.count("</main></body></html>") == 1


def test_headings_of_other_pages_stand_lower(text: str) -> None:
    """The document has one first heading."""
    assert text.count("<h1>") == text.count("</h1>") == 1
    assert "<h2>More</h2><h4>Low</h4>" in text


def test_photo_stands_large_once(text: str) -> None:
    """The first time a photo is large and opens where it stands; later it is small and leads there."""
    first = f'<a href="#photo--p" id="photo--p"><img src="{data("photos/p.jpg")}" alt="pump"></a>'
    later = f'<a href="#photo--p"><img src="{data("photos/p-small.jpg")}" alt="pump"></a>'
    assert text.index(first) < text.index(later)
    assert text.count("data:image") == 2


def test_what_lies_beside_the_page_is_not_promised(text: str) -> None:
    """A link to a file of the packet becomes plain words, and what tells of such files goes."""
    assert "costs" in text
    assert "See" not in text
    assert "report.json" not in text


def test_policy_holds_for_the_style(text: str) -> None:
    """The policy allows this one style by its sum, pictures that stand inside, and nothing else."""
    style = re.findall(r"<style>(.*?)</style>", text, re.DOTALL)
    assert style == [f"{STYLE}.b{{top:0}}"]
    digest = base64.b64encode(hashlib.sha256(style[0].encode()).digest()).decode()
    policy = html.unescape(re.findall(r'Content-Security-Policy" content="([^"]*)"', text)[0])
    assert policy.split("; ") == [
        "default-src 'none'",
        f"style-src 'sha256-{digest}'",
        "img-src data:",
        "base-uri 'none'",
        "form-action 'none'",
    ]


def test_names_that_are_taken_are_not_used_again() -> None:
    """An id of the writer that looks like one of ours stays, and ours gives way."""
    taken = {
        **FILES,
        "index.html": page(f'<i id="more--x"></i><i id="page--more"></i><i id="photo--p"></i>{PHOTO}'),
    }
    ids = re.findall(r'\sid="([^"]*)"', onefile.html(taken).decode())
    assert len(ids) == len(set(ids))
    assert {"more--x", "page--more", "photo--p", "more---x", "page--more-", "photo--p-"} <= set(ids)


WRONG = {
    "no main": (b"<body><p>x</p></body>", "index.html: it has no main element"),
    "picture": (page('<img src="photos/other.jpg" alt="">'), "'photos/other.jpg' is not in the packet"),
    "picture from outside": (page('<img src="https://example.com/a.jpg">'), "is not in the packet"),
    "script": (page('<script src="a.js"></script>'), "<script> loads 'a.js'"),
    "sheet": (page('<link rel="stylesheet" href="a.css">'), "<link> loads 'a.css'"),
    "set": (page('<picture><source srcset="a.jpg"></picture>'), "<source> loads 'a.jpg'"),
}


@pytest.mark.parametrize("case", WRONG)
def test_page_that_cannot_stand_alone_is_refused(case: str) -> None:
    """A theme whose page needs more than the packet is told where."""
    written, told = WRONG[case]
    with pytest.raises(ThemeError, match=re.escape(told)):
        onefile.html({**FILES, "index.html": written})


def test_drawings_become_pictures_for_the_pdf() -> None:
    """A drawing is taken out with its words; an ornament is left to the eye alone."""
    drawn: list[str] = []

    def drawing(svg: str) -> str:
        drawn.append(svg)
        return f"d{len(drawn)}"

    mark = '<svg class="mark" viewBox="0 0 1 1" aria-hidden="true"><path d="M0 0"/></svg>'
    chart = (
        '<svg viewBox="0 0 2 2"><title id="t">T</title><desc id="d">Five &amp; six</desc>'
        '<linearGradient id="g"/><text>a &lt; b</text></svg>'
    )
    files = {**FILES, "index.html": page(mark + chart + PHOTO + '<p class="in-packet">x</p>')}
    pictures = onefile.Pictures(lambda name: f"at:{name}", drawing, opens=False, beside="attached")
    text = onefile.joined(files, pictures)
    assert drawn[:2] == [mark, chart]
    assert '<span class="mark" style="display:inline-block;background:url(\'d1\')' in text
    assert '<img class="" src="d2" alt="Five &amp; six">' in text
    assert text.count('<img src="at:photos/p.jpg" alt="pump">') == 2
    assert "<p>attached</p>" in text
    assert "<svg" not in text
