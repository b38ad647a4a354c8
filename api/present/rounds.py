"""Rounds: what a phone takes along, what it opens after the hand, and the walking order."""

from api.present import forms, instruments, people, weight_formulas
from scoring.queries import wording
from scoring.queries.after_round import AfterHorse, LastScore
from scoring.queries.rounds import RoundHorse, RoundKit
from yards.queries.walks import WalkCard


def kit(found: RoundKit) -> dict[str, object]:
    """Return a round to take along; nothing in it anchors the hand."""
    walked = found.round
    yard = walked.yard
    return {
        "yard": {"id": str(yard.ref), "name": yard.name, "time_zone": yard.time_zone},
        "vet": {
            "practice": yard.vet.practice,
            "phone": yard.vet.phone,
            "out_of_hours_phone": yard.vet.out_of_hours_phone,
            "second_phone": yard.vet.second_phone,
        },
        "made_at": forms.instant(walked.made_at),
        "person": people.person(found.person),
        "organisation": str(found.organisation),
        "overall_rule": found.overall_rule,
        "horses": [_horse(each) for each in walked.horses],
        "instruments": [instruments.instrument(each) for each in found.instruments],
        "formulas": [weight_formulas.formula(each) for each in found.formulas],
    }


def _horse(found: RoundHorse) -> dict[str, object]:
    return {
        "id": str(found.id),
        "name": found.name,
        "species": found.species,
        "kind": forms.chosen(found.kind),
        "sex": forms.chosen(found.sex),
        "use": found.use,
        "breeding": forms.chosen(found.breeding),
        "born": found.born,
        "height_cm": forms.tenths(found.height_cm),
        "is_unknown": found.is_unknown,
        "scale": found.scale,
        "order": found.order,
        "due": {
            "score_at": forms.instant(found.due.score_at),
            "weight_at": forms.instant(found.due.weight_at),
            "state": found.due.state,
        },
        "caution": found.caution,
        "foal_at_foot": found.foal_at_foot,
    }


def after(found: AfterHorse) -> dict[str, object]:
    """Return what one horse's new score is held against."""
    band = found.band
    return {
        "id": str(found.id),
        "last": None if found.last is None else _last(found.last),
        "band": {
            "low": forms.points(band.low),
            "aim": forms.points(band.aim),
            "high": forms.points(band.high),
            "scale": found.band_scale,
        },
        "place": forms.chosen(found.place),
        "open_alerts": [
            {
                "title": wording.title(each.rule),
                "severity": each.severity,
                "advice": wording.finding(each.said).advice,
            }
            for each in found.alerts
        ],
        "next_due_days": found.next_due_days,
    }


def _last(last: LastScore) -> dict[str, object]:
    return {
        "at": forms.instant(last.at),
        "overall": forms.mean(last.overall),
        "regions": forms.regions(last.regions),
        "scale": last.scale,
        "weight_kg": forms.tenths(last.weight_kg),
        "weighed_at": None if last.weighed_at is None else forms.instant(last.weighed_at),
    }


def walk(found: WalkCard) -> dict[str, object]:
    """Return a yard's walking order: those that are here, those without a place last."""
    return {
        "yard": str(found.yard),
        "horses": [str(each.ref) for each in found.horses],
        "version": found.version,
    }
