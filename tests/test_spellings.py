"""Each way of looking for a private value, at its borders: what is met, left alone and masked."""

from __future__ import annotations

import re
import string
from collections.abc import Iterable, Iterator
from decimal import Decimal
from random import Random

import pytest

from reportgen import spellings
from reportgen.spellings import (
    LEFT_OUT,
    ORDINARY,
    Search,
    amount,
    bare_form,
    contact,
    is_sum,
    names,
    place,
    whole,
)

NONE: frozenset[str] = frozenset()


def shown(searches: Iterable[Search], text: str) -> str:
    """Give the text after every search that is long enough to take something out."""
    for search in searches:
        if not search.short:
            assert search.may_stand_in(bare_form(text)) or not search.pattern.search(text), search
            text = search.pattern.sub(search.instead, text)
    return text


def short(searches: Iterable[Search]) -> list[str]:
    return [search.what for search in searches if search.short]


# ---- whole texts


@pytest.mark.parametrize(
    ("value", "text", "expected"),
    [
        ("Quen", "by quen there", f"by {LEFT_OUT} there"),
        ("Que", "by Que there", "by Que there"),  # three letters are only told of
        ("-- ,", "-- ,", "-- ,"),
        ("marine services", "the Marine Services of the port", "the Marine Services of the port"),
        ("Marine Services", "the marine services of the port", "the marine services of the port"),
        ("Marine Services", "the Marine Services shop", f"the {LEFT_OUT} shop"),
        ("Marine 7 Yard", "the marine 7 yard", f"the {LEFT_OUT}"),
        ("John Stern", "the stern", "the stern"),
        ("Stern", "STERN light, stern light", "STERN light, stern light"),
        ("Stern", "at Stern, stern light", f"at {LEFT_OUT}, stern light"),
    ],
)
def test_whole_text_is_met_but_for_words_of_any_report(value: str, text: str, expected: str) -> None:
    """What is made of ordinary words alone is told from them by its capitals, and in small letters not."""
    assert shown(whole(value, "people", ORDINARY), text) == expected


def test_whole_text_that_is_short_is_told_of_once() -> None:
    assert short(whole(" Que ", "people")) == ["'Que' (people)"]
    assert [s.what for s in whole("Quen", "people")] == ["'Quen' (people)"]
    assert not any(s.masks or s.short for s in whole("Quen", "people"))


@pytest.mark.parametrize(
    ("value", "text", "expected"),
    [
        ("Ab Cdef", "AbCdef", "AbCdef"),  # six letters: words that run together are another word
        ("Ab Cdef", "ab-cdef", LEFT_OUT),
        ("Abc Defg", "AbcDefg", LEFT_OUT),  # seven are not met by accident
        ("Zoë", "Zoë", "Zoë"),
        ("Øster", "Oester, oster, øster", f"{LEFT_OUT}, {LEFT_OUT}, {LEFT_OUT}"),
        ("Æbel", "aebel", LEFT_OUT),
        ("Garçon", "garcon", LEFT_OUT),
        ("Garçon", "garceon", "garceon"),  # only Ä, Ö, Ü and Ø are written with an e behind
    ],
)
def test_letters_are_met_as_they_are_written(value: str, text: str, expected: str) -> None:
    assert shown(whole(value, "people"), text) == expected


# ---- names


