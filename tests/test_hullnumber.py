"""Hull identification numbers against published rules and worked decodings, and the hiding of the serial.

PUBLISHED holds facts in our own words, each with where it was read and how far it may be trusted: "printed"
stands in the source; "computed" is a case of ours under a rule that was read; "recalled" is from memory and
never judges the code, only whether the code says so. Read on 25 November 2026 in stored public text.
"""

from __future__ import annotations

import datetime
import re
import string
from collections import namedtuple

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from reportgen import hullnumber
from reportgen.hullfind import find_like, spellings
from reportgen.hullnumber import HullNumber, masked, masked_view, read, required

TODAY = datetime.date(2026, 5, 16)

# Of HIN-E05 to E10 only the ending is published; the X are ours.
# id | what goes in | what must come out | source | place in it | basis
PUBLISHED = """
HIN-R1 | ABC12345L495 | 12 | 33 CFR 181.25 | opening words | printed
HIN-R2 | ABC12345L495 | 3 5 1 1 2 | 33 CFR 181.25 | (a) to (d) | printed
HIN-R3 | IOQ | IOQ | 33 CFR 181.25 | (b), of the serial only | printed
HIN-E01 | ABC12345L495 | ABC 12345 1994-12 1995 | builders' help page, in a forum | its example | printed
HIN-E03 | ABC123451272 | ABC 12345 1972-12 None | club forum's sheet | line on 1972 to 1984 | printed
HIN-E05 | XXXXXXXXM80K | XXX XXXXX 1980-06 1980 | sailing mailing list | on M80K | printed
HIN-E07 | XXXXXXXXM82H | XXX XXXXX 1982-03 1982 | sailboat data forum | on M82H | printed
HIN-E08 | XXXXXXXXH485 | XXX XXXXX 1984-08 1985 | sailing mailing list | first of August 1984 | printed
HIN-E10 | XXXXXXXXK485 | XXX XXXXX 1984-11 1985 | sailboat data forum | same post | printed
HIN-B01 | ABC12O45L495 | Character 6 is the letter O | 33 CFR 181.25 | (b) | computed
HIN-B03 | ABCQ2345L495 | Character 4 is the letter Q | 33 CFR 181.25 | (b) | computed
HIN-B04 | ABC12345L49 | 11 characters | 33 CFR 181.25 | opening words | computed
HIN-B05 | ABC-12345-L495 | against 33 CFR 181.25 | 33 CFR 181.25 | opening words | computed
HIN-B06 | ABC12345N495 | Character 9 is N, no month letter | 33 CFR 181.25 | (c) | computed
HIN-B09 | ABC12345M73M | Character 12 is M | three sheets that agree | letters A to L | computed
HIN-B10 | ABC123451372 | month 13, which is none | three sheets that agree | month in digits | computed
HIN-R4 | 1972-11-01 | True | surveyors' magazine, February 2000, and three pages | on hull numbers | printed
HIN-R5 | ABC12345L495 | 2 | 33 CFR 181.23 | (a)(1), (a)(2), (c), edition of 2005; kept in 2012 | printed
HIN-R6 | L495 M80K 1272 | current, model year, straight year | 33 CFR 181.25 and the sheets | - | computed
HIN-R7 | XX-ABC12345L495 | two letters, hyphen, twelve | ISO 10087 abstract, memory | - | recalled
HIN-R8 | ABC12345M80 | A 1979-08 L 1980-07 | sailing mailing list | explanation of the M form | printed
HIN-R9 | ABC12345L495 | 1994-12 | mailing list on slow builders | - | computed
"""


Row = namedtuple("Row", "id given expected source place basis")  # basis: how far it is an oracle
ROWS = [Row(*line.split(" | ")) for line in PUBLISHED.strip().splitlines()]
for id_, letters, months, source, place in (
    ("HIN-N", "BCDFHIJKL", (2, 3, 4, 6, 8, 9, 10, 11, 12), "33 CFR 181.25", "(c), A January and so on"),
    ("HIN-M", "ABCEFGIJKL", (8, 9, 10, 12, 1, 2, 4, 5, 6, 7), "three sheets", "A August to L July"),
):
    for letter, month in zip(letters, months, strict=True):
        ROWS.append(Row(f"{id_}{ord(letter) - 64:02d}", letter, f"{month:02d}", source, place, "printed"))


