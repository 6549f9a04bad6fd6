"""A user's own theme: what it may set, what it may not, and where it is told."""

from __future__ import annotations

import base64
import io
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image, PngImagePlugin

from reportgen import cli, onefile, owntheme, pages, publish, sandbox, theme, themekeys
from reportgen.errors import NotesError, Problems, ThemeError
from reportgen.pages import Page
from reportgen.theme import Theme
from tests import made
from tests.project import text_of

FONT = b"wOF2" + bytes(range(200))


def _logo(**info: str) -> bytes:
    kept = PngImagePlugin.PngInfo()
    for name, value in info.items():
        kept.add_text(name, value)
    out = io.BytesIO()
    Image.new("RGBA", (900, 300), (10, 60, 120, 255)).save(out, "PNG", pnginfo=kept)
    return out.getvalue()


def _folder(to: Path, files: dict[str, str | bytes]) -> Path:
    folder = to / "themes" / "firm"
    for name, content in {"theme.yaml": "starts from: base\n", **files}.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content if isinstance(content, bytes) else content.encode("utf-8"))
    return folder


def _read(to: Path, files: dict[str, str | bytes]) -> tuple[Theme | None, list[str]]:
    """Read a theme from its files; what is told, without the folder's path."""
    problems = Problems()
    found = owntheme.read(_folder(to, files), problems)
    return found, [str(p).removeprefix(f"{to}/themes/firm/") for p in problems]


def _used(to: Path, files: dict[str, str | bytes]) -> Theme:
    found, told = _read(to, files)
    assert found is not None, told
    return found


def _publish(to: Path, used: Theme, edition: str = "buyer") -> dict[str, bytes]:
    made.write(to / "notes", made.TINY)
    publish.publish(to / "notes", to / "out", publish.Wish(publish.edition_named(edition), used))
    return {p.name: p.read_bytes() for p in (to / "out").iterdir()}


def test_theme_of_the_readme(tmp_path: Path) -> None:
    """The example of the docs, published by the command that stands below it."""
    text = text_of("README.md")
    part = text[text.index("## Your own look") :]
    yaml = re.search(r"```yaml\n(.*?)```", part, re.DOTALL)
    assert yaml
    notes, site = made.write(tmp_path / "notes", made.TINY), tmp_path / "site"
    _folder(notes, {"theme.yaml": yaml[1], "logo.png": _logo()})
    assert cli.main(["check", str(notes)]) == 0
    assert cli.main(["publish", str(notes), "--to", str(site), "--theme", "firm", "--no-charts"]) == 0
    page = (site / "index.html").read_text(encoding="utf-8")
    assert '<img src="letterhead.png" width="320" height="106"' in page
    assert "<strong>Ostrel and Quoin, marine surveyors</strong>" in page


def test_every_key_is_in_the_readme() -> None:
    """A key without a word about it fails."""
    text = text_of("README.md")
    part = text[text.index("## Your own look") :]
    for name in themekeys.documented():
        assert f"`{name.rpartition('.')[2]}`" in part, name


def test_logo_holds_nothing_but_its_pixels(tmp_path: Path) -> None:
    """It is painted anew, smaller; what was hidden in it is gone, and one file carries it inside."""
    keys = "logo: our logo.png\nlogo words: A heron\nletterhead: [Firm <b>, Quay 4]\n"
    used = _used(tmp_path, {"theme.yaml": keys, "our logo.png": _logo(Comment="HIDDENWORD")})
    files = _publish(tmp_path, used)
    with Image.open(io.BytesIO(files["letterhead.png"])) as image:
        assert (image.size, image.info) == ((640, 213), {})
    assert b"HIDDENWORD" not in files["letterhead.png"]
    page = files["index.html"].decode()
    assert 'alt="A heron"' in page
    assert "<strong>Firm &lt;b&gt;</strong><br>Quay 4" in page
    coded = base64.b64encode(files["letterhead.png"]).decode()
    assert f"data:image/png;base64,{coded}" in onefile.html(files).decode()


