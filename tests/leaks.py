"""Looks for private values of the notes in everything that a packet holds, however they are spelled there."""

from __future__ import annotations

import html
import json
import re
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

import yaml
from PIL import Image

LEAST = 4  # letters or digits; shorter values are met by accident everywhere


def front_matter(note: Path) -> dict[str, Any]:
    """Give the keys between the first two lines of dashes of a note, every value as it is written."""
    match = re.match(r"\ufeff?---\r?\n(.*?)\r?\n---", note.read_text(encoding="utf-8"), re.DOTALL)
    # BaseLoader makes nothing but text, so that a price stays as it is written
    read = yaml.load(match[1], Loader=yaml.BaseLoader) if match else {}  # noqa: S506
    return read if isinstance(read, dict) else {}


def squeezed(text: str) -> str:
    """Give a text's letters and digits alone, in small letters, so that every spelling looks the same."""
    return re.sub(r"[\W_]+", "", text.casefold())


def _under(value: Any, name: str) -> Iterator[tuple[str, str]]:
    if isinstance(value, Mapping):
        for key, each in value.items():
            yield from _under(each, f"{name} {key}".strip())
    elif isinstance(value, list):
        for each in value:
            yield from _under(each, name)
    elif value:
        yield name, str(value)


_NOBODY = r"conditions .*exact place|.*\bprivate"
_TALK = r"price (offered|agreed|deposit)"
_CONTACTS = r"people (?!surveyor|inspectors)\w+ contact"
_PEOPLE = rf"{_CONTACTS}|people (?!surveyor|inspectors)\w+ name|conditions .*attended"
# which keys of a cover note a reader may not see, by the rules on privacy
PRIVATE = {
    "buyer": re.compile(_NOBODY),
    "lender": re.compile(rf"{_NOBODY}|{_TALK}|{_CONTACTS}"),
    "insurer": re.compile(rf"{_NOBODY}|{_TALK}|{_CONTACTS}"),
    "yard": re.compile(rf"{_NOBODY}|{_TALK}|{_PEOPLE}"),
    "seller": re.compile(
        rf"{_NOBODY}|{_TALK}|{_PEOPLE}|people surveyor contact|.*hull number|.*registration|.*serial"
    ),
}


def private_values(survey: Path, edition: str = "seller") -> dict[str, str]:
    """Give the values of a survey's notes that an edition may not show, by what each is."""
    found: dict[str, str] = {}
    for note in sorted(survey.glob("*.md")):
        for name, value in _under(front_matter(note), ""):
            if PRIVATE[edition].fullmatch(name) and not value.startswith("not "):
                # who attended stands as `name, trade`; the trade alone is no secret
                found[f"{note.name} {name} {value[:12]}"] = (
                    value.split(",")[0] if "attended" in name else value
                )
        for number, fence in enumerate(_fences(note.read_text(encoding="utf-8"))):
            found[f"{note.name} private fence {number}"] = fence
    return {name: value for name, value in found.items() if len(squeezed(value)) >= LEAST}


def _fences(text: str) -> Iterable[str]:
    return re.findall(r"^```private\s*\n(.*?)^```", text, re.DOTALL | re.MULTILINE)


def _readings(path: Path) -> Iterator[str]:
    """Give a file's content in every form in which somebody could read it."""
    yield str(path.name)
    if path.suffix in (".jpg", ".jpeg", ".png", ".webp"):
        with Image.open(path) as picture:
            yield " ".join(f"{k} {v}" for k, v in picture.info.items())
            yield " ".join(map(str, picture.getexif().values()))
        yield path.read_bytes().decode("latin-1")
        return
    text = path.read_text(encoding="utf-8")
    yield text
    yield html.unescape(text)
    # words that tags or entities split
    yield html.unescape(re.sub(r"<[^>]*>|&shy;|&#173;|\u00ad|\u200b", "", text))
    if path.suffix == ".json":
        yield " ".join(value for _, value in _under(json.loads(text), ""))


def found_in(folder: Path, values: Mapping[str, str]) -> list[str]:
    """Give the values that stand in a folder's files, names or picture data, as `file: what`."""
    wanted = {name: squeezed(value) for name, value in values.items()}
    hits = set()
    for path in sorted(p for p in folder.rglob("*") if p.is_file()):
        for text in _readings(path):
            squeezed_text = squeezed(text)
            # a bare number is looked for as a whole number, thousands separated or not
            # but not in a checksum, where any four figures stand by accident sooner or later
            plain = re.sub(r"\b[0-9a-f]{64}\b", "", text)
            numbers = set(
                re.findall(r"\d+", re.sub(r"(?<=\d)[\s.,'\u2019\u00a0\u202f](?=\d{3}(?!\d))", "", plain))
            )
            for name, value in wanted.items():
                if value in (numbers if value.isdigit() else squeezed_text):
                    hits.add(f"{path.relative_to(folder)}: {name}")
    return sorted(hits)
