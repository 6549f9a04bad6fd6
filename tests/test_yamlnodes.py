"""YAML as nodes: words stay words, and what YAML would read into one is found with its place."""

from __future__ import annotations

import pytest
import yaml

from reportgen import yamlnodes


def test_no_word_changes_its_meaning() -> None:
    """YAML by itself makes a truth, a number to the base of sixty, a date and nothing of these."""
    node = yamlnodes.compose("[no, 12:30, 2026-05-14, ~, 1_000]")
    assert isinstance(node, yaml.SequenceNode)
    assert [each.value for each in node.value] == ["no", "12:30", "2026-05-14", "~", "1_000"]
    assert yamlnodes.compose("") is None


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("a: &b c", [(3, "&", "an anchor")]),
        ("a: *b", [(3, "*", "an alias")]),
        ("[!b c, *d]", [(1, "!", "a tag"), (7, "*", "an alias")]),
        ("a: b & c", []),
        ("a: 'x *y'", []),
    ],
)
def test_what_yaml_would_read_into_a_word_is_found(text: str, found: list[tuple[int, str, str]]) -> None:
    assert [(mark.column, sign, name) for mark, sign, name in yamlnodes.forbidden(text)] == found
