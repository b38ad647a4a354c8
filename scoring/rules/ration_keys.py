"""Every message key of energy, forage and rations, with the names of its parameters; see ``keys``.

``days`` are days, ``percent`` and ``least`` are per cent of the weight that the animal has now.
"""

from yards.rules.keys import Keys

# With everything that goes out: nothing of it is ever more than this.
ALWAYS: Keys = {
    "ration_is_an_estimate": (),
    "ration_for_light_horses": (),
    "ration_by_current_weight": (),
    "ration_vet_decides": (),
}

NEEDS: Keys = {
    "ration_not_for_slimming": (),
    "ration_surroundings": (),
    "ration_beyond_tables": (),
    "ration_weight_before_foal": (),
    "ration_past_last_month": (),
}

FORAGE: Keys = {
    "forage_below_usual_floor": (),
    "forage_signed_by_vet": (),
    "forage_needs_balancer": (),
    "forage_weighed_before_soaking": (),
    "forage_soaking_unsure": (),
    "forage_energy_is_typical": (),
    "forage_energy_unknown": (),
}

CHANGES: Keys = {
    "change_only_mid_scale": (),
    "change_approximate_on_five": (),
    "change_energy_varies": (),
    "change_faster_than_published": (),
    "change_girth_before_score": (),
    "change_often_slower": (),
    "change_first_week_left_out": (),
}

PACES: Keys = {
    "pace_not_yet": (),
    "pace_no_loss": (),
    "pace_slower": (),
    "pace_as_aimed": (),
    "pace_too_fast": (),
}

# Who gets nothing worked out without a vet's plan, or never.
GUARDS: Keys = {
    "ration_emaciated": (),
    "ration_sick": (),
    "ration_laminitis": (),
    "ration_other_species": (),
    "ration_growing": (),
    "ration_in_foal": (),
    "ration_in_milk": (),
    "ration_condition_unknown": (),
    "ration_too_thin_to_restrict": (),
    "ration_no_exercise": (),
}

DOUBTS: Keys = {
    "ration_age_unknown": (),
    "ration_weigh_again": (),
    "ration_pony_or_draught": (),
    "ration_feed_never_cut_suddenly": (),
}

REFUSALS: Keys = {
    "forage_never_below": ("percent", "least"),
    "forage_needs_signature": ("percent", "least"),
    "pasture_not_weighed": (),
    "no_weight_per_point": (),
    "analysis_beyond_formula": ("low", "high"),
    "plan_names_no_vet": (),
    "plan_ends_before_it_begins": (),
}

ALL: Keys = {
    **ALWAYS,
    **NEEDS,
    **FORAGE,
    **CHANGES,
    **PACES,
    **GUARDS,
    **DOUBTS,
    **REFUSALS,
}
