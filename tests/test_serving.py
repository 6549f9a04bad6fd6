"""Tests for reportgen.serving: this machine alone, who knows the address, and nothing but what was made."""

from __future__ import annotations

import http.client
import socket
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from reportgen import previewpage, publish, serving, theme
from reportgen.errors import Place, Problem, UsageError
from reportgen.previewing import Bench, File, State, Wish
from reportgen.serving import Server

PAGE = b'<!doctype html><html><head><title>t</title></head><body><img src="photos/a.jpg"></body></html>'
HOSTILE = "</script><script>alert(1)</script><img src=x onerror=alert(2)>"
POLICY = previewpage.policy("default-src 'none'; style-src 'sha256-abc'; img-src 'self'")


class Ready(Bench):
    """A bench with a state put there by the test. note: a file with a mistake in line 3."""

    def __init__(self, note: Path) -> None:
        super().__init__(note, lambda: Wish(publish.edition_named("buyer"), theme.find()))
        made = {
            "index.html": PAGE,
            "boat/index.html": PAGE,
            "boat/photos/a.jpg": b"\xff\xd8",
            "boat/report.json": b"{}",
        }
        files = {name: File(lambda data=data: data, POLICY) for name, data in made.items()}  # type: ignore[misc]
        told = Problem(Place(str(note), 3, 1, "risk"), HOSTILE, "write less")
        self._state = State(1, files, (told,))


@pytest.fixture
def note(tmp_path: Path) -> Path:
    """Give a note whose third line is hostile."""
    path = tmp_path / "note.md"
    path.write_text(f"one\ntwo\n{HOSTILE}\nfour\n", encoding="utf-8")
    return path


@pytest.fixture
def server(note: Path) -> Iterator[Server]:
    """Give a running server."""
    made = Server(Ready(note), editor="notepad:{file}?{line}")
    threading.Thread(target=made.serve_forever, args=(0.01,), daemon=True).start()
    yield made
    made.end()


@pytest.mark.parametrize(("level", "opened"), [("error", True), ("warning", False)])
def test_warnings_alone_do_not_cover_the_page(level: str, opened: bool) -> None:
    """On a phone the list takes half the screen: mistakes open it, warnings are counted in one line."""
    told = Problem(Place("note.md", 3, 1, "risk"), "vague", "write how much", level)
    panel = previewpage.panel(State(1, {}, (told,)), previewpage.Look("/t/"), POLICY)
    assert ("open>" in panel.partition("<summary>")[0]) == opened
    assert f"{int(opened)} mistake" in panel
    assert "vague" in panel


def _ask(server: Server, path: str, method: str = "GET", **headers: str) -> tuple[int, dict[str, str], bytes]:
    """Ask for a path exactly as written; headers with _ for -."""
    link = http.client.HTTPConnection("127.0.0.1", server.server_port, timeout=5)
    try:
        sent = {name.replace("_", "-"): value for name, value in headers.items()}
        link.putrequest(method, path, skip_host="Host" in sent, skip_accept_encoding=True)
        for name, value in sent.items():
            link.putheader(name, value)
        link.endheaders()
        answer = link.getresponse()
        return answer.status, {k.lower(): v for k, v in answer.getheaders()}, answer.read()
    finally:
        link.close()


def test_page_comes_with_its_policy_and_is_not_kept(server: Server) -> None:
    """A page has the theme's policy with the preview's script and style by hash, and is never stored."""
    status, headers, body = _ask(server, f"{server.look.top}boat/")
    assert status == 200
    policy = headers["content-security-policy"]
    assert policy == f"{POLICY}; frame-ancestors 'none'"
    assert "default-src 'none'; style-src 'sha256-abc' 'sha256-" in policy
    assert "script-src 'sha256-" in policy
    assert "unsafe" not in policy
    assert headers["cache-control"] == "no-store"
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["cross-origin-resource-policy"] == "same-origin"
    assert headers["referrer-policy"] == "no-referrer"
    # a photo saved anew gets another address
    assert b'src="photos/a.jpg?' in body


def test_it_listens_on_this_machine_alone(server: Server) -> None:
    """The port is bound to the loopback address."""
    assert server.server_address[0] == "127.0.0.1"
    assert server.address.startswith("http://127.0.0.1:")


@pytest.mark.parametrize("host", ["evil.example", "localhost", "127.0.0.1", "127.0.0.1:1", "", "[::1]"])
def test_other_host_is_refused(server: Server, host: str) -> None:
    """A name that was made to lead to this machine gets nothing, though it knows the token."""
    status, _, body = _ask(server, server.look.top, Host=host)
    assert (status, body) == (403, b"Forbidden\n")


def test_second_host_and_none_are_refused(server: Server) -> None:
    """A request with two hosts, or without any, is no browser's."""
    for hosts in ((), (server.host, "evil.example")):
        with socket.create_connection(("127.0.0.1", server.server_port), timeout=5) as link:
            lines = "".join(f"Host: {host}\r\n" for host in hosts)
            link.sendall(f"GET {server.look.top} HTTP/1.0\r\n{lines}\r\n".encode())
            assert link.recv(100).startswith(b"HTTP/1.0 403")


