"""The work list for the yard: jobs at their strip-downs, in order, with blanks for the yard's prices."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from markupsafe import Markup

from reportgen import measured, prose, worklist
from reportgen.blocks.conditions import Conditions
from reportgen.blocks.repair import Repair
from reportgen.blocks.vessel import BoatFacts
from reportgen.edition import Edition
from reportgen.model import Finding
from reportgen.passage import Passage, days, reference, rich, sentence, span, when
from reportgen.report import JudgedReading, ListedFinding, Report
from reportgen.wording import all_of, later, say, say_in, term
from reportgen.worklist import WorkGroup, WorkLine, WorkList

PAGE = "work-list"
# a yard lifts and works on the boat, whatever was found
OF_EVERY_YARD = ("lifting", "general")
UNSURE = {
    "suspected": later("Suspected: to be confirmed once it is opened up"),
    "told": later("Told by others, not seen by the surveyor"),
}


def _build(report: Report, edition: Edition) -> Mapping[str, Any] | None:
    work = report.work_list
    if work is None or not work.groups:
        return None
    listed = {f.finding.id: f for f in report.findings}
    steps = {group.strip_down: number for number, group in enumerate(work.groups, 1)}
    again = worklist.measured_again([listed[id].finding for id in work.ids if id in listed])
    return {
        "currency": report.cover.currency,
        "about": _about(report),
        "jobs": len(work.ids),
        "groups": [_group(report, group, steps, listed, again) for group in work.groups],
        "limits": _limits(report),
        "cautions": _cautions(report, work),
        "hours": [{"trade": term(each.trade), "hours": span(each.hours)} for each in work.hours],
        "without_hours": _links(report, work.without_hours),
        "reported_done": _links(report, work.reported_done),
        "checked": _links(report, work.checked),
        "not_for_a_yard": _links(report, work.not_for_a_yard),
    }


def _about(report: Report) -> list[Mapping[str, str]]:
    """Give what a yard orders parts by and lifts: the boat, her measures and place, her engines' numbers."""
    vessel, found = report.cover.vessel, report.cover.found
    words = (found.maker, found.model, str(found.built or ""), str(found.length or ""))
    rows = [
        (
            vessel.name or say("Boat"),
            ", ".join(word for word in (say_in("boat", vessel.type), *words) if word),
        ),
        (say("Hull number"), report.hull_number.text if report.hull_number else ""),
        (say("For the lift"), ", ".join(_measures(found))),
        (say("Last seen"), _last_seen(report)),
        (say("Left so by the surveyor"), _left(report)),
        (say("Questions on the work"), _who_to_ask(report)),
    ]
    for what, units in (
        (say("Engine"), found.engines),
        (say("Drive"), found.drives),
        (say("Gearbox"), found.gearboxes),
        (say("Generator"), found.generators),
    ):
        for unit in units:
            serial = say("serial {serial}", serial=unit.serial) if unit.serial else ""
            facts = ", ".join(word for word in (unit.maker, unit.model, serial) if word)
            rows.append((what if unit.name.lower() in ("", what.lower()) else f"{what}, {unit.name}", facts))
    return [{"name": prose.plain(name), "value": prose.plain(value)} for name, value in rows if value]


def _measures(found: BoatFacts) -> Iterator[str]:
    """Give what a yard asks before it lifts a boat, as far as it was found."""
    texts = {
        "beam": later("beam {value}"),
        "draft": later("draft {value}"),
        "displacement": later("displacement {value}"),
    }
    for name, text in texts.items():
        value = getattr(found, name)
        if value is not None:
            yield say(text, value=value)


def _last_seen(report: Report) -> str:
    """Say where and how the boat lay on the last day; on earlier ones she may have lain otherwise."""
    conditions, inspected = report.cover.conditions, sorted(report.cover.inspected)
    last = conditions[-1] if conditions else Conditions()
    # what is said without a day stands for all of them, and a boat that was lifted lay in two ways
    on = [last.on] if last.on else inspected[-1:] if len(last.state) < 2 else inspected
    lay = all_of(say_in("where the boat is", state) for state in last.state)
    return ", ".join(word for word in (days(on) if on else "", lay, last.place) if word)


def _left(report: Report) -> str:
    """Say what was closed, taken off or tagged: the printed list is all that many a yard's hand gets."""
    said = [each.left for each in report.cover.conditions if each.left][-1:]
    return "; ".join(said[0]) if said else ""


def _who_to_ask(report: Report) -> str:
    """Name the surveyor, how to reach him or her, and the report: a list is handed on without the rest."""
    cover, surveyor = report.cover, report.cover.people.surveyor
    number = say("report {number}, version {version}", number=cover.number, version=cover.version)
    return ", ".join(
        word for word in (surveyor.name or say("the surveyor"), surveyor.contact, number) if word
    )


def _links(report: Report, ids: Iterable[str]) -> list[Mapping[str, str]]:
    return [reference(report, id) for id in ids]


