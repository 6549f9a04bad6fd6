"""Collects the texts of reports into the catalogues: `python -m tests.catalogue` writes .po and .mo anew.

Texts come from calls of `wording` in the package, from the templates of themes/, from what kinds, editions,
passages and blocks declare, and from the data files. Translations are kept by their English text: a text
that changed has to be translated again, and what nobody says any more is taken out.
"""

from __future__ import annotations

import ast
import dataclasses
import datetime
import gettext
import io
import re
import sys
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

import yaml
from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po
from jinja2.ext import babel_extract

from reportgen import (
    checkpage,
    costshares,
    coverage,
    findings,
    followup,
    glossary,
    jobs,
    racks,
    settlement,
    ways,
    wording,
)
from reportgen.block import keys_of
from reportgen.blocks import conditions, cover, disclosure, finding, safety, value
from reportgen.blocks.vessel import FUELS, TYPES, WATERS, BoatFacts, Engine
from reportgen.kind import OUTCOMES, Kind
from reportgen.kinds import coupling
from reportgen.model import WAYS_TO_DEAL
from reportgen.passages import not_inspected
from reportgen.theme import home
from tests.project import PACKAGE, TOP

# which arguments of a call are its context, its text and its plural
CALLS: Mapping[str, tuple[int | None, int, int | None]] = {
    "say": (None, 0, None),
    "later": (None, 0, None),
    "say_n": (None, 0, 1),
    "later_n": (None, 0, 1),
    "say_in": (0, 1, None),
    "later_in": (0, 1, None),
    "say_n_in": (0, 1, 2),
}
IN_TEMPLATES = {"gettext": CALLS["say"], "_": CALLS["say"], "ngettext": CALLS["say_n"]} | {
    "pgettext": CALLS["say_in"],
    "npgettext": CALLS["say_n_in"],
}
SPOKEN = tuple(language for language in wording.LANGUAGES if language != "en")
# keys of the data files that hold text; names of items and systems are looked up as names
DATA = {"cautions.yaml": ("about", "text", "do", "who"), "sources.yaml": ("read",)}
ITEM = ("how", "if not", "would take")
# contract values, which stay English in the data, by the meaning in which they are shown
PAYERS = ("the seller", "the buyer")
CONTRACT: Mapping[str, Iterable[str]] = {
    "severity": finding.SEVERITIES,
    "state": findings.STATES,
    "outcome": OUTCOMES,
    "became": followup.BECAME,
    "visit": jobs.VISITS,
    "item": (*coverage._RANK, coverage.UNMENTIONED, "does not apply"),
    "craft": safety.CRAFT,
    "plate": ("plate's figures", "persons", "weight", "power"),
    "adjustment": value.ORDER,
    "name": (
        *safety.SOUNDS,
        *keys_of(BoatFacts),
        *keys_of(Engine),
        *("capacity plate", "persons", "load", "power", "power against capacity plate"),
        *("engine", "drive", "gearbox", "generator", not_inspected.BEYOND),
        *disclosure.TOPICS,
        *("mechanical", "welding", "joinery", "rigging", "painting"),
        *("top", "forward", "middle", "aft", "front", "rear", "left", "right", "upper", "lower"),
        *("warm", "hot", "idle"),
        *("title", *(name.replace("_", " ") for name in followup._TOLD)),
    ),
    "part of a sum": ways.TERMS,
    "status": cover.STATUSES,
    "survey": cover.SURVEYS,
    "boat": TYPES,
    "waters": WATERS,
    "hazard": (*finding.HAZARDS, "general"),
    "basis": finding.BASES,
    "edition": racks.names("editions"),
    "where the boat is": conditions.STATES,
    "role": ("Client", "Buyer", "Seller", "Owner", "Broker", "Yard"),
    "who pays": PAYERS,
    "paid by": PAYERS,
    "to whom": PAYERS,
    "way to deal": WAYS_TO_DEAL,
    "day of the deal": (*settlement._DATES.values(), settlement._REPAIRS_DONE, settlement._HELD_UNTIL),
    "place on the flange": coupling.ENDS,
    "fuel": FUELS,
    "by whom": ("owner", "seller", "yard", "mechanic", "surveyor"),
    "answer": disclosure.ANSWERS,
    "share of": (*costshares.PAYERS,),
}


@dataclasses.dataclass(frozen=True)
class Found:
    """A text with the file that says it. many: its plural, "" for none. context: its meaning, "" for none."""

    file: str
    text: str
    many: str = ""
    context: str = ""


