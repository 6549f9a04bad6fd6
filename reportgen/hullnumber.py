"""Reads a hull identification number, says what it tells and what it can't, and hides its serial.

A number that passes is only well formed: nothing here can say that it is genuine.

Source: 33 CFR 181.23, 181.25, 181.27 and 175.3, read in section text of 2005 to 2024. The two forms of 1972 to
1984 come from three format sheets that agree; the rule of 1972 itself was not read. The form with a country
code is recalled: only the abstract of ISO 10087 was read, and 33 CFR 181.27 for the characters "US-".
"""

from __future__ import annotations

import datetime
import re
import string
import unicodedata
from dataclasses import dataclass, replace

CURRENT = "US since August 1984"
STRAIGHT_YEAR = "US 1972 to 1984, month and year"
MODEL_YEAR = "US 1972 to 1984, model year"
WITH_COUNTRY = "with country code"
NOT_RECOGNISED = "not recognised"

MARKINGS_REQUIRED = 2  # 33 CFR 181.23(a)
REQUIRED_SINCE = datetime.date(1972, 11, 1)  # a surveyors' magazine, February 2000, and three pages
CURRENT_SINCE = datetime.date(1984, 8, 1)  # the format sheets; subpart published 9 September 1983
SLOWEST = 2  # years from certification to model year; a builders' mailing list: "rarely two"
LOOK_ALIKE = {"I": "1", "O": "0", "Q": "0"}  # the letters that 33 CFR 181.25(b) bars, and what they are taken for
DOT = "•"

_MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September",
           "October", "November", "December")  # fmt: skip
_CURRENT_LETTERS = "ABCDEFGHIJKL"  # A is January; I is a month like any other, the bar is on the serial only
_OLD_LETTERS = "FGHIJKLABCDE"  # in order from January: the old model year began with A in August
_LONGEST = 14  # characters, and so the most dots that stand for a number of no known form
_GAP = r"[\s\u00ad\u200b-\u200d\u2010-\u2015\u2060\u2212\ufeff/_.*`-]"
_UPPER = str.maketrans(string.ascii_lowercase, string.ascii_uppercase)

_CANNOT_ALWAYS = (
    "Whether the number is genuine or has been altered: look closely at the marking itself.",
    "Whether it agrees with the papers: compare it letter by letter with title, registration and listing.",
)
_MAKER = "Who the maker is: the code has to be looked up in the published register of maker codes."
_TWO = (
    "Whether the second number agrees: two are required on each boat, and no number may be used for two boats "
    "(33 CFR 181.23). Find and read the hidden one as well."
)
_DECADE = "The decade, for certain: one digit gives the year, so the decade is inferred from the model year."
_OLD = (
    "Whether the rule of 1972 was met, and whether it asked for a second number: its text was not read, the form "
    "is taken from three format sheets that agree. Two are required today (33 CFR 181.23): look for the hidden one."
)
_RECALLED = (
    "Whether the standard for numbers with a country code is met: its layout here is recalled, not read (only the "
    "abstract of ISO 10087 and, for the United States, 33 CFR 181.27 were)."
)
_UNREAD = (
    "Anything of the boat: nothing is read out of a number of no known form. Old, home-built and foreign boats "
    "differ lawfully, and one built or imported before 1 November 1972 need not carry a number."
)
_PLACE = "Read it again on the boat, as a rule outside at the stern to starboard (from memory), and on the hidden marking."


