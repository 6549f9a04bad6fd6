"""Names every photo anew by its place in the notes, and blurs a photo wherever it is listed, if anywhere.

A writer's file name may tell what it should not, so it is never published.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from reportgen import photopaths
from reportgen.block import Blur, Mark, PhotoNote
from reportgen.errors import PhotoError, Place
from reportgen.model import Finding, Survey, finding_photos


@dataclass(frozen=True)
class PhotoFile:
    """The file that a photo is published from, and where the notes list it; neither is ever published."""

    path: Path
    place: Place


def renamed(survey: Survey) -> tuple[Survey, dict[str, PhotoFile]]:
    """Give the survey with a published name for each photo, `photo-01` and so on, and the file of each name.

    One file with the same marks has one name, wherever it is listed. What is blurred in one place is blurred
    in all: else the number plate hidden under one finding could be read under the next.
    """
    if not any(listed(survey)):
        return survey, {}
    namer = _Namer(survey)
    changed = dataclasses.replace(
        survey,
        photos=namer.named(survey.photos),
        findings=tuple(namer.finding(f) for f in survey.findings),
        readings=tuple(dataclasses.replace(r, photos=namer.named(r.photos)) for r in survey.readings),
    )
    return changed, namer.files


class _Namer:
    def __init__(self, survey: Survey) -> None:
        self.folder = survey.folder
        self.files: dict[str, PhotoFile] = {}
        self._paths: dict[str, Path] = {}
        self._names: dict[tuple[Path, tuple[Mark, ...]], str] = {}
        self._blurred: dict[Path, dict[Blur, None]] = {}
        for note in listed(survey):
            self._blurred.setdefault(self._path(note), {}).update(dict.fromkeys(note.blur))

    def named(self, notes: tuple[PhotoNote, ...]) -> tuple[PhotoNote, ...]:
        return tuple(self._named(note) for note in notes)

    def finding(self, finding: Finding) -> Finding:
        # in this order, so that the numbers follow the page
        before, own = self.named(finding.photos_before), self.named(finding.photos)
        done, checked = finding.reported_done, finding.checked
        if done:
            done = dataclasses.replace(done, photo=(), photos=self.named((*done.photo, *done.photos)))
        if checked:
            checked = dataclasses.replace(checked, photos=self.named(checked.photos))
        return dataclasses.replace(
            finding, photos_before=before, photos=own, reported_done=done, checked=checked
        )

    def _named(self, note: PhotoNote) -> PhotoNote:
        path = self._path(note)
        name = self._names.setdefault((path, note.mark), f"photo-{len(self._names) + 1:02d}")
        self.files.setdefault(name, PhotoFile(path, note.place))
        return dataclasses.replace(note, name=name, blur=tuple(self._blurred[path]))

    def _path(self, note: PhotoNote) -> Path:
        """Give the file itself, however the note spells it."""
        if note.photo not in self._paths:
            try:
                self._paths[note.photo] = photopaths.inside(self.folder, note.photo)
            except PhotoError:  # told already, where the note lists it
                self._paths[note.photo] = self.folder / note.photo
        return self._paths[note.photo]


def listed(survey: Survey) -> Iterator[PhotoNote]:
    """Give every listing of a photo in a survey."""
    yield from survey.photos
    for finding in survey.findings:
        yield from finding_photos(finding)
    for reading in survey.readings:
        yield from reading.photos
