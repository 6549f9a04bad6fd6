"""Publishing over a packet that is broken off: kills, a full disk, a disk that can only be read.

After each, every report folder must be entirely old or entirely new, and the next run must finish and leave
nothing beside the site. Needs strace for what is aimed, and root for a small disk.
"""

from __future__ import annotations

import os
import random
import shutil
import signal
import subprocess
import tempfile
import time
from collections import Counter
from pathlib import Path

from tests.project import TOP
from tests.trials import scene
from tests.trials.scene import Scene

# each call that changes what lies on the disk, but for open and write, which whole-disk trials reach
# each by itself, since strace counts every name apart, and in every thread apart
CALLS = (
    *("rename", "renameat", "renameat2", "unlink", "unlinkat", "rmdir"),
    *("fsync", "fdatasync", "mkdir", "mkdirat", "link", "linkat"),
)
# files are flushed by several threads: this counts over all of them
AT_FLUSH = """
import os, signal, sys, threading
from reportgen.cli import main
lock, left, flush = threading.Lock(), int(sys.argv.pop(1)), os.fsync
def aimed(number):
    global left
    with lock:
        left -= 1
        if left == 0:
            os.kill(os.getpid(), signal.SIGKILL)
    flush(number)
os.fsync = aimed
code = main()
print("flushes left:", left)
sys.exit(code)
"""
MANY = 10_000  # more flushes than any publishing makes


def _check(it: Scene, finish: bool) -> list[str]:
    """Look at what a broken run left; with `finish`, at what the next run makes of it."""
    # the journal is beside the site: its index is whole as soon as the next run has begun
    found = it.faults(whole=False)
    if finish:
        done = it.finish()
        if done.returncode:
            found.append(f"the next run: {done.stderr[-300:]}")
        found += [f"after the next run: {f}" for f in it.faults()]
        if {n: scene.tree(it.to / n) for n in scene.BOATS} != {n: it.new[n] for n in scene.BOATS}:
            found.append("the next run did not make the new site")
        found += [f"rubbish: {name}" for name in it.rubbish()]
    return found


def _strace(it: Scene, call: str, what: str) -> int:
    inject = ["-e", f"trace={call}", "-e", f"inject={call}:{what}"]
    command = ["strace", "-f", "-o", os.devnull, *inject, *it.command()]
    return subprocess.run(command, cwd=TOP, capture_output=True).returncode


def _count(it: Scene, call: str) -> int:
    """Count how often a publishing makes a call, in the thread that makes it most."""
    it.again()
    with tempfile.NamedTemporaryFile(mode="r") as log:
        subprocess.run(
            ["strace", "-f", "-o", log.name, "-e", f"trace={call}", *it.command()],
            cwd=TOP, capture_output=True, check=True,
        )  # fmt: skip
        by_thread = Counter(line.split()[0] for line in log if "(" in line and "resumed" not in line)
    return max(by_thread.values(), default=0)


def _at_flush(it: Scene, number: int) -> subprocess.CompletedProcess[str]:
    """Publish until a file is about to be flushed for the nth time, by whatever thread, and kill there."""
    it.again()
    python, _, _, *words = it.command()
    return subprocess.run(
        [python, "-c", AT_FLUSH, str(number), *words], cwd=TOP, capture_output=True, text=True
    )


