"""The style that every page carries: short, and the same to a browser as the file that a designer writes."""

from __future__ import annotations

import re

import pytest
from bs4 import BeautifulSoup

from reportgen import theme
from tests.project import TOP

CASES = {
    "p { color: red; }": "p{color:red}",
    "p::after { content: ': ; { } /* no comment */'; }": "p::after{content:': ; { } /* no comment */'}",
    'a , b > c:hover { font: 1rem / 1.5 "A, B" , serif }': 'a,b>c:hover{font:1rem / 1.5 "A, B",serif}',
    "/* it's one; { */ p { width: calc(100% + 1rem); }": "p{width:calc(100% + 1rem)}",
    "@media (max-width: 34rem) {\n  p { top: 0; }\n}\n": "@media (max-width:34rem){p{top:0}}",
}


@pytest.mark.parametrize("written", CASES)
def test_blanks_go_and_text_stays(written: str) -> None:
    """Comments and blanks that mean nothing are dropped; quoted text, selectors and sums keep theirs."""
    assert theme._squeezed(written) == CASES[written]


def test_style_of_a_page_says_what_the_file_says() -> None:
    """Without any blank, comment and last semicolon of a rule, both are the same signs."""

    def signs(text: str) -> str:
        return re.sub(r"\s+|/\*.*?\*/", "", text, flags=re.DOTALL).replace(";}", "}")

    written = (TOP / "themes/base/style.css").read_text(encoding="utf-8")
    assert signs(theme.find().style) == signs(written)
    assert len(theme.find().style) < len(written) * 0.9


def test_blank_between_blocks_goes_and_one_between_words_stays() -> None:
    """No newline is left where a paragraph, part or fold begins or ends; between words it is a blank."""
    html = (
        "<div>\n<p>a\n<b>b</b>\n<i>c</i></p>\n\n<details>\n<dl>\n<div><dt>d</dt><dd>e</dd></div>\n"
        "<div></div></dl></details>"
    )
    assert theme._short(html) == (
        "<div><p>a\n<b>b</b>\n<i>c</i></p><details><dl><div><dt>d</dt><dd>e</dd></div><div></div></dl></details>"
    )
    told = "<p>a</p>\n<div lang=en><p>b</p>\n</div>\n<p>c</p>"
    assert theme._short(told) == "<p>a</p><p lang=en>b</p><p>c</p>"


def test_terms_are_closed_by_what_follows() -> None:
    """A browser reads the same list; an end tag before anything else stays."""
    full = (
        "<dl><div><dt>a</dt><dd lang=en>b</dd><dd>c</dd></div><dt>d</dt><dd><p>e</p></dd></dl>"
        "<dl><dt>f</dt> <dd>g</dd><!-- --></dl><p>h</p>"
    )
    spared = theme._unmarked(full)
    assert spared.count("</d") == full.count("</d") - 5
    assert "</dt> <dd>g</dd><!" in spared
    assert str(BeautifulSoup(spared, "html5lib")) == str(BeautifulSoup(full, "html5lib"))


@pytest.mark.parametrize(
    ("written", "sent"),
    [
        ('<th scope="row">a</th>', "<th scope=row>a</th>"),
        ('<td class="x" data-h="Trouvé">a</td>', '<td class="x" data-h=Trouvé>a</td>'),
        ('<td data-h="in all">a</td>', '<td data-h="in all">a</td>'),
        ('<td data-h="(%)">a</td>', '<td data-h="(%)">a</td>'),
        ('<td data-h="">a</td>', '<td data-h="">a</td>'),
        ('<td>write data-h="Low" and scope="row"</td>', '<td>write data-h="Low" and scope="row"</td>'),
    ],
)
def test_heads_of_cells_of_one_word_have_no_marks_round_them(written: str, sent: str) -> None:
    """A browser reads both alike; text that looks like an attribute stays as it is."""
    assert theme._unmarked(written) == sent
    read, short = (BeautifulSoup(html, "html.parser").find() for html in (written, sent))
    assert read == short


def test_cell_ends_where_the_next_begins() -> None:
    """A page of tables holds kilobytes of such ends; a browser makes the same of it without them."""
    rows = "<tr><th>a</th><td>b</td></tr><tr><td>c <b>d</b></td><td></td></tr>"
    written = f"<table><tbody>{rows}</tbody></table><dl><div><dt>a</dt><dd>b</dd></div></dl>"
    sent = theme._unmarked(written)
    assert len(sent) == len(written) - 6 * 5
    read, short = (BeautifulSoup(html, "html5lib") for html in (written, sent))
    assert read == short


def test_language_of_the_page_is_none_of_its_parts() -> None:
    """Only where words of another language stand are their marks sought."""
    for told, short in (("<i lang=en>a</i>", "<p lang=en>a</p>"), ("a", "<p>a</p>")):
        assert theme._short(f'<html lang="de"><p>{told}</p>') == f'<html lang="de">{short}'