def rows(ids: str) -> pytest.MarkDecorator:
    """All rows whose id fits, each as a test of its own; a recalled row is refused."""
    chosen = [row for row in ROWS if re.fullmatch(ids, row.id)]
    assert chosen
    assert all(row.basis in ("printed", "computed") for row in chosen), "a recalled row is no oracle"
    return pytest.mark.parametrize("row", [pytest.param(row, id=row.id) for row in chosen])


def packed(text: str) -> list[str]:
    return text.strip().replace("\n", " ; ").split(" ; ")


def cases(table: str) -> pytest.MarkDecorator:
    """One test a case: names first, then cases parted by semicolons or lines, their cells by bars."""
    names, *lines = packed(table)
    return pytest.mark.parametrize(names.split(), [line.split(" | ") for line in lines])


def number(text: str, latest: datetime.date = TODAY) -> HullNumber:
    return read(text, latest=latest)


def test_every_row_names_its_source_and_is_used_once() -> None:
    assert len({row.id for row in ROWS}) == len(ROWS) == 41
    assert all(row.source and row.place for row in ROWS)
    assert [row.id for row in ROWS if row.basis == "recalled"] == ["HIN-R7"]


@rows("HIN-N..")
def test_the_month_letters_of_the_present_form_run_from_january(row: Row) -> None:
    found = number(f"ABC12345{row.given}595")
    assert (found.valid, found.certified) == (True, f"1995-{row.expected}")


@rows("HIN-M..")
def test_the_month_letters_after_an_m_run_from_august_of_the_year_before(row: Row) -> None:
    found = number(f"ABC12345M80{row.given}")
    year = 1979 if row.given in "ABCDE" else 1980
    assert (found.valid, found.model_year, found.certified) == (True, 1980, f"{year}-{row.expected}")


@rows("HIN-E..")
def test_published_decodings_are_met(row: Row) -> None:
    found = number(row.given)
    assert f"{found.maker_code} {found.serial} {found.certified} {found.model_year}" == row.expected
    assert (found.valid, found.problems) == (True, ())


@rows("HIN-R[12]")
def test_twelve_characters_make_five_parts_and_one_more_or_less_none(row: Row) -> None:
    found = number(row.given)
    parts = (found.maker_code or "", found.serial or "", "L", "4", "95")
    assert "".join(parts) == row.given
    assert row.expected in (str(len(row.given)), " ".join(str(len(part)) for part in parts))
    assert (found.valid, found.certified, found.model_year) == (True, "1994-12", 1995)
    for text in (row.given[:-1], row.given + "5"):
        assert (number(text).valid, number(text).format) == (False, hullnumber.NOT_RECOGNISED)
        assert f"{len(text)} characters" in number(text).problems[0]


@rows("HIN-R3")
def test_i_o_and_q_are_barred_from_the_serial_and_from_nothing_else(row: Row) -> None:
    barred = [letter for letter in string.ascii_uppercase if not number(f"ABC12{letter}45L495").valid]
    assert "".join(barred) == row.expected
    assert number(f"{row.given}12345L495").valid
    assert "AB1 holds a digit" in number("AB112345L495").problems[0]
    assert number("AB112345L495").valid, "the rule that was read bars no digit there"


@rows("HIN-R4")
def test_no_number_is_required_before_november_1972(row: Row) -> None:
    day = datetime.date.fromisoformat(row.given)
    assert required(day)
    assert not required(day - datetime.timedelta(days=1))
    assert any("before 1 November 1972" in point for point in number("").cannot_tell)


@rows("HIN-R5")
def test_the_second_marking_is_always_asked_for(row: Row) -> None:
    assert int(row.expected) == hullnumber.MARKINGS_REQUIRED
    assert any(f"{row.expected} are required" in point for point in number(row.given).cannot_tell)
    assert "cfr-33-181.23" in number(row.given).sources
    for old in ("ABC12345M80K", "ABC123451272"):
        assert any("look for both" in point and "not read" in point for point in number(old).cannot_tell)


@rows("HIN-R6")
def test_character_nine_tells_the_form(row: Row) -> None:
    forms = [number("ABC12345" + ending).format for ending in row.given.split()]
    assert forms == [hullnumber.CURRENT, hullnumber.MODEL_YEAR, hullnumber.STRAIGHT_YEAR]


