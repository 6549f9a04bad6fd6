"""Reads a hull identification number, says what it tells and what it can't, and hides its serial.

Source: 33 CFR 181.23, 181.25, 181.27 and 175.3, read in texts of 2005 to 2024. The two forms of 1972 to 1984
come from three format sheets that agree; the rule of 1972 was not read. The form with a country code is
recalled: only the abstract of ISO 10087 was read, and 33 CFR 181.27 for the characters "US-".
"""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass, replace

from reportgen import wording
from reportgen.hulldate import CURRENT as CURRENT
from reportgen.hulldate import MODEL_YEAR as MODEL_YEAR
from reportgen.hulldate import NOT_RECOGNISED as NOT_RECOGNISED
from reportgen.hulldate import REQUIRED_SINCE, Ending, and_compare, read_ending
from reportgen.hulldate import STRAIGHT_YEAR as STRAIGHT_YEAR
from reportgen.hulldate import WITH_COUNTRY as WITH_COUNTRY
from reportgen.wording import later, say

MARKINGS_REQUIRED = 2  # 33 CFR 181.23(a)
LOOK_ALIKE = {"I": "1", "O": "0", "Q": "0"}  # barred by 33 CFR 181.25(b); what each may be instead
DOT = "•"

_LONGEST = 14  # characters, and so the most dots that stand for a number of no known form
GAP = r"[\s\u00ad\u200b-\u200d\u2010-\u2015\u2060\u2212\ufeff/_.*`-]"
GAPS = f"{GAP}{{0,3}}"
HYPHEN = r"[\u2010-\u2015\u2212-]"

_AGAIN = later(
    "Read it again on the boat, outside at the stern to starboard as a rule (from memory), and hidden."
)
_SEPARATED = later("Signs part the characters, against 33 CFR 181.25: look whether they do so on the boat.")
_ALTERED = later("Whether the number is genuine or has been altered: look closely at the marking itself.")
_PAPERS = later(
    "Whether it agrees with the papers: compare each letter with title, registration and listing."
)
_MAKER = later("Who the maker is: the code has to be looked up in the published register of maker codes.")
_TWO = later(
    "Whether the second number agrees: {n} are required on each boat, and none may be "
    "used for two boats (33 CFR 181.23). Find and read the hidden one as well."
)
_DECADE = later(
    "The decade, for certain: one digit gives the year, so the decade is inferred from the model year."
)
_OLD = later(
    "Whether the rule of 1972 was met: it was not read. Two are due today (33 CFR 181.23): look for both."
)
_RECALLED = later(
    "Whether its standard is kept: the layout is from memory (read: ISO 10087 abstract, 33 CFR 181.27)."
)
_UNREAD = later(
    "Anything of the boat: nothing is read out of a number of no known form. Old, "
    "home-built and foreign boats differ lawfully; one built or imported before 1 "
    "November 1972 need not carry a number."
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


def read(text: str, *, latest: datetime.date, second: str = "") -> HullNumber:
    """A number taken apart and checked; any text is taken, and nothing is raised.

    Parameters: text as written; latest, the report day, which settles the century and bars later dates;
    second, the number as read at its other place, empty where nobody read it.
    Source: 33 CFR 181.25, and 181.23 for the second; the format sheets for 1972 to 1984.
    """
    found = _read(text, latest)
    return _compared(found, run_together(second)) if second else found


def _compared(found: HullNumber, second: str) -> HullNumber:
    """Hold the second number against the first; its own characters stand in no sentence."""
    open_ = tuple(say(text, n=MARKINGS_REQUIRED) for text in (_TWO, _OLD))
    kept = tuple(text for text in found.cannot_tell if text not in open_)
    unlike = [n for n, (a, b) in enumerate(zip(found.number, second, strict=False), 1) if a != b]
    if len(second) != len(found.number):
        wrong = say(
            "The second number has {second} characters, the first {first} (two alike: 33 CFR 181.23).",
            second=len(second),
            first=len(found.number),
        )
    elif unlike:
        places = ", ".join(map(str, unlike))
        wrong = say(
            "The second number is another one: not the same at {places} (two alike: 33 CFR 181.23).",
            places=places,
        )
    else:
        told = (say("Second number"), say("the same, character by character"))
        return replace(found, tells=(*found.tells, told), cannot_tell=kept)
    told = (say("Second number"), say("not the same as the first"))
    return replace(found, problems=(wrong, *found.problems), tells=(*found.tells, told), cannot_tell=kept)


def _read(text: str, latest: datetime.date) -> HullNumber:
    number = run_together(text)
    form = _form(number)
    if form == NOT_RECOGNISED:
        return _unread(text, number)
    country, maker, serial = number[:-12] or None, number[-12:-9], number[-9:-4]
    ending = read_ending(form, number[-4:], latest)
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
        cannot_tell=_cannot_tell(form),
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
        problem = say(
            "It has {number} characters and is not laid out like any known form.", number=len(number.number)
        )
        hidden = replace(number, text=shown, number=shown, problems=(problem,), tells=())
        return replace(hidden, country=None, maker_code=None, serial=None, certified=None, model_year=None)
    bad = _serial_problems(number.serial)
    letter = say("The serial holds a letter that no serial may hold (33 CFR 181.25(b)).")
    barred = (letter,) if bad else ()
    problems = barred + tuple(problem for problem in number.problems if problem not in bad)
    return replace(number, text=shown, number=shown, serial=DOT * 5, problems=problems)


def run_together(text: str) -> str:
    """Give a number in capitals without what stands between its signs."""
    # Only English letters change case: "ß" would become two characters and shift all that follow.
    return re.sub("[a-z]+", lambda run: run[0].upper(), re.sub(GAP, "", text))


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
        say(
            "Character {place} is U+{sign}, neither an English letter nor one of the digits 0 to 9.",
            place=place,
            sign=f"{ord(sign):04X}",
        )
        for place, sign in enumerate(number[:_LONGEST], start=1)
        if not (sign.isascii() and sign.isalnum())
    ][:3]
    if not number:
        wrong.append(say("No number is written down."))
    elif len(number) not in (12, 14):
        wrong.append(
            say(
                "It has {number} characters; a US number has 12, one with a country code 14.",
                number=len(number),
            )
        )
    elif not wrong:
        wrong.append(
            say("It is laid out like no published form: see its first two and last four characters.")
        )
    form = NOT_RECOGNISED
    nothing = (None, None, None, None, None, ())
    problems = (*wrong, say(_AGAIN))
    return HullNumber(text, number, False, problems, form, *nothing, _cannot_tell(form), _BY_FORM[form][1])


