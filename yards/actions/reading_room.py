"""Where edges open an organisation to read: an auditor's every look, and each look under
break-glass, is entered first.

An edge's helper, like ``isolation.of`` itself, and outermost like it. It stands among the actions
because looking, for an auditor, writes an entry.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from uuid import UUID

from yards import audit, isolation
from yards.rules.roles import Viewer

VERB = "read"


@contextmanager
def opened(
    viewer: Viewer, *, reading: str, target: tuple[str, UUID | None], at: datetime
) -> Iterator[None]:
    """Open the viewer's organisation READ ONLY, having entered a watched look in the ledger.

    The entry is committed in a short transaction of its own before anything is read, so that a
    failed answer still leaves it; if it cannot be written, nothing is served. ``reading`` names
    what is asked for (a route or screen, with its filters), ``target`` is the kind and ref asked
    for, whether or not there is such a row.
    """
    if viewer.is_watched:
        under = {"glass": str(viewer.glass)} if viewer.glass is not None else {}
        said = {"reading": reading, **under}
        with isolation.of(viewer):
            audit.record(viewer, verb=VERB, target=target, payload=said, at=at)
    with isolation.of(viewer, read_only=True):
        yield
