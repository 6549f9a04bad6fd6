"""What the seller answers about the boat: yes, no or not known, since when, what was done, paper or not."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field

from reportgen.block import Block, key
from reportgen.errors import Place, listed, nearest
from reportgen.values import Context, Custom, MapOf, OneOf, Text, wrong
from reportgen.yamltext import Node, Scalar

ANSWERS = ("yes", "no", "not known")
# what buyers ask and what the law of one place or another wants told; a topic of one's own may stand beside
TOPICS = (
    "sunk or flooded", "grounding", "collision", "fire", "lightning", "freeze damage", "insurance claims",
    "earlier repairs", "blisters", "engine overheats", "rebuilds and hour-meter changes", "known leaks",
    "not working", "not in the sale", "liens", "title brand", "recalls", "commercial use", "previous surveys",
)  # fmt: skip
# other words for a topic that answer all of it; `rebuilds` alone says nothing of the hour meter
_ALSO = {
    "sunk or flooded": "sunk, sank, sinking, flooded, flooding, swamped, submerged, flooded or sunk",
    "grounding": "groundings, aground, ran aground, run aground",
    "collision": "collisions",
    "fire": "fires",
    "lightning": "lightning strike, lightning strikes",
    "freeze damage": "freezing, frost damage, frozen",
    "insurance claims": "insurance claim, insurance, claim, claims",
    "earlier repairs": "earlier repair, repair, repairs, past repairs, previous repairs",
    "blisters": "blister, osmosis",
    "engine overheats": "overheating, overheats, engine overheating, engine overheated",
    "known leaks": "leak, leaks",
    "not in the sale": "not included, excluded",
    "liens": "lien, loan, loans, mortgage, lien or loan, liens or loans",
    "title brand": "title brands, branded title, salvage title",
    "recalls": "recall",
    "commercial use": "charter, charter use, commercial",
    "previous surveys": "previous survey, survey, surveys, earlier survey, earlier surveys",
}
_TOPIC_OF = {word: topic for topic, also in _ALSO.items() for word in also.split(", ")}
_TOLD_OF_YES = ("since", "done", "paper")
_SHORT = re.compile(r"(yes|no|not known)\b[\s:,;.]*(.*)", re.I | re.S)


@dataclass(frozen=True)
class Answer:
    """The seller's answer to one topic; `not known` is a full answer.

    what: what it was, in the seller's words. by: who did the work. paper: whether there is any on it.
    """

    answer: str = key(OneOf(ANSWERS), need="must", share="open", help="the answer", default="")
    what: str = key(Text(), share="open", help="what it was", default="")
    since: str = key(Text(), share="open", help="since when, or when it was", default="")
    done: str = key(Text(), share="open", help="what was done about it", default="")
    by: str = key(Text(), share="people", help="who did it; not shown to the public", default="")
    paper: str = key(OneOf(ANSWERS), share="open", help="whether there is paper on it", default="")
    place: Place = field(default=Place())


_BLOCK = Block(Answer, "an answer")


def unanswered(told: Iterable[str]) -> tuple[str, ...]:
    """Give the usual topics, in our words, that none of these topics of a seller answers."""
    plain = {" ".join(topic.casefold().split()) for topic in told}
    return tuple(t for t in TOPICS if t not in plain | {_TOPIC_OF.get(p, "") for p in plain})


def answers(node: Node, context: Context) -> dict[str, Answer] | None:
    """Read the seller's answers by topic; after yes, warn of what a buyer asks next and nobody has told."""
    found: dict[str, Answer] | None = BY_TOPIC.read(node, context)
    open_topics = unanswered(found or {})
    for topic, answer in (found or {}).items():
        near = nearest(topic, open_topics) if topic not in TOPICS else ""
        if near:
            said = f"{topic!r} is a topic of your own, and {near!r} stands as not answered"
            context.problems.warn(answer.place, said, f"write {near}, if that is meant")
        given = [name for name in _TOLD_OF_YES if getattr(answer, name)]
        # the short form may say all of it in its words
        missing = [] if answer.what and not given else [n for n in _TOLD_OF_YES if n not in given]
        if answer.answer == "yes" and missing:
            said = f"answered with yes, without {listed(missing, 'and')}"
            context.problems.warn(answer.place, said, f"write {listed(missing, 'and')}; shown as not stated")
    return found


def _one(node: Node, context: Context) -> Answer | None:
    """Read one answer: a block of keys, or in short `yes: what it was`."""
    if not isinstance(node, Scalar):
        read: Answer | None = _BLOCK.read(node, context)
        return read
    short = _SHORT.fullmatch(node.text.strip())
    if short is None:
        said = f'begin with yes, no or not known: "yes: {node.text}"' if node.text else "write not known"
        wrong(node, context, said)
        return None
    return Answer(short[1].lower(), short[2].strip(), place=node.place)


BY_TOPIC = MapOf(Custom("yes, no or not known", _one, (_BLOCK, Text())), "topic")
