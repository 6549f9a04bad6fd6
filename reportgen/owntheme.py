"""A user's own theme: a folder beside the notes, read as a stranger's, with a look over one of our themes."""

from __future__ import annotations

import base64
import io
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from itertools import islice
from pathlib import Path
from typing import Any

from jinja2 import ChoiceLoader, FileSystemLoader, FunctionLoader, TemplateSyntaxError

from reportgen import contrast, racks, sandbox, stranger, theme, themekeys, yamltext
from reportgen.block import read_block
from reportgen.edition import Edition
from reportgen.errors import Place, Problems
from reportgen.passage import Passage
from reportgen.theme import Letterhead, Theme
from reportgen.themekeys import Colours, OwnKeys, Word
from reportgen.values import Context

FOLDER, KEYS = "themes", "theme.yaml"
MOST_FILES = 200  # in a theme's folder [-]
MOST_BYTES = 100_000  # of a template, style sheet, theme.yaml or font file, since pages carry them [bytes]
MOST_LOGO = 2_000_000  # of a logo's file [bytes]
MOST_PIXELS = 16_000_000  # of a logo; a header that claims more is refused unread [px]
LOGO = (320, 120)  # room that a logo gets on the page [px]
_NAME = re.compile(r"[a-z][a-z0-9-]{0,39}")
_FILE = re.compile(r"[A-Za-z0-9][A-Za-z0-9 _.-]{0,80}", re.ASCII)
_SHEETS = ("style.css", "onefile.css", "pdf.css", "drawing.css")
_FONTS = {b"wOF2": "woff2", b"wOFF": "woff", b"\0\1\0\0": "ttf", b"OTTO": "otf"}
# (colour, what it stands on, least ratio, criterion)
_PAIRS = (
    ("ink", "paper", contrast.TEXT, "1.4.3"),
    ("soft", "paper", contrast.TEXT, "1.4.3"),
    ("link", "paper", contrast.TEXT, "1.4.3"),
    ("ink", "wash", contrast.TEXT, "1.4.3"),
    ("limit", "paper", contrast.DRAWN, "1.4.11"),
    ("bar", "paper", contrast.DRAWN, "1.4.11"),
    ("bar2", "paper", contrast.DRAWN, "1.4.11"),
)


def folders(beside: Path) -> dict[str, Path]:
    """Give the themes that lie beside the notes, by name; beside: folder of a survey, or of several."""
    there = beside / FOLDER
    found = sorted(islice(there.iterdir(), MOST_FILES)) if there.is_dir() else []
    return {path.name: path for path in found if path.is_dir() and not path.name.startswith((".", "_"))}


def arranged(edition: Edition, used: Theme) -> Edition:
    """Give an edition with its parts in the theme's order."""
    return replace(edition, passages=themekeys.in_order(edition.passages, used.order))


def read(folder: Path, problems: Problems) -> Theme | None:
    """Read a theme's folder; None, and what is wrong with it at its place, if it can't be used."""
    own = Problems()
    made = _Reader(folder, own).theme()
    for problem in own:
        (problems.error if problem.level == "error" else problems.warn)(
            problem.place, problem.found, problem.write
        )
    return None if own.errors else made


def pairs(style: str) -> Iterable[tuple[str, str, str, str, float, str, bool]]:
    """Give each pair that a style's colours have to keep: names, colours, least ratio, criterion, dark."""
    for dark, known in zip((False, True), contrast.colours(style), strict=True):
        for one, on, least, criterion in _PAIRS:
            yield one, on, known[one], known[on], least, criterion, dark


