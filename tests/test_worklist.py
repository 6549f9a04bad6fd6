"""The order of work: a strip-down before what needs it, each job once, the gravest first, hours by trade."""

from __future__ import annotations

import dataclasses
import datetime
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reportgen import cautions, findings, worklist
from reportgen.blocks.repair import Charge, Repair, StripDown
from reportgen.model import Cover, Finding
from reportgen.report import ListedFinding, Report
from reportgen.units import Span
from reportgen.worklist import WorkList
from tests import money


def work(*every: Finding, cover: Cover | None = None, on: datetime.date = money.DAY) -> WorkList | None:
    """Give the work list of some findings."""
    return worklist.build(every, cover or money.cover(), on)


def report_of(*every: Finding, cover: Cover | None = None, on: datetime.date = money.DAY) -> Report:
    """Give a report with a work list, as report.py makes it."""
    ordered = findings.order(every, {})
    return Report(
        cover=cover or money.cover(),
        findings=tuple(ListedFinding(n, f, f.state) for n, f in enumerate(ordered, 1)),
        use_limits=findings.use_limits(ordered),
        cautions=cautions.attach(ordered, (), "gasoline inboard"),
        work_list=work(*every, cover=cover, on=on),
    )


def _order(made: WorkList | None) -> list[tuple[str, tuple[str, ...]]]:
    assert made is not None
    return [(group.strip_down, group.jobs) for group in made.groups]


def _job(id: str, *needs: str, severity: str = "settle", hours: str = "1", **keys: object) -> Finding:
    return money.finding(id, money.repair(hours, needs=needs), severity, **keys)


CHAIN = money.cover(
    strip_downs={
        "valve cover off": money.strip_down("0.5", needs=("head off",)),
        "head off": money.strip_down("3", needs=("manifold off", "coolant drained")),
        "manifold off": money.strip_down("1"),
        "coolant drained": money.strip_down("0.3"),
        "nobody needs it": money.strip_down("9"),
    }
)


def test_nested_strip_downs_open_from_the_outside() -> None:
    """The outer ones stand first although only the innermost is named, and none that nobody needs."""
    assert _order(work(_job("seals", "valve cover off"), cover=CHAIN)) == [
        ("manifold off", ()),
        ("coolant drained", ()),
        ("head off", ()),
        ("valve cover off", ("seals",)),
    ]


def test_shared_strip_down_stands_once() -> None:
    """Two jobs at one strip-down, and the deeper job after it."""
    made = work(_job("a", "manifold off"), _job("b", "head off"), _job("c", "manifold off"), cover=CHAIN)
    assert _order(made)[0] == ("manifold off", ("a", "c"))
    assert made is not None
    assert [g.needed_by for g in made.groups] == [("a", "b", "c"), ("b",), ("b",)]
    assert made.groups[-1].after == ("manifold off", "coolant drained")


def test_gravest_first_where_the_order_is_free() -> None:
    """A stop leads, whatever stands before it in the notes; its strip-down comes along."""
    cover = money.cover(strip_downs={"shaft out": StripDown(), "rudder out": StripDown()})
    stop = _job("stop", "rudder out", severity="stop", forbids=("launching",))
    later = _job("later", severity="schedule")
    assert [name for name, _ in _order(work(later, _job("shaft", "shaft out"), stop, cover=cover))] == [
        "rudder out",
        "shaft out",
        "",
    ]


def test_stop_that_harms_without_warning_leads_the_stops() -> None:
    """Fuel vapour is dealt with before anybody works on a cracked hose beside it."""
    hose = _job("hose", severity="stop", forbids=("launching",), hazards=("flooding",))
    leak = _job("leak", severity="stop", forbids=("launching",), hazards=("explosion",))
    grave = _job("grave", severity="settle", hazards=("explosion",))
    assert _order(work(hose, grave, leak)) == [("", ("leak", "hose")), ("", ("grave",))]


def test_what_needs_nothing_opened_goes_ahead_of_its_like() -> None:
    """Of two stops that harm without warning the one within reach leads; other jobs wait for all stops."""
    cover = money.cover(strip_downs={"manifold off": StripDown(), "hatch off": StripDown()})
    stop = {"severity": "stop", "forbids": ("running the engine",)}
    elbow = _job("elbow", "manifold off", hazards=("carbon monoxide",), **stop)
    leak = _job("leak", hazards=("explosion",), **stop)
    mine = [_job("light"), elbow, leak, _job("hatch", "hatch off")]
    assert _order(work(*mine, cover=cover)) == [
        ("", ("leak",)),
        ("manifold off", ("elbow",)),
        ("", ("light",)),
        ("hatch off", ("hatch",)),
    ]