@pytest.mark.parametrize(
    ("value", "sure", "text", "expected"),
    [
        ("Marla Quenby", True, "Quenbys and Marlas", f"{LEFT_OUT} and {LEFT_OUT}"),
        ("Marla Quenby", True, "quenbyish", "quenbyish"),
        ("marla quenby", True, "Quenby", LEFT_OUT),
        ("marla quenby", False, "Quenby", "Quenby"),  # small letters in a text are no name
        ("told by Marla Quenby (client)", False, "told by Marla Quenby", LEFT_OUT),
        ("x4 tolliver", False, "x4 Tolliver", LEFT_OUT),  # letters and digits in one word are a name too
        ("4 tolliver", False, "4 Tolliver", "4 Tolliver"),
        ("Corley Bench Boat Shed", True, "at Corley Bench", f"at {LEFT_OUT}"),
        ("Corley Boat Shed", True, "at Corley", f"at {LEFT_OUT}"),
        ("Stone Boat Shed", True, "a Stone", "a Stone"),
        ("Stone Reef Boat Shed", True, "at Stone Reef", f"at {LEFT_OUT}"),
        ("Boat Shed", True, "the Boat Shed, a boat shed", f"the {LEFT_OUT}, a boat shed"),
        ("Boat Shed", False, "the Boat Shed", "the Boat Shed"),
        ("boat shed", True, "the Boat Shed", "the Boat Shed"),
        ("Owner", True, "the Owner", "the Owner"),
        ("Ann Lund-Strake", True, "Strake", LEFT_OUT),
        ("Ann Marla Lund Quenby", True, "Quenby", "Quenby"),  # four words are a firm or a sentence
        ("Ann Marla Quenby", True, "Quenby", LEFT_OUT),
        ("Quenby Boat Lund Shed", True, "Lund", "Lund"),
        ("Tolliver - Quenby", True, "Quenby", LEFT_OUT),
    ],
)
def test_name_is_met_whole_and_by_its_parts(value: str, sure: bool, text: str, expected: str) -> None:
    """sure: the field holds a name; else only what is written like one is taken for it."""
    assert shown(names(value, "people", ORDINARY, sure), text) == expected


def test_a_name_has_sixty_signs_at_most() -> None:
    """What is longer is a sentence, whose words are no names."""
    longest = "quenby " * 8 + "Lund"
    assert len(longest) == 60
    assert shown(names(longest, "people", NONE, True), f"by {longest}") == f"by {LEFT_OUT}"
    assert list(names(f"{longest}s", "people", NONE, True)) == []


def test_short_parts_of_a_name_are_told_of() -> None:
    """One letter is an initial and a small word is none of the name."""
    found = list(names("Bo Lee", "people", NONE, True))
    assert short(found) == ["'Bo' (people)", "'Lee' (people)"]
    assert short(names("B Quenby", "people", NONE, True)) == []
    assert short(names("van Quenby", "people", NONE, True)) == []
    assert short(names("B. Quenby", "people", NONE, True)) == []


@pytest.mark.parametrize(
    ("value", "text", "met"),
    [
        ("Ann Stern", "told Stern of it", True),
        ("Ann Stern", "told, Stern said", True),
        ("Ann Stern", "told Stern Gear", False),
        ("Ann Stern", "Stern of it", False),
        ("Ann Stern", "Told Stern", False),
        ("Ann Stern", "Dr. Stern", True),
        ("Ann March", "told March of it", False),  # a month stands there too
        ("Ann March", "Mrs March of it", True),
    ],
)
def test_surname_that_is_a_word_is_met_within_a_sentence(value: str, text: str, met: bool) -> None:
    parts = [s for s in names(value, "people", ORDINARY, True) if value not in s.what]
    assert (shown(parts, text) != text) is met


# ---- contacts and places


@pytest.mark.parametrize(
    ("value", "text", "met"),
    [
        ("+49 171 5550142", "00491715550142", True),
        ("+49 171 5550142", "0171 5550142", True),
        ("+49 171 5550142", "171 555 01 42", True),
        ("+353 86 555 0142", "086 5550142", True),
        ("+1 555 010 4477", "(555) 010-4477", True),
        ("0049 171 5550142", "+49 171 5550142", True),
        ("0049 171 5550142", "0171 5550142", True),
        ("0171 5550142", "+49 171 5550142", True),
        ("0171 5550142", "9171 5550142", False),
        ("0171 5550142", "171/5550142", True),
        ("171 5550142", "71 5550142", False),
        ("0171 5550142", "0171 55501423", False),
        ("+44 1234567", "1234567", True),  # seven digits are a number of a telephone, six are any number
        ("+44 1234567", "234567", False),
        ("a.b@example.com", "a.b at example.com", True),
        ("a.b@example.com", "a b [at] example com", True),
        ("a.b@example.com", "xa.b@example.com", False),
        ("Harbour Lane 7, a.b@example.com", "harbour lane 7", True),
        ("by post; Quenby", "to Quenby", True),
        ("post 41, a@example.com", "post 41", True),
        ("channel 4, a@example.com", "channel 4", True),
        ("by post, a@example.com", "by post", False),
    ],
)
def test_contact_is_met_however_it_is_spelled(value: str, text: str, met: bool) -> None:
    assert (shown(contact(value, "contact"), text) != text) is met


