"""Doors to what passes between staff and vet: questions, clinical notes and orders.

In scope by where the horse stands now, those of an unknown animal that turned out to be another
with that one too.
"""

from uuid import UUID

from django.db.models import Q, QuerySet

from scoring.models import ClinicalNote, Question, VetOrder
from yards import isolation
from yards.access import doors
from yards.rules import errors
from yards.rules.roles import Verb, Viewer


def _scope(viewer: Viewer) -> Q:
    isolation.required(viewer)
    return doors.scope_of_kin(viewer)


def questions_in_scope(viewer: Viewer) -> QuerySet[Question]:
    """Return the questions that the viewer may know of."""
    return Question.objects.filter(_scope(viewer), organisation_id=viewer.organisation)


def question_for_read(viewer: Viewer, ref: UUID) -> Question:
    """Return one question with its horse, or raise NotFound."""
    found = questions_in_scope(viewer).filter(ref=ref).select_related("horse").first()
    if found is None:
        raise errors.NotFound
    return found


def notes_in_scope(viewer: Viewer) -> QuerySet[ClinicalNote]:
    """Return the clinical notes of horses that the viewer may know of, whatever the role.

    Nothing of them is shown without ``Verb.READ_CLINICAL``: ask for it before anything is read.
    """
    return ClinicalNote.objects.filter(_scope(viewer), organisation_id=viewer.organisation)


def note_for_read(viewer: Viewer, ref: UUID) -> ClinicalNote:
    """Return one clinical note with its horse, or raise NotFound or NotAllowed."""
    found = notes_in_scope(viewer).filter(ref=ref).select_related("horse").first()
    if found is None:
        raise errors.NotFound
    doors.require(viewer, Verb.READ_CLINICAL)
    return found


def orders_in_scope(viewer: Viewer) -> QuerySet[VetOrder]:
    """Return the vets' orders that the viewer may know of."""
    return VetOrder.objects.filter(_scope(viewer), organisation_id=viewer.organisation)


def order_for_read(viewer: Viewer, ref: UUID) -> VetOrder:
    """Return one order with its horse, or raise NotFound."""
    found = orders_in_scope(viewer).filter(ref=ref).select_related("horse").first()
    if found is None:
        raise errors.NotFound
    return found
