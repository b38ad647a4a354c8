"""Off its feed, and who cannot go without: donkeys, mules, ponies, mares late in foal or in milk.

Those are for now as soon as they leave part of their feed; any other animal is for today once it
ate nothing: twelve hours without food are a danger sign of it too (from memory). That mules and
mares in milk cannot wait either is common practice.

What these rules do not know: illness, blood fats, since when it eats less, whether its companion
came along. They watch for what precedes hyperlipaemia and never say that an animal has it.
"""

from datetime import datetime

from scoring.rules import danger, threshold
from scoring.rules import risk_evidence as told
from scoring.rules.finding import Finding, Message
from scoring.rules.risk_facts import Facts
from yards.rules import breeding

OFF_FEED, HYPERLIPAEMIA_WATCH = "off_feed", "hyperlipaemia_watch"
DONKEY, MULE, PONY, MINIATURE = "donkey", "mule", "pony", "miniature"
MARE, IN_MILK = "mare_in_foal", "mare_in_milk"
NOTHING = "none"
OFF = frozenset({"some", NOTHING})
EATS = "all"


def cannot_wait(facts: Facts) -> str:
    """Return why an animal cannot go without food ("donkey", "pony", ...), or nothing."""
    if facts.species in (DONKEY, MULE):
        return facts.species
    if facts.kind in (PONY, MINIATURE):
        return facts.kind
    if _is_late_in_foal(facts.bred):
        return MARE
    return IN_MILK if facts.bred.in_milk else ""


def _is_late_in_foal(bred: breeding.Bred) -> bool:
    """Return whether a mare is late in foal, or in foal since nobody knows when."""
    return bred.in_foal == breeding.YES and (bred.is_late_in_foal or bred.pregnancy_month is None)


def off_feed(facts: Facts) -> Finding | None:
    """Return a finding when such an animal left its feed, or any animal ate nothing.

    By the newest reading that says how it ate; later ones that do not say change nothing. Where
    that reading names a danger sign that says so too, the danger sign speaks.
    """
    score, animal = facts.ate, cannot_wait(facts)
    if score is None or score.appetite not in (OFF if animal else (NOTHING,)):
        return None
    fresh = threshold.required(facts.thresholds, OFF_FEED, "days", "within_days")
    is_told = danger.NO_FOOD & set(score.danger_signs)
    if is_told or not fresh.holds(facts.days_since(score.at)):
        return None
    row = threshold.rule(OFF_FEED)
    return Finding(
        rule=OFF_FEED,
        severity=row["severity_at_risk"] if animal else row["severity"],
        reason=_left(animal, score.appetite),
        evidence=(Message("eaten_on", {"on": facts.day_of(score.at)}), *_came(facts)),
        advice=Message("phone_vet_now_off_feed" if animal else "phone_vet_today_ate_nothing"),
        what_not_to_do=Message("no_waiting_no_force"),
        source=row["source"],
        evidence_at=score.received_at,
        basis="appetite",
    )


def _left(animal: str, appetite: str) -> Message:
    if not animal:
        return Message("ate_nothing")
    return Message("off_feed", {"animal": animal, "appetite": appetite})


def hyperlipaemia_watch(facts: Facts) -> Finding | None:
    """Return a finding in the first weeks after such an animal came or moved."""
    came, animal = _came_at(facts), cannot_wait(facts)
    if came is None or animal not in (DONKEY, PONY, MINIATURE) or not _came(facts):
        return None
    row = threshold.rule(HYPERLIPAEMIA_WATCH)
    params: dict[str, str | int] = {"animal": animal, "days": facts.days_since(came)}
    return Finding(
        rule=HYPERLIPAEMIA_WATCH,
        severity=row["severity"],
        reason=Message("came_or_moved", params),
        evidence=(*_came(facts), *told.foal_and_milk(facts)),
        advice=Message("watch_appetite"),
        what_not_to_do=Message("no_dieting_after_move"),
        source=row["source"],
        evidence_at=came,
        basis="move",
    )


def _came_at(facts: Facts) -> datetime | None:
    known = [at for at in (facts.arrived_at, facts.moved_at) if at is not None and at <= facts.now]
    return max(known, default=None)


def _came(facts: Facts) -> tuple[Message, ...]:
    """Return when it came or moved, if that is within the threshold's days."""
    came = _came_at(facts)
    limit = threshold.required(facts.thresholds, HYPERLIPAEMIA_WATCH, "days", "within_days")
    if came is None or not limit.holds(facts.days_since(came)):
        return ()
    return (Message("came_on", {"on": facts.day_of(came)}),)
