"""The sentences of scoring's message keys, and what its closed lists are called.

Advice is common practice, to be reviewed by the organisation's vet. None of it diagnoses, and none
names an amount of feed or medicine.
"""

from django.utils.translation import gettext_lazy as _

from yards.queries.wording import Words

TITLES: Words = {
    "emaciated": _("emaciated"),
    "danger_signs": _("danger signs"),
    "off_feed": _("off its feed"),
    "losing_fast": _("losing weight fast"),
    "loss_in_foal_or_milk": _("mare losing condition"),
    "losing_weight": _("losing weight"),
    "losing_score": _("losing condition"),
    "fat_in_spring": _("fat in spring"),
    "fat": _("fat"),
    "crest_raised": _("raised crest"),
    "region_far_above": _("one region far fatter"),
    "above_band": _("above its band"),
    "thin": _("thin"),
    "below_band_twice": _("below its band twice"),
    "gaining_fast": _("gaining fast"),
    "plan_off_track": _("plan off its track"),
    "assessors_apart": _("scores far apart"),
    "hyperlipaemia_watch": _("newly come: watch its appetite"),
    "never_scored": _("never scored here"),
    "overdue": _("overdue"),
}
SEVERITIES: Words = {"urgent": _("Now"), "act": _("Today"), "watch": _("This week")}
STATES: Words = {
    "open": _("Open"),
    "acknowledged": _("Acknowledged"),
    "snoozed": _("Snoozed"),
    "resolved": _("Resolved"),
}
PLACES: Words = {
    "below": _("below target band"),
    "within": _("within target band"),
    "above": _("above target band"),
}
DUE: Words = {"not_due": _("not due"), "due": _("due today"), "overdue": _("overdue")}
REGIONS: Words = {
    "neck_and_shoulder": _("neck and shoulder"),
    "back_and_ribs": _("back and ribs"),
    "hindquarters": _("hindquarters"),
}
SCALES: Words = {
    "five": _("0 to 5 scale"),
    "nine": _("1 to 9 scale"),
    "donkey": _("donkeys' 1 to 5 scale"),
    "crest": _("0 to 5 crest scale"),
}
MANNERS: Words = {"palpated": _("Felt by hand"), "visual": _("Seen, not felt")}
METHODS: Words = {
    "weighbridge": _("weighbridge"),
    "weigh_tape": _("weigh tape"),
    "formula": _("girth and length by a formula"),
    "estimate": _("estimate"),
}
WHATS: Words = {"score": _("score"), "weight": _("weight"), "check": _("daily check")}
SPECIES: Words = {"horse": _("horse"), "donkey": _("donkey"), "mule": _("mule")}

