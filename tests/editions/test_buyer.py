"""The buyer's edition: everything but where exactly the boat lies and what is nobody's business."""

from __future__ import annotations

from reportgen.editions.buyer import EDITION
from tests.test_edition import SHARES


def test_buyer_sees_all_but_the_exact_place() -> None:
    """A new category is not shown until somebody decides that the buyer may see it."""
    assert EDITION.shows == SHARES - {"open", "private", "exact place"}
    assert not EDITION.masked
    assert not EDITION.leaves_out
    assert not EDITION.public


def test_price_comes_after_what_protects() -> None:
    """Use limits, findings and gaps stand before the estimate and the price talk."""
    at = EDITION.passages.index
    order = ("use_limits", "at_a_glance", "findings", "not_inspected", "estimate", "settlement", "valuation")
    assert [at(name) for name in order] == sorted(at(name) for name in order)
