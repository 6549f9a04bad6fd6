"""Sources: every row can be found again, says how it was read, and names no brand's page."""

from __future__ import annotations

import re

import pytest
import yaml

from reportgen import sources
from reportgen.sources import Source
from tests.project import PACKAGE

ROWS = sources.all_sources()
TEXT = (PACKAGE / "sources.yaml").read_text(encoding="utf-8")


@pytest.mark.parametrize("id", ROWS)
def test_row_is_whole(id: str) -> None:
    """A row has an id in words, a title, and how it was read."""
    row = ROWS[id]
    assert re.fullmatch(r"[a-z0-9]+([-.][a-z0-9]+)*", id)
    assert row.title
    assert len(row.read.split()) > 1, row.read


def test_rows_have_known_keys_once() -> None:
    """A misspelt key would be lost in silence, and so would the first of two rows of one id."""
    known = {"title", "publisher", "edition", "clause", "read"}
    rows = yaml.safe_load(TEXT)
    assert not {id: set(row) - known for id, row in rows.items() if set(row) - known}
    ids = re.findall(r"(?m)^([a-z0-9.-]+):", TEXT)
    assert sorted(ids) == sorted(set(ids)) == sorted(rows)


def test_no_web_address() -> None:
    """Addresses go stale and can name a maker; the title and clause must be enough to find a source."""
    assert "://" not in TEXT
    assert "www." not in TEXT


def test_printed_with_what_is_known() -> None:
    """A source is printed publisher first; what isn't known leaves no stray comma."""
    assert (
        str(Source("x", "a manual", "a maker", "1999", "page 3", "read")) == "a maker, a manual, 1999, page 3"
    )
    assert str(Source("x", "a manual", "a maker", "", "", "read")) == "a maker, a manual"


def test_what_was_not_read_says_so() -> None:
    """The circular is known by quotation only, and the factor for 8000 ft only from memory."""
    assert "the circular itself not read" in sources.get("leak-down-aircraft").read
    assert "8000 ft from memory" in sources.get("altitude-factors").read


def test_unknown_id_is_a_bug_told_at_once() -> None:
    """Asking for a row that isn't there raises, so that no limit goes without its source."""
    with pytest.raises(KeyError):
        sources.get("no-such-row")
