"""Order, use limits and unanswered readings; each rule of findings on, inside and outside."""

from __future__ import annotations

import datetime
import itertools
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reportgen import findings
from reportgen.blocks.finding import HAZARDS, SEVERITIES, Checked, ReportedDone
from reportgen.blocks.people import People, Surveyor
from reportgen.blocks.repair import Repair
from reportgen.errors import Place, Problems
from reportgen.kind import Assessment, Judged, Kind
from reportgen.limits import Limit
from reportgen.model import Cover, Finding, Reading, Survey

JUNE, JULY = datetime.date(2027, 6, 1), datetime.date(2027, 7, 1)
DONE = ReportedDone(by="Quill Yard", on=JUNE)
CHECK = Checked(by="R. Teasel", on=JULY, how="looked at")
STATES = {"open": (None, None), "reported done": (DONE, None), "checked": (DONE, CHECK)}


def _kind(severity: str = "settle", hazards: tuple[str, ...] = ()) -> Kind:
    return Kind(
        "squeak", "Squeak", "How loud it squeaks.", object, (), (), lambda r, a: Assessment(), (), (), {},
        "", "", "", "", hazards, severity,
    )  # fmt: skip


def _assessed(
    id: str = "squeak", outcome: str = "outside", kind: Kind | None = None, limit: Limit | None = None
) -> findings.Assessed:
    judged = (Judged(limit, 3.0, outcome),) if limit else ()
    reading = Reading(kind="squeak", id=id, title=f"Title of {id}", at="port", place=Place("engine.md", 7, 1))
    return reading, Assessment(outcome, "It squeaks at 3, above 2.", judged), kind or _kind()


def _in_state(finding: Finding, state: str) -> Finding:
    done, checked = STATES[state]
    return replace(finding, reported_done=done, checked=checked)


# ---- unanswered


@pytest.mark.parametrize("outcome", ["within", "no limit applies", "not taken"])
def test_only_an_outside_reading_is_listed(outcome: str) -> None:
    """A reading with any other outcome asks for no finding."""
    assert findings.unanswered((), (_assessed(outcome=outcome),)) == ()


def test_an_outside_reading_without_finding_is_listed_in_full() -> None:
    """It has the reading's name and place, says why, and is marked as the tool's own."""
    (listed,) = findings.unanswered((), (_assessed(),))
    assert (listed.id, listed.title, listed.severity) == ("unanswered-squeak", "Title of squeak", "settle")
    assert listed.evidence == ("squeak",)
    assert listed.by_tool
    assert listed.forbids == ()
    assert listed.where == "port"
    assert listed.confidence == "measured"
    assert listed.risk == "It squeaks at 3, above 2. What follows from it has not been judged."
    assert "surveyor" in listed.action
    assert listed.place == Place("engine.md", 7, 1)
    assert listed.state == "open"


@pytest.mark.parametrize("severity", SEVERITIES)
def test_severities_that_answer(severity: str) -> None:
    """Stop, settle, schedule and watch answer a reading that they name; sound does not."""
    listed = findings.unanswered((Finding(severity=severity, evidence=("squeak",)),), (_assessed(),))
    assert bool(listed) == (severity == "sound")


def test_a_finding_that_names_another_reading_answers_nothing() -> None:
    """Each reading is answered for itself, in the order of the readings."""
    first, second = _assessed("first"), _assessed("second")
    answer = Finding(severity="settle", evidence=("first",))
    assert [f.evidence for f in findings.unanswered((answer,), (first, second))] == [("second",)]
    assert [f.evidence for f in findings.unanswered((), (second, first))] == [("second",), ("first",)]


@pytest.mark.parametrize(
    ("named", "outcome", "answered"),
    [
        ((), "within", False),
        (("squeak",), "within", False),
        (("retest",), "within", True),
        (("retest",), "no limit applies", True),
        (("retest",), "not taken", False),
        (("nowhere",), "within", False),
    ],
)
def test_a_checked_finding_answers_by_a_later_reading(
    named: tuple[str, ...], outcome: str, answered: bool
) -> None:
    """A check without a later reading that was taken leaves the outside reading unanswered."""
    finding = Finding(severity="settle", evidence=("squeak",), checked=replace(CHECK, evidence=named))
    listed = findings.unanswered((finding,), (_assessed(), _assessed("retest", outcome)))
    assert [f.id for f in listed] == ([] if answered else ["unanswered-squeak"])


