"""The buyer's edition: everything the surveyor found, with the price talk; for the buyer's own use."""

from reportgen.edition import Edition

EDITION = Edition(
    name="buyer",
    title="Condition report",
    reader="This edition is for the buyer, who may forward it to a lender or insurer.",
    shows=frozenset(
        {
            "work",
            "cost",
            "cost totals",
            "payer",
            "price",
            "agreed price",
            "value",
            "deal",
            "rates",
            "people",
            "contact",
            "surveyor",
            "surveyor contact",
            "hull number",
            "serial",
            "identity",
            "place",
        }
    ),
    passages=(
        "masthead",
        "use_limits",
        "at_a_glance",
        "left_as",
        "follow_up",
        "findings",
        "readings",
        "carriage",
        "not_inspected",
        "identity",
        "estimate",
        "settlement",
        "valuation",
        "circumstances",
        "narrative",
        "disclosure",
        "cautions",
        "work_list",
        "closing_out",
        "measurements",
        "sources",
        "about",
    ),
)
