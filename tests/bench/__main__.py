"""Measures how fast reportgen is, beside the yardstick in the same run; not part of the tests.

    python -m tests.bench [--floor PATH] [--only ROW ...] [--many 10000] [--times 5]

The floor is a program `PATH run NOTES --to DIR [--charts 0]` that does only the library work which nobody can
avoid. Each figure is the median of runs that take turns. Ratios count: other work on the machine slows both.
"""

from __future__ import annotations

import argparse
import gzip
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from tests.bench import surveys

TOOL = (sys.executable, "-m", "reportgen")
# what is installed has been compiled once; a checkout that may not keep that would be compiled at every start
KEEPS = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
# a walk over the same files and nothing else, in a process of its own
WALK = """import os, sys
def walk(top):
    with os.scandir(top) as found:
        for entry in found:
            if entry.is_dir(follow_symlinks=False):
                walk(entry.path)
            else:
                entry.stat(follow_symlinks=False)
for top in sys.argv[1:]:
    walk(top)
"""


@dataclass(frozen=True)
class Run:
    """One run of a program. wall, work: elapsed and processor time [s]. peak: memory [MiB]."""

    wall: float
    work: float
    peak: float


def run(*words: str | Path) -> Run:
    """Run a program to its end; a failure ends the measuring with what it said."""
    begun = time.perf_counter()
    with tempfile.TemporaryFile() as said:
        child = subprocess.Popen(list(map(str, words)), stdout=said, stderr=subprocess.STDOUT, env=KEEPS)
        _, status, used = os.wait4(child.pid, 0)
        child.returncode = os.waitstatus_to_exitcode(status)
        if child.returncode:
            said.seek(0)
            sys.exit(f"{' '.join(map(str, words))}\n{said.read()[-3000:].decode()}")
    return Run(time.perf_counter() - begun, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024)


def publish(notes: Path, to: Path, *more: str) -> Run:
    return run(*TOOL, "publish", notes, "--to", to, *more)


def gone(to: Path) -> None:
    """Take a packet and its record away, so that the next run begins cold."""
    shutil.rmtree(to, ignore_errors=True)
    (to.parent / f".{to.name}.reportgen").unlink(missing_ok=True)


