"""Reads a hull identification number, says what it tells and what it can't, and hides its serial.

Source: 33 CFR 181.23, 181.25, 181.27 and 175.3, read in texts of 2005 to 2024. The two forms of 1972 to 1984
come from three format sheets that agree; the rule of 1972 was not read. The form with a country code is
recalled: only the abstract of ISO 10087 was read, and 33 CFR 181.27 for the characters "US-".
"""

from __future__ import annotations

import datetime
import re
import unicodedata
from dataclasses import dataclass, replace

CURRENT = "US since August 1984"
STRAIGHT_YEAR = "US 1972 to 1984, month and year"
MODEL_YEAR = "US 1972 to 1984, model year"
WITH_COUNTRY = "with country code"
NOT_RECOGNISED = "not recognised"

MARKINGS_REQUIRED = 2  # 33 CFR 181.23(a)
REQUIRED_SINCE = datetime.date(1972, 11, 1)  # a surveyors' magazine, February 2000, and three pages
CURRENT_SINCE = datetime.date(1984, 8, 1)  # the format sheets
SLOWEST = 2  # [years] from the date to the model year; a builders' mailing list: "rarely two"
LOOK_ALIKE = {"I": "1", "O": "0", "Q": "0"}  # barred by 33 CFR 181.25(b); what each may be instead
DOT = "•"

_MONTHS = "January February March April May June July August September October November December".split()  # noqa: SIM905
_LETTERS = "ABCDEFGHIJKL"  # I is September like any other month: the bar is on the serial only
_OLD_LETTERS = "FGHIJKLABCDE"  # in order from January: the old model year began with A in August
_LONGEST = 14  # characters, and so the most dots that stand for a number of no known form
_GAP = r"[\s\u00ad\u200b-\u200d\u2010-\u2015\u2060\u2212\ufeff/_.*`-]"
_GAPS = f"{_GAP}{{0,3}}"
_HYPHEN = r"[\u2010-\u2015\u2212-]"

_AGAIN = "Read it again on the boat, outside at the stern to starboard as a rule (from memory), and hidden."
_COMPARE = "Compare with the hidden marking and the papers."
_SEPARATED = "Signs part the characters, against 33 CFR 181.25: look whether they do so on the boat."
_OLD_WITH_COUNTRY = f"A country code does not go with an ending of 1972 to 1984 (recalled). {_COMPARE}"
_ALTERED = "Whether the number is genuine or has been altered: look closely at the marking itself."
_PAPERS = "Whether it agrees with the papers: compare each letter with title, registration and listing."
_MAKER = "Who the maker is: the code has to be looked up in the published register of maker codes."
_TWO = (
    f"Whether the second number agrees: {MARKINGS_REQUIRED} are required on each boat, and none may be used "
    "for two boats (33 CFR 181.23). Find and read the hidden one as well."
)
_DECADE = "The decade, for certain: one digit gives the year, so the decade is inferred from the model year."
_OLD = "Whether the rule of 1972 was met: it was not read. Two are due today (33 CFR 181.23): look for both."
_RECALLED = "Whether its standard is kept: the layout is recalled (read: ISO 10087 abstract, 33 CFR 181.27)."
_UNREAD = (
    "Anything of the boat: nothing is read out of a number of no known form. Old, home-built and foreign "
    "boats differ lawfully; one built or imported before 1 November 1972 need not carry a number."
)
_RULE = ("cfr-33-181.23", "cfr-33-181.25")
_OLD_SOURCES = (*_RULE, "hull-number-format-sheets")
_COUNTRY_SOURCES = (*_RULE, "cfr-33-175.3", "cfr-33-181.27", "iso-10087-abstract")
_BY_FORM = {  # what each form can't tell, and where it is from
    CURRENT: ((_ALTERED, _PAPERS, _MAKER, _TWO, _DECADE), (*_RULE, "cfr-33-175.3")),
    WITH_COUNTRY: ((_ALTERED, _PAPERS, _MAKER, _TWO, _DECADE, _RECALLED), _COUNTRY_SOURCES),
    MODEL_YEAR: ((_ALTERED, _PAPERS, _MAKER, _OLD), _OLD_SOURCES),
    STRAIGHT_YEAR: ((_ALTERED, _PAPERS, _MAKER, _OLD), _OLD_SOURCES),
    NOT_RECOGNISED: ((_UNREAD, _ALTERED, _PAPERS), _OLD_SOURCES),
}