def _found(file: str, call: str, arguments: Iterable[Any], calls: Mapping[str, Any]) -> Found | None:
    context, text, many = calls[call]
    given = dict(enumerate(arguments))
    values = [given.get(at) if at is not None else "" for at in (text, many, context)]
    return Found(file, *values) if all(isinstance(v, str) for v in values) else None


def in_source(file: str, source: str) -> Iterator[Found]:
    """Give the texts of a module; a text that is put together first can't be found and is an error."""
    # elsewhere a word such as `say` is another's
    for node in ast.walk(ast.parse(source)) if "wording" in source or file.endswith("wording.py") else ():
        if not isinstance(node, ast.Call):
            continue
        name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
        if name not in CALLS:
            continue
        # the words of a meaning may be chosen by a contract value; those are listed in CONTRACT
        if CALLS[name][0] is None and any(isinstance(a, ast.JoinedStr | ast.BinOp) for a in node.args[:2]):
            raise ValueError(f"{file}:{node.lineno}: {name} takes a whole text with {{places}}")
        given = [a.value if isinstance(a, ast.Constant) else None for a in node.args]
        if found := _found(file, name, given, CALLS):
            yield found


def in_template(file: str, text: str) -> Iterator[Found]:
    """Give the texts of a template: of trans blocks and of calls."""
    options = {"trim_blocks": "true", "lstrip_blocks": "true", "newstyle_gettext": "true", "silent": "false"}
    for _, call, message, _ in babel_extract(io.BytesIO(text.encode()), list(IN_TEMPLATES), [], options):
        given = message if isinstance(message, tuple) else (message,)
        if found := _found(file, call, given, IN_TEMPLATES):
            yield found


def _strings(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, Mapping):
        yield from (text for each in value.values() for text in _strings(each))
    elif isinstance(value, list | tuple):
        yield from (text for each in value for text in _strings(each))


def _declared(rack: str, attribute: str, fields: Iterable[str]) -> Iterator[Found]:
    for name, thing in racks.all_of(rack, attribute).items():
        for each in fields:
            texts = _strings(getattr(thing, each))
            yield from (Found(f"reportgen/{rack}/{name}.py", text) for text in texts if text)


def _names(kind: Kind) -> Iterator[str]:
    """Give the names that a kind's limits, keys and columns go by, as a page may print them."""
    yield from kind.limit_words
    yield from (limit.of for limit in kind.limits)
    yield from (limit.word for limit in kind.limits)
    yield from (field for field in keys_of(kind.fields) if field != "limit")
    if kind.table:
        yield from (kind.table.rows, *(column.name for column in kind.table.columns))


def _of_kinds() -> Iterator[Found]:
    sayings = ("title", "measures", "how", "instrument", "proves", "proves_not", "no_source", "limits_for")
    yield from _declared("kinds", "KIND", sayings)
    for name, kind in racks.all_of("kinds", "KIND").items():
        file = f"reportgen/kinds/{name}.py"
        yield from (Found(file, word, context="name") for word in dict.fromkeys(_names(kind)) if word)


def _of_data() -> Iterator[Found]:
    for file, keys in DATA.items():
        rows = yaml.safe_load((PACKAGE / file).read_text(encoding="utf-8"))
        for row in rows.values():
            yield from (Found(f"reportgen/{file}", row[key]) for key in keys if row.get(key))
    for word in glossary.words():
        yield Found("reportgen/glossary.yaml", glossary.forms(word), context=glossary.MEANING)
        yield Found("reportgen/glossary.yaml", word.means)
        if word.matters:
            yield Found("reportgen/glossary.yaml", word.matters)
    for path in sorted((PACKAGE / "checklists").glob("*.yaml")):
        file = f"reportgen/checklists/{path.name}"
        for system, items in yaml.safe_load(path.read_text(encoding="utf-8")).items():
            yield Found(file, system, context="name")
            for item, row in items.items():
                yield Found(file, item, context="name")
                yield from (Found(file, row[key]) for key in ITEM if row.get(key))


def everything() -> tuple[Found, ...]:
    """Give every text of reports, in the order of files."""
    found: list[Found] = []
    for path in sorted(PACKAGE.rglob("*.py")):
        found += in_source(path.relative_to(TOP).as_posix(), path.read_text(encoding="utf-8"))
    for path in sorted(home().rglob("*.html")):
        found += in_template(path.relative_to(TOP).as_posix(), path.read_text(encoding="utf-8"))
    for path in sorted((PACKAGE / "checker").iterdir()):
        file, text = path.relative_to(TOP).as_posix(), path.read_text(encoding="utf-8")
        found += in_template(file, text) if path.suffix == ".html" else ()
        found += (Found(file, said) for said in checkpage.texts(text) if path.suffix == ".js")
    found += _of_kinds()
    found += _declared("editions", "EDITION", ("title", "without_value", "reader"))
    found += _declared("passages", "PASSAGE", ("title",))
    for context, words in CONTRACT.items():
        found += (Found("contract values", word, context=context) for word in words)
    found += _of_data()
    return tuple(found)


