"""The insurer's edition: what can sink, burn, strand or hurt, what has to be done by when, and the value."""

from reportgen.edition import Edition

EDITION = Edition(
    name="insurer",
    title="Condition and valuation report for the insurer",
    without_value="Condition report for the insurer",
    reader="This edition is for the insurer who is asked to cover the boat.",
    shows=frozenset(
        {"people", "surveyor", "surveyor contact", "hull number", "serial", "identity", "place", "value"}
    ),
    # whatever is listed may become a condition of cover, so what asks for no work is only counted
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
        "findings",
        "not_inspected",
        "carriage",
        "readings",
        "identity",
        "circumstances",
        "valuation",
        "narrative",
        "disclosure",
        "cautions",
        "closing_out",
        "measurements",
        "sources",
        "about",
    ),
)