def test_strip_downs_that_need_each_other_do_not_hang_it() -> None:
    """That mistake is told where the notes are checked; the list still holds each of them once."""
    cover = money.cover(
        strip_downs={"a": money.strip_down(needs=("b",)), "b": money.strip_down(needs=("a",))}
    )
    assert _order(work(_job("x", "a"), cover=cover)) == [("a", ()), ("b", ("x",))]


def test_unknown_strip_down_is_passed_over() -> None:
    """A name that the cover note does not know is told elsewhere; the job is still in the list."""
    assert _order(work(_job("x", "no such thing"))) == [("", ("x",))]


@pytest.mark.parametrize("state", ["reported done", "checked"])
def test_work_that_is_done_is_no_job(state: str) -> None:
    """Done and checked work is named apart; alone it makes no list."""
    keys = {"reported done": {"reported_done": money.DONE}, "checked": {"checked": money.CHECKED}}[state]
    done = _job("done", **keys)
    assert work(done) is None
    made = work(done, _job("open"))
    assert made is not None
    assert made.ids == ("open",)
    assert getattr(made, state.replace(" ", "_")) == ("done",)


def test_finding_without_a_repair_is_a_job_where_something_is_asked() -> None:
    """Stop, settle and schedule ask for work even where no repair is noted; watch and sound do not."""
    bare = [money.finding(s, None, s) for s in ("sound", "watch", "schedule", "settle", "stop")]
    made = work(*bare)
    assert made is not None
    assert made.ids == ("stop", "settle", "schedule")
    assert made.without_hours == made.ids


def test_hours_add_up_by_trade_with_each_strip_down_once() -> None:
    """By hand: strip-down 1 / 1.5 / 2 and jobs of 2 and 0.5 / 0.75 / 1 of one trade, 3 of another [h]."""
    cover = money.cover(
        strip_downs={"drive off": StripDown(labour=money.hours("1 / 1.5 / 2"), trade="mechanical")}
    )
    mine = [
        money.finding("a", Repair(("drive off",), money.hours("2"), "mechanical")),
        money.finding("b", Repair(("drive off",), money.hours("0.5 / 0.75 / 1"), "mechanical")),
        money.finding("c", Repair((), money.hours("3"), "electrical")),
    ]
    made = work(*mine, cover=cover)
    assert made is not None
    assert [(h.trade, h.hours) for h in made.hours] == [
        ("mechanical", money.hours("3.5 / 4.25 / 5")),
        ("electrical", money.hours("3")),
    ]


def test_order_tells_nothing_of_costs() -> None:
    """The dearer of two stands where the notes have it, not first as in the list of findings."""
    cheap, dear = (
        money.finding("cheap", money.repair(cost="1")),
        money.finding("dear", money.repair(cost="9")),
    )
    assert _order(work(cheap, dear)) == [("", ("cheap", "dear"))]


# ---- for any notes

NAMES = ("a", "b", "c", "d", "e")


@st.composite
def _surveys(draw: st.DrawFn, circles: bool = True) -> tuple[list[Finding], Cover]:
    """Give findings in all states and strip-downs that need others, some of them unknown or in a circle."""

    def some_of(names: tuple[str, ...]) -> st.SearchStrategy[tuple[str, ...]]:
        return st.lists(st.sampled_from((*names, "unknown")), max_size=3, unique=True).map(tuple)

    some = some_of(NAMES)
    outer = {name: some if circles else some_of(NAMES[n + 1 :]) for n, name in enumerate(NAMES)}
    hours = st.none() | st.integers(1, 40).map(lambda n: money.hours(str(n / 4)))
    trade = st.sampled_from(("", "mechanical", "electrical"))
    strip_downs = {
        name: StripDown(labour=draw(hours), trade=draw(trade), also_needs=draw(outer[name])) for name in NAMES
    }
    every = []
    for number in range(draw(st.integers(0, 8))):
        state = draw(st.sampled_from(({}, {"reported_done": money.DONE}, {"checked": money.CHECKED})))
        repair = draw(st.none() | st.builds(Repair, needs=some, labour=hours, trade=trade))
        severity = draw(st.sampled_from(("stop", "settle", "schedule", "watch", "sound")))
        every.append(money.finding(f"f{number}", repair, severity, **state))
    return every, money.cover(strip_downs=strip_downs)


def _reached(needs: tuple[str, ...], cover: Cover) -> set[str]:
    """Give all strip-downs that lead to some, found another way: until nothing new comes."""
    found: set[str] = set(needs) & set(NAMES)
    while True:
        more = {n for name in found for n in (cover.strip_downs or {})[name].also_needs} & set(NAMES)
        if more <= found:
            return found
        found |= more


