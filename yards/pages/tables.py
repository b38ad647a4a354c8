"""A list as a page shows it: one quiet table that becomes blocks on a phone."""

from collections.abc import Sequence
from dataclasses import dataclass
from urllib.parse import urlencode


@dataclass(frozen=True, slots=True)
class Picture:
    """A photo shown small: its address, what it shows, its size in pixels.

    ``said`` stands below it for those who see it; ``alt`` holds the same words and more.
    """

    src: str
    alt: str
    width: int
    height: int
    said: str = ""


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell: its text, a smaller line below, an address, a tag's rank (note, due, alert).

    ``pictures`` stand below, each leading to itself in full size.
    """

    text: str
    sub: str = ""
    href: str = ""
    tag: str = ""
    pictures: Sequence[Picture] = ()


@dataclass(frozen=True, slots=True)
class Link:
    """A way to go; ``about`` completes its words for those who hear it alone."""

    href: str
    words: str
    about: str = ""
    go: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """One line: the first cell names it; ``struck`` is superseded or over."""

    cells: Sequence[Cell]
    links: Sequence[Link] = ()
    struck: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """A list with its caption and columns, what is said when it is empty, and the way on then."""

    caption: str
    columns: Sequence[str]
    rows: Sequence[Row]
    empty: str
    empty_hint: str = ""
    newer: str = ""
    older: str = ""
    onward: Link | None = None

    @property
    def has_links(self) -> bool:
        """Whether any row leads somewhere by a button."""
        return any(row.links for row in self.rows)


@dataclass(frozen=True, slots=True)
class Filter:
    """One choice of what a list shows."""

    query: str
    label: str
    current: bool
    count: int | None = None


def query(**asked: str | None) -> str:
    """Return a query string of what is asked, without what is not."""
    return "?" + urlencode({name: value for name, value in asked.items() if value})
