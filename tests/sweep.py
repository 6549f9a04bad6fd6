"""Looks through everything that a packet holds, in every form in which a value can hide there."""

from __future__ import annotations

import base64
import csv
import datetime
import html
import io
import json
import re
import subprocess
import urllib.parse
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

from PIL import Image

MONTHS = "January February March April May June July August September October November December".split()  # noqa: SIM905
_UNSEEN = re.compile("[\u00ad\u200b-\u200d\u2060\ufeff]|&shy;")


def files_in(folder: Path) -> dict[str, bytes]:
    """Give every file of a folder by its path."""
    return {str(p.relative_to(folder)): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def squeezed(text: str) -> str:
    """Give a text's letters and digits alone, in small letters."""
    return re.sub(r"[\W_]+", "", text.casefold())


def _told(value: Any) -> Iterator[str]:
    if isinstance(value, Mapping):
        for key, each in value.items():
            yield str(key)
            yield from _told(each)
    elif isinstance(value, list):
        for each in value:
            yield from _told(each)
    else:
        yield str(value)


def _picture(data: bytes) -> Iterator[str]:
    with Image.open(io.BytesIO(data)) as picture:
        yield " ".join(f"{k} {v}" for k, v in picture.info.items())
        yield " ".join(map(str, picture.getexif().values()))


def _stream(each: Any) -> Iterator[str]:
    """Give what a stream of a PDF holds, decompressed; a photo with what is hidden in it."""
    if each.get("/Filter") == "/DCTDecode":
        yield from _picture(each.read_raw_bytes())
        return
    if each.get("/Type") in ("/ObjStm", "/XRef"):
        return  # lists of places in the file; the objects themselves come one by one
    held = each.read_bytes()
    if each.get("/Type") not in ("/EmbeddedFile", "/Metadata"):
        # places on a sheet look like sums by chance; the sheet's words come from pdftotext
        held = re.sub(rb"\d+\.\d+", b"0", held)
    yield held.decode("latin-1")
    yield held.decode("utf-8", "ignore")


def _strings(value: Any) -> Iterator[str]:
    """Give the strings of one object of a PDF: titles, descriptions, properties, addresses."""
    import pikepdf

    if isinstance(value, pikepdf.String):
        yield str(value)
    elif isinstance(value, pikepdf.Array):
        yield from (text for each in value for text in _inside(each))
    elif isinstance(value, (pikepdf.Dictionary, pikepdf.Stream)):
        yield from (text for key in value.keys() for text in (str(key), *_inside(value[key])))  # noqa: SIM118


def _inside(value: Any) -> Iterator[str]:
    # what has a number of its own comes by itself
    if not getattr(value, "is_indirect", False):
        yield from _strings(value)


def _pdf(data: bytes) -> Iterator[str]:
    import pikepdf

    with pikepdf.open(io.BytesIO(data)) as opened:
        objects = list(opened.objects)
        yield " | ".join(text for each in objects for text in _strings(each))
        for each in objects:
            if isinstance(each, pikepdf.Stream):
                yield from _stream(each)
        yield " | ".join(f"{key} {value}" for key, value in opened.docinfo.items())
    command = ["pdftotext", "-", "-"]
    yield subprocess.run(command, input=data, capture_output=True, check=True).stdout.decode("utf-8")


def readings(name: str, data: bytes) -> Iterator[str]:
    """Give a file in each form in which somebody could read it."""
    yield name
    yield data.decode("latin-1")
    yield data.decode("utf-16-le", "ignore")
    if name.endswith(".jpg"):
        yield from _picture(data)
        return
    if name.endswith(".pdf"):
        yield from _pdf(data)
        return
    text = data.decode("utf-8")
    yield text
    bare = html.unescape(_UNSEEN.sub("", re.sub(r"<[^>]*>", "", text)))
    yield bare
    yield _UNSEEN.sub("", html.unescape(re.sub(r"<[^>]*>", " ", text)))
    yield urllib.parse.unquote(html.unescape(text))
    for coded in re.findall(r"data:image/jpeg;base64,([A-Za-z0-9+/=]+)", text):
        yield from _picture(base64.b64decode(coded))
    if name.endswith(".json"):
        yield " | ".join(_told(json.loads(text)))
    if name.endswith(".csv"):
        yield " | ".join(cell for row in csv.reader(io.StringIO(text)) for cell in row)


@cache
def _coded(value: str) -> set[str]:
    """Give a value in base64 at each of three offsets, and in hexadecimal digits."""
    raw = value.encode()
    forms = {raw.hex()}
    for offset in range(3):
        coded = base64.b64encode(b"x" * offset + raw).decode().rstrip("=")
        # the first and last signs depend on what stands beside the value
        forms.add(coded[(0, 2, 3)[offset] : -1 if (len(raw) + offset) % 3 else None])
    return forms


_MARK = r"[,.\s]?"


@cache
def _number(value: str) -> tuple[tuple[str, ...], re.Pattern[str]]:
    """Give a number's bare digits, one row of which stands wherever it does, and a pattern of it.

    The pattern allows any marks of thousands, and finds the whole part once rounded.
    """
    whole, _, rest = value.partition(".")
    forms = [rf"{_MARK.join(_groups(whole))}[.,]{rest}(?!\d)"]
    digits = [whole + rest]
    if len(whole) >= 5:
        rounded = (whole, str(round(float(value))))
        forms += [rf"{_MARK.join(_groups(w))}(?!\d|[.,]\d)" for w in rounded]
        digits += rounded
    return tuple(digits), re.compile(rf"(?<![\d.,])(?:{'|'.join(forms)})")


def _groups(digits: str) -> list[str]:
    return f"{int(digits):,}".split(",")


def is_date(value: str) -> bool:
    """Say whether a value is a day."""
    return bool(re.fullmatch(r"\d{4}-\d\d-\d\d", value))


@cache
def _printed(day: str) -> str:
    date = datetime.date.fromisoformat(day)
    return squeezed(f"{date.day} {MONTHS[date.month - 1]} {date.year}")


_wanted = cache(squeezed)


def found(files: Mapping[str, bytes], values: Iterable[str]) -> dict[str, set[str]]:
    """Give the values that stand in any file, in any form: value to names of files."""
    wanted = tuple(values)
    hits: dict[str, set[str]] = {}
    for name, data in files.items():
        texts = list(readings(name, data))
        tight = [squeezed(text) for text in texts]
        raw = texts[1]
        for value in wanted:
            if _stands(value, texts, tight, name) or any(form in raw for form in _coded(value)):
                hits.setdefault(value, set()).add(name)
    return hits


def _stands(value: str, texts: list[str], tight: list[str], name: str) -> bool:
    if is_date(value):
        return any(_wanted(value) in text or _printed(value) in text for text in tight)
    if re.fullmatch(r"\d+\.\d+", value):
        # a sum of a file is a long row of digits by chance
        # nor is a length or a place that a PDF states of itself
        first = 3 if name.endswith(".pdf") else 0
        digits, pattern = _number(value)
        # the pattern is slow, so it is tried only where the bare digits stand
        pairs = zip(texts[first:], tight[first:], strict=True)
        near = (text for text, bare in pairs if any(row in bare for row in digits))
        return not name.endswith("SHA256SUMS") and any(pattern.search(text) for text in near)
    return any(_wanted(value) in text for text in tight)


def anchors(page: bytes) -> tuple[set[str], set[str]]:
    """Give the anchors of a page, and those that its links lead to."""
    text = page.decode("utf-8")
    links = {html.unescape(link) for link in re.findall(r'href="#([^"]*)"', text)}
    return {html.unescape(id) for id in re.findall(r'\sid="([^"]*)"', text)}, links
