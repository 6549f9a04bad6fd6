"""What an edition may not show stands nowhere in its packet: every private field, spelling and file."""

from __future__ import annotations

import base64
import dataclasses
import datetime
import io
import json
import shutil
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
import yaml
from PIL import Image

from reportgen import edition, making, notes, owntheme, pages, pdf, publish, racks, record, report, theme
from reportgen.block import keys_of
from reportgen.edition import FLOOR, Edition
from reportgen.errors import NotesError, PacketError, Problem, Problems
from reportgen.model import Cover, Finding, Reading
from reportgen.photos import PublishedPhoto
from reportgen.sending import Forms
from reportgen.values import Text
from tests import made, sweep, whole
from tests.browser.tools import REQUIRED
from tests.whole import NOT_PUBLIC, Filled, Token

# one worker publishes for all of these
pytestmark = pytest.mark.xdist_group("leaks")

EDITIONS = racks.names("editions")

# Categories whose private values are looked for in free text too.
LOOKED_FOR = {
    *("people", "contact", "surveyor contact", "exact place", "identity", "hull number", "serial", "private")
}


def _may_show(name: str) -> frozenset[str]:
    made = publish.edition_named(name)
    listed = {"sound"} - made.leaves_out
    return made.shows | FLOOR | listed | (set() if made.public else {NOT_PUBLIC})


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Filled:
    """Give a survey with every key filled in."""
    return whole.write(tmp_path_factory.mktemp("whole") / "boat")


@pytest.fixture(scope="module")
def packets(filled: Filled, tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, Mapping[str, bytes]]:
    """Give the files of that survey's packet by edition."""
    made = {}
    for name in EDITIONS:
        to = tmp_path_factory.mktemp("packets") / name
        wish = publish.Wish(publish.edition_named(name), theme.find(), forms=forms())
        publish.publish(filled.folder, to, wish)
        made[name] = sweep.files_in(to)
    return made


@pytest.fixture(scope="module")
def found(packets: Mapping[str, Mapping[str, bytes]], filled: Filled) -> Mapping[str, dict[str, set[str]]]:
    """Give the files that each value of the notes stands in, by edition; one search for all of them."""
    values = {t.value for t in filled.tokens}
    return {name: sweep.found(files, values) for name, files in packets.items()}


def forms() -> Forms:
    """Give all forms that can be made here; in .ci/run that is every one."""
    try:
        pdf.check()
    except PacketError:
        assert not REQUIRED, "no PDF can be made"
        return Forms(one_file=True)
    return Forms(one_file=True, pdf="both")


def _hidden(filled: Filled, name: str) -> dict[str, Token]:
    return {t.value: t for t in filled.tokens if t.hidden(_may_show(name))}


@pytest.mark.parametrize("name", EDITIONS)
def test_no_private_value_is_in_the_packet(
    found: Mapping[str, dict[str, set[str]]], filled: Filled, name: str
) -> None:
    """No value under a category that the edition does not list is in any file, name or picture."""
    hidden = _hidden(filled, name)
    assert len(hidden) > (100 if name == "seller" else 25)
    assert not {hidden[value].path: files for value, files in found[name].items() if value in hidden}


@pytest.mark.parametrize("name", EDITIONS)
def test_the_same_search_finds_all_that_may_be_shown(
    found: Mapping[str, dict[str, set[str]]], filled: Filled, name: str
) -> None:
    """Every other value is found, so that the silence about the private ones means something."""
    shown = {t.value: t for t in filled.tokens if not t.hidden(_may_show(name))}
    assert len(shown) > 50
    gone = {token.path for value, token in shown.items() if value not in found[name]}
    # a yard gets no strip-down that no open job needs (here all jobs are done or unpriced), and who holds
    # a deposit is of use to none who is not told of one
    opened = "labour", "second_person", "overtime"
    for_yard = {
        *(f"StripDown.{key}" for key in opened),
        "Part.what",
        "Part.number",
        "Charge.what",
        "Charge.for_",
    }
    no_use = for_yard if name == "yard" else {"Price.deposit_held_by"}
    assert gone <= (set() if name == "buyer" else no_use)


