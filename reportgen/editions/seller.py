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
    passages=(
        "masthead",
        "use_limits",
        "at_a_glance",
        "follow_up",
        "findings",
        "readings",
        "carriage",
        "not_inspected",
        "identity",
        "circumstances",
        "narrative",
        "disclosure",
        "cautions",
        "measurements",
        "sources",
        "about",
    ),
)