@rows("HIN-R8")
def test_the_old_model_year_runs_from_august_to_july(row: Row) -> None:
    ends = [f"{letter} {number(row.given + letter).certified}" for letter in "AL"]
    assert " ".join(ends) == row.expected


@rows("HIN-R9")
def test_the_date_is_in_the_model_year_or_the_year_before_rarely_two(row: Row) -> None:
    assert (number(row.given).certified, number(row.given).problems) == (row.expected, ())
    assert (number("ABC12345C595").certified, number("ABC12345C595").problems) == ("1995-03", ())
    odd = number("ABC12345L395")
    assert (odd.certified, odd.valid, "two years before" in odd.problems[0]) == ("1993-12", True, True)
    for digit in "012678":  # three years before and one after are just outside
        found = number(f"ABC12345C{digit}95")
        assert (found.valid, found.certified, found.model_year) == (False, None, 1995)
        assert f"Year digit {digit} fits none of 1993 to 1995" in found.problems[0]


@rows("HIN-B..")
def test_what_breaks_a_rule_is_invalid_and_named(row: Row) -> None:
    assert not number(row.given).valid
    assert row.expected in number(row.given).problems[0]


@pytest.mark.parametrize("gap", ["-", " ", "/", "\u2011", "\u200b"])
def test_separators_are_reported_and_the_parts_still_read(gap: str) -> None:
    text = gap.join(("abc", "12345", "L4", "95"))
    found = number(text)
    assert (found.text, found.number, found.valid) == (text, "ABC12345L495", False)
    assert (found.maker_code, found.serial, found.certified) == ("ABC", "12345", "1994-12")
    assert number(" abc12345l495\n").problems == (), "blanks around it and small letters are the note's own"


@pytest.mark.parametrize("sign", ["\u0665", "\x00", "ß", "\uff21", "\ud800"])
def test_signs_that_are_no_english_letters_or_digits_are_named(sign: str) -> None:
    found = number(f"ABC1234{sign}L495")
    assert (found.format, found.valid) == (hullnumber.NOT_RECOGNISED, False)
    assert f"Character 8 is U+{ord(sign):04X}" in found.problems[0]


@pytest.mark.parametrize("text", ["THUNDERSTORM", "12345678901234", "transportation", "ABC12345LXY5"])
def test_twelve_or_fourteen_characters_of_another_layout_are_not_recognised(text: str) -> None:
    found = number(text)
    assert (found.format, found.valid, found.serial) == (hullnumber.NOT_RECOGNISED, False, None)
    assert "no published form" in found.problems[0]
    assert number(" ").problems == ("No number is written down.", hullnumber._AGAIN)


@cases("""
ending named form
LO95 | Character 10 is O | US since August 1984
L4O5 | Characters 11 and 12 are O5 | US since August 1984
M8OK | Characters 10 and 11 are 8O | US 1972 to 1984, model year
M495 | Character 12 is 5 | US 1972 to 1984, model year
12T2 | It ends in 12T2 | US 1972 to 1984, month and year
0072 | month 00, which is none | US 1972 to 1984, month and year
""")
def test_a_slip_in_the_ending_is_named_with_its_place(ending: str, named: str, form: str) -> None:
    found = number("ABC12345" + ending)
    assert (found.valid, found.format, found.certified) == (False, form, None)
    assert named in found.problems[0]


@cases("""
ending dated valid word
G485 | 1984-07 | True | before this form was required ; H485 | 1984-08 | True | -
1072 | 1972-10 | True | before numbers were required ; 1172 | 1972-11 | True | -
0172 | 1972-01 | True | before numbers were required ; 1271 | None | False | fits no year
0784 | 1984-07 | True | - ; 0884 | 1984-08 | False | after this form ended
M73C | 1972-10 | True | before numbers were required ; M73D | 1972-11 | True | -
M72E | None | False | fits no year ; M72F | 1972-01 | True | before numbers were required
M84L | 1984-07 | True | - ; M85A | 1984-08 | False | after this form ended
M20A | None | False | fits no year
""")
def test_each_form_has_its_time(ending: str, dated: str, valid: str, word: str) -> None:
    """Earlier than required is odd; an old form after 31 July 1984 is invalid; other years aren't read."""
    found = number("ABC12345" + ending)
    assert (str(found.certified), str(found.valid)) == (dated, valid)
    assert word in (found.problems or ("-",))[0]