def _cannot_tell(form: str) -> tuple[str, ...]:
    return tuple(say(text, n=MARKINGS_REQUIRED) for text in _BY_FORM[form][0])


def _marking_problems(text: str, country: str | None, maker: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What is broken and what is odd in the marking; "US-" in front is allowed (33 CFR 181.27)."""
    marking, odd = text.strip(), []
    if country and not re.match(rf"[A-Za-z]{{2}}\s*{HYPHEN}", marking):
        odd.append(
            and_compare(
                say(
                    "No hyphen stands after {country} (33 CFR 181.27 for US-, else from memory).",
                    country=country,
                )
            )
        )
    if not maker.isalpha():  # the rule that was read doesn't bar digits here, so this breaks nothing
        odd.append(
            and_compare(
                say("Maker code {maker} holds a digit; as a rule it is letters (from memory).", maker=maker)
            )
        )
    if country == "US":
        marking = re.sub(rf"^{GAP}*U{GAP}*S{GAP}*", "", marking, flags=re.IGNORECASE)
    apart = country in (None, "US") and re.search(GAP, marking)
    return ((say(_SEPARATED),) if apart else ()), tuple(odd)


def _serial_problems(serial: str) -> tuple[str, ...]:
    return tuple(
        say(
            "Character {place} is the letter {sign}, which no serial may hold (33 CFR 181.25(b))."
            " Look whether it is a {look_alike}.",
            place=place,
            sign=sign,
            look_alike=LOOK_ALIKE[sign],
        )
        for place, sign in enumerate(serial, start=4)
        if sign in LOOK_ALIKE
    )


def _tells(form: str, country: str | None, maker: str, ending: Ending) -> list[tuple[str, str]]:
    told = [(say("Form"), say(form)), (say("Country code"), country or "")][: 2 if country else 1]
    told.append((say("Maker code"), say("{maker}, given to one builder or importer", maker=maker)))
    told.append((say("Serial"), say("five characters of the maker's own choice")))
    if ending.certified:
        told.append(
            (
                say("Date"),
                say(
                    "{words}, of certification, or of manufacture where none is required", words=ending.words
                ),
            )
        )
    if ending.model_year:
        told.append((say("Model year"), _model_year_words(form, ending.model_year, ending.certified)))
    return told


def _model_year_words(form: str, year: int, dated: tuple[int, int] | None) -> str:
    if form == MODEL_YEAR:
        return say("{year}, in this form August {year_2} to July {year}", year=year, year_2=year - 1)
    if dated is None:
        return str(year)
    first, last = datetime.date(year - 1, 6, 1), datetime.date(year, 7, 31)
    words = {"year": year, "first": wording.day(first), "last": wording.day(last)}
    if (first.year, first.month) <= dated <= (last.year, last.month):
        return say("{year}; the date lies between {first} and {last} (model year by 33 CFR 175.3)", **words)
    return say(
        "{year}; the date does not lie between {first} and {last} (model year by 33 CFR 175.3)", **words
    )