@dataclass(frozen=True)
class HullNumber:
    """A hull number as read.

    text: as written in the note.
    number: upper case, without separators.
    valid: no rule that applies is broken; says nothing about genuine or false.
    problems: sentences, broken rules first, then what is only odd and deserves a look.
    format: one of the five constants above.
    country: two letters, or None.
    maker_code: three characters, or None where the form isn't recognised.
    serial: five characters, or None where the form isn't recognised.
    certified: "YYYY-MM" of certification (of manufacture where none is required), or None where unreadable.
    model_year: calendar year it is named for, or None where the form carries none or no year fits.
    tells: (label, plain words); never holds the serial itself.
    cannot_tell: sentences; what the number leaves open and how to settle it.
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


def read(text: str, *, latest: datetime.date) -> HullNumber:
    """A number taken apart and checked; any text is taken, and nothing is raised.

    Parameters: text as written; latest, the report day, which settles the century and bars dates after it.
    Source: 33 CFR 181.25; the format sheets for 1972 to 1984.
    """
    number = _run_together(text)
    form = _form(number)
    if form == NOT_RECOGNISED:
        return _unread(text, number)
    country = number[:-12] or None
    maker, serial = number[-12:-9], number[-9:-4]
    ending = _not_after(_read_ending(form, number[-4:], latest), latest)
    broken = _separators(text, country) + _serial_problems(serial) + ending.broken
    return HullNumber(
        text=text,
        number=number,
        valid=not broken,
        problems=broken + _country_problems(text, country) + _maker_problems(maker) + ending.odd,
        format=form,
        country=country,
        maker_code=maker,
        serial=serial,
        certified=f"{ending.certified[0]}-{ending.certified[1]:02d}" if ending.certified else None,
        model_year=ending.model_year,
        tells=_tells(form, country, maker, ending),
        cannot_tell=_cannot_tell(form, country),
        sources=_sources(form, country, ending),
    )


def required(built: datetime.date) -> bool:
    """Whether a boat built or imported on that day had to carry a number (from 1 November 1972)."""
    return built >= REQUIRED_SINCE


def masked(number: HullNumber) -> str:
    """The number for the public: maker code and dates stay, the serial becomes as many dots.

    A number of no known form becomes dots altogether, at most 14, since nobody knows where its serial stands.
    """
    return _mask(number.number)


def masked_view(number: HullNumber) -> HullNumber:
    """The whole reading for the public: no field holds the serial or a character of it."""
    shown = masked(number)
    if number.serial is None:
        length = f"It has {len(number.number)} characters and no known form of hull number."
        return replace(number, text=shown, number=shown, problems=(length,))
    bad = _serial_problems(number.serial)
    problems = tuple(problem for problem in number.problems if problem not in bad)
    if bad:
        problems = ("The serial holds a letter that no serial may hold (33 CFR 181.25(b)).", *problems)
    tail_known = shown.endswith(number.number[-4:])
    return replace(
        number,
        text=shown,
        number=shown,
        serial=DOT * len(number.serial),
        # Without a known ending the places are in doubt, and a "maker code" may be part of the serial.
        maker_code=number.maker_code if tail_known else None,
        tells=number.tells if tail_known else (("Form", number.format),),
        problems=problems if tail_known else ("It does not end like any known form of hull number.",),
    )


def spellings(text: str) -> re.Pattern[str]:
    """A pattern that finds this value in any case and with up to three separators between characters.

    Values of fewer than four characters find nothing: they would hide half a page.
    """
    number = _run_together(text)
    if len(number) < 4:
        return re.compile(r"(?!)")
    if len(number) > 64:  # no number; a pattern of that size would be slow to build
        return re.compile(re.escape(text.strip()), re.IGNORECASE)
    return re.compile(r"[\W_]{0,3}".join(re.escape(sign) for sign in number), re.IGNORECASE)


def find_like(text: str) -> list[tuple[int, int]]:
    """Spans (start, end) of whatever has the form of a hull number, in order, without overlaps.

    Wide and foreign digits count as digits. Words and prices are no match: letters and digits have to stand as in
    one of the published forms, and groups parted by blanks have to look less like a sentence.
    """
    plain = _plain(text)
    hits = [match for pattern in (_GROUPED, _SCATTERED) for match in pattern.finditer(plain) if _likely(match)]
    spans = sorted((match.span("whole") for match in hits), key=lambda span: (span[0], -span[1]))
    kept: list[tuple[int, int]] = []
    for start, end in spans:
        if not kept or start >= kept[-1][1]:
            kept.append((start, end))
    return kept


def mask_text(text: str, number: HullNumber | None = None) -> str:
    """The text with this number in every spelling, and all that looks like a hull number, masked."""
    if number is not None:
        shown = masked(number)
        text = spellings(number.text).sub(lambda _: shown, text)
    for start, end in reversed(find_like(text)):
        text = text[:start] + _mask(_run_together(_plain(text[start:end]))) + text[end:]
    return text


# ---- taking apart


def _run_together(text: str) -> str:
    # Only English letters change case: "ß" would become two characters and shift all that follow.
    return re.sub(_GAP, "", text).translate(_UPPER)


def _form(number: str) -> str:
    """The form by length, and by character 9: a letter A to L, the letter M, or a digit (HIN-R6 of the checks)."""
    if not (number.isascii() and number.isalnum()) or len(number) not in (12, 14):
        return NOT_RECOGNISED
    month, rest = number[-4], number[-3:]
    digits = sum(sign.isdigit() for sign in rest)
    # One slip of the pen is let through so that it can be named; a plain word of twelve letters is not.
    if digits < (1 if month == "M" else 2):
        return NOT_RECOGNISED
    if len(number) == 14:
        return WITH_COUNTRY if number[:2].isalpha() else NOT_RECOGNISED
    if month == "M":
        return MODEL_YEAR
    return STRAIGHT_YEAR if month.isdigit() else CURRENT


def _unread(text: str, number: str) -> HullNumber:
    wrong = [
        f"Character {place} is {_name(sign)}, neither an English letter nor one of the digits 0 to 9."
        for place, sign in enumerate(number[:_LONGEST], start=1)
        if not (sign.isascii() and sign.isalnum())
    ]
    if not number:
        wrong.append("No number is written down.")
    elif len(number) not in (12, 14):
        wrong.append(f"It has {len(number)} characters; a US number has 12, one with a country code 14.")
    elif not wrong:
        wrong.append("It does not end like any published form: month letter, digit and two digits; M, two digits "
                     "and a letter; or four digits; with 14 characters the first two are letters.")  # fmt: skip
    return HullNumber(text, number, False, (*wrong[:3], _PLACE), NOT_RECOGNISED, None, None, None, None, None,
                      (), (_UNREAD, *_CANNOT_ALWAYS), ("cfr-33-181.25", "hull-number-format-sheets"))  # fmt: skip


def _name(sign: str) -> str:
    return f'"{sign}"' if sign.isascii() and sign.isprintable() else f"U+{ord(sign):04X}"


def _separators(text: str, country: str | None) -> tuple[str, ...]:
    """Hyphens, blanks and slashes are against the US rule only; "US-" in front is part of it (33 CFR 181.27)."""
    marking = text.strip()
    if country == "US":
        marking = re.sub(rf"^{_GAP}*[Uu]{_GAP}*[Ss]{_GAP}*", "", marking)
    if country not in (None, "US") or not re.search(_GAP, marking):
        return ()
    return ("It is written with hyphens, blanks or other signs between the characters: a US number is run together "
            "(33 CFR 181.25). Look whether they are in the marking or only in the note.",)  # fmt: skip


def _country_problems(text: str, country: str | None) -> tuple[str, ...]:
    if country is None or re.match(rf"{_GAP}*[A-Za-z]{{2}}\s*[\u2010-\u2015\u2212-]", text):
        return ()
    return (f"No hyphen stands after the country code {country}, where one is usual (33 CFR 181.27 for US-, else "
            "recalled). Look at the marking.",)  # fmt: skip


def _serial_problems(serial: str) -> tuple[str, ...]:
    return tuple(
        f"Character {place} is the letter {sign}, which no serial may hold (33 CFR 181.25(b)). "
        f"Look whether it is a {LOOK_ALIKE[sign]}."
        for place, sign in enumerate(serial, start=4)
        if sign in LOOK_ALIKE
    )


def _maker_problems(maker: str) -> tuple[str, ...]:
    # The rule that was read doesn't bar digits here, so this breaks nothing.
    if maker.isalpha():
        return ()
    return (f"The maker code {maker} holds a digit; codes usually are three letters (from memory). "
            "Look for swapped characters and look the code up in the register.",)  # fmt: skip


# ---- dates


def _read_ending(form: str, tail: str, latest: datetime.date) -> _Ending:
    if form == STRAIGHT_YEAR:
        return _straight_year(tail)
    if form == MODEL_YEAR:
        return _old_model_year(tail)
    if form == WITH_COUNTRY and (tail[0] == "M" or tail[0].isdigit()):
        return _Ending(broken=("With a country code it should end in month letter, digit and model year (recalled), "
                               "yet it ends like a US number of 1972 to 1984. Look at the marking.",))  # fmt: skip
    return _current(tail, latest)


def _current(tail: str, latest: datetime.date) -> _Ending:
    """Month letter, last digit of the year, two digits of the model year (33 CFR 181.25(c), (d))."""
    letter, digit, short = tail[0], tail[1], tail[2:]
    broken = []
    if letter not in _CURRENT_LETTERS:
        broken.append(f"Character 9 is {letter}, which is not a month letter (A for January to L for December).")
    if not digit.isdigit():
        broken.append(f"Character 10 is {digit}; the last digit of the year belongs there.")
    if not short.isdigit():
        broken.append(f"Characters 11 and 12 are {short}; two digits of the model year belong there.")
        return _Ending(broken=tuple(broken))
    # Numbers of this form can't be older than 1984, so that two digits give one year for a hundred years.
    fits = [year for year in range(CURRENT_SINCE.year, latest.year + SLOWEST + 1) if year % 100 == int(short)]
    if not fits:
        broken.append(f"Model year {short} fits no year from {CURRENT_SINCE.year} to {latest.year + SLOWEST}. "
                      "Compare characters 11 and 12 with the hidden marking and the papers.")  # fmt: skip
        return _Ending(broken=tuple(broken))
    if broken:
        return _Ending(model_year=fits[-1], broken=tuple(broken))
    return _dated(_CURRENT_LETTERS.index(letter) + 1, int(digit), fits[-1])


def _dated(month: int, digit: int, model_year: int) -> _Ending:
    """The year is the last one with that digit that is the model year or at most two years before it."""
    years = [year for year in range(model_year - SLOWEST, model_year + 1) if year % 10 == digit]
    if not years:
        return _Ending(model_year=model_year, broken=(
            f"Year digit {digit} fits none of {model_year - SLOWEST} to {model_year}, so no date is read beside model "
            f"year {model_year}. Compare characters 10 to 12 with the hidden marking and the papers.",))  # fmt: skip
    odd = []
    if years[0] == model_year - SLOWEST:
        odd.append(f"It is dated {years[0]}, two years before model year {model_year}, which is rare (slow builders). "
                   "Compare with the hidden marking and the papers.")  # fmt: skip
    if (years[0], month) < (CURRENT_SINCE.year, CURRENT_SINCE.month):
        odd.append(f"It is dated {_MONTHS[month - 1]} {years[0]}, before this form was required (1 August 1984). "
                   "Look whether the characters were read rightly.")  # fmt: skip
    return _Ending((years[0], month), model_year, odd=tuple(odd))


def _old_model_year(tail: str) -> _Ending:
    """M, two digits of the model year, and a month letter from A for August of the year before."""
    short, letter = tail[1:3], tail[3]
    broken = []
    if not short.isdigit():
        broken.append(f"Characters 10 and 11 are {short}; two digits of the model year belong there.")
    if letter not in _OLD_LETTERS:
        broken.append(f"Character 12 is {letter}, which after an M is not a month letter (A for August to L for July). "
                      "Were the M itself the month, it would be none either (A to L).")  # fmt: skip
    if broken:
        return _Ending(broken=tuple(broken))
    model_year, month = 1900 + int(short), _OLD_LETTERS.index(letter) + 1
    return _old(model_year - 1 if letter in "ABCDE" else model_year, month, model_year)


def _straight_year(tail: str) -> _Ending:
    """Two digits of the month and two of the year; this form carries no model year."""
    if not tail.isdigit():
        return _Ending(broken=(f"It ends in {tail}; after a digit in place 9 four digits for month and year belong "
                               "there.",))  # fmt: skip
    month, year = int(tail[:2]), 1900 + int(tail[2:])
    if not 1 <= month <= 12:
        return _Ending(broken=(f"Month {tail[:2]} in characters 9 and 10 is none (01 to 12).",))
    return _old(year, month, None)


def _old(year: int, month: int, model_year: int | None) -> _Ending:
    """Numbers before November 1972 were allowed, though not required; after July 1984 the form was wrong."""
    if year < REQUIRED_SINCE.year:
        return _Ending(broken=(f"Year {year % 100:02d} does not fit a form used from 1972 to 1984, so no date is read. "
                               "Compare the last four characters with the hidden marking and the papers.",))  # fmt: skip
    named = f"It is dated {_MONTHS[month - 1]} {year}"
    broken, odd = (), ()
    if (year, month) >= (CURRENT_SINCE.year, CURRENT_SINCE.month):
        broken = (f"{named}, when this form was no longer allowed (until 31 July 1984). Look at the marking.",)
    elif (year, month) < (REQUIRED_SINCE.year, REQUIRED_SINCE.month):
        odd = (f"{named}, before numbers were required (1 November 1972). Look at the marking.",)
    return _Ending((year, month), model_year, broken, odd)


def _not_after(ending: _Ending, latest: datetime.date) -> _Ending:
    # 33 CFR 181.25(c): the date can be no later than the day the boat leaves the place where it was made.
    if ending.certified is None or ending.certified <= (latest.year, latest.month):
        return ending
    named = f"It is dated {_MONTHS[ending.certified[1] - 1]} {ending.certified[0]}, after the day of this report."
    return replace(ending, broken=(*ending.broken, f"{named} Look whether the characters were read rightly."))


# ---- words


def _tells(form: str, country: str | None, maker: str, ending: _Ending) -> tuple[tuple[str, str], ...]:
    told = [("Form", form)]
    if country:
        told.append(("Country code", country))
    told.append(("Maker code", f"{maker}, given to one builder or importer"))
    told.append(("Serial", "five characters of the maker's own choice"))
    if ending.certified:
        year, month = ending.certified
        told.append(("Date", f"{_MONTHS[month - 1]} {year}, of certification, or of manufacture where no "
                             "certification is required"))  # fmt: skip
    if ending.model_year:
        told.append(("Model year", _model_year_words(form, ending.model_year, ending.certified)))
    elif form == STRAIGHT_YEAR:
        told.append(("Model year", "none: this form carries no model year"))
    return tuple(told)


def _model_year_words(form: str, model_year: int, certified: tuple[int, int] | None) -> str:
    if form == MODEL_YEAR:
        return f"{model_year}, from August {model_year - 1} to July {model_year} in this form"
    if certified is None:
        return str(model_year)
    inside = (model_year - 1, 6) <= certified <= (model_year, 7)
    return (f"{model_year}; the date lies {'in' if inside else 'outside'} 1 June {model_year - 1} to 31 July "
            f"{model_year}, which 33 CFR 175.3 calls that model year")  # fmt: skip


def _cannot_tell(form: str, country: str | None) -> tuple[str, ...]:
    open_points = [*_CANNOT_ALWAYS, _MAKER]
    open_points.append(_OLD if form in (STRAIGHT_YEAR, MODEL_YEAR) else _TWO)
    if form in (CURRENT, WITH_COUNTRY):
        open_points.append(_DECADE)
    if country:
        open_points.append(_RECALLED)
    return tuple(open_points)


def _sources(form: str, country: str | None, ending: _Ending) -> tuple[str, ...]:
    ids = ["cfr-33-181.23", "cfr-33-181.25"]
    if country:
        ids += ["cfr-33-181.27", "iso-10087-abstract"]
    if form in (STRAIGHT_YEAR, MODEL_YEAR):
        ids.append("hull-number-format-sheets")
    elif ending.certified:
        ids.append("cfr-33-175.3")
    return tuple(ids)


# ---- hiding


_KNOWN_ENDING = re.compile(r"[A-Z][0-9]{3}|M[0-9]{2}[A-Z]|[0-9]{4}")


def _mask(number: str) -> str:
    if _form(number) == NOT_RECOGNISED or not _KNOWN_ENDING.fullmatch(number[-4:]):
        return DOT * min(len(number), _LONGEST)
    country = f"{number[:2]}-" if len(number) == 14 else ""
    return f"{country}{number[-12:-9]}{DOT * 5}{number[-4:]}"


def _plain(text: str) -> str:
    """The text at the same length, with wide letters and foreign digits as the plain ones they show."""
    return text if text.isascii() else "".join(map(_plain_sign, text))


def _plain_sign(sign: str) -> str:
    digit = unicodedata.decimal(sign, None)
    wide = unicodedata.normalize("NFKC", sign)
    return str(digit) if digit is not None else wide if len(wide) == 1 and wide.isascii() else sign


def _like(gap: str) -> re.Pattern[str]:
    """Pattern of all forms; `gap` may stand inside maker code and serial, separators between the parts always.

    The lookahead finds overlapping candidates, so that an unlikely one doesn't swallow a likely one.
    """
    part = f"{_GAP}{{0,3}}"
    letters, signs = gap.join(["[A-Za-z]"] * 3), gap.join(["[A-Za-z0-9]"] * 5)
    endings = (
        f"[A-La-l]{part}[0-9]{part}[0-9]{gap}[0-9]",
        f"[Mm]{part}[0-9]{gap}[0-9]{part}[A-La-l]",
        f"(?P<months>(?:0{gap}[1-9]|1{gap}[0-2]){part}(?:7{gap}[2-9]|8{gap}[0-4]))",
    )
    # A blank after a country code needs capitals: "in" or "on" before a number is no country.
    country = rf"(?:[A-Za-z]{{2}}(?:[\u2010-\u2015\u2212-]|(?=[A-Za-z]))|[A-Z]{gap}[A-Z]{part})?"
    whole = f"(?P<whole>{country}{letters}{part}(?P<serial>{signs}){part}(?P<ending>{'|'.join(endings)}))"
    return re.compile(rf"(?<![A-Za-z0-9])(?=(?:HIN|CIN|hin|cin)?{whole}(?![A-Za-z0-9]))")


_GROUPED = _like("")
_SCATTERED = _like(f"{_GAP}{{0,3}}")


def _likely(match: re.Match[str]) -> bool:
    """Whether a candidate is a number rather than words and figures of a sentence."""
    whole, serial = match["whole"], match["serial"]
    if not re.search(r"\s", whole):
        return True
    if re.fullmatch(rf"[A-Za-z0-9](?:{_GAP}{{1,3}}[A-Za-z0-9])+", whole):  # spelled out sign by sign
        return True
    capitals = whole == whole.upper()
    figures = sum(sign.isdigit() for sign in serial)
    if match.re is _SCATTERED and re.search(_GAP, serial):
        return capitals and figures >= 3
    if figures == 0:
        return capitals and match["months"] is None and _year_fits(_run_together(match["ending"]))
    return capitals or match["months"] is None


def _year_fits(tail: str) -> bool:
    if tail[0] == "M":
        return True
    return (int(tail[3]) - int(tail[1])) % 10 <= SLOWEST