def test_appendices_and_lists_carry_the_letterhead_small(tmp_path: Path) -> None:
    """Each further page and the list of reports say whose they are; the joined file says so once."""
    keys = "logo: our logo.png\nlogo words: A heron\nletterhead: [Firm A, Quay 4]\n"
    used = _used(tmp_path, {"theme.yaml": keys, "our logo.png": _logo()})
    files = _publish(tmp_path, used)
    page = files["words.html"].decode()
    assert page.count('<header class="letterhead small">') == 1
    assert page.index('src="letterhead.png"') < page.index("<strong>Firm A</strong>") < page.index("<main")
    assert onefile.html(files).decode().count("<strong>Firm A</strong>") == 1
    made.write(tmp_path / "many/a", made.TINY)
    made.write(tmp_path / "many/b", made.TINY | {"number": "B-2"})
    publish.publish(tmp_path / "many", tmp_path / "site", publish.Wish(publish.edition_named("buyer"), used))
    listed = (tmp_path / "site/index.html").read_text(encoding="utf-8")
    assert "<strong>Firm A</strong>, Quay 4</p></header>" in listed
    assert "letterhead.png" not in listed


def test_letters_come_along(tmp_path: Path) -> None:
    """They stand in the style, and only then may a page take letters: from its own style alone."""
    keys = "font files:\n  text: a.woff2\nfonts:\n  text: [Georgia, serif]\n  labels: Verdana\n"
    used = _used(tmp_path, {"theme.yaml": keys, "a.woff2": FONT})
    page = _publish(tmp_path, used)["index.html"].decode()
    assert '--serif:"Own text","Georgia",serif,serif' in used.style.replace(", ", ",")
    assert '--sans:"Verdana",sans-serif' in used.style.replace(", ", ",")
    assert "font-src data:;" in page
    assert base64.b64encode(FONT).decode() in page
    assert "font-src" not in theme.find().policy
    assert "Georgia" not in theme.sheet(used, "pdf.css")
    assert '"Own text"' in theme.sheet(used, "pdf.css")
    assert "font-src data:;" in onefile.html({"index.html": page.encode()}).decode()


def test_colours_are_for_screens(tmp_path: Path) -> None:
    """Paper stays black on white; each scheme has its own."""
    keys = 'colours:\n  link: "#8a1c1c"\ndark colours:\n  link: "#ffb3b3"\n'
    style = _used(tmp_path, {"theme.yaml": keys}).style
    assert "@media screen and (prefers-color-scheme:light){:root{--link:#8a1c1c}}" in re.sub(
        r"\s*([{}])\s*", r"\1", style
    ).replace(";}", "}")
    assert "@media screen and (prefers-color-scheme:dark)" in style


def test_parts_change_places(tmp_path: Path) -> None:
    """Those named take each other's places, and what protects may come earlier."""
    used = _used(tmp_path, {"theme.yaml": "order: [not inspected, cautions, narrative, findings]\n"})
    order = owntheme.arranged(publish.edition_named("buyer"), used).passages
    ours = publish.edition_named("buyer").passages
    assert sorted(order) == sorted(ours)
    assert order[:3] == ours[:3] == ("masthead", "use_limits", "at_a_glance")
    assert order.index("not_inspected") == ours.index("findings")
    assert order.index("findings") == ours.index("cautions")
    assert order[-1] == "about"
    page = _publish(tmp_path, used)["index.html"].decode()
    ids = re.findall(r'id="passage-([\w-]+)"', page)
    assert ids.index("use-limits") < ids.index("not-inspected")


def test_own_template_and_sheet(tmp_path: Path) -> None:
    """A template of a part is taken, with macros of ours; a sheet stands last."""
    part = '{% import "macros.html" as m with context %}\n<p class="own">{{ boat|upper }}</p>'
    part += '{{ m.mark("stop") }}{% trans what=boat %}My {{ what }}{% endtrans %}'
    used = _used(tmp_path, {"passages/circumstances.html": part, "style.css": "h1 { color: #123; }"})
    page = _publish(tmp_path, used)["index.html"].decode()
    assert '<p class="own">SAILING YACHT</p>' in page
    assert "My sailing yacht" in page
    assert used.style.endswith("h1{color:#123}")
    assert used.watched


