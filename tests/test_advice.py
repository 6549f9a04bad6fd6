"""`check` ends with what would make the report better: true, with its place, and at most a screenful."""

from __future__ import annotations

import json
from contextlib import redirect_stdout
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from reportgen import advice, cli
from reportgen.advice import Advice
from reportgen.errors import Place
from tests import made

FRONT: dict[str, Any] = {
    **made.TINY,
    "made for": "the buyer",
    "scope": "hull and engine",
    "price": {"currency": "EUR"},
    "rates": {"labour": 80},
    "instruments": [
        {"what": "clamp meter"},
        {"what": "hammer"},
        {"what": "gauge", "calibrated": "2026-01-05"},
    ],
}
FULL = """severity: settle
risk: the boat may flood
action: renew the hose, by a yard
basis: surveyor's judgement
confidence: seen
photos: [hose.jpg: the cracked hose]
repair: {cost: 90}"""


def finding(fence: str, prose: str = "Cracked over 40 mm.", title: str = "Hose cracked") -> str:
    """Give a finding as a note holds it."""
    return f"## {title}\n```finding\n{fence}\n```\n{prose}\n\n"


READING = """## Battery
```reading
kind: battery
batteries: {house: 11.1}
chemistry: flooded
charged: yes
rested: 8 h
with: clamp meter
conditions: at rest for a night
```
"""


def better(folder: Path, body: str, **front: Any) -> dict[str, list[str]]:
    """Give what `check --json` advises, by group, all but the checklist."""
    (folder / "s").mkdir()
    Image.new("RGB", (8, 8)).save(folder / "s" / "hose.jpg")
    made.write(folder / "s", {**FRONT, **front}, body)
    return told(folder / "s")


def told(folder: Path, errors: int = 0) -> dict[str, list[str]]:
    """Give the advice on a survey as (group, line: message)."""
    with redirect_stdout(StringIO()) as out:
        cli.main(["check", str(folder), "--json"])
    found = json.loads(out.getvalue())
    assert found["counts"]["errors"] == errors, found["problems"]
    groups: dict[str, list[str]] = {}
    for one in found["advice"]:
        groups.setdefault(one["group"], []).append(f"{one['line']}: {one['message']}")
    assert found["counts"]["advice"] == len(found["advice"])
    groups.pop("Checklist", None)
    return groups


CASES = {
    "Findings without a price": (FULL.replace("repair: {cost: 90}", ""), "no price"),
    "Findings that a photo would prove": (
        FULL.replace("photos: [hose.jpg: the cracked hose]\n", ""),
        "no photo",
    ),
    "Findings that a reading would prove": (FULL.replace("seen", "measured"), "no reading"),
    "Findings half said": (FULL.replace("basis: surveyor's judgement\n", ""), "without basis"),
    "Vague words": (FULL.replace("by a yard", "as necessary"), "'as necessary'"),
}


@pytest.mark.parametrize("group", CASES)
def test_what_is_missing_is_told(group: str, tmp_path: Path) -> None:
    """What a finding lacks is told under its group, at its line, and nothing else is."""
    fence, words = CASES[group]
    found = better(tmp_path, finding(fence))
    assert words in " ".join(found[group])
    assert set(found) == {group} | ({"Findings that a photo would prove"} & {group})
    number = int(found[group][0].partition(":")[0])
    line = (tmp_path / "s" / "cover.md").read_text(encoding="utf-8").splitlines()[number - 1]
    assert line.startswith(("## Hose", "action:", "confidence:"))


def test_nothing_to_better(tmp_path: Path) -> None:
    """A whole finding and a survey that says what it is get no advice."""
    assert not better(tmp_path, finding(FULL))


def test_a_price_that_is_missing_with_its_reason_is_not_asked_for(tmp_path: Path) -> None:
    """Whoever says why there is no price has said it."""
    assert not better(tmp_path, finding(FULL.replace("cost: 90", "unpriced: after the leak-down test")))


def test_who_pays_is_asked_where_there_is_a_price(tmp_path: Path) -> None:
    """Repairs that nobody has agreed to pay are in no way to settle, so the writer is told."""
    found = better(tmp_path, finding(FULL), price={"currency": "EUR", "offered": 9000})
    assert list(found) == ["Who pays"]
    assert "€90.00 of repairs have no payer" in found["Who pays"][0]
    note = tmp_path / "s" / "cover.md"
    note.write_text(
        note.read_text("utf-8").replace("severity: settle", "severity: settle\npays: seller"), "utf-8"
    )
    assert not told(tmp_path / "s")


def test_reading_outside(tmp_path: Path) -> None:
    """An outside reading is told until a finding names it."""
    group = "Readings outside that no finding answers"
    assert "'Battery' is outside" in better(tmp_path, READING)[group][0]
    with (tmp_path / "s" / "cover.md").open("a", encoding="utf-8") as note:
        note.write(finding(f"{FULL}\nevidence: [battery]"))
    assert group not in told(tmp_path / "s")


def test_reading_not_taken(tmp_path: Path) -> None:
    """A gap without a reason is told; with its reason it is not."""
    group = "Readings not taken, without why"
    body = READING.replace("house: 11.1", "house: not taken")
    assert "not taken" in better(tmp_path, body)[group][0]
    note = tmp_path / "s" / "cover.md"
    note.write_text(
        note.read_text("utf-8").replace("house: not taken", "house: 'not taken: boxed in'"), "utf-8"
    )
    assert group not in told(tmp_path / "s")


