"""What the forms that let somebody in ask: role, scope, times, a vet's number."""

from typing import Any

from django.utils.text import capfirst
from django.utils.translation import gettext

from yards.pages import clocks, frame
from yards.pages.controls import Control
from yards.queries import roll, yards
from yards.rules import bidi, errors, grant, horse
from yards.rules.errors import FieldError
from yards.rules.roles import Viewer

# A grant names up to three horses on its form; a second grant adds more, and both hold together.
HORSES = ("horses", "second_horse", "third_horse")
_HORSES_AT_MOST = 1000


def role() -> Control:
    """Return which role is asked."""
    return Control(
        "role",
        gettext("Role"),
        "segments",
        choices=[(each, capfirst(frame.role_label(each))) for each in grant.ROLES],
        hint=gettext(
            "An assessor scores, weighs and answers alerts. A vet also sets bands and has the "
            "last word on an alert. An auditor reads, and every look is recorded. A "
            "coordinator looks after horses, yards and people."
        ),
    )


def scope(viewer: Viewer, places: tuple[yards.YardCard, ...]) -> tuple[Control, ...]:
    """Return which yards and horses are asked."""
    known = roll.list_by_name(viewer, statuses=horse.HERE, size=_HORSES_AT_MOST).horses
    animals = [
        (str(each.ref), f"{bidi.isolated(each.name)}, {bidi.isolated(each.yard.name)}")
        for each in known
    ]
    labels = (gettext("One horse"), gettext("Another horse"), gettext("A third horse"))
    hints = (
        gettext("Wherever it stands. For more than three, let the person in a second time."),
        *("", ""),
    )
    return (
        Control(
            "all_yards",
            gettext("All yards, also those to come"),
            "flag",
            hint=gettext("A coordinator always has all yards."),
        ),
        Control(
            "yards",
            gettext("Or only these yards"),
            "ticks",
            choices=[(str(each.ref), bidi.isolated(each.name)) for each in places],
            hint="" if places else gettext("There is no yard yet."),
        ),
        *(
            Control(name, label, "pick", choices=animals, empty=gettext("None"), hint=hint)
            for name, label, hint in zip(HORSES, labels, hints, strict=True)
        ),
    )


def times(zone: str) -> tuple[Control, ...]:
    """Return from when, until when and why."""
    return (
        Control("from", gettext("From"), "moment", gettext("Empty: from now on.")),
        Control(
            "until",
            gettext("Until"),
            "moment",
            " ".join((gettext("Empty: until you end it."), clocks.named(zone))),
        ),
        Control("reason", gettext("Why"), hint=gettext("For example: cover for July")),
    )


def vets_number() -> tuple[Control, ...]:
    """Return a vet's number, where the role may be another."""
    return (
        Control(
            "registration_number",
            gettext("The vet's registration number"),
            hint=gettext(
                "For a vet only. The grant waits until the vet signs in with their own password."
            ),
        ),
        Control("register", gettext("The register that holds it"), hint=gettext("For a vet only.")),
    )


def number_of_a_vet() -> tuple[Control, ...]:
    """Return a vet's number, where it is a vet for certain."""
    return (
        Control("registration_number", gettext("Registration number")),
        Control("register", gettext("Register that holds it")),
    )


def body(raw: dict[str, Any]) -> dict[str, Any]:
    """Return the contract's body; raises Invalid where all yards and some are both said."""
    said = {name: value for name, value in raw.items() if name not in {"all_yards", *HORSES}}
    said["horses"] = [raw[name] for name in HORSES if name in raw]
    if raw.get("all_yards"):
        if raw.get("yards"):
            raise errors.Invalid(FieldError("yards", "all_or_some_yards"))
        said["yards"] = grant.ALL
    return said


def sight() -> tuple[Control, ...]:
    """Return what bounds, and what widens, an auditor's sight."""
    return (
        Control(
            "record_from",
            gettext("An auditor's part of the record, from"),
            "moment",
            gettext("For an insurer, for instance: nothing taken before is shown. Empty: all."),
        ),
        Control("record_until", gettext("Until"), "moment", gettext("Nothing taken after.")),
        Control("sees_notes", gettext("An auditor sees notes on cases too"), "flag"),
        Control("sees_clinical", gettext("An auditor sees clinical notes too"), "flag"),
        Control("sees_contacts", gettext("An auditor sees e-mail addresses too"), "flag"),
    )
