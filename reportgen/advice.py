"""Says what would make a report better, each with its place: none of it is a mistake."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from reportgen import coverage, notefiles, units, vague
from reportgen.blocks.disclosure import unanswered
from reportgen.errors import Place, listed
from reportgen.model import Finding, Prose, Survey
from reportgen.report import JudgedReading, ListedFinding, Report

WEIGHTY = ("stop", "settle", "schedule")
_SUDDEN = ("explosion", "carbon monoxide")
SCREEN = 22  # lines that a summary may take, so that a terminal of 24 shows it whole


@dataclass(frozen=True)
class Advice:
    """One thing to better. group: its heading, one of GROUPS. write: what to write, or to do."""

    group: str
    place: Place
    found: str
    write: str

    def __str__(self) -> str:
        return f"{self.place}: {self.found}; {self.write}"

    def as_json(self) -> dict[str, object]:
        """Give it in the shape that `check --json` prints."""
        place = self.place
        where = {"file": place.file, "line": place.line, "column": place.column, "key": place.key}
        return {"group": self.group, **where, "message": f"{self.found}; {self.write}"}


Found = Iterator[tuple[Place, str, str]]


def of(survey: Survey, report: Report) -> tuple[Advice, ...]:
    """Give all advice on a survey, by group, and in a group in the order of the notes.

    survey: as written, for its places; report: what was computed from it, whole.
    """
    return tuple(
        Advice(group, place, found, write)
        for group, look in GROUPS.items()
        for place, found, write in sorted(look(survey, report))
    )


def lines(every: Sequence[Advice], most: int = SCREEN) -> list[str]:
    """Give advice as lines under headings, at most so many; what is left over is counted.

    most: 0 for all of it.
    """
    groups: dict[str, list[Advice]] = {}
    for one in every:
        groups.setdefault(one.group, []).append(one)
    shown = _shares({group: len(some) for group, some in groups.items()}, most)
    told: list[str] = []
    for group, some in groups.items():
        told += _group(group, some, shown[group])
    left = len(every) - sum(shown.values())
    return [*told, f"and {left} more (--all)"] if left else told


def _group(group: str, some: Sequence[Advice], most: int) -> Iterator[str]:
    """Give a group's lines; what to write stands once in its heading where it is the same for all."""
    same = some[0].write if len({one.write for one in some}) == 1 else ""
    yield f"{group}, {len(some)}{f': {same}' if same else ''}"
    for one in some[:most]:
        yield f"  {one.place}: {one.found}" if same else f"  {one}"


def _shares(counts: dict[str, int], most: int) -> dict[str, int]:
    """Share the lines among the groups: one each in turn, until the lines or the advice end."""
    if not most or sum(counts.values()) + len(counts) <= most:
        return counts
    shown = dict.fromkeys(counts, 0)
    free = most - len(counts) - 1
    while free > 0 and (open_ := [group for group in counts if shown[group] < counts[group]]):
        for group in open_[:free]:
            shown[group] += 1
        free -= min(free, len(open_))
    return shown


def _written(report: Report) -> Iterator[ListedFinding]:
    """Give the findings that the writer can better: not the tool's own, not an earlier report's, not done."""
    for one in report.findings:
        if not one.finding.by_tool and not one.finding.taken_over and one.state != "checked":
            yield one


def _unanswered(survey: Survey, report: Report) -> Found:
    tool = {id for one in report.findings if one.finding.by_tool for id in one.finding.evidence}
    for judged in report.readings:
        if judged.assessment.outcome == "outside" and judged.reading.id in tool:
            found = f"{judged.reading.title!r} is outside its limits and no finding names it"
            yield judged.reading.place, found, "write a finding that names it under evidence"


def _not_taken(survey: Survey, report: Report) -> Found:
    for judged in report.readings:
        told = _says_why(judged) or coverage.left_out(judged.reading, survey.not_inspected)
        if judged.assessment.outcome == "not taken" and not told:
            found = f"{judged.reading.title!r} is not taken, or not whole"
            yield judged.reading.place, found, "fill it in, write not taken: and why, or take it out"