def template(found: Iterable[Found]) -> Catalog:
    """Give the catalogue of all texts, without a translation."""
    made = _empty(None)
    for each in sorted(found, key=lambda f: f.file):
        # one place a file is enough, and no line numbers: they would change with every edit
        same = made.get((each.text, each.many) if each.many else each.text, each.context or None)
        places = [] if same and (each.file, 0) in same.locations else [(each.file, 0)]
        id_ = (each.text, each.many) if each.many else each.text
        made.add(id_, locations=places, context=each.context or None)
    return made


def _empty(language: str | None) -> Catalog:
    # the day of a run is not noted: the same texts give the same files
    return Catalog(language, wording.DOMAIN, project="reportgen", header_comment="# Texts of reports")


def _path(language: str, ending: str) -> Path:
    return wording.HOME / language / "LC_MESSAGES" / f"{wording.DOMAIN}.{ending}"


def kept(language: str) -> Catalog:
    """Give a language's catalogue as its .po has it, empty where there is none yet."""
    path = _path(language, "po")
    if not path.is_file():
        return _empty(language)
    return read_po(io.BytesIO(path.read_bytes()), language, wording.DOMAIN)


def updated(language: str, texts: Catalog) -> Catalog:
    """Give a language's catalogue with exactly the texts there are, translations kept."""
    old, new = kept(language), _empty(language)
    for message in texts:
        if message.id:
            known = old.get(message.id if isinstance(message.id, str) else message.id[0], message.context)
            same = known is not None and known.id == message.id
            string = known.string if known is not None and same else None
            new.add(message.id, string, locations=message.locations, context=message.context)
    return new


def as_po(made: Catalog) -> bytes:
    """Give a catalogue as the text of its .po, ordered by file, without days and lines."""
    file = io.BytesIO()
    write_po(file, made, width=110, sort_by_file=True, include_lineno=False, omit_header=True)
    plural = made.plural_forms
    head = [
        "# Texts of reports. Written anew by `python -m tests.catalogue`, which keeps the translations.",
        'msgid ""',
        'msgstr ""',
        r'"Content-Type: text/plain; charset=utf-8\n"',
        r'"Content-Transfer-Encoding: 8bit\n"',
        rf'"Language: {made.locale}\n"',
        rf'"Plural-Forms: {plural}\n"',
    ]
    return "\n".join([*head, "", ""]).encode() + file.getvalue()


def as_mo(po: bytes, language: str) -> bytes:
    """Give a .po compiled; what is not translated is left out, so that it stays English."""
    made = read_po(io.BytesIO(po), language, wording.DOMAIN)
    # no day of a run: the same texts give the same file
    made.creation_date = made.revision_date = datetime.datetime(2026, 1, 1, tzinfo=datetime.UTC)
    file = io.BytesIO()
    write_mo(file, made)
    return file.getvalue()


def spoken(mo: bytes) -> dict[Any, str]:
    """Give what a compiled catalogue says, its head aside, which names the program that wrote it."""
    known: dict[Any, str] = gettext.GNUTranslations(io.BytesIO(mo))._catalog  # type: ignore[attr-defined]
    return {text: string for text, string in known.items() if text}


def places(text: str) -> list[str]:
    """Give the places of a text in which values are put, sorted: {name} and %(name)s."""
    return sorted([*re.findall(r"(?<!\{)\{(\w*[^{}]*)\}", text), *re.findall(r"%\((\w+)\)s", text)])


def missing(made: Catalog) -> list[str]:
    """Give the texts of a catalogue that have no translation, or one that is marked as doubtful."""
    strings = ((m, m.string if isinstance(m.string, tuple) else (m.string,)) for m in made if m.id)
    return [str(m.id) for m, given in strings if m.fuzzy or not all(given)]


def main() -> None:
    """Write every language's catalogue anew and say what is missing in each."""
    texts = template(everything())
    print(f"{len(texts)} texts")
    for language in SPOKEN:
        made = updated(language, texts)
        po = as_po(made)
        _path(language, "po").parent.mkdir(parents=True, exist_ok=True)
        _path(language, "po").write_bytes(po)
        _path(language, "mo").write_bytes(as_mo(po, language))
        print(f"{language}: {len(missing(made))} without a translation")


if __name__ == "__main__":
    sys.exit(main())
