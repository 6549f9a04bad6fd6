"""Opens a JSON file that anybody may have written, and takes it apart one checked value at a time."""

from __future__ import annotations

import datetime
import hashlib
import json
import re
import stat
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from pathlib import Path, PurePosixPath, PureWindowsPath
from typing import Any

from reportgen import prose
from reportgen.yamltext import INVISIBLE

MOST_BYTES = 5_000_000  # largest file that is opened [bytes]
MOST = 1000  # things in a list [-]
AS_PUBLISHED = "take the report.json as it was published, unaltered"
_FORMAT = re.compile(r"reportgen report (\d{1,4})(?:\.\d{1,4})?")
_READS = 1  # newest main version of report.json that is understood
_ID = re.compile(r"[a-z0-9][a-z0-9-]{0,200}")


class BadFileError(ValueError):
    """Something in the file that can't be: where, what, and what to do."""

    def __init__(self, where: str, what: str, write: str = AS_PUBLISHED) -> None:
        super().__init__(what)
        self.where, self.what, self.write = where, what, write


def path(name: str, folder: Path) -> Path:
    """Give the file that a path from the survey's folder means; BadFileError when it is none of ours."""
    here = "write the path from the survey's folder, such as ../my-boat/report.json"
    odd = not name or INVISIBLE.search(name) or "\\" in name or "\n" in name or "\t" in name
    if odd or name.startswith(("/", "~")) or PureWindowsPath(name).drive:
        raise BadFileError("", "no path from the survey's folder", here)
    if PurePosixPath(name).suffix != ".json":
        raise BadFileError("", "no report.json", "name the report.json of the earlier report's folder")
    file = folder / name
    try:
        found = file.stat()
    except (OSError, ValueError):
        raise BadFileError("", "there is no such file", here) from None
    if not stat.S_ISREG(found.st_mode):
        raise BadFileError("", "no ordinary file", "name the report.json itself")
    if found.st_size > MOST_BYTES:
        raise BadFileError("", f"{found.st_size:,} bytes; no report is over {MOST_BYTES:,}", AS_PUBLISHED)
    return file


def parsed(file: Path) -> dict[str, Any]:
    """Give the object in a report.json, every fraction as it is written; BadFileError says what is wrong."""
    try:
        with file.open("rb") as opened:
            data = opened.read(MOST_BYTES + 1)
        found = json.loads(
            data.decode("utf-8"),
            parse_float=_fraction,
            parse_int=_number,
            parse_constant=_constant,
            object_pairs_hook=_pairs,
        )
    except OSError as error:
        raise BadFileError("", f"can't be read ({error.strerror})", "see that you may read it") from None
    except UnicodeDecodeError as error:
        raise BadFileError("", f"is no UTF-8 text at byte {error.start}") from None
    except json.JSONDecodeError as error:
        raise BadFileError(f"line {error.lineno}, column {error.colno}", "is no JSON from here on") from None
    except RecursionError:
        raise BadFileError("", "is nested deeper than any report") from None
    except ValueError as error:
        raise BadFileError("", f"is no JSON of a report ({str(error)[:80]})") from None
    if not isinstance(found, dict):
        raise BadFileError("", "is no report: it holds no object")
    _of_our_format(found.get("format"))
    told = found.get("fingerprint", "")
    if told and told != fingerprint(json.loads(data)):
        raise BadFileError("fingerprint", "is not that of what the file holds, so it was altered")
    return found


def fingerprint(data: Mapping[str, Any]) -> str:
    """Give a short fingerprint of a document: 16 hexadecimal digits in fours, over its sorted JSON."""
    bare = {name: value for name, value in data.items() if name != "fingerprint"}
    canonical = json.dumps(bare, ensure_ascii=False, allow_nan=False, sort_keys=True, separators=(",", ":"))
    return digest(canonical.encode("utf-8"))


def digest(canonical: bytes) -> str:
    """Give the fingerprint of a document by its sorted JSON without blanks, which holds no fingerprint."""
    digest = hashlib.sha256(canonical).hexdigest()[:16]
    return " ".join(digest[n : n + 4] for n in range(0, 16, 4))


def _fraction(text: str) -> Decimal:
    """Read a number with a fraction; one that would take up all memory when printed is refused."""
    number = Decimal(text)
    if len(text) > 60 or not -30 < number.adjusted() < 30:
        raise ValueError("a number beyond all measure")
    return number


def _number(text: str) -> int:
    if len(text) > 60:
        raise ValueError("a number beyond all measure")
    return int(text)


def _constant(text: str) -> None:
    raise ValueError(f"{text} is no number")


def _pairs(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        raise ValueError("a key stands twice")
    return found


def _of_our_format(format: object) -> None:
    match = _FORMAT.fullmatch(format) if isinstance(format, str) else None
    if match is None:
        raise BadFileError("format", "is not reportgen's", "name the report.json of an earlier report")
    if int(match[1]) > _READS:
        what = f"{match[0]} is newer than this reportgen reads (up to {_READS})"
        raise BadFileError("format", what, "install a newer reportgen")


def clean(text: str, where: str) -> str:
    """Give a text that holds no sign which a note may not hold."""
    if INVISIBLE.search(text):
        raise BadFileError(where, "holds signs that no note may hold")
    return text


def text(value: object, where: str, lines: bool = False) -> str:
    """Give a text of at most 4000 letters, with `lines` of at most 100 000."""
    most = 100_000 if lines else 4000
    if not isinstance(value, str):
        raise BadFileError(where, "is no text")
    if len(value) > most:
        raise BadFileError(where, f"is longer than {most} letters")
    return clean(value, where)


def id_(value: object, where: str) -> str:
    """Give an id as reportgen makes them."""
    if not isinstance(value, str) or not _ID.fullmatch(value) or prose.slug(value) != value.rstrip("-"):
        raise BadFileError(where, "is no id")
    return value


def word(value: object, known: Sequence[str], where: str) -> str:
    """Give one of the words known."""
    if value not in known:
        raise BadFileError(where, f"is {str(value)[:40]!r}")
    return str(value)


def whole(value: object, where: str) -> int:
    """Give a whole number from 0 to 100 000."""
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= 100_000:
        raise BadFileError(where, "is no whole number")
    return value


def day(value: object, where: str) -> datetime.date:
    """Give a day written as 2026-05-14."""
    try:
        return datetime.date.fromisoformat(text(value, where))
    except ValueError as error:
        if isinstance(error, BadFileError):
            raise
        raise BadFileError(where, "is no day") from None


def object_(value: object, where: str) -> Mapping[str, Any]:
    """Give an object."""
    if not isinstance(value, dict):
        raise BadFileError(where, "is missing or no object")
    return value


def list_(value: object, where: str) -> list[Any]:
    """Give a list of at most 1000."""
    if not isinstance(value, list):
        raise BadFileError(where, "is no list")
    if len(value) > MOST:
        raise BadFileError(where, f"holds more than {MOST}")
    return value


def unlike(values: Iterable[object], where: str, what: str = "id") -> None:
    """Refuse a value that stands twice. what: it is called in the message."""
    seen = set()
    for value in values:
        if value in seen:
            raise BadFileError(where, f"the {what} {value} stands twice")
        seen.add(value)