@given(_surveys())
def test_every_open_job_once_and_after_what_it_needs(survey: tuple[list[Finding], Cover]) -> None:
    """No job is lost or doubled, no strip-down stands after a job that needs it, none is there for nobody."""
    every, cover = survey
    made = work(*every, cover=cover)
    open_jobs = {
        f.id: f
        for f in every
        if f.state == "open" and (f.repair or f.severity in ("stop", "settle", "schedule"))
    }
    if made is None:
        assert not open_jobs
        return
    assert sorted(made.ids) == sorted(open_jobs)
    opened = [group.strip_down for group in made.groups]
    assert len(opened) - len(set(opened)) <= 1  # stops and others that need none are two groups
    assert len([name for name in opened if name]) == len(set(opened) - {""})
    needed: set[str] = set()
    for step, group in enumerate(made.groups):
        for id in group.jobs:
            repair = open_jobs[id].repair
            needs = _reached(repair.needs, cover) if repair else set()
            needed |= needs or {""}
            assert needs <= set(opened[: step + 1])
            assert group.strip_down in (needs or {""})
    assert set(opened) == needed


@given(_surveys(circles=False))
def test_nested_strip_downs_are_opened_in_order(survey: tuple[list[Finding], Cover]) -> None:
    """What a strip-down needs stands before it, unless the notes run in a circle, which is an error there."""
    every, cover = survey
    made = work(*every, cover=cover)
    opened = [group.strip_down for group in made.groups] if made else []
    for step, name in enumerate(opened):
        needs = (cover.strip_downs or {})[name].also_needs if name else ()
        assert {before for before in needs if before in NAMES} <= set(opened[:step])


@given(_surveys())
def test_hours_are_those_of_jobs_and_strip_downs(survey: tuple[list[Finding], Cover]) -> None:
    """Counted again with fractions: own hours of each job, and each strip-down that is opened, once."""
    every, cover = survey
    made = work(*every, cover=cover)
    if made is None:
        return
    by_id = {f.id: f for f in every}
    work_: list[Repair | StripDown] = [r for id in made.ids if (r := by_id[id].repair)]
    work_ += [(cover.strip_downs or {})[g.strip_down] for g in made.groups if g.strip_down]
    counted: dict[str, Fraction] = {}
    for each in work_:
        if each.labour:
            counted[each.trade] = counted.get(each.trade, Fraction(0)) + Fraction(each.labour.likely)
    assert {h.trade: Fraction(h.hours.likely) for h in made.hours} == counted


@given(_surveys())
def test_graver_step_first_among_those_that_are_ready(survey: tuple[list[Finding], Cover]) -> None:
    """At each step nothing that could be opened then leads to a graver finding than what is opened."""
    every, cover = survey
    made = work(*every, cover=cover)
    if made is None:
        return
    order = ("stop", "settle", "schedule", "watch", "sound")
    by_id = {f.id: f for f in every}
    worst = [min(order.index(by_id[i].severity) for i in g.needed_by) for g in made.groups]
    opened = [g.strip_down for g in made.groups]
    for step, here in enumerate(made.groups):
        ready = [n for n, g in enumerate(made.groups) if n >= step and set(g.after) <= set(opened[:step])]
        if set(here.after) <= set(opened[:step]):
            assert worst[step] == min(worst[n] for n in ready)


def test_second_person_and_charges_are_priced_too() -> None:
    """A yard that is not told of the second pair of hands, or of the lift, quotes too low."""
    lift = Charge("lift and launch", per_metre=Decimal("34.50"))
    ashore = Charge("days ashore", per_day=Decimal(19), for_=Span(Decimal(3), Decimal(4), Decimal(9), "days"))
    stock = dataclasses.replace(money.strip_down("3"), second_person=money.hours("1"), charges=(lift, ashore))
    assert [(line.what, line.hours) for line in worklist.lines(stock)] == [
        ("Labour", money.hours("3")),
        ("Second person", money.hours("1")),
        ("lift and launch", None),
        ("days ashore (3 to 9 days, likely 4)", None),
    ]
    cover = money.cover(strip_downs={"rudder out": stock})
    made = work(_job("a", "rudder out"), cover=cover)
    assert made is not None
    assert [(each.trade, each.hours.likely) for each in made.hours] == [("", 4), ("second person", 1)]


def test_what_is_nothing_for_a_yard_is_named_and_not_listed() -> None:
    """A matter of papers is no job to quote for; it stays open."""
    papers = money.finding("papers", Repair(unpriced="not a repair", for_a_yard=False))
    made = work(papers, _job("hose"))
    assert made is not None
    assert made.ids == ("hose",)
    assert made.not_for_a_yard == ("papers",)
    assert made.without_hours == ()
    assert work(papers) is None
