"""What a score came to and what an alert says, as the templates show them."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.utils.formats import date_format
from django.utils.translation import gettext

from scoring.pages import choices, labels, noted, summed, vet_said
from scoring.queries import assessments, standing, vet_words, wording
from scoring.queries.alerts import AlertCard, Reader
from scoring.rules import board, ladder
from yards.pages import words
from yards.queries.horses import HorseCard
from yards.rules.roles import Role, Viewer


def horse_named(horse: HorseCard) -> dict[str, Any]:
    """Return how a page names a horse."""
    return {
        "id": horse.ref,
        "name": horse.name,
        "yard_id": horse.yard.ref,
        "yard_name": horse.yard.name,
        "use_label": words.use_of(horse),
        "species": horse.species,
        "handling": horse.handling,
        "sex": horse.sex,
    }


def scored(
    viewer: Viewer, found: assessments.AssessmentAnswer, horse: HorseCard, now: datetime
) -> dict[str, Any]:
    """Return an assessment with its words; what is due next comes from the horse's standing."""
    held = standing.get_standing(viewer, found.horse, now=now)
    zone = ZoneInfo(found.time_zone)
    weighed = found.weighing
    return {
        "id": found.id,
        "horse": horse_named(horse),
        "scale": found.scale,
        "scale_label": choices.scale_label(found.scale),
        "manner": found.manner,
        "taken_label": labels.at(found.corrected_taken_at, found.time_zone),
        "assessor_name": found.assessor.name,
        "recorded_by_name": found.recorded_by_name,
        "overall": found.overall,
        "summed": summed.up(found),
        "suggested": summed.suggested(found),
        "regions": found.regions,
        "regions_used": found.regions_used,
        "fat_pocket": found.fat_pocket,
        "fattest": list(found.fattest_regions) if len(found.fattest_regions) == 1 else [],
        "not_safe": list(found.not_safe),
        "by_eye": found.by_eye,
        "crest": found.crest,
        "noted": noted.all_of(found),
        "band": found.band,
        "place": found.place,
        "place_label": labels.distance(found.place, found.overall, found.band)
        if found.place
        else "",
        "place_why": labels.why(found.place, found.overall, found.band),
        "next_label": gettext("Score again by {day}").format(day=_day(held.due.score_at, zone)),
        "next_hint": f"{wording.say(held.due.why)}. {_weight_due(held.due.weight_at, now, zone)}",
        "alerts": [_seen(each, found, horse) for each in found.alerts],
        "weighing": None
        if weighed is None
        else {
            "weight_kg": weighed.weight_kg,
            "method_label": ", ".join(
                each for each in (choices.method(weighed.method), weighed.instrument_label) if each
            ),
            "estimate": weighed.method != "weighbridge",
        },
        "receipt": {"entry": found.receipt.entry, "leaf": found.receipt.leaf},
        "replayed": found.replayed,
        "supersedes": found.supersedes,
        "superseded_by": found.superseded_by,
        "reason": found.reason,
    }


def _day(at: datetime, zone: ZoneInfo) -> str:
    return date_format(at.astimezone(zone), "D j M")


def _weight_due(at: datetime, now: datetime, zone: ZoneInfo) -> str:
    if at.astimezone(zone).date() < now.astimezone(zone).date():
        return gettext("The weight is overdue.")
    return gettext("Weigh by {day}.").format(day=_day(at, zone))


def _seen(
    seen: assessments.SeenAlert, found: assessments.AssessmentAnswer, horse: HorseCard
) -> dict[str, Any]:
    said = wording.finding(seen.said)
    return {
        "id": seen.id,
        "horse_name": horse.name,
        "yard_id": horse.yard.ref,
        "yard_name": horse.yard.name,
        "severity": seen.severity,
        "state": seen.state,
        "label": wording.title(seen.rule),
        "reason": said.reason,
        "evidence": " ".join(said.evidence),
        "advice": said.advice,
        "what_not_to_do": said.what_not_to_do,
        "opened_label": gettext("Opened {at}").format(
            at=labels.at(seen.opened_at, found.time_zone)
        ),
        "vet": seen.vet,
        "version": seen.version,
    }


