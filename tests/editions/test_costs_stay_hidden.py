"""Order, numbers and fingerprints tell nothing of costs: other prices, and such an edition stays the same."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from reportgen import asjson, pages, publish, theme
from tests import made

HIDING = ("insurer", "lender", "seller", "yard")
COVER = {
    "survey": "pre-purchase",
    "inspected": "2026-03-01",
    "vessel": {"type": "sailing yacht", "name": "Grebe"},
    "people": {"surveyor": {"name": "Ruth Halvane"}},
    "price": {"currency": "USD", "asking": 30000},
    "rates": {"labour": 90},
    "strip-downs": {"mast down": {"labour": "2 h"}},
}
FINDING = """## {title}
```finding
severity: {severity}
forbids: {forbids}
hazards: [structure]
confidence: seen
basis: surveyor's judgement
by when: before launch
risk: it gives way
action: renew it
repair: {{needs: [mast down], parts: [{{what: part, each: {price}}}]}}
pays: seller
```
Seen on deck.

"""


def _notes(*prices: str) -> str:
    severities = ("stop", "stop", "settle", "settle", "schedule")
    titles = ("Chain plate", "Stem fitting", "Halyard", "Sheave", "Lifeline")
    rows = zip(titles, severities, prices, strict=True)
    found = (
        FINDING.format(title=t, severity=s, price=p, forbids="[sailing]" if s == "stop" else "[]")
        for t, s, p in rows
    )
    return "".join(found).replace("forbids: []\n", "")


def _files(folder: Path, name: str, *prices: str) -> tuple[str, ...]:
    """Give the data and the pages of an edition, the fingerprint in them."""
    to = publish.edition_named(name)
    shown = made.shown(made.built(made.write(folder / name, COVER, _notes(*prices))), to)
    data = asjson.document(shown, to)
    arranged = pages.arrange(shown, to, {}, asjson.fingerprint(data), charts=False)
    used = theme.find()
    return json.dumps(data), *(theme.render(page, used).decode() for page in arranged)


@pytest.mark.parametrize("name", HIDING)
def test_other_prices_give_the_same_pages(tmp_path: Path, name: str) -> None:
    """What was cheap becomes dear, and not a byte differs for a reader who sees no cost."""
    cheap_first = _files(tmp_path / "one", name, "10", "900", "20", "800", "5")
    dear_first = _files(tmp_path / "two", name, "900", "10", "800", "20", "5000")
    assert cheap_first == dear_first


def test_the_buyer_sees_the_difference(tmp_path: Path) -> None:
    """So that the test above can fail: the dearest of findings alike stands first for who sees costs."""
    one = _files(tmp_path / "one", "buyer", "10", "900", "20", "800", "5")[1]
    two = _files(tmp_path / "two", "buyer", "900", "10", "800", "20", "5")[1]
    assert one.index('id="stem-fitting"') < one.index('id="chain-plate"')
    assert two.index('id="chain-plate"') < two.index('id="stem-fitting"')
