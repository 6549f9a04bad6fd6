"""A note falls into front matter, findings, readings and the text in between."""

from __future__ import annotations

import pytest

from reportgen import prose, sections
from reportgen.errors import Problems
from reportgen.sections import Section
from tests.nasty import unsafe

FINDING = "```finding\nseverity: sound\n```\n"
READING = "```reading\nkind: compression\n```\n"


def split(text: str) -> tuple[list[Section], list[str]]:
    """Split a note; give its sections and the problems as lines."""
    problems = Problems()
    found = sections.split(text, "a.md", problems)[1]
    return found, [str(p) for p in problems]


def outline(text: str) -> list[tuple[str, str, str]]:
    """Give (fence, title, Markdown) of each section; the note must have no mistake."""
    found, lines = split(text)
    assert not lines
    return [(s.fence, s.title, s.prose().markdown) for s in found]


def test_text_before_the_first_heading() -> None:
    """It is a section of level 0."""
    assert outline("---\nsystem: hull\n---\nOne.\n\nTwo.") == [("", "", "One.\n\nTwo.")]


def test_headings_without_a_fence_are_narrative() -> None:
    """Each is a section of its own, with its own text."""
    assert outline("# A\none\n## B\ntwo") == [("", "A", "one"), ("", "B", "two")]


def test_a_fence_makes_the_heading_a_finding_or_reading() -> None:
    """Blank lines between heading and fence are allowed, and both kinds of fence and heading."""
    text = f"## A\n\n\n{FINDING}text\n\nB\n---\n~~~Reading\nkind: x\n~~~\nmore"
    assert outline(text) == [("finding", "A", "text"), ("reading", "B", "more")]


def test_a_deeper_heading_belongs_to_the_finding() -> None:
    """Narrative headings below a finding's are part of its text; one of its level ends it."""
    text = f"## A\n{FINDING}one\n### sub\ntwo\n## C\nthree"
    assert outline(text) == [("finding", "A", "one\n\n### sub\n\ntwo"), ("", "C", "three")]


def test_a_deeper_heading_with_a_fence_is_its_own() -> None:
    """After it, a heading of its level brings the finding's text back: prose in several runs."""
    text = (
        f"## A\n{FINDING}one\n\n### R\n{READING}two\n\n### back\nthree\n\n#### deeper\nfour\n\n## End\nfive"
    )
    assert outline(text) == [
        ("finding", "A", "one\n\n### back\n\nthree\n\n#### deeper\n\nfour"),
        ("reading", "R", "two"),
        ("", "End", "five"),
    ]
    finding = split(text)[0][0].prose()
    assert finding.html == "<p>one</p>\n<h4>back</h4>\n<p>three</p>\n<h5>deeper</h5>\n<p>four</p>\n"
    assert str(finding.place) == "a.md:5:1"


def test_titles_are_plain() -> None:
    """Signs of Markdown in a heading are no part of its words."""
    assert split(f"## The *port* `hose` & <b>\n{FINDING}")[0][0].title == "The port hose & <b>"


def test_reference_links_work_over_sections() -> None:
    """A link's address may stand anywhere in the note."""
    text = f"## A\n{FINDING}[x][r]\n\n## B\ntext\n\n[r]: https://a.example/"
    assert '<a href="https://a.example/"' in split(text)[0][0].prose().html


# ---- what is never published


@pytest.mark.parametrize(
    "text",
    [
        "one\n```private\nSECRET\n```\ntwo",
        "one\n\n~~~~Private note\nSECRET\n~~~~\n\ntwo",
        "one\n\n- item\n  ```private\n  SECRET\n  ```\n  more\n\ntwo",
        "one\n\n> quote\n> ```private\n> SECRET\n> ```\n\ntwo",
        "one\n\n1. a\n   - b\n\n     ```private\n     SECRET\n     ```\n   - c\n\ntwo",
        "one\n\n```privat\nSECRET\n```\n\ntwo",
        "one\n\n```private\nSECRET\n# no heading\n```finding\n```\n\ntwo",
    ],
)
@pytest.mark.parametrize("above", ["", f"## A\n{FINDING}", f"## A\n{READING}", "# N\n"])
def test_private_fences_are_dropped(above: str, text: str) -> None:
    """Wherever a private fence stands, neither HTML nor Markdown holds its text; what is round it stays."""
    found, _ = split(above + text)
    pieces = [s.prose() for s in found]
    for piece in pieces:
        assert "SECRET" not in piece.html + piece.markdown
        assert "SECRET" not in prose.block(piece.markdown)
    shown = "".join(p.html for p in pieces)
    written = "".join(p.markdown for p in pieces)
    for word in ("one", "two", "item", "more", "quote"):
        assert (word in shown) == (word in written)
    assert "one" in shown
    assert "two" in shown


