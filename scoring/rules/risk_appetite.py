"""Animals that cannot go without food: donkeys, ponies, miniatures and mares late in foal.

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
DONKEY, PONY, MINIATURE, MARE = "donkey", "pony", "miniature", "mare_in_foal"
OFF = frozenset({"some", "none"})
EATS = "all"


def cannot_wait(facts: Facts) -> str:
    """Return why an animal cannot go without food ("donkey", "pony", ...), or nothing."""
    if facts.species == DONKEY:
        return DONKEY
    if facts.kind in (PONY, MINIATURE):
        return facts.kind
    return MARE if _is_late_in_foal(facts.bred) else ""


def _is_late_in_foal(bred: breeding.Bred) -> bool:
    """Return whether a mare is late in foal, or in foal since nobody knows when."""
    return bred.in_foal == breeding.YES and (bred.is_late_in_foal or bred.pregnancy_month is None)


def off_feed(facts: Facts) -> Finding | None:
    """Return a finding when the newest reading says that such an animal left its feed.

    Where that reading names a danger sign that says so too, the danger sign speaks.
    """
    score, animal = facts.newest, cannot_wait(facts)
    if score is None or not animal or score.appetite not in OFF:
        return None
    fresh = threshold.required(facts.thresholds, OFF_FEED, "days", "within_days")
    is_told = danger.NO_FOOD & set(score.danger_signs)
    if is_told or not fresh.holds(facts.days_since(score.at)):
        return None
    row = threshold.rule(OFF_FEED)
    return Finding(
        rule=OFF_FEED,
        severity=row["severity"],
        reason=Message("off_feed", {"animal": animal, "appetite": score.appetite}),
        evidence=(Message("eaten_on", {"on": facts.day_of(score.at)}), *_came(facts)),
        advice=Message("phone_vet_now_off_feed"),
        what_not_to_do=Message("no_waiting_no_force"),
        source=row["source"],
        evidence_at=score.received_at,
        basis="appetite",
    )


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
        basis="appetite",
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
