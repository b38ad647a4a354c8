"""Escalation policies in words: who is told after how long, and how often again."""

from collections.abc import Iterable, Mapping
from datetime import timedelta
from uuid import UUID

from django.utils.translation import gettext, ngettext

from scoring.queries import wording
from scoring.rules.policy import ACT, HEARERS, URGENT, WATCH, Policy, Rung
from yards.queries.people import PersonName
from yards.rules.roles import Role


def role(name: Role) -> str:
    """Return what everybody of a role is called."""
    return {
        Role.COORDINATOR: gettext("coordinators"),
        Role.VET: gettext("vets"),
        Role.ASSESSOR: gettext("assessors"),
    }[name]


def length(span: timedelta, *, waking: bool) -> str:
    """Return a length of time; ``waking``: of which only waking hours count."""
    minutes = int(span.total_seconds() // 60)
    if minutes % 60:
        hours, rest = divmod(minutes, 60)
        said = ngettext("{n} minute", "{n} minutes", rest).format(n=rest)
        if hours:
            said = f"{ngettext('{n} hour', '{n} hours', hours).format(n=hours)} {said}"
        return said
    hours = minutes // 60
    if waking:
        return ngettext("{n} waking hour", "{n} waking hours", hours).format(n=hours)
    return ngettext("{n} hour", "{n} hours", hours).format(n=hours)


def after(span: timedelta, *, waking: bool) -> str:
    """Return after how long a step comes."""
    if not span:
        return gettext("At once")
    return gettext("After {length}").format(length=length(span, waking=waking))


def who(rung: Rung, names: Mapping[UUID, str] | None = None) -> str:
    """Return whom a rung names: roles, and people by name where names are given."""
    said = [role(each) for each in HEARERS if each in rung.roles]
    if names is None:
        n = len(rung.people)
        said += [ngettext("{n} named person", "{n} named people", n).format(n=n)] if n else []
    else:
        unknown = gettext("somebody who may not hear of alerts any more")
        said += sorted(names.get(each, unknown) for each in rung.people)
    return listed(said)


def listed(items: Iterable[str]) -> str:
    """Return a list as people say it."""
    found = list(items)
    if len(found) < 2:
        return "".join(found)
    return gettext("{most} and {last}").format(most=", ".join(found[:-1]), last=found[-1])


def steps(policy: Policy, names: Mapping[UUID, str] | None = None) -> list[str]:
    """Return a policy, a sentence a step, then the repeat."""
    waking = policy.severity != URGENT
    found = []
    for place, rung in enumerate(policy.rungs):
        told = gettext("{after}: {who}.")
        if place:
            told = gettext("{after}: {who}, with the call to phone the vet.")
        found.append(told.format(after=after(rung.after, waking=waking), who=who(rung, names)))
    if policy.rungs:
        again = gettext("Then the last step again every {length}, until somebody answers.")
        found.append(again.format(length=length(policy.every, waking=waking)))
    return found


def means(severity: str) -> str:
    """Return what a haste means for those who are told."""
    return {
        URGENT: gettext("At any hour: it breaks quiet hours, and every minute counts."),
        ACT: gettext("In the yard's waking hours; only these count."),
        WATCH: gettext("With the morning's summary, and by steps of its own if you set any."),
    }[severity]


def heard(policy: Policy) -> str:
    """Return who hears of a severity, and how soon, in one line."""
    haste = wording.haste(policy.severity)
    if not policy.rungs:
        return gettext(
            "{haste}: coordinators and assessors of the yard, with the morning's summary."
        ).format(haste=haste)
    night = gettext("At any hour.")
    if policy.severity != URGENT:
        night = gettext("In the yard's waking hours.")
    return f"{haste}: {' '.join([*steps(policy), night])}"


def owner(person: PersonName | None) -> str:
    """Return whose an alert is."""
    if person is None:
        return gettext("Nobody's yet")
    return person.name
