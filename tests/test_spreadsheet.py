"""costs.csv and work-list.csv: open without guessing, add up in every column, and hold no formula.

Form: RFC 4180, section 2 (line ends, header, equal rows, quoting). Guard: OWASP, CSV Injection, which names
= + - @, tab, carriage return and line feed at the start of a cell, and warns of separators inside one.
"""

from __future__ import annotations

import csv
import io
import re
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reportgen import estimate, publish, spreadsheet, theme
from reportgen.blocks.repair import Part, Repair, StripDown
from reportgen.costshares import FindingCost
from reportgen.estimate import Estimate
from reportgen.model import Cover, Finding
from reportgen.report import Cost, ListedFinding, Report
from tests import made, money
from tests.test_worklist import report_of

COLUMNS = ("low", "likely", "high")


def _rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline="")))


def _report(*findings: Finding, cover: Cover = money.WORKED) -> Report:
    """Give a report of findings with their estimate, as report.py makes it."""
    found = estimate.build(findings, cover, money.DAY)
    assert found is not None
    listed = tuple(ListedFinding(n, f, f.state) for n, f in enumerate(findings, 1))
    return Report(cover=cover, findings=listed, estimate=found, unpriced=found.unpriced)


def _old() -> Finding:
    return money.finding("old", money.repair("9"), checked=money.CHECKED)


def _costs(report: Report) -> list[dict[str, str]]:
    text = spreadsheet.costs(report)
    assert text is not None
    return _rows(text)


