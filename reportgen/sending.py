"""Makes the files that are sent, one HTML file and a PDF, and says which file suits which way."""

from __future__ import annotations

import json
import os
import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from reportgen import fitting, onefile, pages, pdf, theme
from reportgen.report import Report
from reportgen.theme import Theme
from reportgen.wording import say

MOST_SIGNS = 100  # a portal takes no longer file name


@dataclass(frozen=True)
class Sent:
    """The files of one report that are sent. name: in the packet. size [bytes]. side: of its photos [px]."""

    name: str
    size: int
    side: int


@dataclass(frozen=True)
class Forms:
    """Which forms of a report are made beside its packet. pdf: a paper of pdf.PAPERS, "" for none."""

    one_file: bool = False
    pdf: str = ""

    def check(self) -> None:
        """See that all of them can be made here; PacketError says what to install."""
        if self.pdf:
            pdf.check()


def names(shown: Report, edition: str, forms: Forms) -> dict[str, str]:
    """Give the names of the files that are to be sent, by their endings."""
    name = file_name(shown.cover.number, shown.cover.version, edition)
    wanted = {".html": forms.one_file, ".pdf": bool(forms.pdf)}
    return {ending: f"{name}{ending}" for ending, wish in wanted.items() if wish}


def made(
    shown: Report, edition: str, files: Mapping[str, bytes], forms: Forms, used: Theme
) -> tuple[dict[str, bytes], tuple[Sent, ...]]:
    """Give the files that are sent, by name, made from a packet's files and nothing else.

    Raises PacketError when one gets too large to be sent, ThemeError when a page can't stand in one file.
    """
    cover, held = shown.cover, names(shown, edition, forms)
    ways = {}
    if forms.one_file:
        style = theme.sheet(used, pages.SHEET, "onefile.css")
        ways[held[".html"]] = lambda packet: onefile.html(packet, style)
    if forms.pdf:
        rules, drawn = theme.sheet(used, pages.SHEET, "pdf.css"), theme.sheet(used, "drawing.css")
        left = pages.foot_of(shown, edition)
        print_ = json.loads(files[pdf.DATA])["fingerprint"]
        foot = say("Content fingerprint {fingerprint}", fingerprint=print_)
        head = pdf.Head(left, foot, shown.counted_on, cover.people.surveyor.name)
        ways[held[".pdf"]] = lambda packet: pdf.write(packet, head, rules, forms.pdf, drawn)
    result, told = {}, []
    for file, way in ways.items():
        result[file], side = fitting.fitted(files, way, file)
        told.append(Sent(file, len(result[file]), side))
    return result, tuple(told)


def file_name(number: str, version: int, edition: str) -> str:
    """Give a name that every portal takes: ASCII letters, digits, dash and underscore, 100 signs at most."""
    end = f"-v{version}-{_safe(edition)}"
    return f"{_safe(number)[: MOST_SIGNS - len(end) - len('.html')] or 'report'}{end}"


def _safe(text: str) -> str:
    bare = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode()
    return re.sub(r"[^A-Za-z0-9_]+", "-", bare).strip("-")


def advice(to: Path, folders: Sequence[str], sent: Mapping[str, Sequence[Sent]]) -> tuple[str, ...]:
    """Say which file suits mail, portal, web host and print, as lines for the writer.

    to: the packet. folders: of its reports. sent: the files that are sent, by folder.
    """
    names = [each.name for found in sent.values() for each in found]
    ends = {Path(name).suffix for name in names}
    one = to / folders[0] if len(folders) == 1 else to / "REPORT"
    page, sheet = (str(one / _alike(n for n in names if n.endswith(end))) for end in (".html", ".pdf"))
    by_pdf = sheet if ".pdf" in ends else "publish with --pdf"
    mail = by_pdf
    if ".html" in ends:
        mail = f"{page}" + (
            f", or {sheet} where attached HTML is blocked"
            if ".pdf" in ends
            else ", but many mail programs block attached HTML: ask, or publish with --pdf"
        )
    lines = [
        f"by mail: {mail}",
        f"for a portal: {by_pdf}",
        f"for a web host or a USB stick: the whole folder {to}",
        f"for print: {sheet if '.pdf' in ends else one / 'index.html'}",
    ]
    for folder, found in sent.items():
        lines += [f"{to / folder / each.name}: {_size(each)}" for each in found]
    return tuple(lines)


def _alike(names: Iterable[str]) -> str:
    """Give the one name, or what names have in common at their end, after a star."""
    every = sorted(set(names))
    if len(every) == 1:
        return every[0]
    backwards = [name[::-1] for name in every]
    return f"*{os.path.commonprefix(backwards)[::-1]}"  # noqa: RUF071 -- names are held sign by sign


def _size(each: Sent) -> str:
    smaller = (
        f", photos made smaller to {each.side} pixels so that it can be sent"
        if each.side < fitting.SIDES[0]
        else ""
    )
    return f"{each.size / 1e6:.1f} MB{smaller}"
