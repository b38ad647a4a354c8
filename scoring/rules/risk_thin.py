"""Too thin: emaciated, which protects life and is never switched off, thin, and twice below band.

What these rules do not know: illness, teeth, worms, pregnancy, when the animal last ate. An
emaciated animal can be harmed by its first feed: the vet comes before any change of feed. No feed
amount is ever given here.
"""

from collections.abc import Iterable, Mapping
from decimal import Decimal

from scoring.rules import risk_evidence as told
from scoring.rules import scale as scales
from scoring.rules import seen, threshold
from scoring.rules.finding import Finding, Message
from scoring.rules.risk_facts import Facts
from yards.rules.life_stage import Stage

EMACIATED, THIN, BELOW_BAND_TWICE = "emaciated", "thin", "below_band_twice"


def _overall_is(score: seen.Score, own: Mapping[str, Decimal]) -> bool:
    limit = threshold.bound(own, EMACIATED, score.scale, "overall")
    return limit is not None and limit.holds(score.points)


def _region_is(score: seen.Score, own: Mapping[str, Decimal]) -> tuple[str, int] | None:
    limit = threshold.bound(own, EMACIATED, score.scale, "region")
    thinnest = score.thinnest
    return thinnest if limit and thinnest and limit.holds(scales.points(thinnest[1])) else None


def is_emaciated(score: seen.Score, own: Mapping[str, Decimal] = threshold.DEFAULTS) -> bool:
    """Return whether a reading, felt or only seen, whole or in part, is emaciated on its scale."""
    return _overall_is(score, own) or _region_is(score, own) is not None


def emaciated_of(
    scores: Iterable[seen.Score | None], own: Mapping[str, Decimal] = threshold.DEFAULTS
) -> list[seen.Score]:
    """Return those of some readings that are emaciated, the newest first."""
    found = [each for each in scores if each is not None and is_emaciated(each, own)]
    return sorted(found, key=lambda each: each.at, reverse=True)


def emaciated(facts: Facts) -> Finding | None:
    """Return a finding when the newest reading of any of four kinds is emaciated.

    The newest that says anything of fat, visual-only and partial ones too, raw values as given; the
    newest felt one, whole or in part; the newest felt whole one; and the one that has just come,
    for what comes late was as true when it was taken. So a glance, a part or an empty record masks
    no hand. Only what a person resolved ends it.
    """
    readings = (facts.speaking, facts.felt, facts.palpated, facts.came)
    found = emaciated_of(readings, facts.thresholds)
    if not found:
        return None
    row, score = threshold.rule(EMACIATED), found[0]
    return Finding(
        rule=EMACIATED,
        severity=row["severity"],
        reason=_emaciated(score, facts.thresholds),
        evidence=(told.reading(facts, score), *_sure(facts, score)),
        advice=Message("vet_before_feeding"),
        what_not_to_do=Message("no_feed_before_vet"),
        source=row["source"],
        evidence_at=max(each.received_at for each in found),
        basis="score",
    )


def _sure(facts: Facts, score: seen.Score) -> tuple[Message, ...]:
    """Return how sure a thin overall is; a region has no trend, and a glance is in none."""
    if not score.is_palpated or not _overall_is(score, facts.thresholds):
        return ()
    return told.how_sure(facts, score, facts.bound(EMACIATED, score.scale, "overall"))


def _emaciated(score: seen.Score, own: Mapping[str, Decimal]) -> Message:
    if _overall_is(score, own):
        return Message("emaciated_overall", told.scored(score))
    region, halves = _region_is(score, own) or ("", 0)
    return Message("emaciated_region", {"region": region, "score": scales.shown(halves)})


def thin(facts: Facts) -> Finding | None:
    """Return a finding when the newest palpated overall is thin on its scale.

    Act, not watch, for a mare in foal or in milk and for an old animal. A mare in milk is thin
    sooner, where her scale has a threshold for it.
    """
    score = facts.palpated
    limit = _thin_by(facts, score) if score is not None else None
    if score is None or limit is None:
        return None
    row, at_risk = threshold.rule(THIN), (*told.foal_and_milk(facts), *_old(facts))
    return Finding(
        rule=THIN,
        severity=row["severity_at_risk"] if at_risk else row["severity"],
        reason=Message("thin", told.scored(score)),
        evidence=(
            told.reading(facts, score),
            *told.how_sure(facts, score, limit),
            *at_risk,
        ),
        advice=Message("call_vet_today_thin" if at_risk else "call_vet_this_week_thin"),
        what_not_to_do=Message("no_sudden_feed"),
        source=row["source"],
        evidence_at=score.received_at,
        basis="score",
    )


def _thin_by(facts: Facts, score: seen.Score) -> threshold.Bound | None:
    """Return the threshold by which it is thin."""
    limits = [facts.bound(THIN, score.scale, "overall")]
    if facts.bred.in_milk:
        limits.append(facts.bound(THIN, score.scale, "overall_in_milk"))
    held = (limit for limit in limits if limit is not None and limit.holds(score.points))
    return next(held, None)


def _old(facts: Facts) -> tuple[Message, ...]:
    """Return that it is old: under 2 on 0-5 unacceptable without a vet, says a practice leaflet."""
    return (Message("risk_old"),) if facts.stage.if_older is Stage.AGED else ()


def below_band_twice(facts: Facts) -> Finding | None:
    """Return a finding when the two newest palpated overalls both lie below today's band.

    One may be chance, and so may two by one hand on one day. Where there is a trend, its true level
    must lie below the band too, with the threshold's probability; where there is none, the two
    readings are enough.
    """
    pair, edges = facts.recent[:2], facts.edges
    if len(pair) < 2 or edges is None or _is_once(facts, *pair):
        return None
    if not all(_is_below(facts, each, edges) for each in pair):
        return None
    chance = _probability(facts, edges)
    surely = threshold.required(facts.thresholds, BELOW_BAND_TWICE, "share", "probability")
    if chance is not None and not surely.holds(chance):
        return None
    row, last = threshold.rule(BELOW_BAND_TWICE), pair[0]
    percent = () if chance is None else (Message("likely_below", {"percent": _percent(chance)}),)
    return Finding(
        rule=BELOW_BAND_TWICE,
        severity=row["severity"],
        reason=Message("below_band_twice", told.scored(last)),
        evidence=(*(told.overall(facts, each) for each in pair), told.band(edges), *percent),
        advice=Message("ask_vet_about_thinness"),
        what_not_to_do=Message("no_sudden_feed"),
        source=row["source"],
        evidence_at=last.received_at,
        basis="score",
    )


def _is_once(facts: Facts, one: seen.Score, other: seen.Score) -> bool:
    return one.by == other.by and facts.day_of(one.at) == facts.day_of(other.at)


def _is_below(facts: Facts, score: seen.Score, edges: seen.Edges) -> bool:
    limit = facts.bound(BELOW_BAND_TWICE, score.scale, "below_low_edge")
    if limit is None or score.points is None or score.scale != edges.scale:
        return False
    return limit.holds(edges.low - score.points)


def _probability(facts: Facts, edges: seen.Edges) -> float | None:
    trend = facts.score_trend
    return trend.below(edges.low) if trend is not None and trend.scale == edges.scale else None


def _percent(chance: float) -> int:
    """Return a probability in whole per cent; only what is certain is 100."""
    return min(99, round(100 * chance))