def test_a_later_reading_that_is_outside_again_is_listed_itself() -> None:
    """The retest takes the place of the first reading; it doesn't vanish with it."""
    finding = Finding(severity="settle", evidence=("squeak",), checked=replace(CHECK, evidence=("retest",)))
    listed = findings.unanswered((finding,), (_assessed(), _assessed("retest")))
    assert [f.id for f in listed] == ["unanswered-retest"]


def test_reported_done_keeps_a_finding_an_answer() -> None:
    """Work reported done is still an open answer."""
    finding = _in_state(Finding(severity="stop", evidence=("squeak",)), "reported done")
    assert findings.unanswered((finding,), (_assessed(),)) == ()


def test_a_grave_kind_stops_the_boat() -> None:
    """A kind that declares stop forbids using the boat and brings its hazards."""
    (listed,) = findings.unanswered((), (_assessed(kind=_kind("stop", ("carbon monoxide",))),))
    assert listed.severity == "stop"
    assert listed.forbids == ("using the boat until a surveyor has judged this",)
    assert listed.hazards == ("carbon monoxide",)
    assert [u.what for u in findings.use_limits((listed,))] == list(listed.forbids)


@pytest.mark.parametrize(
    ("origin", "source", "basis"),
    [
        ("general", "An Institute, Squeaks, section 4", "published standard"),
        ("general", "common practice, no source", ""),
        ("note", "engine maker's workshop book, table 3", "maker's instruction"),
        ("note", "service manual, section 2", "maker's instruction"),
        ("note", "owners' guide of an association", "surveyor's judgement"),
    ],
)
def test_basis_is_that_of_the_broken_limit(origin: str, source: str, basis: str) -> None:
    """The tool claims no authority of its own: it names the limit that was broken."""
    limit = Limit("maximum", 2.0, "dB", "maximum", source, "", origin)
    (listed,) = findings.unanswered((), (_assessed(limit=limit),))
    assert (listed.basis, listed.standard) == (basis, source)


# ---- order


def test_order_severity_first() -> None:
    """Worst first, whatever the date or cost."""
    mixed = [Finding(id=s, severity=s) for s in reversed(SEVERITIES)]
    mixed[0] = replace(mixed[0], by_when=JUNE)
    assert [f.id for f in findings.order(mixed, {"watch": None, "stop": Decimal(1)})] == list(SEVERITIES)


def test_order_dates_then_words_then_none() -> None:
    """Within a severity the earliest date leads, and cost doesn't reach across."""
    by = {"none": None, "words": "before launch", "july": JULY, "june": JUNE}
    given_ = [Finding(id=i, severity="settle", by_when=when) for i, when in by.items()]
    cost = {"none": Decimal(900), "words": Decimal(5), "july": Decimal(900), "june": Decimal(1)}
    assert [f.id for f in findings.order(given_, cost)] == ["june", "july", "words", "none"]


def test_order_cost_unpriced_first_then_dearest_then_as_written() -> None:
    """What has no price may be the dearest of all, so it stands first."""
    given_ = [Finding(id=i, severity="settle") for i in ("b", "cheap", "dear", "unpriced", "a")]
    cost = {
        "cheap": Decimal("10.00"),
        "dear": Decimal("10.01"),
        "unpriced": None,
        "b": Decimal(5),
        "a": Decimal(5),
    }
    assert [f.id for f in findings.order(given_, cost)] == ["unpriced", "dear", "cheap", "b", "a"]
    assert [f.id for f in findings.order(given_, {})] == ["b", "cheap", "dear", "unpriced", "a"]


FINDINGS = st.builds(
    lambda severity, by_when, forbids, state: _in_state(
        Finding(
            severity=severity,
            by_when=by_when,
            forbids=tuple(forbids) if severity == "stop" else (),
            title="T",
        ),
        state,
    ),
    st.sampled_from(SEVERITIES),
    st.one_of(st.none(), st.sampled_from(["before launch", "soon"]), st.dates(JUNE, JULY)),
    st.lists(
        st.sampled_from(["Sailing", "sailing", " sailing", "running the  engine"]), min_size=1, max_size=3
    ),
    st.sampled_from(list(STATES)),
)
SURVEYS = st.lists(FINDINGS, max_size=8).map(
    lambda found: tuple(replace(f, id=f"f{n}") for n, f in enumerate(found))
)
COSTS = st.dictionaries(
    st.sampled_from([f"f{n}" for n in range(8)]), st.one_of(st.none(), st.decimals(0, 99, places=2))
)


