"""Every route, method, caller and target: the cells, for the tests that ask them and the count.

``test_matrix`` asks every route for what is there and the caller's own business; these are the
others: what stands in another yard, in the other organisation and nowhere; whoever's access ended,
or never was; and somebody under break-glass.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from tests.api.asking import Answer
from tests.doors import ended, knocking, matrix
from tests.doors.matrix import Row
from tests.doors.scene import Scene, fresh
from tests.doors.test_other_organisation import OUT_OF_SCOPE

# Where what a path names stands: as the matrix has it, or elsewhere.
OWN, OTHER_YARD, THEIRS, NOWHERE = "own", "other yard", "other organisation", "nowhere"
ROWS = [*((row, True) for row in matrix.API), *((row, False) for row in matrix.PAGES)]
NAMED = [(row, is_api) for row, is_api in ROWS if "id" in row.ids]
HIDDEN = [each for each in NAMED if each[0].ids["id"] in OUT_OF_SCOPE]
# Of one's own, not of an organisation: open to whoever can sign in.
OF_ONESELF = re.compile("account|mfa|usersessions|yards:(organisations|arrive|join|you|me)")
# Whose grant names two yards.
OF_SOME_YARDS = ("maud", "device")
# Maud's session while a break-glass of hers is in force.
UNDER_GLASS = "maud under break-glass"


@dataclass(frozen=True)
class Cell:
    """One request: a row, sent by somebody, for something."""

    row: Row
    is_api: bool
    caller: str | None
    target: str

    def __str__(self) -> str:
        return f"{self.row} by {self.caller or 'nobody'}: {self.target}"

    def other(self, scene: Scene) -> dict[str, str]:
        """The id that stands in the path instead of the matrix's own."""
        if self.target == OWN:
            return {}
        if self.target == NOWHERE:
            return {"id": fresh("nowhere")}
        named = self.row.ids["id"]
        if self.target == OTHER_YARD:
            return {"id": scene[OUT_OF_SCOPE[named]]}
        return {"id": scene.theirs.get(named, fresh("it"))}

    def ask(self, scene: Scene) -> Answer:
        """Send it: by token to the REST surface, by session to a page."""
        knock = knocking.knock if self.is_api else knocking.knock_on_page
        return knock(self.row, scene, self.caller, **self.other(scene))

    def ask_by_session(self, scene: Scene) -> Answer:
        """Send it by Maud's session, to the REST surface too: by token nobody looks under glass."""
        knock = knocking.knock_in_session if self.is_api else knocking.knock_on_page
        return knock(self.row, scene, "maud", **self.other(scene))


def name_of(each: tuple[Row, bool]) -> str:
    """A test's name: the row's."""
    return str(each[0])


def inside(row: Row) -> Iterator[str]:
    """Those of the organisation who can send the row at all."""
    for caller in row.expected:
        if caller not in {None, "perran"}:
            yield str(caller)


def is_kept(row: Row, is_api: bool) -> bool:
    """Whether a row is behind a sign-in, and of an organisation."""
    return row.expected[None] == (401 if is_api else 302) and not OF_ONESELF.match(row.name)


def elsewhere(row: Row, is_api: bool) -> Iterator[tuple[Cell, Cell]]:
    """What the other organisation has, and what is nowhere, for everybody of ours, side by side."""
    for caller in inside(row):
        yield Cell(row, is_api, caller, THEIRS), Cell(row, is_api, caller, NOWHERE)


def other_yard(row: Row, is_api: bool) -> Iterator[Cell]:
    """What stands in a yard that the caller's grant does not name."""
    for caller in OF_SOME_YARDS:
        if caller in row.expected:
            yield Cell(row, is_api, caller, OTHER_YARD)


def over(row: Row, is_api: bool) -> Iterator[Cell]:
    """Whoever's access ended, people and tokens, and nobody.

    They are refused before anything is looked for, so of what stands elsewhere each target is asked
    for by one of those that ended: by the next at the next row.
    """
    callers = (*ended.PEOPLE, *ended.TOKENS) if is_api else ended.PEOPLE
    for caller in callers:
        yield Cell(row, is_api, caller, OWN)
    targets = [THEIRS, NOWHERE] if (row, is_api) in NAMED else []
    targets += [OTHER_YARD] if (row, is_api) in HIDDEN else []
    for at, target in enumerate(targets, start=ROWS.index((row, is_api))):
        yield Cell(row, is_api, callers[at % len(callers)], target)
        yield Cell(row, is_api, None, target)


def under_glass(target: str) -> Iterator[Cell]:
    """What somebody under break-glass asks by session: every row that has such a target.

    What is written is not widened: of what is no place of ours it is asked as Maud's without it.
    """
    rows = {OWN: ROWS, OTHER_YARD: HIDDEN}.get(target, NAMED)
    for row, is_api in rows:
        is_asked = row.method == "GET" or target in {OWN, OTHER_YARD}
        if is_asked and not OF_ONESELF.match(row.name):
            yield Cell(row, is_api, UNDER_GLASS, target)


def every() -> Iterator[Cell]:
    """All of them, the matrix's own too."""
    for row, is_api in ROWS:
        for caller in row.expected:
            yield Cell(row, is_api, caller, OWN)
        if is_kept(row, is_api):
            yield from over(row, is_api)
    for row, is_api in NAMED:
        for pair in elsewhere(row, is_api):
            yield from pair
    for row, is_api in HIDDEN:
        yield from other_yard(row, is_api)
    for target in (OWN, OTHER_YARD, THEIRS, NOWHERE):
        yield from under_glass(target)
