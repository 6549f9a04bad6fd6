"""Looks through a stranger's style sheet and templates for what may not stand in a report."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from html.parser import HTMLParser
from typing import NamedTuple

from reportgen.errors import ThemeError

_REMARK = re.compile(r"/\*.*?(?:\*/|\Z)", re.DOTALL)
_ESCAPE = re.compile(r"\\([0-9a-fA-F]{1,6}\s?|.)", re.DOTALL)
# what a style sheet may not say: (pattern, found, write instead)
_STYLE = (
    (r"</\s*style", "it ends the style element", "take </style out"),
    (r"@\s*(?:import|charset|namespace)", "it loads or names another sheet", "put the rules into this file"),
    (r"url\s*\(", "url( loads something", "name the logo and fonts in theme.yaml"),
    (r"@\s*font-face", "a font of the sheet's own", "name it in theme.yaml under font file"),
    (r"(?:image-set|cross-fade|element|src|paint)\s*\(", "it loads something", "take it out"),
    (r"expression\s*\(|behaviou?r\s*:|-moz-binding", "it runs a script", "take it out"),
    (r"display\s*:\s*none", "it hides a part", "take it out; an edition's drop leaves parts out"),
    (r"visibility\s*:\s*(?:hidden|collapse)", "it hides a part", "take it out"),
    (r"(?<![-\w])opacity\s*:\s*0*\.?[0-4]", "it makes text hard to see", "write opacity: 0.5 or more"),
    (r"(?<![-\w])font-size\s*:\s*0*\.?0*(?![.\d])", "text of no size", "write 0.8rem or more"),
    (r"color\s*:\s*transparent", "text that can't be seen", "write var(--ink)"),
)
_ELEMENTS = "script|iframe|frame|frameset|object|embed|applet|base|form|link|meta|style|template|portal"
_TEMPLATE = (
    (rf"<\s*/?\s*(?:{_ELEMENTS})(?![-\w])", "an element that no report may hold", "take it out"),
    (r"<[^<>]*\son[a-z]+\s*=", "a script in an attribute", "take it out"),
    (r"<[^<>]*\sstyle\s*=", "a style in an attribute", "put the rule into style.css"),
    (r"(?:javascript|vbscript)\s*:", "an address that runs a script", "take it out"),
    (r"<[^<>]*\s(?:src|srcset|poster|background)\s*=\s*[\"']?\s*(?:[a-z]+:|//)", "it loads", "take it out"),
    (r"\|\s*safe\b|\bautoescape\b", "it takes text of the notes for HTML", "take it out"),
)
_FORBIDDEN = frozenset(_ELEMENTS.split("|")) - {"meta", "style"}
_LOADS = {"src", "srcset", "poster", "background", "data", "action", "formaction", "manifest", "ping"}
_OURS = re.compile(r"(?:photos/)?[\w.-]+(?: \d+[wx])?", re.ASCII)
_LEADS = re.compile(r"(?:https?|mailto|tel):|[^:]*(?:[#?/].*)?\Z", re.IGNORECASE | re.DOTALL)


class Fault(NamedTuple):
    """Something in a file that may not be there; line, column: counted from 1."""

    line: int
    column: int
    found: str
    write: str


def in_style(text: str) -> Iterator[Fault]:
    """Give what a style sheet says that it may not, escapes undone first."""
    bare = _REMARK.sub(lambda match: "\n" * match[0].count("\n"), text)
    yield from _faults(_ESCAPE.sub(_unescaped, bare), _STYLE)


def in_template(text: str) -> Iterator[Fault]:
    """Give what a template holds that no report may."""
    yield from _faults(text, _TEMPLATE)


def _faults(text: str, rules: Iterable[tuple[str, str, str]]) -> Iterator[Fault]:
    for pattern, found, write in rules:
        for match in re.finditer(pattern, text, re.IGNORECASE):
            start = match.start()
            line, column = text.count("\n", 0, start) + 1, start - text.rfind("\n", 0, start)
            yield Fault(line, column, f"{match[0].strip()[:40]!r}: {found}", write)


def _unescaped(match: re.Match[str]) -> str:
    digits = match[1].strip()
    if not re.fullmatch(r"[0-9a-fA-F]{1,6}", digits):
        return match[1]
    code = int(digits, 16)
    return chr(code) if 0 < code < 0x110000 else "?"


class _Looker(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.ids: list[str] = []
        self.faults: list[str] = []
        self.body = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.body |= tag == "body"
        if tag in _FORBIDDEN or (self.body and tag in ("meta", "style", "head", "html")):
            self.faults.append(f"<{tag}>")
        for name, value in attrs:
            said = (value or "").strip()
            if name == "id":
                self.ids.append(said)
            if name.startswith("on") or name in ("style", "srcdoc"):
                self.faults.append(f"<{tag} {name}>")
            loads = name in _LOADS and not all(_OURS.fullmatch(part.strip()) for part in said.split(","))
            if loads or (name in ("href", "xlink:href") and not _LEADS.match(said)):
                self.faults.append(f"<{tag} {name}={said[:40]!r}>")


def check_page(text: str, head: str, parts: Iterable[str], name: str) -> None:
    """See that a page made by a stranger's templates begins with our head, holds its parts, loads nothing.

    head: what every page begins with. parts: ids that have to stand on it, in this order. name: the theme's.
    Raises ThemeError.
    """
    if not text.startswith(head):
        raise ThemeError(f'{name}: a page has to begin with {{% include "head.html" %}}')
    looker = _Looker()
    looker.feed(text)
    looker.close()
    if looker.faults:
        raise ThemeError(f"{name}: a template makes {', '.join(looker.faults[:3])}; take it out")
    standing = [i for i in looker.ids if i in set(parts)]
    if standing != list(parts):
        gone = next((p for p in parts if p not in standing), "") or "a part out of its order or twice"
        raise ThemeError(f"{name}: the page lacks {gone}; page.html shows every part of passages, in order")
