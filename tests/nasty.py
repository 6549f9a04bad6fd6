"""Hostile notes for the tests: random edits, nasty YAML and Markdown, and what HTML may hold."""

from __future__ import annotations

import re
from collections.abc import Iterator

from bs4 import BeautifulSoup
from hypothesis import strategies as st

TAGS = frozenset(
    re.findall(
        r"\w+",
        "a blockquote br code div em h4 h5 h6 hr li ol p pre span strong table tbody td th thead tr ul",
    )
)
ATTRIBUTES = {
    "a": {"href", "rel"},
    "div": {"class", "tabindex"},
    "ol": {"start"},
    "th": {"class"},
    "td": {"class"},
    "pre": {"tabindex"},
    "span": {"class"},
}

_YAML = (
    "severity: ",
    "stop",
    "forbids: ",
    "[",
    "]",
    "{",
    "}",
    ": ",
    ":",
    ", ",
    "\n",
    "\n  ",
    "\n- ",
    "\t",
    '"',
    "'",
    "|\n  ",
    ">\n",
    "&a ",
    "*a",
    "!x ",
    "!!python/object:os.system ",
    "<<: ",
    "? ",
    "# ",
    "#x",
    "%",
    "@",
    "`",
    "---\n",
    "...\n",
    "null",
    "~",
    "no",
    "0123",
    "12:30",
    "1e400",
    "-.inf",
    "0x1F",
    "2026-05-14",
    "2026-5-14",
    "repair: ",
    "labour: ",
    "4 / 3 / 2 h",
    "1 / 2 / 3 h",
    "parts: ",
    "what: ",
    "each: ",
    "cost: ",
    "12,5",
    "9" * 40,
    "photos: ",
    "a.jpg",
    "../a.jpg",
    "\x00",
    "\u202e",
    "\u00a0",
    "\u2212",
    "“x”",
    "\ufeff",
    "\u2028",
    "\ud7ff",
    "𝔘",
    "é",
    "e\u0301",
    "price: ",
    "currency: ",
    "XXX",
    "JPY",
    "people: ",
    "surveyor: ",
    "checked: ",
    "by: ",
    "on: ",
    "evidence: ",
    "pays: ",
    "seller: 60 %",
    "[x](javascript:a)",
    "![x](y)",
    "<b>",
    "\\",
    "\\x41",
    "strip-downs: ",
    "also needs: ",
    "rates: ",
    "inspected: ",
    "survey: damage\n",
    "vessel: ",
    "found: ",
    "hull number: ",
    "engines: ",
    "kind: compression\n",
    "cylinders: ",
)
_MARKDOWN = (
    "[",
    "](",
    ")",
    "![",
    "<",
    ">",
    "javascript:alert(1)",
    "JAVASCRIPT&colon;x",
    "java\tscript:x",
    "data:text/html,x",
    "vbscript:x",
    "//evil.example",
    "https://a.example/",
    "&#106;",
    "&lt;script&gt;",
    "<script>x</script>",
    "<img src=x onerror=x>",
    '" onclick="x',
    "'",
    '"',
    "`",
    "```",
    "```private\n",
    "```finding\n",
    "~~~",
    "\n",
    "\n\n",
    "# ",
    "## A\n",
    "> ",
    "- ",
    "1. ",
    "    ",
    "\t",
    "|",
    "|a|b|\n|-|-|\n",
    "---",
    "===",
    "*",
    "**",
    "_",
    "\\",
    "[r]",
    "[r]: ",
    "[^1]",
    "<!--",
    "-->",
    "<a href='",
    "mailto:",
    "#id",
    "\u202e",
    "\x00",
    "&#8238;",
    "&#0;",
    "&amp;",
    "&",
    "𝔘",
    "\u2028",
    "]: javascript:x\n",
    "<https://x>",
    "~~",
    "  \n",
    "text ",
    "{{ x }}",
    "{% x %}",
    "%0a",
    "%6aavascript:x",
    "</p>",
    "<style>",
    "\x7f",
    "\ufffe",
)

PIECES = (*_YAML, *_MARKDOWN)
YAML = st.lists(st.sampled_from(_YAML) | st.text(max_size=3), max_size=14).map("".join)
MARKDOWN = st.lists(st.sampled_from(_MARKDOWN) | st.text(max_size=3), max_size=25).map("".join)


@st.composite
def edited(draw: st.DrawFn, text: str) -> str:
    """Give a valid note with a few places cut, doubled, moved or replaced."""
    lines = text.split("\n")
    for _ in range(draw(st.integers(1, 5))):
        at = draw(st.integers(0, max(0, len(lines) - 1)))
        line = lines[at] if lines else ""
        column = draw(st.integers(0, len(line)))
        bit = draw(st.sampled_from(PIECES))
        changed = {
            "cut": [line[:column]],
            "drop": [],
            "double": [line, line],
            "slip in": [line[:column] + bit + line[column:]],
            "replace": [line[:column] + bit],
            "split": [line[:column], line[column:]],
            "indent": ["  " + line],
        }
        lines[at : at + 1] = changed[draw(st.sampled_from(sorted(changed)))]
    return "\n".join(lines)


def unsafe(html: str) -> list[str]:
    """Give what a browser would find in the HTML that no page of ours may hold."""
    return list(_unsafe(BeautifulSoup(f"<!doctype html><body>{html}", "html5lib")))


def _unsafe(soup: BeautifulSoup) -> Iterator[str]:
    body = soup.body
    for tag in soup.find_all(True):
        if tag.name in ("html", "head", "body") or tag is body:
            continue
        if tag.name not in TAGS:
            yield f"<{tag.name}>"
        for name, value in tag.attrs.items():
            if name not in ATTRIBUTES.get(tag.name, set()):
                yield f"{tag.name} {name}={value}"
        href = tag.get("href")
        if href is not None and not re.match(r"(https?://|mailto:|tel:|#)", str(href), re.I):
            yield f"a href={href}"
    if re.search("[\x00-\x08\x0e-\x1f\x7f\u202a-\u202e\u2066-\u2069]", str(soup)):
        yield "an invisible sign"