@cases("""
ending dated year valid
E626 | 2026-05 | 2026 | True ; F626 | 2026-06 | 2026 | False ; E627 | 2026-05 | 2027 | True
E628 | 2026-05 | 2028 | True ; E629 | None | None | False ; L484 | 1984-12 | 1984 | True
L483 | None | None | False ; C400 | None | 2000 | False ; C000 | 2000-03 | 2000 | True
C900 | 1999-03 | 2000 | True
""")
def test_the_decade_fits_the_model_year_and_the_report(
    ending: str, dated: str, year: str, valid: str
) -> None:
    found = number("ABC12345" + ending)
    assert (str(found.certified), str(found.model_year), str(found.valid)) == (dated, year, valid)
    assert number("ABC12345C505", datetime.date(1999, 1, 1)).model_year is None, "the report day counts"
    assert not number("ABC12345M82H", datetime.date(1980, 1, 1)).valid


def test_the_layout_with_a_country_code_says_that_it_is_recalled() -> None:
    """HIN-R7 is from memory, so this asserts how the layout is declared, not that it is right."""
    with pytest.raises(AssertionError, match="no oracle"):
        rows("HIN-R7")
    found = number("XX-ABC12345L495")
    assert found.format == hullnumber.WITH_COUNTRY
    assert any("layout is from memory" in point for point in found.cannot_tell)


def test_the_encyclopaedias_own_example_is_not_followed() -> None:
    """HIN-R7: it reads A3 as January 2013 beside model year 1999, which contradict each other."""
    found = number("GB-ABC00042-A3-99")
    assert (found.country, found.maker_code, found.serial) == ("GB", "ABC", "00042")
    assert (found.valid, found.certified, found.model_year) == (False, None, 1999)
    assert "fits none of 1997 to 1999" in found.problems[0]


def test_separators_and_country_codes() -> None:
    """Hyphens break a rule in a US marking only, and 33 CFR 181.27 names "US-" as the country of origin."""
    assert number("XX-ABC-12345-L4-95").problems == number("US-ABC12345L495").problems == ()
    assert not number("US-ABC-12345-L495").valid
    assert number("XXABC12345L495").valid
    assert "No hyphen stands after XX" in number("XXABC12345L495").problems[0]
    for ending in ("M80K", "1272"):
        found = number(f"XX-ABC12345{ending}")
        assert (found.valid, found.certified) == (False, None)
        assert "1972 to 1984" in found.problems[0]


@cases("text ; ABC12345L495 ; ABC12345M80K ; ABC123451272 ; XX-ABC12345L495 ; nonsense")
def test_no_number_is_called_genuine(text: str) -> None:
    words = " ".join(number(text).cannot_tell)
    assert "genuine or has been altered" in words
    assert "title, registration and listing" in words
    assert number(text).sources
    assert ("decade is inferred" in words) is text.endswith("L495")


def test_what_a_valid_number_tells() -> None:
    """33 CFR 175.3: a model year is 1 June to 31 July of the next year, named for the year it ends in."""
    told = dict(number("XX-ABC12345L495").tells)
    assert list(told) == ["Form", "Country code", "Maker code", "Serial", "Date", "Model year"]
    assert told["Date"].startswith("December 1994")
    assert "Model year" not in dict(number("ABC123451272").tells)
    assert "August 1979 to July 1980" in dict(number("ABC12345M80K").tells)["Model year"]
    for ending, lies in (
        ("F394", "lies"),
        ("E394", "does not lie"),
        ("G494", "lies"),
        ("H494", "does not lie"),
    ):
        words = dict(number("ABC12345" + ending).tells)["Model year"]
        assert f"the date {lies} between 1 June 1993 and 31 July 1994" in words


@cases("""
text shown
ABC12345L495 | ABC•••••L495 ; abc-12345-l495 | ABC•••••L495
ABC12345M80K | ABC•••••M80K ; ABC123451272 | ABC•••••1272
XX-ABC12345L495 | XX-ABC•••••L495 ; ABC12O45N495 | ABC•••••N495
ABC12345L4O5 | •••••••••••• ; ABC12345L49 | •••••••••••
ABCDEFGHIJKLMNOPQRSTUVWXYZ | ••••••••••••••
""")
def test_only_the_serial_becomes_dots_unless_its_place_is_unknown(text: str, shown: str) -> None:
    assert masked(number(text)) == shown