def _stands_before(a: Finding, b: Finding, cost: dict[str, Decimal | None]) -> bool:
    """Say by the written rule, clause for clause, whether a must not stand behind b; ties go either way."""
    if a.severity != b.severity:
        return SEVERITIES.index(a.severity) < SEVERITIES.index(b.severity)
    classes = [0 if isinstance(f.by_when, datetime.date) else 1 if f.by_when else 2 for f in (a, b)]
    if classes[0] != classes[1]:
        return classes[0] < classes[1]
    if (
        isinstance(a.by_when, datetime.date)
        and isinstance(b.by_when, datetime.date)
        and a.by_when != b.by_when
    ):
        return a.by_when < b.by_when
    one, other = cost.get(a.id), cost.get(b.id)
    return one is None or (other is not None and one >= other)


@given(SURVEYS, COSTS)
def test_order_is_total_keeps_all_and_is_stable(
    found: tuple[Finding, ...], cost: dict[str, Decimal | None]
) -> None:
    """Every pair stands as the rule says, ties as written; none is lost; sorting again changes nothing."""
    ordered = findings.order(found, cost)
    assert sorted(f.id for f in ordered) == sorted(f.id for f in found)
    for a, b in itertools.combinations(ordered, 2):
        assert _stands_before(a, b, cost)
        if _stands_before(b, a, cost):
            assert a.id < b.id  # a tie: as written
    assert findings.order(ordered, cost) == ordered
    assert list(findings.numbered(ordered).values()) == list(range(1, len(found) + 1))


# ---- use limits


@given(SURVEYS)
def test_no_use_limit_is_ever_lost(found: tuple[Finding, ...]) -> None:
    """Each thing that a stop finding forbids is forbidden until checked, and listed as lifted after."""
    limits = {u.what.strip().lower().replace("  ", " "): u for u in findings.use_limits(found)}
    lifted = findings.lifted(found)
    for finding in found:
        for what in finding.forbids:
            line = limits.get(what.strip().lower().replace("  ", " "))
            if finding.state == "checked":
                assert [(x.on, x.reason) for x in lifted if (x.because, x.what) == (finding.id, what)]
                assert line is None or finding.id not in line.because
            else:
                assert line is not None
                assert finding.id in line.because
                assert len(line.because) == len(line.reasons) == len(set(line.because))
                assert (finding.id in line.awaiting_check) == (finding.state == "reported done")
    assert sum(len(u.because) for u in limits.values()) == len(
        {(f.id, " ".join(w.lower().split())) for f in found if f.state != "checked" for w in f.forbids}
    )


def test_identical_words_are_one_use_limit_other_words_are_not() -> None:
    """Case and blanks don't count; what is said otherwise stays as written."""
    first = Finding(id="a", title="Riser", severity="stop", forbids=("Running the engine",))
    second = Finding(
        id="b", title="Hose", severity="stop", forbids=("running  the ENGINE", "running the motor")
    )
    one, two = findings.use_limits((first, second))
    assert (one.what, one.because, one.reasons) == ("Running the engine", ("a", "b"), ("Riser", "Hose"))
    assert (two.what, two.because) == ("running the motor", ("b",))


def test_a_lifted_limit_says_who_still_forbids_it() -> None:
    """Lifted by one finding isn't allowed while another still forbids it."""
    checked = _in_state(Finding(id="a", title="Riser", severity="stop", forbids=("Sailing",)), "checked")
    standing = Finding(id="b", title="Hose", severity="stop", forbids=("sailing",))
    assert findings.lifted((checked,)) == (findings.Lifted("Sailing", "a", "Riser", JULY, ()),)
    assert findings.lifted((checked, standing))[0].still == ("b",)


# ---- counts


def test_counts_by_severity_and_state() -> None:
    """Every pair is there, so that a page never asks for a missing one."""
    found = [_in_state(Finding(severity="stop"), s) for s in ("open", "open", "checked")]
    table = findings.counts(found)
    assert table["stop"] == {"open": 2, "reported done": 0, "checked": 1}
    assert {s: sum(n.values()) for s, n in table.items()} == {
        "stop": 3, "settle": 0, "schedule": 0, "watch": 0, "sound": 0,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("numbers", "sentence"),
    [
        ((0, 0, 0, 0, 0), "No findings."),
        (
            (1, 3, 4, 2, 6),
            "One stop, three to settle, four to schedule, two to watch; six written up as sound.",
        ),
        ((2, 0, 0, 0, 0), "Two stops."),
        ((0, 12, 13, 0, 0), "Twelve to settle, 13 to schedule."),
        ((0, 0, 0, 0, 1), "One written up as sound."),
    ],
)
def test_counts_as_a_sentence(numbers: tuple[int, ...], sentence: str) -> None:
    """Counts are words up to twelve; a severity that none has isn't named."""
    found = [Finding(severity=s) for s, n in zip(SEVERITIES, numbers, strict=True) for _ in range(n)]
    assert findings.counted(found) == sentence


