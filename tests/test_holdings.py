"""README says of each edition what its declaration says: the tables are made from it, word for word."""

from __future__ import annotations

import pytest

from reportgen import holdings, racks
from reportgen.edition import CATEGORIES
from tests.project import text_of
from tests.test_edition import SHARES


@pytest.mark.parametrize("made", [holdings.table, holdings.parts])
def test_readme_holds_the_table(made: object) -> None:
    """A change of an edition's declaration is a change of README.md; here is what to paste."""
    assert callable(made)
    assert made() in text_of("README.md"), f"paste this into README.md:\n{made()}"


def test_every_category_has_a_row_and_every_edition_a_column() -> None:
    """Nothing that a key may stand under is passed over."""
    assert set(CATEGORIES) == SHARES
    lines = holdings.table().splitlines()
    assert len(lines) == len(CATEGORIES) + 4
    assert {line.count("|") for line in lines} == {len(racks.names("editions")) + 2}
    assert {e.name for e in holdings.editions()} == set(racks.names("editions"))


def test_rows_say_what_the_tables_of_the_trade_say() -> None:
    """By the requirements: value for lender and insurer, numbers masked in public, private nowhere."""
    cells = [line.strip("| ").split(" | ") for line in holdings.table().splitlines()[2:-2]]
    row = {first.split("`")[1]: rest for first, *rest in cells}
    at = [e.name for e in holdings.editions()].index
    assert row["value"][at("lender")] == row["value"][at("insurer")] == "yes"
    assert row["hull number"][at("seller")] == row["serial"][at("seller")] == "masked"
    assert row["cost"][at("lender")] == "no"
    assert row["cost totals"][at("insurer")] == "may be added"
    for name in ("private", "exact place"):
        assert set(row[name]) == {"no"}
