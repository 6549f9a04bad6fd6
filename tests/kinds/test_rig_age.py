"""Ages of rigging: counted on the report's day, unknown never within, the usual ten years no limit.

No outside check for a limit exists: insurers' ten years is common practice without a source, and what is
published disagrees. Ages are counted by hand.
"""

from __future__ import annotations

from datetime import date

import pytest

from reportgen.kind import About
from reportgen.kinds.rig_age import KIND
from tests.kinds.noted import assessed, mistakes

SOURCE = 'source: "invented policy 8"'
ON = About(counted_on=date(2026, 5, 12))


def fence(fitted: str, limit: str = "", more: str = "") -> str:
    """Give a fence."""
    line = f"limit: {{{limit}, {SOURCE}}}\n" if limit else ""
    return f"kind: rig-age\nfitted: {fitted}\n{more}{line}"


def test_ten_years_is_not_judged() -> None:
    """A rig of thirty years has no limit unless the note brings one; the usual line is told as what it is."""
    found = assessed(fence("{backstay: 1996}"), ON)
    assert found.outcome == "no limit applies"
    assert not found.judged
    assert any("Ten years or older: backstay" in s and "without a source" in s for s in found.says)
    assert any("common practice, no source" in c for c in found.criteria)
    assert not any("Ten years or older" in s for s in assessed(fence("{backstay: 2020}"), ON).says)


@pytest.mark.parametrize(
    ("fitted", "outcome"),
    [
        ("2016-05-12", "within"),  # ten years to the day
        ("2016-05-13", "within"),
        ("2016-05-11", "outside"),
        ("2016-06", "within"),
        ("2016-05", "outside"),  # from the first of the month
        ("2016", "outside"),  # from the first of the year
        ("2017", "within"),
    ],
)
@pytest.mark.parametrize("limit", ["age: 10 years", "age: 120 months", "age: {backstay: 10 years}"])
def test_note_limit_on_its_day(fitted: str, limit: str, outcome: str) -> None:
    """The birthday itself is within, the day after is outside; vague dates count from their first day."""
    assert assessed(fence(f"{{backstay: {fitted}}}", limit), ON).outcome == outcome


def test_counted_on_the_day_of_the_report() -> None:
    """The last day of the inspection counts, or the day that the note names; the page says which."""
    found = assessed(fence("{backstay: 2015-05-12}"), ON)
    assert [(s.values, s.result) for s in found.working] == [("2026-05-12 - 2015-05-12", "11")]
    assert "Ages are counted on 12 May 2026." in found.says
    other = assessed(fence("{backstay: 2015-05-12}", more="counted on: 2020-05-12\n"), ON)
    assert [s.result for s in other.working] == ["5"]


def test_unknown_is_never_within() -> None:
    """Not known leaves the whole not taken and is said; an old part beside it is outside all the same."""
    found = assessed(fence("{backstay: 2020, forestay: not known}", "age: 10 years"), ON)
    assert found.outcome == "not taken"
    assert "Of unknown age, and so to be taken as old: forestay." in found.says
    assert assessed(fence("{backstay: 2010, forestay: not known}", "age: 10 years"), ON).outcome == "outside"


def test_no_day_to_count_on() -> None:
    """Without a day of inspection there is no age, and nothing is within."""
    assert assessed(fence("{backstay: 2020}", "age: 10 years"), About()).outcome == "not taken"


def test_dates_that_cannot_be() -> None:
    """A date after the inspection is not judged and told; words that are no date are a mistake."""
    found = assessed(fence("{backstay: 2027}", "age: 10 years"), ON)
    assert found.outcome == "not taken"
    assert found.warnings[0][0] == "backstay: fitted 2027, after the day counted on"
    [said] = mistakes(fence("{backstay: 12/05/2014}"))
    assert "2014-05-17" in said


def test_names_that_do_not_match_are_told() -> None:
    """A limit or a proof for a part that isn't listed is told."""
    text = fence("{backstay: 2020}", "age: {backstya: 10 years}", "told by: {mast: invoice}\n")
    assert [w[0] for w in assessed(text, ON).warnings] == ["told by names mast", "limit names backstya"]


def test_chart_and_table() -> None:
    """Bars in years with the note's line; the table says when each was fitted and who says so."""
    chart = assessed(KIND.example, ON).chart
    assert chart is not None
    assert [line["value"] for line in chart.data["limits"]] == [10.0]
    assert chart.data["outside"] == ("cap shrouds", "backstay")
    assert chart.table.rows[0] == ("cap shrouds", "11.1, outside", "2015-04-20", "invoice")
    assert chart.table.rows[3] == ("chainplates", "not taken", "not known", "not stated")


def test_a_vague_date_is_said_to_count_from_its_first_day() -> None:
    """A month or a year alone is counted from its start, so that no part is taken as younger than it is."""
    fitted = "{backstay: 2020-03-01, forestay: 2019-06, mast: 2018, boom: not known}"
    said = [s for s in assessed(fence(fitted), ON).says if "first day" in s]
    assert said == ["Counted from the first day of the month or year written: forestay and mast."]
    assert not [s for s in assessed(fence("{backstay: 2020-03-01}"), ON).says if "first day" in s]


def test_ages_are_told_where_no_limit_judges_them() -> None:
    """A reader sees how old each part is without opening the chart; what nobody knows is no number."""
    found = assessed(fence("{backstay: 2015-05-12, chainplates: not known}"), ON)
    [(_, cells)] = found.values
    assert [(c.name, str(c.quantity)) for c in cells] == [("backstay", "11 years")]
