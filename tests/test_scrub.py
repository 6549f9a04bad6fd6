"""Private values in text: found in every spelling, and ordinary words, years and figures left alone."""

from __future__ import annotations

import dataclasses
import datetime
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reportgen import scrub, spellings
from reportgen.blocks.conditions import Conditions
from reportgen.blocks.cover import Release
from reportgen.blocks.deal import Price
from reportgen.blocks.people import People, Person, Surveyor
from reportgen.blocks.value import Adjustment, Comparable
from reportgen.blocks.vessel import BoatFacts, Engine, Vessel
from reportgen.cautions import Caution
from reportgen.edition import FLOOR
from reportgen.editions import seller
from reportgen.hullnumber import read
from reportgen.model import Cover
from reportgen.report import Measurement, Report
from reportgen.scrub import Scrubber, masked_tail, values
from reportgen.sources import Source
from reportgen.spellings import LEFT_OUT, Search, bare_form

SHOWS = seller.EDITION.shows | FLOOR
HULL = "ZZQ41207C515"


def _report(**keys: Any) -> Report:
    people = People(
        surveyor=Surveyor(name="Ruth Halvane", contact="ruth@example.com"),
        client=Person("Marla Quenby", "marla.quenby@example.com, +1 (555) 010-4477"),
        seller=Person("Zoë Strauß-Lund", "0171 555 0142"),
        broker=Person("Corley Bench Boat Shed"),
        yard=Person("Marine Services"),
        **keys.pop("people", {}),
    )
    found = BoatFacts(
        maker="Pellam Boatworks",
        hull_number=HULL,
        registration="ID 4409 ZZ",
        engines=(Engine(name="main", serial="TB8-220961"), Engine(name="spare", serial="2013")),
    )
    sums = {"asking": "38900.00", "offered": "36500.00", "deposit": "2050.00"}
    price = Price("USD", **{name: Decimal(value) for name, value in sums.items()})
    place = Conditions(place="Fennel Creek", exact_place="berth C14, gate code 4471, shed of Ola Brandt")
    keys = {
        "people": people,
        "vessel": Vessel(name="Quillback", found=found),
        "price": price,
        "conditions": (place,),
    } | keys
    return Report(cover=Cover(**keys), hull_number=read(HULL, latest=datetime.date(2026, 5, 1)))


def _scrubber(report: Report | None = None) -> Scrubber:
    return Scrubber.of(report or _report(), SHOWS, seller.EDITION.masked, True)


@pytest.fixture(scope="module")
def scrubber() -> Scrubber:
    """Give the scrubber of the seller's edition."""
    return _scrubber()


NAMES = [
    "Marla Quenby", "marla quenby", "MARLA QUENBY", "Quenby, Marla", "M. Quenby", "Marla",
    "Marla-Quenby", "MarlaQuenby", "marla_quenby", "Quenby's", "the Quenbys", "Marla **Quen**by",
    "Mar\u00adla", "Quen\u200bby", "Zoe\u0308 Strauß-Lund", "Strauß", "Strauss", "Zoe Strauss-Lund",
    "Zoë Strauß-Lund", "STRAUSS-LUND", "zoe-strauss-lund", "Strauß Lund", "Corley Bench Boat Shed",
    "corley bench boat shed", "Corley Bench", "Marine Services", "marla.quenby@example.com",
    "marla.quenby (at) example.com", "marla.quenby%40example.com", "+1 (555) 010-4477", "555 010 4477",
    "15550104477", "555.010.4477", "001 555 010 4477", "0171 555 0142", "0171-5550142",
    "0171/555 01 42", "berth C14", "Berth C-14", "gate code 4471", "code 4471", "Ola Brandt",
    "shed of Ola Brandt",
]  # fmt: skip


@pytest.mark.parametrize("text", NAMES)
def test_name_contact_or_place_is_taken_out(scrubber: Scrubber, text: str) -> None:
    """Each spelling becomes [left out], within a sentence, at its end, and in brackets."""
    for sentence in (f"Told by {text} on the quay.", f"Seen with {text}", f"({text})"):
        shown, hits = scrubber.text(sentence)
        assert LEFT_OUT in shown, sentence
        assert hits


