"""`start` asks on a terminal and nowhere else; an answer lands in the cover note, a stop writes nothing."""

from __future__ import annotations

import datetime
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from reportgen import asking, notes, starting
from reportgen.boats import TYPES
from reportgen.errors import Problems
from tests.project import run
from tests.terminal import on_terminal

DAY = datetime.date(2026, 3, 4)
COUNT = len(asking.questions(DAY, "USD"))


def typed(*lines: str) -> tuple[Callable[[str], str], list[str]]:
    """Give a way to answer with lines in turn, then with Enter; and the prompts it was shown."""
    rest: Iterator[str] = iter(lines)
    shown: list[str] = []

    def answer(prompt: str) -> str:
        shown.append(prompt)
        return next(rest, "")

    return answer, shown


def asked(*lines: str) -> tuple[dict[str, str], list[str]]:
    """Give the answers of typed lines, and what was said besides."""
    said: list[str] = []
    return asking.ask(DAY, "EUR", typed(*lines)[0], said.append), said


def test_enter_leaves_out() -> None:
    """Enter takes what stands in brackets and leaves the rest out; the type alone is needed."""
    told, _ = asked("", "", "5")
    assert told == {
        "type": "sailing yacht",
        "survey": "pre-purchase",
        "day": "2026-03-04",
        "currency": "EUR",
    }


def test_slip_is_asked_again() -> None:
    """What can't be used is told with what to answer, and asked again."""
    told, said = asked(
        "sailing yaht", "sailing yacht", "insurance", "4 March", "2026-03-05", *[""] * 4, "24", "24 ft"
    )
    assert (told["type"], told["survey"], told["day"], told["length"]) == (
        "sailing yacht", "insurance", "2026-03-05", "24 ft",
    )  # fmt: skip
    assert "  sailing yacht?" in said
    assert any("is not a date" in line for line in said)
    assert any("unit" in line for line in said)


@pytest.mark.parametrize("stop", [KeyboardInterrupt, EOFError])
def test_stop(stop: type[BaseException]) -> None:
    """Ctrl-C and the end of what is typed both stop."""

    def answer(prompt: str) -> str:
        raise stop

    with pytest.raises(KeyboardInterrupt):
        asking.ask(DAY, "USD", answer, lambda line: None)


ANSWERS = {
    "survey": "insurance",
    "name": 'Tern: the "second" # of 3',
    "maker": "yes",
    "model": "- 24",
    "built": "2004",
    "length": "24 ft",
    "hull number": "XXX00001A104",
    "surveyor": "Ada, {Example}",
    "made for": "the bank & nobody else",
    "place": "Yard of Example, shed 4",
}


def test_answers_stand_in_the_cover_note(tmp_path: Path) -> None:
    """What was answered is read back word for word, whatever signs it holds."""
    assert set(ANSWERS) == set(starting.TOLD)
    for name, text in starting.notes("sailing yacht", DAY, "USD", ANSWERS).items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    problems = Problems()
    survey = notes.read(tmp_path, problems)
    assert survey is not None
    assert not problems.errors
    cover, found = survey.cover, survey.cover.found
    read = {
        "survey": cover.survey, "name": cover.vessel.name, "maker": found.maker, "model": found.model,
        "built": str(found.built), "length": str(found.length), "hull number": found.hull_number,
        "surveyor": cover.people.surveyor.name, "made for": cover.made_for,
        "place": cover.conditions[0].place,
    }  # fmt: skip
    assert read == ANSWERS


def test_asks_on_a_terminal(tmp_path: Path) -> None:
    """On a terminal the questions come, and the notes hold the answers."""
    keys = "\n".join(["2", "", "", "Tern", *[""] * (COUNT - 4), ""]).encode()
    code, shown = on_terminal("start", str(tmp_path / "new"), keys=keys, after=b"Type of boat")
    assert code == 0, shown
    assert "Boat's name" in shown
    cover = (tmp_path / "new" / starting.COVER).read_text(encoding="utf-8")
    assert "  name: Tern\n" in cover
    assert f"  type: {TYPES[1]}\n" in cover


def test_ctrl_c_writes_nothing(tmp_path: Path) -> None:
    """A stop in the middle leaves no folder and no traceback."""
    code, shown = on_terminal("start", str(tmp_path / "new"), keys=b"2\n\x03", after=b"Type of boat")
    assert (code, (tmp_path / "new").exists()) == (1, False)
    assert "stopped; nothing was changed" in shown
    assert "Traceback" not in shown


def test_never_asks_without_a_terminal(tmp_path: Path) -> None:
    """In a pipe nothing is asked: the option that is missing is named, exit code 2."""
    done = run("start", str(tmp_path / "new"), stdin=subprocess.DEVNULL)
    assert (done.returncode, done.stdout) == (2, "")
    assert "name the --type of boat: aluminium workboat" in done.stderr
