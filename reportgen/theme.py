"""Turns pages into HTML with a theme: a folder of templates and a style sheet, over the base theme."""

from __future__ import annotations

import base64
import hashlib
import re
import traceback
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, TemplateError, TemplateSyntaxError
from markupsafe import Markup

from reportgen import sandbox, stranger, typeset, wording
from reportgen.errors import ThemeError, nearest
from reportgen.pages import Page
from reportgen.sandbox import Bounded

BASE = "base"


@dataclass(frozen=True)
class Letterhead:
    """What stands over a report's head: lines of text, and a logo with its size on the page [px]."""

    lines: tuple[str, ...] = ()
    logo: str = ""
    alt: str = ""
    width: int = 0
    height: int = 0


@dataclass(frozen=True)
class Theme:
    """A theme ready to render. folders: where templates are looked for, its own before the base's.

    added: what is put after a style sheet of that name. order: parts of the page that change places.
    files: what the packet holds for it, by name. own: the folder of a user's own theme.
    watched: whether templates of that folder make its pages.
    """

    name: str
    folders: tuple[Path, ...]
    environment: Environment
    style: str
    policy: str
    added: Mapping[str, str] = field(default_factory=dict, hash=False)
    letterhead: Letterhead | None = None
    order: tuple[str, ...] = ()
    files: Mapping[str, bytes] = field(default_factory=dict, hash=False)
    own: Path | None = None
    watched: bool = False


def home() -> Path:
    """Give the folder of themes: inside the package once installed, beside it in a checkout."""
    package = Path(__file__).resolve().parent
    inside = package / "themes"
    return inside if inside.is_dir() else package.parent / "themes"


def names() -> tuple[str, ...]:
    """Give the names of our own themes."""
    return tuple(sorted(p.name for p in home().iterdir() if p.is_dir())) if home().is_dir() else ()


@cache
def find(name: str = BASE) -> Theme:
    """Give one of our themes by name.

    Raises ThemeError when there is no such theme or its style sheet can't be used.
    """
    known = names()
    if name not in known:
        near = nearest(name, known)
        raise ThemeError(f"no theme is called {name!r}; write {near or ', '.join(known)}")
    folders = (home() / name, home() / BASE) if name != BASE else (home() / BASE,)
    environment = sandbox.plain(FileSystemLoader([str(f) for f in folders]))
    style = sheet(Theme(name, folders, environment, "", ""), "style.css")
    return Theme(name, folders, environment, style, policy_of(style))


def sheet(theme: Theme, *names: str) -> str:
    """Give the rules of one style sheet or several, the base theme's before the theme's own; "" for none.

    Raises ThemeError when it can't stand in a page.
    """
    files = [folder / name for folder in reversed(theme.folders) for name in names]
    written = [f.read_text(encoding="utf-8") for f in files if f.is_file()]
    style = _squeezed("".join((*written, *(theme.added.get(name, "") for name in names))))
    if "</style" in style.lower():
        raise ThemeError(f"{theme.name}/{names[0]}: it closes the style element; take </style out")
    return style


FONTS = "; font-src data:"  # in the policy, only where the style holds letters of its own

# quoted text stays as it is; around these signs, and after a colon, a style sheet needs no blanks
_LOOSE = re.compile(r"""("[^"]*"|'[^']*')|/\*.*?\*/|;?\s*(\})\s*|\s*([{;,>])\s*|(:)\s+""", re.DOTALL)


def _squeezed(style: str) -> str:
    """Give a style sheet without comments and needless blanks, since every page carries it whole."""
    bare = _LOOSE.sub(lambda found: "".join(part or "" for part in found.groups()), style)
    return re.sub(r"\s*\n\s*", "\n", bare).strip()


def policy_of(style: str) -> str:
    """Give the content policy: no script, no request; only this style and photos that lie beside the page."""
    digest = base64.b64encode(hashlib.sha256(style.encode("utf-8")).digest()).decode()
    # `file:` beside 'self', since a page opened from a disk has no origin that 'self' could name
    style_only = f"default-src 'none'; style-src 'sha256-{digest}'; img-src 'self' file:"
    style_only += FONTS if "@font-face" in style else ""
    return f"{style_only}; base-uri 'none'; form-action 'none'"


# a blank between such elements is never seen, and a page of tables holds a kilobyte of them
_BLOCKS = (
    "p|tr|t[dh]|thead|tbody|tfoot|table|d[ltd]|[uo]l|li|h[1-6]|section|article|figure|figcaption|div"
    "|details|summary"
)
_BETWEEN = re.compile(rf">\n+<(?=/?(?:{_BLOCKS})[ >])")

