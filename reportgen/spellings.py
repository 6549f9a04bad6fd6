"""In which spellings a private name, number, place or sum may be met in a text."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

from reportgen import units

LEFT_OUT = "[left out]"
SHORTEST = 4  # letters or digits; anything shorter is met by accident everywhere
_LONGEST_NAME = 60
_LONGEST_HINT = 16  # letters; the beginning of a sentence tells it from others [-]
# what may part the letters of one word: blanks, hyphens, Markdown's signs, signs that nobody sees
_GAP = r"[\s\-\u2010-\u2015*_`\\.'\u2019\u00ad\u200b-\u200d\u2060\ufeff]{0,3}"
_BETWEEN = _GAP.replace("{0,3}", "{1,3}")
_OTHER = re.compile(r"[^0-9a-z]+")
_BEFORE, _AFTER = r"(?<![^\W_])", r"(?![^\W_])"
# words that firms' names and people's parts in a deal share with any report
TRADE = frozenset(
    """marine marina boat boats boatyard boatshed shed yard yards yacht yachts harbour harbor services
    service surveys survey sales brokers brokerage and sons limited ltd inc llc gmbh company club
    association works engineering mechanical diesel outboard outboards canvas rigging owner owners
    seller buyer broker surveyor client bank insurance the port bay river not stated mechanic
    foreman manager technician skipper captain crew staff electrician engineer fitter rigger diver
    operator lender insurer agent himself herself themselves his her their of for a an by in with
    none nobody unknown known yes no hull engine""".split()  # noqa: SIM905
)
# surnames and first names that are words of any report; such a part is told from the word by where it stands
ORDINARY = frozenset(
    """anchor april august baker ball banks bell berry bill bird black block bolt book booth bow bowman
    bridge bright broad brook brooks brown burn bush case cash chain chance chase church clay cook
    cooper crane cross dale dawn day deck dock drew drive driver drum dusk fair faith field fields
    fisher flood ford frank frost fuller gale garden gates glass gold good grace grant gray green
    grey grove guard hand hands harbor harbour hard hardy harper head heath hill hills holder home
    hood hook hope house hull hunter iron ivory jack joint jones july june keel key keys king knight
    lake lamb lane light little lock long love march mark marsh mast mason master masters may meadow
    miller mills moon moore moss nail noble north oakes page park parker parks peak perch pike pilot
    pitch plain plate pole pond pool poole porter potter pound powers price pump rail reed reef rich
    ridge rivers rock rod rose rowe rudder sage sail sailor salt sander sands sandy sawyer seal
    sharp shaft shore short silver singer skipper small smith snow south spar speed spring staff
    stark steel steer stern stock stone storm stove strand street strong summer summers swan swift
    tank tanner tar taylor temple tide tiller torch tower turner vale wade walker wall waters weaver
    webb weight wells west wheel white wide wild will winch wind winter wise wood woods wright yard
    young""".split()  # noqa: SIM905
)
_MONTHS = frozenset(
    """april august june july march may january february september october november december""".split()  # noqa: SIM905
)
_MR = r"Mr|Mrs|Ms|Miss|Dr|Capt|Captain|Skipper|Herr|Frau"
_UNITS = (
    r"rpm|1/min|h|hrs?|hours?|min|days?|months?|years?|psi|kpa|mpa|bar|kg|lbs?|t|tons?|hp|kw|ps|ft|feet|foot|in"
    r"|inch(?:es)?|mm|cm|m|km|met(?:re|er)s?|miles?|nm|kn|knots?|mph|l|lit(?:re|er)s?|gal(?:lons?)?|v|volts?"
    r"|a|ah|amps?|w|watts?|hz|µs|ppm|lbf|ohms?|times|°|%|cc|ml|btu"
)
_SIGNS = {
    "USD": r"(?:US)?\$",
    "EUR": "€",
    "GBP": "£",
    "NZD": r"(?:NZ)?\$",
    "CAD": r"(?:CA?)?\$",
    "AUD": r"A?\$",
}
_POUNDS = frozenset({"GBP", "GIP", "FKP", "SHP", "EGP", "LBP", "SDG", "SSP", "SYP"})


@dataclass(frozen=True)
class Search:
    """One thing to look for.

    what: for the message. form: its regular expression.
    instead: what to put there, `\\1` keeps what stood before.
    masks: a number that is shown masked, which is no finding. short: too short to be taken out, only told of.
    hints: one of these stands in the bare form of any text where it is met; none for no such hint.
    """

    what: str
    form: str
    instead: str = LEFT_OUT
    masks: bool = False
    short: bool = False
    hints: tuple[str, ...] = ()

    @cached_property
    def pattern(self) -> re.Pattern[str]:
        """Give its regular expression as read, which takes longest of all and is needed for few."""
        return re.compile(self.form)

    def may_stand_in(self, bare: str) -> bool:
        """Say cheaply whether a text, given in its bare form, is worth the search."""
        return not self.hints or any(hint in bare for hint in self.hints)


def bare_form(text: str) -> str:
    """Give a text as its plain letters, small, and digits alone, with nothing between them."""
    # what may part a name's letters goes; signs that count as i, k or s in either case become those
    return _OTHER.sub("", text.casefold().replace("\u0131", "i"))


def _hints(text: str) -> tuple[str, ...]:
    """Give the longest run of plain letters and digits of a text: other letters have many spellings."""
    runs = re.findall(r"[0-9A-Za-z]+", "".join(_signs(text)))
    return (max(runs, key=len)[:_LONGEST_HINT].lower(),) if runs else ()


def _signs(text: str) -> list[str]:
    return [sign for sign in text if sign.isalnum()]


def _sign(sign: str) -> str:
    """Give a letter in the ways it is written: with its accent, as two characters, without it."""
    if sign.isascii():
        return re.escape(sign)
    apart = unicodedata.normalize("NFD", sign)
    bare = {"ß": "ss", "ø": "o", "æ": "ae", "œ": "oe", "ł": "l", "đ": "d"}.get(sign.lower(), apart[0])
    wide = bare + "e" if sign.lower() in "äöüø" else bare
    return f"(?:{'|'.join(map(re.escape, dict.fromkeys((apart, sign, wide, bare))))})"


def _run(text: str) -> str:
    """Give a pattern of letters and digits with any gaps between; a short text keeps its words apart."""
    words = [_signs(word) for word in re.split(r"[\s\-_.]+", text) if _signs(word)]
    between = _BETWEEN if sum(map(len, words)) < 7 else _GAP
    return between.join(_GAP.join(map(_sign, word)) for word in words)


def _search(text: str, share: str, cased: bool = False, before: str = "", after: str = "") -> Search:
    run = _run(text) if cased else f"(?i:{_run(text)})"
    form = f"{_BEFORE}{before}{run}{_AFTER}{after}"
    instead = r"\1" + LEFT_OUT if before else LEFT_OUT
    return Search(f"{text!r} ({share})", form, instead, hints=_hints(text))


def too_short(text: str, share: str) -> Search:
    """Look for a value under four letters or digits as it is written, only to tell of it."""
    form = _BEFORE + re.escape(text.strip()) + _AFTER
    return Search(f"{text!r} ({share})", form, short=True)


def whole(text: str, share: str, ordinary: frozenset[str] = frozenset()) -> Iterator[Search]:
    """Look for a text as a whole; one made of ordinary words only with its capitals as written."""
    text = text.strip()
    if not _signs(text):
        return
    if len(_signs(text)) < SHORTEST:
        yield too_short(text, share)
        return
    words = [w.lower() for w in re.findall(r"[^\W\d_]+", text)]
    plain = not re.search(r"\d", text) and all(w in TRADE or w in ordinary for w in words)
    if not plain:
        yield _search(text, share)
    elif not text.islower():
        yield _search(text, share, cased=True)


def names(text: str, share: str, ordinary: frozenset[str], sure: bool) -> Iterator[Search]:
    """Look for the persons and firms in a text, whole and by each part of a name.

    sure: whether the text is a name; else only what is written with capitals is taken for one.
    """
    for part in re.split(r"[,;()/\n]|\s[-\u2013]\s", text):
        part = part.strip()
        words = re.findall(r"[^\W_]+(?:['\u2019-][^\W_]+)*", part)
        own = [w for w in words if w.lower() not in TRADE and re.search(r"[^\W\d_]", w)]
        named = [w for w in own if w[0].isupper()]
        if (
            not own
            or len(part) > _LONGEST_NAME
            or not (sure or named or re.search(r"[^\W\d_]\d|\d[^\W\d_]", part))
        ):
            # a firm called by words of the trade alone is told by its capitals
            if sure and len(words) > 1 and part.istitle():
                yield from whole(part, share, ordinary)
            continue
        yield from whole(part, share, ordinary)
        if len(own) == len(words) <= 3:
            double = [piece for word in own if "-" in word for piece in word.split("-")]
            yield from _parts((*own, *double), share, ordinary)
        elif len(lead := _lead(words)) > 1 or (lead and lead[0].lower() not in ordinary):
            yield from whole(" ".join(lead), share, ordinary)


def _lead(words: Iterable[str]) -> list[str]:
    """Give the words of a firm's name before the first word of the trade."""
    lead: list[str] = []
    for word in words:
        if word.lower() in TRADE:
            break
        lead.append(word)
    return lead