CAPPED = money.cover(
    rates=money.rates("100", supplies="10", supplies_cap="30", parts_tax="7", contingency="15")
)
CASES = {
    "worked example": _report(money.BELLOWS, money.BEARING, money.RISERS),
    "checked work left out": _report(money.BELLOWS, _old()),
    "cap that turns a share round": _report(
        money.finding("a", money.repair("1 / 1 / 1", "10 / 10 / 10")),
        money.finding("b", money.repair("1 / 2 / 50", "10 / 20 / 30")),
        cover=CAPPED,
    ),
    "one without a price": _report(money.BELLOWS, money.finding("bare")),
    "shares that do not divide": _report(
        *(money.finding(f"f{n}", money.repair("0.333")) for n in range(7)), cover=CAPPED
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_rows_add_up_to_the_total(case: str) -> None:
    """In each column the findings add up, to the cent, to the total that the page prints."""
    report = CASES[case]
    *rows, total = _costs(report)
    assert report.estimate is not None
    assert rows
    for column in COLUMNS:
        assert sum(Decimal(row[column] or 0) for row in rows) == Decimal(total[column])
        assert Decimal(total[column]) == getattr(report.estimate, column)


def test_the_cap_turns_a_share_round_in_that_case() -> None:
    """The case above is what it says: a low share above its high one, which must not be put in order here."""
    rows = _costs(CASES["cap that turns a share round"])
    assert any(Decimal(r["low"]) > Decimal(r["high"]) for r in rows)


def test_item_without_a_price_has_no_figure() -> None:
    """Never zero: the cells are empty, and the total says how many it leaves out."""
    *rows, total = _costs(CASES["one without a price"])
    bare = next(r for r in rows if r["id"] == "bare")
    assert [bare[c] for c in (*COLUMNS, "priced")] == ["", "", "", "no"]
    assert total["priced"] == "1 not priced"


def test_nothing_priced_has_no_total() -> None:
    """A sum of nothing is not zero money."""
    *_, total = _costs(_report(money.finding("bare")))
    assert [total[c] for c in (*COLUMNS, "priced")] == ["", "", "", "1 not priced"]


def test_cells_are_as_a_spreadsheet_reads_them() -> None:
    """Decimal point, no thousands mark, ISO currency; shares of who pays in words."""
    paid = money.finding(
        "a", money.repair(cost="12345.50"), pays={"seller": Decimal(60), "buyer": Decimal(40)}
    )
    row, total = _costs(_report(paid))
    assert row["likely"] == total["likely"] == "12345.50"
    assert (row["currency"], row["who pays"], row["ref"], row["priced"]) == (
        "USD",
        "seller 60 %; buyer 40 %",
        "1",
        "yes",
    )


FORMULAS = [
    "=1+1", "+1", "-1", "@SUM(A1)", "\tx", "\rx", "\nx", " =1", '"=1', "'=1", "\u00a0=1", "\ufeff=1", '" +1',
    "\uff1d1", "\uff0b1", "\uff0d1", "\uff20x", "=cmd|' /C calc'!A0", "-2+3+cmd|x",
]  # fmt: skip


@pytest.mark.parametrize("title", FORMULAS)
def test_text_is_no_formula(title: str) -> None:
    """A title that a spreadsheet would reckon with begins with an apostrophe, and is whole behind it."""
    entry = Finding(id="a", title=title, severity="settle", repair=money.repair(cost="5.00"))
    assert _costs(_report(entry))[0]["title"] == f"'{title}"


@pytest.mark.parametrize("title", ["Riser = worn", "5 - 6 mm", "a@b", "O'Neil", "(=)", "Änderung, außen"])
def test_ordinary_text_stands_as_written(title: str) -> None:
    """Signs within a title are no formula."""
    entry = Finding(id="a", title=title, severity="settle", repair=money.repair(cost="5.00"))
    assert _costs(_report(entry))[0]["title"] == title


def test_figures_are_never_guarded() -> None:
    """Numbers stay numbers, whatever the text cells need."""
    cost = FindingCost("a", low=Decimal("-5.00"), likely=Decimal("0.00"), high=Decimal("7.00"))
    found = Estimate("USD", by_finding=(cost,), low=Decimal("-5.00"), high=Decimal("7.00"), priced=1)
    listed = ListedFinding(1, Finding(id="a", title="A", severity="settle"), "open", Cost())
    assert [_costs(Report(findings=(listed,), estimate=found))[0][c] for c in COLUMNS] == [
        "-5.00",
        "0.00",
        "7.00",
    ]


def test_no_costs_no_file(tmp_path: Path) -> None:
    """Where the edition shows no costs there is no file of them."""
    assert spreadsheet.costs(made.tiny(tmp_path)) is None
    assert spreadsheet.costs(made.shown(made.full(tmp_path), publish.edition_named("seller"))) is None


def test_published_file_has_a_mark_and_line_ends(tmp_path: Path) -> None:
    """UTF-8 with its mark and CRLF, so that every spreadsheet takes it without asking."""
    title = "Änderung – außen"
    body = f"## {title}\n```finding\nseverity: watch\nlook again: yearly\nrepair: {{cost: 50}}\n```\n"
    front = made.TINY | {"price": {"currency": "EUR"}}
    folder = made.write(tmp_path / "boat", front, body)
    publish.publish(folder, tmp_path / "out", publish.Wish(publish.edition_named("buyer"), theme.find()))
    data = (tmp_path / "out" / "costs.csv").read_bytes()
    assert data.startswith(b"\xef\xbb\xbfref,id,title,")
    assert data.count(b"\r\n") == data.count(b"\n") == 3
    assert _rows(data.decode("utf-8-sig"))[0]["title"] == title


# ---- the form, read by the grammar of RFC 4180 itself and by programs that split at other signs

_FIELD = r'(?:"(?:[^"]|"")*"|[^",\r\n]*)'
RECORDS = re.compile(rf"(?:{_FIELD}(?:,{_FIELD})*\r\n)*")
SIGNS = (*"=+-@;,\"'\t 0aÄ", "\uff1d", "\u00a0")
LETTERS = st.characters(codec="utf-8", categories=["L", "N"])
TEXTS = st.text(st.sampled_from(SIGNS) | LETTERS, min_size=1, max_size=12)
STARTS = re.compile("^[ \"'\u00a0\u200b\ufeff\u3000]*[=+\\-@\uff1d\uff0b\uff0d\uff20\t]")


def _named(title: str) -> Report:
    """Give a report whose finding, part and strip-down are called by a text, with costs and a work list."""
    work = Repair((title,), money.hours("2"), title, (Part(title, 1, money.span("5.00"), title),))
    entry = Finding(id="a", title=title, severity="settle", repair=work)
    cover = money.cover(strip_downs={title: StripDown(parts=(Part(title, 2, money.span("3.00")),))})
    whole = report_of(entry, cover=cover)
    return made.replaced(whole, estimate=estimate.build([entry], cover, money.DAY))


def _sheets(report: Report) -> list[str]:
    sheets = [spreadsheet.costs(report), spreadsheet.work(report)]
    assert all(sheets)
    return [sheet for sheet in sheets if sheet]


@given(TEXTS)
def test_any_text_keeps_to_the_form(title: str) -> None:
    """Lines end with CR LF, every row has as many cells as the header, quotes are doubled within quotes."""
    for sheet in _sheets(_named(title)):
        assert RECORDS.fullmatch(sheet)
        rows = list(csv.reader(io.StringIO(sheet, newline=""), strict=True))
        assert {len(row) for row in rows} == {len(rows[0])}
        assert len(rows) >= 3
    assert _costs(_named(title))[0]["title"].replace("'", "") == title.replace("'", "")


@given(TEXTS)
def test_no_text_begins_a_formula_wherever_a_program_splits(title: str) -> None:
    """Neither at commas nor where semicolons or tabs are taken for the separator, as in many countries."""
    for sheet in _sheets(_named(title)):
        for separator in ",;\t":
            for row in csv.reader(io.StringIO(sheet, newline=""), delimiter=separator):
                started = [
                    cell for cell in row if STARTS.match(cell) and not cell.lstrip(" ").startswith("'")
                ]
                assert not started


@pytest.mark.parametrize("title", ["seal;=1+2", "seal; -1", 'seal";=1+2', "a;@x"])
def test_cell_within_a_text_is_guarded_too(title: str) -> None:
    """The second example of the page named above: a separator and a sign in the middle of the text."""
    assert ";'" in _costs(_named(title))[0]["title"]


def test_form_is_really_read() -> None:
    """The grammar refuses bare line feeds, open quotes and quotes within a bare cell."""
    for wrong in ("a,b\n", '"a,b\r\n', 'a"b,c\r\n', "a,b"):
        assert not RECORDS.fullmatch(wrong)
    assert RECORDS.fullmatch('a,"b ""c"" \r\n d",\r\n')


# ---- the work list


def _work(report: Report) -> list[dict[str, str]]:
    text = spreadsheet.work(report)
    assert text is not None
    return _rows(text)


def test_work_list_has_a_row_for_each_thing_to_be_priced() -> None:
    """Strip-down first, then the job's labour and part; hours are numbers, prices blank, currency stated."""
    cover = money.cover(
        strip_downs={"drive off": StripDown(money.hours("1 / 1.5 / 2"), "mechanical", (Part("gasket", 2),))}
    )
    job = money.finding(
        "seal", Repair(("drive off",), money.hours("0.5"), "mechanical", (Part("seal kit", 1, None, "S-17"),))
    )
    names = ("step", "strip-down", "id", "work or part", "trade", "part number", "hours likely", "count")
    assert [tuple(row[n] for n in names) for row in _work(report_of(job, cover=cover))] == [
        ("1", "drive off", "", "Labour", "mechanical", "", "1.5", ""),
        ("1", "drive off", "", "gasket", "", "", "", "2"),
        ("1", "drive off", "seal", "Labour", "mechanical", "", "0.5", ""),
        ("1", "drive off", "seal", "seal kit", "", "S-17", "", "1"),
    ]
    rows = _work(report_of(job, money.finding("bare"), cover=cover))
    assert {row["price each"] + row["amount"] for row in rows} == {""}
    assert {row["currency"] for row in rows} == {"USD"}
    assert [row["work or part"] for row in rows if row["id"] == "bare"] == ["The whole job"]


def test_no_work_no_file(tmp_path: Path) -> None:
    """Without an open job, or for a reader who may not see the work, there is no file of it."""
    assert spreadsheet.work(report_of()) is None
    assert spreadsheet.work(made.shown(made.full(tmp_path), publish.edition_named("seller"))) is None
