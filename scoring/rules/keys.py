"""Every message key that the rules of scoring emit, with the names of its parameters.

Parameters that are themselves keys (a region, a scale, a method, danger signs joined by commas)
come from closed lists and are said by their own words. Days are "2026-04-12", scores are points
with one place ("4.0"), an overall has two ("4.17"). The keys that inputs are refused by besides
these are ``yards.rules.keys``.
"""

from yards.rules.keys import Keys

REFUSALS: Keys = {
    "unknown_reference": (),
    "off_the_half_points": (),
    "score_or_not_safe": (),
    "scored_and_not_safe": (),
    "wrong_scale": ("species", "scales"),
    "overall_is_worked_out": (),
    "no_regions_on_scale": ("scale",),
    "pocket_only_on_five": (),
    "in_the_future": (),
    "too_long_ago": ("year",),
    "before_birth": (),
    "after_death": (),
    "after_departure": (),
    "rehomed_under_alert": (),
    "sign_or_note": (),
    "another_kind_of_instrument": ("kind",),
    "estimate_has_no_instrument": (),
    "formula_only_by_formula": (),
    "formula_needs_measures": (),
    "order_sets_nothing": (),
    "band_too_narrow": (),
    "must_be_later_than_now": (),
    "too_far_off": ("days",),
    "vet_said_required": (),
    "urgent_never_snoozed": (),
}

REASONS: Keys = {
    "fat_in_spring": ("overall", "nearest", "regions", "scale"),
    "crest_raised": ("crest",),
    "emaciated_overall": ("overall", "nearest", "scale"),
    "emaciated_region": ("region", "score"),
    "danger_signs_seen": ("signs",),
    "losing_fast": ("lost_kg", "percent", "days"),
    "losing_fast_donkey": ("lost_kg", "percent", "days"),
    "overdue": ("what", "days"),
}

EVIDENCE: Keys = {
    "reading_taken": ("on", "days", "manner", "scale"),
    "yard_is_in_spring": ("years",),
    "risk_spring": (),
    "risk_past_laminitis": (),
    "risk_endocrine": (),
    "signs_seen_on": ("on",),
    "weight_taken": ("kg", "on", "method"),
    "was_due_on": ("what", "on"),
}

ADVICE: Keys = {
    "call_vet_laminitis_risk": (),
    "score_again_first": (),
    "ask_vet_about_crest": (),
    "vet_before_feeding": (),
    "phone_vet_now": (),
    "phone_vet_now_donkey": (),
    "call_vet_today_losing": (),
    "look_again_soon": (),
}

WHAT_NOT_TO_DO: Keys = {
    "never_starve": (),
    "no_feed_before_vet": (),
    "do_not_walk": (),
    "no_treatment_before_vet": (),
    "no_change_of_feed_before_vet": (),
    "do_not_guess_a_score": (),
}

# Why a horse is looked at as often as it is.
INTERVALS: Keys = {
    "interval_ordinary": (),
    "interval_donkey": (),
    "interval_fat": (),
    "interval_crest": (),
    "interval_past_laminitis": (),
    "interval_thin": (),
    "interval_emaciated": (),
    "interval_vet": (),
}

TREND: Keys = {"not_enough_readings": ()}

ALL: Keys = {
    **REFUSALS,
    **REASONS,
    **EVIDENCE,
    **ADVICE,
    **WHAT_NOT_TO_DO,
    **INTERVALS,
    **TREND,
}
