"""Makes plain pages of notes that belong to no survey, such as a guide: text, contents, links checked.

A folder whose notes have `page: TITLE` in their front matter becomes a folder of the site. Its first note by
file name is its first page, which lists the others; the pages follow each other in the order of file names.
"""

from __future__ import annotations

import re
from collections.abc import Container, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import unquote

from markdown_it.token import Token
from markupsafe import Markup

from reportgen import notefiles, prose, sections
from reportgen.edition import Edition
from reportgen.errors import Place, Problems, nearest
from reportgen.notefiles import PAGE
from reportgen.pages import Page
from reportgen.sections import Section
from reportgen.yamltext import Scalar

MOST = 100  # pages in one folder [pages]
_HEAD = 4000  # what is read of a note to see whether it is a plain page [bytes]
_BEGINS = re.compile(
    rb"(?:\xef\xbb\xbf)?\s*---[ \t]*\r?\n(?:(?!---[ \t]*\r?\n).*\n)*?[\"']?page[\"']?[ \t]*:"
)
_ORDER = re.compile(r"^[\d._ -]+(?=\D)")  # numbers that only put file names in order


@dataclass(frozen=True)
class PlainPage:
    """One plain page. file: its name in the site. title: its heading. html: its text."""

    file: str
    title: str
    html: str


@dataclass
class _Draft:
    """A page while it is read. ids: of its headings, which links may name."""

    path: Path
    file: str
    title: str
    section: Section
    ids: Mapping[str, Token]


def apart(found: Sequence[Path], surveys: Container[Path] = ()) -> tuple[tuple[Path, ...], tuple[Path, ...]]:
    """Part what `notes.find` gave into surveys and folders of plain pages, by the first note of each.

    surveys: those that are known to be surveys, so that their notes need not be opened.
    """
    plain = tuple(path for path in found if path not in surveys and _is_plain(path))
    return tuple(path for path in found if path not in plain), plain


def _is_plain(path: Path) -> bool:
    first = path if path.is_file() else next(iter(notefiles.notes_in(path)), None)
    if first is None:
        return False
    try:
        with first.open("rb") as file:
            return _BEGINS.match(file.read(_HEAD)) is not None
    except OSError:
        return False  # told where the note is read


def folder_of(path: Path) -> str:
    """Give the folder of the site in which the pages of a folder of notes stand."""
    return prose.slug(path.resolve().name) or "pages"


def read(path: Path, problems: Problems) -> tuple[PlainPage, ...]:
    """Read the plain pages of a folder, or one page; the first is index.html.

    Problems get every mistake: a note without a title, two of one name, a link that leads nowhere.
    """
    files = [path] if path.is_file() else notefiles.notes_in(path)
    if len(files) > MOST:
        problems.error(Place(str(path)), f"{len(files)} plain pages", f"keep a folder to {MOST} pages")
        return ()
    drafts: dict[str, _Draft] = {}
    for file in files:
        draft = _draft(file, not drafts, problems)
        if draft is None:
            continue
        same = next((d.path.name for d in drafts.values() if d.file == draft.file), None)
        if same:
            found = f"its page would be {draft.file}, as that of {same}"
            problems.error(Place(str(file)), found, "rename one of the two")
        drafts[file.name] = draft
    return tuple(_page(draft, drafts, problems) for draft in drafts.values())


def _draft(file: Path, first: bool, problems: Problems) -> _Draft | None:
    text = notefiles.text_of(file, problems)
    if text is None:
        return None
    keys, section = sections.unsplit(text, str(file), problems)
    title = ""
    for name, value in keys.entries:
        if name.text != PAGE:
            problems.error(name.place, f"{name.text!r} on a plain page", f"keep {PAGE}: alone")
        elif isinstance(value, Scalar) and value.text.strip():
            title = prose.plain(value.text.strip())
    if not title:
        problems.error(Place(str(file), 1, 1), "no title", f"begin it with ---, {PAGE}: its title, and ---")
        return None
    section.tokens = list(_fences(section, problems))
    return _Draft(file, _file(file, first), title, section, _ids(section.tokens))