def kills(top: Path, count: int, seed: int) -> int:
    """Kill at random moments, then at calls that change the disk; give the number of faults."""
    it, chance = scene.make(top), random.Random(seed)  # noqa: S311
    it.again()
    start = time.monotonic()
    it.finish()
    lasts = time.monotonic() - start
    ended: Counter[str] = Counter()
    found: list[str] = []
    for number in range(count):
        it.again()
        quiet = subprocess.DEVNULL
        process = subprocess.Popen(it.command(), cwd=TOP, stdout=quiet, stderr=quiet, start_new_session=True)
        time.sleep(chance.uniform(0, lasts * 1.05))
        if process.poll() is None:
            os.killpg(process.pid, signal.SIGKILL)
        ended["killed" if process.wait() < 0 else "done"] += 1
        ended["new" if scene.tree(it.to / "quillback") == it.new["quillback"] else "old"] += 1
        found += [f"random kill {number}: {f}" for f in _check(it, finish=number % 10 == 0)]
    print(f"{count} kills at random moments of {lasts:.1f} s: {dict(ended)}, {len(found)} faults", flush=True)
    for call in CALLS:
        every, struck = _count(it, call), 0
        for number in range(1, every + 1):
            it.again()
            struck += _strace(it, call, f"signal=SIGKILL:when={number}") != 0
            found += [f"kill at {call} {number}: {f}" for f in _check(it, finish=number % 5 == 0)]
        print(f"kills at {struck} of {every} calls of {call}, {len(found)} faults so far", flush=True)
    flushes = MANY - int(_at_flush(it, MANY).stdout.rpartition(": ")[2])
    for number in range(1, flushes + 1):
        if _at_flush(it, number).returncode != -signal.SIGKILL:
            found.append(f"flush {number} of {flushes} was not reached")
        found += [f"kill at flush {number}: {f}" for f in _check(it, finish=number % 5 == 0)]
    print(f"kills at every one of {flushes} flushes, {len(found)} faults so far", flush=True)
    return _say(found)


def disks(top: Path, count: int, seed: int) -> int:
    """Publish onto disks that fill up, and onto one that turns read-only; give the number of faults."""
    it, chance = scene.make(top), random.Random(seed)  # noqa: S311
    found = _filling(it, count)
    for call in CALLS:
        every = _count(it, call)
        for number in sorted(chance.sample(range(1, every + 1), min(every, -(-count // 5)))):
            for error in ("EROFS", "ENOSPC", "EIO"):
                it.again()
                # a clean-up on such a disk fails too
                code = _strace(it, call, f"error={error}:when={number}+")
                if code not in (0, 1):
                    found.append(f"{error} at {call} {number}: exit {code}")
                found += [f"{error} at {call} {number}: {f}" for f in _check(it, finish=number % 5 == 0)]
        print(f"errors from call N of {every} of {call} on, {len(found)} faults so far", flush=True)
    return _say(found)


def _filling(it: Scene, count: int) -> list[str]:
    """Publish onto small disks of many sizes, each with the old site on it."""
    size = sum(p.stat().st_size for p in (it.top / "old").rglob("*") if p.is_file()) // 1024
    disk, found, full = it.top / "disk", [], 0
    disk.mkdir()
    for number in range(count):
        room = int(size * (1.1 + 1.2 * number / count)) + 200
        subprocess.run(["mount", "-t", "tmpfs", "-o", f"size={room}k", "tmpfs", str(disk)], check=True)
        try:
            it.again(disk / "here")
            to = disk / "here" / "site"
            done = it.finish(to)
            full += done.returncode != 0
            if done.returncode and "full" not in done.stderr:
                found.append(f"disk of {room} kB: {done.stderr[-300:]}")
            found += [f"disk of {room} kB: {f}" for f in it.faults(to)]
            found += [f"disk of {room} kB, rubbish: {name}" for name in it.rubbish(to)]
        finally:
            subprocess.run(["umount", str(disk)], check=True)
    print(f"{count} small disks, {full} too small, {len(found)} faults", flush=True)
    return found


def _say(found: list[str]) -> int:
    print("\n".join([f"{len(found)} faults", *found[:40]]))
    return len(found)


def run(trial: str, count: int, seed: int) -> int:
    """Run one of the two trials in a folder of its own."""
    assert shutil.which("strace"), "strace is not installed"
    with tempfile.TemporaryDirectory() as made:
        return {"kills": kills, "disks": disks}[trial](Path(made), count, seed)
