"""Words, numbers, dates and sums in the reader's language; quantities in the reader's units as well."""

from __future__ import annotations

import datetime
import json
from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path

import pytest
from markupsafe import Markup

from reportgen import passage, publish, sandbox, theme, units, wording
from reportgen.units import Quantity
from tests import made


class Planted:
    """A catalogue with a few texts."""

    texts: Mapping[object, str] = {
        "Lowest {low} of {of}": "Von {of} mindestens {low}",
        ("state", "open"): "offen",
        "{n} day": "{n} Tage",
        "and": "und",
    }

    def gettext(self, message: str) -> str:
        return self.texts.get(message, message)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return self.texts.get(msgid1, msgid1 if n == 1 else msgid2)

    def pgettext(self, context: str, message: str) -> str:
        return self.texts.get((context, message), message)

    def npgettext(self, context: str, msgid1: str, msgid2: str, n: int) -> str:
        return self.ngettext(msgid1, msgid2, n)


@pytest.fixture
def german(monkeypatch: pytest.MonkeyPatch) -> None:
    """Give German the planted catalogue."""
    monkeypatch.setattr(wording, "catalogue", lambda spoken: Planted())


def test_text_is_said_in_the_language(german: None) -> None:
    """A text comes from the catalogue with its values at their new places; outside it is English again."""
    with wording.speaking("de"):
        assert wording.say("Lowest {low} of {of}", low=2, of=3) == "Von 3 mindestens 2"
        assert wording.say_in("state", "open") == "offen"
        assert wording.say_n("{n} day", "{n} days", 4) == "4 Tage"
        assert wording.all_of(["a", "b", "c"]) == "a, b und c"
        assert wording.say("in no catalogue {a}", a="{b}") == "in no catalogue {b}"
        assert wording.say("") == ""
        assert wording.language() == "de"
    assert wording.say("Lowest {low} of {of}", low=2, of=3) == "Lowest 2 of 3"
    assert wording.say_n("{n} day", "{n} days", 1) == "1 day"
    assert wording.language() == "en"


def test_a_text_without_values_keeps_its_braces() -> None:
    """What the writer wrote is never taken for a place."""
    assert wording.say("{0.__class__}") == "{0.__class__}"


DAY = datetime.date(2026, 3, 5)


@pytest.mark.parametrize(
    ("spoken", "day", "number", "money", "whole"),
    [
        ("en", "5 March 2026", "12,345.6", "$1,234.50", "-€12,345"),
        ("de", "5. März 2026", "12.345,6", "1.234,50\N{NO-BREAK SPACE}$", "-12.345\N{NO-BREAK SPACE}€"),
        (
            "fr",
            "5 mars 2026",
            "12\N{NARROW NO-BREAK SPACE}345,6",
            "1\N{NARROW NO-BREAK SPACE}234,50\N{NO-BREAK SPACE}$US",
            "-12\N{NARROW NO-BREAK SPACE}345\N{NO-BREAK SPACE}€",
        ),
        (
            "es",
            "5 de marzo de 2026",
            "12.345,6",
            "1.234,50\N{NO-BREAK SPACE}US$",
            "-12.345\N{NO-BREAK SPACE}€",
        ),
        ("nl", "5 maart 2026", "12.345,6", "US$\N{NO-BREAK SPACE}1.234,50", "€\N{NO-BREAK SPACE}-12.345"),
    ],
)
def test_dates_numbers_and_sums(spoken: str, day: str, number: str, money: str, whole: str) -> None:
    """Each language prints them as its readers do. Source: Unicode CLDR, by Babel."""
    with wording.speaking(spoken):
        assert passage.day(DAY) == day
        assert wording.number("12,345.6") == number
        assert units.money(Decimal("1234.50"), "USD") == money
        assert units.whole_money(Decimal("-12345.20"), "EUR") == whole
        assert str(Quantity(Decimal("12.50"), "V")) == ("12.50 V" if spoken == "en" else "12,50 V")


