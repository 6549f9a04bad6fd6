"""Two invented surveys as reports: one with hardly anything in it, one with everything at once."""

from __future__ import annotations

import dataclasses
import datetime
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import yaml

from reportgen import edition, hullnumber, notes, report
from reportgen.edition import Edition
from reportgen.errors import Problems
from reportgen.hullnumber import HullNumber
from reportgen.report import Report
from tests import whole

TINY: Mapping[str, Any] = {
    "survey": "pre-purchase",
    "inspected": "2026-03-01",
    "vessel": {"type": "sailing yacht"},
    "people": {"surveyor": {"name": "Ruth Halvane"}},
}


def built(folder: Path, today: datetime.date | None = None) -> Report:
    """Give the report of a survey's folder; the notes must be without a mistake."""
    problems = Problems()
    survey = notes.read(folder, problems)
    assert survey is not None
    made = report.build(survey, problems, today)
    assert not problems.errors, "\n".join(map(str, problems.errors))
    return made


def write(folder: Path, front: Mapping[str, Any], body: str = "") -> Path:
    """Write a survey of one note."""
    folder.mkdir(parents=True, exist_ok=True)
    head = yaml.safe_dump(dict(front), sort_keys=False, allow_unicode=True)
    (folder / "cover.md").write_text(f"---\n{head}---\n\n{body}", encoding="utf-8")
    return folder


def tiny(folder: Path) -> Report:
    """Give the report of a cover note and nothing else."""
    return built(write(folder / "tiny", TINY))


def full(folder: Path) -> Report:
    """Give the report of a survey that uses every key."""
    return built(whole.write(folder / "full").folder)


def shown(made: Report, to: Edition) -> Report:
    """Give an edition's view of a report, whatever it has to tell about it."""
    return edition.view(made, to, Problems())


def replaced(made: Report, **keys: Any) -> Report:
    """Give a report with other values."""
    return dataclasses.replace(made, **keys)


def hull(text: str) -> HullNumber:
    """Give a hull number as it is read, whatever the day."""
    return hullnumber.read(text, latest=datetime.date.max)