SUMS = [
    "36500", "36,500", "36 500", "36.500", "36'500", "36\u00a0500", "$36,500", "USD 36500",
    "36500 dollars", "36,500.00", "36.5k", "36,5 thousand", "thirty-six thousand five hundred",
    "Thirty six thousand and five hundred dollars", "**36,500**", "offered 36500.", "2,050", "2050",
    "$2050", "two thousand and fifty",
]  # fmt: skip


@pytest.mark.parametrize("text", SUMS)
def test_sum_of_the_price_talk_is_taken_out(scrubber: Scrubber, text: str) -> None:
    """The offer and the deposit are found with and without marks, currency and in words."""
    shown, hits = scrubber.text(f"They said {text} at the door")
    if text == "2050":  # with no mark and no currency it may be a year
        assert not hits
    else:
        assert LEFT_OUT in shown


ORDINARY = [
    "the engine turned 2050 rpm", "136500 km", "365001", "36500 h run", "36,500 rpm", "on 2050-01-02",
    "in 2050", "$136,500", "36500.75", "A marine survey and its services", "Marl and clay", "quench",
    "a bench at the shed", "boats at the yard", "Fennel Creek", "Ruth Halvane", "Pellam Boatworks",
    "berthing", "cylinder 14", "built 2013", "from 2013 to 2014", "2013 h", "C140 pump",
    "the quay at Corley",
]  # fmt: skip


@pytest.mark.parametrize("text", ORDINARY)
def test_ordinary_text_is_left_alone(scrubber: Scrubber, text: str) -> None:
    """Years, running hours, words of the trade, the surveyor and the boat's maker are no private values."""
    assert scrubber.text(text) == (text, ())


MASKED = [
    (HULL, "ZZQ•••••C515"),
    ("zzq 41207 c515", "ZZQ•••••C515"),
    ("ZZQ-41207-C515", "ZZQ•••••C515"),
    ("ZZQ41207", "ZZQ•••••"),
    ("41207", "•••••"),
    ("ABC12345D404", "ABC•••••D404"),
    ("TB8-220961", "•••-••••61"),
    ("tb8 220961", "•••-••••61"),
    ("ID-4409-ZZ", "•• •••• ZZ"),
    ("serial 2013", "serial ••13"),
    ("serial no. 2013", "serial no. ••13"),
]


@pytest.mark.parametrize(("text", "shown"), MASKED)
def test_number_of_boat_or_engine_is_masked(scrubber: Scrubber, text: str, shown: str) -> None:
    """Hull numbers, of this boat and any other, keep maker and dates; serials their last two signs."""
    assert scrubber.text(f"It reads {text} there") == (f"It reads {shown} there", ())


def test_private_edition_masks_nothing() -> None:
    """An edition that shows numbers and names has nothing to look for but what it hides."""
    everything = SHOWS | {"people", "contact", "price", "cost", "rates", "serial", "hull number", "identity"}
    scrubber = Scrubber.of(_report(), everything, frozenset(), False)
    text = f"Marla Quenby, {HULL}, TB8-220961, 36,500 dollars"
    assert scrubber.text(text) == (text, ())
    assert scrubber.text("at berth C14")[1]


def test_surname_that_is_a_word_is_told_by_its_place() -> None:
    """`Stern` in a sentence is a person; the stern of the boat, and a heading that begins so, are not."""
    report = _report(people={"buyer": Person("John Stern"), "owner": Person("May Reef")})
    scrubber = _scrubber(report)
    for text in (
        "Stern tube worn",
        "the stern leaks",
        "at the stern.",
        "In May the reef was dry",
        "Port Stern Cleat",
    ):
        assert scrubber.text(text) == (text, ())
    assert scrubber.text("He told Stern of it")[0] == f"He told {LEFT_OUT} of it"
    assert scrubber.text("Mr Stern agreed")[0] == f"Mr {LEFT_OUT} agreed"
    assert LEFT_OUT in scrubber.text("JOHN STERN agreed")[0]
    assert LEFT_OUT in scrubber.text("May Reef agreed")[0]


