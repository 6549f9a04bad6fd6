"""Sets finished pages like print: numbers keep to units, nouns, titles; minus and quotes are real."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from functools import cache
from typing import TypeVar

from reportgen import glossary, wording
from reportgen.unitnames import UNITS

_NO_BREAK = "\N{NO-BREAK SPACE}"
_MOST_KEPT = 4096  # texts, and as many runs of tags
_AS_IT_IS = {"pre", "code"}  # what is to be copied to the letter
# a page is cut into its texts and what stands between two of them, a run of tags
_TEXT = re.compile(r"(>[^<]+)")
_APART = re.compile(rf"<(/?(?:{'|'.join(sorted(_AS_IT_IS | glossary.CLOSED))}))(?![^ >])")
# not in ranges, dates, telephone and part numbers, where a letter or digit stands before it
_MINUS = re.compile(r"-(?<![\w.,;:/)\]'’+•-]-)(?=(?:[$€£¥]|[A-Z]{3}\s?)?\d)")
_TIMES = re.compile(r"(?<=\d) x (?=\d)")
_PAGE = re.compile(r"(?<=[^\W\d]\s)(\d{1,2})-(?=\d{1,2}(?![\w-]))")  # `page 3-11`, not a day or a code
_STRAIGHT = r"(?:\"|&#34;|&quot;)"
_QUOTED = re.compile(rf"(?<!\w){_STRAIGHT}(?=\S)((?:(?!{_STRAIGHT}).)+)(?<=\S){_STRAIGHT}(?!\w)", re.S)
# between letters or after a plural's s; behind a digit it is a mark for feet
_APOSTROPHE = re.compile(r"(?<=[^\W\d_])(?:'|&#39;)(?=[^\W\d_])|(?<=s)(?:'|&#39;)(?=\s)")
# French sets a thin blank before these signs; where values and items are joined there is none yet. What ends
# an entity is no such sign
_HIGH = re.compile(r"(&#?\w+;)|(?<=[^\s:?!]) ?(?=[:;?!](?:\s|$))")
# a cell or a term ends where the next begins, or what holds it ends: pages spare their end tags
_UNENDED = {"td", "th", "dd", "dt"}
_ENDS = _UNENDED | {"tr", "table", "dl"}
_LANGUAGE = re.compile(r"<(/?)(\w+)(?:[^<>]*? lang=\"?([\w-]+))?")
# of what a number is told: before it, and after it; in the five languages, since notes may be in another
_OF = (
    "page pages section table figure paragraph chapter part version issue leaflet step rule finding "
    "findings cylinder cylinders frame frames seite seiten abschnitt tabelle kapitel schritt befund "
    "befunde zylinder tableau chapitre étape constat constats cylindre cylindres "  # codespell:ignore
    "página sección tabla capítulo versión paso cilindro cilindros "  # codespell:ignore
    "bladzijde pagina paragraaf tabel hoofdstuk versie stap cilinder cilinders "  # codespell:ignore
    "cfr usc iso ac tb tm no. nr. p. pp. s. blz."
)
_COUNTED = (
    "CFR|USC|cylinders|strokes|seconds|minutes|hours|persons|points|blades|"
    "Zylinder|Sekunden|Minuten|Stunden|Tage|Monate|Jahre|Personen|"  # codespell:ignore
    "cylindres|secondes|heures|jours|mois|ans|personnes|cilindros|segundos|"  # codespell:ignore
    "minutos|horas|días|meses|años|personas|cilinders|seconden|minuten|"  # codespell:ignore
    "uur|dagen|maanden|jaar|personen"  # codespell:ignore
)
_OF_WORDS = frozenset(_OF.split())
_TO_NUMBER = re.compile(r" (?=\d)")
_WORD_BEFORE = re.compile(r"(?<![\w-])[^\W\d_]+[.]?$")
_DAY = re.compile(r" \d\d?(?!\d)")
_LONGEST = 16  # letters in which such a word lies, and what stands before it
# a hyphen that holds, as a tag, since such codes are looked for letter by letter: `PO-2216`, `4-stroke`
_WHOLE = re.compile(
    r"(?<![\w.,;/&#-])(?:[A-Z]{1,4}(?:-\d{1,6}){1,3}|\d{1,2}-(?:[^\W\d_]{3,12}|[A-Z]))(?![\w-])"
)
_TAG_OR_WHOLE = re.compile(rf"(<[^>]*>)|({_WHOLE.pattern})")
_FIRST = re.compile(r"^(>\s*\d{1,3}\.) (?=[^\d\s]|$)")  # the number of a finding, before its title
_UNIT_NAMES = sorted({unit for table in UNITS.values() for unit in table if unit}, key=len, reverse=True)


T = TypeVar("T")


class _Kept(dict[str, T]):
    """Keeps what was made of a text, since reports share most of theirs and hold thousands."""

    def __init__(self, make: Callable[[str], T]) -> None:
        super().__init__()
        self._make = make

    def __missing__(self, text: str) -> T:
        if len(self) >= _MOST_KEPT:
            self.clear()
        made = self[text] = self._make(text)
        return made


def set_like_print(html: str, words: str = "") -> str:
    """Give a page's HTML with spaces that don't break and true minus signs; its data files keep theirs.

    words: file of the page of words, to which the first use of each leads; "" for no such links.
    """
    head, end, body = html.rpartition("</head>")
    pieces, texts, met = _TEXT.split(body), _texts(wording.tag()), set[str]()
    french, theirs, other = wording.tag() == "fr", _texts(wording.tag(), theirs=True), ("", 0)
    copied = closed = ""  # the elements whose text is left as it is, and takes no link
    for number in range(1, len(pieces), 2):
        for tag in _apart[pieces[number - 1]]:
            copied = _element(copied, tag, _AS_IT_IS)
            closed = _element(closed, tag, glossary.CLOSED)
        if french:
            other = _in_other(other, pieces[number - 1])
        if not copied:
            text, uses = (theirs if other[1] else texts)[pieces[number]]
            if uses and words and not closed:
                text = glossary.linked(text, uses, met, words)
            pieces[number] = _held(text) if "-" in text and closed != "svg" else text
    return head + end + "".join(pieces)


def _held(text: str) -> str:
    """Give a text, links and all, in which no code is broken at its hyphen."""
    if not _WHOLE.search(text):
        return text
    return _TAG_OR_WHOLE.sub(lambda m: m[1] or f"<span class=nb>{m[2]}</span>", text)


_apart = _Kept[Sequence[str]](lambda tags: tuple(_APART.findall(tags)))


def _element(now: str, tag: str, of: set[str]) -> str:
    """Give the outermost element, one of some, in which the text after a tag stands; "" for none."""
    if now:
        return "" if tag == f"/{now}" else now
    return tag if tag in of else ""


def _in_other(now: tuple[str, int], tags: str) -> tuple[str, int]:
    """Give the element in another language than French around what follows, and how many of its name."""
    name, depth = now
    for end, tag, language in _LANGUAGE.findall(tags):
        if depth and name in _UNENDED:
            depth = 0 if tag in _ENDS else depth
        elif depth and tag == name:
            depth += -1 if end else 1
        if not depth and not end and language not in ("", "fr"):
            name, depth = tag, 1
    return name, depth


@cache
def _texts(spoken: str, theirs: bool = False) -> _Kept[tuple[str, Sequence[glossary.Use]]]:
    """Give how texts are set in a language, and where each uses words of the trade.

    theirs: of texts that are in another language than their page.
    """

    def made(text: str) -> tuple[str, Sequence[glossary.Use]]:
        new = _breaks(language).sub(_joined, _FIRST.sub(rf"\1{_NO_BREAK}", text))
        new = _TO_NUMBER.sub(_told, new)
        new = _signs(_HIGH.sub(_blank, new) if language == "fr" and not theirs else new)
        return new, glossary.uses(new, spoken)

    language = spoken.partition("-")[0]

    return _Kept(made)


def _signs(text: str) -> str:
    """Give a text with the signs that a typewriter lacks: minus, times, a hyphen that holds, quotes."""
    if "-" in text:
        text = _MINUS.sub("\N{MINUS SIGN}", text)
        text = _PAGE.sub("\\1\N{NON-BREAKING HYPHEN}", text)
    if " x " in text:
        text = _TIMES.sub(" × ", text)
    if "'" in text or "&#39;" in text:
        text = _APOSTROPHE.sub("’", text)
    return _QUOTED.sub(r"“\1”", text) if '"' in text or "&#34;" in text or "&quot;" in text else text


def _blank(found: re.Match[str]) -> str:
    return found[1] or "\N{NARROW NO-BREAK SPACE}"


def _joined(found: re.Match[str]) -> str:
    return found[0].replace(" ", _NO_BREAK)


def _told(found: re.Match[str]) -> str:
    """Give the space before a number: one that holds after `page`, or after the month of a day."""
    text, at = found.string, found.start()
    word = _WORD_BEFORE.search(text[max(0, at - _LONGEST) : at])
    if not word:
        return " "
    # Americans say the month first: `June 9`, but `June 2026` may part
    day = word[0] in wording.MONTHS and _DAY.match(text, at)
    return _NO_BREAK if day or word[0].lower() in _OF_WORDS else " "


@cache
def _breaks(spoken: str) -> re.Pattern[str]:
    """Give what finds the space before a unit, a count or a month: `5 psi`, `8 cylinders`, `5. März`."""
    months = set(wording.MONTHS)  # notes may be English under heads in another language
    if spoken != "en":
        from babel.dates import get_month_names

        months |= set(get_month_names("wide", locale=spoken).values())
    unit = "|".join([*map(re.escape, _UNIT_NAMES), _COUNTED])
    month = "|".join(sorted(months))
    return re.compile(
        rf" (?:(?<=\d )|(?<=\d\. )|(?<=1er ))(?:(?=(?:{unit})(?![\w/]))|(?:de )?(?=(?:{month})\b))"
    )
