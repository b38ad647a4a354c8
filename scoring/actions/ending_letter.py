"""Says in words that an access ends: to its holder, and in the morning's summary."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.conf import settings
from django.utils.translation import gettext as _

from scoring.queries import summary
from yards.access import zones
from yards.models import Organisation
from yards.queries import endings, role_words
from yards.rules.roles import Role, Verb, Viewer, may


def written(
    reader: Viewer, params: Mapping[str, Any], now: datetime
) -> tuple[str, str, dict[str, Any]] | None:
    """Return subject, template and words for the holder; None where it ends soon no more."""
    found = endings.soon(reader, now)
    own = [each for each in found if str(each.grant) == params["grant"]]
    if not own:
        return None
    zone = zones.first()
    facts = {
        "organisation": Organisation.objects.get(id=reader.organisation).name,
        "role": role_words.label(own[0].role),
        "at": summary.when(own[0].until, zone),
        "zone": zone,
        "by": own[0].issued_by.name if own[0].issued_by is not None else "",
        "records": may(reader, Verb.RECORD_READINGS),
    }
    return _("Your access to {organisation} ends soon").format(**facts), "ending", facts


def lines(reader: Viewer, now: datetime) -> dict[str, Any] | None:
    """Return what a summary says of accesses that end: everybody's to whoever coordinates, else
    one's own. None where none does."""
    found = endings.soon(reader, now)
    others = found if reader.role is Role.COORDINATOR else ()
    zone = zones.first() if found else ""
    said = [
        _("{name}, {role}: until {at}.").format(
            name=each.person.name,
            role=role_words.label(each.role),
            at=summary.when(each.until, zone),
        )
        for each in others
        if each.person.id != reader.person
    ]
    own = [each.until for each in found if each.person.id == reader.person]
    if own:
        told = _("Your own access: until {at}. Ask whoever let you in if you need longer.")
        said.append(told.format(at=summary.when(own[-1], zone)))
    if not said:
        return None
    return {"rows": said, "zone": zone, "link": f"{settings.SITE_URL}/people/" if others else ""}
