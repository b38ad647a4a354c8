"""What is asked to change an escalation policy, and what a preview says."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

import rfc8785
from django.utils.translation import gettext

from scoring.pages import labels
from scoring.queries import policies, policy_words
from scoring.rules import policy, policy_input
from scoring.rules.policy import Policy
from yards.pages import tables, words
from yards.pages.controls import TICKS, Choices, Control
from yards.queries.people import PersonName
from yards.rules import bidi
from yards.rules.roles import Role

SLOTS = 2  # people that a step's form offers to name at least
MINUTES = (0, 5, 10, 15, 20, 30, 45, 60, 90, 120, 180, 240, 300, 360, 480, 600, 720, 1080, 1440)
LATER = (1800, 2160, 2880, 4320, 7200, 10080, 14400, 20160)

People = Sequence[tuple[PersonName, Role]]


def rows_of(stands: Policy) -> int:
    """Return how many steps the form offers: those there are, and room for one more."""
    return min(policy_input.RUNGS_MOST, max(3, len(stands.rungs) + 1))


def controls(severity: str, place: int, people: People, named: int) -> tuple[Control, ...]:
    """Return what is asked of one step."""
    prefix = f"steps.{place}"
    unused = gettext("This step is not used")
    roles = [(role.value, policy_words.role(role).capitalize()) for role in policy.HEARERS]
    asked = [
        Control(
            f"{prefix}.after_minutes",
            gettext("How long after the alert opened"),
            "pick",
            choices=_afters(severity, place),
            empty=unused,
        ),
        Control(f"{prefix}.roles", gettext("Who is told"), TICKS, choices=roles),
    ]
    choices = [
        (str(each.id), f"{bidi.isolated(each.name)} ({_one(role)})") for each, role in people
    ]
    for slot in range(max(SLOTS, named + 1)):
        label = gettext("Besides, by name") if slot == 0 else gettext("And by name")
        nobody = gettext("Nobody")
        asked.append(
            Control(f"{prefix}.person.{slot}", label, "pick", choices=choices, empty=nobody)
        )
    return tuple(asked)


def _one(role: Role) -> str:
    return {
        Role.COORDINATOR: gettext("coordinator"),
        Role.VET: gettext("vet"),
        Role.ASSESSOR: gettext("assessor"),
    }[role]


def _afters(severity: str, place: int, more: int | None = None) -> Choices:
    limits = policy_input.LIMITS[severity]
    least, most = (0, limits.first) if place == 0 else (1, limits.gap * place + limits.first)
    offered = {*MINUTES, *LATER} | ({more} if more is not None else set())
    waking = severity != policy.URGENT
    return [
        (str(each), policy_words.after(timedelta(minutes=each), waking=waking))
        for each in sorted(offered)
        if least <= each <= most or each == more
    ]


def every(severity: str, stands: Policy) -> Control:
    """Return what is asked of the repeat."""
    limits, waking = policy_input.LIMITS[severity], severity != policy.URGENT
    own = int(stands.every.total_seconds() // 60)
    offered = sorted({*MINUTES, *LATER, own})
    choices = [
        (str(each), policy_words.length(timedelta(minutes=each), waking=waking))
        for each in offered
        if limits.least_every <= each <= limits.most_every
    ]
    hint = gettext("The last step is repeated until somebody answers.")
    return Control("repeat_minutes", gettext("Again every"), "pick", hint, choices=choices)


def start(stands: Policy) -> dict[str, Any]:
    """Return what the fields begin with: the ladder as it stands."""
    said = policy_input.said(stands)
    found: dict[str, Any] = {"repeat_minutes": str(said["repeat_minutes"])}
    for place, step in enumerate(said["steps"]):
        found[f"steps.{place}.after_minutes"] = str(step["after_minutes"])
        found[f"steps.{place}.roles"] = step["roles"]
        for slot, person in enumerate(step["people"]):
            found[f"steps.{place}.person.{slot}"] = person
    return found


def closed_up(values: Mapping[str, Any]) -> dict[str, Any]:
    """Return what was typed with the steps that are used one after the other."""
    found = {name: each for name, each in values.items() if not name.startswith("steps.")}
    used = 0
    for place in range(policy_input.RUNGS_MOST):
        prefix = f"steps.{place}."
        step = {
            name.removeprefix(prefix): each
            for name, each in values.items()
            if name.startswith(prefix) and each
        }
        if step:
            found |= {f"steps.{used}.{name}": each for name, each in step.items()}
            used += 1
    return found


def raw_of(values: Mapping[str, Any]) -> dict[str, Any]:
    """Return what was typed, closed up, as a client would send it."""
    steps = []
    for place in range(policy_input.RUNGS_MOST):
        prefix = f"steps.{place}."
        step = {k.removeprefix(prefix): v for k, v in values.items() if k.startswith(prefix)}
        if step:
            people = [each for name, each in step.items() if name.startswith("person.")]
            steps.append(
                {
                    "after_minutes": step.get("after_minutes"),
                    "roles": step.get("roles") or [],
                    "people": people,
                }
            )
    return {"steps": steps, "repeat_minutes": values.get("repeat_minutes")}


def mark(severity: str, wanted: Policy, found: policies.Preview) -> str:
    """Return a text that is the same while the same is saved as was shown, warnings and all."""
    missed = [[each.rung, *each.yards] for each in found.unreached]
    said = {"severity": severity, **policy_input.said(wanted), "unreached": missed}
    return rfc8785.dumps(said).decode()


@dataclass(frozen=True, slots=True)
class Told:
    """A preview in words: a table for each time of day, and what is warned of."""

    tables: Sequence[tuple[str, tables.Table]]
    warnings: Sequence[str]
    steps: Sequence[str]


def told(found: Sequence[policies.Preview], wanted: Policy, people: People) -> Told:
    """Return what a policy would come to, in words; the first preview tells whom it misses."""
    names = {each.id: bidi.isolated(each.name) for each, _ in people}
    return Told(
        tables=[(_opened(each), _table(each)) for each in found if each.yard is not None],
        warnings=[_warning(each) for each in found[0].unreached],
        steps=policy_words.steps(wanted, names),
    )


def _opened(found: policies.Preview) -> str:
    said = gettext("An alert at {yard} opens on {at} and nobody answers")
    return said.format(yard=found.yard_name, at=labels.at(found.opened_at, found.time_zone))


def _table(found: policies.Preview) -> tables.Table:
    rows = [
        tables.Row(
            (
                tables.Cell(labels.at(each.at, found.time_zone), _which(each)),
                tables.Cell(policy_words.listed(one.name for one in each.people), _lead(each)),
            )
        )
        for each in found.steps
    ]
    return tables.Table(
        caption=_opened(found),
        columns=(gettext("When"), gettext("Who is told")),
        rows=rows,
        empty=gettext("Nobody is told at once"),
        empty_hint=gettext("It stands in the morning's summary until somebody answers."),
    )


def _which(step: policies.Step) -> str:
    if step.is_repeat:
        return gettext("again")
    return gettext("step {n}").format(n=step.rung + 1)


def _lead(step: policies.Step) -> str:
    return gettext("with the call to phone the vet") if step.rung else ""


def _warning(found: policies.Unreached) -> str:
    said = gettext("Step {n} names nobody who can be told now at {yards}: coordinators stand in.")
    most = 4
    yards = list(found.yards[:most])
    if len(found.yards) > most:
        yards.append(gettext("{n} more").format(n=len(found.yards) - most))
    return said.format(n=found.rung + 1, yards=policy_words.listed(yards))


def since(card: policies.PolicyCard) -> str:
    """Return who changed a policy last, and why."""
    if card.set_by is None or card.set_at is None:
        return ""
    on = words.day(card.set_at)
    said = gettext("Last changed by {who} on {on}: {reason}")
    return said.format(who=bidi.isolated(card.set_by.name), on=on, reason=card.reason)
