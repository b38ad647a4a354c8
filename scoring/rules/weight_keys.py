"""The message keys of weights by formula and of habits, with the names of their parameters.

``cm``, ``meant_cm``, ``low_cm``, ``high_cm`` are centimetres, ``kg``, ``low_kg``, ``high_kg``
kilograms, said in the reader's units; ``hour`` is a time of day, "07:30".
"""

from yards.rules.keys import Keys

REFUSALS: Keys = {
    "unknown_formula": (),
    "formula_for_species": ("species",),
    "formula_for_other_sex": (),
    "formula_for_grown_animals": ("months",),
    "formula_for_young_animals": ("months",),
    "looks_like_inches": ("cm", "meant_cm"),
    "inches_taken_twice": ("cm", "meant_cm"),
    "measure_unlikely": ("low_cm", "high_cm"),
    "length_from_shoulder": (),
    "length_from_elbow": (),
    "measures_do_not_fit": (),
    "far_outside_sample": ("kg", "low_kg", "high_kg"),
    "formula_gives_no_weight": (),
    "weight_unlike_formula": ("kg",),
    "tape_only_by_tape": (),
}

WARNINGS: Keys = {
    "formula_for_other_kinds": (),
    "formula_for_fat_animals": (),
    "formula_not_for_mares_in_foal": (),
    "belly_girth_in_foal": (),
    "perhaps_inches": ("cm", "meant_cm"),
    "age_not_known_for_formula": (),
    "shorter_than_sample": ("cm",),
    "length_perhaps_from_shoulder": (),
    "length_perhaps_from_elbow": (),
    "measures_hardly_fit": (),
    "outside_sample": ("kg", "low_kg", "high_kg"),
}

HABITS: Keys = {
    "habit_hour": ("hour",),
    "habit_fed": ("fed",),
    "habit_instrument": (),
    "habit_instrument_unnamed": (),
    "habit_formula": ("formula",),
    "habit_side": ("side",),
    "habit_position": ("position",),
}

# Asked on a form, and answered by a tick there.
QUESTIONS: Keys = {"weight_far_from_last": ("kg", "last_kg", "on")}

ALL: Keys = {**REFUSALS, **WARNINGS, **HABITS, **QUESTIONS}