class Bench:
    """The rows of the issue's table, each a method; `top` is a folder to work in."""

    def __init__(self, top: Path, floor: Path | None, many: int, times: int) -> None:
        self.top, self.floor, self.many, self.times = top, floor, many, times

    def turns(self, *works: Callable[[], Run]) -> list[list[Run]]:
        """Let works take turns, so that what else the machine does meets all of them."""
        rounds = [[work() for work in works] for _ in range(self.times)]
        return [list(column) for column in zip(*rounds, strict=True)]

    def against_floor(
        self, name: str, count: int, photos: int, reach: float, charts: bool, *more: str
    ) -> None:
        notes = self.made(count, photos)
        to = self.top / "out"

        def ours() -> Run:
            gone(to)
            return publish(notes, to, *more)

        def floor() -> Run:
            shutil.rmtree(self.top / "floor", ignore_errors=True)
            return run(
                sys.executable, str(self.floor), "run", notes, "--to", self.top / "floor",
                *(() if charts else ("--charts", "0")),
            )  # fmt: skip

        if self.floor is None:
            (mine,) = self.turns(ours)
            tell(name, f"{median(mine):.2f} s, {median(mine) / count * 1000:.1f} ms a survey; no --floor")
            return
        mine, its = self.turns(ours, floor)
        tell(name, f"{median(mine):.2f} s / {median(its):.2f} s", median(mine) / median(its), reach)
        print(f"{'':34}processor time {work(mine):.2f} s / {work(its):.2f} s = {work(mine) / work(its):.2f}")

    def made(self, count: int, photos: int = 0) -> Path:
        notes = self.top / f"notes-{count}-{photos}"
        if not notes.is_dir():
            surveys.make(notes, count, photos)
        return notes

    def one(self) -> None:
        self.against_floor("1 survey, 20 photos of 12 MP", 1, 20, 0.7, True)

    def charts(self) -> None:
        self.against_floor("100 surveys, charts", 100, 0, 0.6, True)

    def text(self) -> None:
        self.against_floor("1,000 surveys, text, 1 process", 1000, 0, 3, False, "--no-charts", "--jobs", "1")

    def same(self) -> None:
        """Nothing changed, then one note changed, among many."""
        notes, to = self.made(self.many), self.top / "many"
        publish(notes, to, "--no-charts")
        publish(notes, to, "--no-charts")
        walk = (sys.executable, "-c", WALK, notes, to)
        mine, bare = self.turns(lambda: publish(notes, to, "--no-charts"), lambda: run(*walk))
        still = median(mine)
        tell(
            f"nothing changed, {self.many:,}",
            f"{still:.2f} s / {median(bare):.2f} s",
            still / median(bare),
            3,
        )
        one, note = notes / "boat-00000", notes / "boat-00000" / "part-1.md"

        def changed() -> Run:
            note.write_text(note.read_text() + "It was looked at once more.\n")
            return publish(notes, to, "--no-charts")

        def alone() -> Run:
            gone(self.top / "alone")
            return publish(one, self.top / "alone", "--no-charts")

        mine, single = self.turns(changed, alone)
        reach = still + 1.5 * median(single)
        tell(
            f"one note changed, {self.many:,}",
            f"{median(mine):.2f} s / ({still:.2f} + 1.5 x {median(single):.2f}) s",
            median(mine) / reach,
            1,
        )

    def memory(self) -> None:
        few, to = self.made(100), self.top / "memory"
        gone(to)
        small = publish(few, to, "--no-charts", "--jobs", "1").peak
        gone(to)
        large = publish(self.made(self.many), to, "--no-charts", "--jobs", "1").peak
        gone(to)
        tell(f"memory, {self.many:,} against 100", f"{large:.0f} / {small:.0f} MiB", large / small, 1.3)

    def help(self) -> None:
        mine, bare = self.turns(lambda: run(*TOOL, "--help"), lambda: run(sys.executable, "-c", "pass"))
        told = f"{median(mine) * 1000:.0f} / {median(bare) * 1000:.0f} ms"
        tell("--help against python -c pass", told, median(mine) / median(bare), 3)

    def page(self) -> None:
        gone(self.top / "page")
        publish(self.made(1), self.top / "page")
        for page in sorted((self.top / "page").glob("*/index.html")):
            data = page.read_bytes()
            tell("page without photos", f"{len(data) / 1000:.1f} KB", len(data) / 150_000, 1)
            small = len(gzip.compress(data, 9, mtime=0))
            tell("the same, gzipped", f"{small / 1000:.1f} KB", small / 30_000, 1)


def median(runs: Sequence[Run]) -> float:
    return statistics.median(r.wall for r in runs)


def work(runs: Sequence[Run]) -> float:
    return statistics.median(r.work for r in runs)


def tell(name: str, figures: str, ratio: float | None = None, reach: float = 0) -> None:
    """Print a row: figures, their ratio, what is to be reached."""
    end = "" if ratio is None else f"= {ratio:.2f}, at most {reach:g}: {'yes' if ratio <= reach else 'NO'}"
    print(f"{name:34}{figures:34}{end}", flush=True)


ROWS = ("help", "page", "one", "charts", "text", "same", "memory")


def main() -> None:
    """Measure the rows that are asked for."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=(__doc__ or "").split("\n")[0])
    parser.add_argument("--floor", type=Path, help="the yardstick's program")
    parser.add_argument("--only", nargs="+", choices=ROWS, default=ROWS, help="rows to measure")
    parser.add_argument("--many", type=int, default=10_000, help="surveys of the rows with many")
    parser.add_argument("--times", type=int, default=5, help="runs of each, of which the median counts")
    parser.add_argument("--in", dest="top", type=Path, help="folder to work in, kept; else a passing one")
    chosen = parser.parse_args()
    with tempfile.TemporaryDirectory() as passing:
        bench = Bench((chosen.top or Path(passing)).resolve(), chosen.floor, chosen.many, chosen.times)
        for name in ROWS:
            if name in chosen.only:
                getattr(bench, name)()


if __name__ == "__main__":
    main()