@pytest.mark.parametrize(
    ("value", "text", "expected"),
    [
        ("berth C14", "berth C14", LEFT_OUT),
        ("berth C14", "the berth, C140", "the berth, C140"),
        ("gate code 4471", "the code 4471, the gate 4471", f"the {LEFT_OUT}, the gate {LEFT_OUT}"),
        ("gate code 4471", "4471 h, 4471 rpm", "4471 h, 4471 rpm"),
        ("gate code 447", "447", "447"),
        ("row 9", "row 9, 9", f"{LEFT_OUT}, 9"),
        ("east basin", "the east basin", f"the {LEFT_OUT}"),  # eight letters and more as they are
        ("eastern", "eastern", "eastern"),
        ("Eastern", "eastern", LEFT_OUT),
        ("shed of Ola Brandt", "with Ola Brandt", f"with {LEFT_OUT}"),
        ("shed of Ola", "with Ola", "with Ola"),
        ("in an 8-b", "in an 8-b", LEFT_OUT),
    ],
)
def test_place_is_met_by_its_parts_and_by_numbers_with_their_word(
    value: str, text: str, expected: str
) -> None:
    assert shown(place(value, "exact place"), text) == expected


def test_short_number_alone_is_no_place() -> None:
    """`14` says nothing by itself, `C14` is told of."""
    assert short(place("berth 14", "exact place")) == []
    assert short(place("berth C14", "exact place")) == ["'C14' (exact place)"]


@pytest.mark.parametrize(
    ("remark", "met"),
    [
        ("abcdefgh ijklmnop qrstuvwx", True),  # 24 letters
        ("abcdefgh ijklmnop qrstuvw", False),
        ("abcdef 7z", True),  # eight with a digit among them
        ("abcde 7z", False),
        ("abcdef gz", False),
    ],
)
def test_copied_remark_is_met_from_a_length_on(remark: str, met: bool) -> None:
    """Each sentence and each line is looked for by itself; a short one is met by accident."""
    assert (shown(spellings.sentences(remark, "private"), remark) == LEFT_OUT) is met
    two = f"Short. {remark}\nfoo"
    assert (shown(spellings.sentences(two, "private"), f"see {remark} here") != f"see {remark} here") is met


# ---- numbers of boat and engines


@pytest.mark.parametrize(
    ("value", "text", "expected"),
    [
        ("ABCDEF", "ABCDEF, A-B-CDEF, abcdef", "*, *, abcdef"),  # letters alone only as written
        ("AB12", "ab-12, AB123, xAB12", "*, AB123, xAB12"),
        ("20131", "20131", "20131"),  # five digits may be anything
        ("20131", "serial 20131, no. 20131, S/N: 20131", "serial *, no. *, S/N: *"),
        ("20131", "serial number is 20131; number 201312", "serial number is *; number 201312"),
        ("201312", "at 201312", "at *"),
        ("AB1", "AB1", "AB1"),
    ],
)
def test_number_is_masked_where_it_is_one(value: str, text: str, expected: str) -> None:
    found = spellings.number(value, "*")
    assert (found is None) is (value == "AB1")
    assert shown([found] if found else [], text) == expected
    assert found is None or (found.masks, found.what, found.short) == (True, repr(value), False)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("41207", "*"),
        ("41207 h, 41207 Hz, 41207.5, $41207, 1.41207", "41207 h, 41207 Hz, 41207.5, $41207, 1.41207"),
        ("41207 hours of it", "41207 hours of it"),
        ("41207 holes", "* holes"),
        ("412071", "412071"),
    ],
)
def test_serial_of_a_hull_is_masked_unless_it_is_a_figure(text: str, expected: str) -> None:
    found = spellings.serial("41207", "*")
    assert shown([found], text) == expected
    assert (found.masks, found.what) == (True, "'41207'")


