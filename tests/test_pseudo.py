"""No word of ours on a page stays English: each is in the catalogues."""

from __future__ import annotations

from tests import pseudo
from tests.project import CONTENT

# names of the demo's notes that a checklist has as well, in other spellings
OF_NOTES = {"shore lead in"}


def test_every_word_of_ours_is_in_a_catalogue() -> None:
    """In a language that puts each text into brackets, nothing but the writer's words stands outside them."""
    notes = CONTENT / "stille-wouw"
    pages = pseudo.published(["buyer"], notes, charts=False)
    assert len(pages) > 5
    left = {(passage, words) for passage, words in pseudo.left(pages, pseudo.corpus(notes))}
    assert not {(p, w) for p, w in left if w not in OF_NOTES}


def test_a_word_outside_is_found() -> None:
    """Words outside brackets are found unless the notes have them; numbers and units are no words."""
    page = f"<p>{pseudo.OPEN}Ours{pseudo.CLOSE} planted words, 12 kPa</p><p>of the notes</p>"
    assert [words for _, words in pseudo.left([page], "of the notes")] == ["planted words"]
