"""What is open to a person whom grants have let in, all of it by one statement."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from allauth.mfa.models import Authenticator

from yards.access import sight
from yards.models import Grant, rows

# Asked of every request. A second factor is an app or a key; codes to recover by are none.
_OPENED = f"""SELECT
    ARRAY(SELECT yard_id FROM yards_grantyard WHERE grant_id = ANY(%(grants)s)),
    ARRAY(SELECT horse_id FROM yards_granthorse WHERE grant_id = ANY(%(grants)s)),
    ARRAY({sight.HIDDEN}),
    EXISTS (SELECT FROM mfa_authenticator WHERE user_id = %(person)s AND type = ANY(%(factors)s)),
    glass.ref, glass.until_at
    FROM (SELECT) one LEFT JOIN ({sight.GLASS}) glass ON true"""  # noqa: S608 - constants only
_FACTORS = [Authenticator.Type.TOTP.value, Authenticator.Type.WEBAUTHN.value]


@dataclass(frozen=True, slots=True)
class Opened:
    """What is open, by keys: yards, None for all, single horses, and what is hidden of them.

    ``glass`` is the break-glass under which the person may look.
    """

    yards: frozenset[int] | None
    horses: frozenset[int]
    hidden: frozenset[int]
    glass: sight.Glass | None
    has_second_factor: bool


def by(grants: Sequence[Grant], person: UUID, now: datetime) -> Opened:
    """Return what a person's grants open in the organisation that was just entered."""
    keys = [each.id for each in grants]
    asked = {"grants": keys, "person": person, "now": now, "factors": _FACTORS}
    [[yards, horses, hidden, has_second_factor, glass, until]] = rows.asked(_OPENED, asked)
    everywhere = any(each.all_yards for each in grants)
    return Opened(
        yards=None if everywhere else frozenset(yards),
        horses=frozenset() if everywhere else frozenset(horses),
        hidden=frozenset(hidden),
        glass=None if glass is None else sight.Glass(glass, until),
        has_second_factor=has_second_factor,
    )
