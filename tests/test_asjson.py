"""report.json: every key that the note format promises, in the right type, the same bytes each time."""

from __future__ import annotations

import datetime
import json
import re
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from reportgen import asjson, publish, units
from reportgen.blocks.rates import Rates
from reportgen.edition import NOT_LISTED
from reportgen.errors import Problems
from reportgen.hullnumber import read
from reportgen.report import Report
from reportgen.units import Quantity, Span
from tests import made
from tests.kinds.noted import noted
from tests.project import EDITIONS

OUTCOMES = {"within", "outside", "no limit applies", "not taken"}
STATES = {"open", "reported done", "checked"}
SEVERITIES = ("stop", "settle", "schedule", "watch", "sound")
DAY = re.compile(r"\d{4}-\d\d-\d\d")
MONEY = re.compile(r"-?\d+\.\d\d")
Check = Callable[[Any], bool]


def _text(value: Any) -> bool:
    return isinstance(value, str)


def _said(value: Any) -> bool:
    return isinstance(value, str) and bool(value)


def _day(value: Any) -> bool:
    return isinstance(value, str) and bool(DAY.fullmatch(value))


def _money(value: Any) -> bool:
    return isinstance(value, str) and bool(MONEY.fullmatch(value))


def _whole(value: Any) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and value >= 0


def _number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _quantity(value: Any) -> bool:
    return (
        isinstance(value, dict)
        and set(value) == {"value", "unit"}
        and _number(value["value"])
        and _said(value["unit"])
    )


def _or_null(check: Check) -> Check:
    return lambda value: value is None or check(value)


def _list(check: Check) -> Check:
    return lambda value: isinstance(value, list) and all(map(check, value))


def _one_of(choices: Any) -> Check:
    return lambda value: value in choices


def _yes_no(value: Any) -> bool:
    return isinstance(value, bool)