def alerts(viewer: Viewer, cards: Sequence[AlertCard], now: datetime) -> list[dict[str, Any]]:
    """Return alerts as they stand now, each with the vet's last word since it opened."""
    since: dict[UUID, datetime] = {}
    for card in (each for each in cards if each.state != ladder.RESOLVED):
        since[card.horse] = min(card.opened_at, since.get(card.horse, card.opened_at))
    said = vet_words.spoken(viewer, since)
    return [
        alert(viewer, each, now, vet_words.last(said, each.horse, each.opened_at)) for each in cards
    ]


def alert(
    viewer: Viewer, card: AlertCard, now: datetime, word: vet_words.Word | None
) -> dict[str, Any]:
    """Return an alert as it stands now, in words, with a vet's ``word`` since it opened."""
    said = wording.finding(card.said)
    resolved = None
    if card.resolved_at is not None:
        resolved = {
            "by": card.resolved_by.name if card.resolved_by else gettext("by a reading"),
            "at_label": labels.at(card.resolved_at, card.time_zone),
            "reason": card.resolve_reason or gettext("The cause is gone."),
            "vet_said": card.vet_said,
        }
    return {
        "id": card.id,
        "horse_id": card.horse,
        "horse_name": card.horse_name,
        "yard_name": card.yard_name,
        "severity": card.severity,
        "state": card.state,
        "escalated": card.escalated_at is not None,
        "passed": board.is_passed(card.state, card.next_step_by, now),
        "rule": card.rule,
        "label": wording.title(card.rule),
        "reason": said.reason,
        "evidence": " ".join(said.evidence),
        "advice": said.advice,
        "what_not_to_do": said.what_not_to_do,
        "opened_label": gettext("Opened {at}").format(at=labels.at(card.opened_at, card.time_zone)),
        "next_step_label": _next(viewer, card, now, word),
        "vet_said": vet_said.sentence(word, card.time_zone)
        if word is not None and card.state != ladder.RESOLVED
        else "",
        "vet": card.vet,
        "version": card.version,
        "acknowledged": _taken(card) if card.state == "acknowledged" else None,
        "resolved": resolved,
    }


def _taken(card: AlertCard) -> dict[str, str] | None:
    """Return who took an alert on, and what happens next by when."""
    if card.acknowledged_at is None or card.next_step_by is None:
        return None
    return {
        "by": card.acknowledged_by.name if card.acknowledged_by else "",
        "at_label": labels.at(card.acknowledged_at, card.time_zone),
        "note": card.note,
        "next_step": card.next_step,
        "by_when_label": labels.at(card.next_step_by, card.time_zone),
    }


def read_by(reader: Reader | None, zone: str) -> str:
    """Return who read what an alert rests on, if anybody is on record for it."""
    if reader is None:
        return ""
    return wording.read_by(reader.name, labels.at(reader.at, zone), reader.manner)


def _next(viewer: Viewer, card: AlertCard, now: datetime, word: vet_words.Word | None) -> str:
    if card.state == "acknowledged" and card.next_step_by is not None:
        at = labels.at(card.next_step_by, card.time_zone)
        if card.next_step_by < now:
            told = gettext("The next step was to be done by {at}: that has passed.")
            return told.format(at=at)
        return gettext("Next step by {at}.").format(at=at)
    if card.state == "open" and word is not None:
        return gettext("A vet has spoken since it opened. Nobody has acknowledged it yet.")
    return _unanswered(viewer, card)


def _unanswered(viewer: Viewer, card: AlertCard) -> str:
    if card.escalated_at is None and card.exhausted_at is None:
        return ""
    if viewer.role is Role.VET:
        return gettext("Nobody answered in time: the yard was told to call its vet.")
    if card.exhausted_at is not None:
        return gettext("Everybody has been told, nobody has answered: call the vet.")
    return gettext("Nobody answered in time: call the vet.")
