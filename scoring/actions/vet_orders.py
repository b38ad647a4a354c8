"""A vet's order for one horse: its band and how often to look, with a reason and an end."""

from dataclasses import replace
from datetime import datetime
from uuid import UUID

from scoring.access import vet
from scoring.actions import standing, subjects
from scoring.models import VetOrder, VetOrderEnd
from scoring.queries import vet_orders as queries
from scoring.rules import vet_order as rule
from yards.access import doors
from yards.actions import once
from yards.rules import errors
from yards.rules.errors import FieldError
from yards.rules.roles import Verb, Viewer

GIVEN, ENDED = "vet_order.given", "vet_order.ended"


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


def end_vet_order(viewer: Viewer, ref: UUID, raw: object, *, now: datetime) -> queries.VetOrderCard:
    """End an order that is in force, with a ``reason``; the same again is a replay.

    Only a vet may. What the house itself sets, or an older order still in force, holds from now on.
    Raises NotFound, NotAllowed, Invalid, or Conflict for one that has come to its end.
    """
    order = vet.order_for_read(viewer, ref)
    doors.require(viewer, Verb.OVERRIDE_BANDS)
    said = rule.check_end(raw)
    held = subjects.locked(order.horse)
    first = VetOrderEnd.objects.filter(order_id=order.id).first()
    if first is not None:
        same = (first.reason, first.ended_by_id) == (said.reason, viewer.person)
        if not same or said.id not in (None, first.ref):
            raise errors.Conflict(FieldError("", "order_has_ended"))
        return replace(queries.card(order.ref), replayed=True)
    if order.until_at <= now:
        raise errors.Conflict(FieldError("", "order_has_ended"))
    row = VetOrderEnd(
        organisation_id=viewer.organisation,
        ref=once.new_ref(said.id),
        order=order,
        reason=said.reason,
        ended_by_id=doors.person_of(viewer),
        ended_at=now,
    )
    if not once.insert(row)[1]:  # the id is another order's
        raise errors.Conflict(FieldError("id", "same_id_other_content"))
    standing.settle(viewer, held, now)
    content = {"reason": said.reason, "horse": order.horse.ref}
    once.made(viewer, verb=ENDED, target=("vet_order", order.ref), content=content, at=now)
    return queries.card(order.ref)
