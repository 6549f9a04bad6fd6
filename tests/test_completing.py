"""The Tab key: what is offered comes from the parser, and real shells show it."""

from __future__ import annotations

import argparse
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from reportgen import cli, completing, racks
from reportgen.boats import TYPES
from tests.project import TOP

PARSER = cli.parser()


def offered(*words: str) -> list[str]:
    """Give what is offered for the last word."""
    return [word for word, _ in completing.offers(PARSER, words)]


def test_every_command_and_option() -> None:
    """All commands are offered with their help, and each command's options, none left out."""
    assert {*racks.names("commands"), "--help", "--version"} == set(offered(""))
    for command, sub in completing._subcommands(PARSER).items():
        wanted = {o for a in sub._actions for o in a.option_strings if o.startswith("--")} - {"--words"}
        assert set(offered(command, "--")) == wanted
        assert all(told for _, told in completing.offers(PARSER, [command, "--"]))


@pytest.mark.parametrize(
    ("words", "found"),
    [
        (("che",), ["check"]),
        (("publish", "content", "--for", ""), sorted(racks.names("editions"))),
        (("publish", "content", "--for=s"), ["seller"]),
        (("publish", "content", "--for", "=", "se"), ["seller"]),
        (("publish", "content", "--for", "="), sorted(racks.names("editions"))),
        (("publish", "content", "--theme", "b"), ["base"]),
        (("publish", "content", "--pdf", "--paper", "L"), ["Letter"]),
        (("start", "new", "--type", ""), sorted(TYPES)),
        (("kinds", "compr"), ["compression"]),
        (("kinds", "compression", ""), []),
        (("schema", "--of", "f"), ["finding", "front"]),
        (("completion", ""), ["bash", "fish", "zsh"]),
        (("verify", ""), [completing.FOLDERS]),
        (("publish", "content", "--to", ""), [completing.FOLDERS]),
        (("publish", "content", "--sign", ""), [completing.FILES]),
        (("check", ""), [completing.FILES]),
        (("check", "content", ""), []),
        (("anchor", ""), []),
        (("publish", "--today", "2026"), []),
    ],
)
def test_offers(words: tuple[str, ...], found: list[str]) -> None:
    """Each place of a command line is offered what may stand there."""
    assert [word for word in offered(*words) if word in found or not found] == found
    assert set(offered(*words)) == set(found)


def test_kinds_are_named_by_their_files() -> None:
    """What is offered without opening a kind is what the kinds are called."""
    assert offered("kinds", "") == sorted(k.name for k in racks.all_of("kinds", "KIND").values())


def test_own_editions(tmp_path: Path) -> None:
    """An edition of the user's own is offered where its file lies beside the notes."""
    (tmp_path / "editions").mkdir()
    (tmp_path / "editions" / "harbour.yaml").write_text("from: buyer\n", encoding="utf-8")
    assert "harbour" in offered("publish", str(tmp_path), "--for", "")


def test_new_command_is_picked_up() -> None:
    """A command or option that is added later needs no line here."""
    top = argparse.ArgumentParser()
    sub = top.add_subparsers().add_parser("launch", help="put her in")
    sub.add_argument("--tide", choices=("high", "low"), help="when")
    assert completing.offers(top, [""])[-1] == ("launch", "put her in")
    assert [w for w, _ in completing.offers(top, ["launch", "--tide", "h"])] == ["high"]


def shell(name: str, script: str, folder: Path) -> list[str]:
    """Run a script in a real shell that finds `reportgen`, in a folder with notes."""
    if shutil.which(name) is None:
        pytest.skip(f"not on this machine: {name}")
    program = folder / "bin" / "reportgen"
    program.parent.mkdir(exist_ok=True)
    program.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m reportgen "$@"\n', encoding="utf-8")
    program.chmod(0o755)
    (folder / "notes of mine").mkdir()
    (folder / "notes.txt").write_text("", encoding="utf-8")
    path = f"{program.parent}:{os.environ['PATH']}"
    env = {**os.environ, "PATH": path, "PYTHONPATH": str(TOP), "HOME": str(folder), "TERM": "dumb"}
    done = subprocess.run(
        [name, "-c", script], capture_output=True, text=True, cwd=folder, env=env, timeout=60
    )
    assert not done.stderr
    return done.stdout.splitlines()


BASH = """
eval "$(reportgen completion bash)"
try() {
    COMP_WORDS=(reportgen "$@"); COMP_CWORD=$#
    _reportgen 2>/dev/null
    printf '%s\\n' "${COMPREPLY[@]}" | sort; echo .
}
try pub
try publish notes --for = se
try publish --pa
try check notes
try start new --type gasoline
try start new --type 'gasoline\\ i'
try check --
"""


def test_bash(tmp_path: Path) -> None:
    """bash, with what readline hands to a completion: words, options, files, and words with blanks."""
    parts = "\n".join(shell("bash", BASH, tmp_path)).split("\n.")
    assert [part.split("\n") for part in (p.strip() for p in parts[:6])] == [
        ["publish"],
        ["seller"],
        ["--paper"],
        ["notes of mine", "notes.txt"],
        [r"gasoline\ inboard", r"gasoline\ sterndrive"],
        [r"gasoline\ inboard"],
    ]
    assert "--json" in parts[6]


ZSH = """
_files() { print -r -- "files $*" }
_describe() { print -rl -- "${(@P)2}" }
compdef() { print -r -- "compdef $*" }
eval "$(reportgen completion zsh)"
words=(reportgen publish notes --for se); CURRENT=5; _reportgen
words=(reportgen verify ''); CURRENT=3; _reportgen
words=(reportgen check --js); CURRENT=3; _reportgen
"""


def test_zsh(tmp_path: Path) -> None:
    """zsh, with its own completion functions standing in by what they were handed."""
    assert shell("zsh", ZSH, tmp_path) == [
        "compdef _reportgen reportgen",
        "seller:",
        "files -/",
        "--json:print problems, advice and counts as JSON",
    ]


FISH = """
reportgen completion fish | source
complete -C 'reportgen publish notes --for se'
complete -C 'reportgen verify no'
complete -C 'reportgen check --js'
complete -C 'reportgen start new --type gasoline'
"""


def test_fish(tmp_path: Path) -> None:
    """fish, asked by itself what it would offer."""
    found = [line.split("\t")[0] for line in shell("fish", FISH, tmp_path)]
    assert found == ["seller", "notes of mine/", "--json", "gasoline inboard", "gasoline sterndrive"]
