"""The long trials, run before a release and not in .ci/run: `python -m tests.trials NAME`."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path


def main() -> int:
    """Run one trial; give 0 if nothing was found."""
    parser = argparse.ArgumentParser(prog="python -m tests.trials", description=__doc__)
    trials = parser.add_subparsers(dest="trial", required=True)
    mangled = trials.add_parser("fuzz", help="mangled notes through reader, Markdown, check and publish")
    mangled.add_argument("--count", type=int, default=200_000)
    mangled.add_argument("--seed", type=int, default=1)
    mangled.add_argument("--keep", type=Path, help="folder for the notes that failed")
    follows = trials.add_parser("guided", help="a fuzzer that follows the lines it reaches; needs atheris")
    follows.add_argument("--seconds", type=int, default=300)
    follows.add_argument("--corpus", type=Path)
    for name, count, told in (
        ("kills", 300, "kill -9 at random moments and at every call that changes the disk"),
        ("disks", 50, "small disks, and disks that turn read-only, at many moments; needs root"),
    ):
        trial = trials.add_parser(name, help=told)
        trial.add_argument("--count", type=int, default=count)
        trial.add_argument("--seed", type=int, default=1)
    planted = trials.add_parser("mutants", help="faults planted one at a time, to see whether a test notices")
    planted.add_argument("group", choices=("kinds", "estimate", "settlement", "identity", "edition"))
    planted.add_argument("--count", type=int, default=100)
    planted.add_argument("--seed", type=int, default=1)
    wish = parser.parse_args()
    if wish.trial == "fuzz":
        from tests.trials import fuzz

        return min(1, fuzz.run(wish.count, wish.seed, wish.keep))
    if wish.trial == "mutants":
        from tests.trials import mutants

        return mutants.run(wish.group, wish.count, wish.seed)
    if wish.trial in ("kills", "disks"):
        from tests.trials import breaks

        return min(1, breaks.run(wish.trial, wish.count, wish.seed))
    from tests.trials import guided

    return guided.run(wish.seconds, wish.corpus)


if __name__ == "__main__":
    sys.exit(main())
