"""Every message key that the rules of scoring emit, with the names of its parameters.

Parameters that are themselves keys (a region, a scale, a method, danger signs joined by commas)
come from closed lists and are said by their own words. Days are "2026-04-12", scores are points
with one place ("4.0"), an overall has two ("4.17"). The keys that inputs are refused by besides
these are ``yards.rules.keys``.
"""

from scoring.rules import ration_keys, risk_keys, weight_keys
from yards.rules.keys import Keys

REFUSALS: Keys = {
    "exception_changes_nothing": (),
    "exception_is_over": (),
    "rule_is_so_already": (),
    "yard_or_horse": (),
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
    "period_the_wrong_way_round": ("years",),
    "band_too_narrow": (),
    "must_be_later_than_now": (),
    "too_far_off": ("days",),
    "too_long_before": ("days",),
    "vet_said_required": (),
    "urgent_never_snoozed": (),
    "never_switched_off": (),
    "ladder_never_empty": (),
    "step_names_nobody": (),
    "first_step_at_once": (),
    "first_step_too_late": ("minutes",),
    "steps_out_of_order": (),
    "gap_too_long": ("minutes",),
    "step_reaches_nobody": ("yards",),
    "policy_is_so_already": (),
    "absence_is_over": (),
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

# What chose a horse's target band, and what moved its aim.
BAND: Keys = {
    "band_vet": (),
    "band_donkey": (),
    "band_donkey_bred": (),
    "band_early_in_milk": ("month",),
    "band_in_milk": ("month",),
    "band_in_milk_undated": (),
    "band_milk_over": ("months",),
    "band_late_in_foal": ("month",),
    "band_in_foal": ("month",),
    "band_perhaps_in_foal": ("month",),
    "band_in_foal_undated": (),
    "band_covered_too_long_ago": (),
    "band_broodmare": (),
    "band_growing": ("stage",),
    "band_youngster": (),
    "band_aged": (),
    "band_athlete": (),
    "band_stallion": (),
    "band_leisure": (),
    "band_birth_unknown": (),
    "band_birth_by_year": (),
    "band_aim_leaner": ("season", "points", "spring_first", "spring_last"),
    "band_aim_fuller": ("season", "points", "spring_first", "spring_last"),
    "band_aim_leaner_by_own_spring": ("points", "spring_first", "spring_last"),
    "band_aim_fuller_by_own_spring": ("points", "spring_first", "spring_last"),
    "band_no_seasons": (),
}

# What findings at landmarks suggest. Findings are by landmark and value, ribs.firm_pressure, joined
# by commas.
SUGGESTION: Keys = {
    "suggest_one": ("findings", "from_score"),
    "suggest_range": ("findings", "from_score", "to_score"),
    "suggest_between": ("thin", "fat", "from_score", "to_score"),
    "suggest_disagree": ("thin", "fat", "from_score", "to_score"),
    "suggest_seen_alone": ("findings",),
    "suggest_not_felt": ("findings",),
    "suggest_noted": ("findings",),
    "suggest_noted_of_stallion": ("findings",),
    "suggest_pocket_once": (),
}

# Beside a suggestion, once a score was chosen.
CHOSEN: Keys = {
    "chosen_hand": ("felt_score",),
    "chosen_pocket": ("felt_score", "used_score"),
    "chosen_hand_pocket": ("felt_score", "used_score"),
    "chosen_most": ("felt_score",),
}

# Why a trend says no more than it does, and why it begins anew.
TREND: Keys = {
    "not_enough_readings": (),
    "readings_too_close": (),
    "last_reading_too_old": (),
    "not_within_horizon": ("days",),
    "no_reading_since": (),
    "baseline_foaled": (),
    "baseline_instrument": (),
    "baseline_diet_week": (),
    "baseline_after_diet_week": (),
    "baseline_series": (),
    "baseline_gap": (),
}

# Energy, forage and rations: what goes with the numbers, and who gets none.
RATIONS: Keys = ration_keys.ALL

ALL: Keys = {
    **REFUSALS,
    **risk_keys.ALL,
    **INTERVALS,
    **BAND,
    **SUGGESTION,
    **TREND,
    **weight_keys.ALL,
    **RATIONS,
}
