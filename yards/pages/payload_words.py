"""What an entry says, as a list to read: each field named in words, nested ones inside."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.utils.translation import gettext

NOTHING = "–"
# Kept as a count of half points; a count alone would be read as the score.
HALVES = frozenset({"neck", "back", "hind", "whole", "by_eye", "crest", "band_low", "band_high"})


@dataclass(frozen=True, slots=True)
class Said:
    """One field. ``label`` is in words when ``named``, else the field's own name; ``name`` is what
    the thing with the id in ``text`` is called; ``inner`` stands instead of ``text``.
    """

    label: str
    named: bool
    text: str = ""
    name: str = ""
    word: bool = False
    inner: tuple["Said", ...] = ()


def said(payload: Mapping[str, Any], names: Mapping[UUID, str]) -> tuple[Said, ...]:
    """Return every field of what an entry says, none left out."""
    return tuple(_field(_label(key), value, names, key) for key, value in payload.items())


def refs(value: object) -> Iterator[UUID]:
    """Return every id that an entry says, to be named."""
    if isinstance(value, Mapping):
        for each in value.values():
            yield from refs(each)
    elif isinstance(value, list):
        for each in value:
            yield from refs(each)
    elif (found := _ref(value)) is not None:
        yield found


def _ref(value: object) -> UUID | None:
    try:
        return UUID(value) if isinstance(value, str) and len(value) == 36 else None
    except ValueError:
        return None


def _label(key: str) -> tuple[str, bool]:
    words = LABELS.get(key)
    return (words(), True) if words else (key, False)


def _field(
    label: tuple[str, bool], value: object, names: Mapping[UUID, str], key: str = ""
) -> Said:
    if isinstance(value, Mapping) and value:
        return Said(*label, inner=said(value, names))
    if isinstance(value, list) and value:
        return _many(label, value, names)
    if isinstance(value, bool):
        return Said(*label, text=gettext("yes") if value else gettext("no"), word=True)
    if value in (None, "", [], {}):
        return Said(*label, text=NOTHING, word=True)
    if key in HALVES and isinstance(value, int):
        return Said(*label, text=_halves(value), word=True)
    found = _ref(value)
    return Said(*label, text=str(value), name=names.get(found, "") if found else "")


def _halves(count: int) -> str:
    """Return a felt value in points, with the count of half points that the entry holds."""
    points = f"{count // 2 or ''}½" if count % 2 else f"{count // 2}"
    return gettext("{points} (kept as {count} half points)").format(points=points, count=count)


def _many(label: tuple[str, bool], values: Sequence[object], names: Mapping[UUID, str]) -> Said:
    if any(isinstance(each, Mapping | list) for each in values) or any(map(_ref, values)):
        inner = (
            _field((str(place), False), each, names) for place, each in enumerate(values, start=1)
        )
        return Said(*label, inner=tuple(inner))
    return Said(*label, text=", ".join(map(str, values)))


LABELS: Mapping[str, Callable[[], str]] = {
    "after": lambda: gettext("After"),
    "after_minutes": lambda: gettext("Minutes after it opened"),
    "alert": lambda: gettext("Alert"),
    "alias": lambda: gettext("Called from now on"),
    "alerts": lambda: gettext("Alerts"),
    "all_yards": lambda: gettext("All yards"),
    "appetite": lambda: gettext("Appetite"),
    "arrived_at": lambda: gettext("Arrived"),
    "at": lambda: gettext("At"),
    "back": lambda: gettext("Back and ribs"),
    "band_high": lambda: gettext("Band to"),
    "band_low": lambda: gettext("Band from"),
    "before": lambda: gettext("Before"),
    "born": lambda: gettext("Born"),
    "born_basis": lambda: gettext("How the birth is known"),
    "born_earliest": lambda: gettext("Born on this day or later"),
    "breeding": lambda: gettext("Breeding"),
    "by": lambda: gettext("By when"),
    "by_eye": lambda: gettext("Estimate by eye"),
    "changed": lambda: gettext("Changed by it"),
    "coat": lambda: gettext("Coat"),
    "coordinator": lambda: gettext("First coordinator"),
    "crest": lambda: gettext("Crest"),
    "danger_signs": lambda: gettext("Danger signs"),
    "device": lambda: gettext("For a phone"),
    "differed": lambda: gettext("What differed"),
    "email": lambda: gettext("E-mail address"),
    "emptied": lambda: gettext("Entries that were emptied"),
    "ended_at": lambda: gettext("Ended"),
    "endocrine": lambda: gettext("Endocrine disease"),
    "fat_pocket": lambda: gettext("Fat pocket behind the shoulder"),
    "fed": lambda: gettext("Fed before"),
    "findings": lambda: gettext("Findings"),
    "formula": lambda: gettext("Formula"),
    "from": lambda: gettext("From"),
    "from_at": lambda: gettext("From"),
    "grant": lambda: gettext("Grant"),
    "handling": lambda: gettext("Handling"),
    "height_cm": lambda: gettext("Height in centimetres"),
    "height_unit": lambda: gettext("Unit of height"),
    "held_by": lambda: gettext("Held by"),
    "hemisphere": lambda: gettext("Hemisphere"),
    "hind": lambda: gettext("Hindquarters"),
    "horse": lambda: gettext("Horse"),
    "horses": lambda: gettext("Horses"),
    "instrument": lambda: gettext("Tape or scale"),
    "into": lambda: gettext("Turned out to be"),
    "is_unknown": lambda: gettext("Unknown animal"),
    "kind": lambda: gettext("Kind"),
    "label": lambda: gettext("Label"),
    "laminitis": lambda: gettext("Laminitis"),
    "language": lambda: gettext("Language"),
    "left_open": lambda: gettext("Left open"),
    "length_unit": lambda: gettext("Unit of length"),
    "limits": lambda: gettext("What limited the look"),
    "link": lambda: gettext("Which link"),
    "count": lambda: gettext("How many"),
    "hours": lambda: gettext("Hours for which the link opens"),
    "looked_for_danger": lambda: gettext("Looked for danger signs"),
    "manner": lambda: gettext("Manner"),
    "measures": lambda: gettext("Measures in centimetres"),
    "method": lambda: gettext("Method"),
    "muscle": lambda: gettext("Muscle"),
    "name": lambda: gettext("Name"),
    "name_key": lambda: gettext("Name to find it by"),
    "neck": lambda: gettext("Neck and shoulder"),
    "next_step": lambda: gettext("Next step"),
    "note": lambda: gettext("Note"),
    "of": lambda: gettext("Photo of a"),
    "of_id": lambda: gettext("Photo of"),
    "on": lambda: gettext("In use"),
    "opened": lambda: gettext("Opened"),
    "overall_rule": lambda: gettext("Which overall stands first"),
    "people": lambda: gettext("People"),
    "person": lambda: gettext("Person"),
    "rows": lambda: gettext("Rows"),
    "question": lambda: gettext("Question"),
    "quiet_from": lambda: gettext("Quiet from"),
    "quiet_to": lambda: gettext("Quiet until"),
    "raised": lambda: gettext("Raised"),
    "reading": lambda: gettext("What was looked at"),
    "reason": lambda: gettext("Reason"),
    "register": lambda: gettext("Register"),
    "registration_number": lambda: gettext("Registration number"),
    "repeat_minutes": lambda: gettext("Again every so many minutes"),
    "resolved": lambda: gettext("Resolved"),
    "second_factor": lambda: gettext("Second factor asked"),
    "role": lambda: gettext("Role"),
    "roles": lambda: gettext("Roles"),
    "rug_off": lambda: gettext("Rug taken off"),
    "rule": lambda: gettext("Rule"),
    "scale": lambda: gettext("Scale"),
    "score_days": lambda: gettext("Days between scores"),
    "sha256": lambda: gettext("Fingerprint of what was sent"),
    "sealed": lambda: gettext("Seal of its words, which only vets and coordinators read"),
    "severity": lambda: gettext("Haste"),
    "sex": lambda: gettext("Sex"),
    "side": lambda: gettext("Which side it shows"),
    "species": lambda: gettext("Species"),
    "spring_first": lambda: gettext("First day of spring"),
    "spring_last": lambda: gettext("Last day of spring"),
    "status": lambda: gettext("Here or not"),
    "stay": lambda: gettext("Stay"),
    "step": lambda: gettext("Step"),
    "steps": lambda: gettext("Steps"),
    "supersedes": lambda: gettext("Corrects"),
    "taken_at": lambda: gettext("Taken at"),
    "tape_position": lambda: gettext("Tape on the withers"),
    "tape_side": lambda: gettext("Tape read on"),
    "thresholds": lambda: gettext("Thresholds"),
    "time_zone": lambda: gettext("Time zone"),
    "texts": lambda: gettext("Texts in which the alias took the place of the name"),
    "text": lambda: gettext("Words"),
    "to": lambda: gettext("To"),
    "told": lambda: gettext("People told"),
    "transponder": lambda: gettext("Transponder"),
    "ueln": lambda: gettext("UELN"),
    "unreached": lambda: gettext("Steps that reach nobody"),
    "until": lambda: gettext("Until"),
    "until_at": lambda: gettext("Until"),
    "use": lambda: gettext("Kept for"),
    "vet_out_of_hours_phone": lambda: gettext("Vet's out-of-hours line"),
    "vet_phone": lambda: gettext("Vet's day line"),
    "vet_practice": lambda: gettext("Vet practice"),
    "vet_said": lambda: gettext("What the vet said"),
    "vet_second_phone": lambda: gettext("Second number"),
    "weighing": lambda: gettext("Weight"),
    "weight_days": lambda: gettext("Days between weights"),
    "weight_kg": lambda: gettext("Kilograms"),
    "weight_unit": lambda: gettext("Unit of weight"),
    "whole": lambda: gettext("Whole animal"),
    "yard": lambda: gettext("Yard"),
    "yards": lambda: gettext("Yards"),
}