# ---- sums


def test_a_sum_has_the_decimals_of_its_currency() -> None:
    """Percentages and counts are kept as written, so they are no sums; the yen has no decimals (ISO 4217)."""
    assert is_sum(Decimal("5.00"), "USD")
    assert not is_sum(Decimal("5.0"), "USD")
    assert not is_sum(Decimal("0.00"), "USD")
    assert not is_sum(Decimal("-5.00"), "USD")
    assert not is_sum(Decimal("5.00"), "")
    assert is_sum(Decimal(500), "JPY")


@pytest.mark.parametrize(
    ("value", "bare", "text", "met"),
    [
        ("999.00", True, "999", False),  # three digits by themselves are anything
        ("1000.00", True, "1000", True),
        ("1000.00", False, "1000", False),
        ("999.00", True, "$999", True),
        ("999.00", False, "999 dollars, 999.00 USD", True),
        ("1000.00", False, "1000 USD", True),
        ("1234.56", True, "1,234.56", True),
        ("1234.56", True, "1,234", False),
        ("1234.56", True, "1234,56", True),
        ("1234.00", True, "1,234.-", True),
        ("1234.00", True, "1,234.50", False),
        ("1899.00", True, "in 1899", True),
        ("1900.00", True, "in 1900", False),  # a year
        ("1900.00", True, "1,900", True),
        ("2100.00", True, "in 2100", False),
        ("2101.00", True, "in 2101", True),
        ("2000.00", False, "$2000", True),
        ("36500.00", True, "36.5k", True),
        ("36500.00", True, "36,5 grand", True),
        ("36550.00", True, "36.5k, 36.55k", False),
        ("900.00", False, "$0.9k", False),
        ("1000.00", False, "$1k", True),
        ("20000.00", False, "20 thousand dollars", True),
        ("20000.00", False, "$2k", False),
        ("100000.00", True, "100k", True),
        ("100000.00", True, "1k, 10k", False),
        ("1500.50", True, "1.5k", False),
        ("1100.00", True, "one thousand one hundred", True),
        ("1100.00", True, "one thousand and one hundred", True),
        ("1100.00", True, "one thousand one hundred thousand", False),
        ("1100.00", False, "one thousand one hundred", False),
        ("1100.00", False, "one thousand one hundred dollars", True),
        ("950.00", True, "nine hundred fifty", False),
        ("950.00", True, "nine hundred and fifty euros", True),
        ("950.50", True, "nine hundred fifty dollars", False),
        ("30.00", True, "thirty dollars", False),  # one word is met by accident
        ("21.00", True, "twenty-one dollars", True),
        ("3650.00", True, "3650 rpm, 3650 h", False),
        ("3650.00", True, "3650-7, x3650, 3650.7, 3650/7", False),
    ],
)
def test_a_sum_is_met_as_it_is_told(value: str, bare: bool, text: str, met: bool) -> None:
    """bare: told in the talk on the price, so it is met without its currency too, from four digits on."""
    search = amount(Decimal(value), bare, "USD")
    assert (search.pattern.search(text) is not None) is met
    assert not met or search.may_stand_in(bare_form(text)), "the cheap look must not pass over it"


def test_a_sum_gives_cheap_hints() -> None:
    """Its digits, its short form, or its longest word stand in any text that tells of it."""
    sum_ = amount(Decimal("36500.00"), True, "USD")
    assert sum_.hints == ("36500", "365k", "365thousand", "365grand", "thousand")
    assert amount(Decimal("36500.00"), True, "EUR").what == "the sum \u20ac36,500.00"
    assert amount(Decimal("2000000.00"), True, "USD").hints[0] == "2000000"
    assert amount(Decimal("940.50"), True, "USD").hints == ("94050",)
    assert not sum_.may_stand_in(bare_form("offered 35,600"))
    assert Search("any", sum_.form).may_stand_in("")


