"""Puts all pages of a report into one document: links become anchors, and photos and style stand inside.

The pages are taken as they were made for the packet, so that nothing stands in the one document that the
edition does not show. `html` gives it for e-mail, `joined` with pictures by name for the PDF.
"""

from __future__ import annotations

import base64
import hashlib
import html as markup
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from html.parser import HTMLParser

from reportgen.errors import ThemeError
from reportgen.wording import later, say

_PICTURES = {".jpg": "image/jpeg", ".jpeg": "image/jpeg", ".png": "image/png", ".svg": "image/svg+xml"}
# attributes that name an id, or several with blanks between them
_NAMING = {
    *("for", "headers", "list", "form", "aria-labelledby", "aria-describedby", "aria-controls"),
    *("aria-owns", "aria-details", "aria-flowto", "aria-activedescendant", "aria-errormessage"),
}
_LOADING = {"src", "srcset", "poster", "data", "background"}
_ATTRIBUTE = re.compile(r"""([^\s=>"'/]+)(?:\s*=\s*("[^"]*"|'[^']*'|[^\s>]+))?""")
_URL_OF_ID = re.compile(r"url\((['\"]?)#([^)'\"]+)\1\)")
_OUTSIDE = re.compile(r"(?:https?|mailto|tel):", re.IGNORECASE)
_DESCRIBED = re.compile(r"<desc\b[^>]*>(.*?)</desc>", re.DOTALL)
_TITLED = re.compile(r"<title\b[^>]*>(.*?)</title>", re.DOTALL)
_POLICY = "\0policy\0"
_HEADING = re.compile(r"h[1-6]")
# whoever gets one file by mail has no folder to check
CHECK = later(
    'Whoever has only this file can check it too: what <span class="code">sha256sum FILE</span> prints\n'
    '(on a Mac <span class="code">shasum -a 256 FILE</span>, on Windows\n'
    '<span class="code">certutil -hashfile FILE SHA256</span>) must stand beside its name in the packet’s '
    "list\nSHA256SUMS. Ask the surveyor, by a way you knew before, for that line, or for the list with its "
    "signature."
)

Attributes = dict[str, str | None]


@dataclass(frozen=True)
class Pictures:
    """How the document names its pictures.

    of: gives the address of a file of the packet, or of a drawing made on the way.
    drawing: gives the address of an SVG picture that is taken out of the page, None to leave them in it.
    opens: whether a photo can be opened large where it stands first; else each stands large everywhere.
    beside: what is said instead of a paragraph of class in-packet, which tells of files beside the page.
    """

    of: Callable[[str], str]
    drawing: Callable[[str], str] | None = None
    opens: bool = True
    beside: str = ""


@dataclass
class _State:
    """What the pages of one document share: names taken, photos shown, styles met."""

    pages: Mapping[str, str]
    files: Mapping[str, bytes]
    pictures: Pictures
    extra: str
    taken: set[str]
    tops: dict[str, str] = field(default_factory=dict)
    prefixes: dict[str, str] = field(default_factory=dict)
    shown: dict[str, str] = field(default_factory=dict)
    styles: list[str] = field(default_factory=list)

    def free(self, name: str) -> str:
        """Give a name that no id has yet, and take it."""
        while name in self.taken:
            name += "-"
        self.taken.add(name)
        return name


def html(files: Mapping[str, bytes], style: str = "") -> bytes:
    """Give the packet's pages as one HTML file that loads nothing: photos and drawings are data in it.

    files: a packet's files by name, its pages among them. style: rules added to the pages' own.
    Raises ThemeError when a page has no main part or loads what is not in the packet.
    """

    def data(name: str) -> str:
        coded = base64.b64encode(files[name]).decode("ascii")
        return f"data:{_PICTURES[_ending(name)]};base64,{coded}"

    return joined(files, Pictures(data, beside=say(CHECK)), style).encode("utf-8")


