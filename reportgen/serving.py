"""Serves the preview to this machine alone: only what was made, only to who knows the address."""

from __future__ import annotations

import errno
import hmac
import http.server
import os
import secrets
import threading
from collections.abc import Mapping
from http import HTTPStatus
from pathlib import PurePosixPath
from urllib.parse import unquote

from reportgen import previewpage
from reportgen.errors import UsageError
from reportgen.previewing import Bench, File, State
from reportgen.previewpage import Look

HOST = "127.0.0.1"
ALIVE = 10.0  # a word is sent to a waiting page this often, by which a lost one is noticed [s]
_TYPES = {
    ".html": "text/html; charset=utf-8",
    ".jpg": "image/jpeg",
    ".json": "application/json",
    ".csv": "text/csv; charset=utf-8",
    ".xml": "application/xml",
}
_TEXT = "text/plain; charset=utf-8"


class Server(http.server.ThreadingHTTPServer):
    """The preview's server. address: where a browser finds the report; its token keeps others out."""

    daemon_threads = True
    # elsewhere the same setting would let another program take the port over
    allow_reuse_address = os.name == "posix"

    def __init__(self, bench: Bench, port: int = 0, editor: str = "") -> None:
        """Take the port, any free one for 0; raises UsageError when it can't be had."""
        self.bench, self.token, self.ended = bench, secrets.token_urlsafe(18), threading.Event()
        self.look = Look(f"/{self.token}/", editor)
        try:
            super().__init__((HOST, port), _Handler)
        except OverflowError:
            raise UsageError(f"{port} is no port; write one from 1024 to 65535") from None
        except OSError as error:
            taken = error.errno == errno.EADDRINUSE
            why = "is taken by another program" if taken else f"can't be used ({error.strerror})"
            raise UsageError(f"port {port} {why}; name another, or leave --port out") from None
        self.host = f"{HOST}:{self.server_port}"

    @property
    def address(self) -> str:
        """Give the address of the report."""
        return f"http://{self.host}{self.look.top}"

    def end(self) -> None:
        """Stop serving; pages that wait are let go."""
        self.ended.set()
        self.bench.let_go()
        self.shutdown()
        self.server_close()


class _Handler(http.server.BaseHTTPRequestHandler):
    """Answers one request. What may be had is looked up among what was made: no path reaches the disk."""

    server: Server
    timeout = 60.0
    server_version, sys_version = "reportgen", ""

    def do_GET(self) -> None:
        """Answer a request for a page, a file, or word of the next change."""
        if self._stranger():
            return
        if self.path == "/favicon.ico":
            # browsers ask for it at every address
            self._answer(HTTPStatus.NO_CONTENT, b"", _TEXT)
            return
        token, slash, rest = self.path.partition("?")[0][1:].partition("/")
        if not hmac.compare_digest(token.encode(), self.server.token.encode()):
            self.send_error(HTTPStatus.NOT_FOUND)
        elif not slash:
            self._answer(HTTPStatus.PERMANENT_REDIRECT, b"", _TEXT, {"Location": self.server.look.top})
        elif rest == "-/events":
            self._events()
        elif rest.startswith("-/line/"):
            self._lines(rest.split("/")[2:])
        else:
            self._file(unquote(rest))

    def send_error(self, code: int, message: str | None = None, explain: str | None = None) -> None:
        """Refuse a request; whoever may not ask learns nothing but that."""
        # the library calls a method that it finds nothing for not implemented
        code = 405 if code == HTTPStatus.NOT_IMPLEMENTED else code
        self._answer(code, f"{HTTPStatus(code).phrase}\n".encode(), _TEXT, {"Allow": "GET"})

    def log_message(self, format: str, *args: object) -> None:
        """Keep quiet: the terminal tells what was rebuilt."""

    def _stranger(self) -> bool:
        """Refuse a page of another site, also one whose name was made to lead to this machine."""
        own = f"http://{self.server.host}"
        hosts, origin = self.headers.get_all("Host", []), self.headers.get("Origin", own)
        site = self.headers.get("Sec-Fetch-Site", "none")
        if hosts == [self.server.host] and origin == own and site in ("none", "same-origin"):
            return False
        self.send_error(HTTPStatus.FORBIDDEN)
        return True

    def _file(self, name: str) -> None:
        state, look = self.server.bench.state, self.server.look
        if not name or name.endswith("/"):
            name += "index.html"
        file = state.files.get(name)
        folder = name.rpartition("/")[0]
        if file is None and f"{name}/index.html" in state.files:
            where = {"Location": f"{look.top}{name}/"}
            self._answer(HTTPStatus.PERMANENT_REDIRECT, b"", _TEXT, where)
        elif file is None and name == "index.html":
            self._page(previewpage.without_report(state, look), state)
        elif file is None:
            self.send_error(HTTPStatus.NOT_FOUND)
        elif name.endswith(".html"):
            self._page(file.data, state, file, f"{folder}/" if folder else "")
        else:
            kind = _TYPES.get(PurePosixPath(name).suffix, "application/octet-stream")
            self._answer(HTTPStatus.OK, file.data, kind)

    def _lines(self, words: list[str]) -> None:
        if len(words) != 2 or not words[1].isdecimal() or len(words[1]) > 7:
            self.send_error(HTTPStatus.NOT_FOUND)
            return
        state = self.server.bench.state
        self._page(previewpage.lines_page(state, self.server.look, words[0], int(words[1])), state)

    def _page(self, page: bytes, state: State, file: File | None = None, folder: str = "") -> None:
        policy = file.policy if file else previewpage.policy()
        made = previewpage.dressed(page, policy, state, self.server.look, folder)
        more = {"Preview-Look": previewpage.look_of(policy)}
        self._answer(HTTPStatus.OK, made, _TYPES[".html"], more, policy)

    def _answer(
        self,
        code: int,
        body: bytes,
        kind: str,
        more: Mapping[str, str] | None = None,
        policy: str = previewpage.NONE,
    ) -> None:
        self.send_response(code)
        self._headers(kind, policy)
        for name, value in (more or {}).items():
            self.send_header(name, value)
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        if self.command != "HEAD":
            self.wfile.write(body)

    def _headers(self, kind: str, policy: str) -> None:
        self.send_header("Content-Type", kind)
        self.send_header("Content-Security-Policy", f"{policy}; frame-ancestors 'none'")
        self.send_header("Cache-Control", "no-store")
        self.send_header("X-Content-Type-Options", "nosniff")
        self.send_header("Referrer-Policy", "no-referrer")
        self.send_header("Cross-Origin-Resource-Policy", "same-origin")
        self.send_header("Cross-Origin-Opener-Policy", "same-origin")

    def _events(self) -> None:
        """Tell a waiting page the number of each new state, as long as it listens."""
        self.send_response(HTTPStatus.OK)
        self._headers("text/event-stream", previewpage.NONE)
        self.end_headers()
        told = -1
        try:
            while not self.server.ended.is_set():
                version = self.server.bench.state.version
                word = f"data: {version}\n\n" if version != told else ":\n\n"
                self.wfile.write(word.encode())
                told = version
                self.server.bench.wait(told, ALIVE)
        except OSError:
            # the page was left
            return