@dataclass(frozen=True)
class HullNumber:
    """A hull number as read.

    text: as written in the note.
    number: upper case, without separators.
    valid: no rule that applies is broken; says nothing of genuine or false.
    problems: sentences, broken rules first, then what is only odd and deserves a look.
    format: one of the five constants above.
    country: two letters, or None.
    maker_code: three characters, or None where the form isn't recognised.
    serial: five characters, or None where the form isn't recognised.
    certified: "YYYY-MM" of certification (of manufacture where none is required); None if unreadable.
    model_year: calendar year it is named for; None where the form carries none or no year fits.
    tells: (label, plain words); never holds the serial itself.
    cannot_tell: sentences; what stays open and how to settle it.
    sources: ids of what was read.
    """

    text: str
    number: str
    valid: bool
    problems: tuple[str, ...]
    format: str
    country: str | None
    maker_code: str | None
    serial: str | None
    certified: str | None
    model_year: int | None
    tells: tuple[tuple[str, str], ...]
    cannot_tell: tuple[str, ...]
    sources: tuple[str, ...]


@dataclass(frozen=True)
class _Ending:
    """The last four characters: (year, month), model year, rules broken, oddities."""

    certified: tuple[int, int] | None = None
    model_year: int | None = None
    broken: tuple[str, ...] = ()
    odd: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        return f"{_MONTHS[self.certified[1] - 1]} {self.certified[0]}" if self.certified else ""


def read(text: str, *, latest: datetime.date) -> HullNumber:
    """A number taken apart and checked; any text is taken, and nothing is raised.

    Parameters: text as written; latest, the report day, which settles the century and bars later dates.
    Source: 33 CFR 181.25; the format sheets for 1972 to 1984.
    """
    number = _run_together(text)
    form = _form(number)
    if form == NOT_RECOGNISED:
        return _unread(text, number)
    country, maker, serial = number[:-12] or None, number[-12:-9], number[-9:-4]
    ending = _ending(form, number[-4:], latest)
    separated, odd = _marking_problems(text, country, maker)
    broken = separated + _serial_problems(serial) + ending.broken
    return HullNumber(
        text=text,
        number=number,
        valid=not broken,
        problems=broken + odd + ending.odd,
        format=form,
        country=country,
        maker_code=maker,
        serial=serial,
        certified="{}-{:02d}".format(*ending.certified) if ending.certified else None,
        model_year=ending.model_year,
        tells=tuple(_tells(form, country, maker, ending)),
        cannot_tell=_BY_FORM[form][0],
        sources=_BY_FORM[form][1],
    )


def required(built: datetime.date) -> bool:
    """Whether a boat built or imported on that day had to carry a number (from 1 November 1972)."""
    return built >= REQUIRED_SINCE


def masked(number: HullNumber) -> str:
    """The number for the public: maker code and dates stay, the serial becomes as many dots.

    A number of no known form becomes dots altogether, at most 14: nobody knows where its serial stands.
    """
    signs = number.number
    if number.serial is None or not re.fullmatch("[A-Z][0-9]{3}|M[0-9]{2}[A-Z]|[0-9]{4}", signs[-4:]):
        return DOT * min(len(signs), _LONGEST)
    country = f"{number.country}-" if number.country else ""
    return f"{country}{number.maker_code}{DOT * len(number.serial)}{signs[-4:]}"


def masked_view(number: HullNumber) -> HullNumber:
    """The whole reading for the public: no field holds the serial or a character of it."""
    shown = masked(number)
    if number.serial is None or not shown.endswith(number.number[-4:]):
        # Where the ending isn't clear, what was taken for the maker code may be part of the serial.
        problem = f"It has {len(number.number)} characters and is not laid out like any known form."
        hidden = replace(number, text=shown, number=shown, problems=(problem,), tells=())
        return replace(hidden, country=None, maker_code=None, serial=None, certified=None, model_year=None)
    bad = _serial_problems(number.serial)
    barred = ("The serial holds a letter that no serial may hold (33 CFR 181.25(b)).",) if bad else ()
    problems = barred + tuple(problem for problem in number.problems if problem not in bad)
    return replace(number, text=shown, number=shown, serial=DOT * 5, problems=problems)