@pytest.fixture(scope="module")
def chatty(tmp_path_factory: pytest.TempPathFactory) -> theme.Theme:
    """Give a theme whose pages print all that a template is given, and nothing else."""
    home = tmp_path_factory.mktemp("themes")
    (home / "base").mkdir()
    (home / "base/style.css").write_text("p{}", encoding="utf-8")
    given = "boat edition fingerprint inspected number passages policy sizes status version".split()  # noqa: SIM905
    printed = " ".join(f"{{{{ {name} }}}}" for name in given)
    for name in ("page.html", "appendix.html"):
        (home / "base" / name).write_text(f"{{{{ page }}}} {{{{ page.values }}}} {printed}", encoding="utf-8")
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(theme, "home", lambda: home)
        theme.find.cache_clear()
        made = theme.find("base")
    theme.find.cache_clear()  # everybody else gets the real one
    return made


@pytest.mark.parametrize("name", EDITIONS)
def test_theme_that_prints_all_it_is_given_leaks_nothing(
    filled: Filled, chatty: theme.Theme, tmp_path: Path, name: str
) -> None:
    """What a reader is not entitled to is not in the objects that templates get, wherever they look."""
    publish.publish(filled.folder, tmp_path, publish.Wish(publish.edition_named(name), chatty, charts=False))
    pages = {n: data for n, data in sweep.files_in(tmp_path).items() if n.endswith(".html")}
    assert b"passage" in pages["index.html"]
    hidden = _hidden(filled, name)
    found = sweep.found(pages, hidden)
    assert not {hidden[value].path: files for value, files in found.items()}
    surveyor = next(t.value for t in filled.tokens if t.path == "Surveyor.name")
    assert sweep.found(pages, [surveyor])


def test_theme_beside_the_notes_leaks_nothing(filled: Filled, tmp_path: Path) -> None:
    """A stranger's template, which prints the page it is given with all its values, tells no more."""
    folder = tmp_path / "themes/chatty"
    (folder / "passages").mkdir(parents=True)
    (folder / "theme.yaml").write_text("starts from: carbon\n", encoding="utf-8")
    (folder / "passages/narrative.html").write_text("<p>{{ page }}</p>", encoding="utf-8")
    used = owntheme.read(folder, Problems())
    assert used is not None
    seller = publish.edition_named("seller")
    shown = made.shown(made.built(filled.folder), seller)
    pictures = dict.fromkeys((n.name for n in report.photos_of(shown)), PublishedPhoto(b"", b"", 4, 3, 4, 3))
    page = theme.render(pages.arrange(shown, seller, pictures, "0000", charts=False)[0], used)
    assert b"Page(template=" in page
    assert not sweep.found({"index.html": page}, _hidden(filled, "seller"))


def test_the_seller_hides_more_than_the_buyer(
    packets: Mapping[str, Mapping[str, bytes]], filled: Filled
) -> None:
    """Each category that only the buyer sees is filled in the survey, and the seller has no key of it."""
    buyer, seller = _may_show("buyer"), _may_show("seller")
    hidden = {share for token in _hidden(filled, "seller").values() for share in token.shares}
    assert buyer - seller - hidden <= {"payer", "deal", "cost totals"}  # words of any report
    keys = {"valuation", "market", "replacement", "comparables", "cost_to_come", "adjusted"}
    keys |= {"pays", "settle_by", "known_before_offer", "advertised_as_working", "repair", "cost", "estimate"}
    told = {name: _keys(json.loads(files["report.json"])) for name, files in packets.items()}
    assert keys <= told["buyer"]
    assert not keys & told["seller"]


def _keys(value: Any) -> set[str]:
    if isinstance(value, Mapping):
        return set(value) | {key for each in value.values() for key in _keys(each)}
    return {key for each in value for key in _keys(each)} if isinstance(value, list) else set()


