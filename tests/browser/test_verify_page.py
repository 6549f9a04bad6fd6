"""The page that checks packets: it finds what `verify` finds, in a browser that reaches no network."""

from __future__ import annotations

import datetime
import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from reportgen import checkpage, proof, signing, sums
from tests import keys
from tests.browser import chromium, tools
from tests.browser.test_html import faults as html_faults
from tests.browser.test_look import look
from tests.test_proof import CHANGES, LISTS
from tests.test_signing import MALFORMED, blob, ours

pytestmark = [pytest.mark.browser, keys.needs_keygen]

GOOD, BAD, OPEN = "As published:", "Not as published.", "The files agree with their list."
# what a browser does not hand over
UNSEEN = {"a link that leads nowhere", "no plain file", "a folder of nothing"}


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Write the page as its command does, without a key."""
    path = tmp_path_factory.mktemp("own-site") / "verify.html"
    checkpage.write(path)
    return path


@pytest.fixture
def seen(browser: Browser, file: Path) -> Iterator[chromium.Visit]:
    """Open the page; afterwards nothing was asked for and nothing complained."""
    with chromium.visit(browser, file) as visit:
        yield visit
        assert visit.requests == [file.resolve().as_uri()]
        assert visit.console == []


@pytest.fixture(scope="module")
def key(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return keys.make(tmp_path_factory.mktemp("keys") / "ruth")


@pytest.fixture
def folder(tmp_path: Path, key: Path) -> Path:
    """Give a signed packet."""
    made = keys.packet(tmp_path / "packet", {"büg né.txt": b"x"})
    signing.sign([made / sums.SUMS], key)
    return made


def line(key: Path, words: str = f'{keys.EMAIL} namespaces="reportgen"') -> str:
    return f"{words} {Path(f'{key}.pub').read_text().strip()}".strip()


def result(page: Page, folder: Path | None = None, known: str | None = None) -> list[str]:
    """Hand the page a folder, then what is known; give what it shows, line by line."""
    if folder is not None:
        page.set_input_files("#folder", str(folder))
    if known is not None:
        page.fill("#known", known)
    page.locator("#result[aria-busy=false]").wait_for()
    shown = page.locator("#result").inner_text() + "\n" + page.locator("#known-faults").inner_text()
    return [text.strip() for text in shown.splitlines() if text.strip()]


# ---- what proves, and what does not


def test_an_intact_signed_packet(seen: chromium.Visit, folder: Path, key: Path) -> None:
    """By the surveyor's line, the plain key, the key's fingerprint; with version and age."""
    (checked,) = proof.check(folder, None, datetime.date.today())  # noqa: DTZ011 - the page counts as here
    for known in (line(key), line(key, ""), line(key, "# a remark\n*@example.com"), checked.signature.key):
        shown = result(seen.page, folder, known)
        assert shown[0].startswith(GOOD), shown
    assert "Quiet Example: report R-7, version 2, final, buyer edition." in shown
    assert checked.told is not None
    assert f"Inspected on 2026-03-03, {checked.told.age_days} days ago." in shown
    assert f"4 files listed. Packet fingerprint {checked.fingerprint}." in shown
    assert not any("agree with their list" in text for text in shown)


def test_the_packet_fingerprint_proves_without_a_signature(seen: chromium.Visit, folder: Path) -> None:
    """As publish tells it, or the whole sum; another one is a fault; the 16 of the pages are none."""
    (folder / sums.SIGNATURE).unlink()
    told = proof.fingerprint_of(folder)
    assert result(seen.page, folder, told)[0].startswith(GOOD)
    assert result(seen.page, known=told.upper())[0].startswith(GOOD)
    other = told.translate(str.maketrans("0123456789abcdef", "123456789abcdef0"))
    assert result(seen.page, known=other)[:2] == [BAD, "The packet fingerprint is another than you were told"]
    shown = result(seen.page, known="0123 4567 89ab cdef")
    assert shown[0] == "Not checked: first put right what you were told."
    assert "proves nothing" in shown[1]
    assert "32 characters, these are 28" in result(seen.page, known=told[:-5])[1]
    assert result(seen.page, known="")[0].startswith(OPEN)


@pytest.mark.parametrize("kind", ["ed25519", "rsa", "ecdsa", "ecdsa-384", "ecdsa-521"])
def test_each_kind_of_key(seen: chromium.Visit, tmp_path: Path, kind: str) -> None:
    """The browser accepts what ssh-keygen made, and refuses it once a bit of the list has changed."""
    folder, key = keys.packet(tmp_path / "packet"), keys.make(tmp_path / "key", kind)
    signing.sign([folder / sums.SUMS], key)
    assert result(seen.page, folder, line(key))[0].startswith(GOOD)
    other = keys.packet(tmp_path / "other", {"more.txt": b""})
    shutil.copy(folder / sums.SIGNATURE, other)
    shown = result(seen.page, other)
    assert shown[:2] == [BAD, "The signature is not of this list: the list was changed, or the signature"]


def test_without_a_key_it_promises_nothing(seen: chromium.Visit, folder: Path) -> None:
    """Signed by somebody unknown, or not signed: open, with the way to more."""
    shown = result(seen.page, folder)
    assert shown[0].startswith(OPEN)
    assert any("whose that is, is not known" in text for text in shown)
    assert any("whoever changes a file can change the list too" in text for text in shown)
    (folder / sums.SIGNATURE).unlink()
    shown = result(seen.page, folder)
    assert shown[0].startswith(OPEN)
    assert "Not signed." in shown


def test_a_wrong_or_missing_signer(seen: chromium.Visit, folder: Path, key: Path, tmp_path: Path) -> None:
    """Another key, another person, another purpose, run out, an authority, and no signature at all."""
    other = keys.make(tmp_path / "other")
    print_ = signing.read((folder / sums.SIGNATURE).read_bytes()).fingerprint
    cases = {
        line(other): f"Signed with another key than you named, {print_}",
        line(key, "zoe@example.com"): f"Signed by zoe@example.com, but the report names {keys.EMAIL}",
        line(key, f'{keys.EMAIL} namespaces="git"'): f"{print_}, or not valid for this",
        line(key, f'{keys.EMAIL} valid-before="20200101"'): "or not valid for this",
        line(key, f'{keys.EMAIL} valid-after="20990101120000Z"'): "or not valid for this",
        line(key, f"{keys.EMAIL} cert-authority"): "or not valid for this",
        "SHA256:" + "A" * 43: "another key than you named",
    }
    for known, words in cases.items():
        shown = result(seen.page, folder, known)
        assert shown[0] == BAD, known
        assert words in shown[1]
        # ssh-keygen refuses the same
        if not known.startswith("SHA256"):
            (tmp_path / "signers").write_text(known + "\n")
            assert not keys.stock(folder, tmp_path / "signers")
    known = line(key, f'{keys.EMAIL} namespaces="git,reportgen",valid-before="20990101"')
    assert result(seen.page, folder, known)[0].startswith(GOOD)
    (folder / sums.SIGNATURE).unlink()
    shown = result(seen.page, folder)
    assert shown[:2] == [BAD, "It is not signed, though you named a key"]


def test_words_that_are_no_key_stop_the_check(seen: chromium.Visit, folder: Path) -> None:
    """Junk and private keys are told; nothing looks checked."""
    begin = "-----BEGIN OPENSSH " + "PRIVATE KEY-----"
    for known, words in (("hello", "Neither a key nor"), (begin, "Never give it to anyone")):
        shown = result(seen.page, folder, known)
        assert shown[0] == "Not checked: first put right what you were told."
        assert words in shown[1]


# ---- what is found


@pytest.mark.parametrize("change", [name for name in CHANGES if name not in UNSEEN])
def test_each_change_is_named(seen: chromium.Visit, folder: Path, key: Path, change: str) -> None:
    """A good signature does not cover what was changed, taken away or put in."""
    CHANGES[change][0](folder)
    shown = result(seen.page, folder, line(key))
    expected = [f for f in CHANGES[change][1] if " is a link" not in f and not f.endswith("/")]
    if change.startswith("a link"):
        # a browser may hand over what the link leads to, which has the bytes that were signed
        assert shown[0].startswith(GOOD) or shown[1:2] == expected
        return
    assert shown[0] == BAD
    assert sorted(shown[1 : 1 + len(expected)]) == sorted(expected)
    assert len(re.findall(r"changed: |missing: |extra: ", "\n".join(shown))) == len(expected)


def test_it_checks_in_another_language(browser: Browser, folder: Path, tmp_path: Path, key: Path) -> None:
    """The same verdicts in German, with names and numbers put into the sentences."""
    file = tmp_path / "verify.html"
    checkpage.write(file, language="de")
    with chromium.visit(browser, file) as visit:
        assert "Wie veröffentlicht" in result(visit.page, folder, line(key))[0]
        (folder / "index.html").write_text("changed")
        shown = result(visit.page, folder, line(key))
        assert "geändert: index.html" in shown
        assert any(text.startswith("Signiert von ") for text in shown)
        assert "Weder Schlüssel noch Fingerabdruck: hallo" in result(visit.page, known="hallo")
        assert visit.console == []


def test_a_strangers_words_stay_words(seen: chromium.Visit, folder: Path) -> None:
    """Neither a file's name nor the report's own text becomes a part of the page."""
    name = "<img src=x onerror=alert(1)>\u202e.jpg"
    (folder / name).write_bytes(b"")
    keys.packet(folder, {"büg né.txt": b"x"}, number="<b>bold</b>", replaced_by={"version": "<i>3</i>"})
    (folder / sums.SIGNATURE).unlink()
    shown = "\n".join(result(seen.page, folder))
    assert "extra: <img src=x onerror=alert(1)>\\u{202e}.jpg" in shown
    assert "report <b>bold</b>" in shown
    assert "Replaced by version <i>3</i>." in shown
    assert seen.page.locator("#result img, #result b, #result i").count() == 0


def test_a_site_and_a_report_that_was_taken_away(seen: chromium.Visit, tmp_path: Path, key: Path) -> None:
    """Each report is judged by itself; the index says which there should be."""
    links = b'<a href="one/index.html">1</a> <a href="two/index.html">2</a>'
    site = keys.listed(tmp_path / "site", {"index.html": links})
    for name in ("one", "two"):
        keys.packet(site / name)
    signing.sign([site / sums.SUMS, site / "one" / sums.SUMS, site / "two" / sums.SUMS], key)
    shown = result(seen.page, site, line(key))
    assert [text.startswith(GOOD) for text in shown].count(True) == 3
    (site / "two" / "photos/a.jpg").write_bytes(b"x")
    shown = result(seen.page, site)
    assert shown[shown.index("two") :][1:3] == [BAD, "changed: photos/a.jpg"]
    (site / "two").rename(site / "three")
    assert {"missing: two/", "extra: three/"} <= set(result(seen.page, site))


@pytest.mark.parametrize("files", [{"a.txt": b""}, {"packet/SHA256SUMS": b""}])
def test_a_folder_without_a_list(seen: chromium.Visit, tmp_path: Path, files: dict[str, bytes]) -> None:
    """Also the folder above the packet."""
    for name, data in files.items():
        (tmp_path / "top" / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / "top" / name).write_bytes(data)
    assert result(seen.page, tmp_path / "top") == [
        "There is no SHA256SUMS in that folder. Choose the folder of the report itself."
    ]


def drop(page: Page, folder: Path) -> None:
    """Drop a folder onto the page as a hand would."""
    box = page.locator("#drop").bounding_box()
    assert box is not None
    session = page.context.new_cdp_session(page)
    for kind in ("dragEnter", "dragOver", "drop"):
        data = {"items": [], "files": [str(folder)], "dragOperationsMask": 1}
        where = {"x": box["x"] + box["width"] - 20, "y": box["y"] + 20}
        session.send("Input.dispatchDragEvent", {"type": kind, **where, "data": data})


def test_a_folder_can_be_dropped_on_a_site(browser: Browser, file: Path, folder: Path, key: Path) -> None:
    """With folders below it and more files than a browser lists at once."""
    files = {f"photos/{n}.jpg": b"%d" % n for n in range(150)}
    files |= {"index.html": b"", "report.json": keys.report_json()}
    many = keys.listed(folder.parent / "many", files)
    signing.sign([many / sums.SUMS], key)
    context = browser.new_context()
    asked: list[str] = []
    context.route("**", lambda route: (asked.append(route.request.url), route.fulfill(path=file)))
    page = context.new_page()
    page.goto("https://surveyor.example/verify.html")
    page.fill("#known", line(key))
    drop(page, many)
    shown = result(page)
    assert shown[0].startswith(GOOD), shown
    assert any("152 files listed" in text for text in shown)
    (many / "photos/149.jpg").unlink()
    drop(page, many)
    page.get_by_text("missing: photos/149.jpg").wait_for()
    assert asked == ["https://surveyor.example/verify.html"]
    context.close()


def test_where_dropping_does_not_work_it_says_so(seen: chromium.Visit, folder: Path) -> None:
    """Chromium lets no page from a disk read a dropped folder; the button does."""
    result(seen.page, folder)
    drop(seen.page, folder)
    seen.page.get_by_text("Choose it with the button instead.").wait_for()
    assert len(result(seen.page)) == 1


def test_a_key_from_a_file(seen: chromium.Visit, folder: Path, key: Path, tmp_path: Path) -> None:
    """As ssh-keygen wrote it, or with the line ends of another system."""
    signers = tmp_path / "signers"
    signers.write_bytes(b"\xef\xbb\xbf" + line(key).encode() + b"\r\n")
    seen.page.set_input_files("#known-file", str(signers))
    assert result(seen.page, folder)[0].startswith(GOOD)


# ---- as `verify` reads, so does the page


def test_lists_are_read_as_verify_reads_them(seen: chromium.Visit) -> None:
    """The same are refused, the same taken."""
    texts = {name: text for name, (text, _) in LISTS.items()}
    texts |= {"plain": f"{'0' * 64}  a/é b.jpg\n", "star": f"{'0' * 64} *a\n"}
    for name, text in texts.items():
        read = "t => { const r = readList(bytesOf(t)); return [[...r.listed], r.faults.length] }"
        listed, count = seen.page.evaluate(read, text)
        mine, wrong = proof.parse(text.encode())
        assert (dict(listed), count) == (mine, len(wrong)), name


def test_signatures_are_refused_as_verify_refuses_them(seen: chromium.Visit) -> None:
    """Each malformed one, and one for another purpose; a well-formed one is read."""
    read = "text => { try { readSignature(text); return 'read' } catch (e) { return 'refused' } }"
    assert seen.page.evaluate(read, ours(blob()).decode()) == "read"
    bad = {name: data for name, (data, _) in MALFORMED.items() if name != "no kind of key"}
    for name, data in {**bad, "purpose": ours(blob(purpose=b"git"))}.items():
        assert seen.page.evaluate(read, data.decode("latin-1")) == "refused", name


@pytest.mark.parametrize(
    "kind", ["constructor", "valueOf", "__proto__", "ssh-rsa", "sk-ssh-ed25519@openssh.com"]
)
def test_no_kind_of_key_is_taken_on_trust(seen: chromium.Visit, folder: Path, kind: str) -> None:
    """Neither a word that every object of the language knows, nor one that the page can't check."""
    (folder / sums.SIGNATURE).write_bytes(ours(blob(kind=kind.encode())))
    shown = result(seen.page, folder, "SHA256:" + "A" * 43)
    assert not any(text.startswith(GOOD) or "Signed with the key" in text for text in shown), shown
    shown = result(seen.page, known="")
    assert not any("Signed with the key" in text for text in shown), shown


