"""Follows every link of a folder of pages without a browser: to files and to places in them."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from urllib.parse import unquote, urlsplit

from bs4 import BeautifulSoup, Tag

ADDRESSES = {
    "action",
    "background",
    "cite",
    "data",
    "formaction",
    "href",
    "ping",
    "poster",
    "src",
    "xlink:href",
}
SEVERAL = {"imagesrcset", "srcset"}
IDS = {"aria-controls", "aria-describedby", "aria-details", "aria-labelledby", "for", "headers", "list"}
# A link that a reader follows by choice may go to the web; everything else would load from it.
CHOSEN = {
    ("a", "href"),
    ("area", "href"),
    ("blockquote", "cite"),
    ("q", "cite"),
    ("ins", "cite"),
    ("del", "cite"),
}
SCHEMES = {"http", "https", "mailto", "tel"}
_URL = re.compile(r"url\(\s*['\"]?([^'\")]+)|@import\s+['\"]([^'\"]+)")


@dataclass(frozen=True)
class Link:
    """One address on a page: where it stands, what it says, and whether the browser loads it by itself."""

    page: Path
    where: str
    address: str
    loads: bool


@cache
def _soup(page: Path) -> BeautifulSoup:
    return BeautifulSoup(page.read_bytes(), "lxml")


@cache
def _ids(page: Path) -> Counter[str]:
    soup = _soup(page)
    return Counter([t["id"] for t in soup.find_all(id=True)] + [t["name"] for t in soup.select("a[name]")])


def _in_styles(text: str) -> Iterator[str]:
    for url, imported in _URL.findall(text):
        yield url or imported


def _of_tag(page: Path, tag: Tag) -> Iterator[Link]:
    for name, value in tag.attrs.items():
        where, text = f"{tag.name} {name}", value if isinstance(value, str) else " ".join(value)
        if name in ADDRESSES:
            yield Link(page, where, text.strip(), (tag.name, name) not in CHOSEN)
        elif name in SEVERAL:
            yield from (Link(page, where, c.split()[0], True) for c in text.split(",") if c.split())
        elif name == "style":
            yield from (Link(page, where, url, True) for url in _in_styles(text))
        elif name == "content" and str(tag.get("http-equiv", "")).lower() == "refresh":
            yield Link(page, where, text.partition("url=")[2].strip("'\" "), True)
    if tag.name == "style":
        yield from (Link(page, "style", url, True) for url in _in_styles(tag.get_text()))


def links_of(page: Path) -> Iterator[Link]:
    """Give every address on a page or in a style sheet."""
    if page.suffix == ".css":
        yield from (Link(page, "style sheet", u, True) for u in _in_styles(page.read_text(encoding="utf-8")))
    else:
        for tag in _soup(page).find_all(True):
            yield from _of_tag(page, tag)


def _target(link: Link) -> Path:
    path = unquote(urlsplit(link.address).path)
    return (link.page.parent / path).resolve() if path else link.page.resolve()


def _is_local(link: Link) -> bool:
    parts = urlsplit(link.address)
    return not parts.scheme and not parts.netloc


def _fault(link: Link, root: Path) -> str:
    """Give what is wrong with a link, empty if nothing is."""
    parts = urlsplit(link.address)
    if parts.scheme == "data":
        return ""
    if not _is_local(link):
        if link.loads:
            return "loads from outside"
        return "" if parts.scheme in SCHEMES else "a scheme that no report needs"
    target = _target(link)
    if parts.path.startswith("/"):
        return "begins at the root of a server"
    if not target.is_relative_to(root):
        return "leaves the folder"
    if target.is_dir():
        return "points to a folder"
    if not target.exists():
        return "no such file"
    # a disk that ignores case finds the file; the server it is copied to does not
    if any(part.name not in _names(part.parent) for part in _below(target, root)):
        return "written in another case"
    if parts.fragment and target.suffix == ".html" and unquote(parts.fragment) not in _ids(target):
        return "no such place on the page"
    return ""


def _below(target: Path, root: Path) -> list[Path]:
    return [target, *(p for p in target.parents if p != root and p.is_relative_to(root))]


@cache
def _names(folder: Path) -> frozenset[str]:
    return frozenset(p.name for p in folder.iterdir())


def _id_faults(page: Path) -> Iterator[str]:
    ids = _ids(page)
    yield from (f"id {name} stands twice" for name, count in ids.items() if count > 1)
    for tag in _soup(page).find_all(True):
        for name in IDS & set(tag.attrs):
            value = tag[name]
            wanted = value if isinstance(value, list) else str(value).split()
            yield from (f"{tag.name} {name}: no id {w}" for w in wanted if w not in ids)


def _readable(folder: Path) -> list[Path]:
    return sorted([*folder.rglob("*.html"), *folder.rglob("*.css")])


def faults(folder: Path) -> list[str]:
    """Give every link and id of the folder that leads nowhere, outside, or to two places."""
    root, wrong = folder.resolve(), []
    for page in map(Path.resolve, _readable(folder)):
        name = page.relative_to(root)
        wrong += [f"{name}: {f}" for f in (_id_faults(page) if page.suffix == ".html" else ())]
        wrong += [
            f"{name}: {k.where} {k.address[:90]}: {f}" for k in links_of(page) if (f := _fault(k, root))
        ]
    return wrong


def unlinked(folder: Path, *allowed: str) -> list[str]:
    """Give the files that no page leads to, but the pages in the folder's top and names that are allowed."""
    root = folder.resolve()
    reached = {_target(k) for p in _readable(root) for k in links_of(p) if _is_local(k)}
    every = [p for p in sorted(root.rglob("*")) if p.is_file() and p not in reached]
    return [str(p.relative_to(root)) for p in every if p != root / "index.html" and p.name not in allowed]