# what is wrong, and the words that tell it with file, line and column
ERRORS: dict[str, tuple[dict[str, str | bytes], str]] = {
    "unknown key": (
        {"theme.yaml": "logos: a.png\n"},
        "yaml:1:1: logos: unknown key 'logos' in a theme; write logo",
    ),
    "unknown theme": (
        {"theme.yaml": "starts from: bas\n"},
        "theme.yaml:1:14: starts from: found 'bas'; write base",
    ),
    "pale": (
        {"theme.yaml": 'colours:\n  soft: "#aaaaaa"\n'},
        (
            "theme.yaml:2:9: soft: soft #aaaaaa on paper #fbfaf6 has a contrast of 2.22 (colours); "
            '4.5 is needed (WCAG 1.4.3); soft: "#737373" is enough'
        ),
    ),
    "pale in the dark": ({"theme.yaml": 'dark colours:\n  paper: "#808080"\n'}, "(dark colours)"),
    "pale by sheet": ({"style.css": ":root { --ink: #bbb; }"}, "style.css: ink #bbb on paper #fbfaf6"),
    "no colour": (
        {"theme.yaml": "colours:\n  ink: red\n"},
        "theme.yaml:2:8: ink: found 'red'; write it in quotes, such as",
    ),
    "colour that is a rule": ({"theme.yaml": 'colours:\n  ink: "#000;}a{"\n'}, "write it in quotes, such as"),
    "font that is a rule": ({"theme.yaml": "fonts:\n  text: 'x;}a{color:red'\n"}, "write the name of a font"),
    "no logo": (
        {"theme.yaml": "logo: a.png\n"},
        "theme.yaml:1:7: logo: no file 'a.png' in the theme's folder",
    ),
    "logo outside": (
        {"theme.yaml": "logo: ../../secret.png\n"},
        "no file '../../secret.png' in the theme's folder",
    ),
    "logo of the system": ({"theme.yaml": "logo: /etc/hostname\n"}, "no file '/etc/hostname'"),
    "svg": (
        {"theme.yaml": "logo: a.svg\nlogo words: x\n", "a.svg": " <svg/>"},
        "yaml:1:7: logo: an SVG or other drawing by words; save it as PNG",
    ),
    "no picture": (
        {"theme.yaml": "logo: a.png\nlogo words: x\n", "a.png": b"\x89PNG\r\n\x1a\n00"},
        "no picture that can be opened",
    ),
    "logo too large": (
        {"theme.yaml": "logo: a.png\nlogo words: x\n", "a.png": bytes(2_000_001)},
        "a.png: a file of 2000001 bytes; make it smaller than 2000000",
    ),
    "dumb logo": (
        {"theme.yaml": "logo: a.png\n", "a.png": _logo()},
        "write logo words: and what the logo says",
    ),
    "no font": (
        {"theme.yaml": "font files:\n  text: a.woff\n", "a.woff": b"<html>"},
        "theme.yaml:2:9: text: no font file; name a WOFF2",
    ),
    "font too large": (
        {"theme.yaml": "font files:\n  text: a.woff\n", "a.woff": bytes(100_001)},
        "a.woff: a file of 100001 bytes",
    ),
    "use limits moved": (
        {"theme.yaml": "order: [findings, use limits]\n"},
        "yaml:1:19: order: use limits has a place of its own; take it out",
    ),
    "cautions later": (
        {"theme.yaml": "order: [findings, cautions]\n"},
        "would stand later; put not inspected and cautions first in the list",
    ),
    "unknown part": (
        {"theme.yaml": "order: [finding]\n"},
        "theme.yaml:1:9: order: found 'finding'; write findings",
    ),
    "part twice": ({"theme.yaml": "order: [findings, findings]\n"}, "findings stands twice"),
    "many lines": (
        {"theme.yaml": f"letterhead: [{', '.join('abcdefghi')}]\n"},
        "line 9 of the letterhead; keep to 8 lines",
    ),
    "long line": ({"theme.yaml": f"letterhead: {'x' * 121}\n"}, "a line of 121 signs; write at most 120"),
    "remote": (
        {"style.css": "a {}\nb { background: url(//x.test/a) }"},
        "style.css:2:17: 'url(': url( loads something; name the logo and",
    ),
    "hidden remote": ({"style.css": r"b { background: u\72l(//x.test/a) }"}, "url( loads something"),
    "remote between remarks": (
        {"style.css": "b { background: u/**/rl(//x.test/a) }"},
        "url( loads something",
    ),
    "import": ({"style.css": "@im\\port '//x.test/a';"}, "it loads or names another sheet"),
    "image set": ({"style.css": "b { background: image-set('a.png' 1x) }"}, "it loads something"),
    "end of style": ({"style.css": "</style ><script>"}, "it ends the style element"),
    "hidden part": ({"style.css": ".use-limits { display: none }"}, "it hides a part"),
    "sheet not UTF-8": ({"style.css": b"\xff\xfe"}, "style.css: a sign that is not UTF-8"),
    "script": (
        {"letterhead.html": "<p>\n<script>x</script>"},
        "letterhead.html:2:1: '<script': an element that no report may hold",
    ),
    "handler": ({"letterhead.html": "<p onclick=x>"}, "a script in an attribute"),
    "loads": ({"letterhead.html": "<img src='https://x.test/a.png'>"}, "it loads"),
    "safe": ({"letterhead.html": "{{ boat|safe }}"}, "it takes text of the notes for HTML"),
    "floor": (
        {"passages/use_limits.html": ""},
        "passages/use_limits.html: it holds what no theme may leave out",
    ),
    "head": ({"head.html": ""}, "head.html: it holds what no theme may leave out"),
    "syntax": ({"letterhead.html": "<p>\n{% if %}"}, "letterhead.html:2:1: Expected an expression"),
    "block set": ({"letterhead.html": "\n{% set a %}x{% endset %}"}, "letterhead.html:2:1: {% set %}"),
    "lists of lists": (
        {"letterhead.html": "{% set a = [1] %}{% set b = [a, a] %}"},
        "a list or block of names",
    ),
}