def _group(
    report: Report,
    group: WorkGroup,
    steps: Mapping[str, int],
    listed: Mapping[str, ListedFinding],
    again: Mapping[str, str],
) -> Mapping[str, Any]:
    strip_down = (report.cover.strip_downs or {}).get(group.strip_down)
    lifted = strip_down is not None and worklist.lifts(strip_down)
    stops = all(listed[id].finding.severity == "stop" for id in group.jobs if id in listed)
    none = say("stops that need no strip-down") if stops else say("jobs that need no strip-down")
    strip = Markup(say("strip-down, {name}")).format(name=rich(group.strip_down))  # noqa: S704 -- ours
    return {
        "title": (rich(group.strip_down) if lifted else strip) if group.strip_down else none,
        "lifted": lifted,
        "strip_down": rich(group.strip_down),
        "after": [{"name": rich(name), "step": steps[name]} for name in group.after if name in steps],
        "lines": [_line(line) for line in worklist.lines(strip_down)] if strip_down else [],
        "needed_by": _links(report, group.needed_by),
        "jobs": [_job(report, listed[id], group, steps, again) for id in group.jobs if id in listed],
    }


def _line(line: WorkLine) -> Mapping[str, str]:
    count = f"{line.count}" if line.count else ""
    what = f"{line.what}, {term(line.trade)}" if line.trade else line.what
    return {"what": rich(what), "number": prose.plain(line.number), "count": span(line.hours) or count}


def _job(
    report: Report,
    listed: ListedFinding,
    group: WorkGroup,
    steps: Mapping[str, int],
    again: Mapping[str, str],
) -> Mapping[str, Any]:
    finding = listed.finding
    repair = finding.repair or Repair()
    others = [name for name in repair.needs if name != group.strip_down and name in steps]
    return {
        "id": finding.id,
        "ref": listed.ref,
        "title": prose.plain(finding.title),
        "severity": finding.severity,
        "by_tool": finding.by_tool,
        "where": rich(finding.where),
        "system": finding.system,
        "forbids": [rich(what) for what in finding.forbids],
        "action": sentence(finding.action),
        # the date alone: such a sheet is filled in on a later day
        "by_when": when(finding.by_when),
        "unsure": say(UNSURE.get(finding.confidence, "")),
        "standard": rich(finding.standard),
        "hazards": _hazards(report, finding),
        "also_open": [{"name": rich(name), "step": steps[name]} for name in others],
        "why": rich(repair.unpriced),
        "lines": [_line(line) for line in worklist.lines(repair)],
        "done_when": sentence(finding.done_when),
        "retest": _retest(report, [id for id in finding.evidence if again.get(id) == finding.id]),
        "later": _later(report, finding, again),
    }


def _hazards(report: Report, finding: Finding) -> list[Mapping[str, str]]:
    """Name the cautions that a job called for, which end the list, and hazards that have none."""
    called = [c for c in report.cautions if finding.id in c.findings]
    alone = [h for h in finding.hazards if h not in {c.hazard for c in called}]
    linked = [{"hazard": c.name, "anchor": f"caution-{c.id}"} for c in called]
    return [*linked, *({"hazard": say_in("hazard", hazard), "anchor": ""} for hazard in alone)]


def _retest(report: Report, evidence: Iterable[str]) -> list[Mapping[str, Any]]:
    """Give the readings that show whether the work helped, as they were found: none that was within.

    What was found stands line by line, with a blank beside it for what the yard measures after the work.
    """
    taken = {judged.reading.id: judged for judged in report.readings}
    readings = [taken[id] for id in evidence if id in taken]
    return [_as_found(report, judged) for judged in readings if judged.assessment.outcome != "within"]


def _as_found(report: Report, judged: JudgedReading) -> Mapping[str, Any]:
    shown = measured.shown(report, judged)
    lines = measured.to_repeat(judged)
    # where no limit applies, the lines say what was found, and no reason why there is none is needed
    reason = "" if shown["found"] else shown["because"]
    return {**{name: shown[name] for name in ("id", "title", "outcome")}, "because": reason, "lines": lines}


def _later(report: Report, finding: Finding, again: Mapping[str, str]) -> list[Mapping[str, str]]:
    """Give the later jobs at which readings that this one rests on too are taken again."""
    outcomes = {judged.reading.id: judged.assessment.outcome for judged in report.readings}
    rests = (id for id in finding.evidence if outcomes.get(id, "within") != "within")
    return _links(report, dict.fromkeys(again[id] for id in rests if again.get(id, finding.id) != finding.id))


def _limits(report: Report) -> list[Mapping[str, Any]]:
    """Give each use limit that stands, also one whose work is only reported done, and what it waits for."""
    return [
        {
            "what": rich(limit.what),
            "because": _links(report, limit.because),
            "awaiting": [link["ref"] for link in _links(report, limit.awaiting_check)],
        }
        for limit in report.use_limits
    ]


def _cautions(report: Report, work: WorkList) -> list[Mapping[str, str]]:
    inside = set(work.ids)
    return [
        {
            "anchor": f"caution-{caution.id}",
            "hazard": caution.name,
            "text": caution.text,
            "do": caution.do,
            "who": caution.who,
            "source": caution.source,
        }
        for caution in report.cautions
        if caution.hazard in OF_EVERY_YARD or inside.intersection(caution.findings)
    ]


PASSAGE = Passage("work_list", "Work list for the yard", _build, page=PAGE)