@pytest.mark.parametrize(
    ("value", "unit", "system", "shown"),
    [
        ("1000", "kPa", "us", "1000 kPa (145 psi)"),
        ("1035", "kPa", "us", "1035 kPa (150.1 psi)"),
        ("145", "psi", "metric", "145 psi (1000 kPa)"),
        ("145", "psi", "us", "145 psi"),
        ("7.2", "m", "both", "7.2 m (23.6 ft)"),
        ("24", "ft", "both", "24 ft (7.3 m)"),
        ("20", "°C", "us", "20 °C (68 °F)"),
        ("0.5", "mm", "us", "0.5 mm (0.020 in)"),
        ("-4", "°F", "metric", "-4 °F (-20 °C)"),
        ("0", "°C", "us", "0 °C (32 °F)"),
        ("12.6", "V", "both", "12.6 V"),
        ("6.5", "kn", "metric", "6.5 kn"),
        ("12000", "L", "us", "12,000 L (3170 gal)"),
    ],
)
def test_quantities_in_both_units(value: str, unit: str, system: str, shown: str) -> None:
    """The reading stands as noted; the other unit follows in brackets, no surer than the reading."""
    quantity = Quantity(Decimal(value), unit)
    with wording.speaking("en", system):
        assert str(quantity) == shown
        assert quantity.as_noted == shown.partition(" (")[0]
    assert str(quantity) == quantity.as_noted


def test_every_unit_leads_back() -> None:
    """A unit of one system has its counterpart in the other, of the same dimension."""
    for unit in (unit for table in units.UNITS.values() for unit in table):
        for system in ("metric", "us"):
            other = units.unitnames.counterpart(unit, system)
            assert not other or (units.alike(unit, other) and not units.unitnames.counterpart(other, system))


def test_words_of_the_notes_are_marked_in_another_language() -> None:
    """The writer's words carry their language where the page has another, and else nothing."""
    with wording.speaking("en", notes="de"):
        assert passage.titled("Öl & Wasser") == "<i lang=de>Öl &amp; Wasser</i>"
        assert passage.rich("Öl") == "<i lang=de>Öl</i>"
    with wording.speaking("de", notes="de"):
        assert passage.titled("Öl & Wasser") == "Öl &amp; Wasser"


def test_a_survey_is_published_in_its_language(tmp_path: Path) -> None:
    """Page and data say their language; the notes' own words are marked where theirs is another."""
    front = {**made.TINY, "language": "en", "scope": "the hull", "units": "us"}
    notes = made.write(tmp_path / "one", {**front, "vessel": {"type": "sailing yacht", "name": "Tern"}})
    wish = publish.Wish(publish.edition_named("buyer"), theme.find(), charts=False, language="de")
    publish.publish(notes, tmp_path / "site", wish)
    page = (tmp_path / "site" / "index.html").read_text(encoding="utf-8")
    data = json.loads((tmp_path / "site" / "report.json").read_text(encoding="utf-8"))
    assert '<html lang="de" ' in page
    assert "<p lang=en>the hull</p>" in page
    assert "1.\N{NO-BREAK SPACE}März 2026" in page
    assert (data["language"], data["survey"]["kind"]) == ("de", "pre-purchase")
    assert wording.language() == "en"


def test_a_site_s_list_is_in_the_language_that_its_reports_share(tmp_path: Path) -> None:
    """One language of all reports is that of list and feed, also where one report alone is made anew."""
    for name in ("one", "two"):
        made.write(tmp_path / "notes" / name, {**made.TINY, "number": name, "language": "fr"})
    wish = publish.Wish(publish.edition_named("buyer"), theme.find(), charts=False)
    for _ in range(2):
        publish.publish(tmp_path / "notes", tmp_path / "site", wish)
        assert '<html lang="fr">' in (tmp_path / "site" / "index.html").read_text(encoding="utf-8")
        assert 'xml:lang="fr"' in (tmp_path / "site" / "feed.xml").read_text(encoding="utf-8")
        made.write(tmp_path / "notes" / "two", {**made.TINY, "number": "three", "language": "fr"})


def test_what_is_said_of_a_value_stays_escaped(german: None) -> None:
    """A value that no catalogue has stays what it was; one that a catalogue has is plain text."""
    with wording.speaking("de"):
        assert sandbox.said("<b>") == "<b>"
        assert not isinstance(sandbox.said("<b>"), Markup)
        assert isinstance(sandbox.said(Markup("<b>mine</b>")), Markup)
        assert sandbox.said("open", "state") == "offen"