def _parts(words: Iterable[str], share: str, ordinary: frozenset[str]) -> Iterator[Search]:
    for word in words:
        size, small = len(_signs(word)), word.lower()
        if size < SHORTEST:
            if size > 1 and word[0].isupper():
                yield too_short(word, share)
        elif small in _MONTHS or small in ordinary:
            # within a sentence, not in a heading; a month stands there too
            lead = _MR if small in _MONTHS else rf"[a-z]+[,;]?|{_MR}"
            yield _search(word, share, cased=True, before=rf"((?:{lead})\.?\s)", after=r"(?!\s[A-Z])")
        else:
            ending = r"(?:e?s)?"
            form = f"{_BEFORE}(?i:{_run(word)}{ending}){_AFTER}"
            yield Search(f"{word!r} ({share})", form, hints=_hints(word))


def contact(text: str, share: str) -> Iterator[Search]:
    """Look for e-mail addresses and telephone numbers, however they are spelled, and for the rest."""
    rest = text
    for address in re.findall(r"[^\s,;<>()]+@[^\s,;<>()]+", text):
        rest = rest.replace(address, " ")
        local, domain = address.rsplit("@", 1)
        at = r"[\s(\[{]{0,2}(?:@|%40|\bat\b)[\s)\]}]{0,2}"
        yield Search(
            f"{address!r} ({share})",
            f"{_BEFORE}(?i:{_run(local)}{at}{_run(domain)}){_AFTER}",
            hints=_hints(max(local, domain, key=len)),
        )
    for phone in re.findall(r"\+?\(?\d[\d\s().\u00a0/-]{5,}\d", rest):
        rest = rest.replace(phone, " ")
        yield _phone(phone, share)
    for part in re.split(r"[,;]", rest):
        if re.search(r"\d", part) or re.search(r"[A-Z]", part):
            yield from whole(part, share)


