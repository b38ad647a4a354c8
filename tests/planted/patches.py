"""Patches that each plant one authorisation bug: read, and applied to the text of a tree.

A patch is a unified diff below a head of lines that begin with ``#``:

    # what: a grant past its end still opens the house
    # layer: doors
    # caught by: tests/doors/test_grants.py::test_a_grant_holds_from_its_first_instant

``caught by`` names one test, and may stand several times. What a hunk takes away, with the lines
around it, must stand in its file exactly once; line numbers do not count, so that a patch outlives
changes elsewhere. Nothing but the standard library, since a plain folder has no git beside it.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

FOLDER = Path(__file__).resolve().parent
LAYERS = ("database", "doors", "roles", "queries", "actions", "pages", "api", "tasks")
_HEAD = re.compile(r"# (what|layer|caught by): (.+)")
_FILE = re.compile(r"\+\+\+ b/(\S+)")


class DoesNotFit(ValueError):
    """A patch that cannot be read, or does not apply to the tree any more."""


@dataclass(frozen=True)
class Hunk:
    """One place in a file: the lines there, and the lines in their stead."""

    path: str
    old: str
    new: str


@dataclass(frozen=True)
class Patch:
    """One planted bug: what it is, where it lies, which tests must see it."""

    name: str
    what: str
    layer: str
    tests: tuple[str, ...]
    hunks: tuple[Hunk, ...]

    def applied(self, root: Path) -> dict[str, str]:
        """Return the new text of each file that it changes, by path from ``root``."""
        found: dict[str, str] = {}
        for hunk in self.hunks:
            if not (root / hunk.path).is_file():
                raise DoesNotFit(f"{self.name}: there is no {hunk.path} any more")
            text = found.get(hunk.path) or (root / hunk.path).read_text(encoding="utf-8")
            # Each line whole: a block never begins in the middle of one.
            many = f"\n{text}".count(f"\n{hunk.old}")
            if many != 1:
                raise DoesNotFit(f"{self.name}: {hunk.path} has {many} such places, not 1")
            found[hunk.path] = f"\n{text}".replace(f"\n{hunk.old}", f"\n{hunk.new}")[1:]
        return found


def read(name: str, text: str) -> Patch:
    """Return the patch that a file's text is; raises DoesNotFit naming what is missing."""
    head: dict[str, list[str]] = {"what": [], "layer": [], "caught by": []}
    for line in text.splitlines():
        if not line.startswith("#"):
            break
        if found := _HEAD.fullmatch(line):
            head[found[1]].append(found[2])
    hunks = tuple(_hunks(name, text.splitlines(keepends=True)))
    if not (len(head["what"]) == len(head["layer"]) == 1 and head["caught by"] and hunks):
        raise DoesNotFit(f"{name}: a patch says what, its layer, a test, and changes something")
    return Patch(name, head["what"][0], head["layer"][0], tuple(head["caught by"]), hunks)


def _hunks(name: str, lines: list[str]) -> Iterator[Hunk]:
    path, old, new = "", "", ""
    for line in [*lines, "@@"]:
        if line.startswith(("@@", "--- ")):
            if old:
                yield Hunk(path, old, new)
            old = new = ""
        elif found := _FILE.match(line):
            path = found[1]
        elif path and line[0] in " +-":
            old += line[1:] if line[0] in " -" else ""
            new += line[1:] if line[0] in " +" else ""
        elif path:
            raise DoesNotFit(f"{name}: {line.rstrip()!r} is no line of a patch")


def all_of(folder: Path = FOLDER) -> Mapping[str, Patch]:
    """Return every patch of a folder by its name, in order."""
    return {
        each.stem: read(each.stem, each.read_text(encoding="utf-8"))
        for each in sorted(folder.glob("*.patch"))
    }