@cases("text ; ABC8V2W7L495 ; ABC8O2W7L495 ; XX-ABC8V2W7L495 ; ABC8V2W7L4O5 ; ABC8V2W7L49")
def test_the_view_for_the_public_holds_no_part_of_the_serial(text: str) -> None:
    view = masked_view(number(text))
    assert number(text).number not in repr(view)
    assert not [part for part in ("8V", "V2", "W7", "8O", "O2", "letter O") if part in repr(view)]
    assert view.problems or number(text).valid


def test_the_view_for_the_public_keeps_what_is_no_secret() -> None:
    """Maker code and date stay where the form is clear; else nothing that was taken for them does."""
    plain = number("XX-ABC8V2W7L495")
    view = masked_view(plain)
    assert (view.country, view.maker_code, view.serial) == ("XX", "ABC", "•••••")
    assert (view.certified, view.model_year, view.tells) == ("1994-12", 1995, plain.tells)
    barred = masked_view(number("ABC8O2W7N495"))
    assert [problem.partition(" (")[0] for problem in barred.problems[:1]] == [
        "The serial holds a letter that no serial may hold"
    ]
    assert "month letter" in barred.problems[1]
    assert masked_view(number("ABC8V2W7L495")).problems == ()
    unclear = masked_view(number("ABC8V2W7L4O5"))
    assert unclear.problems == ("It has 12 characters and is not laid out like any known form.",)
    assert (unclear.country, unclear.maker_code, unclear.serial) == (None, None, None)
    assert (unclear.certified, unclear.model_year, unclear.tells) == (None, None, ())


SPELLED = "ZZZ41207C515 ; zzz41207c515 ; ZZZ-41207-C515 ; ZZZ 4120 7C5 15 ; Z Z Z 4 1 2 0 7 C 5 1 5"


@pytest.mark.parametrize("spelled", packed(SPELLED))
@pytest.mark.parametrize("written", ["ZZZ41207C515", "ZZZ-41207-C515"])
def test_every_spelling_of_a_value_is_found(written: str, spelled: str) -> None:
    found = spellings(written).search(f"photo_{spelled}.jpg shows it")
    assert found is not None
    assert found.group() == spelled


def test_other_values_and_tiny_or_huge_ones_are_not_found() -> None:
    assert spellings("ZZZ41207C515").search("ZZZ41208C515") is None
    assert spellings("ab1").search("ab1") is None
    assert spellings("ab12").search("AB-12") is not None
    assert spellings("a" * 64).search("a" * 64) is not None
    assert spellings("a" * 65).search("a" * 65) is None


FOUND = """
XX-ZZZ41207C515 ; XXZZZ41207C515 ; XX ZZZ 41207 C5 15 ; ZZZ12345M80K ; ZZZ-12345-M80K ; ZZZ123451272
zzz defg1 l495 ; zzzdefghl495 ; zzz_12345_12_72 ; zzz 12345 l4 95 ; ZZZDEFGHL495 ; ZZZ DEFGH L495
ZZZ AB 123 C515 ; ZZZDEFGHM80K ; ZZZ DEFGH M8 0K ; zzz 12345 l3 95 ; ZZZ\uff1412\u06607C515
"""


@pytest.mark.parametrize("text", packed(SPELLED) + packed(FOUND))
def test_anything_of_hull_number_form_is_found_in_text(text: str) -> None:
    for before, after in (("", ""), ("stamped ", ", faint"), ("(", ")"), ("hull_", ".jpg"), ("é", "é")):
        assert find_like(before + text + after) == [(len(before), len(before + text))], before + text + after
    # a label glued in front and a word before stay
    assert find_like(f"HIN{text}" if text.isalnum() else f"HIN {text}")[0][0] >= 3
    assert find_like("cut in ZZZ41207C515 and ZZZ41208C515") == [(7, 19), (24, 36)]