def _phone(text: str, share: str) -> Search:
    digits = "".join(re.findall(r"\d", text))
    forms = [digits]
    if text.strip().startswith("+") or digits.startswith("00"):
        bare = digits[2:] if digits.startswith("00") else digits
        forms += [bare, *(bare[n:] for n in (1, 2, 3))]  # codes of countries have one to three digits
    elif digits.startswith("0"):
        forms.append(digits[1:])
    gap = r"[\s().\u00a0/*_\-\u2010-\u2015\u200b]{0,3}"
    forms = [form for form in forms if len(form) >= 7]
    runs = "|".join(map(gap.join, forms))
    form = rf"(?<!\d)(?:\+|00)?{gap}0?{gap}(?:{runs})(?!\d)"
    return Search(f"{text!r} ({share})", form, hints=tuple(forms) if digits.isascii() else ())


def place(text: str, share: str) -> Iterator[Search]:
    """Look for an exact place: its parts, and each number with the word before it, as in `berth 14`."""
    for part in re.split(r"[,;()\n]", text):
        part = part.strip()
        if len(_signs(part)) >= 8:
            yield from whole(part, share, ORDINARY)
        elif _signs(part) and re.search(r"\d|^[A-Z]", part):
            yield from whole(part, share)
        for name in re.findall(r"[A-Z][^\W\d_]+(?:\s+[A-Z][^\W\d_]+)+", part):
            yield from whole(name, share, ORDINARY)
        for word, token in re.findall(r"([^\W\d_]{3,})\s+(?=\S*\d)([^\W_]+(?:-[^\W_]+)*)", part):
            yield _search(f"{word} {token}", share)
        for token in re.findall(r"(?<![^\W_])(?=[^\W_]*\d)[^\W_]+(?:-[^\W_]+)*", part):
            if len(_signs(token)) < SHORTEST:
                # a short number alone says nothing: it is looked for with its word
                if not token.isdecimal():
                    yield too_short(token, share)
            else:
                yield _search(token, share, after=rf"(?!\s?(?i:{_UNITS})\b)")


def sentences(text: str, share: str) -> Iterator[Search]:
    """Look for private remarks that were copied: each line and each sentence as a whole."""
    for part in re.split(r"\n+|(?<=[.!?;])\s+", text):
        size = len(_signs(part))
        if size >= 24 or (size >= 8 and re.search(r"\d", part)):
            yield _search(part.strip(), share)