# where an element holds nothing but the writer's words, it says their language itself: shorter
_SPOKEN = re.compile(
    r'<(t[dh]|d[dt]|li|p|h[1-6]|figcaption|strong)((?: (?!lang=)[\w-]+="[^"<>]*")*)>'
    r"<i( lang=[\w-]+)>((?:[^<]|<(?!/?i\b))*)</i></\1>"
)
_ALONE = re.compile(r"<div( lang=[\w-]+)><p>((?:[^<]|<(?!/?(?:p|div)\b))*</p>)\s*</div>")


def _short(html: str) -> str:
    """Give HTML without what nobody would see, kilobytes of it on a page of tables."""
    html = _BETWEEN.sub("><", html)
    # most reports are in the language of their notes; that of the page itself stands in quotes
    if "<i lang=" in html or "<div lang=" in html:
        html = _ALONE.sub(r"<p\1>\2", _SPOKEN.sub(r"<\1\2\3>\4</\1>", html))
        # once more, since what has lost its element may stand after a blank
        html = _BETWEEN.sub("><", html)
    return html


# what a faulty template may end with
_FAULTS = (TemplateError, TypeError, ValueError, LookupError, AttributeError, ArithmeticError, RecursionError)


def render(page: Page, theme: Theme) -> bytes:
    """Give a page as HTML, UTF-8.

    Raises ThemeError that names the theme's file and line.
    """
    sheet, policy = _styled(theme, page.sheet) if page.sheet else (theme.style, theme.policy)
    style = Markup(sheet)  # noqa: S704 -- a theme's file, checked in find(), no text of the notes
    given = {"page": page, "style": style, "policy": policy, "letterhead": theme.letterhead}
    text = _short(_filled(theme, page.template, given | dict(page.values)))
    if theme.watched:
        head = _short(_filled(theme, "head.html", given))
        stranger.check_page(text, head, _parts(page), theme.name)
    return typeset.set_like_print(_unmarked(text), page.words).encode("utf-8")


# heads of cells, which tables repeat in each row
_MARKED = re.compile(r"""(<t[dh](?: [\w-]+="[^"<>]*")*? (?:scope|data-h))="(\w+)"(?=[ >])""")
# ends that HTML takes as said: of cells, of terms and of their words, where the next begins or all end
_ENDS = re.compile(r"</t[dh]>(?=</?t[dhr][ >])|</d[dt]>(?=<(?:d[dt][ >]|/d(?:iv|l)>))")


def _unmarked(html: str) -> str:
    """Give HTML without the marks round a cell's head of one word, and ends of cells, which need none."""
    return _ENDS.sub("", _MARKED.sub(r"\1=\2", html))


def part(name: str, values: Mapping[str, Any], theme: Theme) -> Markup:
    """Give a piece of a page, for pages that are put together of many; words in the values are escaped.

    Raises ThemeError that names the theme's file and line.
    """
    return Markup(_short(_filled(theme, name, values)))  # noqa: S704 -- the template escapes


def _filled(theme: Theme, name: str, values: Mapping[str, Any]) -> str:
    if isinstance(theme.environment, Bounded):
        theme.environment.begin()
    try:
        return theme.environment.get_template(name).render(language=wording.tag(), **values)
    except TemplateSyntaxError as error:
        raise ThemeError(f"{_own(theme, error.filename)}:{error.lineno}: {error.message}") from error
    except _FAULTS as error:
        raise ThemeError(f"{_where(theme, error)}: {error}") from error


@cache
def _styled(theme: Theme, name: str) -> tuple[str, str]:
    """Give the style of pages with an added sheet, and the policy that allows it."""
    style = sheet(theme, "style.css", name)
    return style, policy_of(style)


def _parts(page: Page) -> list[str]:
    """Give the ids that a page has to have, of its parts in order."""
    names = [str(part["name"]).replace("_", "-") for part in page.values.get("passages", ())]
    return [f"passage-{name}" for name in names if name != "masthead"]


def _where(theme: Theme, error: Exception) -> str:
    """Give the last line of a template that an error passed through."""
    frames = [f for f in traceback.extract_tb(error.__traceback__) if f.filename.endswith((".html", ".css"))]
    return f"{_own(theme, frames[-1].filename)}:{frames[-1].lineno}" if frames else theme.name


def _own(theme: Theme, file: str | None) -> str:
    path = Path(file or theme.name)
    if theme.own and path.is_relative_to(theme.own):
        return str(path)
    return next((str(path.relative_to(f.parent)) for f in theme.folders if path.is_relative_to(f)), path.name)
