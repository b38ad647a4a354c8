"""The sentences of the risk rules' message keys: found, on what, what to do, what not, not known.

Advice is common practice, to be reviewed by the organisation's vet. None of it diagnoses, and none
names an amount of feed or medicine. ``words`` holds those of the first rules.
"""

from django.utils.translation import gettext_lazy as _

from yards.queries.wording import Words

# What some animals cannot go without food for, as a sentence names them.
ANIMALS: Words = {
    "donkey": _("donkey"),
    "pony": _("pony"),
    "miniature": _("miniature"),
    "mule": _("mule"),
    "mare_in_milk": _("mare in milk"),
    "mare_in_foal": _("mare in foal"),
}
APPETITES: Words = {"some": _("part of its feed"), "none": _("nothing")}

REASONS: Words = {
    "off_feed": _("This {animal} ate {appetite}: it cannot go without food."),
    "ate_nothing": _("It ate nothing."),
    "mare_loses_weight": _(
        "This mare loses about {percent}% of her weight a week, by the trend of her weights."
    ),
    "mare_loses_score": _(
        "This mare loses about {points} points a month on the {scale}, by the trend of her scores."
    ),
    "losing_weight": _("Loses about {percent}% of its weight a week, by the trend of its weights."),
    "losing_score": _(
        "Loses about {points} points a month on the {scale}, by the trend of its scores."
    ),
    "fat": _("Scored {overall}, nearest half {nearest}, on the {scale}: fat."),
    "fat_regions": _(
        "Scored {overall}, nearest half {nearest}, on the {scale}: fat. Fattest: {regions}."
    ),
    "region_far_above": _(
        "{regions} scored {score}, {above} above the overall of {nearest}: fat in one place."
    ),
    "above_band": _(
        "Scored {overall}, nearest half {nearest}, on the {scale}: above its target band."
    ),
    "thin": _("Scored {overall}, nearest half {nearest}, on the {scale}: thin."),
    "below_band_twice": _(
        "Scored {overall}, nearest half {nearest}, on the {scale}: below its target band, as the "
        "time before."
    ),
    "gaining_weight": _(
        "Gains about {percent}% of its weight a week, by the trend of its weights."
    ),
    "gaining_score": _(
        "Gains about {points} points a month on the {scale}, by the trend of its scores."
    ),
    "plan_of_weight": _(
        "The plan asks for {planned}% of the weight a week; the trend of the weights is {found}%."
    ),
    "plan_of_score": _(
        "The plan asks for {planned} points a month; the trend of the scores is {found}."
    ),
    "assessors_apart": _(
        "Two people scored {one} and {other} on the {scale} within days of each other."
    ),
    "came_or_moved": _("This {animal} came or moved here {ago}: the first weeks are the riskiest."),
    "never_scored": _("Came {ago} and has not been scored by hand here."),
}
EVIDENCE: Words = {
    "scored_on": _("{score} on {on}."),
    "band_is": _("Its target band is {low} to {high} on the {scale}."),
    "trend_of_weight": _(
        "Trend since {on}: {rate}% a week; with 80% certainty between {low}% and {high}%."
    ),
    "trend_of_score": _(
        "Trend since {on}: {rate} points a month; with 80% certainty between {low} and {high}."
    ),
    "likely_below": _("By the trend its true level lies below the band with {percent}% certainty."),
    "limit_truly_passed": _(
        "By all its scores together, the chance that it has truly passed the limit of {limit} on "
        "the {scale} is {percent}%."
    ),
    "near_the_limit": _(
        "That is near the limit: let a second person score it by hand as well. Until then do as "
        "this alert says."
    ),
    "against_the_trend": _(
        "The last score has reached the limit, those before it had not: let a second person score "
        "it by hand as well. Until then do as this alert says."
    ),
    "risk_in_foal": _("She is in foal."),
    "risk_perhaps_in_foal": _("She was covered and may be in foal."),
    "risk_in_milk": _("She is in milk."),
    "risk_old": _("It is old."),
    "eaten_on": _("As recorded on {on}."),
    "came_on": _("It came or moved on {on}."),
    "plan_since": _("The plan runs since {on}."),
}
ADVICE: Words = {
    "phone_vet_now_pony": _(
        "Phone the vet now: a pony or miniature that is off its feed or dull cannot wait. If "
        "nobody answers, ring the next number. Keep its companion with it. Stay in sight, out of "
        "reach of its feet."
    ),
    "phone_vet_now_off_feed": _(
        "Phone the vet now and say since when it leaves its feed. If nobody answers, ring the next "
        "number. Leave water and its usual hay, and keep its companion with it."
    ),
    "phone_vet_today_ate_nothing": _(
        "Phone the vet today and say since when it eats nothing. Still nothing after 12 hours, or "
        "dull: phone the vet now. If nobody answers, ring the next number. Leave water."
    ),
    "feel_crest_again_first": _(
        "Feel the crest again first: the last reading is old. If it is still raised, call the vet "
        "and ask about the risk of laminitis, and about grazing and feed. Footsore or unwilling to "
        "move: phone the vet at once."
    ),
    "look_now": _(
        "Look at it now: it is very thin and missed its daily look. Dull, off its feed or down: "
        "phone the vet at once. If nobody answers, ring the next number."
    ),
    "call_vet_today_mare": _(
        "Call the vet today: a mare in foal or in milk that loses condition is not to wait. Weigh "
        "again at the same hour, with the same tape or scales. Dull or off her feed: phone the vet "
        "at once."
    ),
    "losing_by_trend": _(
        "Call the vet today. Weigh and score again at the same hour, by the same hand. Dull or off "
        "its feed: phone the vet at once."
    ),
    "ask_vet_about_fat": _(
        "Call the vet this week: ask about its weight, the risk of laminitis, grazing and feed. "
        "Look at feet and stride every day. Footsore or unwilling to move: phone the vet at once."
    ),
    "feel_the_region_again": _(
        "Let a second person feel it too. If it stays so, ask the vet about fat in one place when "
        "you next speak, and watch the crest of the neck."
    ),
    "look_at_feed_with_vet": _(
        "Score again in time and look at grazing, feed and exercise. Ask the vet before any feed "
        "is cut."
    ),
    "call_vet_today_thin": _(
        "Call the vet today: say how it was scored and what it eats. Weigh it every week. Dull, "
        "off its feed or thinner still: phone the vet at once."
    ),
    "call_vet_this_week_thin": _(
        "Have the vet see it this week: say how it was scored and what it eats. Weigh it every "
        "week. Dull, off its feed or thinner still: phone the vet at once."
    ),
    "ask_vet_about_thinness": _(
        "Ask the vet this week what may lie behind it and how to feed it. Score it again within "
        "two weeks, by the same hand."
    ),
    "ask_vet_about_gain": _(
        "Look at what changed in grazing and feed, and ask the vet this week about the risk of "
        "laminitis. Look at feet and stride every day. Footsore: phone the vet at once."
    ),
    "plan_too_fast": _(
        "Call the vet today: it goes faster than was signed. Weigh again at the same hour, with "
        "the same tape or scales."
    ),
    "plan_review_with_vet": _(
        "Go through the plan with the vet this week: what it was really fed, grazed and exercised. "
        "A score may stand still for weeks while girths go down."
    ),
    "score_together": _(
        "Score it again together, each by hand before either speaks, and write down both. If you "
        "stay apart, ask the vet to score it."
    ),
    "watch_appetite": _(
        "See it eat up twice a day, and keep its companion with it. Leaves feed or is dull: phone "
        "the vet at once."
    ),
    "score_the_new_animal": _(
        "Score it by hand and weigh it within the next days, with a second person holding. Thin, "
        "dull or off its feed: phone the vet first."
    ),
}
WHAT_NOT: Words = {
    "never_starve_a_mare": _(
        "Do not cut the feed of a mare that is or may be in foal, or is in milk: only a vet may "
        "plan that. Never starve her."
    ),
    "no_sudden_feed": _(
        "No sudden large meals, no heaps of grain, no rich grazing at once. Do not put it down to "
        "age or winter."
    ),
    "no_waiting_no_force": _(
        "Do not wait until tomorrow. Do not force feed into it, and no medicine before the vet has "
        "spoken."
    ),
    "no_change_of_plan_before_vet": _("Do not cut or add feed on your own: the plan is the vet's."),
    "no_dieting_after_move": _(
        "Do not diet it now, do not part it from its companion, and do not move it again without "
        "need."
    ),
    "keep_both_scores": _("Do not change either score to match the other. Both are kept."),
}
# What a finding says nothing of.
NOT_KNOWN: Words = {
    "not_known_appetite": _("Whether it eats up."),
    "not_known_blood": _("Insulin, blood fats or anything else that only a vet measures."),
    "not_known_coat": _("How much the coat hid or added."),
    "not_known_companion": _("Whether its companion came along."),
    "not_known_elsewhere": _("What was seen and written down elsewhere."),
    "not_known_exercise": _("How much it works."),
    "not_known_fed_as_planned": _("Whether it was fed as the plan says."),
    "not_known_feed": _("What it is fed."),
    "not_known_feet": _("How its feet are and how it moves."),
    "not_known_foal_growth": _("How the foal grows, inside her or beside her."),
    "not_known_foaled": _("What a mare lost by foaling: foal, fluids and afterbirth weigh too."),
    "not_known_grazing": _("What and how long it grazes."),
    "not_known_gut_fill": _("How full its gut was when it was weighed."),
    "not_known_hands": _("How each hand errs."),
    "not_known_illness": _("Whether it is ill."),
    "not_known_in_foal": _("Whether a mare is in foal without anybody knowing."),
    "not_known_instruments": _("Whether two weights came from the same tape or scales."),
    "not_known_last_fed": _("When it last ate, and what."),
    "not_known_milk": _("How much milk she gives."),
    "not_known_muscle": _("Muscle: it is no fat, and fat hides its loss."),
    "not_known_since_when": _("Since when it has been so."),
    "not_known_stallion_crest": _("The crest that stallions grow by nature."),
    "not_known_teeth_worms": _("Teeth and worms."),
    "not_known_true_fat": _("How fat it truly is: high scores hardly tell fat from fatter."),
    "not_known_which_is_right": _("Which of the two is right."),
}
ALL: Words = {**REASONS, **EVIDENCE, **ADVICE, **WHAT_NOT, **NOT_KNOWN}
