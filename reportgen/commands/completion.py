"""Prints a script by which a shell completes reportgen's commands, options and words."""

from __future__ import annotations

import argparse

from reportgen.command import Command
from reportgen.errors import UsageError

SHELLS = ("bash", "zsh", "fish")


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("shell", metavar="SHELL", nargs="?", choices=SHELLS, help="bash, zsh or fish")
    # what the scripts ask; a person has no use for it
    parser.add_argument("--words", nargs="*", help=argparse.SUPPRESS)


def _run(arguments: argparse.Namespace) -> int:
    from reportgen import completing

    if arguments.words is not None:
        for word, told in completing.offers(arguments.parser(), [word[1:] for word in arguments.words]):
            print(f"{word}\t{told}")
        return 0
    if arguments.shell is None:
        raise UsageError("name the shell: bash, zsh or fish")
    print(completing.SCRIPTS[arguments.shell], end="")
    return 0


COMMAND = Command(
    "print a script that completes commands and options in your shell",
    "Prints a script for bash, zsh or fish. With it, the Tab key completes commands, options, readers, "
    "themes, kinds of reading, types of boat and folders.",
    _arguments,
    _run,
    'bash: eval "$(reportgen completion bash)" in ~/.bashrc. zsh: the same with zsh in ~/.zshrc, after '
    "compinit. fish: reportgen completion fish | source in config.fish.",
)
