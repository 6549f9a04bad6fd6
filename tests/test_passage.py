"""What passages share: dates, sums, estimates and links as they are printed."""

from __future__ import annotations

import datetime
from decimal import Decimal

import pytest
from markupsafe import Markup

from reportgen import passage, wording
from reportgen.billwords import MoneyStep
from reportgen.block import Blur, Mark, PhotoNote, Region, Spot
from reportgen.kind import Step
from reportgen.model import Finding, Prose, Reading
from reportgen.report import JudgedReading, ListedFinding, Report
from reportgen.units import Span

TEN = Decimal(10)
FIRST, SECOND, NEXT = (datetime.date(2026, 3, 5), datetime.date(2026, 3, 7), datetime.date(2026, 4, 1))


@pytest.mark.parametrize(("date", "printed"), [(FIRST, "5 March 2026"), (None, "")])
def test_day(date: datetime.date | None, printed: str) -> None:
    """The month in letters, so that no reader takes it for the day."""
    assert passage.day(date) == printed


@pytest.mark.parametrize(
    ("dates", "printed"),
    [
        ((), ""),
        ((FIRST,), "5 March 2026"),
        ((SECOND, FIRST, FIRST), "5 and 7 March 2026"),
        ((FIRST, NEXT), "5 March 2026 and 1 April 2026"),
    ],
)
def test_days(dates: tuple[datetime.date, ...], printed: str) -> None:
    """Several days in order, each once, the month once where it is the same."""
    assert passage.days(dates) == printed


@pytest.mark.parametrize(
    ("language", "printed"),
    [
        ("de", "5. und 7. März 2026"),
        ("es", "5 y 7 de marzo de 2026"),
        ("fr", "5 et 7 mars 2026"),
        ("nl", "5 en 7 maart 2026"),
    ],
)
def test_days_in_other_languages(language: str, printed: str) -> None:
    """The month stands once in every language."""
    with wording.speaking(language):
        assert passage.days((FIRST, SECOND)) == printed


@pytest.mark.parametrize(
    ("value", "printed"), [(FIRST, "5 March 2026"), ("before *launch*", "Before launch"), (None, "")]
)
def test_when(value: datetime.date | str | None, printed: str) -> None:
    """A date or words in its place."""
    assert passage.when(value) == printed


def test_amount_is_never_zero_for_nothing() -> None:
    """No sum prints nothing; a sum of zero is a sum."""
    assert passage.amount(None, "USD") == ""
    assert passage.amount(Decimal("0.00"), "USD") == "$0.00"


@pytest.mark.parametrize(
    ("span", "currency", "printed"),
    [
        (None, "", ""),
        (Span(Decimal("2"), Decimal("2.50"), Decimal("4"), "h"), "", "2 h to 4 h, likely 2.5 h"),
        (Span(Decimal("2"), Decimal("2"), Decimal("2"), "h"), "", "2 h"),
        (Span(Decimal("5.00"), Decimal("6.00"), Decimal("9.00")), "EUR", "€5.00 to €9.00, likely €6.00"),
    ],
)
def test_span(span: Span | None, currency: str, printed: str) -> None:
    """A range with its likely figure, or one figure."""
    assert passage.span(span, currency) == printed


def test_text_of_the_writer_is_safe() -> None:
    """Markdown becomes HTML, HTML stays text."""
    assert passage.rich("*a* <b>") == Markup("<em>a</em> &lt;b&gt;")
    assert passage.text_block(Prose("a", "<p>a</p>")) == Markup("<p>a</p>")


def test_pictures_have_an_alternative_text() -> None:
    """The caption once with its markup and once plain; the writer's file name is not among it."""
    note = PhotoNote("secret.jpg", "the *riser*", taken=FIRST, name="photo-03")
    [shown] = passage.pictures([note])
    assert shown == {
        "name": "photo-03",
        "caption": Markup("The <em>riser</em>."),
        "alt": "the riser",
        "taken": "5 March 2026",
        "blurred": "",
        "marked": "",
    }


