"""A page breaks no figure apart, and one sign stands for minus; numbers and dates of other uses stay."""

from __future__ import annotations

import pytest

from reportgen import typeset, wording

NB = "\N{NO-BREAK SPACE}"


def _set(text: str) -> str:
    page = typeset.set_like_print(f"<head>-5 %</head><p>{text}</p>")
    assert page.startswith("<head>-5 %</head><p>")
    return page.removeprefix("<head>-5 %</head><p>").removesuffix("</p>")


@pytest.mark.parametrize("text", ["13.00_%", "16_June 2026", "200_°F", "24_ft", "(9.5_kg/cm²)", "3_imp gal"])
def test_number_keeps_to_its_unit_and_day_to_its_month(text: str) -> None:
    assert _set(text.replace("_", " ")) == text.replace("_", NB)


@pytest.mark.parametrize(
    "text",
    [
        "33_CFR_175.3 (b)",
        "46_USC_4312, version_1 of 2",
        "Thornbeck manual, p._3, section_26",
        "V-drive, 8_cylinders, step_2 at 600_hours",
        "8_Zylinder, siehe Seite_12",
        "inspected June_9 and 10, May_9 2024, calibrated November_4, 2025, sold in June 2026",
        "le cylindre_3, 6_cylindres",
    ],
)
def test_number_keeps_to_its_noun(text: str) -> None:
    """A page, a paragraph or a count is not torn from its number; what else stands beside one may break."""
    assert _set(text.replace("_", " ")) == text.replace("_", NB)
    assert _set("a stripe 4 wide, up 3 times, homepage 4") == "a stripe 4 wide, up 3 times, homepage 4"


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("invoice PO-2216; more", "invoice [PO-2216]; more"),
        ("a 4-stroke, TB8-220961, QB-26-118", "a [4-stroke], TB8-220961, [QB-26-118]"),
        ("<b>E-9</b> and 5-B, 5-B:C, 5-Bx", "<b>[E-9]</b> and [5-B], [5-B]:C, 5-Bx"),
        ('<a href="#PO-7">PO-7</a><svg><text>PO-7</text></svg>',
         '<a href="#PO-7">[PO-7]</a><svg><text>PO-7</text></svg>'),
    ],
)  # fmt: skip
def test_code_is_held_together_and_stays_as_it_is_written(text: str, shown: str) -> None:
    """A part or invoice number is one word, in which a search finds every sign; a drawing takes no tags."""
    assert _set(text) == shown.replace("[", "<span class=nb>").replace("]", "</span>")


def test_code_is_held_together_beside_the_first_use_of_a_word() -> None:
    """A link to the page of words and the tag around a code stand side by side."""
    page = typeset.set_like_print("<body><p>PO-22, the bilge pump, PO-23</p>", "words.html")
    assert page.count("<span class=nb>PO-2") == 2
    assert "href=words.html#" in page.replace('"', "")


@pytest.mark.parametrize(("spoken", "day"), [("de", "5._März"), ("es", "5_de_marzo"), ("fr", "5_mars")])
def test_day_keeps_to_its_month_in_other_languages(spoken: str, day: str) -> None:
    with wording.speaking(spoken):
        assert _set(f"{day.replace('_', ' ')} 2026") == f"{day.replace('_', NB)} 2026"


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ('(<a href="#hose">3. Soft hose</a>)', f'(<a href="#hose">3.{NB}Soft hose</a>)'),
        ("12. <i lang=en>Needle in the red</i>", f"12.{NB}<i lang=en>Needle in the red</i>"),
        ("See 3. Then 4. 5. 6", "See 3. Then 4. 5. 6"),
        ("2026. It was", "2026. It was"),
    ],
)
def test_number_of_a_finding_keeps_to_its_title(text: str, shown: str) -> None:
    """No bracket and number stand alone at a line's end; the end of a sentence stays where it may break."""
    assert _set(text) == shown


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("-1050 mV", f"−1050{NB}mV"),
        ("from -0.5 to (-2)", "from −0.5 to (−2)"),
        ("-$1,250.00", "−$1,250.00"),
        ("<b>-3</b>", "<b>−3</b>"),
    ],
)
def test_minus_is_a_minus(text: str, shown: str) -> None:
    assert _set(text) == shown


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("1 x 5-B", "1 × <span class=nb>5-B</span>"),
        ("the maker's, makers' page 3-11", f"the maker’s, makers’ page{NB}3\u201111"),
        ("the owner&#39;s", "the owner’s"),
        ('"Not known" is told', "“Not known” is told"),
        ("(&#34;weld&#34;), &#34;a b&#34;.", "(“weld”), “a b”."),
        ("&quot;fine&quot; is no finding", "“fine” is no finding"),
    ],
)
def test_signs_of_a_typewriter_are_set(text: str, shown: str) -> None:
    """Minus and times in workings, apostrophes and quotes in words; the data keep what was written."""
    assert _set(text) == shown


def test_french_signs_keep_a_thin_blank_before_them() -> None:
    """All over the page, wherever a value or a join left it out, but not in words of another language."""
    given = (
        "<b>Prix_:</b> 5_; 6 (a)_; 12:30 <i lang=en>Cost: 5; <b>6?</b></i>_; Depuis_: R&amp;D &#34;a&#34; "
        "<div lang=en>a: b <div>c; d</div> e: f</div>g_: h_!<code>i: j</code> "
        "<dl><dt>k_: l<dd lang=en>m: n<dt>o_: p</dl><table><tr><td lang=en>q: r<td>s_: t</table> "
        "&#171;&nbsp;k_? (&#34;l&#34;_: m)"
    )
    quoted = given.replace("&#34;a&#34;", "“a”").replace("&#34;l&#34;", "“l”")
    bare, loose = given.replace("_", ""), given.replace("_", " ")
    with wording.speaking("fr"):
        assert _set(bare) == _set(loose) == quoted.replace("_", "\N{NARROW NO-BREAK SPACE}")
    assert _set(bare) == quoted.replace("_", "")


@pytest.mark.parametrize(
    "text",
    [
        'hose 1/2" and 3/4" wide',
        "rock 'n' roll",
        "pump - two of them",
        "from 10 - 12, as the writer has it",
        "18-05-2026",
        "2026-06-16",
        "+1-555-0100",
        "550-900",
        "5 mVx",
        "-",
        "well-kept",
        '<td data-h="-5 %" title="16 June">',
        "<code>--port -8 5 %</code>",
        "<pre>held: -5 mV\n</pre>",
    ],
)
def test_what_is_no_such_number_stays(text: str) -> None:
    assert _set(text) == text


def test_texts_are_set_alike_once_more_have_been_met_than_are_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(typeset, "_MOST_KEPT", 2)
    texts = [f"{n} psi" for n in range(40_000, 40_005)]
    html = "".join(f"<p>{text}</p>" for text in (*texts, *texts))
    assert typeset.set_like_print(html) == html.replace(" ", NB)
    assert len(typeset._texts("en")) <= 2


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("the surveyor&#39;s and the owner's", "the surveyor’s and the owner’s"),
        ("makers' figures", "makers’ figures"),
        ("a mast of 40' and 6'2 aft", "a mast of 40' and 6'2 aft"),
        ("the word 'sound' alone", "the word 'sound' alone"),
        ("<code>don't</code>", "<code>don't</code>"),
    ],
)
def test_an_apostrophe_is_one(text: str, shown: str) -> None:
    """One sign stands for it all over the page, whoever wrote the text; quotes, feet and code stay."""
    assert _set(text) == shown