def test_each_letter_stays_in_the_bare_form_of_whatever_counts_as_it() -> None:
    """A pattern that looks past capitals meets some odd signs too, such as the long s."""
    signs = "".join(chr(n) for n in (*range(0xD800), *range(0xE000, 0x10000)))
    for letter in string.ascii_lowercase + string.digits:
        met = {m[0] for m in re.finditer(letter, signs, re.IGNORECASE)}
        assert {bare_form(f"x{sign}y") for sign in met} == {f"x{letter}y"}, met


GAPS = ["", "", "", "", "", "", "-", " ", "\u00ad", "*", "\u2019", "\u200b", "."]
ODD = {"i": "\u0131", "s": "\u017f", "k": "\u212a", "I": "\u0130"}
TOLD = (
    *(
        "Annelies M\u00fcller-Kvist",
        "\u0160imon Ribi\u0107",
        "K. Tolmans",
        "\u00d6\u00c5\u00c4\u00d8",
        "Mr \u0130nci",
    ),
    *("marl.kis@example.com", "+31 6 1234 5678", "(0117) 55 01 42", "QQX-00000-D414", "berth 14, gate B"),
    *("Ask for the gate key, pier 7.", "X7", "1234", "AB 12", "April Marsh", "O'Neil & Sons", "Iss-Kay"),
)


def _searches(told: str) -> Iterator[Search]:
    yield from names(told, "people", ORDINARY, True)
    yield from (*contact(told, "contact"), *place(told, "exact place"))
    yield from (*whole(told, "identity", ORDINARY), *spellings.sentences(told, "private"))
    yield from filter(None, [spellings.number(told, "x"), spellings.serial(told, "x")])


def _spread(told: str, random: Random) -> str:
    """Write a text as somebody may who does not want it found: letters parted, in any case, with odd ones."""
    forms = ((sign, sign.upper(), sign.lower(), ODD.get(sign, sign)) for sign in told)
    return "".join(random.choice(form) + random.choice(GAPS) for form in forms)


def test_the_cheap_look_passes_over_nothing() -> None:
    """Whatever a search meets, however its letters are parted and cased, its hints stand in the bare text."""
    random, met = Random(7), 0  # noqa: S311 -- the same texts in each run
    for told in TOLD:
        searches = list(_searches(told))
        for _ in range(40):
            text = f"as Mr {_spread(told, random)} said"
            for search in (s for s in searches if s.pattern.search(text)):
                met += 1
                assert search.may_stand_in(bare_form(text)), (search, text)
    assert met > 500


def test_sum_of_another_currency_is_told_by_its_code() -> None:
    """SEK has no sign of its own here."""
    search = amount(Decimal("900.00"), False, "SEK")
    assert search.pattern.search("SEK 900")
    assert search.pattern.search("900 sek")
    assert not search.pattern.search("900")


@pytest.mark.parametrize(("currency", "met"), [("USD", False), ("EUR", False), ("GBP", True)])
def test_pounds_are_a_weight_where_they_are_not_the_currency(currency: str, met: bool) -> None:
    """A battery of 90 pounds tells nobody what a hose costs."""
    search = amount(Decimal("90.00"), False, currency)
    assert (search.pattern.search("one inch under 90 pounds") is not None) is met
    assert (amount(Decimal("95.00"), False, currency).pattern.search("ninety-five pounds") is not None) is met


@pytest.mark.parametrize(
    ("number", "words"),
    [
        (20, "twenty"),
        (21, "twenty one"),
        (99, "ninety nine"),
        (100, "one hundred"),
        (101, "one hundred one"),
        (999, "nine hundred ninety nine"),
        (1000, "one thousand"),
        (1001, "one thousand one"),
        (100_000, "one hundred thousand"),
    ],
)
def test_numbers_in_words_at_each_border(number: int, words: str) -> None:
    assert spellings.in_words(number) == words