def spellings(text: str) -> re.Pattern[str]:
    """A pattern that finds this value in any case, with up to three other signs between its characters.

    Under four characters it finds nothing, since it would hide half a page; over 64 it is no hull number.
    """
    number = _run_together(text)
    if not 4 <= len(number) <= 64:
        return re.compile(r"(?!)")
    return re.compile(r"[\W_]{0,3}".join(map(re.escape, number)), re.IGNORECASE)


def find_like(text: str) -> list[tuple[int, int]]:
    """Spans (start, end) of whatever has the form of a hull number, in order, without overlaps.

    Wide and foreign digits count as digits. Words and prices are no match: letters and digits have to stand
    as in a published form, and groups parted by blanks must not look like a sentence.
    """
    spans: list[tuple[int, int]] = []
    for match in _LIKE.finditer(_plain(text)):
        if (not spans or match.start("whole") >= spans[-1][1]) and _likely(match):
            spans.append(match.span("whole"))
    return spans


def _run_together(text: str) -> str:
    # Only English letters change case: "ß" would become two characters and shift all that follow.
    return re.sub("[a-z]+", lambda run: run[0].upper(), re.sub(_GAP, "", text))


def _form(number: str) -> str:
    """The form by length, and by character 9: a letter A to L, the letter M, or a digit."""
    if not (number.isascii() and number.isalnum()) or len(number) not in (12, 14):
        return NOT_RECOGNISED
    month, digits = number[-4], sum(map(str.isdigit, number[-3:]))
    # One slip of the pen is let through so that it can be named; a plain word of twelve letters is not.
    if digits < (1 if month == "M" else 2):
        return NOT_RECOGNISED
    if len(number) == 14:
        return WITH_COUNTRY if number[:2].isalpha() else NOT_RECOGNISED
    return MODEL_YEAR if month == "M" else STRAIGHT_YEAR if month.isdigit() else CURRENT


def _unread(text: str, number: str) -> HullNumber:
    wrong = [
        f"Character {place} is U+{ord(sign):04X}, neither an English letter nor one of the digits 0 to 9."
        for place, sign in enumerate(number[:_LONGEST], start=1)
        if not (sign.isascii() and sign.isalnum())
    ][:3]
    if not number:
        wrong.append("No number is written down.")
    elif len(number) not in (12, 14):
        wrong.append(f"It has {len(number)} characters; a US number has 12, one with a country code 14.")
    elif not wrong:
        wrong.append("It is laid out like no published form: see its first two and last four characters.")
    nothing = (None, None, None, None, None, ())
    problems = (*wrong, _AGAIN)
    return HullNumber(text, number, False, problems, NOT_RECOGNISED, *nothing, *_BY_FORM[NOT_RECOGNISED])