THREE: dict[str, Check] = {"low": _money, "likely": _money, "high": _money}
# What the note format promises: where (a list is every item of it), and the type of each key.
PROMISED: dict[str, dict[str, Check]] = {
    "": {
        "format": _said,
        "edition": _said,
        "headline": _said,
        "fingerprint": _said,
        "counted_on": _day,
        "unpriced": _whole,
    },
    "survey": {
        "number": _said,
        "version": _whole,
        "status": _said,
        "inspected": _list(_day),
        "reported": _or_null(_day),
        "kind": _said,
        "age_days": _whole,
    },
    "vessel": {"type": _said},
    "people": {"surveyor": lambda v: isinstance(v, dict) and _said(v["name"])},
    "use_limits[]": {"what": _said, "because": _list(_said)},
    "findings[]": {
        "id": _said,
        "ref": _whole,
        "title": _said,
        "severity": _one_of(SEVERITIES),
        "system": _text,
        "state": _one_of(STATES),
        "forbids": _list(_said),
        "basis": _text,
        "confidence": _text,
        "evidence": _list(_said),
        "unpriced": _yes_no,
        "listed_by_tool": _yes_no,
    },
    "readings[]": {
        "id": _said,
        "kind": _said,
        "at": _text,
        "unit": _text,
        "outcome": _one_of(OUTCOMES),
        "because": _said,
        "values": lambda v: isinstance(v, dict),
        "answered_by": _list(_said),
    },
    "readings[].limits[]": {
        "what": _said,
        "value": _number,
        "unit": _said,
        "source": _said,
        "from": _one_of(("note", "general")),
    },
    "readings[].working[]": {
        "step": _said,
        "formula": _text,
        "values": _text,
        "result": _said,
        "unit": _text,
    },
    "readings[].values.*[]": {
        "name": _said,
        "quantity": _or_null(_quantity),
        "state": _one_of(("value", "not taken")),
    },
    "identity[]": {
        "what": _said,
        "advertised": _or_null(lambda v: _said(v) or _number(v) or _quantity(v)),
        "found": _or_null(lambda v: _said(v) or _number(v) or _quantity(v)),
        "agrees": _or_null(_yes_no),
    },
    "hull_number": {
        "text": _said,
        "valid": _yes_no,
        "problems": _list(_said),
        "maker_code": _or_null(_said),
        "serial": _or_null(_said),
        "certified": _or_null(lambda v: bool(re.fullmatch(r"\d{4}-\d\d", v))),
        "model_year": _or_null(_whole),
        "format": _said,
    },
    "coverage": {
        "sound": _list(_said),
        "findings": _whole,
        "not_inspected": _list(lambda v: isinstance(v, dict)),
        "not_mentioned": _list(lambda v: isinstance(v, dict)),
        "counts": lambda v: isinstance(v, dict) and all(map(_whole, v.values())),
    },
    "coverage.not_mentioned[]": {"item": _said, "system": _said},
    "coverage.items[]": {"name": _said, "system": _said, "outcome": _said},
    "coverage.not_inspected[]": {"part": _said, "system": _text, "why": _said},
    "cautions[]": {"hazard": _said, "text": _said, "source": _text, "because": _list(_said)},
    "sources[]": {"id": _said, "title": _said, "clause": _text},
    "left_out": {
        "findings": lambda v: isinstance(v, dict) and all(map(_whole, v.values())),
        "photos": _whole,
    },
}
PROMISED_OF_MONEY: dict[str, dict[str, Check]] = {
    "estimate": {
        **THREE,
        "currency": _said,
        "mean": _money,
        "p10": _money,
        "p50": _money,
        "p90": _money,
        "unpriced": _whole,
        "saved_by_doing_together": _money,
        "lines": _list(lambda v: isinstance(v, dict)),
        "strip_downs": _list(lambda v: isinstance(v, dict)),
    },
    "estimate.lines[]": {**THREE, "what": _said, "group": _said},
    "estimate.strip_downs[]": {**THREE, "name": _said, "needed_by": _list(_said)},
    "estimate.by_finding[]": {"id": _said, "unpriced": _yes_no},
    "estimate.by_payer[]": {**THREE, "name": _said, "unpriced": _whole},
    "estimate.by_visit[]": {**THREE, "name": _said},
    "estimate.by_severity[]": {**THREE, "name": _said},
    "settlement": {
        "material_share": _or_null(_number),
        "material_threshold": _or_null(_number),
        "not_agreed": _money,
        "counted_on": _day,
        "price": _money,
        "unpriced": _whole,
    },
    "settlement.ways[]": {
        "way": _said,
        "buyer_pays": _money,
        "seller_receives": _money,
        "cash_at_closing": _money,
    },
    "valuation": {
        **THREE,
        "currency": _said,
        "market": _money,
        "replacement": _money,
        "value": _money,
        "gross_limit": _number,
        "effective": _day,
        "assumptions": _list(_said),
    },
    "valuation.comparables[]": {
        "what": _said,
        "price": _money,
        "adjusted": _money,
        "net": _money,
        "net_share": _number,
        "gross_share": _number,
        "weight": _number,
        "asked": _yes_no,
        "over": _yes_no,
        "sold": _day,
        "steps": _list(lambda v: isinstance(v, dict)),
    },
    "valuation.comparables[].steps[]": {"of": _said, "why": _said, "amount": _money, "running": _money},
    "valuation.cost_to_come": {"cost": _money, "share": _number, "unpriced": _whole},
    "price": {"currency": _said, "asking": _money, "offered": _money, "material_threshold": _number},
}


def _at(data: Any, path: str) -> list[Any]:
    """Give every value at a path such as `readings[].limits[]`; `*` takes every key."""
    here = [data]
    for step in filter(None, path.split(".")):
        name = step.removesuffix("[]")
        here = [v for each in here for v in (each.values() if name == "*" else [each[name]])]
        here = [v for each in here for v in each] if step.endswith("[]") else here
    return here


@pytest.fixture(scope="module")
def full(tmp_path_factory: pytest.TempPathFactory) -> Report:
    """Give the report with everything in it."""
    return made.full(tmp_path_factory.mktemp("asjson"))


def _data(report: Report, name: str) -> dict[str, Any]:
    """Give report.json as a reader gets it."""
    to = publish.edition_named(name)
    document = asjson.document(made.shown(report, to), to)
    whole: dict[str, Any] = json.loads(asjson.text({**document, "fingerprint": asjson.fingerprint(document)}))
    return whole


