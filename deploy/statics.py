"""Static files as they are served: under names that change with their content, ours shortened."""

import re
from collections.abc import Iterator
from typing import Any

import rcssmin
import rjsmin
from django.core.files.base import ContentFile
from whitenoise.storage import CompressedManifestStaticFilesStorage

_NEAR = r"""["'](?P<url>\.{1,2}/[^"']+\.js)["']"""
# Ours only: what libraries bundle is not written to be rewritten.
_OURS = "scoring/*.js"
_SHORTENED = re.compile(r"(?:scoring|yards)/.*\.(js|css)")
_SHORTEN = {"js": rjsmin.jsmin, "css": rcssmin.cssmin}


class _Shortened:
    """Where a file of ours is read from without its comments and indents."""

    def __init__(self, storage: Any, kind: str) -> None:
        self.storage, self.kind = storage, kind

    def open(self, path: str) -> "ContentFile[bytes]":
        """Open it."""
        with self.storage.open(path) as file:
            text = file.read().decode()
        return ContentFile(_SHORTEN[self.kind](text).encode(), name=path)


class HashedFiles(CompressedManifestStaticFilesStorage):  # type: ignore[misc] # no types
    """As upstream's; an import of a module names the module's own changing name.

    Comments and indents are for whoever reads the source: a phone in a barn pays for each byte.
    """

    patterns = (
        *CompressedManifestStaticFilesStorage.patterns,
        (
            _OURS,
            (
                (rf"(?P<matched>\bfrom\s*{_NEAR})", 'from "%(url)s"'),
                (rf"(?P<matched>\bimport\s*{_NEAR})", 'import "%(url)s"'),
                (rf"(?P<matched>\bimport\({_NEAR}\))", 'import("%(url)s")'),
            ),
        ),
    )
    # As deep as modules import modules: a name is known when all that is imported has its own.
    max_post_process_passes = 16

    def post_process(
        self, paths: dict[str, tuple[Any, str]], dry_run: bool = False, **options: Any
    ) -> Iterator[Any]:
        """Name and compress what was collected."""
        ours = {
            name: (_Shortened(storage, found[1]), path)
            for name, (storage, path) in paths.items()
            if (found := _SHORTENED.fullmatch(name))
        }
        yield from super().post_process({**paths, **ours}, dry_run, **options)