def number(value: str, mask: str) -> Search | None:
    """Look for a number of boat or engine; a short one of digits alone only after a word such as serial."""
    signs = _signs(value)
    if len(signs) < SHORTEST:
        return None
    run = _GAP.join(map(re.escape, signs))
    if "".join(signs).isdecimal() and len(signs) < 6:
        word = r"serial(?:\s+(?:no|number|nr))?|s/n|no|nr|number|#"
        lead = rf"((?i:{word})(?i:\s(?:is|was|reads?))?[\s.:#*_`]{{0,3}})"
        form = rf"{lead}{run}{_AFTER}"
        return Search(repr(value), form, r"\1" + mask, masks=True, hints=_hints(value))
    letters = "".join(signs).isalpha()
    form = f"{_BEFORE}{run if letters else f'(?i:{run})'}{_AFTER}"
    return Search(repr(value), form, mask, masks=True, hints=_hints(value))


def serial(value: str, mask: str) -> Search:
    """Look for a hull number's serial by itself; before a unit it is a figure."""
    run = _GAP.join(map(re.escape, _signs(value)))
    after = rf"(?![.,]\d)(?!\s?(?i:{_UNITS})(?![^\W_]))"
    form = rf"(?<![\d.,$€£])\b{run}{_AFTER}{after}"
    return Search(repr(value), form, mask, masks=True, hints=_hints(value))


def is_sum(value: Decimal, currency: str) -> bool:
    """Say whether a number is money: sums are kept with the currency's decimals, percentages as written."""
    return value > 0 and bool(currency) and value.as_tuple().exponent == -units.decimals(currency)


def amount(value: Decimal, bare: bool, currency: str) -> Search:
    """Look for a sum beside its currency, in digits and in words; bare: from four digits on by itself too."""
    whole_part, cents = int(value), f"{value % 1:.2f}"[2:]
    digits = f"{whole_part:,}".split(",")
    tail = r"(?:[.,](?:00|-|\u2013))?" if cents == "00" else rf"[.,]{cents}"
    number = r"[,.'\u2019\s\u00a0\u202f]?".join(digits) + tail
    hints = ["".join(digits) + ("" if cents == "00" else cents)]
    if whole_part >= 1000 and whole_part % 100 == 0 and cents == "00":
        short = f"{(Decimal(whole_part) / 1000).normalize():f}".replace(".", "[.,]")
        hints += [re.sub(r"\D", "", short) + word for word in ("k", "thousand", "grand")]
        number = rf"(?:{number}|{short}\s?(?:[kK]|thousand|grand)\b)"
    sign = f"(?:{_SIGNS.get(currency, currency)}|{currency})"
    # elsewhere `90 pounds` is a weight
    names = f"dollars?|euros?|bucks{'|pounds?' * (currency in _POUNDS)}"
    word = rf"(?:(?:{names})\b|{currency}\b|{_SIGNS.get(currency, currency)})"
    gap, after = r"[\s*_`\u00a0]{0,3}", r"(?![.,]?\d)"
    forms = [rf"{sign}{gap}{number}{after}", rf"(?<![\d.,]){number}{after}{gap}{word}"]
    words = in_words(whole_part)
    if cents == "00" and " " in words:
        # "two thousand and fifty": an `and` may stand between any two words
        spoken = f"{_BETWEEN}(?:and{_BETWEEN})?".join(words.split())
        end = (
            rf"\b(?!{_BETWEEN}(?:and|hundred|thousand)\b)" if bare and whole_part >= 1000 else rf"{gap}{word}"
        )
        forms.append(rf"\b{spoken}{end}")
        hints.append(max(words.split(), key=len))
    if bare and whole_part >= 1000:
        # not within a date, a serial or a longer number, and not before a unit
        own = number
        if 1900 <= whole_part <= 2100:
            own = r"[,.'\u2019\u00a0\u202f ]".join(digits) + tail  # a year has no mark between its digits
        forms.append(rf"(?<![\w.,/-]){own}(?![\w/]|[.,-]\d)(?!\s?(?i:{_UNITS})(?![^\W_]))")
    form = f"(?i:{'|'.join(forms)})"
    # hundreds of sums are looked for in every line of a report
    return Search(f"the sum {units.money(value, currency)}", form, hints=tuple(hints))


_ONES = """zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen
    sixteen seventeen eighteen nineteen""".split()  # noqa: SIM905
_TENS = "twenty thirty forty fifty sixty seventy eighty ninety".split()  # noqa: SIM905


def in_words(number: int) -> str:
    """Give a whole number below a million as English words, without `and` and hyphens; empty above."""
    if number >= 1_000_000:
        return ""
    if number >= 1000:
        rest = number % 1000
        return f"{in_words(number // 1000)} thousand{f' {in_words(rest)}' if rest else ''}"
    if number >= 100:
        rest = number % 100
        return f"{_ONES[number // 100]} hundred{f' {in_words(rest)}' if rest else ''}"
    if number >= 20:
        return _TENS[number // 10 - 2] + (f" {_ONES[number % 10]}" if number % 10 else "")
    return _ONES[number]
