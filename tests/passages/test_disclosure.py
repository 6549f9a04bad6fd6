"""The seller's own answers, each as given, with what a buyer asks next, and the topics nobody answered."""

from __future__ import annotations

import pytest
from bs4 import BeautifulSoup

from reportgen import pages, theme
from reportgen.block import keys_of
from reportgen.blocks.cover import Release
from reportgen.blocks.disclosure import ANSWERS, TOPICS, Answer, unanswered
from reportgen.blocks.vessel import BoatFacts, Vessel
from reportgen.editions import buyer, seller
from reportgen.errors import Problems
from reportgen.model import Cover
from reportgen.passages import disclosure, identity
from reportgen.report import Report
from reportgen.values import Context
from reportgen.yamltext import read
from tests import made

MISSING = "warning: answered with yes, without done and paper; write done and paper; shown as not stated"


def _answers(text: str) -> tuple[dict[str, Answer], list[str]]:
    problems = Problems()
    node = read(text, "cover.md", 0, problems)
    found = keys_of(Cover)["disclosure"].metadata["type"].read(node, Context(problems))
    return found or {}, [str(p) for p in problems]


def test_short_and_long_form() -> None:
    """One word, one word with what it was, or a block of keys; not known is an answer like any other."""
    text = "fire: no\ngrounding: Not known\nliens: 'yes: a bank, 2024'\nlightning:\n  answer: yes\n"
    found, _ = _answers(f"{text}  since: May 2019\n")
    assert [(a.answer, a.what, a.since) for a in found.values()] == [
        ("no", "", ""),
        ("not known", "", ""),
        ("yes", "a bank, 2024", ""),
        ("yes", "", "May 2019"),
    ]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("fire:\n", "cover.md:1:6: fire: found nothing; write not known"),
        (
            "fire: maybe\n",
            "cover.md:1:7: fire: found 'maybe'; begin with yes, no or not known: \"yes: maybe\"",
        ),
        ("fire:\n  since: 2019\n", "cover.md:2:3: answer: an answer has no answer; write answer: the answer"),
        ("fire:\n  answer: yess\n", "cover.md:2:11: answer: found 'yess'; write yes"),
        (
            "fire:\n  answer: yes\n  since: 2019\n",
            f"cover.md:2:3: fire: {MISSING}",
        ),
    ],
)
def test_what_is_missing_is_told_at_its_place(text: str, says: str) -> None:
    """No answer, an answer of no kind, and a yes without what a buyer asks next."""
    assert says in _answers(text)[1]


@pytest.mark.parametrize(("text", "warned"), [("fire: yes", True), ("fire: 'yes: galley, 2019'", False)])
def test_short_form_may_say_it_all_in_its_words(text: str, warned: bool) -> None:
    """A bare yes is told of; a yes with words is taken as the seller gave it."""
    assert bool(_answers(text)[1]) is warned


def test_yes_with_all_that_is_asked_is_not_told_of() -> None:
    """Since, done and paper stand there, the last as not known: nothing is missing."""
    text = "fire:\n  answer: yes\n  since: 2019\n  done: galley relined\n  paper: not known\n"
    assert _answers(text)[1] == []


def test_answers_stand_as_given() -> None:
    """In the order of the notes; after yes, what is missing is said; topics not answered are named."""
    given = {
        "grounding": Answer("not known"),
        "earlier repairs": Answer("yes", "*keel*", "2021", by="the yard", paper="no"),
    }
    values = disclosure.PASSAGE.build(Report(cover=Cover(disclosure=given)), seller.EDITION)
    assert values is not None
    first, second = values["answers"]
    assert (first["topic"], first["answer"], first["what"]) == ("Grounding", "not known", "")
    assert not any(words for _, words in first["more"])
    assert second["what"] == "<em>keel</em>."
    assert second["more"] == [
        ("Since", "2021"),
        ("Done about it", "not stated"),
        ("By", "the yard"),
        ("Paper", "no"),
    ]
    assert set(values["unanswered"]) == set(TOPICS) - set(given)
    short = disclosure._one("fire", Answer("yes", "galley, 2019"))
    assert [words for _, words in short["more"]] == ["", "", "", "not stated"]
    assert ANSWERS == ("yes", "no", "not known")


def test_no_answers_no_such_part() -> None:
    """Who was not asked has answered nothing; a paper that is called the seller's says so, no other does."""
    assert disclosure.PASSAGE.build(Report(), buyer.EDITION) is None
    report = Report(cover=Cover(number="RH-7", vessel=Vessel(name="Reed Heron")))
    [page, *_] = pages.arrange(report, seller.EDITION, {}, "0000")
    text = " ".join(BeautifulSoup(theme.render(page, theme.find()), "html5lib").get_text(" ").split())
    assert "No statement of the seller is part of this copy" in text
    assert "own answers" not in text


def test_other_words_for_a_topic_answer_it() -> None:
    """Who writes `sunk` or `lien` has answered; half a topic is not the whole, nor is one of her own."""
    told = ("Sunk", "lien", "insurance  claim", "repairs", "fire", "rebuilds", "smell of dog")
    open_still = unanswered(told)
    assert set(TOPICS) - set(open_still) == {
        "sunk or flooded", "liens", "insurance claims", "earlier repairs", "fire"
    }  # fmt: skip
    assert open_still == tuple(t for t in TOPICS if t in open_still)
    built = disclosure.PASSAGE.build(Report(cover=Cover(disclosure={"sunk": Answer("no")})), seller.EDITION)
    assert built is not None
    assert "sunk or flooded" not in built["unanswered"]
    assert [a["topic"] for a in built["answers"]] == ["Sunk"]


@pytest.mark.parametrize(
    ("topic", "warned"),
    [("lightnning", "write lightning, if that is meant"), ("smell of dog", ""), ("Liens", ""), ("lien", "")],
)
def test_topic_with_a_slip_is_told(topic: str, warned: str) -> None:
    """A slip would leave the topic among those not answered; a topic of one's own is none."""
    said = _answers(f"{topic}: no")[1]
    assert len(said) == bool(warned)
    assert all(warned in line for line in said)


def test_who_did_the_work_is_not_for_the_public() -> None:
    """The yard's name is a name like any other: the buyer reads it, the public does not."""
    given = {"fire": Answer("yes", "galley", "2019", "relined", "Harbour Joinery of Quenby", "yes")}
    for edition, name in ((buyer.EDITION, "Harbour Joinery of Quenby"), (seller.EDITION, "")):
        shown = made.shown(Report(cover=Cover(disclosure=given)), edition)
        assert shown.cover.disclosure is not None
        assert shown.cover.disclosure["fire"].by == name


@pytest.mark.parametrize(
    ("release", "who", "how"),
    [
        (None, "", ""),
        (Release("the owner", "public"), "the owner", ""),
        (Release("the owner", "public", ask="write to us"), "the owner", "write to us"),
    ],
)
def test_public_reader_is_told_how_to_ask_for_the_full_number(
    release: Release | None, who: str, how: str
) -> None:
    """Where the serial is masked, whom to ask; who sees the whole number needs no such line."""
    cover = Cover(vessel=Vessel(found=BoatFacts(hull_number="ZZQ41207C515")), release=release)
    whole = made.replaced(Report(cover=cover), hull_number=made.hull("ZZQ41207C515"))
    values = identity.PASSAGE.build(whole, seller.EDITION)
    assert values is not None
    assert values["ask"] == {"who": who, "how": how}
    assert (identity.PASSAGE.build(whole, buyer.EDITION) or {})["ask"] is None
