"""The page that checks packets: one file, shut to every network, and never put where it proves nothing."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from pathlib import Path

import pytest
from bs4 import BeautifulSoup

from reportgen import checkpage, wording
from reportgen.errors import PacketError, UsageError
from tests import keys
from tests.project import run

LINE = 'ruth@example.com namespaces="reportgen" ssh-ed25519 AAAAC3NzaC1lZDI1NTE5AAAAIIqwGTiMy1T+G38wtPFG'


def test_the_policy_allows_this_script_and_this_style_alone() -> None:
    """By their hashes, as a browser computes them; nothing may be loaded, sent or framed in."""
    page = BeautifulSoup(checkpage.page(), "html5lib")
    meta = page.find("meta", attrs={"http-equiv": "Content-Security-Policy"})
    assert meta is not None
    policy = dict(part.strip().split(" ", 1) for part in str(meta["content"]).split(";"))
    assert policy.pop("default-src") == policy.pop("base-uri") == policy.pop("form-action") == "'none'"
    for tag, name in (("script", "script-src"), ("style", "style-src")):
        (element,) = page.find_all(tag)
        assert element.attrs == {}
        digest = hashlib.sha256(element.string.encode()).digest()
        assert policy.pop(name) == f"'sha256-{base64.b64encode(digest).decode()}'"
    assert policy == {}
    assert not page.find_all(["link", "img", "iframe", "form", "object"])
    assert not page.find_all(style=True)


@pytest.mark.parametrize(
    "word",
    ["innerHTML", "outerHTML", "insertAdjacent", "document.write", "eval(", "fetch(", "XMLHttp", "import("],
)
def test_the_script_has_no_way_in_or_out(word: str) -> None:
    """A stranger's words are put in as text, and nothing is asked for; the policy forbids it as well."""
    assert word not in checkpage.page()


def test_the_page_says_when_not_to_rely_on_it_and_what_it_does_not_show() -> None:
    """Before anything else, and without its script."""
    words = " ".join(BeautifulSoup(checkpage.page(), "html5lib").get_text(" ").split())
    assert "If it came together with the report, do not rely on it" in words
    assert "Never: that the report is right, that it is the newest" in words
    assert "nothing is sent anywhere" in words


@pytest.mark.parametrize("language", [spoken for spoken in wording.LANGUAGES if spoken != "en"])
def test_the_page_speaks_the_readers_language(language: str) -> None:
    """Each text of the page and of its script is in that language, and the script finds it by the English."""
    page = BeautifulSoup(checkpage.page(language=language), "html5lib")
    assert page.html is not None
    assert page.html["lang"] == language
    script = page.find_all("script")[0].string
    words, _ = json.JSONDecoder().raw_decode(script, script.index("const WORDS = ") + 14)
    said = checkpage.texts(script)
    assert len(said) > 60
    # a version is one in French too
    assert {text for text in said if words[text] == text} <= {"version {version}"}
    assert words["edition|lender"] != "lender"
    english = BeautifulSoup(checkpage.page(), "html5lib").find_all(["h1", "h2", "p", "li", "title"])
    assert not {e.get_text() for e in english} & {e.get_text() for e in page.find_all(True)} - {""}


def test_english_needs_no_table_and_no_word_ends_the_script() -> None:
    """Texts are put together of their pieces; what could close the script is written another way."""
    assert "const WORDS = {};" in checkpage.page()
    assert checkpage.texts('say("a {b}", { b }) + say(\n  "c " +\n  "d \\"e\\"",\n) + say(f)') == (
        "a {b}",
        'c d "e"',
    )
    for spoken in wording.LANGUAGES:
        assert checkpage.page(language=spoken).count("</script") == 1


def test_the_surveyors_keys_are_filled_in_as_text(tmp_path: Path) -> None:
    """Remarks left out, signs of HTML kept from being any."""
    signers = tmp_path / "signers"
    signers.write_text(f"# mine\n{LINE} </textarea><script>alert(1)</script>\n")
    page = BeautifulSoup(checkpage.page(signers), "html5lib")
    (box,) = page.find_all("textarea")
    assert box.get_text() == f"{LINE} </textarea><script>alert(1)</script>"
    assert len(page.find_all("script")) == 1


def test_an_older_page_is_replaced_and_another_file_is_not(tmp_path: Path) -> None:
    """Nothing but the page is left in the folder."""
    file = tmp_path / "verify.html"
    checkpage.write(file)
    first = file.read_bytes()
    checkpage.write(file)
    assert file.read_bytes() == first
    assert file.stat().st_mode & 0o777 == 0o644
    other = tmp_path / "index.html"
    other.write_text("my own page")
    for place in (other, tmp_path):
        with pytest.raises(UsageError, match="is no such page; name another file"):
            checkpage.write(place)
    assert other.read_text() == "my own page"
    assert {p.name for p in tmp_path.iterdir()} == {"verify.html", "index.html"}
    with pytest.raises(PacketError, match="can't be written"):
        checkpage.write(tmp_path / "none" / "verify.html")


def test_it_is_never_put_into_a_packet(tmp_path: Path) -> None:
    """Nor into a folder of one, nor by way of a link."""
    folder = keys.packet(tmp_path / "packet")
    (tmp_path / "link").symlink_to(folder / "photos")
    for place in (folder, folder / "photos", tmp_path / "link"):
        with pytest.raises(UsageError, match="would lie in the packet packet"):
            checkpage.write(place / "verify.html")
    assert not list(folder.rglob("verify.html"))


def test_the_command_writes_it(tmp_path: Path) -> None:
    """With a warning never to send it along; a packet and a page at once are wrong use."""
    file, signers = tmp_path / "verify.html", tmp_path / "signers"
    signers.write_text(f"{LINE}\n")
    done = run("verify", "--page", str(file), "--signer", str(signers))
    assert (done.returncode, done.stderr) == (0, "")
    assert "Never send it along with a report" in done.stdout
    assert re.search(r"<textarea[^>]*>ruth@example.com", file.read_text())
    assert "puts yours in" in run("verify", "--page", str(file), "--language", "fr").stdout
    assert '<html lang="fr">' in file.read_text()
    done = run("verify", str(tmp_path), "--page", str(file))
    assert done.returncode == 2
    assert "name the packet to check, or the --page to write" in done.stderr
    assert run("verify", "--page", str(file), "--signer", str(tmp_path / "none")).returncode == 2
