"""Turns the writer's Markdown into HTML that holds no script, no remote picture and no surprise."""

from __future__ import annotations

import html
import re
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from functools import cache, lru_cache
from typing import Any

from markdown_it import MarkdownIt
from markdown_it.token import Token

from reportgen.yamltext import INVISIBLE

MOST_COLUMNS = 40  # a table wider than this fits no page [columns]
MOST_ROWS = 1000  # a longer one is data, not a report [rows]
MOST_CELLS = 20_000  # of all tables of a note, as read in half a second [cells]
_LINK = re.compile(r"(https?://|mailto:|tel:|#)", re.I)
_MARKED = re.compile(r"[\\`*_\[\]<>&!~\"]|  \n")
MAX_NESTING = 100  # the library drops deeper text in silence; sections.py refuses it


@cache
def parser() -> MarkdownIt:
    """Give the one Markdown reader: CommonMark with tables, raw HTML shown as text."""
    markdown = MarkdownIt("commonmark", {"html": False, "maxNesting": MAX_NESTING}).enable("table")
    # every link becomes a token, so that a refused one can be told with its line
    markdown.validateLink = lambda url: True  # type: ignore[method-assign]
    markdown.add_render_rule("link_open", _link_open)
    markdown.add_render_rule("link_close", _link_close)
    markdown.add_render_rule("image", _image)
    markdown.add_render_rule("table_open", lambda *_: '<div class="scroll" tabindex="0"><table>\n')
    markdown.add_render_rule("table_close", lambda *_: "</table></div>\n")
    markdown.add_render_rule("th_open", _cell)
    markdown.add_render_rule("td_open", _cell)
    markdown.add_render_rule("heading_open", _heading)
    markdown.add_render_rule("heading_close", _heading)
    markdown.add_render_rule("code_inline", _code)
    markdown.add_render_rule("code_block", _copied)
    markdown.add_render_rule("fence", _copied)
    return markdown


def link_allowed(address: str) -> bool:
    """Say whether a link may be followed: http(s), mailto, tel, or a place on the page."""
    return bool(_LINK.match(address))


def _link_open(self: Any, tokens: Sequence[Token], index: int, options: Any, env: Any) -> str:
    address = str(tokens[index].attrGet("href") or "")
    if tokens[index].meta.get("beside"):  # a page of ours, known to be there
        return f'<a href="{html.escape(address)}">'
    return f'<a href="{html.escape(address)}" rel="noreferrer">' if link_allowed(address) else "<span>"


def _link_close(self: Any, tokens: Sequence[Token], index: int, options: Any, env: Any) -> str:
    depth = 0
    for token in reversed(tokens[:index]):
        depth += {"link_close": 1, "link_open": -1}.get(token.type, 0)
        if depth < 0:
            followed = token.meta.get("beside") or link_allowed(str(token.attrGet("href") or ""))
            return "</a>" if followed else "</span>"
    return ""


def _image(self: Any, tokens: Sequence[Token], index: int, options: Any, env: Any) -> str:
    return html.escape(tokens[index].content)


def _cell(self: Any, tokens: Sequence[Token], index: int, options: Any, env: Any) -> str:
    """A column's side is a class: the pages' security policy refuses a style in the text."""
    side = str(tokens[index].attrGet("style") or "").removeprefix("text-align:")
    named = f' class="{html.escape(side)}"' if side else ""
    return f"<{tokens[index].tag}{named}>"


def _heading(self: Any, tokens: Sequence[Token], index: int, options: Any, env: Any) -> str:
    """Headings inside a finding's prose start at h4, since the finding itself stands at h3."""
    level = min(6, env.get("first", 4) + int(tokens[index].tag[1]) - env["top"])
    if tokens[index].nesting != 1:
        return f"</h{level}>\n"
    id = str(tokens[index].attrGet("id") or "")  # given to headings of plain pages alone
    return f'<h{level} id="{html.escape(id)}">' if id else f"<h{level}>"


_HYPHENED = re.compile(r"((?<!\S)(?=\S*-)\S{1,24}(?!\S))")


def _code(self: Any, tokens: Sequence[Token], index: int, options: Any, env: Any) -> str:
    """What is to be typed stays whole where a line ends, `--for` as well as `stern-bearing`."""
    pieces = [html.escape(piece) for piece in _HYPHENED.split(tokens[index].content)]
    pieces[1::2] = [f'<span class="typed">{word}</span>' for word in pieces[1::2]]
    return f"<code>{''.join(pieces)}</code>"


def _copied(self: Any, tokens: Sequence[Token], index: int, options: Any, env: Any) -> str:
    """Lines to be copied keep their ends, and a narrow screen moves them sideways, by keys too."""
    return f'<pre tabindex="0"><code>{html.escape(tokens[index].content)}</code></pre>\n'


def inline_parts(tokens: Iterable[Token]) -> Iterator[tuple[int, Token]]:
    """Give (line in the text, token) of every word, link and picture, nested ones too."""
    line = 0
    for token in tokens:
        line = token.map[0] if token.map else line
        below = 0
        for child in token.children or ():
            yield line + below, child
            below += child.type in ("softbreak", "hardbreak")


def links(tokens: Iterable[Token]) -> Iterator[tuple[int, str, str]]:
    """Give (line in the text, "link" or "image", address) of every link and picture."""
    for line, part in inline_parts(tokens):
        if part.type == "link_open":
            yield line, "link", str(part.attrGet("href") or "")
        if part.type == "image":
            yield line, "image", str(part.attrGet("src") or "")


def links_in_line(text: str) -> tuple[tuple[str, str], ...]:
    """Give ("link" or "image", address) of each link and picture in one line of Markdown."""
    if not ("[" in text or "<" in text):
        return ()
    return tuple((what, address) for _, what, address in links(parser().parseInline(text)))


def render(tokens: Sequence[Token], env: dict[str, Any]) -> str:
    """Give the HTML of tokens that were read with `parser()`."""
    top = min((int(t.tag[1]) for t in tokens if t.type == "heading_open"), default=1)
    written = str(parser().renderer.render(tokens, parser().options, {**env, "top": top}))
    return INVISIBLE.sub("", written)  # an entity such as &#8238; gives a sign that the notes may not hold


def block(markdown: str) -> str:
    """Give the HTML of a piece of Markdown."""
    env: dict[str, Any] = {}
    return render(parser().parse(markdown, env), env)


@lru_cache(maxsize=1024)  # a report says many lines three times and more
def inline(text: str) -> str:
    """Give the HTML of one line of Markdown, such as a caption or an action."""
    written = str(parser().renderInline(text)) if _MARKED.search(text) else text
    return INVISIBLE.sub("", written)


@lru_cache(maxsize=1024)
def plain(text: str) -> str:
    """Give one line of Markdown as plain text, for titles, alternatives and tables."""
    if _MARKED.search(text):
        tokens = parser().parseInline(text)
        text = "".join(_text(child) for token in tokens for child in token.children or ())
    return INVISIBLE.sub("", text)


def _text(token: Token) -> str:
    return " " if token.type in ("softbreak", "hardbreak") else token.content


def slug(text: str) -> str:
    """Give an id made from a heading: lower case, accents dropped, other signs as hyphens; may be empty."""
    bare = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", bare).strip("-")