def _marking_problems(text: str, country: str | None, maker: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What is broken and what is odd in the marking; "US-" in front is allowed (33 CFR 181.27)."""
    marking, odd = text.strip(), []
    if country and not re.match(rf"[A-Za-z]{{2}}\s*{_HYPHEN}", marking):
        odd.append(f"No hyphen stands after {country} (33 CFR 181.27 for US-, else recalled). {_COMPARE}")
    if not maker.isalpha():  # the rule that was read doesn't bar digits here, so this breaks nothing
        odd.append(f"Maker code {maker} holds a digit; as a rule it is letters (from memory). {_COMPARE}")
    if country == "US":
        marking = re.sub(rf"^{_GAP}*U{_GAP}*S{_GAP}*", "", marking, flags=re.IGNORECASE)
    apart = country in (None, "US") and re.search(_GAP, marking)
    return ((_SEPARATED,) if apart else ()), tuple(odd)


def _serial_problems(serial: str) -> tuple[str, ...]:
    return tuple(
        f"Character {place} is the letter {sign}, which no serial may hold (33 CFR 181.25(b)). "
        f"Look whether it is a {LOOK_ALIKE[sign]}."
        for place, sign in enumerate(serial, start=4)
        if sign in LOOK_ALIKE
    )


def _ending(form: str, tail: str, latest: datetime.date) -> _Ending:
    if form == STRAIGHT_YEAR:
        ending = _straight_year(tail)
    elif form == MODEL_YEAR:
        ending = _old_model_year(tail)
    elif tail[0] == "M" or tail[0].isdigit():
        ending = _Ending(broken=(_OLD_WITH_COUNTRY,))
    else:
        ending = _current(tail, latest)
    # 33 CFR 181.25(c): the date is no later than the day the boat leaves the place where it was made.
    if ending.certified and ending.certified > (latest.year, latest.month):
        late = f"{ending.words} is after the day of this report. {_COMPARE}"
        return replace(ending, broken=(*ending.broken, late))
    return ending


def _current(tail: str, latest: datetime.date) -> _Ending:
    """Month letter, last digit of the year, two digits of the model year (33 CFR 181.25(c), (d))."""
    letter, digit, short = tail[0], tail[1], tail[2:]
    broken = []
    if letter not in _LETTERS:
        broken.append(f"Character 9 is {letter}, no month letter (A January to L December). {_COMPARE}")
    if not digit.isdigit():
        broken.append(f"Character 10 is {digit}; the last digit of the year belongs there. {_COMPARE}")
    if not short.isdigit():
        broken.append(f"Characters 11 and 12 are {short}; the model year's digits belong there. {_COMPARE}")
        return _Ending(broken=tuple(broken))
    # No number of this form is older than 1984, so two digits give one year for a hundred years.
    first, last = CURRENT_SINCE.year, latest.year + SLOWEST
    fits = [year for year in range(first, last + 1) if year % 100 == int(short)]
    if not fits:
        broken.append(f"Model year {short} fits no year from {first} to {last}. {_COMPARE}")
    if broken:
        return _Ending(model_year=fits[-1] if fits else None, broken=tuple(broken))
    return _dated(_LETTERS.index(letter) + 1, digit, fits[-1])


def _dated(month: int, digit: str, model_year: int) -> _Ending:
    """The year is the one with that digit that is the model year or at most two years before it."""
    years = [year for year in range(model_year - SLOWEST, model_year + 1) if year % 10 == int(digit)]
    if not years:
        wrong = f"Year digit {digit} fits none of {model_year - SLOWEST} to {model_year}: no date. {_COMPARE}"
        return _Ending(model_year=model_year, broken=(wrong,))
    ending = _Ending((years[0], month), model_year)
    odd = []
    if years[0] == model_year - SLOWEST:
        odd.append(f"It is dated {years[0]}, two years before its model year, which is rare. {_COMPARE}")
    if (years[0], month) < (CURRENT_SINCE.year, CURRENT_SINCE.month):
        odd.append(f"{ending.words} is before this form was required (1 August 1984). {_COMPARE}")
    return replace(ending, odd=tuple(odd))


def _old_model_year(tail: str) -> _Ending:
    """M, two digits of the model year, and a month letter from A for August of the year before."""
    short, letter = tail[1:3], tail[3]
    broken = []
    if not short.isdigit():
        broken.append(f"Characters 10 and 11 are {short}; the model year's digits belong there. {_COMPARE}")
    if letter not in _OLD_LETTERS:
        broken.append(f"Character 12 is {letter}; after an M it is a letter, A August to L July. {_COMPARE}")
    if broken:
        return _Ending(broken=tuple(broken))
    model_year = 1900 + int(short)
    year = model_year - 1 if letter in "ABCDE" else model_year
    return _old(_Ending((year, _OLD_LETTERS.index(letter) + 1), model_year))


def _straight_year(tail: str) -> _Ending:
    """Two digits of the month and two of the year; this form carries no model year."""
    if not tail.isdigit():
        return _Ending(broken=(f"It ends in {tail}; month and year in digits belong there. {_COMPARE}",))
    if not 1 <= int(tail[:2]) <= 12:
        return _Ending(broken=(f"Characters 9 and 10 say month {tail[:2]}, which is none. {_COMPARE}",))
    return _old(_Ending((1900 + int(tail[2:]), int(tail[:2]))))


def _old(ending: _Ending) -> _Ending:
    """Numbers before November 1972 were allowed, though not required; from August 1984 the form was wrong."""
    dated = ending.certified or (0, 0)
    if dated < (REQUIRED_SINCE.year, 1):
        return _Ending(broken=(f"Its year fits no year from 1972 to 1984, so no date is read. {_COMPARE}",))
    if dated >= (CURRENT_SINCE.year, CURRENT_SINCE.month):
        late = f"{ending.words} is after this form ended (31 July 1984). {_COMPARE}"
        return replace(ending, broken=(late,))
    if dated < (REQUIRED_SINCE.year, REQUIRED_SINCE.month):
        early = f"{ending.words} is before numbers were required (1 November 1972). {_COMPARE}"
        return replace(ending, odd=(early,))
    return ending


def _tells(form: str, country: str | None, maker: str, ending: _Ending) -> list[tuple[str, str]]:
    told = [("Form", form), ("Country code", country or "")][: 2 if country else 1]
    told.append(("Maker code", f"{maker}, given to one builder or importer"))
    told.append(("Serial", "five characters of the maker's own choice"))
    if ending.certified:
        told.append(("Date", f"{ending.words}, of certification, or of manufacture where none is required"))
    if ending.model_year:
        told.append(("Model year", _model_year_words(form, ending.model_year, ending.certified)))
    return told


def _model_year_words(form: str, year: int, dated: tuple[int, int] | None) -> str:
    if form == MODEL_YEAR:
        return f"{year}, in this form August {year - 1} to July {year}"
    if dated is None:
        return str(year)
    side = "in" if (year - 1, 6) <= dated <= (year, 7) else "outside"
    return f"{year}; the date lies {side} 1 June {year - 1} to 31 July {year} (model year by 33 CFR 175.3)"


def _plain(text: str) -> str:
    """The text at the same length, with wide letters and foreign digits as the plain ones they show."""
    if text.isascii():
        return text
    shown = (str(unicodedata.decimal(sign, unicodedata.normalize("NFKC", sign))) for sign in text)
    return "".join(new if len(new) == 1 else old for old, new in zip(text, shown, strict=True))


# A blank after a country code needs capitals: "in" or "on" before a number is no country.
_COUNTRY = rf"(?:[A-Za-z]{{2}}(?:{_HYPHEN}|(?=[A-Za-z]))|[A-Z]{{2}}{_GAPS})?"
_SERIAL = f"(?P<serial>{_GAPS.join(['[A-Za-z0-9]'] * 5)})"
_TAILS = (
    _GAPS.join(["[A-La-l]", *["[0-9]"] * 3]),
    _GAPS.join(["[Mm]", "[0-9]", "[0-9]", "[A-La-l]"]),
    f"(?:0{_GAPS}[1-9]|1{_GAPS}[0-2]){_GAPS}(?:7{_GAPS}[2-9]|8{_GAPS}[0-4])",
)
_WHOLE = _COUNTRY + _GAPS.join(["[A-Za-z]"] * 3 + [_SERIAL, f"(?P<tail>{'|'.join(_TAILS)})"])
# The lookahead finds overlapping candidates, so that an unlikely one doesn't swallow a likely one.
_LIKE = re.compile(f"(?<![A-Za-z0-9])(?=(?:HIN|CIN|hin|cin)?(?P<whole>{_WHOLE})(?![A-Za-z0-9]))")


def _likely(match: re.Match[str]) -> bool:
    """Whether a candidate is a number rather than words and figures of a sentence."""
    whole, serial, tail = match["whole"], match["serial"], _run_together(match["tail"])
    if whole.isalnum() or re.fullmatch(rf"[A-Za-z0-9](?:{_GAP}{{1,3}}[A-Za-z0-9])+", whole):
        return True  # in one piece, or spelled out sign by sign
    as_code = whole == whole.upper() or not re.search(r"\s", whole)
    figures = sum(sign.isdigit() for sign in serial)
    fits = tail[0] == "M" or (tail[0] in _LETTERS and (int(tail[3]) - int(tail[1])) % 10 <= SLOWEST)
    if figures == 0:  # "the motor a 250" is a sentence, "fuel-tank-e250" a file
        return fits and whole == whole.upper()
    if len(serial) > 5:  # "did 1200 km 75 l" is a sentence
        return as_code and figures >= 3
    return as_code or fits