LEFT_ALONE = """
The fuel tank 250 litres ; THE FUEL TANK A 250 ; fuel-tank-e250.jpg ; The motor a 250 was new ; ABC123451372
The motor a 223 was new ; did 1200 km 75 l of fuel ; the 12500 a 120 V supply ; was 21500 1272 times
ABC12345N495 ; ZZZ----41207C515 ; zzz 12345 l2 95
USD 12,345.00 or EUR 21500 in 2026-05-14 ; https://example.com/thunderstorms/12345678 ; ABC123451285
ABC12345L4955 ; 1ABC12345L495 ; T8-55120, 0412-ZZ, XX 0412 ZZ ; riser-port-face-12.jpg ; THE OLD 12 B 415
"""


@pytest.mark.parametrize("text", packed(LEFT_ALONE))
def test_words_prices_and_other_numbers_are_left_alone(text: str) -> None:
    assert find_like(text) == []


SIGNS = st.text(alphabet=string.ascii_letters + string.digits + "IOQM -/•\n\x00\u0660\uff21ß", max_size=20)
FORMED = st.from_regex(
    r"(XX-|US-)?[A-Z]{3}[A-Z0-9]{5}([A-Z][0-9]{3}|M[0-9]{2}[A-Z]|[0-9]{4})", fullmatch=True
)


@given(st.one_of(st.text(), SIGNS, FORMED), st.dates())
@example("ABC" + "-1" * 50_000, TODAY)  # a pattern that backtracks would not end
@example("A_" * 50_000, TODAY)
@example("\ud800" * 12, TODAY)
@example("ABC12345L495", datetime.date.max)
@example("ABC12345L495", datetime.date.min)
@settings(max_examples=300, deadline=None)
def test_nothing_is_raised_and_the_serial_is_never_shown(text: str, latest: datetime.date) -> None:
    found = read(text, latest=latest)
    assert found.text == text
    assert found.valid or found.problems
    assert not (found.valid and found.format == hullnumber.NOT_RECOGNISED)
    assert found.certified is None or re.fullmatch(r"[0-9]{4}-(0[1-9]|1[0-2])", found.certified)
    shown = masked(found)
    assert found.serial not in shown if found.serial else set(shown) <= {"•"}
    assert (masked_view(found).text, masked_view(found).number) == (shown, shown)
    edges = [edge for span in find_like(text) for edge in span]
    assert edges == sorted(edges)
    assert all(0 <= edge <= len(text) for edge in edges)


@given(FORMED)
@settings(max_examples=200, deadline=None)
def test_a_number_written_in_free_text_is_found_by_its_spellings(text: str) -> None:
    shown = masked(number(text))
    told = f"see {text.lower()} and {' '.join(number(text).number)}."
    assert spellings(text).sub(shown, told) == f"see {shown} and {shown}."


def _open(found: hullnumber.HullNumber) -> list[str]:
    return [text for text in found.cannot_tell if "second number" in text or "Two are due" in text]


@pytest.mark.parametrize("second", ["ZZZ41207C515", "zzz-41207-c515", "ZZZ 41207 C515"])
def test_a_second_number_that_agrees_is_told_and_no_longer_open(second: str) -> None:
    """Whoever read both is not sent to look for the hidden one again."""
    alone, both = (read("ZZZ41207C515", latest=TODAY, second=s) for s in ("", second))
    assert _open(alone)
    assert not _open(both)
    assert both.tells == (*alone.tells, ("Second number", "the same, character by character"))
    assert (both.problems, both.valid) == (alone.problems, True)
    old = read("ZZZ41207M79C", latest=TODAY, second="ZZZ41207M79C")
    assert not _open(old)
    assert len(old.cannot_tell) == len(read("ZZZ41207M79C", latest=TODAY).cannot_tell) - 1


@pytest.mark.parametrize(
    ("second", "said"),
    [
        (
            "ZZZ41287C516",
            "The second number is another one: not the same at 7, 12 (two alike: 33 CFR 181.23).",
        ),
        ("ZZZ41207C51", "The second number has 11 characters, the first 12 (two alike: 33 CFR 181.23)."),
    ],
)
def test_a_second_number_that_differs_is_a_problem_that_shows_no_character(second: str, said: str) -> None:
    """It is told where the two are unlike; neither number stands in the sentence, as in public ones."""
    found = read("ZZZ41207C515", latest=TODAY, second=second)
    assert found.problems[0] == said
    assert found.tells[-1] == ("Second number", "not the same as the first")
    assert not _open(found)
    assert said in masked_view(found).problems
    assert "41207" not in repr(masked_view(found))