def test_surname_that_reportgen_uses_itself_spares_its_own_texts() -> None:
    """A word of the cautions is ordinary in that report, so that no caution is torn."""
    caution = Caution(
        text="Vapour gathers in the bilge.", do="Ventilate", who="A gas fitter", source="Some Office"
    )
    plain = _report(people={"buyer": Person("Ann Vapour")})
    report = dataclasses.replace(plain, cautions=(caution,))
    assert _scrubber(report).text(caution.text) == (caution.text, ())
    assert _scrubber(plain).text(caution.text)[1]


def test_what_the_edition_shows_by_right_is_no_secret_elsewhere() -> None:
    """The yard that built the boat, an engine's maker and the place are shown, so their names stay."""
    people = {"owner": Person("Pellam Boatworks"), "buyer": Person("Tolliver Drives")}
    found = BoatFacts(maker="Pellam Boatworks", engines=(Engine(name="main", maker="Tolliver Drives"),))
    report = _report(people=people, vessel=Vessel(name="Quillback", found=found))
    for text in ("built by Pellam Boatworks", "with Tolliver Drives"):
        assert _scrubber(report).text(text) == (text, ())
        assert _scrubber(_report(people=people, vessel=Vessel())).text(text)[1]
    listed = _report(people=people, vessel=Vessel(advertised=BoatFacts(model="Tolliver Drives")))
    assert _scrubber(listed).text("with Tolliver Drives") == ("with Tolliver Drives", ())


def test_contact_of_who_signs_is_shown_where_the_edition_shows_it() -> None:
    """The surveyor may be the client's neighbour on the same line; else a contact is hidden."""
    report = _report(people={"owner": Person("Ann Lund", "ruth@example.com")})
    text = "write to ruth@example.com"
    assert Scrubber.of(report, SHOWS | {"surveyor contact"}, frozenset(), True).text(text) == (text, ())
    assert Scrubber.of(report, SHOWS - {"surveyor contact"}, frozenset(), True).text(text)[1]


def test_every_text_of_ours_makes_a_surname_ordinary() -> None:
    """Titles of readings, sources and what a hull number tells are ours: the word in them is no person."""
    plain = _report(people={"buyer": Person("Ann Tolliver")})
    told = "the tolliver of it"
    measured = Measurement(title="Tolliver test", measures="wear", proves=("its tolliver",))
    source = Source("s", "Table of Tolliver", "", "", "", "from memory")
    for changes in ({"measurements": (measured,)}, {"sources": (source,)}):
        assert _scrubber(dataclasses.replace(plain, **changes)).text(told) == (told, ())
    assert _scrubber(plain).text(told)[1]


def test_owner_who_signs_is_shown() -> None:
    """Who signs as surveyor or releases the page is named by it, also as its owner."""
    people = {"owner": Person("Ruth Halvane", "ruth@example.com"), "buyer": Person("Ruth Carrow")}
    report = _report(people=people, release=Release(by="Marla Quenby, client", to="public"))
    scrubber = _scrubber(report)
    assert scrubber.text("Ruth Halvane and Marla Quenby") == ("Ruth Halvane and Marla Quenby", ())
    assert scrubber.text("Ruth Carrow")[0] == LEFT_OUT
    assert scrubber.text("ruth@example.com")[1]  # a contact is hidden, whoever's it is


@pytest.mark.parametrize(
    "made_for", ["the buyer", "the buyer named below; the buyer's lender may rely on it"]
)
def test_words_about_people_are_no_names(made_for: str) -> None:
    """Roles in `attended`, `made for` and the like are ordinary words."""
    report = _report(made_for=made_for, conditions=(Conditions(attended=("buyer", "yard foreman")),))
    text = "The buyer and the yard foreman were there, and the buyer named below."
    assert _scrubber(report).text(text) == (text, ())


