"""What words of the trade mean, in plain words, on a page of their own to which first uses lead."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen import glossary
from reportgen.edition import Edition
from reportgen.passage import Passage
from reportgen.report import Report
from reportgen.wording import say


def _build(report: Report, edition: Edition) -> Mapping[str, Any]:
    # the whole list, whatever the report says: a word that is missing here could give something away
    no_source = say(glossary.NO_SOURCE)
    return {
        "words": [
            {"id": w.id, "word": w.word, "also": w.also, "means": w.means, "matters": w.matters}
            for w in glossary.words()
        ],
        "sources": [{"word": w.word, "source": w.source} for w in glossary.words() if w.source != no_source],
        "no_source": no_source,
    }


PASSAGE = Passage("words", "Words of the trade", _build, page="words")