def test_every_private_value_reaches_the_report(filled: Filled) -> None:
    """Before an edition limits it, the report holds every value: the notes are really read whole."""
    problems = Problems()
    survey = notes.read(filled.folder, problems)
    assert survey is not None
    assert not problems.errors
    everything = {"report.txt": repr(report.build(survey, problems)).encode()}
    wanted = {t.value: t.path for t in filled.tokens if t.path != "photo metadata"}
    found = sweep.found(everything, [v for v in wanted if not sweep.is_date(v)])
    gone = {path for value, path in wanted.items() if value not in found and not sweep.is_date(value)}
    assert gone == {"private fence"}  # dropped while reading


def _blocks(type_: Any, seen: dict[type, None]) -> None:
    for part in ("block", "item", "value", "text", "items", "keys"):
        inner = getattr(type_, part, None)
        if isinstance(inner, type) and dataclasses.is_dataclass(inner):
            _blocks_of(inner, seen)
        elif inner is not None and not isinstance(inner, str) and not callable(inner):
            _blocks(inner, seen)


def _blocks_of(block: type, seen: dict[type, None]) -> None:
    if block not in seen:
        seen[block] = None
        for spec in keys_of(block).values():
            _blocks(spec.metadata["type"], seen)


def test_every_key_has_a_value(filled: Filled) -> None:
    """No text key of any block is passed over, so that a new key is looked after from its first day."""
    seen: dict[type, None] = {}
    for block in (Cover, Finding, Reading):
        _blocks_of(block, seen)
    assert len(seen) > 15
    known = {t.path for t in filled.tokens} | set(whole.FIXED) | set(whole.CUSTOM)
    for block in seen:
        texts = [s for s in keys_of(block).values() if isinstance(s.metadata["type"], Text)]
        missing = {f"{block.__name__}.{s.name}" for s in texts} - known
        assert not {m for m in missing if not m.startswith("PhotoNote.")}


# ---- a leak of each form is found


def _jpeg(**hidden: Any) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (8, 8)).save(out, "JPEG", **hidden)
    return out.getvalue()


def _exif(text: str) -> Image.Exif:
    exif = Image.Exif()
    exif[0x010E] = text
    return exif


T = "Bk7mw3xq9z"
PLANTED: dict[str, tuple[str, bytes]] = {
    "plain": ("index.html", f"<p>{T}</p>".encode()),
    "small letters": ("index.html", T.lower().encode()),
    "blanks and hyphens": ("index.html", b"<p>Bk7 mw3-xq9z</p>"),
    "split by tags": ("index.html", b"<p>Bk7<b>mw3</b>xq9z</p>"),
    "entities": ("index.html", b"<p>Bk7&#109;w3&#x78;q9z</p>"),
    "soft hyphen": ("index.html", b"<p>Bk7&shy;mw3\xe2\x80\x8bxq9z</p>"),
    "comment": ("index.html", f"<!-- {T} -->".encode()),
    "attribute": ("index.html", f'<img alt="{T}">'.encode()),
    "percent": ("index.html", b'<a href="x?%42k7mw3xq9%7A">x</a>'),
    "base64": ("index.html", base64.b64encode(b"ab" + T.encode() + b"cd")),
    "hexadecimal": ("index.html", T.encode().hex().encode()),
    "UTF-16": ("index.html", T.encode("utf-16-le")),
    "json escapes": ("report.json", json.dumps({"a": [T]}).replace("B", "\\u0042").encode()),
    "csv": ("costs.csv", f'1,"=""{T}"""\r\n'.encode()),
    "picture": ("photos/a.jpg", _jpeg(comment=T.encode())),
    "picture data": ("photos/a.jpg", _jpeg(exif=_exif(T))),
    "after the picture": ("photos/a.jpg", _jpeg() + T.encode()),
    "file name": (f"photos/{T}.jpg", _jpeg()),
    "picture inside": ("a.html", b"data:image/jpeg;base64," + base64.b64encode(_jpeg(exif=_exif(T)))),
    **{f"PDF, {where}": ("a.pdf", b"") for where in ("words", "title", "attachment", "picture")},
}


