"""Checks that what the notes name is there: engines, instruments, photos, parts, places to link to."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from reportgen import marking, photopaths, photos, prose, sections
from reportgen.block import PhotoNote
from reportgen.errors import PhotoError, Place, Problems, listed, nearest
from reportgen.model import Cover, Gap, Reading
from reportgen.sections import Section
from reportgen.yamltext import Items, Keys, Node, Scalar


def _bare(engine: str) -> str:
    return engine.lower().removesuffix("engine").strip()


def reading(taken: Reading, of_engine: bool, cover: Cover, problems: Problems) -> None:
    """Note an engine or an instrument that the cover note doesn't list.

    of_engine: whether the reading's `at:` names an engine; else it is free text.
    """
    engines = [e.name for e in (*cover.found.engines, *cover.found.generators) if e.name]
    bare = [_bare(e) for e in engines]
    if of_engine and taken.at and engines and _bare(taken.at) not in bare:
        near = nearest(_bare(taken.at), bare)
        advice = f"write {engines[bare.index(near)]}" if near else f"write {listed(engines)}"
        problems.error(taken.place.at("at"), f"no engine is called {taken.at!r}", advice)
    if of_engine and not taken.at and not _by_column(taken) and len(cover.found.engines) > 1:
        problems.error(taken.place.at("at"), "which engine is not said", f"write at: {listed(engines)}")
    known = [i.what for i in cover.instruments]
    for name in taken.with_:
        if name not in known:
            near = nearest(name, known)
            problems.warn(
                taken.place.at("with"),
                f"{name!r} is not among the instruments",
                f"write {near}" if near else "list it under instruments: in the cover note",
            )


def _by_column(taken: Reading) -> bool:
    """Say whether every column of a reading's table begins with its engine."""
    heads = taken.table.heads if taken.table else ()
    return bool(heads) and all(head.of for head in heads)


def parts(gaps: Iterable[Gap], items: Iterable[tuple[str, str, str]], problems: Problems) -> None:
    """Note a part that is said to be inspected and not inspected."""
    sound = {part.lower() for part, _, outcome in items if outcome == "sound"}
    for gap in gaps:
        if gap.part.lower() in sound:
            problems.error(
                gap.entry.place.at("not inspected"),
                f"{gap.part!r} stands under inspected items too",
                "keep it in one of the two",
            )


def pictures(notes: Iterable[PhotoNote], folder: Path, problems: Problems) -> None:
    """Note each photo that is missing, outside the survey's folder, no photo, or without a caption."""
    checked: dict[str, PhotoError | None] = {}
    for note in notes:
        if not note.photo:
            continue
        if not note.shows:
            write = f"write - {note.photo}: what is to be seen, and where"
            problems.warn(note.place, f"{note.photo} has no caption", write)
        _labels(note, problems)
        if note.photo not in checked:
            checked[note.photo] = _fault(folder, note.photo)
        fault = checked[note.photo]
        if fault:
            problems.error(note.place, fault.found, fault.write)


def _labels(note: PhotoNote, problems: Problems) -> None:
    """Note words that can't be drawn onto a photo."""
    for mark in note.mark:
        sign = marking.cannot_write(mark.label) if mark.label else ""
        if sign:
            found = f"{sign!r} can't be drawn onto a photo"
            problems.error(
                note.place.at("mark"), found, "write the label in other letters, the rest into shows"
            )


def _fault(folder: Path, name: str) -> PhotoError | None:
    try:
        photos.check(photopaths.inside(folder, name))
    except PhotoError as error:
        return error
    return None


def links(
    found: Iterable[Section], keys: Iterable[Keys], ids: Mapping[str, Place], problems: Problems
) -> None:
    """Note a link to a place that the survey hasn't, and in keys any link that a page doesn't follow."""
    for section in found:
        for id, place in section.anchors():
            _anchor(id, place, ids, problems)
    for block in keys:
        for scalar in _texts(block):
            for what, address in prose.links_in_line(scalar.text):
                sections.refused(what, address, scalar.place, problems)
                if what == "link" and address.startswith("#"):
                    _anchor(address[1:], scalar.place, ids, problems)


def _anchor(id: str, place: Place, ids: Mapping[str, Place], problems: Problems) -> None:
    if id not in ids:
        near = nearest(id, ids)
        advice = f"write #{near}" if near else "link to the id of a finding or reading of this survey"
        problems.error(place, f"a link to #{id}, which no finding or reading has", advice)


def _texts(node: Node) -> Iterator[Scalar]:
    """Give every text of a block that a page may show."""
    left = [node]
    while left:
        each = left.pop()
        if isinstance(each, Scalar):
            yield each
        elif isinstance(each, Items):
            left += each.items
        else:
            left += [value for name, value in each.entries if name.text != "private"]
