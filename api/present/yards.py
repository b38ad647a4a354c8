"""Yards."""

from api.present import forms
from yards.queries.yards import YardCard


def yard(found: YardCard) -> dict[str, object]:
    """Return one yard."""
    quiet, spring = found.quiet_hours, found.spring
    return {
        "id": str(found.ref),
        "name": found.name,
        "time_zone": found.time_zone,
        "hemisphere": found.hemisphere,
        "spring": None if spring is None else {"first": spring.first, "last": spring.last},
        "vet": {
            "practice": found.vet.practice,
            "phone": found.vet.phone,
            "out_of_hours_phone": found.vet.out_of_hours_phone,
            "second_phone": found.vet.second_phone,
        },
        "quiet_hours": None
        if quiet is None
        else {"from": f"{quiet.start:%H:%M}", "to": f"{quiet.end:%H:%M}"},
        "created_at": forms.instant(found.created_at),
        "version": found.version,
    }
