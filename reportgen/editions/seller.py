"""The seller's edition: a public disclosure of known defects, without private data or the price talk."""

from reportgen.edition import Edition

EDITION = Edition(
    name="seller",
    title="Seller's disclosure of known defects",
    reader="An extract of the inspection report that the seller makes public.",
    shows=frozenset({"surveyor", "place"}),
    masked=frozenset({"hull number", "serial"}),
    # who repeats "in order" may be held to it as a promise, so praise stays with the surveyor's own report
    leaves_out=frozenset({"sound"}),
    public=True,
    # what the repairs cost is the seller's choice; whose boat it is and the price talk are not
    may_add=frozenset({"work", "cost", "cost totals"}),
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
        "disclosure",
        "identity",
        "circumstances",
        "narrative",
        "cautions",
        "measurements",
        "sources",
        "about",
    ),
)