@dataclass
class _Reader:
    folder: Path
    problems: Problems

    def theme(self) -> Theme | None:
        """Give the theme; None where its folder is not even looked into."""
        if not self._may_be_read():
            return None
        keys = self._keys()
        base = theme.find(keys.starts_from)
        templates, sheets = self._templates(), self._sheets()
        themekeys.check_lines(keys.letterhead, self.problems)
        order = themekeys.check_order(keys.order, self.problems)
        letterhead, files = self._letterhead(keys)
        letters, stacks = self._letters(keys), _stacks(keys)
        head = _letterhead_rules() if letterhead else ""
        added = {name: sheets.get(name, "") for name in _SHEETS}
        added["style.css"] = f"{head}{letters}{stacks}{_painted(keys)}{added['style.css']}"
        if letters:
            added["pdf.css"] = f"{_stacks(keys, carried_only=True)}{added['pdf.css']}"
        environment = self._engine(templates, base)
        made = Theme(self.folder.name, base.folders, environment, "", "", added, letterhead, order, files)
        if self.problems.errors:
            return None
        style = theme.sheet(made, "style.css")
        self._contrasts(keys, style)
        return replace(
            made, style=style, policy=theme.policy_of(style), own=self.folder, watched=bool(templates)
        )

    def _error(self, file: str, found: str, write: str, line: int = 0, column: int = 1) -> None:
        place = Place(str(self.folder / file), line, column if line else 0)
        self.problems.error(place, found, write)

    def _may_be_read(self) -> bool:
        """Refuse a name of ours, a link, and a folder of too many files."""
        name = self.folder.name
        if name in theme.names():
            self._error("", f"{name} is a theme of ours", "give the folder a name of its own")
        elif not _NAME.fullmatch(name):
            self._error("", f"{name!r} is no name of a theme", "use small letters, digits, hyphens")
        every = [self.folder.parent, self.folder, *islice(self.folder.rglob("*"), MOST_FILES + 1)]
        if len(every) > MOST_FILES + 2:
            self._error("", f"more than {MOST_FILES} files", "keep only what the theme needs")
        for path in every:
            if path.is_symlink():
                self.problems.error(Place(str(path)), "a link, which may lead anywhere", "put the file there")
        return not self.problems.errors

    def _bytes(self, name: str, most: int) -> bytes | None:
        path = self.folder / name
        try:
            size = path.stat().st_size if path.is_file() else -1
            if size < 0:
                return None
            if size > most:
                self._error(name, f"a file of {size} bytes", f"make it smaller than {most}")
                return None
            return path.read_bytes()
        except OSError as error:
            self._error(name, f"can't be read ({error.strerror})", "look at the file's permissions")
            return None

    def _text(self, name: str) -> str:
        raw = self._bytes(name, MOST_BYTES)
        try:
            text = (raw or b"").decode("utf-8-sig")
        except UnicodeDecodeError:
            self._error(name, "a sign that is not UTF-8", "save the file as UTF-8 in the editor")
            return ""
        return text.replace("\r\n", "\n").replace("\r", "\n")

    def _keys(self) -> OwnKeys:
        if not (self.folder / KEYS).is_file():
            self._error(KEYS, "a theme has this file", f"make it, with a line `starts from: {theme.BASE}`")
            return OwnKeys()
        node = yamltext.read(self._text(KEYS), str(self.folder / KEYS), 0, self.problems)
        return read_block(OwnKeys, node, Context(self.problems), "a theme")

    def _sheets(self) -> dict[str, str]:
        found = {name: self._text(name) for name in _SHEETS if (self.folder / name).is_file()}
        for name, text in found.items():
            for fault in stranger.in_style(text):
                self._error(name, fault.found, fault.write, fault.line, fault.column)
        return found

    def _templates(self) -> dict[str, str]:
        """Give the templates of the folder by name, those refused that hold what no theme may change."""
        rack: Mapping[str, Passage] = racks.all_of("passages", "PASSAGE")
        kept = {f"passages/{name}.html" for name, passage in rack.items() if passage.floor}
        found = {}
        for path in sorted([*self.folder.glob("*.html"), *self.folder.glob("passages/*.html")]):
            name = path.relative_to(self.folder).as_posix()
            if name in kept or name in ("head.html", "macros.html"):
                self._error(name, "it holds what no theme may leave out", "take the file out; use style.css")
                continue
            found[name] = self._text(name)
            for fault in stranger.in_template(found[name]):
                self._error(name, fault.found, fault.write, fault.line, fault.column)
        return found

    def _engine(self, templates: dict[str, str], base: Theme) -> Any:
        if not templates:
            return base.environment
        own = FunctionLoader(sandbox.loading(templates, self.folder))
        ours = FileSystemLoader([str(folder) for folder in base.folders])
        engine = sandbox.bounded(ChoiceLoader([own, ours]), self.folder)
        for name in templates:
            try:
                engine.get_template(name)
            except TemplateSyntaxError as error:
                self._error(name, error.message or "not readable", "put it right", error.lineno)
            except RecursionError:
                self._error(name, "it is nested too deep", "write it flatter")
        return engine

    def _named(self, word: Word, most: int) -> bytes | None:
        """Give a file that theme.yaml names; it lies in the folder itself."""
        path = self.folder / word.text
        if not _FILE.fullmatch(word.text) or not path.is_file():
            there = ", ".join(p.name for p in sorted(self.folder.iterdir()) if p.is_file() and p.name != KEYS)
            write = f"write one of {there}" if there else "put the file beside theme.yaml"
            self.problems.error(word.place, f"no file {word.text!r} in the theme's folder", write)
            return None
        return self._bytes(word.text, most)

    def _letterhead(self, keys: OwnKeys) -> tuple[Letterhead | None, dict[str, bytes]]:
        lines = tuple(line.text for line in keys.letterhead)
        if keys.logo is None:
            return (Letterhead(lines) if lines else None), {}
        data = self._named(keys.logo, MOST_LOGO)
        picture = self._logo(keys.logo, data) if data is not None else None
        if picture is None:
            return None, {}
        png, width, height = picture
        alt = keys.logo_words or (lines[0] if lines else "")
        if not alt:
            found = "a logo without words, which a blind reader can't know"
            self.problems.error(keys.logo.place, found, "write logo words: and what the logo says")
        return Letterhead(lines, "letterhead.png", alt, width, height), {"letterhead.png": png}

    def _logo(self, word: Word, data: bytes) -> tuple[bytes, int, int] | None:
        """Paint the logo anew from its pixels; give the PNG and the room it takes on the page [px]."""
        from PIL import Image

        if re.match(rb"\s*(?:\xef\xbb\xbf)?\s*<", data):
            self.problems.error(word.place, "an SVG or other drawing by words", "save it as PNG")
            return None
        try:
            with Image.open(io.BytesIO(data), formats=("PNG", "JPEG", "WEBP")) as image:
                if image.width * image.height > MOST_PIXELS:
                    found = f"a logo of {image.width} x {image.height} pixels"
                    self.problems.error(word.place, found, f"save it {LOGO[0] * 2} pixels wide")
                    return None
                picture = image.convert("RGBA")
        except (OSError, ValueError, SyntaxError, Image.DecompressionBombError):
            self.problems.error(word.place, "no picture that can be opened", "save it as PNG, JPEG or WebP")
            return None
        # twice the room it takes, for sharp screens
        picture.thumbnail((LOGO[0] * 2, LOGO[1] * 2))
        clean = Image.frombytes("RGBA", picture.size, picture.tobytes())
        out = io.BytesIO()
        clean.save(out, "PNG", optimize=True)
        scale = min(1.0, LOGO[0] / clean.width, LOGO[1] / clean.height)
        return out.getvalue(), max(1, round(clean.width * scale)), max(1, round(clean.height * scale))

    def _letters(self, keys: OwnKeys) -> str:
        """Give the rules that carry the font files along."""
        rules = []
        for use in ("text", "labels"):
            for weight, ending in (("400", ""), ("700", "_bold")):
                word: Word | None = getattr(keys.font_files, use + ending)
                data = self._named(word, MOST_BYTES) if word else None
                if word is None or data is None:
                    continue
                kind = _FONTS.get(data[:4])
                if kind is None:
                    self.problems.error(word.place, "no font file", "name a WOFF2, WOFF, TTF or OTF file")
                    continue
                coded = base64.b64encode(data).decode("ascii")
                source = f'url("data:font/{kind};base64,{coded}")'
                rules.append(
                    f'@font-face {{ font-family: "Own {use}"; font-weight: {weight}; src: {source}; }}\n'
                )
        return "".join(rules)

    def _contrasts(self, keys: OwnKeys, style: str) -> None:
        for one, on, colour, paper, least, criterion, dark in pairs(style):
            if (has := contrast.ratio(colour, paper)) >= least:
                continue
            said = {**keys.colours.words(), **(keys.dark_colours.words() if dark else {})}
            word = said.get(one) or said.get(on)
            place = word.place if word else Place(str(self.folder / "style.css"))
            key = "dark colours" if dark else "colours"
            # rounded down, so that what fails never prints as what passes
            found = f"{one} {colour} on {on} {paper} has a contrast of {int(has * 100) / 100:.2f} ({key})"
            passing = contrast.enough(colour, paper, least)
            write = f'{least} is needed (WCAG {criterion}); {one}: "{passing}" is enough'
            self.problems.error(place, found, write)


