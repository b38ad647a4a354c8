"""Requests handed to the real WSGI application in this process, as a server would hand them."""

import io
import json
from typing import Any
from urllib.parse import urlsplit

from tests import cast


class Wire:
    """Asks the application as somebody with a token, or with a session's cookie."""

    def __init__(self, application: Any, *, key: str = "", cookie: str = "") -> None:
        self.application = application
        self.headers = {"HTTP_HOST": "localhost"}
        if key:
            self.headers["HTTP_AUTHORIZATION"] = f"Token {cast.token(key)}"
        if cookie:
            self.headers["HTTP_COOKIE"] = cookie

    def ask(self, method: str, url: str, body: bytes = b"", *, expect: int = 200) -> bytes:
        """Send one request and return the answer's body; any status but the expected is a fault."""
        parts, said = urlsplit(url), []
        environ = {
            "REQUEST_METHOD": method,
            "PATH_INFO": parts.path,
            "QUERY_STRING": parts.query,
            "CONTENT_LENGTH": str(len(body)) if body else "",
            "CONTENT_TYPE": "application/json" if body else "",
            "SERVER_NAME": "localhost",
            "SERVER_PORT": "80",
            "SERVER_PROTOCOL": "HTTP/1.1",
            "REMOTE_ADDR": "127.0.0.1",
            "wsgi.version": (1, 0),
            "wsgi.url_scheme": "http",
            "wsgi.input": io.BytesIO(body),
            "wsgi.errors": io.StringIO(),
            "wsgi.multithread": False,
            "wsgi.multiprocess": False,
            "wsgi.run_once": False,
            **self.headers,
        }
        answer = self.application(environ, lambda status, headers: said.append(status))
        try:
            content = b"".join(answer)
        finally:
            answer.close()
        if not said[0].startswith(str(expect)):
            raise RuntimeError(f"{method} {url}: {said[0]} {content[:500]!r}")
        return content

    def post(self, url: str, body: Any, *, expect: int = 201) -> Any:
        """Send JSON, return what JSON came back."""
        return json.loads(self.ask("POST", url, json.dumps(body).encode(), expect=expect))
