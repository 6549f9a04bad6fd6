"""Words that praise: found as written, not where denied, and told of where the seller would say them."""

from __future__ import annotations

from pathlib import Path

import pytest

from reportgen import notes, praise
from reportgen.errors import Problems
from tests import made


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Engine in excellent order, Turn-key boat.", ("excellent", "Turn-key")),
        ("well maintained, well-maintained", ("well maintained", "well-maintained")),
        ("Ready for the sea; needs nothing", ("Ready for the sea", "needs nothing")),
        ("She is as good\nas new", ("as new",)),
        ("Hull not in good condition", ()),
        ("The pump is no longer reliable.", ()),
        ("Peppermint, minting, imperfect, unreliable", ()),
        ("Compression 172 psi, within the maker's limit", ()),
    ],
)
def test_praise_is_found_as_written(text: str, words: tuple[str, ...]) -> None:
    """Whole words in any case, each once; a denial is no praise, and a figure is none."""
    assert praise.found_in(text) == words


BODY = """Lovingly kept by one owner.

## Stern light dark
```finding
severity: settle
action: renew the lamp of this superb light
```
Beautiful but dark.

## Hull
```finding
severity: sound
```
Immaculate.
"""


def _told(folder: Path, **keys: object) -> list[str]:
    problems = Problems()
    survey = notes.read(made.write(folder, {**made.TINY, **keys}, BODY), problems)
    assert survey is not None
    told = Problems()
    praise.problems(survey, told)
    return [f"{p.place.line}: {p.found}; {p.write}" for p in told]


def test_before_release_only_the_answers_are_looked_at(tmp_path: Path) -> None:
    """A surveyor may find a hull immaculate; the seller's own answer may not say so."""
    answers = {"fire": "no", "earlier repairs": "yes: keel, perfect and like new"}
    assert _told(tmp_path / "a") == []
    told = _told(tmp_path / "b", disclosure=answers)
    assert len(told) == 1
    assert "'perfect' and 'like new' praise the boat in the seller's disclosure" in told[0]
    assert told[0].endswith(praise.WHY)


def test_once_released_all_that_the_public_reads_is_looked_at(tmp_path: Path) -> None:
    """Narrative, findings and their prose, each at its place; not what that edition leaves out."""
    told = _told(tmp_path / "a", release={"by": "the owner", "to": "public", "on": "2026-03-05"})
    said = " ".join(told)
    assert len(told) == 3
    assert all(word in said for word in ("'Lovingly' praises", "'superb'", "'Beautiful'"))
    assert "Immaculate" not in said
    assert len({line.split(":")[0] for line in told}) == 3