@pytest.mark.parametrize("name", EDITIONS)
@pytest.mark.parametrize("path", PROMISED)
def test_promised_keys_are_there(full: Report, path: str, name: str) -> None:
    """Each key of the note format is there with its type, in both editions."""
    _holds(_data(full, name), path, PROMISED[path])


@pytest.mark.parametrize("path", PROMISED_OF_MONEY)
def test_promised_keys_of_money_are_there(full: Report, path: str) -> None:
    """Money is a string with the currency's decimals, a share is a number."""
    _holds(_data(full, "buyer"), path, PROMISED_OF_MONEY[path])


def _holds(data: dict[str, Any], path: str, keys: dict[str, Check]) -> None:
    found = _at(data, path)
    assert found, f"nothing at {path}"
    for item in found:
        for key, right in keys.items():
            assert key in item, f"{path} has no {key}"
            assert right(item[key]), f"{path}.{key}: {item[key]!r}"


def test_tiny_survey_has_what_it_can_have(tmp_path: Path) -> None:
    """A cover note alone gives empty lists, no estimate, no settlement, and no invented value."""
    data = _data(made.tiny(tmp_path), "buyer")
    assert data["findings"] == data["readings"] == data["use_limits"] == []
    covered = data["coverage"]
    assert covered["sound"] == covered["others"] == covered["not_inspected"] == []
    assert covered["beyond_checklist"] == []
    assert covered["findings"] == covered["counts"]["sound"] == 0
    counts = covered["counts"]
    assert counts["not_mentioned"] == counts["items"] == len(covered["not_mentioned"]) > 40
    assert not {"estimate", "settlement", "valuation", "price", "hull_number"} & set(data)
    assert data["survey"]["reported"] is None
    assert data["cautions"]


def test_seller_has_no_money_and_no_numbers(full: Report) -> None:
    """What the public may not see is no key at all."""
    data = _data(full, "seller")
    assert not {"estimate", "settlement", "valuation", "price"} & set(data)
    assert not any({"repair", "pays", "cost", "settle_by"} & set(f) for f in data["findings"])
    assert data["hull_number"]["serial"] == "•••••"
    assert data["left_out"]["findings"] == {"sound": 1}
    assert "public" not in json.dumps(data["findings"])


def test_stated_value_without_comparables_has_no_range(tmp_path: Path) -> None:
    """Keys that the note format promises are there, as null and an empty list: never as nothing or zero."""
    money = {"price": {"currency": "USD"}, "value": {"market": 21000}}
    value = _data(made.built(made.write(tmp_path / "boat", made.TINY | money)), "buyer")["valuation"]
    assert (value["low"], value["likely"], value["high"], value["comparables"]) == (None, None, None, [])
    assert (value["market"], value["value"]) == ("21000.00", "21000.00")


def test_findings_stand_worst_first_with_their_numbers(full: Report) -> None:
    """Worst first, and the numbers run on from one."""
    findings = _data(full, "buyer")["findings"]
    assert [f["ref"] for f in findings] == list(range(1, len(findings) + 1))
    ranks = [SEVERITIES.index(f["severity"]) for f in findings]
    assert ranks == sorted(ranks)


def test_every_id_that_is_named_is_there(full: Report) -> None:
    """Reasons, evidence, answers and shares name findings and readings of the same file."""
    data = _data(full, "seller")
    ids = {x["id"] for x in (*data["findings"], *data["readings"])}
    named = {i for u in data["use_limits"] for i in u["because"]}
    named |= {i for f in data["findings"] for i in f["evidence"]}
    named |= {i for r in data["readings"] for i in r["answered_by"]}
    assert named
    assert named - {NOT_LISTED} <= ids


def test_file_is_sorted_stable_utf_8(full: Report) -> None:
    """Keys are sorted, letters stand as they are, and the same report gives the same bytes."""
    to = publish.edition_named("buyer")
    one, other = (asjson.text(asjson.document(made.shown(full, to), to)) for _ in range(2))
    assert one == other
    assert one.endswith("}\n")
    assert "\\u" not in one

    def pairs(items: list[tuple[str, Any]]) -> dict[str, Any]:
        assert [k for k, _ in items] == sorted(k for k, _ in items)
        return dict(items)

    json.loads(one, object_pairs_hook=pairs)


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_no_number_that_json_does_not_know(value: float) -> None:
    """A figure that is none stops the publishing instead of making a file that nobody can read."""
    with pytest.raises(ValueError, match="JSON compliant"):
        asjson.text({"a": value})
    with pytest.raises(ValueError, match="JSON compliant"):
        asjson.fingerprint({"a": value})