def test_the_sentence_never_mixes_reported_done_with_checked() -> None:
    """Reported done still counts as asked for; checked doesn't."""
    found = [_in_state(Finding(severity="settle"), s) for s in ("open", "reported done", "checked")]
    assert findings.counted(found) == (
        "Two to settle; one of these reported done but not checked; one put right and checked."
    )


# ---- what the writer must put right

WHOLE = Finding(
    id="riser", severity="settle", risk="r", action="a", basis="surveyor's judgement", confidence="seen",
    place=Place("engine.md", 12, 1),
)  # fmt: skip
PEOPLE = People(Surveyor("R. Teasel"), (Surveyor("O. Fenwick"),))


def _told(*found: Finding, readings: tuple[str, ...] = ("squeak",)) -> list[tuple[str, str, str, str]]:
    survey = Survey(
        Path(), "wren", Cover(people=PEOPLE), found, tuple(Reading(id=i, title=i) for i in readings)
    )
    collected = Problems()
    findings.problems(survey, collected)
    return [(p.level, p.place.key, p.found, p.write) for p in collected]


def test_a_whole_finding_has_nothing_to_tell() -> None:
    """What says all it should is left alone, in each severity."""
    told = _told(
        WHOLE,
        replace(WHOLE, severity="stop", forbids=("sailing",)),
        replace(WHOLE, severity="schedule", by_when=JUNE),
        replace(WHOLE, severity="watch", look_again="yearly", risk="", action=""),
        Finding(severity="sound"),
        replace(WHOLE, evidence=("squeak", "riser"), checked=replace(CHECK, evidence=()), reported_done=DONE),
    )
    assert told == []


def test_place_and_line_of_the_finding_are_told() -> None:
    """The writer is led to the fence and the key."""
    collected = Problems()
    survey = Survey(Path(), "wren", Cover(people=PEOPLE), (replace(WHOLE, severity="stop"),))
    findings.problems(survey, collected)
    (problem,) = map(str, collected)
    assert problem == (
        "engine.md:12:1: forbids: a stop finding without `forbids`; "
        "write forbids: [what must not be done with the boat]"
    )


def _but(**changes: object) -> Finding:
    return replace(WHOLE, **changes)  # type: ignore[arg-type]


def _check(**changes: object) -> Checked:
    return replace(CHECK, **changes)  # type: ignore[arg-type]


OWN_WORK = {"reported_done": replace(DONE, by="o. fenwick"), "checked": _check(by="O. Fenwick")}
TOO_EARLY = {"reported_done": replace(DONE, on=JULY), "checked": _check(on=JUNE)}
BREACHES = {
    "error forbids: a stop finding without `forbids`": _but(severity="stop"),
    "error forbids: a settle finding that forbids something": _but(forbids=("sailing",)),
    "error forbids: a schedule finding that forbids something": _but(
        severity="schedule", by_when="soon", forbids=("sailing",)
    ),
    "error forbids: a watch finding that forbids something": _but(
        severity="watch", look_again="yearly", forbids=("sailing",)
    ),
    "error forbids: a sound finding with `forbids`": Finding(severity="sound", forbids=("sailing",)),
    "error repair: a sound finding with `repair`": Finding(severity="sound", repair=Repair()),
    "error by when: a schedule finding without `by when`": _but(severity="schedule"),
    "warning look again: a watch finding without `look again`": _but(severity="watch"),
    "warning risk: a settle finding without `risk`": _but(risk=""),
    "warning action: a settle finding without `action`": _but(action=""),
    "warning basis: a settle finding without `basis`": _but(basis=""),
    "warning confidence: a settle finding without `confidence`": _but(confidence=""),
    "warning standard: basis 'required by law' without": _but(basis="required by law"),
    "warning standard: basis 'published standard' without": _but(basis="published standard"),
    "warning settle by: settle by repair, but no `repair`": _but(settle_by="repair"),
    "error evidence: 'squaek' is no reading or finding": _but(evidence=("squaek",)),
    "error id: 'unanswered-squeak' is kept": _but(id="unanswered-squeak"),
    "error checked: checked on 2027-06-01, before it was reported done on 2027-07-01": _but(**TOO_EARLY),
    "error checked: checked, although it is only told": _but(confidence="told", checked=CHECK),
    "error checked: checked, although it is only suspected": _but(confidence="suspected", checked=CHECK),
    "error evidence: 'sqeak' is no reading or finding": _but(checked=_check(evidence=("sqeak",))),
    "error evidence: the check names only readings from before the work": _but(
        evidence=("squeak",), checked=_check(evidence=("squeak",))
    ),
    "error checked: 'Quill Yard' is not the surveyor": _but(checked=_check(by="Quill Yard")),
    "error checked: 'O. Fenwick' did the work and checked it": _but(**OWN_WORK),
}


