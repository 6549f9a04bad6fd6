"""Turns pages into HTML with a theme: a folder of templates and a style sheet, over the base theme."""

from __future__ import annotations

import base64
import hashlib
import re
import traceback
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import FileSystemLoader, StrictUndefined, TemplateError, TemplateSyntaxError
from jinja2.sandbox import ImmutableSandboxedEnvironment
from markupsafe import Markup

from reportgen import wording
from reportgen.errors import ThemeError, nearest
from reportgen.pages import Page

BASE = "base"


@dataclass(frozen=True)
class Theme:
    """A theme ready to render. folders: where templates are looked for, its own before the base's."""

    name: str
    folders: tuple[Path, ...]
    environment: ImmutableSandboxedEnvironment
    style: str
    policy: str


def home() -> Path:
    """Give the folder of themes: inside the package once installed, beside it in a checkout."""
    package = Path(__file__).resolve().parent
    inside = package / "themes"
    return inside if inside.is_dir() else package.parent / "themes"


@cache
def find(name: str = BASE) -> Theme:
    """Give a theme by name.

    Raises ThemeError when there is no such theme or its style sheet can't be used.
    """
    known = sorted(p.name for p in home().iterdir() if p.is_dir()) if home().is_dir() else []
    if name not in known:
        near = nearest(name, known)
        raise ThemeError(f"no theme is called {name!r}; write {near or ', '.join(known)}")
    folders = (home() / name, home() / BASE) if name != BASE else (home() / BASE,)
    environment = ImmutableSandboxedEnvironment(
        loader=FileSystemLoader([str(f) for f in folders]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        extensions=["jinja2.ext.i18n"],
    )
    environment.install_gettext_callables(  # type: ignore[attr-defined]
        *(wording.in_template(name) for name in ("gettext", "ngettext")),
        newstyle=True,
        pgettext=wording.in_template("pgettext"),
        npgettext=wording.in_template("npgettext"),
    )
    environment.filters |= {"capital": capital, "said": said, "term": wording.term, "number": wording.number}
    style = "".join(
        (f / "style.css").read_text(encoding="utf-8")
        for f in reversed(folders)
        if (f / "style.css").is_file()
    )
    style = _squeezed(style)
    if "</style" in style.lower():
        raise ThemeError(f"{name}/style.css: it closes the style element; take </style out")
    return Theme(name, folders, environment, style, _policy(style))


def capital(text: str) -> str:
    """Give a text with a capital first and the rest as it is: nouns of some languages keep theirs."""
    return text[:1].upper() + text[1:]


def said(text: str, context: str = "") -> str:
    """Give a text that stands in a value, in the reader's language and escaped as it was.

    `_()` and its like take texts that the template itself holds: what they give is not escaped.
    """
    spoken = wording.say_in(context, text) if context else wording.say(text)
    return text if spoken == text else spoken


def sheet(theme: Theme, name: str) -> str:
    """Give the rules of an added style sheet, the base theme's before the theme's own; "" if it has none.

    Raises ThemeError when it can't stand in a page.
    """
    files = [folder / name for folder in reversed(theme.folders)]
    style = _squeezed("".join(f.read_text(encoding="utf-8") for f in files if f.is_file()))
    if "</style" in style.lower():
        raise ThemeError(f"{theme.name}/{name}: it closes the style element; take </style out")
    return style


# quoted text stays as it is; around these signs, and after a colon, a style sheet needs no blanks
_LOOSE = re.compile(r"""("[^"]*"|'[^']*')|/\*.*?\*/|;?\s*(\})\s*|\s*([{;,])\s*|(:)\s+""", re.DOTALL)


def _squeezed(style: str) -> str:
    """Give a style sheet without comments and needless blanks, since every page carries it whole."""
    bare = _LOOSE.sub(lambda found: "".join(part or "" for part in found.groups()), style)
    return re.sub(r"\s*\n\s*", "\n", bare).strip()


def _policy(style: str) -> str:
    """Give the content policy: no script, no request; only this style and photos that lie beside the page."""
    digest = base64.b64encode(hashlib.sha256(style.encode("utf-8")).digest()).decode()
    # `file:` beside 'self', since a page opened from a disk has no origin that 'self' could name
    style_only = f"default-src 'none'; style-src 'sha256-{digest}'; img-src 'self' file:"
    return f"{style_only}; base-uri 'none'; form-action 'none'"


# a blank between such elements is never seen, and a page of tables holds a kilobyte of them
_BLOCKS = "p|tr|t[dh]|thead|tbody|tfoot|table|d[ltd]|[uo]l|li|h[1-6]|section|article|figure|figcaption"
_BETWEEN = re.compile(rf">\n+<(?=/?(?:{_BLOCKS})[ >])")


def render(page: Page, theme: Theme) -> bytes:
    """Give a page as HTML, UTF-8.

    Raises ThemeError that names the theme's file and line.
    """
    sheet, policy = _styled(theme, page.sheet) if page.sheet else (theme.style, theme.policy)
    style = Markup(sheet)  # noqa: S704 -- a theme's file, checked in find(), no text of the notes
    values = {"page": page, "style": style, "policy": policy, **page.values}
    return _BETWEEN.sub("><", _filled(theme, page.template, values)).encode("utf-8")


def part(name: str, values: Mapping[str, Any], theme: Theme) -> Markup:
    """Give a piece of a page, for pages that are put together of many; words in the values are escaped.

    Raises ThemeError that names the theme's file and line.
    """
    return Markup(_BETWEEN.sub("><", _filled(theme, name, values)))  # noqa: S704 -- the template escapes


def _filled(theme: Theme, name: str, values: Mapping[str, Any]) -> str:
    try:
        return theme.environment.get_template(name).render(language=wording.language(), **values)
    except TemplateSyntaxError as error:
        raise ThemeError(f"{_own(theme, error.filename)}:{error.lineno}: {error.message}") from error
    except (TemplateError, TypeError, ValueError, KeyError, AttributeError) as error:
        raise ThemeError(f"{_where(theme, error)}: {error}") from error


@cache
def _styled(theme: Theme, name: str) -> tuple[str, str]:
    """Give the style of pages with an added sheet, and the policy that allows it."""
    style = f"{theme.style}\n{sheet(theme, name)}"
    return style, _policy(style)


def _where(theme: Theme, error: Exception) -> str:
    """Give the last line of a template that an error passed through."""
    frames = [f for f in traceback.extract_tb(error.__traceback__) if f.filename.endswith((".html", ".css"))]
    return f"{_own(theme, frames[-1].filename)}:{frames[-1].lineno}" if frames else theme.name


def _own(theme: Theme, file: str | None) -> str:
    path = Path(file or theme.name)
    return next((str(path.relative_to(f.parent)) for f in theme.folders if path.is_relative_to(f)), path.name)
