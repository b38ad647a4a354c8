"""Past due days: how each was met, and the rule's intervals as tables."""

from datetime import UTC, date, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from scoring.rules import due, herd_due, scale, seen

ON = date(2026, 7, 10)
AT = datetime(2026, 1, 1, tzinfo=UTC)
HALVES = st.integers(0, 10)


def test_how_a_look_was_met() -> None:
    today = date(2026, 9, 1)
    assert herd_due.met(ON, date(2026, 7, 1), today) == "by_due"
    assert herd_due.met(ON, ON, today) == "by_due"
    assert herd_due.met(ON, date(2026, 7, 11), today) == "in_a_week"
    assert herd_due.met(ON, date(2026, 7, 17), today) == "in_a_week"
    assert herd_due.met(ON, date(2026, 7, 18), today) == "later"
    assert herd_due.met(ON, None, today) == "not_done"
    assert herd_due.met(ON, None, date(2026, 7, 17)) == "open"
    assert herd_due.met(ON, None, date(2026, 7, 18)) == "not_done"


@given(st.integers(-40, 40), st.integers(0, 60))
def test_a_later_look_is_never_told_as_a_better_one(off: int, more: int) -> None:
    today = ON + timedelta(days=200)
    order = herd_due.MET
    first, second = ON + timedelta(days=off), ON + timedelta(days=off + more)
    met = [herd_due.met(ON, each, today) for each in (first, second)]
    assert order.index(met[0]) <= order.index(met[1])


def by_tables(
    species: str, laminitis: str, score: seen.Score, crest: int | None, held: herd_due.Intervals
) -> int:
    table = {(each.scale, each.halves): each.days for each in held.by_result}
    found = [table[score.scale, score.nearest or 0]]
    if score.scale == scale.FIVE and score.thinnest and score.thinnest[1] <= held.region_at_most:
        found.append(held.by_region)
    if crest is not None and crest >= held.crest_at_least:
        found.append(held.by_crest)
    if laminitis in held.laminitis:
        found.append(held.by_laminitis)
    if species == "donkey":
        found.append(held.by_donkey)
    return min(found)


@given(
    st.sampled_from(("horse", "donkey", "mule")),
    st.sampled_from(("never", "past", "within_a_year", "unknown")),
    st.tuples(HALVES, HALVES, HALVES, st.sampled_from(("none", "slight", "marked"))),
    st.none() | HALVES,
    st.none() | st.tuples(st.sampled_from(("nine", "donkey")), st.integers(2, 10)),
)
def test_the_tables_say_what_the_rule_says(
    species: str,
    laminitis: str,
    felt: tuple[int, int, int, str],
    crest: int | None,
    whole: tuple[str, int] | None,
) -> None:
    if whole is None:
        score = seen.Score(AT, AT, "five", "palpated", *felt[:3], fat_pocket=felt[3])
    else:
        score = seen.Score(AT, AT, whole[0], "palpated", whole=whole[1])
    rule = due.intervals(due.Facts(species, laminitis, score, crest))
    held = herd_due.intervals()
    assert by_tables(species, laminitis, score, crest, held) == rule.score_days