def _says_why(judged: JudgedReading) -> bool:
    cells = [cell for _, series in judged.assessment.values for cell in series]
    table = judged.reading.table
    cells += [cell for row in table.rows for cell in row.cells] if table else []
    missing = [cell for cell in cells if cell.quantity is None]
    return bool(judged.reading.not_taken or (missing and all(cell.why for cell in missing)))


def _unpriced(survey: Survey, report: Report) -> Found:
    if not report.cover.currency:
        return
    for one in _written(report):
        repair, write = one.finding.repair, "write repair: with hours, cost or in price of"
        if one.unpriced and not (repair and repair.unpriced):  # why is said already
            yield one.finding.place, f"{one.finding.title!r} has no price", write


def _unpaid(survey: Survey, report: Report) -> Found:
    deal, price = report.settlement, report.cover.price
    if deal and price and deal.not_agreed and not deal.agreed:
        sum_ = units.money(deal.not_agreed, deal.currency)
        found = f"{sum_} of repairs have no payer, so the ways to settle leave them out"
        write = "write pays: seller, buyer or {seller: 60 %, buyer: 40 %} in each finding"
        yield price.place, found, write


def _no_photo(survey: Survey, report: Report) -> Found:
    for one in _written(report):
        finding = one.finding
        if finding.severity in WEIGHTY and finding.confidence == "seen" and not finding.photos:
            found = f"{finding.title!r} was seen, and no photo shows it"
            yield finding.place, found, "add photos: [file.jpg: what it shows]"


def _no_evidence(survey: Survey, report: Report) -> Found:
    for one in _written(report):
        if one.finding.confidence == "measured" and not one.finding.evidence:
            found = f"{one.finding.title!r} was measured, and no reading is named"
            yield one.finding.place.at("confidence"), found, "write evidence: and the reading's id"


_ASKED = ("risk", "action", "basis", "confidence")


def _half_said(survey: Survey, report: Report) -> Found:
    for one in _written(report):
        missing = [key for key in _ASKED if not getattr(one.finding, key)]
        if one.finding.severity in WEIGHTY and missing:
            found = f"{one.finding.title!r} is without {listed(missing, 'and')}"
            yield one.finding.place, found, "write the keys that are missing"


def _dangers(survey: Survey, report: Report) -> Found:
    """Ask of dangers that kill without warning whether the boat may be used until they are put right."""
    for one in _written(report):
        named = [hazard for hazard in one.finding.hazards if hazard in _SUDDEN]
        if named and one.finding.severity in WEIGHTY and one.finding.severity != "stop":
            found = f"{one.finding.title!r} names {listed(named, 'and')} and forbids nothing"
            yield one.finding.place, found, "is it a stop? then write forbids: and what must not be done"


def _topics(survey: Survey, report: Report) -> Found:
    cover = survey.cover
    missing = unanswered(cover.disclosure or ())
    if missing and (cover.disclosure or cover.release):
        few = ", ".join(missing[:4]) + ", ..." * (len(missing) > 4)
        found = f"{len(missing)} of the topics that buyers ask about are not answered: {few}"
        yield cover.place.at("disclosure"), found, "write yes, no or not known"


def _unmentioned(survey: Survey, report: Report) -> Found:
    if report.coverage is None or survey.earlier:
        return
    missing = [item.name for item in report.coverage.items if item.outcome == "not mentioned"]
    if missing:
        whole = sum(item.outcome != "not fitted" for item in report.coverage.items)
        few = ", ".join(missing[:4]) + ", ..." * (len(missing) > 4)
        found = f"{len(missing)} of {whole} items of the checklist are not mentioned: {few}"
        yield (
            survey.cover.place.at("inspected items"),
            found,
            "write what was found, or not inspected and why",
        )


