"""A person's own language and units; they follow the person into every organisation."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.conf import settings

from yards import isolation
from yards.access import doors
from yards.actions import once
from yards.models import User
from yards.rules import units
from yards.rules.fields import Reader
from yards.rules.roles import Verb, Viewer


def change_tastes(viewer: Viewer, raw: Mapping[str, Any], *, now: datetime) -> once.Made:
    """Set how the viewer's own person reads: ``{language, weight_unit, length_unit, height_unit}``.

    Raises Invalid naming every field that is no language or unit of the service.
    """
    isolation.required(viewer)
    doors.require(viewer, Verb.READ_SELF)
    person = doors.person_of(viewer)
    reader = Reader(raw)
    languages = tuple(code for code, _ in settings.LANGUAGES)
    chosen = {
        "language": reader.choice("language", languages, required=True),
        "weight_unit": reader.choice("weight_unit", units.WEIGHT, required=True),
        "length_unit": reader.choice("length_unit", units.LENGTH, required=True),
        "height_unit": reader.choice("height_unit", units.HEIGHT, required=True),
    }
    reader.finish()
    User.objects.filter(id=person).update(**chosen)
    return once.made(
        viewer, verb="person.settings", target=("person", person), content=chosen, at=now
    )