def joined(files: Mapping[str, bytes], pictures: Pictures, style: str = "") -> str:
    """Give all pages as one document: index.html with the main part of each other page at its end.

    files: a packet's files by name. style: rules added to the pages' own.
    Raises ThemeError when a page has no main part or loads what is not in the packet.
    """
    # the others stand in the order in which it leads to them
    names = dict.fromkeys(("index.html", *(name for name in files if name.endswith(".html"))))
    pages = {name: files[name].decode("utf-8") for name in names}
    state = _State(pages, files, pictures, style, {i for text in pages.values() for i in _ids(text)})
    for name in pages:
        stem = name.removesuffix(".html")
        if name != "index.html":
            state.prefixes[name] = _prefix(stem, state.taken)
            state.tops[name] = state.free(f"page--{stem}")
    first, *others = pages
    own = _Page(first, state)
    annexes = [_Page(name, state) for name in others]
    for page in (own, *annexes):
        page.read()
    text = own.before + "".join(page.annex for page in annexes) + own.after
    return text.replace(_POLICY, _quoted(_policy(state.styles)))


def _policy(styles: list[str]) -> str:
    """Give the content policy: no script, no request; these styles alone, and pictures that stand inside."""
    sums = [base64.b64encode(hashlib.sha256(s.encode("utf-8")).digest()).decode() for s in styles]
    hashes = " ".join(f"'sha256-{digest}'" for digest in sums) or "'none'"
    only = f"default-src 'none'; style-src {hashes}; img-src data:"
    only += "; font-src data:" if any("@font-face" in style for style in styles) else ""
    return f"{only}; base-uri 'none'; form-action 'none'"


def _prefix(stem: str, taken: set[str]) -> str:
    """Give what the ids of a page begin with, which no id of any page does yet."""
    prefix = f"{stem}--"
    while any(name.startswith(prefix) for name in taken):
        prefix += "-"
    return prefix


def _ids(text: str) -> Iterator[str]:
    finder = _Ids()
    finder.feed(text)
    finder.close()
    yield from finder.found


def _ending(name: str) -> str:
    return name[name.rfind(".") :].lower() if "." in name else ""


def _attributes(raw: str) -> Attributes:
    """Give the attributes of a start tag as it is written, names as spelled since SVG tells case."""
    inner = re.sub(r"^<[^\s/>]+|/?>$", "", raw)
    found: Attributes = {}
    for name, value in _ATTRIBUTE.findall(inner):
        bare = value[1:-1] if value[:1] in ("'", '"') else value
        found.setdefault(name, markup.unescape(bare) if value else None)
    return found


def _tag(name: str, attributes: Attributes, closed: bool = False) -> str:
    words = [name]
    for key, value in attributes.items():
        words.append(key if value is None else f'{key}="{_quoted(value)}"')
    return f"<{' '.join(words)}{'/' if closed else ''}>"


def _quoted(value: str) -> str:
    return markup.escape(value, quote=False).replace('"', "&quot;")