def test_short_values_are_only_told_of() -> None:
    """A value under four letters or digits is no search; where it stands, it is told of."""
    scrubber = _scrubber(_report(people={"buyer": Person("Bo Lee")}))
    assert scrubber.text("Lee saw it on the lee side")[1] == ()
    assert scrubber.short_in("Lee saw it") == ("'Lee' (people)",)
    assert scrubber.short_in("on the lee side, cylinder 14") == ()
    assert scrubber.short_in("berth no. C14") == ("'C14' (exact place)",)


@pytest.mark.parametrize(
    "text", ["M&#97;rla was there", "[x](mailto:m&#97;rla.quenby@example.com)", "Mar[la](#x)"]
)
def test_value_hidden_by_markup_is_seen_once_rendered(scrubber: Scrubber, text: str) -> None:
    """What the source hides from the search, the page would show: it is found there."""
    assert scrubber.found_in_line(text)
    assert not scrubber.found_in_line("*nothing* &amp; nobody")


def test_hull_number_hidden_by_markup_is_seen(scrubber: Scrubber) -> None:
    """A number in the form of a hull number is found behind entities; a masked one is none."""
    assert scrubber.found_in_html("<p>ABC1<b>23</b>4&#53;D404</p>")
    assert not scrubber.found_in_html("<p>ABC•••••D404</p>")


def test_ids_are_looked_through(scrubber: Scrubber) -> None:
    """An id made of a heading tells the heading's secret."""
    assert scrubber.in_id("told-by-marla-quenby")
    assert scrubber.in_id("zoe-strauss-lund-s-pump")
    assert scrubber.in_id("offer-of-36-500")
    assert scrubber.in_id("number-zzq41207c515")
    assert not scrubber.in_id("stern-tube-2013")


def test_field_without_a_category_is_private() -> None:
    """A new field is looked for until somebody gives it a category."""

    @dataclasses.dataclass(frozen=True)
    class Made:
        open_: str = dataclasses.field(default="a", metadata={"share": "open"})
        new: str = "b"

    assert [(h.share, h.value) for h in values(Made(), FLOOR)] == [("private", "b")]


def test_within_a_hidden_block_all_is_hidden() -> None:
    """What is open there belongs to the block; what is hidden by itself keeps its own category."""

    def kept(share: str, default: Any = None) -> Any:
        return dataclasses.field(default=default, metadata={"share": share})

    @dataclasses.dataclass(frozen=True)
    class Inner:
        plain: str = kept("open", "a")
        shown: str = kept("work", "b")
        closed: str = kept("people", "c")

    @dataclasses.dataclass(frozen=True)
    class Outer:
        bare: str = kept("work", "d")
        inside: Inner = kept("price", Inner())
        listed: tuple[Inner, ...] = kept("work", (Inner(),))
        words: dict[str, str] = dataclasses.field(
            default_factory=lambda: {"e": "f"}, metadata={"share": "price"}
        )

    def hidden(*shows: str) -> list[tuple[str, str, str, Any]]:
        return [(h.share, h.of, h.field, h.value) for h in values(Outer(), frozenset({"open", *shows}))]

    assert hidden("work") == [
        ("price", "Inner", "plain", "a"),
        ("price", "Inner", "shown", "b"),
        ("people", "Inner", "closed", "c"),
        ("people", "Inner", "closed", "c"),
        ("price", "Outer", "words", "e"),
        ("price", "Outer", "words", "f"),
    ]
    assert hidden("work", "price", "people") == []
    assert ("work", "Inner", "plain", "a") in hidden("price", "people")


def test_sums_are_looked_for_by_what_they_are() -> None:
    """Money of a hidden category is; hours, and money that the edition shows, are not."""
    found = scrub.Found()
    for share, value in (
        ("work", "12.50"),
        ("price", "900.00"),
        ("cost", "-45.00"),
        ("cost", "6.5"),
        ("rates", "950.00"),
        ("price", "950.00"),
        ("value", "960.00"),
        ("cost", "960.00"),
    ):
        found.add(scrub.Hidden(share, "", "", Decimal(value)), "USD", frozenset())
    assert found.sums == {
        Decimal("900.00"): True,
        Decimal("45.00"): False,
        Decimal("950.00"): True,
        Decimal("960.00"): True,
    }