# RFC 8032, section 7.1, test 2: key, message, signature
RFC_8032 = (
    "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
    "72",
    (
        "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da"
        "085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00"
    ),
)


def test_ed25519_by_its_standard(seen: chromium.Visit) -> None:
    """The vector of the standard holds, and no longer with another message."""
    check = """([key, message, signature, string]) => {
        const bytes = (t) => Uint8Array.from(t.match(/../g), (x) => parseInt(x, 16));
        const inner = sshReader(bytes(string + key));
        return KINDS["ssh-ed25519"](inner, "ssh-ed25519", bytes(signature), bytes(message)) }"""
    key, message, signature = RFC_8032
    assert seen.page.evaluate(check, [key, message, signature, "00000020"]) is True
    assert seen.page.evaluate(check, [key, "73", signature, "00000020"]) is False


# ---- the page itself


def test_the_page_is_valid_and_without_barriers(browser: Browser, file: Path) -> None:
    """In light and dark, on a phone and a desktop, by the same checks as a report."""
    assert html_faults(file.parent) == []
    for view in chromium.VIEWS:
        found = look(browser, file, view, file.parent)
        assert (found.barriers, found.undecided, found.outside, found.console) == ([], [], [], []), view


def test_results_are_without_barriers(seen: chromium.Visit, folder: Path, key: Path) -> None:
    """Good, bad and open ones alike; and no line is wider than a phone."""
    seen.page.set_viewport_size({"width": 320, "height": 700})
    for known in (line(key), "", "SHA256:" + "A" * 43, "junk"):
        result(seen.page, folder, known)
        assert seen.page.evaluate("document.documentElement.scrollWidth") <= 320
    seen.page.evaluate(tools.AXE.read_text(encoding="utf-8"))
    for known in (line(key), "", "SHA256:" + "A" * 43, "junk"):
        result(seen.page, folder, known)
        assert seen.page.evaluate("axe.run(document).then(r => r.violations.map(v => v.id))") == []


def test_without_a_secure_context_it_says_so(browser: Browser, file: Path, tmp_path: Path) -> None:
    """Nothing looks as if it could be checked where the browser gives no cryptography."""
    context = browser.new_context()
    context.add_init_script("Object.defineProperty(window, 'crypto', {value: undefined})")
    page = context.new_page()
    page.goto(file.as_uri())
    assert page.locator("#fails").is_visible()
    assert not page.locator("#works").is_visible()
    context.close()


def test_a_page_with_the_surveyors_key(browser: Browser, tmp_path: Path, folder: Path, key: Path) -> None:
    """The reader then only hands over the folder."""
    signers = keys.signers(tmp_path / "signers", (f'{keys.EMAIL} namespaces="reportgen"', key))
    checkpage.write(tmp_path / "own.html", signers)
    with chromium.visit(browser, tmp_path / "own.html") as visit:
        assert result(visit.page, folder)[0].startswith(GOOD)
        assert visit.console == []
