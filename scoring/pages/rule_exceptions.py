"""An exception to a risk rule: for one horse or one yard, previewed, with a reason and an end."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.utils.text import capfirst
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods

from scoring.access import own_rules as access
from scoring.actions import rule_exceptions as actions
from scoring.pages import rule_forms, rule_seen
from scoring.queries import replaying, rule_words, season_words, wording
from scoring.queries import rule_exceptions as queries
from scoring.rules import own_rule, risk
from yards.access import doors
from yards.pages import forms, sheets
from yards.pages.controls import Control, last_day
from yards.pages.screen import Sure, screen
from yards.queries import horses, yards
from yards.rules import errors
from yards.rules.roles import Verb, Viewer


@require_http_methods(forms.METHODS)
@screen("exception to a rule", "horse", sure=Sure(Verb.EXCEPT_HORSES))
def except_horse(
    request: HttpRequest, viewer: Viewer, now: datetime, rule: str, id: UUID
) -> HttpResponse:
    """Make an exception for one horse."""
    access.rule_known(rule)
    card = horses.get_horse(viewer, id)
    doors.require(viewer, Verb.EXCEPT_HORSES)
    zone = yards.get_yard(viewer, card.yard.ref).time_zone
    back = (reverse("scoring:horse", args=[id]), card.name)
    return _answered(
        request, viewer, now, _form(rule, back, zone), {"rule": rule, "horse": str(id)}
    )


@require_http_methods(forms.METHODS)
@screen("exception to a rule", "yard", sure=Sure(Verb.CHANGE_RULES))
def except_yard(
    request: HttpRequest, viewer: Viewer, now: datetime, rule: str, id: UUID
) -> HttpResponse:
    """Make an exception for one yard."""
    access.rule_known(rule)
    card = yards.get_yard(viewer, id)
    doors.require(viewer, Verb.CHANGE_RULES)
    form = _form(rule, (reverse("scoring:rule", args=[rule]), card.name), card.time_zone)
    return _answered(request, viewer, now, form, {"rule": rule, "yard": str(id)})


def _form(rule: str, back: tuple[str, str], zone: str) -> forms.Form:
    title = gettext("Exception for {name}: {rule}")
    on = {} if rule in risk.PROTECTS_LIFE else {"on": "true"}
    return forms.Form(
        title=title.format(name=back[1], rule=wording.title(rule)),
        lead=rule_words.looks_for(rule),
        controls=(
            *rule_forms.controls(rule, excepted=True),
            last_day("until", gettext("Last day"), zone),
            Control("reason", gettext("Reason")),
        ),
        submit=gettext("See what it would have meant"),
        back=back,
        zone=zone,
        start=on,
        hidden=("previewed",),
        current="scoring:alerts",
        template="scoring/exception.html",
        more={"told": None},
    )


def _answered(
    request: HttpRequest, viewer: Viewer, now: datetime, form: forms.Form, of: dict[str, str]
) -> HttpResponse:
    """Show the form, lead to the preview of what was typed, or save what was previewed."""
    if request.method != "POST":
        return _seen(request, viewer, now, form, of)
    values = sheets.typed(request.POST)
    raw = {**rule_forms.flagged(forms.raw_of(form, values)), **of}
    previewed, press = raw.pop("previewed", ""), raw.pop("press", "")
    try:
        mark = rule_forms.mark(of["rule"], own_rule.exception(raw, now=now).setting)
        if press != rule_seen.SAVE or previewed != mark:
            return rule_seen.leads_to(request, values, unseen=press == rule_seen.SAVE)
        actions.give(viewer, raw, now=now)
    except (errors.Invalid, errors.Conflict) as refused:
        again = sheets.refused(values, refused, form.controls)
        return forms.page(request, viewer, form, now=now, sent=again, status=refused.status)
    return HttpResponseRedirect(form.back[0], status=303)


def _seen(
    request: HttpRequest, viewer: Viewer, now: datetime, form: forms.Form, of: dict[str, str]
) -> HttpResponse:
    """Show the form, with the preview that the address asks for."""
    values = rule_seen.values(request)
    if values is None:
        return forms.page(request, viewer, form, now=now)
    raw = {**rule_forms.flagged(forms.raw_of(form, values)), **of}
    try:
        mark = rule_forms.mark(of["rule"], own_rule.exception(raw, now=now).setting)
        found = replaying.preview(viewer, of["rule"], raw, now=now)
    except errors.Invalid as refused:
        again = sheets.refused(values, refused, form.controls)
        return forms.page(request, viewer, form, now=now, sent=again, status=refused.status)
    told = rule_forms.told(found, season_words.springs(yards.all_yards(viewer)))
    shown = forms.with_more(form, told=told, unseen=rule_seen.was_unseen(request))
    sent = sheets.Sheet({**values, "previewed": mark})
    return forms.page(request, viewer, shown, now=now, sent=sent)


@require_http_methods(forms.METHODS)
@screen("exception to a rule", "rule_exception", sure=Sure(Verb.EXCEPT_HORSES))
def end(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """End an exception before its time."""
    access.exception_for_end(viewer, id)
    card = queries.get_exception(viewer, id, now=now)
    rule = reverse("scoring:rule", args=[card.rule])
    title = gettext("End the exception for {name}: {rule}")
    form = forms.Form(
        title=title.format(name=card.named, rule=wording.title(card.rule)),
        lead=gettext("The horses it is about are judged anew at once: alerts may open."),
        controls=(Control("reason", gettext("Reason")),),
        submit=gettext("End it"),
        back=(rule, capfirst(wording.title(card.rule))),
        zone=card.zone,
        current="scoring:alerts",
        makes=False,
    )

    def act(raw: dict[str, Any]) -> str:
        actions.end(viewer, id, raw, now=now)
        return rule

    return forms.answered(request, viewer, form, act, now=now)
