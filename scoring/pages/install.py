"""What makes the pages an app of the phone's: the service worker and the manifest."""

import functools
import hashlib
import json
from collections.abc import Iterator
from pathlib import PurePosixPath

from django.conf import settings
from django.contrib.staticfiles import finders
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.templatetags.static import static
from django.utils.cache import patch_cache_control, patch_vary_headers
from django.utils.translation import get_language, gettext
from django.views.decorators.http import require_safe

from scoring.pages import shells
from yards.queries import tastes

FOLDERS = ("yards", "scoring")
KEPT = frozenset({".css", ".js", ".svg", ".woff2"})
ICONS = (
    ("yards/icons/icon-192.png", "192x192", "any"),
    ("yards/icons/icon-512.png", "512x512", "any"),
    ("yards/icons/maskable-192.png", "192x192", "maskable"),
    ("yards/icons/maskable-512.png", "512x512", "maskable"),
)
PATIENCE_MS = 8000
INK, CHALK = "#14201d", "#eef0ec"


def _ours() -> Iterator[tuple[str, bytes]]:
    """Every static file of ours that a page may ask for, with its bytes."""
    for finder in finders.get_finders():
        for path, storage in finder.list([]):
            named = PurePosixPath(path)
            if named.parts[0] in FOLDERS and named.suffix in KEPT:
                with storage.open(path) as file:
                    yield str(named), file.read()


@functools.lru_cache(maxsize=1)
def _files() -> tuple[tuple[str, ...], str]:
    """Return the addresses of the files that a phone keeps, and a digest of all they hold."""
    digest, urls = hashlib.sha256(), []
    for name, content in sorted(_ours()):
        digest.update(name.encode() + b"\0" + hashlib.sha256(content).digest())
        urls.append(static(name))
    return tuple(urls), digest.hexdigest()


@functools.lru_cache(maxsize=64)
def _worker(taste: tastes.Tastes, plain: bool) -> str:
    files, content = _files()
    digest = hashlib.sha256(content.encode())
    for shell in (*shells.ALL, *shells.HELP):
        digest.update(shells.drawn(shell, taste).encode())
    away = shells.Shell(shells.AWAY).path
    facts = {
        "version": digest.hexdigest()[:16],
        "shells": [shell.path for shell in shells.ALL if shell.path != away],
        "away": away,
        "helps": [shell.path for shell in shells.HELP],
        "files": files,
        "folder": settings.STATIC_URL,
        "mark": shells.MARK,
        "patience": PATIENCE_MS,
    }
    serving = json.dumps(static("scoring/round/serving.js"))
    serve = f"self.halfpointServe({json.dumps(facts)});\n"
    if plain:
        return f"importScripts({serving});\n{serve}"
    syncing = json.dumps(static("scoring/round/syncing.js"))
    return f"import {serving};\nimport {syncing};\n{serve}"


@require_safe
def worker(request: HttpRequest) -> HttpResponse:
    """Return the service worker: a module, or ``?plain`` a script for browsers that want one.

    It says which version of what it keeps, so that any change of a shell or a file is a new worker.
    """
    body = _worker(shells.taste_of(request), "plain" in request.GET)
    response = HttpResponse(body, content_type="text/javascript; charset=utf-8")
    patch_cache_control(response, no_cache=True, private=True)
    patch_vary_headers(response, ["Cookie", "Accept-Language"])
    return response


@require_safe
def manifest(request: HttpRequest) -> JsonResponse:
    """Return what a phone shows of the app before it is opened."""
    return JsonResponse(
        {
            "id": "/",
            "name": "Halfpoint",
            "short_name": "Halfpoint",
            "description": gettext("Condition scores, weights and alerts for horses."),
            "lang": get_language(),
            "start_url": "/round/",
            "scope": "/",
            "display": "standalone",
            "background_color": CHALK,
            "theme_color": INK,
            "icons": [
                {"src": static("yards/favicon.svg"), "sizes": "any", "type": "image/svg+xml"},
                *(
                    {"src": static(src), "sizes": sizes, "type": "image/png", "purpose": purpose}
                    for src, sizes, purpose in ICONS
                ),
            ],
        },
        content_type="application/manifest+json",
    )
