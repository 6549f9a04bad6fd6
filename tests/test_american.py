"""American spelling: our words and dates only, in what a reader sees, and nothing else."""

from __future__ import annotations

import datetime
import json
from pathlib import Path

import pytest
from bs4 import BeautifulSoup

from reportgen import american, wording
from reportgen.sources import Source
from tests.project import CONTENT, publish


@pytest.mark.parametrize(
    ("ours", "theirs"),
    [
        ("Fuel vapour", "Fuel vapor"),
        ("Vapours and colourless tyres", "Vapors and colorless tires"),
        ("glass-fibre, fibreglass, Grey", "fiberglass, fiberglass, Gray"),
        ("{colour} on {name}, %(colour)s", "{colour} on {name}, %(colour)s"),
        ("in force from 20 April 2022", "in force from April 20, 2022"),
        ("The hour of four tours is poured", "The hour of four tours is poured"),
    ],
)
def test_words_are_spelled_anew(ours: str, theirs: str) -> None:
    """Stems in any form, capitals kept; places for values are no words."""
    assert american.spelled(ours) == theirs


def test_what_names_a_publication_is_spelled_but_for_names() -> None:
    """Its description is ours; a publisher keeps the name that it gives itself."""
    source = Source("a", "colour of plugs, 14 July 2025", "Canadian Centre for Health", "", "", "")
    assert str(source) == "Canadian Centre for Health, colour of plugs, 14 July 2025"
    with wording.speaking("en-US"):
        assert str(source) == "Canadian Centre for Health, color of plugs, July 14, 2025"
    with wording.speaking("de"):
        assert str(source) == source.named


def test_days_have_the_month_first() -> None:
    """Only where it is asked for."""
    nine, ten = datetime.date(2026, 6, 9), datetime.date(2026, 6, 10)
    with wording.speaking("en-US"):
        assert (wording.day(nine), wording.days([nine, ten])) == ("June 9, 2026", "June 9 and 10, 2026")
        assert (wording.language(), wording.tag()) == ("en", "en-US")
        assert wording.foreign() == ""
    with wording.speaking("en"):
        assert (wording.day(nine), wording.days([nine, ten])) == ("9 June 2026", "9 and 10 June 2026")


def test_a_report_is_american_throughout(tmp_path: Path) -> None:
    """The page says its language, and what we say of tyres and vapour is American."""
    publish(tmp_path, "buyer", CONTENT / "quillback", "--no-charts")
    page = (tmp_path / "index.html").read_text(encoding="utf-8")
    assert '<html lang="en-US" ' in page
    assert "June\N{NO-BREAK SPACE}9 and 10, 2026" in page
    assert not {word for word in ("vapour ", "Vapour", "tyre", "labour", "colour ") if word in page}
    assert "Concerns: fuel or gas vapor, every boat of this type." in page.replace("\N{NO-BREAK SPACE}", " ")
    sources = BeautifulSoup((tmp_path / "measurements.html").read_bytes(), "html5lib").get_text()
    assert "insulator’s color and deposits" in sources
    assert not {word for word in ("neighbours", "aluminium", "sulphate", "petrol ") if word in sources}
    assert json.loads((tmp_path / "report.json").read_text(encoding="utf-8"))["language"] == "en-US"