@pytest.mark.parametrize("case", ERRORS)
def test_every_mistake_is_told_at_its_place(tmp_path: Path, case: str) -> None:
    """Each says where it stands and what to write instead."""
    files, words = ERRORS[case]
    found, told = _read(tmp_path, files)
    assert found is None
    assert any(words in line for line in told), told


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Page:
    """Give the page of a survey that says little."""
    edition = publish.edition_named("buyer")
    return pages.arrange(made.tiny(tmp_path_factory.mktemp("tiny")), edition, {}, "0000 1111")[0]


# a template of a part that is made only when a page is
RUNS: dict[str, tuple[str, str]] = {
    "undefined": ("<p>\n{{ nobody }}", "circumstances.html:2: 'nobody' is undefined"),
    "missing": ("{{ passage.v.nobody }}", "circumstances.html:1: 'dict object' has no attribute 'nobody'"),
    "inner": ("{{ page.__class__ }}", "access to attribute '__class__' of"),
    "without end": (
        "{% for a in range(99999) %}{% for b in range(99999) %}{% endfor %}{% endfor %}",
        "turns",
    ),
    "calls": (
        "{% macro m(n) %}{% if n %}{{ m(n - 1) }}{{ m(n - 1) }}{% endif %}{% endmacro %}{{ m(40) }}",
        "turns",
    ),
    "recursion": ("{% macro m() %}{{ m() }}{% endmacro %}{{ m() }}", "recursion"),
    "doubling": ("{% set a = 'x' %}" + "{% set a = a ~ a %}" * 40 + "{{ a }}", "a text of more than"),
    "adding": ("{% set a = 'x' %}" + "{% set a = a + a %}" * 40 + "{{ a }}", "a text of more than"),
    "replacing": ("{% set a = 'xx' %}" + "{% set a = a|replace('x', 'xx') %}" * 40 + "{{ a }}", "more than"),
    "lists": ("{% set a = [1] %}" + "{% set a = a + a %}" * 40, "more than"),
    "repeating": ("{{ 'x' * 999999999 }}", "small numbers alone"),
    "power": ("{{ 9 ** 999999999 }}", "small numbers alone"),
    "stretching": ("{{ '{:999999999}'.format(1) }}", "format() of a text is not for a theme"),
    "centred": ("{{ 'x'.center(999999999) }}", "center() of a text is not for a theme"),
    "whole list": ("{{ passages }}", "a list can't be printed whole"),
    "no filter": ("{{ boat|pprint }}", "No filter named 'pprint'"),
    "unescaped": ("{{ _(boat) }}", "_ takes texts in quotes"),
    "kept call": ("{% set f = gettext %}{{ f(boat) }}", "gettext takes texts in quotes"),
    "wide place": ("{{ _('%(n)999999999d', n=1) }}", "_ takes texts in quotes"),
    "built element": ("{{ '<' }}<{{ 'scr' }}{{ 'ipt' }}>", "a template makes <script>"),
    "built address": ('<a href="{{ "java" }}{{ "script:x" }}">', "a template makes <a href='javascript:x'>"),
    "built load": (
        '<img alt="" {{ "src" }}="//x.test/a.png">',
        "a template makes <img src='//x.test/a.png'>",
    ),
    "built twice": (
        '<p id="passage-{{ "use-limits" }}">',
        "page.html shows every part of passages, in order",
    ),
}


