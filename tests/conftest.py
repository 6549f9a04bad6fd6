"""What all tests share: no network, hypothesis without chance, and the demo published once a run."""

from __future__ import annotations

import fcntl
import json
import os
import socket
from collections.abc import Callable, Iterator, Mapping
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings

from tests.project import READERS, publish

# A slow machine must not fail a test, and a run in CI must be the same run twice.
settings.register_profile("here", deadline=None)
settings.register_profile("ci", deadline=None, derandomize=True, print_blob=True)
settings.load_profile("ci" if os.environ.get("CI") else "here")


@pytest.fixture(autouse=True, scope="session")
def no_network() -> Iterator[None]:
    """Refuse every connection that leaves this machine."""
    connect = socket.socket.connect

    def only_here(self: socket.socket, address: Any) -> None:
        here = self.family == socket.AF_UNIX or address[0] in ("127.0.0.1", "::1", "localhost")
        if not here:
            raise AssertionError(f"a test wants to reach {address}")
        connect(self, address)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(socket.socket, "connect", only_here)
        yield


@pytest.fixture(scope="session")
def once(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Callable[[str, Callable[[], Any]], Any]:
    """Give a way to make something that fits into JSON once a run, whichever worker asks first."""
    base = tmp_path_factory.getbasetemp()
    shared = base if worker_id == "master" else base.parent

    def made(name: str, make: Callable[[], Any]) -> Any:
        kept = shared / f"{name}.json"
        with (shared / f"{name}.lock").open("w") as lock:
            fcntl.flock(lock, fcntl.LOCK_EX)
            if not kept.exists():
                kept.write_text(json.dumps(make()), encoding="utf-8")
        return json.loads(kept.read_text(encoding="utf-8"))

    return made


@pytest.fixture(scope="session")
def demo(
    once: Callable[[str, Callable[[], Any]], Any], tmp_path_factory: pytest.TempPathFactory, worker_id: str
) -> Mapping[str, Path]:
    """Give the folder of the published demo by edition; the workers of one run share it."""

    def published(edition: str) -> str:
        folder = tmp_path_factory.mktemp("demo") / edition
        publish(folder, edition)
        return str(folder)

    # a second worker begins at the other end, so that neither only waits
    order = READERS[::-1] if worker_id == "gw1" else READERS
    folders = {edition: once(f"demo {edition}", partial(published, edition)) for edition in order}
    return {edition: Path(folders[edition]) for edition in READERS}
