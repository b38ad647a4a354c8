"""Doors to alerts: in scope by where the horse stands now, or not found."""

from uuid import UUID

from django.db.models import QuerySet

from scoring.models import Alert, AlertAct, Standing
from yards import isolation
from yards.access import doors
from yards.rules import errors
from yards.rules.roles import Verb, Viewer


def alerts_in_scope(viewer: Viewer) -> QuerySet[Alert]:
    """Return the alerts that the viewer may know of."""
    isolation.required(viewer)
    return Alert.objects.filter(
        doors.scope(viewer, horse="horse_id", yard="horse__yard_id"),
        organisation_id=viewer.organisation,
    )


def alert_for_read(viewer: Viewer, ref: UUID) -> Alert:
    """Return one alert with its horse and that horse's yard, or raise NotFound or NotAllowed."""
    found = alerts_in_scope(viewer).filter(ref=ref).select_related("horse__yard").first()
    if found is None:
        raise errors.NotFound
    doors.require(viewer, Verb.READ_ALERTS)
    return found


def alert_for_answer(viewer: Viewer, ref: UUID) -> Alert:
    """Return one alert locked for an answer, or raise NotFound or NotAllowed.

    The horse's standing is locked first, as by everybody who writes about a horse.
    """
    found = alert_for_read(viewer, ref)
    doors.require(viewer, Verb.ANSWER_ALERTS)
    list(Standing.objects.select_for_update().filter(horse_id=found.horse_id).values_list("id"))
    return Alert.objects.select_for_update(of=("self",)).select_related("horse__yard").get(ref=ref)


def alert_for_comment(viewer: Viewer, ref: UUID) -> Alert:
    """Return one alert to say something about, or raise NotFound or NotAllowed."""
    found = alert_for_read(viewer, ref)
    doors.require(viewer, Verb.ANSWER_ALERTS)
    return found


def acts_in_scope(viewer: Viewer) -> QuerySet[AlertAct]:
    """Return what was done about the alerts that the viewer may know of."""
    isolation.required(viewer)
    return AlertAct.objects.filter(
        doors.scope(viewer, horse="alert__horse_id", yard="alert__horse__yard_id"),
        organisation_id=viewer.organisation,
    )
