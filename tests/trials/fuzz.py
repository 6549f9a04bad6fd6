"""Mangled notes by the hundred thousand: problems are all that may come of one, and within two seconds."""

from __future__ import annotations

import hashlib
import multiprocessing
import os
import random
import signal
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from reportgen import prose, publish, sections, theme
from reportgen.errors import NotesError, Problems
from tests.nasty import unsafe
from tests.trials.mangling import mangled

MOST_SECONDS = 2.0
CHUNK = 250


class TooLongError(BaseException):
    """A run took over MOST_SECONDS; no handler of the product may swallow it."""


@contextmanager
def watched() -> Iterator[None]:
    """Stop what stands inside after MOST_SECONDS of the processor's time."""

    def ring(*_: object) -> None:
        raise TooLongError

    signal.signal(signal.SIGVTALRM, ring)
    signal.setitimer(signal.ITIMER_VIRTUAL, MOST_SECONDS)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_VIRTUAL, 0)


def _told(problems: Problems) -> None:
    for problem in problems:
        assert problem.found, problem
        assert problem.write, problem
        assert "\n" not in str(problem.place), problem


def read(text: str, folder: Path) -> None:
    """The reader: front matter, sections, fences, tables."""
    problems = Problems()
    sections.split(text, "note.md", problems)
    _told(problems)


def markdown(text: str, folder: Path) -> None:
    """The Markdown, in blocks and in a line; its HTML is harmless."""
    assert not unsafe(prose.block(text))
    assert not unsafe(prose.inline(text[:2000]))


def check(text: str, folder: Path) -> None:
    """All that `check` does with a survey of one note."""
    (folder / "cover.md").write_bytes(text.encode("utf-8", "surrogatepass"))
    problems = Problems()
    publish.check(folder, problems)
    _told(problems)


def published(text: str, folder: Path) -> None:
    """All that `publish` does, without charts."""
    (folder / "cover.md").write_bytes(text.encode("utf-8", "surrogatepass"))
    wish = publish.Wish(publish.edition_named("seller"), theme.find(), charts=False)
    try:
        publish.publish(folder, folder.parent / "out", wish)
    except NotesError as error:
        _told(error.problems)


TARGETS: tuple[tuple[Callable[[str, Path], None], float], ...] = (
    (read, 0.40),
    (markdown, 0.35),
    (check, 0.22),
    (published, 0.03),
)


@dataclass
class Outcome:
    """What came of many examples: how many of each target, the slowest [s], and each failure once."""

    counts: Counter[str] = field(default_factory=Counter)
    slowest: dict[str, float] = field(default_factory=dict)
    failures: dict[str, tuple[str, str]] = field(default_factory=dict)

    def add(self, other: Outcome) -> None:
        """Take in what another process found."""
        self.counts += other.counts
        for name, took in other.slowest.items():
            self.slowest[name] = max(took, self.slowest.get(name, 0.0))
        self.failures |= other.failures


def _one(target: Callable[[str, Path], None], text: str, folder: Path, outcome: Outcome) -> None:
    name = target.__name__
    start = time.process_time()
    try:
        with watched():
            target(text, folder)
    except (Exception, TooLongError) as error:  # noqa: BLE001 -- whatever escapes is what is looked for
        last = traceback.extract_tb(error.__traceback__)[-1]
        where = f"{name}: {type(error).__name__} at {Path(last.filename).name}:{last.lineno}"
        outcome.failures.setdefault(where, (text, "".join(traceback.format_exception(error))[-2000:]))
    took = time.process_time() - start
    outcome.counts[name] += 1
    outcome.slowest[name] = max(took, outcome.slowest.get(name, 0.0))


def chunk(seed: int) -> Outcome:
    """Try CHUNK examples that follow from a seed."""
    chance = random.Random(seed)  # noqa: S311
    outcome = Outcome()
    targets, weights = zip(*TARGETS, strict=True)
    with tempfile.TemporaryDirectory() as made:
        notes = Path(made) / "notes"
        notes.mkdir()
        for _ in range(CHUNK):
            _one(chance.choices(targets, weights)[0], mangled(chance), notes, outcome)
    return outcome


def run(count: int, seed: int, keep: Path | None) -> int:
    """Try `count` examples on every processor; give the number of failures and keep the text of each."""
    start, whole = time.monotonic(), Outcome()
    with multiprocessing.Pool(os.cpu_count()) as pool:
        chunks = range(seed, seed + -(-count // CHUNK))
        for done, outcome in enumerate(pool.imap_unordered(chunk, chunks), 1):
            whole.add(outcome)
            if done % 40 == 0:
                print(f"{done * CHUNK:,} tried, {len(whole.failures)} failures", flush=True)
    print(f"{whole.counts.total():,} mangled notes in {time.monotonic() - start:.0f} s: {dict(whole.counts)}")
    print("slowest [s]:", {name: round(took, 2) for name, took in whole.slowest.items()})
    for where, (text, trace) in whole.failures.items():
        print(f"--- {where}\n{trace}")
        if keep is not None:
            keep.mkdir(parents=True, exist_ok=True)
            name = hashlib.sha256(where.encode()).hexdigest()[:8]
            (keep / f"{name}.md").write_bytes(text.encode("utf-8", "surrogatepass"))
    return len(whole.failures)
