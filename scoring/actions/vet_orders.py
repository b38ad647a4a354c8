"""A vet's order for one horse: its band and how often to look, with a reason and an end."""

from datetime import datetime
from uuid import UUID

from scoring.actions import standing, subjects
from scoring.models import VetOrder
from scoring.queries import vet_orders as queries
from scoring.rules import vet_order as rule
from yards.access import doors
from yards.actions import once
from yards.rules.roles import Verb, Viewer

GIVEN = "vet_order.given"


def give_vet_order(
    viewer: Viewer, horse: UUID, raw: object, *, now: datetime
) -> queries.VetOrderCard:
    """Set a horse's band or intervals until an instant; the newest order in force wins.

    Only a vet may. Raises NotFound, NotAllowed, Invalid, or Conflict for a clash of ids.
    """
    subject = doors.horse_for_read(viewer, horse)
    doors.require(viewer, Verb.OVERRIDE_BANDS)
    wanted = rule.check(raw, species=subject.species, now=now)
    content = {**wanted.content(), "horse": subject.ref}
    held = subjects.locked(subject)
    row, is_new = once.insert(
        VetOrder(
            organisation_id=viewer.organisation,
            ref=once.new_ref(wanted.id),
            horse=subject,
            band_low=wanted.band_low,
            band_high=wanted.band_high,
            score_days=wanted.score_days,
            weight_days=wanted.weight_days,
            reason=wanted.reason,
            given_by_id=doors.person_of(viewer),
            given_at=now,
            until_at=wanted.until_at,
            content_digest=once.digest(content),
        )
    )
    if not is_new:
        once.replayed(viewer, verb=GIVEN, ref=row.ref, content=content)
        return queries.card_of(row, subject, replayed=True)
    standing.settle(viewer, held, now)
    once.made(viewer, verb=GIVEN, target=("vet_order", row.ref), content=content, at=now)
    return queries.card_of(row, subject)
