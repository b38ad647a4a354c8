"""A bad link: a real forwarder of HTTP that loses whole requests, or replies to what did arrive."""

import http.client
import socket
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from urllib.parse import urlsplit

REQUEST, REPLY = "request", "reply"
# Of a request's method and path: "" to let it through, what to lose of it, or which of the link's
# ``answers`` is given in the server's place.
Rule = Callable[[str, str], str]
# Status, content type, further headers, body.
Answer = tuple[int, str, dict[str, str], str]
PORTAL = "portal"
HTML, JSON = "text/html", "application/json"
ANSWERS: dict[str, Answer] = {
    # A network that wants a sign-in of its own.
    PORTAL: (200, HTML, {}, "<!doctype html><h1>Welcome to our network</h1>"),
    "portal elsewhere": (302, HTML, {"Location": "/healthz/live"}, ""),
    "portal in JSON": (200, JSON, {}, '{"status": "ok", "results": []}'),
    "cut off": (200, JSON, {}, '{"results": [{"id": "0193'),
    "broken": (500, HTML, {}, "<h1>Server error</h1>"),
    "no server": (502, HTML, {}, "<h1>Bad gateway</h1>"),
    "too large": (413, HTML, {}, "<h1>Request entity too large</h1>"),
    "too often": (429, HTML, {"Retry-After": "600"}, ""),
    "gone": (404, HTML, {}, "<h1>Not found</h1>"),
}
_HOP = {"connection", "keep-alive", "transfer-encoding", "content-length"}
# The forwarder puts these in itself.
_OWN = _HOP | {"date", "server"}


@dataclass
class Link:
    """Where the far end is reached, and what is lost on the way; ``arrived`` did reach it."""

    url: str = ""
    lose: Rule = lambda method, path: ""
    arrived: list[tuple[str, str]] = field(default_factory=list)
    lost: list[tuple[str, str, str]] = field(default_factory=list)
    # Of a path and what the server answered: what is handed on of it.
    alter: Callable[[str, bytes], bytes] = lambda path, content: content
    # While it is clear, what is posted stays on its way.
    moving: threading.Event = field(default_factory=threading.Event)
    lock: threading.Lock = field(default_factory=threading.Lock)

    def __post_init__(self) -> None:
        """Let everything move."""
        self.moving.set()

    def posts(self, path: str) -> int:
        """How many POSTs to a path have reached the server."""
        return self.arrived.count(("POST", path))


class _Forwarder(BaseHTTPRequestHandler):
    server: "_Server"

    def forward(self) -> None:
        """Hand a request on and its answer back, unless one of them is lost."""
        link = self.server.link
        body = self.rfile.read(int(self.headers.get("Content-Length") or 0))
        if self.command == "POST":
            link.moving.wait(60)
        with link.lock:
            lost = link.lose(self.command, self.path)
            if lost:
                link.lost.append((lost, self.command, self.path))
            if lost in {"", REPLY}:
                link.arrived.append((self.command, self.path))
        if lost in ANSWERS:
            status, kind, more, said = ANSWERS[lost]
            self._reply(status, [("Content-Type", kind), *more.items()], said.encode())
        elif lost == REQUEST:
            self._drop()
        else:
            answer, content = self._asked(body)
            if lost:
                self._drop()
            else:
                content = link.alter(self.path, content)
                self._reply(answer.status, answer.getheaders(), content)

    def _asked(self, body: bytes) -> tuple[http.client.HTTPResponse, bytes]:
        home = urlsplit(self.server.far)
        connection = http.client.HTTPConnection(home.hostname or "", home.port, timeout=30)
        headers = {name: said for name, said in self.headers.items() if name.lower() not in _HOP}
        connection.request(self.command, self.path, body or None, headers)
        answer = connection.getresponse()
        content = answer.read()
        connection.close()
        return answer, content

    def _reply(self, status: int, headers: list[tuple[str, str]], content: bytes) -> None:
        self.send_response(status)
        for name, said in headers:
            if name.lower() not in _OWN:
                self.send_header(name, said)
        self.send_header("Content-Length", str(len(content)))
        self.end_headers()
        if self.command != "HEAD":
            self.wfile.write(content)

    def _drop(self) -> None:
        self.close_connection = True
        self.connection.shutdown(socket.SHUT_RDWR)

    def log_message(self, *told: object) -> None:
        """Say nothing."""


for _method in ("GET", "POST", "HEAD"):
    setattr(_Forwarder, f"do_{_method}", _Forwarder.forward)


class _Server(ThreadingHTTPServer):
    daemon_threads = True

    def __init__(self, link: Link, far: str) -> None:
        super().__init__(("127.0.0.1", 0), _Forwarder)
        self.link, self.far = link, far

    def handle_error(self, *told: object) -> None:
        """A browser that went away is no fault."""


@contextmanager
def before(far: str) -> Iterator[Link]:
    """Open a link before a server's address."""
    link = Link()
    server = _Server(link, far)
    link.url = f"http://127.0.0.1:{server.server_address[1]}"
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield link
    finally:
        server.shutdown()
        server.server_close()
