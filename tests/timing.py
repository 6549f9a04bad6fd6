"""Measures the product's own time, not that of the tool which traces the lines that tests reach."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def within(most: float) -> Iterator[None]:
    """Fail if what stands inside takes more processor time than `most` [s]; line tracing rests meanwhile."""
    tracer = sys.gettrace()
    sys.settrace(None)
    start = time.process_time()
    try:
        yield
        took = time.process_time() - start
    finally:
        sys.settrace(tracer)
    assert took < most, f"took {took:.2f} s of at most {most} s"
