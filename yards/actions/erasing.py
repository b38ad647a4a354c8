"""Erasing a person from one organisation: let go, called by an alias, what was said of them gone.

What they did of horses stays, under the alias: it is about the animal. The entries stay as they
are, with their leaves: only what some of them said is removed. ``texts`` has the alias take
the place of the name in what others wrote, too.
"""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

import uuid_utils.compat as uuid_utils
from django.utils.translation import gettext

from yards import isolation
from yards.access import doors
from yards.actions import after, emptying, glass, grants, invitations, letters, once, tokens
from yards.models import (
    EntryPayload,
    ErasedPayload,
    Erasure,
    GlassBreak,
    Token,
)
from yards.queries import erasing, people
from yards.queries.erasing import Known
from yards.rules import erasure as rule
from yards.rules import errors
from yards.rules.errors import FieldError
from yards.rules.roles import Viewer

ERASED = "person.erased"
# A vet's grant must have a number and a register; these stand for the ones that were there.
NOTHING = "–"
# Of what an invitation offers: what tells who they are.
NAMING = frozenset({"reason", "registration_number", "register"})


def erase(viewer: Viewer, person: UUID, raw: Mapping[str, Any], *, now: datetime) -> once.Made:
    """Erase a person from ``{reason, texts, understood}``; once more changes nothing.

    Raises NotFound for somebody unknown here, NotAllowed, Invalid, or Conflict for oneself.
    """
    isolation.required(viewer)
    known = erasing.known(viewer, person)
    # Two at once wait for each other: the second finds the first, and each alias is one person's.
    grants.one_at_a_time(viewer)
    first = erasing.erasures(viewer).filter(person_id=person).first()
    if first is not None:
        return once.Made(first.ref, True, once.receipt(viewer, verb=ERASED, ref=person))
    own = doors.person_of(viewer)
    if person == own:
        raise errors.Conflict(FieldError("", "erase_yourself"))
    facts = rule.check(raw, known.known_as)
    about = erasing.entries_about(viewer, known)
    number = erasing.erasures(viewer).count() + 1
    alias = gettext("Erased person {number}").format(number=number)
    _let_go(viewer, known, facts.reason, now)
    _forget(viewer, known, alias)
    made = Erasure.objects.create(
        organisation_id=viewer.organisation,
        ref=uuid_utils.uuid7(),
        person_id=person,
        number=number,
        alias=alias,
        at=now,
        by_id=own,
        reason=facts.reason,
    )
    after.erased(viewer, person, alias, now)
    texts = after.unnamed(viewer, person) if facts.texts else 0
    # Asked now, so that nothing that was entered meanwhile is passed over.
    entries = sorted(about | erasing.entries_naming(viewer, known))
    _empty(viewer, made, entries)
    emptying.ask(person, now=now)
    said = {"alias": alias, "reason": facts.reason, "emptied": len(entries), "texts": texts}
    done = once.made(viewer, verb=ERASED, target=("person", person), content=said, at=now)
    return once.Made(made.ref, False, done.receipt)


def _let_go(viewer: Viewer, known: Known, reason: str, now: datetime) -> None:
    """End whatever lets them in, each with its own entry, as if it were ended by hand."""
    for ref in list(erasing.standing_grants(viewer, known.id, now).values_list("ref", flat=True)):
        grants.revoke_grant(viewer, ref, {"reason": reason}, now=now)
    theirs = Token.objects.filter(organisation_id=viewer.organisation, person_id=known.id)
    for ref in list(theirs.filter(revoked_at__isnull=True).values_list("ref", flat=True)):
        tokens.revoke_token(viewer, ref, now=now)
    waiting = erasing.invitations_of(viewer, known.id).filter(
        accepted_at__isnull=True, revoked_at__isnull=True
    )
    for ref in list(waiting.values_list("ref", flat=True)):
        invitations.withdraw(viewer, ref, now=now)
    looks = GlassBreak.objects.filter(
        organisation_id=viewer.organisation, person_id=known.id, ended_at__isnull=True
    )
    for ref in list(looks.values_list("ref", flat=True)):
        glass.end(viewer, ref, now=now)


def _forget(viewer: Viewer, known: Known, alias: str) -> None:
    """Take out of the rows about them what names them; what somebody else wrote is not here."""
    theirs = people.grants_here(viewer).filter(person_id=known.id)
    theirs.update(reason="")
    theirs.filter(role="vet").update(registration_number=NOTHING, register=NOTHING)
    Token.objects.filter(organisation_id=viewer.organisation, person_id=known.id).update(
        label=alias
    )
    offered = erasing.invitations_of(viewer, known.id)
    letters.call_off(viewer, list(offered.values_list("ref", flat=True)))
    for row in list(offered):
        row.email, row.digest = alias, None
        row.body = {name: each for name, each in row.body.items() if name not in NAMING}
        row.save(update_fields=["email", "body", "digest"])


def _empty(viewer: Viewer, erasure: Erasure, entries: list[int]) -> None:
    ErasedPayload.objects.bulk_create(
        ErasedPayload(
            organisation_id=viewer.organisation,
            ref=uuid_utils.uuid7(),
            erasure=erasure,
            entry_id=entry,
        )
        for entry in entries
    )
    # By the rows just written: there may be more of them than a statement can list.
    gone = ErasedPayload.objects.filter(organisation_id=viewer.organisation, erasure=erasure)
    EntryPayload.objects.filter(
        organisation_id=viewer.organisation, entry_id__in=gone.values("entry_id")
    ).delete()