def _planted_pdf(form: str, value: str = T) -> bytes:
    """Give a PDF that tells the value in one place, folded away as PDFs do."""
    if not forms().pdf:
        pytest.skip("no PDF can be made here")
    where = form.removeprefix("PDF, ")
    body = f"<p>{value}</p>" if where == "words" else '<img src="photos/a.jpg" alt="x">'
    title = value if where == "title" else "x"
    page = f"<html lang=en><head><title>{title}</title></head><body><main>{body}</main></body></html>"
    files = {
        "index.html": page.encode(),
        "report.json": json.dumps(value if where == "attachment" else "x").encode(),
        "photos/a.jpg": _jpeg(comment=value.encode()) if where == "picture" else _jpeg(),
    }
    made = pdf.write(files, pdf.Head("x", "x", datetime.date(2026, 5, 14)), "")
    assert value.encode() not in made or where == "picture"
    return made


@pytest.mark.parametrize("form", PLANTED)
def test_planted_leak_is_found(form: str) -> None:
    """The search sees a value in every form in which it can hide."""
    name, data = PLANTED[form]
    if name.endswith(".pdf"):
        data = _planted_pdf(form)
    assert sweep.found({name: data}, [T, "Zz9other99"]) == {T: {name}}


@pytest.mark.parametrize("where", ["words", "attachment"])
def test_planted_sum_is_found_in_a_pdf(where: str) -> None:
    """A sum among the words or data of a PDF is found, though places on its sheets are passed over."""
    made = _planted_pdf(f"PDF, {where}", "36,512.75")
    assert sweep.found({"a.pdf": made}, ["36512.75", "36513.75"]) == {"36512.75": {"a.pdf"}}


@pytest.mark.parametrize("text", ["$36,512.75", "36512.75", "36 512,75", "36.512,75", "36,513", "36 512"])
def test_planted_sum_is_found(text: str) -> None:
    """A sum is found with and without marks, and rounded; a longer number is none."""
    assert sweep.found({"a.html": text.encode()}, ["36512.75"])
    assert not sweep.found({"a.html": b"136512.75 and 3651275 and 36512.758"}, ["36512.75"])


# ---- a private value in free text


def _spots(token: str, number: int, photo: str) -> str:
    """Give a note that tells a value in every place that takes free text."""
    split = f"{token[:3]}**{token[3:6]}**{token[6:]}"
    spaced = f"{token[:4]} {token[4:]}"
    front = {
        "system": f"system {token}",
        "inspected items": [f"pump {token}"],
        "items": {f"sounder {token}": "operated"},
        "not inspected": {
            f"tank {token}": {key: f"{key} {token}" for key in ("why", "could hide", "would take", "by")}
        },
    }
    keys = ("where", "risk", "action", "by when", "look again", "standard", "item")
    finding = {
        "severity": "stop",
        "hazards": ["fire"],
        "forbids": [f"running it {token}"],
        "evidence": [f"reading-{number}-{token.lower()}"],
        "basis": "published standard",
        "confidence": "seen",
        "photos": [{"photo": photo, "shows": f"caption {token}, {spaced}, {token.lower()}", "public": "yes"}],
        **{key: f"{key} {token}" for key in keys},
    }
    done = {"by": "yard", "on": "2026-03-02", "how": f"how {token}"}
    reading = {
        "kind": "compression",
        "unit": "psi",
        "cylinders": {1: 150, 2: 152, 3: 149, 4: f"not taken {token}"},
        "conditions": f"conditions {token}",
        "limit": {"minimum": 120, "source": f"manual {token}"},
    }
    parts = [
        f"---\n{yaml.safe_dump(front, sort_keys=False)}---\n\n# Words {number} {token}\n",
        f"Told of {token} and {token.upper()} and {token.lower()}, {split}, {spaced}.",
        f"\n| what | who |\n|---|---|\n| pump | {token} |\n",
        f"\n> {token}\n\n- `{token}`\n\n[a link](https://example.com/{token})\n",
        f"## Finding {number} {token}\n```finding\n{yaml.safe_dump(finding, sort_keys=False)}```\n{token}.\n",
        f"## Done {number} {token}\n```finding\n"
        + yaml.safe_dump(finding | {"severity": "settle", "forbids": [], "reported done": done})
        + "```\n",
        f"## Reading {number} {token}\n```reading\n{yaml.safe_dump(reading, sort_keys=False)}```\n{token}.\n",
    ]
    return "\n".join(parts)