@pytest.mark.parametrize(
    "header",
    [{"Origin": "http://evil.example"}, {"Origin": "null"}, {"Sec_Fetch_Site": "cross-site"}],
    ids=str,
)
def test_other_site_is_refused(server: Server, header: dict[str, str]) -> None:
    """A page of another site gets nothing."""
    assert _ask(server, server.look.top, **header)[0] == 403


def test_token_is_needed_and_long(server: Server) -> None:
    """Without the secret word nothing is told apart: not found, whatever is asked for."""
    assert len(server.token) >= 20
    for path in ("/", "/boat/", f"/{server.token[:-1]}/", f"/{server.token}x/", "/-/events", "//"):
        assert _ask(server, path)[0] == 404
    assert _ask(server, f"/{server.token}")[1]["location"] == server.look.top


@pytest.mark.parametrize(
    "path",
    [
        "../note.md",
        "..%2fnote.md",
        "%2e%2e/%2e%2e/etc/passwd",
        "..\\note.md",
        "%252e%252e%252fnote.md",
        "boat/../../note.md",
        "/etc/passwd",
        "%2fetc%2fpasswd",
        "boat/photos/",
        "boat/photos",
        "boat/index.html%00.jpg",
        "-/line/0000/1",
        "-/line/../../note.md/3",
        "-/",
        "note.md",
        "%ff%fe",
    ],
)
def test_no_path_leaves_what_was_made(server: Server, path: str) -> None:
    """No spelling of a path shows a file of the disk, and no folder is listed."""
    status, _, body = _ask(server, server.look.top + path)
    assert status in (200, 404)
    assert b"four" not in body
    assert b"root:" not in body
    if status == 200:
        assert b"Nothing is wrong in that file" in body


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "HEAD", "OPTIONS", "PATCH", "TRACE", "QUIRK"])
def test_only_get_is_answered(server: Server, method: str) -> None:
    """Nothing can be sent to the preview."""
    status, headers, _ = _ask(server, server.look.top, method)
    assert (status, headers["allow"]) == (405, "GET")


def test_files_come_as_what_they_are(server: Server) -> None:
    """A photo and a file of data have their own type; a folder leads to its page."""
    assert _ask(server, f"{server.look.top}boat/photos/a.jpg?x")[1]["content-type"] == "image/jpeg"
    assert _ask(server, f"{server.look.top}boat/report.json")[1]["content-type"] == "application/json"
    assert _ask(server, f"{server.look.top}boat")[1]["location"] == f"{server.look.top}boat/"


def test_words_of_the_notes_are_no_markup(server: Server, note: Path) -> None:
    """Problems and lines stand on the page as words, with links to the line and into the editor."""
    top = server.look.top
    to = f"{top}-/line/{previewpage.file_key(str(note))}/3"
    page = _ask(server, top)[2].decode()
    assert "alert(1)" in page
    assert f'<a href="{to}">{note.parent}/<span>{note.name}:3:1</span></a>' in page
    assert f'href="notepad:{note}?3"' in page
    lines = _ask(server, to)[2].decode()
    assert "four" in lines
    assert f'<code class="copy">{note}:3</code>' in lines
    assert 'class="here"' in lines
    for text in (page, lines):
        assert text.count("<script>") == 1
        assert "<img src=x" not in text


def test_page_is_told_of_a_change(server: Server) -> None:
    """A waiting page gets the number of the state at once, and of the next when it is there."""
    with socket.create_connection(("127.0.0.1", server.server_port), timeout=5) as link:
        link.sendall(f"GET {server.look.top}-/events HTTP/1.1\r\nHost: {server.host}\r\n\r\n".encode())
        told = b""
        while b"data: 1\n\n" not in told:
            told += link.recv(1000)
        assert b"text/event-stream" in told
        server.bench.let_go()
        until = time.monotonic() + 5
        while b"data: 2\n\n" not in told and time.monotonic() < until:
            told += link.recv(1000)
        assert b"data: 2\n\n" in told


def test_port_in_use_is_told(server: Server, note: Path) -> None:
    """A taken port is named, with what to do."""
    with pytest.raises(UsageError, match=rf"port {server.server_port} is taken by another program; name"):
        Server(Ready(note), server.server_port)


@pytest.mark.parametrize(
    "template",
    ["javascript:alert('{file}')", "data:text/html,{file}", "https://x/{file}", "x:{line}", "{file}"],
)
def test_editor_that_a_browser_would_run_is_refused(template: str) -> None:
    """Only an address that hands a file to another program is taken."""
    with pytest.raises(UsageError):
        previewpage.editor(template)
    assert previewpage.editor("file://{file}") == "file://{file}"


def test_server_names_nothing_of_itself(server: Server) -> None:
    """The answer does not tell versions."""
    assert _ask(server, "/")[1]["server"].strip() == "reportgen"
    assert serving.HOST == "127.0.0.1"
