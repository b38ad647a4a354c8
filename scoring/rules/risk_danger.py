"""Danger signs: each one alone means 'phone the vet now'. Never switched off, never diagnosed."""

from scoring.rules import danger, risk_appetite, threshold
from scoring.rules.finding import Finding, Message
from scoring.rules.risk_facts import Facts

DANGER_SIGNS = "danger_signs"
_LAMENESS = "refuses_to_walk"
_OFF_FEED = {
    risk_appetite.DONKEY: "phone_vet_now_donkey",
    risk_appetite.PONY: "phone_vet_now_pony",
    risk_appetite.MINIATURE: "phone_vet_now_pony",
}


def danger_signs(facts: Facts) -> Finding | None:
    """Return a finding when any danger sign was seen, by a reading of any manner or a concern."""
    told = [each for each in facts.signs if each.signs]
    if not told:
        return None
    last = max(told, key=lambda each: each.at)
    # The closed list's own order, and whatever an older list held after it.
    seen = {sign for each in told for sign in each.signs}
    named = [sign for sign in danger.signs() if sign in seen]
    named += sorted(seen - set(named))
    row = threshold.rule(DANGER_SIGNS)
    return Finding(
        rule=DANGER_SIGNS,
        severity=row["severity"],
        reason=Message("danger_signs_seen", {"signs": ",".join(named)}),
        evidence=(Message("signs_seen_on", {"on": facts.day_of(last.at)}),),
        advice=Message(_advice(facts, seen)),
        what_not_to_do=Message("do_not_walk" if _LAMENESS in seen else "no_treatment_before_vet"),
        source=row["source"],
        evidence_at=max(each.received_at for each in told),
        basis="signs",
    )


def _advice(facts: Facts, signs: set[str]) -> str:
    if not signs & danger.NO_FOOD:
        return "phone_vet_now"
    return _OFF_FEED.get(risk_appetite.cannot_wait(facts), "phone_vet_now")
