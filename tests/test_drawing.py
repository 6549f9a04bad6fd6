"""The sheet: words are measured high and cut whole, and what is drawn is safe for any page."""

from __future__ import annotations

import re
import unicodedata

import matplotlib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen.drawing import (
    PALETTE,
    Sheet,
    clean,
    shorten,
    text_width,
    wrap,
    wrap_evenly,
)
from reportgen.scales import whole_ticks
from tests import by_matplotlib
from tests.picture import _width, read

ANY_TEXT = st.text(st.characters(codec="utf-8"), max_size=60)


@pytest.mark.parametrize(
    ("given_", "kept"),
    [
        ("  two\n\tlines \r\n", "two lines"),
        ("a\x00\x07\x1b[0m\x85b\x9f", "a[0m b"),
        ("\ud800x\ufffey\ufdd0z\U0001ffff", "xyz"),
        ("\u202eturned\u202c\u2067\u200e", "turned"),
        ("👩\u200d🔧 é", "👩\u200d🔧 é"),
        (12, "12"),
    ],
)
def test_clean_keeps_what_can_be_read(given_: object, kept: str) -> None:
    assert clean(given_) == kept


@given(ANY_TEXT)
def test_cleaned_text_is_clean_and_can_stand_in_xml(text: str) -> None:
    cleaned = clean(text)
    assert clean(cleaned) == cleaned
    assert not any(unicodedata.category(c) == "Cc" for c in cleaned)
    sheet = Sheet()
    sheet.words(text, 10, 10)
    assert read(sheet.svg(20, text, text, "k")).texts == ([cleaned] if cleaned else [])


@pytest.mark.parametrize(
    "text",
    [
        "Replace both risers and gaskets",
        "148.5 psi, minimum 75 % of the highest",
        "MINIMUM WALL AT FRAME 12 (GWM)",
        "Kühlwasserschlauch, außenbords",
        "illicit jelly fill; little lattice",
    ],
)
@pytest.mark.parametrize("bold", [False, True])
def test_a_width_is_not_under_that_of_a_wide_letter(text: str, bold: bool) -> None:
    """Against DejaVu Sans, wider than the letters of all common systems; high by a third at most."""
    real = _width(text, 12.0, bold)
    assert real * 0.97 <= text_width(text, bold=bold) <= real * 1.34


@given(ANY_TEXT, st.floats(20, 300))
def test_shortened_text_fits_and_begins_as_written(text: str, room: float) -> None:
    short = shorten(text, room)
    assert text_width(short) <= room
    assert short == text or (short.endswith("…") and text.startswith(short[:-1]))


def test_shortening_parts_no_letter_from_its_accent_and_no_emoji() -> None:
    letters = "e\u0301" * 20
    assert shorten(letters, 50).removesuffix("…") in {"e\u0301" * n for n in range(20)}
    workers = "👩\u200d🔧" * 5
    assert shorten(workers, 80).removesuffix("…") in {"👩\u200d🔧" * n for n in range(5)}


@given(ANY_TEXT, st.floats(40, 300), st.integers(1, 4))
def test_wrapped_lines_fit_and_lose_no_word_but_the_last(text: str, room: float, lines: int) -> None:
    wrapped = wrap(text, room, lines=lines)
    assert len(wrapped) <= lines
    assert all(text_width(line) <= room for line in wrapped)
    if not any(line.endswith("…") for line in wrapped):
        # a word in two has a hyphen more
        assert re.sub(r"[\s-]", "", "".join(wrapped)) == re.sub(r"[\s-]", "", text)


def test_long_word_goes_on_behind_a_hyphen() -> None:
    """A word of our own that is wider than its column is read whole, and one letter never stands alone."""
    first, second = wrap("navigatieverlichting", 108)
    assert first.endswith("-")
    assert first[:-1] + second == "navigatieverlichting"
    assert min(len(first) - 1, len(second)) >= 4
    assert wrap("PO-2216-00000000000000000", 108)[0].endswith("…")