def test_how_a_reading_was_taken(tmp_path: Path) -> None:
    """Instruments, their calibration, and conditions are asked for; a hammer has no calibration."""
    bare = READING.replace("conditions: at rest for a night\n", "").replace(
        "clamp meter", "[clamp meter, hammer]"
    )
    found = better(tmp_path, bare)
    assert "'Battery' is without conditions" in found["Readings without how they were taken"][0]
    assert found["Instruments"][0].partition(": ")[2].startswith("no day of calibration: clamp meter;")


def test_what_was_not_inspected(tmp_path: Path) -> None:
    """A part that was not inspected is asked what could hide there and what it would take."""
    found = better(tmp_path, "", **{"not inspected": {"keel bolts": "covered"}})
    assert "'keel bolts' was not inspected, without could hide and would take" in str(found)


def test_scope_and_reliance(tmp_path: Path) -> None:
    """Scope and who may rely on the report are asked for, once each."""
    (tmp_path / "s").mkdir()
    made.write(tmp_path / "s", made.TINY, "")
    assert len(told(tmp_path / "s")["The survey"]) == 2


def test_vague_word_in_prose_at_its_line(tmp_path: Path) -> None:
    """In a finding's own text the line of the word is told, also below a gap of several blank lines."""
    found = better(tmp_path, finding(FULL, "First.\n\n\n\nIt seems worn, and\nit should be addressed."))
    lines = (tmp_path / "s" / "cover.md").read_text(encoding="utf-8").splitlines()
    numbers = [int(one.partition(":")[0]) for one in found["Vague words"]]
    assert [lines[n - 1] for n in numbers] == ["It seems worn, and", "it should be addressed."]


def test_no_advice_beside_mistakes(tmp_path: Path) -> None:
    """While there are mistakes there is no advice: what one of them hides is not missing."""
    body = finding(FULL.replace("seen", "sene").replace("photos: [hose.jpg: the cracked hose]\n", ""))
    assert not told(made.write(tmp_path / "s", FRONT, body), errors=1)


def some(counts: dict[str, int]) -> list[Advice]:
    """Give advice of several groups."""
    return [
        Advice(group, Place("n.md", n + 1, 1), f"thing {n}", "better it")
        for group, count in counts.items()
        for n in range(count)
    ]


@pytest.mark.parametrize(
    "counts", [{"a": 3}, {"a": 40}, {"a": 1, "b": 30, "c": 9}, dict.fromkeys("abcdefghijkl", 9)]
)
def test_at_most_a_screenful(counts: dict[str, int]) -> None:
    """All groups are named with their counts; what does not fit is counted, and nothing is lost."""
    told = advice.lines(some(counts))
    assert len(told) <= advice.SCREEN
    shown = [line for line in told if line.startswith("  ")]
    left = sum(counts.values()) - len(shown)
    assert told[-1] == f"and {left} more (--all)" if left else told[-1] == shown[-1]
    assert [line for line in told if line[1:2] == ","] == [f"{g}, {n}: better it" for g, n in counts.items()]
    assert len(advice.lines(some(counts), 0)) == sum(counts.values()) + len(counts)


def test_full_screen_is_used() -> None:
    """What fits is shown: no line stays empty while more could be told."""
    assert len(advice.lines(some({"a": 1, "b": 30, "c": 9}))) == advice.SCREEN


def test_summary_on_the_terminal(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The summary comes after what was read and before the count; it is no mistake: exit code 0."""
    folder = made.write(
        tmp_path / "s", {**FRONT, "scope": "hull"}, finding(FULL.replace("photos", "# photos"))
    )
    assert cli.main(["check", str(folder)]) == 0
    out = capsys.readouterr().out.splitlines()
    assert out[1].startswith("What would make it better")
    assert any(line.startswith("Findings that a photo would prove, 1: add photos") for line in out)
    assert out[-1].startswith("0 mistakes")


def test_danger_that_forbids_nothing_is_asked_about(tmp_path: Path) -> None:
    """A cracked fuel hose may be a stop; who forbids something, or names another hazard, is not asked."""
    fuel = f"{FULL}\nhazards: [explosion]"
    group = "Dangers without a use limit"
    (told,) = better(tmp_path, finding(fuel))[group]
    assert "'Hose cracked' names explosion and forbids nothing; is it a stop?" in told
    for name, fence in (
        ("stop", fuel.replace("settle", "stop") + "\nforbids: [running the engine]"),
        ("flood", f"{FULL}\nhazards: [flooding]"),
        ("watch", fuel.replace("settle", "watch") + "\nlook again: every spring"),
    ):
        (tmp_path / name).mkdir()
        assert group not in better(tmp_path / name, finding(fence))


def test_topics_left_open_are_counted(tmp_path: Path) -> None:
    """Who begins to answer is told what is left; a report without a disclosure is not asked for one."""
    group = "The seller's answers"
    told = better(tmp_path, "", disclosure={"sunk": "no", "grounding": "not known"})[group]
    assert len(told) == 1
    assert "17 of the topics" in told[0]
    assert "collision, fire, lightning, freeze damage, ..." in told[0]
    (tmp_path / "none").mkdir()
    assert group not in better(tmp_path / "none", "")
