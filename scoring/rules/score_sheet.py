"""The scoring page's form as the mapping that a client would send in JSON."""

from collections.abc import Mapping, Sequence

from scoring.rules import scale
from yards.rules import sheet

NOT_SAFE = "not_safe"
FLAGS = ("rug_off", "looked_for_danger")
# What stands for a name where an animal was held and by whom was not said, and where nobody did.
HELD_BY_SOMEBODY, HELD_BY_NOBODY = HELD = ("somebody", "nobody")


def raw_of(values: Mapping[str, str | Sequence[str]], *, zone: str) -> dict[str, object]:
    """Return a form's values as a raw reading for ``reading.check``.

    Names have dots, ``regions.hindquarters``; a region's radio may say ``not_safe``; ``taken_at``
    is local time of the yard's zone. A weighing whose weight was left blank was not taken, unless a
    method was chosen.
    """
    found = sheet.nested(
        values, flags=FLAGS, lists=("danger_signs",), times=("taken_at",), zone=zone
    )
    if found.get("held") in HELD:
        held = found.pop("held")
        # Whose name is given held it, whatever was pressed before.
        found.setdefault("held_by", held)
    unsafe = [name for name in scale.REGIONS if _taken_out(found.get("regions"), name)]
    if _taken_out(found, scale.WHOLE):
        unsafe.append(scale.WHOLE)
    if unsafe:
        found[NOT_SAFE] = unsafe
    return found


def _taken_out(scores: object, name: str) -> bool:
    if isinstance(scores, dict) and scores.get(name) == NOT_SAFE:
        del scores[name]
        return True
    return False