def test_even_lines_leave_no_word_alone() -> None:
    text = "minimum 114 psi, 75 % of the highest (engine handbook, section 4)"
    plain, even = wrap(text, 330), wrap_evenly(text, 330)
    assert len(plain) == len(even) == 2
    assert " ".join(even) == text
    assert text_width(plain[1]) < 0.5 * text_width(plain[0])
    assert text_width(even[1]) > 0.6 * text_width(even[0])


@pytest.mark.parametrize(
    ("low", "high", "ticks"),
    [
        (0, 152, (0, 50, 100, 150)),
        (0, 13, (0, 5, 10)),
        (0, 5, (0, 1, 2, 3, 4, 5)),
        (0, 0.4, (0,)),
        (-3, 5, (-2, 0, 2, 4)),
        (-120, 0, (-100, -50, 0)),
        (0, 9999, (0, 2000, 4000, 6000, 8000)),
        (0, 10_000, (0,)),
        (-10_000, 5, (0,)),
        (0, 1e300, (0,)),
        (-9999, 9999, (-5000, 0, 5000)),
    ],
)
def test_ticks_are_round_and_need_no_mark_of_a_language(
    low: float, high: float, ticks: tuple[int, ...]
) -> None:
    assert whole_ticks(low, high) == ticks


def test_later_things_lie_over_earlier_ones() -> None:
    sheet = Sheet()
    sheet.words("under", 10, 10)
    sheet.box(0, 0, 50, 20, fill="c-bar")
    sheet.line([(0, 5), (50, 5)])
    sheet.words("over", 10, 10)
    drawn = [e.text or e.attrib["class"] for e in read(sheet.svg(20, "t", "d", "k")).root[2:]]
    assert drawn == ["under", "c-bar", "c-ink", "over"]


def test_a_box_and_a_line_stand_where_they_were_put() -> None:
    sheet = Sheet()
    sheet.box(10, 20, 30, 5.25, fill="c-bar")
    sheet.line([(1, 2), (3, 4)], [(5, 6), (5, 9)], stroke="c-limit", width=1.5, dash=(4, 3))
    svg = sheet.svg(40, "t", "d", "k")
    assert '<path class="c-bar" d="M10 20H40V25.2H10z" fill="#34485c"/>' in svg
    line = '<path class="c-limit" d="M1 2L3 4M5 6V9" stroke-width="1.5" stroke-dasharray="4,3" fill="none"'
    assert f'{line} stroke="{PALETTE["c-limit"]}"/>' in svg


def test_no_runs_and_empty_words_leave_nothing() -> None:
    sheet = Sheet()
    sheet.line()
    sheet.line([])
    sheet.words(" \u202e", 1, 1)
    assert len(read(sheet.svg(10, "t", "d", "k")).root) == 2


def test_hatching_has_lines_of_the_edge_on_ground_of_the_fill() -> None:
    sheet = Sheet()
    sheet.box(0, 0, 50, 20, fill="c-paper", stroke="c-outside", hatch="//")
    sheet.box(0, 0, 60, 20, fill="c-paper", stroke="c-outside", hatch="//")
    root = read(sheet.svg(20, "t", "d", "k")).root
    (pattern,) = root[2]
    assert [(e.tag, e.get("class"), e.get("fill")) for e in pattern] == [
        ("rect", "c-paper", "#ffffff"),
        ("path", "c-outside", "none"),
    ]
    assert [e.get("fill") for e in root[3:]] == ["url(#k-h1)"] * 2, "one pattern serves both"


def test_anchors_and_weight_are_kept() -> None:
    sheet = Sheet()
    for anchor in ("start", "middle", "end"):
        sheet.words(anchor, 180, 10, anchor, 11, bold=True)
    svg = sheet.svg(20, "t", "d", "k")
    assert re.findall(r'text-anchor="(\w+)"', svg) == ["middle", "end"]
    assert svg.count('font-size="11"') == svg.count('font-weight="700"') == 3
    assert svg.startswith('<svg class="c-text" role="img"')
    assert 'font-family="sans-serif"' in svg