class _Ids(HTMLParser):
    """Finds every id of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found += [value for name, value in attrs if name == "id" and value]


class _Page(HTMLParser):
    """Reads one page and writes it anew for its place in the document."""

    def __init__(self, name: str, state: _State) -> None:
        super().__init__(convert_charrefs=False)
        self._name = name
        self._state = state
        self._first = name == "index.html"
        self._prefix = state.prefixes.get(name, "")
        self._out: list[str] = []
        self._title = ""
        self._main = -1  # where the main part begins in what was written
        self._end = -1
        self._links: list[bool] = []  # open links: whether each is written
        self._large = ""  # the photo that the next picture shows large
        self._drawing: list[str] | None = None
        self._depth = 0  # of open elements of one name, while in a drawing or in what is passed over
        self._passed = ""  # the element that is passed over
        self._inside = ""  # title or style, while in it
        self._body = False

    def read(self) -> None:
        """Read the whole page."""
        self.feed(self._state.pages[self._name])
        self.close()
        if min(self._main, self._end) < 0:
            raise ThemeError(f"{self._name}: it has no main element, so it can't stand in one file")

    @property
    def before(self) -> str:
        """Give the page up to the end of its main part."""
        return "".join(self._out[: self._end])

    @property
    def after(self) -> str:
        """Give the page from the end of its main part."""
        return "".join(self._out[self._end :])

    @property
    def annex(self) -> str:
        """Give the main part as a section of another page."""
        title = markup.unescape(self._title.strip())
        head: Attributes = {"class": "annex", "id": self._state.tops[self._name], "aria-label": title}
        inner = "".join(self._out[self._main + 1 : self._end])
        return f"{_tag('section', head)}{inner}</section>\n"

    # -- what the parser meets

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._start(tag, closed=False)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._start(tag, closed=(self.get_starttag_text() or "").endswith("/>"))

    def handle_endtag(self, tag: str) -> None:
        if self._passed:
            self._depth -= tag == self._passed
            self._passed = self._passed if self._depth else ""
            return
        if self._drawing is not None:
            self._drawing.append(f"</{self._spelled(tag)}>")
            if tag == "svg":
                self._depth -= 1
                if not self._depth:
                    self._drawn()
            return
        if tag == "a" and self._links and not self._links.pop():
            return
        if tag == "main":
            self._end = len(self._out)
        if tag == self._inside:
            self._inside = ""
        self._out.append(f"</{self._demoted(tag)}>")

    def handle_data(self, data: str) -> None:
        if self._inside == "title" and not self._body:
            self._title += data
        if self._inside == "style" and self._first:
            data += self._state.extra if not self._state.styles else ""
            self._state.styles.append(data)
        self._write(data)

    def handle_entityref(self, name: str) -> None:
        self.handle_data(f"&{name};")

    def handle_charref(self, name: str) -> None:
        self.handle_data(f"&#{name};")

    def handle_decl(self, decl: str) -> None:
        self._write(f"<!{decl}>")

    # -- writing

    def _write(self, text: str) -> None:
        if self._passed:
            return
        (self._out if self._drawing is None else self._drawing).append(text)

    def _spelled(self, tag: str) -> str:
        """Give a tag's name as SVG spells it, which the parser has put into small letters."""
        return {"clippath": "clipPath", "lineargradient": "linearGradient"}.get(tag, tag)

    def _demoted(self, tag: str) -> str:
        """Give a heading one step lower where the page is a section of another one."""
        if self._first or not _HEADING.fullmatch(tag):
            return tag
        return f"h{min(6, int(tag[1]) + 1)}"

    def _start(self, tag: str, closed: bool) -> None:
        attributes = self._renamed(_attributes(self.get_starttag_text() or ""))
        beside, drawing = self._state.pictures.beside, self._state.pictures.drawing
        if self._passed:
            self._depth += tag == self._passed and not closed
        elif "in-packet" in (attributes.get("class") or "").split():
            self._passed, self._depth = tag, 1
            self._out.append(f"<p>{beside}</p>" if beside and tag == "p" else "")
        elif self._drawing is not None or (tag == "svg" and drawing):
            self._drawing = self._drawing or []
            self._depth += tag == "svg" and not closed
            self._drawing.append(_tag(self._spelled(tag), attributes, closed))
        elif self._fitted(tag, attributes):
            self._out.append(_tag(self._demoted(tag), attributes, closed))

    def _fitted(self, tag: str, attributes: Attributes) -> bool:
        """Fit the attributes of a tag to the one document; False if the tag is left out."""
        if tag == "a":
            self._links.append(self._link(attributes))
            return self._links[-1]
        if tag == "img":
            self._picture(attributes)
            return True
        self._refuse_loading(tag, attributes)
        self._body |= tag == "body"
        if tag == "meta" and (attributes.get("http-equiv") or "").lower() == "content-security-policy":
            attributes["content"] = _POLICY
        if tag in ("title", "style"):
            self._inside = tag
        if tag == "main":
            self._main = len(self._out)
            if self._first:
                attributes.setdefault("id", self._top(self._name))
        return True

    def _renamed(self, attributes: Attributes) -> Attributes:
        """Give attributes with this page's ids, and what refers to them, under names of their own."""
        if not self._prefix:
            return attributes
        return {key: self._named(key, value) if value else value for key, value in attributes.items()}

    def _named(self, key: str, value: str) -> str:
        if key.lower() == "id":
            return self._prefix + value
        if key.lower() in _NAMING:
            return " ".join(self._prefix + word for word in value.split())
        if key.lower() in ("href", "xlink:href") and value.startswith("#") and len(value) > 1:
            return f"#{self._prefix}{value[1:]}"
        return _URL_OF_ID.sub(lambda found: f"url(#{self._prefix}{found[2]})", value)

    def _link(self, attributes: Attributes) -> bool:
        """Lead a link to its place in the document; False if what it leads to is not in it."""
        state, to = self._state, attributes.get("href")
        if to is None or to.startswith("#") or _OUTSIDE.match(to):
            return True
        file, _, anchor = to.partition("#")
        if file in state.pages:
            inner = state.prefixes.get(file, "") + anchor if anchor else self._top(file)
            attributes["href"] = f"#{inner}"
            return True
        photo = file if file in state.files and _ending(file) in _PICTURES else ""
        if not photo or not state.pictures.opens:
            self._large = photo
            return False
        if photo not in state.shown:
            name = photo.rsplit("/")[-1].split(".")[0]
            attributes["id"] = state.shown[photo] = state.free(f"photo--{name}")
            self._large = photo
        attributes["href"] = f"#{state.shown[photo]}"
        return True

    def _top(self, file: str) -> str:
        if file not in self._state.tops:
            found = re.search(r"<main\b[^>]*?\sid=[\"']?([^\s\"'>]+)", self._state.pages[file])
            self._state.tops[file] = markup.unescape(found[1]) if found else self._state.free("report")
        return self._state.tops[file]

    def _picture(self, attributes: Attributes) -> None:
        """Let a picture show what stands inside the document."""
        attributes.pop("srcset", None)
        source = attributes.get("src") or ""
        if source.startswith("data:"):
            return
        shown = (self._links and self._large) or source
        self._large = ""
        if shown not in self._state.files or _ending(shown) not in _PICTURES:
            raise ThemeError(f"{self._name}: the picture {source!r} is not in the packet")
        attributes["src"] = self._state.pictures.of(shown)

    def _refuse_loading(self, tag: str, attributes: Attributes) -> None:
        loading = _LOADING | ({"href"} if tag in ("link", "base") else set())
        for name, value in attributes.items():
            if name.lower() in loading and value and not value.startswith(("data:", "#")):
                raise ThemeError(f"{self._name}: <{tag}> loads {value!r}, which one file can't do")

    def _drawn(self) -> None:
        """Put a picture in the place of a drawing that has been read to its end."""
        written = "".join(self._drawing or ())
        self._drawing = None
        make = self._state.pictures.drawing
        head = _attributes(written[: written.index(">") + 1])
        source = make(written) if make else ""
        kind: Attributes = {"class": head.get("class") or ""}
        if head.get("aria-hidden") == "true":
            # an ornament, which a reader that reads aloud has to pass over
            look = f"display:inline-block;background:url('{source}') no-repeat 0 0/contain"
            self._out.append(f"{_tag('span', {**kind, 'style': look})}</span>")
            return
        words = _DESCRIBED.search(written) or _TITLED.search(written)
        alt = markup.unescape(words[1]) if words else ""
        self._out.append(_tag("img", {**kind, "src": source, "alt": alt}))
