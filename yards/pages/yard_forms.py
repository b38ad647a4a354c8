"""What is asked of a yard."""

from collections.abc import Collection, Mapping
from types import MappingProxyType
from typing import Any

from django.utils.translation import gettext

from yards.pages.controls import Choices, Control
from yards.queries.yards import YardCard
from yards.rules import seasons
from yards.rules import yard as rule

# Those most asked for, first; all others follow by name.
COMMON = (
    *("Europe/London", "Europe/Dublin", "Europe/Berlin", "Europe/Paris", "Europe/Amsterdam"),
    *("Europe/Madrid", "Europe/Rome", "Europe/Stockholm", "America/New_York", "America/Chicago"),
    *("America/Denver", "America/Los_Angeles", "America/Toronto", "Africa/Johannesburg"),
    *("Australia/Sydney", "Pacific/Auckland"),
)
# Everything that a form has: a part left wholly empty goes back to its default, or is asked for.
BLANK: Mapping[str, None] = MappingProxyType(
    dict.fromkeys(("name", "time_zone", "hemisphere", "spring", "vet", "quiet_hours"))
)


def controls(own: Collection[str]) -> tuple[Control, ...]:
    """Ask everything of a yard; ``own`` are zones in use here, which stand first."""
    return (
        Control("name", gettext("Name")),
        Control(
            "time_zone",
            gettext("Time zone"),
            "pick",
            choices=zones(own),
            empty=gettext("Choose by a place near you"),
            hint=gettext("Times on pages and in messages are this yard's."),
        ),
        Control(
            "hemisphere",
            gettext("Hemisphere"),
            "segments",
            choices=(
                (seasons.NORTH, gettext("North")),
                (seasons.SOUTH, gettext("South")),
                (seasons.NONE, gettext("Near the equator")),
            ),
            hint=gettext("It says when spring is. Near the equator there is none."),
        ),
        *_spring(),
        *_vet(),
        *_quiet(),
    )


def _spring() -> tuple[Control, ...]:
    first = gettext(
        "Month and day: 03-01 is 1 March. Empty: as the calendar has it. Fat horses are watched "
        "more closely in spring, when grass is rich."
    )
    return (
        Control("spring.first", gettext("First day of this yard's spring"), hint=first),
        Control(
            "spring.last",
            gettext("Last day of this yard's spring"),
            hint=gettext("Month and day: 05-31 is 31 May"),
        ),
    )


def _vet() -> tuple[Control, ...]:
    return (
        Control("vet.practice", gettext("Vet practice")),
        Control("vet.phone", gettext("Its day line"), "tel"),
        Control("vet.out_of_hours_phone", gettext("Its out-of-hours line"), "tel"),
        Control(
            "vet.second_phone",
            gettext("Second number"),
            "tel",
            gettext("Rung when neither answers: another practice that would come"),
        ),
    )


def _quiet() -> tuple[Control, ...]:
    return (
        Control(
            "quiet_hours.from",
            gettext("Quiet from"),
            "time",
            gettext("Then only urgent alerts are mailed. Empty: no quiet hours."),
        ),
        Control("quiet_hours.to", gettext("Quiet until"), "time"),
    )


def zones(own: Collection[str]) -> Choices:
    """Return the zones to pick from: those in use, the common ones, then all with a place."""
    known = rule.zones()
    places = sorted(each for each in known if "/" in each and not each.startswith("Etc/"))
    wanted = (*own, *(each for each in COMMON if each in known), "UTC", *places)
    return [(each, each.replace("_", " ")) for each in dict.fromkeys(wanted)]


def start(card: YardCard) -> Mapping[str, Any]:
    """Return a yard's settings as the form begins with them."""
    quiet = card.quiet_hours
    return {
        "name": card.name,
        "time_zone": card.time_zone,
        "hemisphere": card.hemisphere,
        "spring.first": card.spring.first if card.spring else "",
        "spring.last": card.spring.last if card.spring else "",
        "vet.practice": card.vet.practice,
        "vet.phone": card.vet.phone,
        "vet.out_of_hours_phone": card.vet.out_of_hours_phone,
        "vet.second_phone": card.vet.second_phone,
        "quiet_hours.from": f"{quiet.start:%H:%M}" if quiet else "",
        "quiet_hours.to": f"{quiet.end:%H:%M}" if quiet else "",
        "version": str(card.version),
    }
