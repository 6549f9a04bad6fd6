"""A report of an invented boat as report.json, and notes that follow it, for the tests of following."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import yaml

from reportgen import notes, report
from reportgen.errors import Problems
from reportgen.model import Survey
from reportgen.report import Report

COVER: Mapping[str, Any] = {
    "survey": "re-inspection",
    "number": "AL-12",
    "follows": "then/report.json",
    "inspected": "2026-06-01",
    "vessel": {"name": "Alca", "type": "gasoline inboard", "found": {"hull number": "ZZQ23456C515"}},
    "people": {"surveyor": {"name": "Ruth Halvane"}},
    "scope": "what was reported done",
}


def finding(id: str, ref: int = 1, severity: Any = "settle", **keys: Any) -> dict[str, Any]:
    """Give a finding as report.json holds it."""
    told = {"risk": "it fails", "action": "renew it", "basis": "surveyor's judgement", "confidence": "seen"}
    stop = {"forbids": [f"using {id}"]} if severity == "stop" else {}
    when = {"by_when": "before launch"} if severity == "schedule" else {}
    base = {"id": id, "ref": ref, "title": id.replace("-", " ").capitalize(), "severity": severity}
    return base | (told if severity != "sound" else {}) | stop | when | keys


def reading(id: str, taken: Sequence[float | None], outcome: str = "outside", **keys: Any) -> dict[str, Any]:
    """Give a compression reading [psi] as report.json holds it; taken: by cylinder, None is not taken."""
    cells = [
        {"name": str(n), "quantity": None if v is None else {"value": v, "unit": "psi"}, "below": False}
        for n, v in enumerate(taken, 1)
    ]
    base = {"id": id, "kind": "compression", "title": id.capitalize(), "at": "", "unit": "psi"}
    return base | {"outcome": outcome, "values": {"cylinders": cells}} | keys


def document(findings: Sequence[Mapping[str, Any]] = (), **keys: Any) -> dict[str, Any]:
    """Give the least that a report.json holds."""
    vessel = {"name": "Alca", "type": "gasoline inboard", "found": {"hull_number": "ZZQ23456C515"}}
    survey = {"kind": "pre-purchase", "number": "AL-11", "version": 1, "status": "final"}
    return {
        "format": "reportgen report 1",
        "edition": "buyer",
        "survey": survey | {"inspected": ["2026-05-02"], "reported": "2026-05-04"},
        "vessel": vessel,
        "findings": list(findings),
        "readings": [],
    } | keys


def write(folder: Path, then: Mapping[str, Any] | str | bytes, body: str = "", **front: Any) -> Path:
    """Write notes that follow a report; then: its data, or the text of its file. front: None leaves out."""
    (folder / "then").mkdir(parents=True, exist_ok=True)
    text = then if isinstance(then, str | bytes) else json.dumps(then)
    raw = text if isinstance(text, bytes) else text.encode()
    (folder / "then/report.json").write_bytes(raw)
    keys = {name: value for name, value in {**COVER, **front}.items() if value is not None}
    head = yaml.safe_dump(keys, sort_keys=False, allow_unicode=True)
    (folder / "cover.md").write_text(f"---\n{head}---\n\n{body}", encoding="utf-8")
    return folder


def read(folder: Path) -> tuple[Survey, Report, Problems]:
    """Read notes and compute their report, whatever is amiss."""
    problems = Problems()
    survey = notes.read(folder, problems)
    assert survey is not None
    return survey, report.build(survey, problems), problems


def errors(folder: Path) -> list[str]:
    """Give what is wrong with notes, as it is told."""
    return [str(p) for p in read(folder)[2].errors]


def warnings(folder: Path) -> list[str]:
    """Give what is told of notes beside mistakes."""
    return [str(p) for p in read(folder)[2].warnings]


def again(title: str, **keys: Any) -> str:
    """Give a finding of the notes under the heading that makes its id."""
    return f"## {title}\n```finding\n{yaml.safe_dump(keys, sort_keys=False)}```\n"