def test_a_private_fence_leaves_no_gap() -> None:
    """Nobody can tell from the text that something was left out."""
    text = "one\n\n```private\nSECRET\n```\n\ntwo"
    assert outline(text) == [("", "", "one\n\ntwo")]
    assert outline(f"## A\n{FINDING}{text}") == [("finding", "A", "one\n\ntwo")]


@pytest.mark.parametrize(
    "text",
    [
        "```private\nSECRET",
        "    ```private\n    SECRET\n    ```",
        "```private SECRET```",
        "> ```private\n> SECRET",
    ],
)
def test_private_fences_that_are_none_stop_publishing(text: str) -> None:
    """What a writer took for a private fence, and Markdown doesn't, is a mistake."""
    assert [line for line in split(f"one\n\n{text}")[1] if " a private fence " in line]


# ---- limits


def test_nesting() -> None:
    """Twenty quotes are read; a hundred and many thousand are told in one line."""
    assert not split("> " * 20 + "a")[1]
    line = "a.md:1:1: lists or quotes nested too deep; write it flatter"
    for depth in (100, 2000):
        assert split("> " * depth + "a")[1] == [line]


def test_table_columns() -> None:
    """Forty columns are a table, forty-one aren't."""

    def table(columns: int) -> str:
        return f"{'|a' * columns}|\n{'|-' * columns}|\n|1|\n"

    assert not split(table(prose.MOST_COLUMNS))[1]
    assert split(table(prose.MOST_COLUMNS + 1))[1] == [
        "a.md:2:1: a table of 41 columns; keep a table to 40 columns"
    ]


def test_table_rows() -> None:
    """A thousand rows are a table, one more isn't."""
    head = "|a|b|\n|-|-|\n"
    assert not split(head + "|1|2|\n" * prose.MOST_ROWS)[1]
    (line,) = split(head + "|1|2|\n" * (prose.MOST_ROWS + 1))[1]
    assert line == "a.md:1003:1: a table of more than 1000 rows; keep a table to 1000 rows"


def test_a_sparse_table_is_not_filled_up() -> None:
    """Many short rows of a wide table, and many such tables, are told before they are read."""
    head = f"{'|a' * 40}|\n{'|-' * 40}|\n"
    told = (
        "tables of more than 20,000 cells in one note; give a summary, and keep the rest in a file of its own"
    )
    assert split(head + "|\n" * 20_000)[1] == [f"a.md:503:1: {told}"]
    assert split((head + "|\n" * 20 + "\n") * 50)[1] == [f"a.md:578:1: {told}"]
    wide = f"{'|a' * 1000}|\n{'|-' * 1000}|\n"
    assert split(wide + "|\n" * 1000)[1] == ["a.md:2:1: a table of 1000 columns; keep a table to 40 columns"]


def test_endless_paragraphs() -> None:
    """Prose of a few thousand words is read; a wall of text is told, but not in a fence."""
    assert not split("word " * 3000)[1]
    told = "more than 20,000 characters without a blank line; leave a blank line between paragraphs"
    assert split("word " * 5000)[1] == [f"a.md:1:1: {told}"]
    assert not split("```text\n" + "word\n" * 5000 + "```\n")[1]


def test_places_of_links() -> None:
    """A link is told at its address, wherever its paragraph begins."""
    found, lines = split(f"---\na: b\n---\n## A\n{FINDING}one\ntwo [x](#y) and\n[z](q)\n")
    (section,) = found
    assert [(id, str(place)) for id, place in section.anchors()] == [("y", "a.md:9:9")]
    assert [line.split(" ")[0] for line in lines] == ["a.md:10:5:"]


@pytest.mark.parametrize("word", ["binding", "heading", "pending", "python", "text", "yaml", ""])
def test_other_fences_are_text(word: str) -> None:
    """A fence of another word is shown as it stands; one within two letters of ours is a mistake."""
    found, lines = split(f"## A\n```{word}\nx\n```\n")
    near = word in ("binding", "pending")
    assert bool(lines) == near
    assert bool(found[0].fence) == near


def test_what_is_shown_is_safe() -> None:
    """Text with everything a hostile writer would try is told, and harmless all the same."""
    text = f"# <script>\n{FINDING}<img src=x onerror=y>\n\n[a](javascript:x) ![b](//c)\n\n<!-- d -->\n\n<i>"
    found, lines = split(text)
    assert len(lines) == 3
    assert not [fault for s in found for fault in unsafe(s.prose().html)]
