"""Spells our English the American way, for reports that ask for it; the writer's words stay as they are."""

from __future__ import annotations

import re
from functools import lru_cache

# by the stem, so that vapours and colourless follow; common practice, no source
_STEMS = {
    "aluminium": "aluminum",
    "analyse": "analyze",
    "catalogue": "catalog",
    "centre": "center",
    "colour": "color",
    "glass-fibre": "fiberglass",
    "fibre": "fiber",
    "grey": "gray",
    "harbour": "harbor",
    "judgement": "judgment",
    "labour": "labor",
    "licence": "license",
    "mould": "mold",
    "neighbour": "neighbor",
    "offence": "offense",
    "petrol": "gasoline",
    "recognise": "recognize",
    "sulphate": "sulfate",
    "tyre": "tire",
    "vapour": "vapor",
}
# places for values keep their names: {colour}, %(colour)s
_WORD = re.compile(rf"\{{\w*\}}|%\(\w+\)s|\b({'|'.join(_STEMS)})", re.IGNORECASE)
MONTHS = (
    "January", "February", "March", "April", "May", "June", "July",
    "August", "September", "October", "November", "December",
)  # fmt: skip
_DAY = re.compile(rf"\b(\d\d?) ({'|'.join(MONTHS)}) (\d{{4}})\b")


@lru_cache(10_000)
def spelled(text: str) -> str:
    """Give a text of ours in American spelling, capitals and places for values as they are."""
    return _DAY.sub(r"\2 \1, \3", _WORD.sub(_american, text))


@lru_cache(10_000)
def described(text: str) -> str:
    """Give what we say of a publication in American spelling; a word with a capital is a name and stays."""
    return _DAY.sub(r"\2 \1, \3", _WORD.sub(lambda found: _american(found, names=True), text))


def _american(found: re.Match[str], names: bool = False) -> str:
    word = found[1]
    if word is None or (names and word[0].isupper()):
        return found[0]
    other = _STEMS[word.lower()]
    return other.capitalize() if word[0].isupper() else other
