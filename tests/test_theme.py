"""The style that every page carries: short, and the same to a browser as the file that a designer writes."""

from __future__ import annotations

import re

import pytest

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