# What was found.
REASONS: Words = {
    "emaciated_overall": _("Scored {overall}, nearest half {nearest}, on the {scale}: very thin."),
    "emaciated_region": _("{region} scored {score}: hardly any fat to be felt there."),
    "danger_signs_seen": _("Danger signs were seen: {signs}."),
    "fat_in_spring": _(
        "Scored {overall}, nearest half {nearest}, on the {scale}, and it is spring in this yard."
    ),
    "fat_in_spring_regions": _(
        "Scored {overall}, nearest half {nearest}, on the {scale}, and it is spring in this yard. "
        "Fattest: {regions}."
    ),
    # With "_of", here and below: with the days of that spring, which alerts of before do not have.
    "fat_in_spring_of": _(
        "Scored {overall}, nearest half {nearest}, on the {scale}, and it is spring in this yard "
        "({spring_first} to {spring_last})."
    ),
    "fat_in_spring_of_regions": _(
        "Scored {overall}, nearest half {nearest}, on the {scale}, and it is spring in this yard "
        "({spring_first} to {spring_last}). Fattest: {regions}."
    ),
    "crest_raised": _("The crest of the neck scored {crest} on the 0 to 5 crest scale."),
    "losing_fast": _("Lost {lost_kg} ({percent}%) in {span}, by the weights as taken."),
    "losing_fast_donkey": _(
        "This donkey lost {lost_kg} ({percent}%) in {span}, by the weights as taken."
    ),
    "overdue": _("Overdue: {what}. The longest has waited {span}."),
}
# On what evidence.
EVIDENCE: Words = {
    "reading_taken": _("{manner} on {on}, {ago}, on the {scale}."),
    "yard_is_in_spring": _("It is spring {years} in this yard."),
    "yard_is_in_spring_of": _(
        "It is spring {years} in this yard: spring there is {spring_first} to {spring_last}."
    ),
    "signs_seen_on": _("Seen on {on}."),
    "was_due_on": _("The {what} was due on {on}."),
    "weight_taken": _("{kg} on {on}, by {method}."),
    "risk_spring": _("It is spring in this yard."),
    "risk_spring_of": _("It is spring in this yard: {spring_first} to {spring_last}."),
    "risk_past_laminitis": _("Laminitis is on record."),
    "risk_endocrine": _("A hormonal disease is suspected or on record."),
}
ADVICE: Words = {
    "vet_before_feeding": _(
        "Phone the vet now, before feeding. Ask what first small feed to give, and when. Leave "
        "water. If nobody answers, ring the next number. Do not leave it unfed overnight waiting "
        "for a visit."
    ),
    "phone_vet_now": _(
        "Phone the vet now, and say what was seen. If nobody answers, ring the next number. Stay "
        "in sight of the animal, out of reach of its feet."
    ),
    "phone_vet_now_donkey": _(
        "Phone the vet now: a donkey that is off its feed or dull cannot wait. If nobody answers, "
        "ring the next number. Keep its companion with it. Stay in sight, out of reach of its feet."
    ),
    "call_vet_laminitis_risk": _(
        "Call the vet today: ask about the risk of laminitis, and about grazing and feed. Look at "
        "feet and stride every day. Footsore or unwilling to move: phone the vet at once."
    ),
    "score_again_first": _(
        "Score again first: the last reading is old. If it is still this fat, call the vet "
        "and ask about the risk of laminitis, and about grazing and feed. Footsore or unwilling to "
        "move: phone the vet at once."
    ),
    "ask_vet_about_crest": _(
        "Call the vet this week and ask about the crest and the risk of laminitis. Look at feet "
        "and stride every day."
    ),
    "call_vet_today_losing": _(
        "Call the vet today. Weigh again at the same hour, with the same tape or scales. Dull or "
        "off its feed: phone the vet at once."
    ),
    "look_again_soon": _("Look again within the next days, with a second person holding."),
}
WHAT_NOT: Words = {
    "no_feed_before_vet": _(
        "No grain, no large meal, no rich grazing. No change of feed before the vet has spoken."
    ),
    "no_treatment_before_vet": _(
        "No medicine and no change of feed before the vet has spoken. Do not work or travel it."
    ),
    "do_not_walk": _(
        "Do not make it walk, not even to the scales. No medicine before the vet has spoken."
    ),
    "never_starve": _(
        "Do not starve it: a sudden cut in feed can do harm, to ponies and donkeys above all. Do "
        "not work an animal that is footsore."
    ),
    "no_change_of_feed_before_vet": _("Do not change its feed before the vet has spoken."),
    "do_not_guess_a_score": _(
        "Do not write down what nobody felt. What is not safe to palpate may be left out."
    ),
}
INTERVALS: Words = {
    "interval_emaciated": _("emaciated: every week, with a daily check"),
    "interval_thin": _("thin: looked at more often"),
    "interval_past_laminitis": _("laminitis on record: looked at more often"),
    "interval_crest": _("raised crest: looked at more often"),
    "interval_fat": _("fat: looked at more often"),
    "interval_donkey": _("donkeys are looked at more often"),
    "interval_ordinary": _("the usual interval"),
    "interval_vet": _("as the vet set it"),
    "not_enough_readings": _("not enough readings"),
    "readings_too_close": _("the readings lie within less than two weeks"),
    "last_reading_too_old": _("no reading for more than 120 days"),
    "not_within_horizon": _("not expected within {span}"),
    "no_reading_since": _("no reading since"),
    "baseline_foaled": _("begins anew: foaled"),
    "baseline_instrument": _("begins anew: another instrument, and nothing measured with both"),
    "baseline_diet_week": _("begins anew: first week of a diet, left out of the rate"),
    "baseline_after_diet_week": _("begins anew: first week of the diet is over"),
    "baseline_series": _("begins anew: another scale"),
    "baseline_gap": _("begins anew: no reading for more than 120 days"),
}
# What is wrong with a reading, an order or an answer, and what to put instead.
READINGS: Words = {
    "alert_is_resolved": _("This alert is resolved already. Look at it again."),
    "another_kind_of_instrument": _("This instrument is of kind {kind}. Choose one that fits."),
    "band_too_narrow": _("Give a high edge that lies further above the low one."),
    "estimate_has_no_instrument": _("An estimate has no instrument. Leave it out."),
    "formula_needs_measures": _("Give the measures that the formula was worked out from."),
    "formula_only_by_formula": _("Name a formula only with the method formula."),
    "exception_changes_nothing": _("Set a threshold, or switch the rule off for this time."),
    "exception_is_over": _("This exception is over already. Look at it again."),
    "must_be_later_than_now": _("Give a time that is still to come."),
    "never_switched_off": _(
        "Emaciated and danger signs protect life and cannot be switched off. Leave them out."
    ),
    "no_regions_on_scale": _("The {scale} has one score for the whole animal. Send overall."),
    "off_the_half_points": _("Give whole or half points, for example 3 or 3.5."),
    "order_sets_nothing": _("Set a band, or how many days between readings."),
    "overall_is_worked_out": _("The overall is worked out from the regions. Leave it out."),
    "period_the_wrong_way_round": _(
        "The period ends before it begins, or is longer than {years} years."
    ),
    "pocket_only_on_five": _("The fat pocket belongs to the 0 to 5 scale. Leave it out."),
    "score_or_not_safe": _("Give a score, or say that it was not safe to palpate."),
    "rule_is_so_already": _("The rule is so already. Change something, or leave it as it is."),
    "policy_is_so_already": _("The policy is so already. Change something, or leave it as it is."),
    "absence_is_over": _("This absence is over already. Look at it again."),
    "ladder_never_empty": _("Name at least one step: somebody must be told."),
    "step_names_nobody": _("Say who is told at this step: a role, or a person."),
    "first_step_at_once": _("The first step of what is urgent is at once. Set it to at once."),
    "first_step_too_late": _("The first step comes within {minutes} minutes. Set it earlier."),
    "steps_out_of_order": _("Each step comes later than the one before. Set a later time."),
    "gap_too_long": _("Leave at most {minutes} minutes between two steps. Set it earlier."),
    "step_reaches_nobody": _(
        "Nobody would be told at this step in {yards} of the yards. Name somebody else besides, or "
        "accept it: the coordinators stand in."
    ),
    "rehomed_under_alert": _(
        "An alert that protects life is open. Have the vet, or the coordinator with the vet's word,"
        " resolve it first."
    ),
    "scored_and_not_safe": _("Give either a score or 'not safe to palpate', not both."),
    "sign_or_note": _("Name a danger sign, or write what was seen."),
    "too_far_off": _("Give a time within {days} days from now."),
    "too_long_before": _("Give a day within the last {days} days."),
    "too_long_ago": _("Give a time in {year} or later."),
    "urgent_never_snoozed": _(
        "An urgent alert cannot be put off. Acknowledge it with the next step, or resolve it."
    ),
    "vet_said_required": _("Write down what the vet said; without that only a vet resolves this."),
    "question_has_ended": _("This question was answered or withdrawn already. Look at it again."),
    "order_has_ended": _("This order has come to its end already. Look at it again."),
    "only_the_newest_is_corrected": _(
        "This was corrected already. Correct the newest of the chain instead."
    ),
    "correction_of_another_horse": _(
        "A correction is of the same horse. Record a new reading for another one."
    ),
    "nothing_is_corrected": _(
        "This is the same as what stands: nothing was changed. Put right what was wrong and say "
        "why, or go back."
    ),
    "yard_or_horse": _("Name a yard or a horse: one of the two."),
    "wrong_scale": _("A {species} is scored on: {scales}. Choose that scale."),
}
