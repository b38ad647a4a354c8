"""One horse: where it stands, what is open, and everything that was read of it."""

from datetime import datetime
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_safe

from scoring.pages import (
    answers,
    done,
    horse_acts,
    horse_chart,
    horse_photos,
    horse_tables,
    labels,
    pictures,
    rules,
    vet_shown,
    vet_tables,
    weight_said,
)
from scoring.queries import alerts as alert_queries
from scoring.queries import (
    assessments,
    concerns,
    first_words,
    photos,
    rule_exceptions,
    standing,
    vet_orders,
    wanting,
    weighings,
    wording,
)
from scoring.queries.assessments import AssessmentAnswer
from scoring.rules import due
from yards.pages import frame, tables, words
from yards.pages.screen import screen
from yards.queries import events, horses, paging, tastes, yards
from yards.rules import bidi
from yards.rules import horse as rule
from yards.rules.roles import Verb, Viewer, may

SHOWN = 12


@require_safe
@screen("horse", "horse")
def horse(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Show one horse: what is open first, then where it stands, then its readings."""
    card = horses.get_horse(viewer, id)
    yard = yards.get_yard(viewer, card.yard.ref)
    zone = yard.time_zone
    found = alert_queries.list_alerts(
        viewer, alert_queries.Wanted(horse=id, state=alert_queries.UNRESOLVED)
    )
    held = standing.get_standing(viewer, id, now=now)
    scored = assessments.list_assessments(viewer, wanting.Wanted(horse=id), size=SHOWN)
    context: dict[str, Any] = {
        "horse": {**answers.horse_named(card), "about": _about(card), "is_here": _is_here(card)},
        "described": first_words.described(viewer, card),
        "facts": _facts(card),
        **horse_acts.shown(viewer, card),
        "alerts": answers.alerts(viewer, found.items, now),
        "stands": {**_stands(held, zone), **_due(held, card, zone, now)},
        "use_known": words.is_use_known(card),
        "merged_into": card.merged_into,
        "caution_weight": gettext("Estimate: not for drug doses without the vet."),
        "noted": horse_tables.last_note(horse_tables.by_time(scored.items)),
        "parts": _parts(viewer, card, zone, now, scored),
        "pictures": pictures.shown(photos.of_horse(viewer, id), card.name, zone),
        "pair": horse_photos.pair(viewer, id, card.name, request.GET.dict(), zone),
        "chart": horse_chart.section(request, viewer, card, now=now, zone=zone),
        "vet": vet_shown.of_horse(viewer, card, zone, now),
        **done.shown(request, viewer, card, zone, now=now),
    }
    return frame.page(request, viewer, "scoring/horse.html", context, now=now, zone=zone)


def _is_here(card: horses.HorseCard) -> bool:
    return card.status in rule.HERE


def _about(card: horses.HorseCard) -> str:
    said = [words.kind(card.kind) or words.species(card.species), words.sex(card.sex)]
    if card.height_cm is not None:
        said.append(tastes.height(card.height_cm))
    if card.status != "present":
        said.append(words.status(card.status))
    return ", ".join(each for each in said if each)


def _facts(card: horses.HorseCard) -> list[tuple[str, str]]:
    born = card.born or ""
    if born and card.born_basis != "unknown":
        born = gettext("{born}, by {basis}").format(
            born=born, basis=words.born_basis(card.born_basis)
        )
    told = [
        (gettext("Born"), born),
        (gettext("Transponder"), card.transponder),
        (gettext("UELN"), card.ueln),
        (gettext("Breeding"), "" if card.breeding == "not_bred" else words.breeding(card.breeding)),
        (gettext("Laminitis"), words.laminitis(card.laminitis)),
        (gettext("Endocrine disease"), words.endocrine(card.endocrine)),
    ]
    return [each for each in told if each[1]]


def _stands(card: standing.StandingCard, zone: str) -> dict[str, Any]:
    rate = card.rate_per_month
    scored = card.overall.at if card.overall is not None else card.last_assessed_at
    level = rate is not None and rate.low <= 0 <= rate.high
    return {
        "overall": card.overall,
        "scored_on": _on(scored, zone),
        "last": card.last_overall,
        "last_on": _on(card.last_assessed_at, zone),
        "place_label": labels.placed(card.place, card.last_overall, card.band),
        "band": card.band,
        "band_why": " ".join(wording.say(*each) for each in card.band_why),
        "rate": labels.decimal(rate.value) if rate else None,
        "rate_low": labels.decimal(rate.low) if rate else None,
        "rate_high": labels.decimal(rate.high) if rate else None,
        "rate_label": labels.rate(rate.value, level) if rate else wording.say(card.reason),
        "is_level": level,
        "weighed": card.weighed is not None,
        "weights": weight_said.lines(card.weighed, card.weight_kg, zone),
    }


def _on(at: datetime | None, zone: str) -> str:
    return words.day(at, zone) if at is not None else ""


def _due(
    card: standing.StandingCard, animal: horses.HorseCard, zone: str, now: datetime
) -> dict[str, Any]:
    """Return what is due of a horse that is here; of any other nothing is."""
    if animal.status != "present":
        return {"due": [], "why": ""}
    asked = {"score": card.due.score_at, "weight": card.due.weight_at, "check": card.due.check_at}
    told = [_when(what, at, zone, now) for what, at in asked.items() if at is not None]
    return {"due": told, "why": wording.say(card.due.why)}


def _when(what: str, at: datetime, zone: str, now: datetime) -> dict[str, Any]:
    day = at.astimezone(ZoneInfo(zone)).date()
    state = due.state(at, now, zone)
    late = (now.astimezone(ZoneInfo(zone)).date() - day).days
    return {
        "label": labels.due(state, day, late, what),
        "on": words.day(day),
        "state": state,
    }


def _parts(
    viewer: Viewer,
    card: horses.HorseCard,
    zone: str,
    now: datetime,
    scored: paging.Page[AssessmentAnswer],
) -> list[dict[str, Any]]:
    """Return the lists below, each with its heading, most read first."""
    wanted = wanting.Wanted(horse=card.ref)
    correct = may(viewer, Verb.CORRECT_READINGS)
    weighed = weighings.list_weighings(viewer, wanted, size=SHOWN)
    happened = events.list_events(viewer, card.ref, size=SHOWN)
    ordered = vet_orders.list_vet_orders(viewer, card.ref, size=SHOWN)
    seen = concerns.list_concerns(viewer, card.ref)
    stood = horses.list_stays(viewer, card.ref)
    taken = [each.id for each in scored.items] + [each.id for each in seen]
    newest = horse_tables.by_time(scored.items)
    shots = pictures.by_reading(photos.of_readings(viewer, taken), card.name, zone)
    parts = [
        (
            gettext("Condition scores"),
            horse_tables.readings(newest, may_correct=correct, photos=shots),
            reverse("scoring:readings", args=[card.ref]) if scored.next else "",
        ),
        (
            gettext("Weights"),
            horse_tables.weights(weighed.items, may_correct=correct),
            reverse("scoring:weights", args=[card.ref]) if weighed.next else "",
        ),
        (gettext("Concerns"), horse_tables.concerns(seen, shots), ""),
        (gettext("Events"), horse_tables.events(happened.items, zone), ""),
        (gettext("Vet's orders"), vet_tables.orders(viewer, ordered.items, zone, now), ""),
        *vet_tables.asked(viewer, card, zone),
        (gettext("Exceptions to rules"), _exceptions(viewer, card, now), ""),
        (gettext("Where it has stood"), horse_tables.stays(stood, zone), ""),
    ]
    return [{"title": title, "table": table, "all": more} for title, table, more in parts]


def _exceptions(viewer: Viewer, card: horses.HorseCard, now: datetime) -> tables.Table:
    """Return the exceptions to risk rules that act on this horse now, its yard's among them."""
    found = rule_exceptions.of_horse(viewer, card.ref, now=now)
    return tables.Table(
        caption=gettext("Exceptions to rules"),
        columns=(gettext("Rule"), gettext("What"), gettext("Why"), gettext("Until")),
        rows=[rules.exception_row(viewer, each, named=True) for each in found],
        empty=gettext("No exceptions: every risk rule acts on it as on the others"),
    )


@require_safe
@screen("readings", "horse")
def readings(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """List every score of a horse, last received first."""
    page = assessments.list_assessments(
        viewer, wanting.Wanted(horse=id), cursor=request.GET.get("cursor") or None
    )
    older = tables.query(cursor=page.next) if page.next else ""
    card = horses.get_horse(viewer, id)
    shots = photos.of_readings(viewer, [each.id for each in page.items])
    zone = yards.get_yard(viewer, card.yard.ref).time_zone
    table = horse_tables.readings(
        page.items,
        may_correct=may(viewer, Verb.CORRECT_READINGS),
        older=older,
        photos=pictures.by_reading(shots, card.name, zone),
    )
    return _listed(request, viewer, id, table, now=now)


@require_safe
@screen("weights", "horse")
def weights(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """List every weight of a horse, last received first."""
    page = weighings.list_weighings(
        viewer, wanting.Wanted(horse=id), cursor=request.GET.get("cursor") or None
    )
    older = tables.query(cursor=page.next) if page.next else ""
    table = horse_tables.weights(
        page.items, may_correct=may(viewer, Verb.CORRECT_READINGS), older=older
    )
    return _listed(request, viewer, id, table, now=now)


def _listed(
    request: HttpRequest, viewer: Viewer, ref: UUID, table: tables.Table, *, now: datetime
) -> HttpResponse:
    card = horses.get_horse(viewer, ref)
    zone = yards.get_yard(viewer, card.yard.ref).time_zone
    context = {
        "title": gettext("{what}: {name}").format(
            what=table.caption, name=bidi.isolated(card.name)
        ),
        "lead": gettext("Last received first. Times in {zone}.").format(zone=zone),
        "back": (reverse("scoring:horse", args=[ref]), card.name),
        "table": table,
    }
    return frame.page(request, viewer, "yards/list.html", context, now=now, zone=zone)
