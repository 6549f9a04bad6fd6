"""What is sent has a name that every portal takes, and the tool says which file suits which way."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from reportgen import fitting, sending
from reportgen.sending import Sent

NAMES = {
    ("QB-26-118", 1, "buyer"): "QB-26-118-v1-buyer",
    ("2026/14 b", 2, "lender"): "2026-14-b-v2-lender",
    ("Größe é_1", 3, "my bank"): "Groe-e_1-v3-my-bank",
    ("船", 1, "buyer"): "report-v1-buyer",
    ("../../etc", 1, "seller"): "etc-v1-seller",
    ("", 1, "yard"): "report-v1-yard",
}


@pytest.mark.parametrize("given", NAMES)
def test_name_holds_what_portals_take(given: tuple[str, int, str]) -> None:
    """Letters without accents, digits, dash and underscore."""
    assert sending.file_name(*given) == NAMES[given]


def test_long_name_is_cut() -> None:
    """With its ending a name has at most a hundred signs, and keeps version and reader."""
    name = sending.file_name("A1 " * 200, 12, "insurer") + ".html"
    assert len(name) <= 100
    assert re.fullmatch(r"[A-Za-z0-9_-]+-v12-insurer\.html", name)


def _said(*kinds: str) -> str:
    sent = {"": tuple(Sent(f"N-v1-buyer{kind}", 2_340_000, 1600) for kind in kinds)}
    return "\n".join(sending.advice(Path("out"), ("",), sent))


def test_advice_names_the_files() -> None:
    """Mail, portal, web host and print each get the file that is there."""
    said = _said(".html", ".pdf")
    assert "by mail: out/N-v1-buyer.html, or out/N-v1-buyer.pdf where attached HTML is blocked" in said
    assert "for a portal: out/N-v1-buyer.pdf" in said
    assert "for a web host or a USB stick: the whole folder out" in said
    assert "for print: out/N-v1-buyer.pdf" in said
    assert "out/N-v1-buyer.pdf: 2.3 MB" in said


def test_advice_says_what_is_missing() -> None:
    """What was not made is not named, but how to make it is."""
    said = _said()
    assert "by mail: publish with --pdf" in said
    assert "for a portal: publish with --pdf" in said
    assert "for print: out/index.html" in said
    assert "N-v1" not in said
    said = _said(".html")
    assert "by mail: out/N-v1-buyer.html, but many mail programs block attached HTML" in said
    assert "for a portal: publish with --pdf" in said


def test_advice_for_many_reports() -> None:
    """Several reports are told as one, with the size of each."""
    sent = {f: (Sent(f"{f}-{n}-buyer.pdf", 2_340_000, 1600),) for n, f in enumerate("ab", 1)}
    said = "\n".join(sending.advice(Path("out"), ("a", "b"), sent))
    assert "for a portal: out/REPORT/*-buyer.pdf" in said
    assert "out/a/a-1-buyer.pdf: 2.3 MB" in said
    assert "out/b/b-2-buyer.pdf: 2.3 MB" in said


def test_advice_tells_of_smaller_photos() -> None:
    """Who sends a file knows that its photos were made smaller, and how small."""
    sent = {"": (Sent("n.pdf", 9_400_000, 900),)}
    said = sending.advice(Path("out"), ("",), sent)
    assert "out/n.pdf: 9.4 MB, photos made smaller to 900 pixels so that it can be sent" in said
    assert fitting.SIDES[0] == 1600