def test_what_was_done_to_a_picture_is_said() -> None:
    """How many parts are blurred and what they hide; each mark with its words, as drawn."""
    spot, two, one = Spot(TEN, TEN), Blur(TEN, TEN, TEN, TEN, "*number* plate"), Blur(TEN, TEN, TEN, TEN)
    marks = (
        Mark(arrow=spot, label="crack *here*"),
        Mark(ring=Region(TEN, TEN, TEN, TEN)),
        Mark(at=spot, label="a"),
    )
    [shown] = passage.pictures([PhotoNote("a.jpg", blur=(two, one, two), mark=marks)])
    assert shown["blurred"] == "3 parts (number plate)"
    assert shown["marked"] == "an arrow to “crack here”, a ring and the words “a”"
    assert passage.pictures([PhotoNote("a.jpg", blur=(one,))])[0]["blurred"] == "one part"


def test_reference_leads_to_what_is_on_the_page() -> None:
    """A finding with its number, a reading by its title, anything else without a link."""
    report = Report(
        findings=(ListedFinding(4, Finding(id="a", title="Riser *worn*")),),
        readings=(JudgedReading(Reading(id="r", title="Cold")),),
    )
    assert passage.reference(report, "a") == {"anchor": "a", "ref": "4", "title": "Riser worn"}
    assert passage.reference(report, "r") == {"anchor": "r", "ref": "", "title": "Cold"}
    assert passage.reference(report, "every report") == {"anchor": "", "ref": "", "title": "every report"}


def test_steps_of_any_working_look_alike() -> None:
    """A step of a measurement has a unit, a step of money none."""
    assert passage.steps([Step("a", "b", "c", "d", "psi"), MoneyStep("e", "f", "g", "h")]) == [
        {"step": "a", "formula": "b", "values": "c", "result": "d", "unit": "psi"},
        {"step": "e", "formula": "f", "values": "g", "result": "h", "unit": ""},
    ]


def test_every_severity_says_what_it_asks() -> None:
    """Worst first, each with one sentence."""
    assert list(passage.SEVERITY_MEANS) == ["stop", "settle", "schedule", "watch", "sound"]
    assert all(words.endswith(".") for words in passage.SEVERITY_MEANS.values())


def test_deadline_says_the_days_that_are_left() -> None:
    """An underwriter need not count: so many days are left, or it is past; words stay words."""
    day = datetime.date(2026, 7, 31)
    assert passage.deadline(day, 30) == "31 July 2026, 30 days left"
    assert passage.deadline(day, 1) == "31 July 2026, 1 day left"
    assert passage.deadline(day, 0) == "31 July 2026, today"
    assert passage.deadline(day, -2) == "31 July 2026, past by 2 days"
    assert passage.deadline("before launch", None) == "Before launch"
    assert passage.deadline(None, None) == ""


def test_a_working_reads_as_arithmetic() -> None:
    """Signs of a keyboard become those of print, dates those of the page; what is joined stays joined."""
    noted = Step("age of tyre-2", "day - week made", "2026-09-12 - 2 x 4 (x-1)", "-3", "mm")
    [told] = passage.steps((noted,))
    assert (told["step"], told["formula"]) == ("age of tyre-2", "day − week made")
    assert (told["values"], told["result"]) == ("12 September 2026 − 2 × 4 (x-1)", "-3")


@pytest.mark.parametrize(
    ("text", "printed"),
    [
        ("Ada *Kell*, 5 March 2026", "Ada <em>Kell</em>, 5. März 2026"),
        ("Ada Kell, March 5, 2026.", "Ada Kell, 5. März 2026"),
        ("Ada Kell 2026-03-05", "Ada Kell, 5. März 2026"),
        ("Ada Kell, 30 February 2026", "Ada Kell, 30 February 2026"),
        ("by hand & seal", "by hand &amp; seal"),
        ("5 March 2026", "5 March 2026"),
        ("", ""),
    ],
)
def test_signature_has_its_date_as_the_page(text: str, printed: str) -> None:
    """A date that ends it is the reader's; what is none, and who signed, stay as written."""
    with wording.speaking("de"):
        assert str(passage.signature(text)) == printed