def _file(file: Path, first: bool) -> str:
    name = prose.slug(_ORDER.sub("", file.stem)) or prose.slug(file.stem) or "page"
    return "index.html" if first else f"{name}.html"


def _fences(section: Section, problems: Problems) -> Iterator[Token]:
    """Leave out what is private; findings and readings belong to a survey."""
    for token in section.tokens:
        word = token.info.split()[0].lower() if token.type == "fence" and token.info.split() else ""
        if word in sections.FENCES:
            place = Place(section.place.file, section.offset + (token.map or [0])[0] + 1, 1)
            write = "fence an example with four backticks and the word markdown"
            problems.error(place, f"a {word} on a plain page", write)
        if word != "private":
            yield token


def _ids(tokens: Sequence[Token]) -> dict[str, Token]:
    """Give each heading an id of its own."""
    ids: dict[str, Token] = {}
    for at, token in enumerate(tokens):
        if token.type == "heading_open":
            bare = prose.slug(prose.plain(tokens[at + 1].content)) or "part"
            id, number = bare, 2
            while id in ids or id == "content":
                id, number = f"{bare}-{number}", number + 1
            token.attrSet("id", id)
            ids[id] = token
    return ids


def _page(draft: _Draft, drafts: Mapping[str, _Draft], problems: Problems) -> PlainPage:
    for what, address, place in draft.section.links():
        if what == "image" or (prose.link_allowed(address) and not address.startswith("#")):
            sections.refused(what, address, place, problems)
        else:
            _check_link(address, place, draft, drafts, problems)
    for _, token in prose.inline_parts(draft.section.tokens):
        if token.type == "link_open":
            _lead(token, drafts)
    html = prose.render(draft.section.tokens, {**draft.section.env, "first": 2})
    return PlainPage(draft.file, draft.title, html)


def _check_link(
    address: str, place: Place, draft: _Draft, drafts: Mapping[str, _Draft], problems: Problems
) -> None:
    """See that a link names a note of the folder, and a heading of it."""
    name, _, part = address.partition("#")
    target = drafts.get(unquote(name)) if name else draft
    if target is None:
        near = nearest(name, drafts)
        write = f"write {near}" if near else "link to a note of this folder by its file name, or to https://"
        problems.error(place, f"a link to {address!r}, which is no page here", write)
    elif part and part not in target.ids:
        near = nearest(part, target.ids)
        write = f"write {name}#{near}" if near else f"link to {name or 'a heading'} as a whole"
        problems.error(place, f"a link to {address!r}, which no heading has", write)


def _lead(token: Token, drafts: Mapping[str, _Draft]) -> None:
    """Let a link to a note lead to its page."""
    name, mark, part = str(token.attrGet("href") or "").partition("#")
    target = drafts.get(unquote(name))
    if target is not None:
        token.attrSet("href", f"{target.file}{mark}{part}")
        token.meta["beside"] = True


def pages(plain: Sequence[PlainPage], edition: Edition, home: str = "") -> Iterator[Page]:
    """Give the pages of a folder ready for a theme. home: the list of reports, "" where there is none.

    They are the same for every reader, and may be found by search engines where the reports may.
    """
    contents = tuple((page.file, page.title) for page in plain)
    for at, page in enumerate(plain):
        title = page.title if at == 0 else f"{page.title}: {plain[0].title}"
        values = {
            "heading": page.title,
            "file": page.file,
            "contents": contents if len(contents) > 1 else (),
            "after": contents[at + 1] if at + 1 < len(contents) else None,
            "home": home,
            "text": Markup(page.html),  # noqa: S704 -- prose passes no HTML of the writer on
        }
        yield Page("plain.html", title, edition.public, (), values, file=page.file, sheet="site.css")