def _gaps(survey: Survey, report: Report) -> Found:
    for gap in survey.not_inspected:
        missing = [n for n in ("could hide", "would take") if not getattr(gap.entry, n.replace(" ", "_"))]
        if missing:
            found = f"{gap.part!r} was not inspected, without {listed(missing, 'and')}"
            yield gap.entry.place, found, "write part: {why: ..., could hide: ..., would take: ...}"


def _how_taken(survey: Survey, report: Report) -> Found:
    for judged in report.readings:
        reading = judged.reading
        if judged.assessment.outcome == "not taken":
            continue
        said = {"with": reading.with_ or reading.by, "conditions": reading.conditions}
        missing = [name for name, words in said.items() if not words]
        if missing:
            found = f"{reading.title!r} is without {listed(missing, 'and')}"
            yield reading.place, found, "write with: instruments, conditions: how it was taken"


# what is looked or knocked with shows no figure that could be off
_LOOKS = re.compile(
    r"\b(?:hammer|mallet|borescope|camera|mirror|torch|lamp|light|brush|knife|pick|wrench)\b", re.I
)


def _instruments(survey: Survey, report: Report) -> Found:
    used = {name for judged in report.readings for name in judged.reading.with_}
    measuring = (i for i in survey.cover.instruments if i.what in used and not _LOOKS.search(i.what))
    bare = [i.what for i in measuring if i.calibrated is None]
    if bare:
        found = f"no day of calibration: {', '.join(bare)}"
        write = "write calibrated: and the date, or how it was compared"
        yield survey.cover.place.at("instruments"), found, write


_OF_SURVEY = (("made_for", "who may rely on it"), ("scope", "what was agreed to be done"))


def _survey(survey: Survey, report: Report) -> Found:
    for name, help in _OF_SURVEY:
        if not getattr(survey.cover, name):
            key = name.replace("_", " ")
            yield survey.cover.place.at(key), f"nothing is said of {help}", f"write {key}:"


def _vague(survey: Survey, report: Report) -> Found:
    kept: dict[str, Sequence[str]] = {}
    for finding in survey.findings:
        if not finding.taken_over:
            for key in ("risk", "action"):
                yield from _in_key(finding, key)
    told = [*(f.prose for f in survey.findings), *(r.prose for r in survey.readings)]
    for prose in (*told, *(part.prose for part in survey.narrative)):
        if prose.place.file and prose.place.file not in kept:
            kept[prose.place.file] = notefiles.lines(prose.place.file)
        yield from _in_prose(prose, kept.get(prose.place.file, ()))


def _in_key(finding: Finding, key: str) -> Found:
    for _, word, write in vague.found_in(getattr(finding, key)):
        yield finding.place.at(key), f"{word!r} can be taken two ways", f"write {write}"


def _in_prose(prose: Prose, lines: Sequence[str]) -> Found:
    """Give each vague word at its line: what the note holds from where the text begins, in its order."""
    number = max(prose.place.line, 1)
    for text in prose.markdown.splitlines():
        if not text.strip():
            continue
        at = next((n for n in range(number, len(lines) + 1) if lines[n - 1] == text), None)
        number = number if at is None else at + 1
        for column, word, write in vague.found_in(text):
            place = prose.place if at is None else Place(prose.place.file, at, column + 1)
            yield place, f"{word!r} can be taken two ways", f"write {write}"


GROUPS: dict[str, Callable[[Survey, Report], Found]] = {
    "Readings outside that no finding answers": _unanswered,
    "Readings not taken, without why": _not_taken,
    "Findings without a price": _unpriced,
    "Who pays": _unpaid,
    "Findings that a photo would prove": _no_photo,
    "Findings that a reading would prove": _no_evidence,
    "Findings half said": _half_said,
    "Dangers without a use limit": _dangers,
    "Checklist": _unmentioned,
    "The seller's answers": _topics,
    "Not inspected, and what that means": _gaps,
    "Readings without how they were taken": _how_taken,
    "Instruments": _instruments,
    "The survey": _survey,
    "Vague words": _vague,
}