def _letterhead_rules() -> str:
    return (theme.home() / theme.BASE / "letterhead.css").read_text(encoding="utf-8")


def _stacks(keys: OwnKeys, carried_only: bool = False) -> str:
    """Give the rules that choose fonts; carried_only: for paper, which takes none of the machine's own."""
    rules = ""
    for use, name, last in (("text", "serif", "Report Serif"), ("labels", "sans", "Report Sans")):
        carried = [f'"Own {use}"'] if getattr(keys.font_files, use) else []
        stack = [*carried, *(() if carried_only else getattr(keys.fonts, use))]
        if stack:
            ends = f'"{last}"' if carried_only else "sans-serif" if name == "sans" else "serif"
            rules += f"--{name}: {', '.join([*stack, ends])}; "
    return f":root {{ {rules}}}\n" if rules else ""


def _painted(keys: OwnKeys) -> str:
    """Give the rules for colours, on screens alone: paper stays black on white."""
    return _paint(keys.colours, "light") + _paint(keys.dark_colours, "dark")


def _paint(colours: Colours, scheme: str) -> str:
    words = "; ".join(f"--{name}: {word.text}" for name, word in colours.words().items())
    media = f"@media screen and (prefers-color-scheme: {scheme})"
    return f"{media} {{ :root {{ {words}; }} }}\n" if words else ""
