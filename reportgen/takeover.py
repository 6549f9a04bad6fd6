"""Takes over what an earlier report found: as it stands, or with what this survey's notes say instead."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal

from reportgen import prose
from reportgen.block import read_block
from reportgen.blocks.repair import Repair
from reportgen.errors import Place, Problems
from reportgen.model import EARLIER, Cover, Earlier, Finding, Gap, OldFinding, Prose, Reading
from reportgen.values import Context
from reportgen.yamltext import Items, Keys, Node, Scalar

UNANSWERED = "unanswered-"  # begins the id of a finding that reportgen listed itself
# what was agreed for an earlier deal holds for that deal only
_DEAL = {"pays", "settle by", "known before offer", "advertised as working"}
_CLOSED = {"reported done", "checked", "looked at again"}


def revises(earlier: Earlier, cover: Cover) -> bool:
    """Say whether this is a new version of the very report that it follows, not a later survey."""
    return earlier.number == cover.number


def merged(old: OldFinding, written: Keys, earlier: Earlier, cover: Cover) -> Keys:
    """Give the keys of an earlier finding with those that the notes write in place of its own."""
    named = {name.text for name, _ in written.entries}
    left = set() if revises(earlier, cover) else set(_DEAL)
    if old.finding.checked and written.entries:
        left |= _CLOSED  # it is found again, so what closed it is history
    severity = written.get("severity")
    if isinstance(severity, Scalar) and severity.text.strip() != "stop":
        left.add("forbids")  # followcheck asks why a stop is none any more
    if "repair" not in named and not _still_priced(old.finding.repair, earlier, cover):
        left.add("repair")
    if "replace" not in named and not _still_priced(old.finding.replace, earlier, cover):
        left |= {"replace", "counted"}
    if not _one_currency(earlier, cover):
        left |= {"wait", "counted"}
    place = cover.place.at("follows")  # what is amiss with the old words now is told where they come from
    kept = [(name, _at(value, place)) for name, value in old.keys.entries if name.text not in named | left]
    if "repair" in left and old.finding.repair and old.finding.repair != Finding().repair:
        kept.append((Scalar("repair", Place()), _not_priced(earlier)))
    return Keys((*written.entries, *kept), written.place)


def _at(node: Node, place: Place) -> Node:
    """Give a node with one place for all that is in it."""
    if isinstance(node, Scalar):
        return dataclasses.replace(node, place=place)
    if isinstance(node, Items):
        return Items(tuple(_at(n, place) for n in node.items), place)
    return Keys(tuple((name, _at(value, place)) for name, value in node.entries), place)


def _one_currency(earlier: Earlier, cover: Cover) -> bool:
    return (earlier.price.currency if earlier.price else "") == cover.currency


def _still_priced(repair: Repair | None, earlier: Earlier, cover: Cover) -> bool:
    """Say whether an earlier repair can be priced by this survey's rates and strip-downs."""
    if repair is None:
        return True
    if not _one_currency(earlier, cover):
        return False
    hours = (repair.labour, cover.rates.labour), (repair.second_person, cover.rates.second_person)
    known = all(span is None or _has_rate(repair.trade, rates) for span, rates in hours)
    return known and set(repair.needs) <= set(cover.strip_downs or {})


def _has_rate(trade: str, rates: Mapping[str, Decimal] | None) -> bool:
    return rates is not None and ("" in rates or trade in rates)


def _not_priced(earlier: Earlier) -> Keys:
    told = f"estimated in report {earlier.number}, not estimated again"
    return Keys(((Scalar("unpriced", Place()), Scalar(told, Place(), quoted=True)),), Place())


def finding(old: OldFinding, keys: Keys, told: Prose, context: Context) -> Finding:
    """Read an earlier finding with its merged keys; told: the notes' own prose, the earlier one if empty."""
    read = read_block(Finding, keys, context, "a finding")
    before = Prose(old.prose, prose.block(old.prose), keys.place)
    return dataclasses.replace(read, id=old.id, prose=told or before, photos_before=old.photos)


def rest(
    earlier: Earlier, cover: Cover, written: Iterable[Finding], ids: Mapping[str, Place], problems: Problems
) -> tuple[Finding, ...]:
    """Give the earlier findings that this survey says nothing of and that nothing has closed.

    ids: of this survey's findings and readings. What was found sound then is taken over by a new version
    of the same report only: a later survey can't say so without a look.
    """
    place = cover.place.at("follows")
    replaced = {id for f in written for id in f.instead_of}
    found = []
    for old in earlier.findings:
        sound = old.finding.severity == "sound" and not revises(earlier, cover)
        if old.finding.checked or sound or old.id in replaced:
            continue
        if old.id in ids:
            if not any(f.id == old.id for f in written):
                what = f"{old.id!r} is the id of a finding of the report that is followed"
                problems.error(ids[old.id], what, "write another id:")
            continue
        context = Context(problems, cover.currency)
        keys = Keys(merged(old, Keys((), place), earlier, cover).entries, place)
        taken = finding(old, keys, Prose(), context)
        found.append(
            dataclasses.replace(taken, title=old.title, taken_over=True, by_tool=old.by_tool, place=place)
        )
    return tuple(found)


def gaps(earlier: Earlier, cover: Cover, named: Iterable[str]) -> tuple[Gap, ...]:
    """Give the parts that nobody had inspected then and that this survey doesn't name either.

    named: parts that its notes speak of.
    """
    known = {part.casefold() for part in named}
    place = cover.place.at("follows")
    still = f"not inspected in report {earlier.number} either"
    return tuple(
        dataclasses.replace(
            gap,
            entry=dataclasses.replace(
                gap.entry, why=f"{gap.entry.why}; {still}" if gap.entry.why else still, place=place
            ),
        )
        for gap in earlier.gaps
        if gap.part.casefold() not in known
    )


def since(found: Finding, earlier: Earlier) -> Finding:
    """Let a finding that replaces earlier ones be reported since the first of them was."""
    days = [
        old.finding.first_reported
        for id in found.instead_of
        if (old := earlier.finding(id)) and old.finding.first_reported
    ]
    first = found.first_reported or min(days, default=None)
    return dataclasses.replace(found, first_reported=first) if first != found.first_reported else found


def retested(found: Finding, readings: Sequence[Reading]) -> Finding:
    """Let a finding that reportgen listed for a reading stand for the retest of that reading too."""
    bare = found.id.removeprefix(UNANSWERED)
    if bare == found.id:
        return found
    named = {*found.evidence, *(found.checked.evidence if found.checked else ())}
    again = [
        r.id for r in readings if bare in (r.id, r.retest_of.removeprefix(EARLIER)) and r.id not in named
    ]
    if not again:
        return found
    return dataclasses.replace(found, evidence=(*found.evidence, *again), taken_over=False)
