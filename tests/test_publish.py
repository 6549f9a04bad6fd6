"""Publishing many surveys at once: how little of each is held until the end."""

from __future__ import annotations

import dataclasses
import gc
import pickle
import tracemalloc
from pathlib import Path

import pytest

from reportgen import making, publish, swap, theme
from reportgen.editions import buyer
from reportgen.record import Made
from tests.test_siteindex import entry

FEW, MANY = 50, 150  # surveys between which is measured
MOST = 1_600  # of each survey, until all are published: its line in the list, its row of the record [bytes]


LISTED = entry(0)


class EnoughError(Exception):
    """Ends a publishing, of which no more is to be seen."""


def done(task: making.Task) -> making.Done:
    """Give what comes of a survey as another process would send it: no text shared, all numbers its own."""
    number = int(task.path.name.removeprefix("boat-"))
    swap.write(task.room, [("index.html", b"")])
    digests = [f"{number * of:032x}" for of in (3, 5)]
    named = {"folder": task.path.name, "boat": f"Grey Plover {number}", "number": f"BM-{number}"}
    listed = dataclasses.replace(LISTED, **named, counted=f"{number} to settle, none to schedule.")
    made = making.Done(
        (), listed, Made(task.path.name, *digests, "", "", (), {}), "r@example.org", (), f"{number:039}"
    )
    again: making.Done = pickle.loads(pickle.dumps(made))  # noqa: S301 -- our own
    return again


def test_little_is_held_of_each_survey(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A site of ten thousand takes hardly more memory than one of a hundred."""
    for number in range(MANY + 1):
        survey = tmp_path / "notes" / f"boat-{number}"
        survey.mkdir(parents=True)
        (survey / "a.md").touch()
    grown: list[int] = []

    def progress(number: int, of: int, name: str) -> None:
        if number == FEW:
            tracemalloc.start()
        if number == MANY:
            gc.collect()
            grown.append(tracemalloc.get_traced_memory()[0])
            raise EnoughError

    monkeypatch.setattr(making, "done", done)
    wish = publish.Wish(buyer.EDITION, theme.find(), jobs=1)
    try:
        with pytest.raises(EnoughError):
            publish.publish(tmp_path / "notes", tmp_path / "site", wish, progress)
    finally:
        tracemalloc.stop()
    assert 0 < grown[0] / (MANY - FEW) < MOST