@pytest.mark.parametrize("breach", BREACHES)
def test_each_breach_is_told_once(breach: str) -> None:
    """A breach gives one problem, of its level, under its key, and says what to write."""
    ((level, key, found, write),) = _told(BREACHES[breach])
    assert f"{level} {key}: {found}".startswith(breach)
    assert write


@pytest.mark.parametrize("hazard", HAZARDS)
@pytest.mark.parametrize("severity", SEVERITIES)
def test_sudden_hazards_are_not_for_watching(hazard: str, severity: str) -> None:
    """Explosion, carbon monoxide and shock under watch or sound are warned of, nothing else is."""
    extra = {"forbids": ("sailing",)} if severity == "stop" else {}
    finding = replace(WHOLE, severity=severity, hazards=(hazard,), by_when=JUNE, look_again="yearly", **extra)  # type: ignore[arg-type]
    grave = hazard in ("explosion", "carbon monoxide", "electric shock") and severity in ("watch", "sound")
    assert [t[:2] for t in _told(finding)] == ([("warning", "hazards")] if grave else [])


def test_the_nearest_reading_and_name_are_offered() -> None:
    """A slip of the pen gets the right spelling; a strange word gets no guess."""
    assert _told(replace(WHOLE, evidence=("sqeak",)))[0][3] == "write squeak"
    assert _told(replace(WHOLE, evidence=("zzz",)))[0][3].startswith("write the id or the heading")
    assert _told(replace(WHOLE, checked=replace(CHECK, by="R. Teasle")))[0][3] == "write R. Teasel"
    assert _told(replace(WHOLE, checked=replace(CHECK, by="Quill Yard")))[0][3].endswith(
        "R. Teasel or O. Fenwick"
    )


@pytest.mark.parametrize("by", ["R. Teasel", "r.  teasel", "O. Fenwick"])
def test_surveyor_and_inspectors_may_check(by: str) -> None:
    """Case and blanks of a name don't matter."""
    assert _told(replace(WHOLE, reported_done=DONE, checked=replace(CHECK, by=by))) == []


def test_the_surveyor_may_check_own_work_and_it_is_known() -> None:
    """The page can say that both were the same."""
    own = replace(WHOLE, reported_done=replace(DONE, by="R. Teasel"), checked=CHECK)
    assert _told(own) == []
    assert findings.checked_own_work(own)
    assert not findings.checked_own_work(replace(own, reported_done=DONE))
    assert not findings.checked_own_work(replace(own, checked=None))


def test_checked_on_the_day_it_was_done() -> None:
    """The same day is late enough; the day before isn't."""
    finding = replace(WHOLE, reported_done=replace(DONE, on=JULY), checked=replace(CHECK, on=JULY))
    assert _told(finding) == []
    early = replace(CHECK, on=JULY - datetime.timedelta(days=1))
    assert [t[1] for t in _told(replace(finding, checked=early))] == ["checked"]


def test_days_left_end_with_the_check() -> None:
    """Counted from the report's day; words have none, and what is checked is not late."""
    on = datetime.date(2026, 3, 10)
    due = Finding(id="a", severity="settle", by_when=datetime.date(2026, 3, 1))
    assert findings.days_left(due, on) == -9
    assert findings.days_left(replace(due, by_when="before launch"), on) is None
    checked = Checked(by="surveyor", on=on, how="seen")
    assert findings.days_left(replace(due, checked=checked), on) is None
