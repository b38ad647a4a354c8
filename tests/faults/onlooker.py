"""Somebody who has signed in and looks at a page now and then."""

import re
import urllib.error
import urllib.request
from http.cookiejar import CookieJar
from urllib.parse import urlencode

from tests import cast

_TOKEN = re.compile(r'name="csrfmiddlewaretoken" value="([^"]+)"')
BANNER = "data-silence"
PATIENCE_S = 15.0


class Onlooker:
    """The coordinator, before a page."""

    def __init__(self, port: int, key: str = "isolde") -> None:
        self._url = f"http://127.0.0.1:{port}"
        self._open = urllib.request.build_opener(
            urllib.request.HTTPCookieProcessor(CookieJar())
        ).open
        found = _TOKEN.search(self._page("/accounts/login/"))
        words = {
            "csrfmiddlewaretoken": found[1] if found else "",
            "login": f"{key}@example.org",
            "password": cast.PASSWORD,
        }
        self._page("/accounts/login/", urlencode(words).encode())
        if "/accounts/logout/" not in self._page("/alerts/"):
            raise RuntimeError("the onlooker is not signed in")

    def at_a_page(self) -> str:
        """Return what a look tells of silence: the banner, that there is no page, or nothing."""
        try:
            return BANNER if BANNER in self._page("/alerts/") else ""
        except (urllib.error.URLError, OSError) as error:
            return f"no page: {error}"

    def _page(self, path: str, said: bytes | None = None) -> str:
        with self._open(self._url + path, said, timeout=PATIENCE_S) as answer:
            return str(answer.read().decode())
