"""The lender's edition: which boat, her value, what has to be put right by when, and what nobody saw."""

from reportgen.edition import Edition

EDITION = Edition(
    name="lender",
    title="Condition and valuation report for the lender",
    without_value="Condition report for the lender",
    reader="This edition is for the lender who is asked to finance the boat.",
    # a name, no telephone number: the lender has its own; who haggled with whom is not the lender's matter
    shows=frozenset(
        {"people", "surveyor", "surveyor contact", "hull number", "serial", "identity", "place", "value"}
    ),
    # a line that asks for nothing would be read as a condition of the loan
    leaves_out=frozenset({"watch", "sound"}),
    relies=True,
    may_add=frozenset({"cost totals", "agreed price"}),
    passages=(
        "masthead",
        "use_limits",
        "at_a_glance",
        "left_as",
        "follow_up",
        "to_put_right",
        "identity",
        "findings",
        "not_inspected",
        "valuation",
        "circumstances",
        "carriage",
        "readings",
        "narrative",
        "disclosure",
        "cautions",
        "measurements",
        "sources",
        "about",
    ),
)
