"""Markdown becomes HTML that holds no script, no picture and no surprise."""

from __future__ import annotations

import pytest
from hypothesis import given, settings

from reportgen import prose
from tests.nasty import MARKDOWN, unsafe
from tests.timing import within


@pytest.mark.parametrize(
    ("text", "html"),
    [
        ("A *b* **c** `d`.", "<p>A <em>b</em> <strong>c</strong> <code>d</code>.</p>\n"),
        (
            "`tell --for <x>` `a b`",
            '<p><code>tell <span class="typed">--for</span> &lt;x&gt;</code> <code>a b</code></p>\n',
        ),
        ("<script>x</script>", "<p>&lt;script&gt;x&lt;/script&gt;</p>\n"),
        ('<a href="x" onclick="y">', "<p>&lt;a href=&quot;x&quot; onclick=&quot;y&quot;&gt;</p>\n"),
        ("[a](https://b.e/?c&d)", '<p><a href="https://b.e/?c&amp;d" rel="noreferrer">a</a></p>\n'),
        ("[a](javascript:x)", "<p><span>a</span></p>\n"),
        ("[a *b*](data:x)c", "<p><span>a <em>b</em></span>c</p>\n"),
        ("![alt](x.png)", "<p>alt</p>\n"),
        ("[^1] and\n\n[^1]: a note", "<p>[^1] and</p>\n<p>[^1]: a note</p>\n"),
        ("[^1] and\n\n[^1]: note", "<p><span>^1</span> and</p>\n"),
        ("# A\n### B", "<h4>A</h4>\n<h6>B</h6>\n"),
        ("### A\n# B\n###### C", "<h6>A</h6>\n<h4>B</h4>\n<h6>C</h6>\n"),
        ("a &#8238;b&#0;", "<p>a b\ufffd</p>\n"),
        ('```x" onload="y\n<b>\n```', '<pre tabindex="0"><code>&lt;b&gt;\n</code></pre>\n'),
    ],
)
def test_block(text: str, html: str) -> None:
    """What is allowed is shown, the rest is shown as written or left out."""
    assert prose.block(text) == html


def test_tables_may_be_pushed_sideways_and_have_no_style() -> None:
    """A table stands in a box that scrolls; a column's side is a class, since pages allow no inline style."""
    html = prose.block("| a | b |\n|---|--:|\n| 1 | 2 |")
    assert html.startswith('<div class="scroll" tabindex="0"><table>')
    assert html.rstrip().endswith("</table></div>")
    assert '<th>a</th>\n<th class="right">b</th>' in html
    assert "style=" not in html


REFUSED = (
    "javascript:alert(1)",
    "javascript:alert(1)//https://a.example/",
    "javascript:x#id",
    "JaVaScRiPt:alert(1)",
    "&#106;avascript:x",
    "&#x6A;avascript:x",
    "%6aavascript:x",
    "vbscript:x",
    "data:text/html,x",
    "file:///etc/passwd",
    "//host/x",
    "\\\\host",
    "ftp://x",
    "other.md",
    "/x",
    "./x",
    "javascript&colon;x",
    "https:javascript:x",
    "?x",
    "blob:x",
    "view-source:x",
    "http:x",
    "tel",
    "mail to:x",
    "",
)


@pytest.mark.parametrize("address", REFUSED)
@pytest.mark.parametrize("form", ["[a]({})", "[a](<{}>)", "[a][r]\n\n[r]: {}", "[a][r]\n\n[r]: <{}> 'title'"])
def test_links_refused(address: str, form: str) -> None:
    """However it is written, a link of another scheme is no link."""
    html = prose.block(form.format(address))
    assert "<a" not in html
    assert not unsafe(html)


@pytest.mark.parametrize("address", ["https://a.example/", "HTTP://A", "mailto:a@b.example", "tel:+1", "#id"])
def test_links_followed(address: str) -> None:
    """The web, mail, telephone and a place on the page."""
    assert prose.link_allowed(address)
    assert "<a href=" in prose.block(f"[a]({address})")


def test_links_are_told_with_their_line() -> None:
    """Also in lists, tables and over line ends."""
    text = "one\n[a](x)\ntwo [b](y)  \n[c](z)\n\n> - ![d](p)\n\n| [e](q) |\n|---|\n| <https://r> |"
    found = list(prose.links(prose.parser().parse(text, {})))
    assert found == [
        (1, "link", "x"),
        (2, "link", "y"),
        (3, "link", "z"),
        (5, "image", "p"),
        (7, "link", "q"),
        (9, "link", "https://r"),
    ]


@pytest.mark.parametrize(
    ("text", "html"),
    [
        ("plain, it's said", "plain, it's said"),
        ("a *b* <i>", "a <em>b</em> &lt;i&gt;"),
        ("[x](javascript:y)", "<span>x</span>"),
        ("a & b", "a &amp; b"),
        ('say "x"', "say &quot;x&quot;"),
        ("![a](b)", "a"),
        ("# no heading", "# no heading"),
    ],
)
def test_inline(text: str, html: str) -> None:
    """One line, without blocks."""
    assert prose.inline(text) == html


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("a *b* `c` [d](e) ![f](g)", "a b c d f"),
        ("a & <b>", "a & <b>"),
        ("a  \nb", "a b"),
        ("x &#8238;y", "x y"),
    ],
)
def test_plain(text: str, words: str) -> None:
    """A title's words alone."""
    assert prose.plain(text) == words


@pytest.mark.parametrize(
    ("text", "id"),
    [
        ("Hose, cracked!", "hose-cracked"),
        ("Zündkerze Nº 3", "zundkerze-no-3"),
        ("  --A--  ", "a"),
        ("软管", ""),
        ("", ""),
        ("ﬁne", "fine"),
    ],
)
def test_slug(text: str, id: str) -> None:
    """Accents are dropped, other signs become hyphens."""
    assert prose.slug(text) == id


@pytest.mark.parametrize(
    "sign", ["[", "](", "![", "*", "**a *b ", "`", "<", "&", "> ", "- ", "[a](", "\\", "|", "<!-- "]
)
def test_hostile_runs_end_soon(sign: str) -> None:
    """Ten thousand of a sign are read in a moment."""
    with within(2):
        page = prose.block(sign * (10_000 // len(sign)))
    assert not unsafe(page)


def test_many_headings_end_soon() -> None:
    """The level of a heading is not looked for anew at each."""
    with within(2):
        page = prose.block("# a\n" * 5000)
    assert page.count("<h4>") == 5000


@settings(max_examples=150)
@given(text=MARKDOWN)
def test_nasty_markdown_is_harmless(text: str) -> None:
    """No script, no handler, no other tag than ours, in blocks and in lines."""
    assert not unsafe(prose.block(text))
    assert not unsafe(prose.inline(text))
    assert isinstance(prose.plain(text), str)