@pytest.mark.parametrize("case", RUNS)
def test_a_template_stays_within_bounds(
    page: Page, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, case: str
) -> None:
    """No file, no inner name, no run or text without end, nothing that runs or loads."""
    source, words = RUNS[case]
    monkeypatch.setattr(sandbox, "MOST_TURNS", 100_000)
    problems = Problems()
    used = owntheme.read(_folder(tmp_path, {"passages/circumstances.html": source}), problems)
    if used is None:
        assert any(words in str(p) for p in problems), list(problems)
        return
    with pytest.raises(ThemeError, match=re.escape(words)):
        theme.render(page, used)


def test_page_of_its_own_shows_every_part(tmp_path: Path) -> None:
    """A page without our head, or without a part, is refused; the old packet stays."""
    page = '{% include "head.html" %}<body><main id="content">hello</main></body>'
    with pytest.raises(ThemeError, match="the page lacks passage-use-limits"):
        _publish(tmp_path / "a", _used(tmp_path / "a", {"page.html": page}))
    with pytest.raises(ThemeError, match="begin with"):
        _publish(tmp_path / "b", _used(tmp_path / "b", {"page.html": "<!doctype html><p>x"}))
    assert not (tmp_path / "b/out/index.html").exists()


LINKS: dict[str, Callable[[Path, Path], None]] = {
    "file": lambda folder, out: (folder / "style.css").symlink_to(out / "secret.css"),
    "folder": lambda folder, out: (folder / "passages").symlink_to(out),
    "loop": lambda folder, out: (folder / "logo.png").symlink_to(folder / "logo.png"),
}


@pytest.mark.parametrize("case", LINKS)
def test_no_link_leads_out(tmp_path: Path, case: str) -> None:
    """A link in the folder, wherever it leads, is told and not followed."""
    folder = _folder(tmp_path / "notes", {})
    (tmp_path / "secret.css").write_text("p { color: SECRET }", encoding="utf-8")
    LINKS[case](folder, tmp_path)
    problems = Problems()
    assert owntheme.read(folder, problems) is None
    assert [p.found for p in problems.errors] == ["a link, which may lead anywhere"]


def test_the_folder_itself_is_no_link(tmp_path: Path) -> None:
    """Neither the theme nor the folder of themes leads elsewhere."""
    _folder(tmp_path / "other", {})
    (tmp_path / "themes").mkdir()
    (tmp_path / "themes/firm").symlink_to(tmp_path / "other/themes/firm")
    problems = Problems()
    assert owntheme.read(tmp_path / "themes/firm", problems) is None
    assert "a link" in str(problems.errors[0])


def test_names(tmp_path: Path) -> None:
    """Ours stay ours; a wrong name is told with the nearest; `check` reads all that lie there."""
    made.write(tmp_path, made.TINY)
    folder = _folder(tmp_path, {"theme.yaml": "colour: red\n"})
    with pytest.raises(ThemeError, match="no theme is called 'firmm'; write firm"):
        publish.theme_named("firmm", tmp_path)
    with pytest.raises(NotesError, match="unknown key 'colour'"):
        publish.theme_named("firm", tmp_path)
    folder.rename(folder.parent / "carbon")
    problems = Problems()
    publish.check(tmp_path, problems)
    told = [str(p) for p in problems.errors]
    assert len(told) == 1, told
    assert "carbon is a theme of ours; give the folder a name of its own" in told[0]