@pytest.mark.parametrize("key", ["", "1a", "a b", 'a"', "ä", "a\n", "-a"])
def test_a_key_that_cannot_begin_an_id_is_refused(key: str) -> None:
    with pytest.raises(ValueError, match="no id can begin"):
        Sheet().svg(10, "t", "d", key)


def test_a_users_own_matplotlib_settings_change_nothing() -> None:
    sheet = Sheet()
    sheet.box(0, 0, 50, 20, fill="c-paper", stroke="c-outside", hatch="//")
    sheet.line([(0, 0), (9, 9)], width=2, dash=(3, 3))
    sheet.words("$x^2$", 10, 10)
    plain = sheet.svg(20, "t", "d", "k")
    odd = {
        "svg.fonttype": "path",
        "path.sketch": (1, 100, 2),
        "hatch.linewidth": 3,
        "lines.scale_dashes": True,
        "figure.autolayout": True,
        "text.usetex": True,
        "font.size": 30,
        "figure.facecolor": "red",
    }
    with matplotlib.rc_context(odd):
        assert sheet.svg(20, "t", "d", "k") == plain
        assert matplotlib.rcParams["svg.fonttype"] == "path", "and they are given back"


def test_the_palette_can_be_told_apart_in_grey_and_is_in_the_docstring() -> None:
    """Contrast by the accessibility rules: words 4.5 to 1 and what carries meaning 3 to 1 on paper."""

    def luminance(colour: str) -> float:
        parts = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
        red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue

    def contrast(one: str, other: str) -> float:
        dark, light = sorted((luminance(PALETTE[one]), luminance(PALETTE[other])))
        return (light + 0.05) / (dark + 0.05)

    assert contrast("c-text", "c-paper") > 7
    for name in ("c-bar", "c-bar2", "c-ink", "c-limit", "c-outside"):
        assert contrast(name, "c-paper") >= 3, name
    assert contrast("c-bar", "c-bar2") >= 3
    assert contrast("c-ink", "c-bar2") >= 3
    import reportgen.drawing

    assert set(re.findall(r"\bc-\w+", str(reportgen.drawing.__doc__))) == set(PALETTE)


PLACES = st.tuples(st.floats(-20, 380), st.floats(-20, 120)) | st.tuples(
    st.integers(0, 360), st.integers(0, 100)
)
RUNS = st.lists(st.lists(PLACES, min_size=1, max_size=5), min_size=1, max_size=3)
CLASSES = st.sampled_from(("", *PALETTE))
HATCHES = st.sampled_from(("", "", "", "//", "xx", "-", "||", "+/", "\\"))
WIDTHS = st.sampled_from((0.0, 0.5, 1.0, 2.25))
DASHES = st.sampled_from(((), (3.0, 2.0), (4.5, 1.0)))


@given(RUNS, CLASSES, CLASSES, HATCHES, WIDTHS, DASHES, st.booleans())
@settings(max_examples=60, deadline=None)
def test_strokes_are_those_of_matplotlib(
    runs: list[list[tuple[float, float]]], fill: str, stroke: str, hatch: str, width: float,
    dash: tuple[float, ...], framed: bool,
) -> None:  # fmt: skip
    """Whatever is drawn, it is what matplotlib would have drawn."""
    sheet = Sheet()
    sheet.line(*runs, stroke=stroke, width=width, dash=dash, fill=fill, hatch=hatch)
    if framed:
        sheet.box(*runs[0][0], 30.0, 20.0, fill, stroke, hatch)
    sheet.words("5 < 6 $x$", *runs[0][0], "end", 11.5, bold=framed)
    assert by_matplotlib.body(sheet.marks, 100.0, "k") in sheet.svg(100.0, "title", "alt", "k")


def test_a_line_of_many_points_is_thinned() -> None:
    """Of so many points nobody sees each: matplotlib leaves out what lies on the way."""
    sheet = Sheet()
    sheet.line([(n, 50.0 + n * 0.0001) for n in range(200)])
    drawn = sheet.svg(100.0, "title", "alt", "k")
    assert by_matplotlib.body(sheet.marks, 100.0, "k") in drawn
    assert len(drawn) < 400
