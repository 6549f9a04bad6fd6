"""Words of the trade: explained in plain words, and linked where a page first uses one."""

from __future__ import annotations

import gettext

import pytest

from reportgen import glossary, typeset, wording
from reportgen.editions import seller
from reportgen.passages import words
from reportgen.report import Report

PAGE = "words.html"
LINK = '<a class=w href="words.html#anode">{}</a>'


def test_first_use_leads_to_its_meaning_and_no_other() -> None:
    """The first use gets the link, in the spelling that stands there; later ones stay as they are."""
    html = "<p>Six Anodes gone.</p><p>An anode.</p>"
    assert typeset.set_like_print(html, PAGE) == f"<p>Six {LINK.format('Anodes')} gone.</p><p>An anode.</p>"


@pytest.mark.parametrize(
    "html",
    [
        '<a href="x">anode</a>',
        "<h3>Anode</h3>",
        "<summary>Anode</summary>",
        "<head><title>Anode</title><style>.anode{}</style></head>",
        '<svg role="img"><title>Anode</title><text>anode</text></svg>',
        '<p id="anode" title="an anode"></p>',
        "<nav><ul><li>Anode</li></ul></nav>",
        "<thead><tr><th>Anode</th></tr></thead>",
        "<figcaption>Anode</figcaption>",
        "<p>anodeless, non-anode, anode-like</p>",
    ],
)
def test_no_link_where_none_belongs(html: str) -> None:
    """Links, headings, drawings, attributes and parts of longer words are left; the next use is linked."""
    assert typeset.set_like_print(html, PAGE) == html
    assert typeset.set_like_print(f"{html}<p>anode</p>", PAGE) == f"{html}<p>{LINK.format('anode')}</p>"


def test_longest_spelling_wins() -> None:
    """A word inside a longer one doesn't take its place."""
    assert typeset.set_like_print("<p>exhaust elbow</p>", PAGE) == (
        '<p><a class=w href="words.html#riser">exhaust elbow</a></p>'
    )


def test_letters_that_grow_when_made_small_move_no_link() -> None:
    """Places are counted in the page's own letters."""
    assert (
        typeset.set_like_print("<p>\u0130\u0130 anode</p>", PAGE)
        == f"<p>\u0130\u0130 {LINK.format('anode')}</p>"
    )


def test_every_word_is_explained_once() -> None:
    """No spelling leads to two words, each is written small, and each says what it means as a sentence."""
    spellings = [s for word in glossary.words() for s in (word.word, *word.also)]
    assert len(set(spellings)) == len(spellings) == len({s.lower() for s in spellings})
    # a letter with a number, such as P50, or before a hyphen is no word
    assert all(s == s.lower() or s[1:].isdigit() or s[1:2] == "-" for s in spellings)
    for word in glossary.words():
        assert word.means.endswith(".")
        assert word.means[0].isupper()
        assert word.source


def test_page_of_words_is_whole_in_every_report() -> None:
    """The list does not follow from the notes, so that it gives nothing of them away."""
    values = words.PASSAGE.build(Report(), seller.EDITION)
    assert values is not None
    assert [w["word"] for w in values["words"]] == [w.word for w in glossary.words()]
    assert words.PASSAGE.page == "words"


def test_words_are_met_in_the_reader_s_language(monkeypatch: pytest.MonkeyPatch) -> None:
    """A translated word leads to its meaning in any of its forms, in capitals too, under the same anchor."""
    anode = next(w for w in glossary.words() if w.word == "anode")
    known = {glossary.forms(anode): "Opferanode, Anoden", anode.means: "Ein Stück Zink."}

    class Planted(gettext.NullTranslations):
        def gettext(self, message: str) -> str:
            return known.get(message, message)

        def pgettext(self, context: str, message: str) -> str:
            return (
                known[message] if (context, message) == (glossary.MEANING, glossary.forms(anode)) else message
            )

    monkeypatch.setattr(wording, "catalogue", lambda spoken: Planted())
    with wording.speaking("de"):
        _forget()  # another test's German
        said = next(w for w in glossary.words() if w.id == "anode")
        assert (said.word, said.also, said.means) == ("Opferanode", ("Anoden",), "Ein Stück Zink.")
        linked = typeset.set_like_print("<p>Zwei Anoden am Heck</p>", PAGE)
    assert linked == f'<p>Zwei <a class=w href="{PAGE}#anode">Anoden</a> am Heck</p>'
    assert next(w for w in glossary.words() if w.id == "anode") == anode
    _forget()  # this German is nobody else's


def _forget() -> None:
    glossary._spellings.cache_clear()
    typeset._texts.cache_clear()
