"""Animals of which the later risk rules find something, by what is the matter."""

from dataclasses import replace
from datetime import date

from scoring.rules import seen
from tests.rules.animals import DAY, NOW, WINTER, edges, facts, five, trend, weights, whole
from yards.rules import breeding, life_stage

IN_FOAL, IN_MILK = breeding.Bred(in_foal="yes"), breeding.Bred(in_milk=True)
LOSING = trend("weight", -1.8, 0.5, level=400)
WANING = trend("nine", -1.2, 0.5, level=5)
PLANNED = seen.Plan(NOW - 60 * DAY, "weight", -0.7)
SINCE = PLANNED.start + 7 * DAY

CASES = {
    "fat all year": facts(five(8, 8, 8), now=WINTER, laminitis="past"),
    "fat in winter": facts(whole(15, "nine"), now=WINTER),
    "fat near the limit": facts(
        five(8, 8, 8), now=WINTER, score_trend=trend("five", 0.0, 0.1, level=3.8)
    ),
    "above its band": facts(five(7, 7, 7), edges=edges("2.25", "3.0")),
    "fat in one place": facts(five(6, 9, 6), now=WINTER),
    "fat mare": facts(five(8, 8, 8), bred=IN_FOAL),
    "thin": facts(five(3, 3, 3)),
    "thin mare": facts(whole(7, "nine"), bred=IN_MILK),
    "thin and old": facts(
        five(3, 3, 3), stage=life_stage.life_stage("horse", date(1998, 5, 1), NOW.date())
    ),
    "twice below": facts(
        five(4, 4, 4),
        five(4, 4, 5, days=14),
        edges=edges("2.5", "3.0"),
        score_trend=trend("five", -0.1, 0.2, level=1.9),
    ),
    "losing weight": facts(weight_trend=LOSING),
    "losing condition": facts(score_trend=WANING),
    "mare losing weight": facts(weight_trend=LOSING, bred=IN_FOAL),
    "mare losing condition": facts(score_trend=WANING, bred=IN_MILK),
    "gaining weight": facts(weight_trend=replace(LOSING, rate=2.0, rate_low=1.5, rate_high=2.5)),
    "gaining condition": facts(score_trend=trend("five", 0.6, 0.4), endocrine="confirmed"),
    "plan too slow": facts(weight_trend=trend("weight", 0.04, 0.1, since=SINCE), plan=PLANNED),
    "plan too fast": facts(weight_trend=trend("weight", -1.2, 0.3, since=SINCE), plan=PLANNED),
    "plan of a score": facts(
        score_trend=trend("five", 0.0, 0.1), plan=seen.Plan(NOW - 60 * DAY, "five", 0.3)
    ),
    "apart": facts(five(6, 6, 6), five(8, 8, 8, days=1, by=2), now=WINTER),
    "donkey that moved": facts(species="donkey", moved_at=NOW - 3 * DAY),
    "pony that moved": facts(kind="pony", moved_at=NOW),
    "donkey off its feed": facts(whole(6, "donkey", appetite="some"), species="donkey"),
    "mare off her feed": facts(five(6, 6, 6, appetite="none"), bred=IN_FOAL),
    "mule off its feed": facts(five(6, 6, 6, appetite="some"), species="mule", kind="mule"),
    "mare in milk off her feed": facts(five(6, 6, 6, appetite="some"), bred=IN_MILK),
    "horse that ate nothing": facts(five(6, 6, 6, appetite="none")),
    "dull pony": facts(kind="pony", signs=(seen.Signs(NOW, NOW, ("very_dull",)),)),
    "never scored": facts(arrived_at=NOW - 9 * DAY),
    "old crest": facts(five(4, 4, 4, crest=6, days=60)),
    "missed daily look": facts(five(2, 2, 2), check_due_at=NOW - DAY),
    "mare losing fast": facts(
        weights=weights((50, "600"), (0, "500")), bred=breeding.Bred(in_foal="perhaps")
    ),
    "raw loss": facts(weights=weights((40, "400"), (0, "330"))),
}
