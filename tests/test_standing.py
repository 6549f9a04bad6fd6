"""What a packet's report.json says of version and age, read as a stranger's file."""

from __future__ import annotations

import datetime
import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reportgen import asjson, standing
from reportgen.standing import Told
from tests import keys

DAY = datetime.date(2026, 3, 13)


def told(folder: Path, **survey: object) -> Told:
    path = folder / "report.json"
    path.write_bytes(keys.report_json(**survey))
    return standing.read(path, DAY)


def test_which_report_and_how_old(tmp_path: Path) -> None:
    """The age counts from the last day of the inspection; the e-mail is found in the contact."""
    found = told(tmp_path)
    assert (found.boat, found.number, found.version) == ("Quiet Example", "R-7", 2)
    assert (found.status, found.edition, found.email) == ("final", "buyer", keys.EMAIL)
    assert (found.inspected, found.age_days) == (datetime.date(2026, 3, 3), 10)
    assert (found.fault, found.replaced, found.relied_until, found.expired) == ("", "", None, False)


def test_age_on_and_before_the_day(tmp_path: Path) -> None:
    """No days on the day itself; fewer than none for a day to come; none known without a day."""
    assert told(tmp_path, inspected=["2026-03-13"]).age_days == 0
    assert told(tmp_path, inspected="2026-03-15").age_days == -2
    assert told(tmp_path, inspected=[]).age_days is None
    assert told(tmp_path, inspected=["soon", 7, None]).age_days is None


def test_the_last_day_of_reliance_counts_as_good(tmp_path: Path) -> None:
    """Expired from the day after."""
    assert [
        told(tmp_path, not_to_be_relied_on_after=day).expired for day in ("2026-03-13", "2026-03-12")
    ] == [
        False,
        True,
    ]


@pytest.mark.parametrize(
    ("by", "words"),
    [
        ("R-7 version 3", "R-7 version 3"),
        ({"version": 3, "on": "2026-03-20", "why": "typing error"}, "version 3 on 2026-03-20 (typing error)"),
        ({"number": "R-9"}, "report R-9"),
        (None, ""),
        (7, ""),
    ],
)
def test_what_replaced_it(tmp_path: Path, by: object, words: str) -> None:
    """In words, from text or from its parts."""
    assert told(tmp_path, replaced_by=by).replaced == words


def test_a_changed_content_no_longer_has_its_fingerprint(tmp_path: Path) -> None:
    """Who alters a figure and not the fingerprint is found out, even if the list of sums was made anew."""
    path = tmp_path / "report.json"
    path.write_bytes(keys.report_json().replace(b"Quiet", b"Queer"))
    assert standing.read(path, DAY).fault == "its fingerprint is not that of its content"


@pytest.mark.parametrize(
    "data",
    [b"", b"\xff", b"{", b"[]", b"null", b"{}", b'{"format": "other"}', b"[" * 100_000, b'{"a": NaN}'],
)
def test_no_report_is_told(tmp_path: Path, data: bytes) -> None:
    """Anything else than our own form is a fault, never an error of ours."""
    path = tmp_path / "report.json"
    path.write_bytes(data)
    assert standing.read(path, DAY).fault


def test_a_huge_file_is_not_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The limit holds before a byte is read."""
    monkeypatch.setattr(standing, "MOST_BYTES", 10)
    assert told(tmp_path).fault == "it is larger than any report's"


_any = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=9),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=9), inner, max_size=3),
    max_leaves=6,
)


@given(survey=_any, people=_any, vessel=_any, edition=_any)
def test_no_value_of_another_kind_breaks_it(survey: Any, people: Any, vessel: Any, edition: Any) -> None:
    """Whatever stands where text or a date should."""
    data = {"format": asjson.FORMAT, "survey": survey, "people": people, "vessel": vessel, "edition": edition}
    data |= {"survey": {"inspected": survey, "number": people, "version": vessel, "replaced_by": edition}}
    found = standing._told(json.loads(json.dumps(data)), DAY)
    assert found.fault == ""


def test_the_site_knows_which_versions_are_replaced() -> None:
    """Only of one number, and what a report says itself goes first."""
    reports = [
        Told(number="A", version=1),
        Told(number="A", version=3),
        Told(number="A", version=2, replaced="version 3 on a day"),
        Told(number="B", version=1),
        None,
        Told(version=1),
        Told(version=2),
    ]
    found = standing.over_all(reports, lambda t: t, lambda _, t: t)
    assert [t.replaced for t in found if t] == [
        "version 3, in the same site",
        "",
        "version 3 on a day",
        *("", "", ""),
    ]


@pytest.mark.parametrize(
    ("contact", "email"),
    [
        ("ruth@example.com", "ruth@example.com"),
        ("+1 555 0100, <ruth@example.com>.", "ruth@example.com"),
        ("ruth (at) example", ""),
        ("", ""),
        ("@", ""),
    ],
)
def test_the_address_in_a_contact(contact: str, email: str) -> None:
    """Found between other words, without the signs around it."""
    assert standing.email_of(contact) == email
