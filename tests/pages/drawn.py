"""A drawing read back from a page: its scales, its points and lines as values of time."""

import re
from dataclasses import dataclass
from html.parser import HTMLParser

_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


@dataclass
class Svg:
    """One SVG of a page: what its tag says, and the data of its paths by class, in order."""

    told: dict[str, str]
    paths: list[tuple[str, str]]

    def of(self, css: str) -> list[str]:
        """Return the data of every path of a class."""
        return [d for name, d in self.paths if name == css]

    def number(self, name: str) -> float:
        """Return a number of the drawing's own."""
        return float(self.told[f"data-{name}"])

    def at(self, instant: float) -> float:
        """Return where an instant lies, by proportion."""
        share = (instant - self.number("first")) / (self.number("last") - self.number("first"))
        return self.number("left") + share * (self.number("right") - self.number("left"))

    def up(self, measure: str, value: float) -> float:
        """Return where a value of score or weight lies, by proportion."""
        low, high, top, bottom = (
            self.number(f"{measure}-{name}") for name in ("low", "high", "top", "bottom")
        )
        return bottom - (value - low) / (high - low) * (bottom - top)


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.found: list[Svg] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = {name: value or "" for name, value in attrs}
        if tag == "svg":
            self.found.append(Svg(told, []))
        elif tag == "path" and self.found:
            self.found[-1].paths.append((told.get("class", ""), told["d"]))


def large(page: str, name: str = "wide") -> Svg:
    """Return the large drawing of a page in one of its widths."""
    reader = _Reader()
    reader.feed(page)
    classes = {
        each.told.get("class", ""): each for each in reader.found if "data-first" in each.told
    }
    return classes[f"ch {name}"]


def middle(d: str) -> tuple[float, float]:
    """Return the middle of a shape's box: of a circle, by its first point and its arcs."""
    numbers = [float(each) for each in _NUMBER.findall(d)]
    if "a" in d:
        return numbers[0] + numbers[2], numbers[1]
    across, down = numbers[::2], numbers[1::2]
    return (min(across) + max(across)) / 2, (min(down) + max(down)) / 2


def spots(d: str) -> list[tuple[float, float]]:
    """Return the corners of a path of straight lines."""
    numbers = [float(each) for each in _NUMBER.findall(d)]
    return list(zip(numbers[::2], numbers[1::2], strict=True))
