"""Data is written as Python's own JSON writer has it."""

from __future__ import annotations

import json
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reportgen.jsontext import packed, tabbed, written

FLOATS = st.floats(allow_nan=False, allow_infinity=False)
TEXTS = st.text(st.characters(exclude_categories=["Cs"]))
LEAVES = st.none() | st.booleans() | st.integers() | FLOATS | TEXTS
DATA = st.recursive(LEAVES, lambda part: st.lists(part) | st.dictionaries(TEXTS, part), max_leaves=20)


@given(DATA)
def test_any_data(data: Any) -> None:
    assert written(data) == json.dumps(data, ensure_ascii=False, allow_nan=False, sort_keys=True, indent=1)


@given(DATA)
def test_without_blanks(data: Any) -> None:
    """What is left without tabs and line ends is what Python writes without blanks, blanks in texts kept."""
    bare = json.dumps(data, ensure_ascii=False, allow_nan=False, sort_keys=True, separators=(",", ":"))
    assert packed(tabbed(data)) == bare.encode()


@pytest.mark.parametrize("value", [float("nan"), float("inf"), -float("inf")])
def test_a_number_that_json_does_not_know_is_refused(value: float) -> None:
    with pytest.raises(ValueError, match="JSON compliant"):
        written([value])


@pytest.mark.parametrize("value", [Decimal(1), {1: "a"}, {"a": {2}}])
def test_what_has_no_form_is_refused(value: Any) -> None:
    with pytest.raises(TypeError):
        written(value)
