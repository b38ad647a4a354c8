"""Photos of two days side by side, chosen in a plain form."""

from collections.abc import Mapping, Sequence
from typing import Any
from uuid import UUID

from scoring.pages import pictures
from scoring.queries import photo_pairs, photo_words
from scoring.queries.photos import Shot
from yards.pages import words
from yards.rules.roles import Viewer

# What an address says beside the two, and the form keeps.
KEPT = ("window", "from", "to")


def pair(
    viewer: Viewer, horse: UUID, name: str, said: Mapping[str, str], zone: str
) -> dict[str, Any] | None:
    """Return the form and the two photos it asks for; nothing where there are not two to lay."""
    shots = photo_pairs.every(viewer, horse)
    if len(shots) < 2:
        return None
    two = _chosen(shots, said.get("one", ""), said.get("two", ""))
    return {
        "choices": [
            {
                "id": str(each.id),
                "label": f"{words.day(each.at, zone)}, {photo_words.side(each.side)}",
                "one": each is two[0],
                "two": each is two[1],
            }
            for each in shots
        ],
        "shown": pictures.shown(two, name, zone),
        "kept": [(key, said[key]) for key in KEPT if said.get(key)],
    }


def _chosen(shots: Sequence[Shot], one: str, two: str) -> tuple[Shot, Shot]:
    """Return the two asked for; else the newest and the oldest of its side, or of any."""
    by_id = {str(each.id): each for each in shots}
    newest = by_id.get(two, shots[-1])
    same = [each for each in shots if each.side == newest.side and each is not newest]
    return by_id.get(one, same[0] if same else shots[0]), newest
