"""What a shell may offer for the word being typed, taken from the command line's own parser."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path

from reportgen import racks

FOLDERS, FILES = ":folders", ":files"  # the shell offers these itself
Offer = tuple[str, str]  # (word, what it is for)


def offers(parser: argparse.ArgumentParser, words: Sequence[str]) -> list[Offer]:
    """Give what may stand for the last of the words, those before it being typed already.

    words: behind the program's name; the last may be empty or begun. FOLDERS or FILES alone stands for
    what the shell completes itself.
    """
    *before, begun = _joined(words) or [""]
    subs = _subcommands(parser)
    if not before:
        return _begun(begun, [*_commands(parser), *_options(parser)])
    sub = subs.get(before[0])
    if sub is None:
        return []
    waiting, free = _state(sub, before[1:])
    if waiting is not None:
        return _values(waiting, begun, before)
    if begun.startswith("-"):
        return _begun(begun, _options(sub))
    positional = [a for a in sub._actions if not a.option_strings and a.nargs != argparse.REMAINDER]  # noqa: SLF001
    return _values(positional[free], begun, before) if free < len(positional) else []


def _joined(words: Iterable[str]) -> list[str]:
    """Part `--for=buyer`, which some shells hand over in three words, into two."""
    parted: list[str] = []
    for word in words:
        if word == "=":
            parted.append("")
        elif word.startswith("--") and "=" in word:
            parted += word.split("=", 1)
        elif parted and parted[-1] == "" and len(parted) > 1:
            parted[-1] = word
        else:
            parted.append(word)
    return parted


def _subcommands(parser: argparse.ArgumentParser) -> Mapping[str, argparse.ArgumentParser]:
    for action in parser._actions:  # noqa: SLF001 - argparse tells of itself in no other way
        if isinstance(action, argparse._SubParsersAction):  # noqa: SLF001
            return dict(action.choices)
    return {}


def _commands(parser: argparse.ArgumentParser) -> list[Offer]:
    groups = (a for a in parser._actions if isinstance(a, argparse._SubParsersAction))  # noqa: SLF001
    return [(one.dest, one.help or "") for group in groups for one in group._choices_actions]  # noqa: SLF001


def _options(parser: argparse.ArgumentParser) -> list[Offer]:
    return [
        (option, action.help or "")
        for action in parser._actions  # noqa: SLF001
        if action.help != argparse.SUPPRESS
        for option in action.option_strings
        if option.startswith("--")
    ]


def _state(parser: argparse.ArgumentParser, typed: Sequence[str]) -> tuple[argparse.Action | None, int]:
    """Give the option that waits for its value, if one does, and how many other words are there."""
    named = {option: a for a in parser._actions for option in a.option_strings}  # noqa: SLF001
    waiting: argparse.Action | None = None
    free = 0
    for word in typed:
        if waiting is not None:
            waiting = None
        elif word in named:
            waiting = named[word] if named[word].nargs != 0 else None
        elif not word.startswith("-"):
            free += 1
    return waiting, free


def _values(action: argparse.Action, begun: str, before: Sequence[str]) -> list[Offer]:
    """Give the values of an option or argument: its choices, else by what its placeholder means."""
    if action.choices is not None:
        return _begun(begun, [(str(choice), "") for choice in action.choices])
    meant = _MEANT.get(str(action.metavar))
    if meant is not None:
        return _begun(begun, meant(before))
    if action.type is Path:
        return [(FOLDERS if action.metavar in ("DIR", "PACKET") else FILES, "")]
    return []


def _begun(begun: str, every: Iterable[Offer]) -> list[Offer]:
    found = [(word, " ".join(told.split())) for word, told in every if word.startswith(begun)]
    return sorted(dict(found).items())


def _readers(before: Sequence[str]) -> list[Offer]:
    """Give our editions, and those whose files lie in `editions/` of the notes that were named."""
    own = [p.stem for word in before if not word.startswith("-") for p in Path(word).glob("editions/*.yaml")]
    return [(name, "") for name in (*racks.names("editions"), *own)]


def _themes(before: Sequence[str]) -> list[Offer]:
    here = Path(__file__).parent
    places = (here / "themes", here.parent / "themes")
    return [(p.name, "") for place in places if place.is_dir() for p in place.iterdir() if p.is_dir()]


def _types(before: Sequence[str]) -> list[Offer]:
    files = (Path(__file__).parent / "checklists").glob("*.yaml")
    return [(file.stem.replace("_", " "), "") for file in files]


def _kinds(before: Sequence[str]) -> list[Offer]:
    # a kind's name is its file's, with hyphens: tests/kinds/test_every_kind.py holds them to it
    return [(name.replace("_", "-"), "") for name in racks.names("kinds")]


_MEANT: Mapping[str, Callable[[Sequence[str]], list[Offer]]] = {
    "READER": _readers,
    "NAME": _themes,
    "TYPE": _types,
    "KIND": _kinds,
}

# each script asks `completion --words` anew, so that it knows what an update brings; a sign before each
# word keeps one that begins with a dash from being taken for an option
SCRIPTS: Mapping[str, str] = {
    "bash": r"""_reportgen() {
    local line begun="${COMP_WORDS[COMP_CWORD]}"
    local -a words=("${COMP_WORDS[@]:1:COMP_CWORD}")
    COMPREPLY=()
    words=("${words[@]//\\/}")
    begun="${begun//\\/}"
    [ "$begun" = "=" ] && begun=""
    while IFS= read -r line; do
        line="${line%%$'\t'*}"
        case "$line" in
            :folders) compopt -o filenames; mapfile -t COMPREPLY < <(compgen -d -- "$begun"); return ;;
            :files) compopt -o filenames; mapfile -t COMPREPLY < <(compgen -f -- "$begun"); return ;;
            *) COMPREPLY+=("$(printf '%q' "$line")") ;;
        esac
    done < <("${COMP_WORDS[0]}" completion --words "${words[@]/#/=}" 2>/dev/null)
}
complete -F _reportgen reportgen
""",
    "zsh": r"""#compdef reportgen
_reportgen() {
    local line
    local -a found
    while IFS= read -r line; do
        case "$line" in
            :folders*) _files -/; return ;;
            :files*) _files; return ;;
            *) found+=("${${line%%$'\t'*}//:/\\:}:${line#*$'\t'}") ;;
        esac
    done < <("${words[1]}" completion --words "${(@)words[2,CURRENT]/#/=}" 2>/dev/null)
    _describe reportgen found
}
if [ "$funcstack[1]" = "_reportgen" ]; then _reportgen "$@"; else compdef _reportgen reportgen; fi
""",
    "fish": r"""function __reportgen
    set -l words (commandline -opc)
    set -l begun (commandline -ct)
    set -l found ($words[1] completion --words "="$words[2..-1] "=$begun" 2>/dev/null)
    switch "$found[1]"
        case ':folders*'
            __fish_complete_directories "$begun"
        case ':files*'
            __fish_complete_path "$begun"
        case '*'
            string join \n -- $found
    end
end
complete -c reportgen -f -a '(__reportgen)'
""",
}
