"""A recorded score as the form that entered it, for its correction."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

import uuid_utils.compat as uuid_utils

from scoring.queries.assessments import AssessmentAnswer
from scoring.rules import scale, score_sheet
from yards.pages import controls

_SAME = ("scale", "manner", "fat_pocket", "appetite", "muscle", "coat", "limits", "note")
_FLAGS = {True: "true", False: "false", None: ""}


def values(found: AssessmentAnswer, zone: str) -> dict[str, Any]:
    """Return what was entered, under a new id, at its time by our clock.

    Its weight stands unless another is given.
    """
    local = found.corrected_taken_at.astimezone(ZoneInfo(zone))
    return {
        **{name: getattr(found, name) for name in _SAME},
        **_regions(found),
        **{f"findings.{name}": value for name, value in found.findings.items()},
        "id": str(uuid_utils.uuid7()),
        "taken_at": controls.local(local),
        "by_eye": _points(found.by_eye),
        "crest": _points(found.crest),
        "danger_signs": list(found.danger_signs),
        "looked_for_danger": "true" if found.looked_for_danger and not found.danger_signs else "",
        "rug_off": _FLAGS[found.rug_off],
        **_held(found.held_by),
    }


def _held(by: str) -> Mapping[str, str]:
    return {"held" if by in score_sheet.HELD else "held_by": by}


def _points(value: Decimal | None) -> str:
    return "" if value is None else f"{value:.1f}"


def _regions(found: AssessmentAnswer) -> Mapping[str, str]:
    felt = found.regions
    if felt is None:
        return {scale.WHOLE: _points(found.whole) or score_sheet.NOT_SAFE}
    return {
        f"regions.{name}": _points(felt.get(name)) or score_sheet.NOT_SAFE for name in scale.REGIONS
    }
