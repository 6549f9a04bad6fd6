"""The yard's edition: the work with hours and parts, full numbers to order by, and nothing of the money."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from reportgen import publish, theme
from reportgen.edition import FLOOR
from reportgen.editions.yard import EDITION
from tests import sweep, whole
from tests.whole import Filled


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Filled:
    """Give a survey with every key filled in."""
    return whole.write(tmp_path_factory.mktemp("whole") / "boat")


@pytest.fixture(scope="module")
def packet(filled: Filled, tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, bytes]:
    """Give the files of the yard's packet of that survey."""
    to = tmp_path_factory.mktemp("yard") / "out"
    publish.publish(filled.folder, to, publish.Wish(EDITION, theme.find(), charts=False))
    return sweep.files_in(to)


def test_yard_sees_the_work_and_no_money() -> None:
    """Scope, hours and numbers to order parts by; no cost, payer, price, deal or rate, and nobody's name."""
    assert EDITION.shows == {"work", "surveyor", "surveyor contact", "hull number", "serial", "place"}
    assert not EDITION.masked
    assert not EDITION.leaves_out
    assert not EDITION.public
    assert not {"estimate", "settlement", "valuation", "disclosure"} & set(EDITION.passages)
    assert "work_list" in EDITION.passages


@pytest.mark.parametrize("hidden", [True, False])
def test_what_it_may_not_show_is_nowhere(filled: Filled, packet: Mapping[str, bytes], hidden: bool) -> None:
    """Each private value of every key is in no file; the same search finds those that the yard may see."""
    may = EDITION.shows | FLOOR | {"sound", whole.NOT_PUBLIC}
    tokens = {t.value: t.path for t in filled.tokens if t.hidden(may) is hidden}
    assert len(tokens) > 50
    found = sweep.found(packet, tokens)
    if hidden:
        assert not {tokens[value]: files for value, files in found.items()}
        assert {"Price.offered", "Repair.cost", "Part.each", "Rates.labour", "Person.name"} <= set(
            tokens.values()
        )
    else:
        assert {"Part.number", "Part.what", "Repair.labour"} <= {tokens[value] for value in found}


def test_yard_gets_no_costs_file(packet: Mapping[str, bytes]) -> None:
    """The costs stand in a file that this packet has not; what it has is listed."""
    assert "costs.csv" not in packet
    assert "work-list.html" in packet
    assert "work-list.html" in packet["SHA256SUMS"].decode()
