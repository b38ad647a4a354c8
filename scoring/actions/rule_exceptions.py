"""Exceptions to a risk rule: for one yard or one horse, with a reason and an end."""

from datetime import datetime
from uuid import UUID

from scoring.access import own_rules as access
from scoring.actions import rejudging
from scoring.models import RuleException
from scoring.queries import own_rules as settings
from scoring.queries import rule_exceptions as queries
from scoring.rules import own_rule
from yards import audit, isolation
from yards.access import doors
from yards.actions import once
from yards.rules import errors
from yards.rules.errors import FieldError
from yards.rules.roles import Verb, Viewer

GIVEN, ENDED = "rule_exception.given", "rule_exception.ended"


def give(viewer: Viewer, raw: object, *, now: datetime) -> queries.ExceptionCard:
    """Make an exception; one of the same rule and subject that stands is ended by it.

    A coordinator may for a yard or a horse, a vet for a horse in scope. The same id and content
    again is a replay. Raises NotAllowed, Invalid or Conflict.
    """
    isolation.required(viewer)
    doors.require(viewer, Verb.EXCEPT_HORSES)
    wanted = own_rule.exception(raw, now=now)
    scope = _scope(viewer, wanted)
    content = wanted.content()
    # The sweep's timer is locked by it, so that of two at once the later finds the first's row.
    rejudging.due_now(viewer, scope, now)
    known = _known(wanted.id)
    if known is not None:
        once.replayed(viewer, verb=GIVEN, ref=known.ref, content=content)
        return queries.get_exception(viewer, known.ref, now=now, replayed=True)
    standings = rejudging.held(wanted.rule, scope)
    before = rejudging.own_of(standings, now)
    _replaced(viewer, wanted.rule, scope, now)
    row = _row(viewer, wanted, scope, content, now)
    row.save(force_insert=True)
    rejudging.rejudge(viewer, wanted.rule, before, standings, now=now)
    once.made(viewer, verb=GIVEN, target=("rule_exception", row.ref), content=content, at=now)
    return queries.get_exception(viewer, row.ref, now=now)


def end(viewer: Viewer, ref: UUID, raw: object, *, now: datetime) -> queries.ExceptionCard:
    """End an exception before its time, with a reason; its horses are judged anew.

    Raises NotFound, NotAllowed, Invalid, or Conflict when it is over already.
    """
    row = access.exception_for_end(viewer, ref)
    reason = own_rule.ending(raw)
    scope = rejudging.Scope(row.yard, row.horse)
    rejudging.due_now(viewer, scope, now)
    standings = rejudging.held(row.rule, scope)
    row = access.exception_locked(row)
    if row.ended_at is not None or row.until_at <= now:
        raise errors.Conflict(FieldError("", "exception_is_over"))
    before = rejudging.own_of(standings, now)
    row.ended_at, row.ended_by_id, row.end_reason = now, doors.person_of(viewer), reason
    row.save(update_fields=["ended_at", "ended_by", "end_reason"])
    rejudging.rejudge(viewer, row.rule, before, standings, now=now)
    payload = {"rule": row.rule, "reason": reason, "until": audit.stamp(row.until_at)}
    audit.record(viewer, verb=ENDED, target=("rule_exception", row.ref), payload=payload, at=now)
    return queries.get_exception(viewer, row.ref, now=now)


def _scope(viewer: Viewer, wanted: own_rule.Exempted) -> rejudging.Scope:
    """Return what an exception is of; what is out of reach is refused as if it never was."""
    try:
        if wanted.yard is not None:
            doors.require(viewer, Verb.CHANGE_RULES)
            return rejudging.Scope(yard=doors.yard_for_read(viewer, wanted.yard))
        horse = doors.horse_for_read(viewer, wanted.horse or UUID(int=0))
    except errors.NotFound:
        name = "yard" if wanted.yard is not None else "horse"
        raise errors.Invalid(FieldError(name, "unknown_reference")) from None
    if horse.ended_at is not None:
        raise errors.Invalid(FieldError("horse", "no_longer_here"))
    return rejudging.Scope(horse=horse)


def _known(ref: UUID | None) -> RuleException | None:
    return RuleException.objects.filter(ref=ref).first() if ref is not None else None


def _replaced(viewer: Viewer, rule: str, scope: rejudging.Scope, now: datetime) -> None:
    """End what stands of the same rule and subject, be it over by its time already."""
    held = RuleException.objects.filter(
        rule=rule, yard=scope.yard, horse=scope.horse, ended_at__isnull=True
    )
    held.update(ended_at=now, ended_by=viewer.person)


def _row(
    viewer: Viewer,
    wanted: own_rule.Exempted,
    scope: rejudging.Scope,
    content: dict[str, object],
    now: datetime,
) -> RuleException:
    return RuleException(
        organisation_id=viewer.organisation,
        ref=once.new_ref(wanted.id),
        rule=wanted.rule,
        yard=scope.yard,
        horse=scope.horse,
        **settings.stored(wanted.setting),
        reason=wanted.reason,
        given_by_id=doors.person_of(viewer),
        given_at=now,
        until_at=wanted.until_at,
        content_digest=once.digest(content),
    )
