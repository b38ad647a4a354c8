"""An invitation as it comes in: a grant for whoever reads mail at an address, and for how long."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from yards.rules import errors, fields, grant, plain

# Our own choice: a long weekend. Longer, and a forgotten mail opens the door weeks later.
LASTS_HOURS = 72
LONGEST_HOURS = 14 * 24
# What has become of one: its letter waits, could not be delivered, or went; and then.
UNSENT, UNDELIVERED, OPEN = "unsent", "undelivered", "open"
ACCEPTED, WITHDRAWN, OVER = "accepted", "withdrawn", "over"
STATES = (UNSENT, UNDELIVERED, OPEN, ACCEPTED, WITHDRAWN, OVER)
STANDING = frozenset({UNSENT, UNDELIVERED, OPEN})
_SOMEBODY = UUID(int=0)
_OWN = ("id", "email", "hours")


@dataclass(frozen=True, slots=True)
class InvitationFacts:
    """A checked invitation: to whom, for how long its link opens, and the grant it offers."""

    id: UUID | None
    email: str
    lasts: timedelta
    offered: grant.GrantFacts

    @property
    def hours(self) -> int:
        """For how many hours the link opens."""
        return self.lasts // timedelta(hours=1)

    def body(self) -> dict[str, Any]:
        """Return the grant as the contract has it, without the person: all text, fit for JSON."""
        offered = self.offered
        said = {
            "role": offered.role,
            "yards": grant.ALL if offered.all_yards else offered.yards,
            "horses": offered.horses,
            "from": offered.from_at,
            "until": offered.until_at,
            "reason": offered.reason,
            "registration_number": offered.registration_number,
            "register": offered.register,
            # What bounds an auditor's sight must not be lost on the way.
            **{name: getattr(offered, name) or None for name in sorted(grant.SIGHT)},
        }
        kept = {name: value for name, value in said.items() if value not in (None, "", ())}
        return dict(plain.plain(kept))

    def expires_at(self, now: datetime) -> datetime:
        """Return until when the link opens: never longer than the grant it leads to."""
        end = now + self.lasts
        return min(end, self.offered.until_at) if self.offered.until_at is not None else end


def check(raw: object, *, now: datetime) -> InvitationFacts:
    """Return an invitation, or raise Invalid naming every fault; the grant's rules are its own."""
    given = dict(raw) if isinstance(raw, Mapping) else {}
    reader = fields.Reader({name: given[name] for name in _OWN if name in given})
    ref = reader.uuid("id")
    email = reader.text("email", most=254, required=True).lower()
    hours = reader.integer("hours", low=1, high=LONGEST_HOURS)
    rest = {name: value for name, value in given.items() if name not in _OWN}
    try:
        # A person in it is nobody's business here: the link decides who comes.
        offered = grant.check(_with_somebody(rest), now=now)
    except errors.Invalid as refused:
        raise errors.Invalid(*reader.faults, *refused.errors) from refused
    if offered.until_at is not None and offered.until_at <= now:
        reader.refuse("until", "already_over")
    reader.finish()
    return InvitationFacts(ref, email, timedelta(hours=hours or LASTS_HOURS), offered)


def _with_somebody(rest: Mapping[str, Any]) -> dict[str, Any]:
    if "person" in rest:
        raise errors.Invalid(errors.FieldError("person", "unknown_field"))
    return {**rest, "person": str(_SOMEBODY)}
