"""Does the same work for many surveys, one after the other, in several processes or on a cluster."""

from __future__ import annotations

import multiprocessing
import os
import sys
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from importlib import import_module
from types import TracebackType
from typing import Any, TypeVar

from reportgen.errors import PacketError

T = TypeVar("T")
R = TypeVar("R")

FEWEST = 4  # from so many surveys on, a second process pays
_AHEAD = 3  # tasks handed out for each worker, so that none waits and none piles up


def cores() -> int:
    """Give how many processors this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def processes(surveys: int, jobs: int) -> int:
    """Give how many processes are to work on so many surveys; jobs: as the user said, 0 for as it pays."""
    wanted = jobs or (cores() if surveys >= FEWEST else 1)
    return max(1, min(wanted, surveys))


def threads(surveys: int, jobs: int) -> int:
    """Give how many photos each process is to work on at once."""
    return max(1, min(4, (jobs or cores()) // processes(surveys, jobs)))


class Workers:
    """A crew of workers: any executor, or nobody but this process where that is quickest.

    cluster: address of a Dask scheduler; its machines need reportgen and must see the same folders.
    Raises PacketError when the cluster can't be had.
    """

    def __init__(self, jobs: int, cluster: str, surveys: int, executor: Executor | None = None) -> None:
        self._count = processes(surveys, jobs)
        self._own = executor
        self._client: Any = None
        self._under_way: deque[tuple[Any, Future[Any]]] = deque()
        if executor is None and cluster:
            self._client, self._own, self._count = _on_cluster(cluster)
        elif executor is None and self._count > 1:
            self._own = ProcessPoolExecutor(self._count, multiprocessing.get_context(_way()))

    def __enter__(self) -> Workers:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        for _, future in self._under_way:
            future.cancel()
        if self._own is not None:
            self._own.shutdown(wait=True)
        if self._client is not None:
            self._client.close()

    def each(self, work: Callable[[T], R], tasks: Iterable[T]) -> Iterator[tuple[T, R]]:
        """Give each task with what comes of it, in their order; only a few are ever under way."""
        if self._own is None:
            yield from ((task, work(task)) for task in tasks)
            return
        under_way: deque[tuple[T, Future[R]]] = self._under_way
        for task in tasks:
            under_way.append((task, self._own.submit(work, task)))
            if len(under_way) >= self._count * _AHEAD:
                yield _ended(*under_way.popleft())
        while under_way:
            yield _ended(*under_way.popleft())


def _ended(task: T, future: Future[R]) -> tuple[T, R]:
    return task, future.result()


def _way() -> str:
    """Give how a process is begun: by forking where that is safe, since it costs nothing."""
    # later Pythons warn of threads that others may have started, numpy's among them
    return "fork" if sys.platform == "linux" and sys.version_info < (3, 12) else "spawn"


def _on_cluster(address: str) -> tuple[Any, Executor, int]:
    try:
        cluster: Any = import_module("distributed")
    except ImportError:
        raise PacketError("--cluster needs: pip install reportgen[cluster]") from None
    try:
        client = cluster.Client(address, timeout="10s", set_as_default=False)
    except (OSError, ValueError) as error:
        raise PacketError(f"no Dask scheduler answers at {address}: {error}; start one first") from None
    executor: Executor = client.get_executor(pure=False)
    return client, executor, max(1, len(client.scheduler_info(n_workers=-1)["workers"]))
