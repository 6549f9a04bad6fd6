"""What the seller answered to the usual questions; "not known" is a full answer."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen.blocks.disclosure import TOPICS, Answer, unanswered
from reportgen.edition import Edition
from reportgen.passage import Passage, capital, not_stated, rich, sentence
from reportgen.report import Report
from reportgen.wording import say, say_in, term


def _build(report: Report, edition: Edition) -> Mapping[str, Any] | None:
    answers = report.cover.disclosure
    if not answers:
        # a paper that is called the seller's is taken for the seller's word, unless it says that it has none
        return {"answers": []} if edition.public else None
    return {
        "answers": [_one(topic, answer) for topic, answer in answers.items()],
        "unanswered": unanswered(answers),
        "release": report.cover.release is not None,
    }


def _one(topic: str, answer: Answer) -> Mapping[str, Any]:
    """Give one answer; after yes, what a buyer asks next and the seller left out is said to be missing."""
    asked = not_stated() if answer.answer == "yes" else ""
    # the seller's own words may tell when it was and what was done; of paper they say nothing
    in_words = "" if answer.what and not (answer.since or answer.done) else asked
    return {
        "topic": _topic(topic),
        "answer": answer.answer,
        "what": sentence(answer.what),
        "more": [
            (say("Since"), rich(answer.since) or in_words),
            (say("Done about it"), rich(answer.done) or in_words),
            (say_in("answered by", "By"), answer.by),
            (say("Paper"), say_in("answer", answer.paper) or asked),
        ],
    }


def _topic(topic: str) -> str:
    """Give a topic as the start of its line: a usual one in the reader's language, or as written."""
    usual = " ".join(topic.casefold().split())
    return capital(term(usual)) if usual in TOPICS else rich(capital(topic.strip()))


PASSAGE = Passage("disclosure", "What the seller has stated", _build)
