"""The risk rules: each in words, its thresholds, who hears of it and how soon; and a change."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.utils.text import capfirst
from django.utils.translation import gettext, ngettext
from django.views.decorators.http import require_http_methods, require_safe

from scoring.access import own_rules as access
from scoring.actions import own_rules as actions
from scoring.pages import rule_forms, rule_seen, rule_tables
from scoring.queries import replaying, rule_words, season_words, wording
from scoring.queries import rule_exceptions as exceptions
from scoring.queries import rules as queries
from scoring.rules import own_rule, risk_fat
from yards.access import doors
from yards.pages import clocks, forms, frame, sheets, tables, words
from yards.pages.controls import FLAG, Control
from yards.pages.screen import Sure, screen
from yards.queries import horses, yards
from yards.rules import address, bidi, errors
from yards.rules.roles import Verb, Viewer, may


@require_safe
@screen("rules")
def rules(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """List every rule, gravest first; for one horse or yard, with the way to an exception."""
    found = queries.list_rules(viewer, now=now)
    subject = _subject(request, viewer)
    context = {
        "title": gettext("Risk rules"),
        "lead": gettext("What opens an alert here. A rule finds or finds nothing; none diagnoses."),
        "back": subject[2] if subject else (reverse("scoring:alerts"), gettext("Alerts")),
        "table": tables.Table(
            caption=gettext("Risk rules"),
            columns=(
                gettext("Rule"),
                gettext("How soon"),
                gettext("Counts from"),
                gettext("How it is set"),
            ),
            rows=[_row(card, subject) for card in found],
            empty=gettext("No rules"),
        ),
    }
    zone = clocks.zone_of(yards.all_yards(viewer))
    return frame.page(
        request, viewer, "yards/list.html", context, now=now, zone=zone, current="scoring:alerts"
    )


_Subject = tuple[str, UUID, tuple[str, str]]


def _subject(request: HttpRequest, viewer: Viewer) -> _Subject | None:
    """Return the horse or yard that an exception is wanted for: page, id, the way back."""
    horse = address.ref(request.GET.get("horse", ""))
    if horse is not None and may(viewer, Verb.EXCEPT_HORSES):
        card = horses.get_horse(viewer, horse)
        return "scoring:except_horse", horse, (reverse("scoring:horse", args=[horse]), card.name)
    yard = address.ref(request.GET.get("yard", ""))
    if yard is not None and may(viewer, Verb.CHANGE_RULES):
        named = yards.get_yard(viewer, yard).name
        return "scoring:except_yard", yard, (reverse("yards:yards"), named)
    return None


def _row(card: queries.RuleCard, subject: _Subject | None) -> tables.Row:
    page, title = reverse("scoring:rule", args=[card.rule]), capfirst(wording.title(card.rule))
    bounds = [
        f"{rule_words.measure(each.row)}: {rule_words.bound(each.row, each.value)}"
        for each in card.thresholds
    ]
    links = []
    if subject is not None and not card.is_fixed:
        name, ref, (_, about) = subject
        link = reverse(name, args=[card.rule, ref])
        links.append(tables.Link(link, gettext("Set it differently"), f"{about}, {title}"))
    return tables.Row(
        (
            tables.Cell(title, rule_words.looks_for(card.rule), page),
            tables.Cell(gettext(" or ").join(wording.haste(each) for each in card.severities)),
            tables.Cell("; ".join(bounds)),
            tables.Cell(*_set(card)),
        ),
        links,
    )


def _set(card: queries.RuleCard) -> tuple[str, str]:
    """Return how a rule is set, and what there is beside it."""
    if not card.is_on:
        said = gettext("Switched off")
    elif any(each.is_own for each in card.thresholds):
        said = gettext("Own thresholds")
    else:
        said = gettext("As by default")
    number = len(card.exceptions)
    told = ngettext("{n} exception", "{n} exceptions", number).format(n=number) if number else ""
    fixed = gettext("Protects life: never switched off") if card.protects_life else ""
    return said, ". ".join(each for each in (fixed, told) if each)


@require_http_methods(forms.METHODS)
@screen("rule", "rule", sure=Sure(Verb.CHANGE_RULES, sending_only=True))
def rule(request: HttpRequest, viewer: Viewer, now: datetime, rule: str) -> HttpResponse:
    """Show one rule; preview a change on the last twelve months, then save it."""
    access.rule_known(rule)
    card = queries.get_rule(viewer, rule, now=now)
    if request.method != "POST":
        return _seen(request, viewer, card, now)
    doors.require(viewer, Verb.CHANGE_RULES)
    form, values = _form(request, viewer, card, now), sheets.typed(request.POST)
    raw = _raw(form, rule, values)
    previewed, press = raw.pop("previewed", ""), raw.pop("press", "")
    try:
        wanted = own_rule.proposed(raw, rule, card.setting)
        if press != rule_seen.SAVE or previewed != rule_forms.mark(rule, wanted):
            return rule_seen.leads_to(request, values, unseen=press == rule_seen.SAVE)
        done = actions.change_rule(viewer, rule, raw, now=now)
    except (errors.Invalid, errors.Conflict) as refused:
        again = sheets.refused(values, refused, form.controls)
        return forms.page(request, viewer, form, now=now, sent=again, status=refused.status)
    query = tables.query(saved=str(done.left_open), resolved=str(done.resolved))
    return HttpResponseRedirect(reverse("scoring:rule", args=[rule]) + query, status=303)


def _seen(
    request: HttpRequest, viewer: Viewer, card: queries.RuleCard, now: datetime
) -> HttpResponse:
    """Show a rule, with the preview that the address asks for."""
    form, values = _form(request, viewer, card, now), rule_seen.values(request)
    if values is None or not form.more["changes"]:
        return forms.page(request, viewer, form, now=now)
    raw = _raw(form, card.rule, values)
    try:
        wanted = own_rule.proposed(raw, card.rule, card.setting)
        found = replaying.preview(viewer, card.rule, _setting_of(raw), now=now)
    except errors.Invalid as refused:
        again = sheets.refused(values, refused, form.controls)
        return forms.page(request, viewer, form, now=now, sent=again, status=refused.status)
    told = rule_forms.told(found, "" if form.more["turns"] else form.more["springs"])
    shown = forms.with_more(form, told=told, unseen=rule_seen.was_unseen(request))
    sent = sheets.Sheet({**values, "previewed": rule_forms.mark(card.rule, wanted)})
    return forms.page(request, viewer, shown, now=now, sent=sent)


def _raw(form: forms.Form, rule: str, values: dict[str, Any]) -> dict[str, Any]:
    return rule_forms.whole(rule, forms.counted(forms.raw_of(form, values)))


def _setting_of(raw: dict[str, Any]) -> dict[str, Any]:
    return {name: raw[name] for name in ("thresholds", "on") if name in raw}


def _form(
    request: HttpRequest,
    viewer: Viewer,
    card: queries.RuleCard,
    now: datetime,
) -> forms.Form:
    changes = may(viewer, Verb.CHANGE_RULES) and not card.is_fixed
    asked = (*rule_forms.controls(card.rule), *_reason(card)) if changes else ()
    places = yards.all_yards(viewer)
    return forms.Form(
        title=capfirst(wording.title(card.rule)),
        lead=rule_words.looks_for(card.rule),
        controls=asked,
        submit=gettext("See what it would have meant"),
        back=(reverse("scoring:rules"), gettext("Risk rules")),
        zone=clocks.zone_of(places),
        start={
            **rule_forms.start(card.rule, card.is_on, card.thresholds),
            "version": str(card.version),
        },
        hidden=("version", "previewed"),
        current="scoring:alerts",
        makes=False,
        template="scoring/rule.html",
        more={
            "card": card,
            "changes": changes,
            "many_scales": len({each.row["scale"] for each in card.thresholds}) > 1,
            "told": None,
            "springs": season_words.springs(places),
            "turns": card.rule == risk_fat.FAT_IN_SPRING,
            "twin": rule_words.twin(card.rule),
            "heard": [rule_words.heard(each, card.policies) for each in card.severities],
            "thresholds": rule_tables.thresholds(card),
            "sources": rule_tables.sources(card),
            "not_known": wording.not_known(card.rule),
            "exceptions": _exceptions(viewer, card.exceptions),
            "except_yards": _except_yards(viewer, card),
            # A form is sent to the address it stands at, which may still say so.
            "saved": _saved(request) if request.method != "POST" else None,
            "set_on": words.day(card.set_at, "UTC") if card.set_at else "",
        },
    )


def _reason(card: queries.RuleCard) -> tuple[Control, ...]:
    hint = gettext("Kept in the record with who, when, before and after.")
    reason = Control("reason", gettext("Reason"), hint=hint)
    if card.protects_life:
        return (reason,)
    resolve = gettext("Also resolve the open alerts that it no longer asks for, with this reason")
    stand = gettext("Otherwise they stand until a reading clears them or somebody resolves them.")
    return (reason, Control("resolve", resolve, FLAG, stand))


def _exceptions(viewer: Viewer, found: Sequence[exceptions.ExceptionCard]) -> tables.Table:
    return tables.Table(
        caption=gettext("Exceptions in force"),
        columns=(gettext("Of"), gettext("What"), gettext("Why"), gettext("Until")),
        rows=[exception_row(viewer, each, named=False) for each in found],
        empty=gettext("No exceptions"),
        empty_hint=gettext("The rule is the same for every yard and horse."),
    )


def exception_row(viewer: Viewer, card: exceptions.ExceptionCard, *, named: bool) -> tables.Row:
    """Return one exception as a line; ``named`` says of which rule it is, else of what subject."""
    verb = Verb.EXCEPT_HORSES if card.horse is not None else Verb.CHANGE_RULES
    links = []
    if may(viewer, verb):
        page = reverse("scoring:end_exception", args=[card.id])
        links.append(tables.Link(page, gettext("End"), card.named))
    title = capfirst(wording.title(card.rule))
    of = gettext("this horse") if card.horse is not None else gettext("every horse of this yard")
    first = tables.Cell(title, of, reverse("scoring:rule", args=[card.rule]))
    if not named:
        href = reverse("scoring:horse", args=[card.horse]) if card.horse is not None else ""
        first = tables.Cell(card.named, "" if href else gettext("the whole yard"), href)
    return tables.Row(
        (
            first,
            tables.Cell(rule_forms.setting_words(card.rule, card.setting)),
            tables.Cell(card.reason, card.given_by.name),
            tables.Cell(words.day(card.until, card.zone)),
        ),
        links,
    )


def _except_yards(viewer: Viewer, card: queries.RuleCard) -> list[tables.Link]:
    if not may(viewer, Verb.CHANGE_RULES) or card.is_fixed:
        return []
    return [
        tables.Link(
            reverse("scoring:except_yard", args=[card.rule, each.ref]),
            gettext("Set it differently for {yard}").format(yard=bidi.isolated(each.name)),
        )
        for each in yards.all_yards(viewer)
    ]


def _saved(request: HttpRequest) -> dict[str, int] | None:
    """Return what became of the open alerts by the change that was just saved."""
    found = [request.GET.get(name, "") for name in ("saved", "resolved")]
    if not all(each.isascii() and each.isdecimal() and len(each) < 7 for each in found):
        return None
    return {"left_open": int(found[0]), "resolved": int(found[1])}
