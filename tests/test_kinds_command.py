"""`kinds --json` tells of a kind what the kind says of itself."""

from __future__ import annotations

import json

import pytest

from reportgen import cli, racks
from reportgen.block import keys_of
from reportgen.kind import Kind

KINDS: dict[str, Kind] = {k.name: k for k in racks.all_of("kinds", "KIND").values()}


def test_every_kind_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    """All kinds are told, each with its keys, and every limit with its figure and source."""
    assert cli.main(["kinds", "--json"]) == 0
    told = {one["kind"]: one for one in json.loads(capsys.readouterr().out)}
    assert list(told) == list(KINDS)
    for name, kind in KINDS.items():
        assert [k["key"] for k in told[name]["keys"]] == list(keys_of(kind.fields))
        assert [(li["value"], li["source"]) for li in told[name]["limits"]] == [
            (li.value, li.source) for li in kind.limits
        ]
        assert told[name]["limits"] or told[name]["no_limit_because"] or not kind.no_source


def test_one_kind_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    """One kind is an object; an unknown one is refused as without --json."""
    assert cli.main(["kinds", "compression", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["kind"] == "compression"
    assert cli.main(["kinds", "comprehension", "--json"]) == 2
    assert capsys.readouterr().out == ""