@pytest.mark.parametrize("told", ["", '\n\t"fingerprint":\t"",', "a\tb", "\n \u00e9"])
def test_file_and_fingerprint_made_at_once(full: Report, told: str) -> None:
    """Both are what they are when made one after the other, whatever stands in the report's texts."""
    to = publish.edition_named("buyer")
    document = asjson.document(made.shown(full, to), to) | {
        "headline": told,
        "counted": [{"fingerprint": ""}],
    }
    print_ = asjson.fingerprint(document)
    text = asjson.text({**document, "fingerprint": print_})
    assert asjson.published(document) == (print_, text)


def test_fingerprint_follows_every_value() -> None:
    """The fingerprint is four groups of four digits, blind to itself, and another for another value."""
    one = asjson.fingerprint({"a": 1, "b": [2]})
    assert re.fullmatch(r"([0-9a-f]{4} ){3}[0-9a-f]{4}", one)
    assert one == asjson.fingerprint({"b": [2], "a": 1, "fingerprint": one})
    assert one != asjson.fingerprint({"a": 1, "b": [3]})


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (Quantity(Decimal("7.20"), "m"), {"value": 7.2, "unit": "m"}),
        (Quantity(Decimal("-15"), "°C"), {"value": -15, "unit": "°C"}),
        (
            Span(Decimal("2"), Decimal("2.5"), Decimal("4"), "h"),
            {"low": "2", "likely": "2.5", "high": "4", "unit": "h"},
        ),
        (
            Span(Decimal("5.00"), Decimal("5.00"), Decimal("5.00")),
            dict.fromkeys(("low", "likely", "high"), "5.00"),
        ),
        (Decimal("1.2E+3"), "1200"),
        (Decimal("0.00"), "0.00"),
        ((1, "a", None), [1, "a", None]),
        ({"a": Decimal("1.50")}, {"a": "1.50"}),
    ],
)
def test_plain_values(value: Any, shown: Any) -> None:
    """Each value has one form, and money never an exponent."""
    assert asjson.plain(value) == shown


def test_shares_are_numbers_and_sums_are_text() -> None:
    """Of the rates, percentages are numbers and money is text with its decimals."""
    rates = Rates({"": Decimal("145.00")}, supplies=Decimal("6.5"), supplies_cap=Decimal("80.00"))
    assert asjson.plain(rates) == {
        "labour": {"": "145.00"},
        "parts_tax": 0,
        "labour_tax": 0,
        "supplies": 6.5,
        "supplies_cap": "80.00",
        "contingency": 0,
    }


@pytest.mark.parametrize(("code", "decimals"), [("USD", 2), ("JPY", 0), ("KWD", 3)])
def test_currencies_keep_their_decimals(code: str, decimals: int) -> None:
    """A sum has as many decimals as its currency."""
    assert len(asjson.plain(units.half_up(Decimal("1234.5678"), decimals)).partition(".")[2]) == decimals
    assert units.decimals(code) == decimals


def test_hull_number_that_tells_nothing_has_nulls(tmp_path: Path) -> None:
    """Where nothing can be read out of a number, the keys are there and null."""
    report = made.replaced(
        made.tiny(tmp_path), hull_number=read("hand-painted", latest=datetime.date(2026, 1, 1))
    )
    hull = _data(report, "buyer")["hull_number"]
    assert (hull["certified"], hull["model_year"], hull["maker_code"], hull["serial"]) == (None,) * 4
    assert hull["problems"]


def test_words_of_a_table_are_in_it() -> None:
    """A row of words, such as what a borescope showed, is not lost for having no number."""
    problems = Problems()
    rows = "| cylinder | seen |\n|---|---|\n| 1 | scoring, light |\n| 2 | not taken: plug seized |\n"
    table = noted("kind: borescope\n" + rows, problems).table
    assert table is not None
    assert not list(problems)
    words = [row["words"][0] for row in asjson._table(table, {})["rows"]]
    assert [(w["text"], w["why"]) for w in words] == [("scoring, light", ""), ("", "plug seized")]
