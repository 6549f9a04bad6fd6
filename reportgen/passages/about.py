"""What the report is and is not, whom to ask whether it is genuine, and the files beside it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen.edition import Edition
from reportgen.passage import Passage, day, rich
from reportgen.report import Report


def _build(report: Report, edition: Edition) -> Mapping[str, Any]:
    cover = report.cover
    surveyor = cover.people.surveyor
    return {
        "number": cover.number,
        "version": cover.version,
        "status": cover.status,
        "edition": edition.name,
        "made_from": edition.base,
        "reported": day(cover.reported),
        "counted_on": day(report.counted_on),
        "age_days": report.age_days,
        "surveyor": surveyor.name,
        "contact": surveyor.contact,
        "insurance": rich(surveyor.insurance),
        "inspectors": [i.name for i in cover.people.inspectors],
        "certification": rich(cover.certification),
        "terms": rich(cover.terms),
        "signed": rich(cover.signed),
        "left_out": dict(report.left_out.findings),
        "photos_left_out": report.left_out.photos,
        "has_costs": report.estimate is not None,
        "public": edition.public,
    }


PASSAGE = Passage("about", "About this report", _build, floor=True)
