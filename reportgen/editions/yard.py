"""The yard's edition: what has to be done, in order, without prices, payers or the price talk."""

from reportgen.edition import Edition

EDITION = Edition(
    name="yard",
    title="Findings and work list for the yard",
    reader="This edition is for the yard that is asked to quote for the work or to do it.",
    # the surveyor may be asked; who buys, sells or pays is not the yard's matter
    shows=frozenset({"work", "surveyor", "surveyor contact", "hull number", "serial", "place"}),
    # whom to call for access, and what the papers say
    may_add=frozenset({"people", "contact", "identity"}),
    passages=(
        "masthead",
        "use_limits",
        "at_a_glance",
        "left_as",
        "follow_up",
        "work_list",
        "findings",
        "readings",
        "not_inspected",
        "identity",
        "circumstances",
        "cautions",
        "measurements",
        "sources",
        "about",
    ),
)