def _looked_for(filled: Filled, name: str) -> dict[str, Token]:
    """Give the words that an edition hides and takes out of text, one of each field."""
    hidden = _hidden(filled, name).values()
    words = [
        t
        for t in hidden
        if t.shares & LOOKED_FOR - _may_show(name) and t.value.isalnum() and "photo" not in t.path
    ]
    return {t.path: t for t in words if not t.path.endswith((": file", ": serial"))}


def _told(filled: Filled, name: str, folder: Path) -> tuple[Path, tuple[Token, ...]]:
    """Copy the survey with one more note for each private value, which tells it everywhere."""
    shutil.copytree(filled.folder, folder)
    tokens = tuple(_looked_for(filled, name).values())
    photo = min(p.name for p in folder.glob("*.jpg"))
    for number, token in enumerate(tokens):
        (folder / f"told-{number}.md").write_text(_spots(token.value, number, photo), encoding="utf-8")
    return folder, tokens


def _limited(folder: Path, made: Edition) -> tuple[Mapping[str, bytes], tuple[Problem, ...]]:
    """Give the files of an edition and what was told, whether it may be published or not."""
    problems = Problems()
    survey = notes.read(folder, problems)
    assert survey is not None
    shown = edition.view(report.build(survey, problems), made, problems)
    wish = publish.Wish(made, theme.find(), charts=False)
    task = making.Task(folder, folder, wish, False, "", None, folder, 1)
    pictures = making._Pictures(task, None, record.Salted(""))
    return making.files(shown, wish, problems, pictures), tuple(problems)


@pytest.mark.parametrize("name", EDITIONS)
def test_private_value_in_text_is_taken_out(filled: Filled, tmp_path: Path, name: str) -> None:
    """A private value told in titles, prose, tables, captions, ids and gaps is in no file, and is told of."""
    folder, tokens = _told(filled, name, tmp_path / "boat")
    assert len(tokens) >= {"buyer": 2, "lender": 5, "insurer": 5}.get(name, 8)
    files, problems = _limited(folder, publish.edition_named(name))
    found = sweep.found(files, [t.value for t in tokens])
    assert not {t.path: found[t.value] for t in tokens if t.value in found}
    for number, token in enumerate(tokens):
        masked = token.shares & {"hull number", "serial"}
        told = [p for p in problems if token.value in p.found]
        here = [p for p in told if p.place.file.endswith(f"told-{number}.md") and p.place.line]
        assert masked or len(here) >= 3, token.path


def test_seller_is_not_published_until_reworded(filled: Filled, tmp_path: Path) -> None:
    """In the public edition each such text is an error at its file and line, and nothing is written."""
    folder, _ = _told(filled, "seller", tmp_path / "boat")
    wish = publish.Wish(publish.edition_named("seller"), theme.find(), charts=False)
    with pytest.raises(NotesError) as caught:
        publish.publish(folder, tmp_path / "out", wish)
    assert not list(_files_of(tmp_path / "out"))
    told = [
        str(p) for p in caught.value.problems if "stands in text that the seller edition shows" in p.found
    ]
    assert any("told-0.md:" in line and "put it into a ```private fence" in line for line in told)


def _files_of(folder: Path) -> Iterator[Path]:
    return (p for p in folder.rglob("*") if p.is_file())


def test_links_within_the_page_still_lead_somewhere(filled: Filled, tmp_path: Path) -> None:
    """An id that told a private value is replaced in the heading's anchor and in every link to it."""
    folder, tokens = _told(filled, "buyer", tmp_path / "boat")
    files, _ = _limited(folder, publish.edition_named("buyer"))
    anchors, targets = sweep.anchors(files["index.html"])
    assert {f"finding-{n}" for n in range(1, 60)} & anchors
    assert targets <= anchors
    data = json.loads(files["report.json"])
    ids = {f["id"] for f in data["findings"]} | {r["id"] for r in data["readings"]}
    assert {i for limit in data["use_limits"] for i in limit["because"]} <= ids
    assert {i for f in data["findings"] for i in f["evidence"]} <= ids
    assert tokens