def test_numbers_are_sorted_by_what_they_are() -> None:
    """A hull number keeps maker and dates, a serial its last two signs, a short one is only told of."""
    found = scrub.Found()
    for share, value in (("serial", "TB8-4471"), ("serial", "B-44"), ("hull number", HULL), ("work", "hose")):
        found.add(scrub.Hidden(share, "", "", value), "USD", frozenset())
    assert found.masks == {"TB8-4471": "•••-••71", HULL: "ZZQ•••••C515"}
    assert found.hulls == {HULL}
    assert list(found.short) == ["'B-44'"]
    assert found.words == {}, "words of the trade are never looked for"


def test_a_line_shorter_than_any_secret_is_passed_over(scrubber: Scrubber) -> None:
    assert scrubber.text("C14") == ("C14", ())
    assert scrubber.text("ABC12345D40") == ("ABC12345D40", ())
    assert scrubber.text("ABC12345D404") == ("ABC•••••D404", ())
    private = Scrubber.of(_report(), SHOWS, frozenset(), False)
    assert private.text("ABC12345D404") == ("ABC12345D404", ())


def test_hits_name_what_was_taken_out(scrubber: Scrubber) -> None:
    shown, hits = scrubber.text(f"Marla Quenby sold {HULL} at berth C14")
    assert shown == f"{LEFT_OUT} sold ZZQ•••••C515 at {LEFT_OUT}"
    assert sorted(hits) == ["'Marla Quenby' (people)", "'berth C14' (exact place)"]


def test_address_of_a_link_is_looked_through(scrubber: Scrubber) -> None:
    """A page shows an address where the pointer rests; a percent sign hides no letter."""
    assert scrubber.found_in_html('<a href="x?by=Marla%20Quenby">y</a>')
    assert scrubber.found_in_html("<p>Mar<b>la</b> <i>Quenby</i></p>") != ()
    assert scrubber.found_in_html("<p>ABC12345D404</p>") == ("a hull number",)
    assert Scrubber.of(_report(), SHOWS, frozenset(), False).found_in_html("<p>ABC12345D404</p>") == ()


@pytest.mark.parametrize(
    ("text", "shown"), [("AB12", "••12"), ("A-1", "A-1"), ("", ""), ("X 55 Y9", "• •• Y9")]
)
def test_masked_tail(text: str, shown: str) -> None:
    """The last two letters or digits stay, and what parts them."""
    assert masked_tail(text) == shown


@pytest.mark.parametrize(
    ("number", "words"),
    [
        (0, "zero"),
        (19, "nineteen"),
        (40, "forty"),
        (2050, "two thousand fifty"),
        (36500, "thirty six thousand five hundred"),
        (999_999, "nine hundred ninety nine thousand nine hundred ninety nine"),
        (1_000_000, ""),
    ],
)
def test_numbers_in_words(number: int, words: str) -> None:
    """A sum may be spelled out."""
    assert spellings.in_words(number) == words


@pytest.mark.parametrize("text", ["engine worth 3,650 dollars more", "took $3650 off for it"])
def test_an_adjustment_is_found_without_its_minus(text: str) -> None:
    """What is taken off a comparable is written with a minus and told without one."""
    sale = Comparable("x", Decimal("30000.00"), adjust=(Adjustment("newer", Decimal("-3650.00")),))
    cover = Cover(price=Price("USD"), comparables=(sale,))
    scrubber = Scrubber.of(Report(cover=cover), SHOWS, frozenset(), public=True)
    shown, hits = scrubber.text(text)
    assert hits
    assert LEFT_OUT in shown


@given(st.lists(st.lists(st.text("ab1", max_size=5), max_size=2), max_size=8), st.text("ab1-", max_size=9))
def test_the_look_by_beginnings_passes_over_no_hint(hints: list[list[str]], text: str) -> None:
    """It gives the searches that looking for one hint after the other gives, in their order."""
    searches = tuple(Search(str(n), "x", hints=tuple(own)) for n, own in enumerate(hints))
    worth_it = [search for search in searches if search.may_stand_in(bare_form(text))]
    assert Scrubber(searches, (), {}, public=False)._likely(text) == worth_it
