"""The sentences of weights by formula and of habits: what is wrong or odd, and what to do."""

from django.utils.translation import gettext_lazy as _

from yards.queries.wording import Words

REFUSALS: Words = {
    "unknown_formula": _("Name a formula of the list of weight formulas by its id."),
    "formula_for_species": _(
        "This formula was made on another kind of animal: {species}. Choose one that was made on "
        "this kind, or weigh on a weighbridge."
    ),
    "formula_for_other_sex": _("This formula is for the other sex. Choose the one for this sex."),
    "formula_for_grown_animals": _(
        "This formula is for animals from {months} months on. Choose one for young animals, or "
        "weigh on a weighbridge."
    ),
    "formula_for_young_animals": _(
        "This formula is for animals of up to {months} months. Choose one for grown animals."
    ),
    "looks_like_inches": _(
        "{cm} is far too little here. If it was read in inches, it is {meant_cm}: check the tape, "
        "and give that."
    ),
    "inches_taken_twice": _(
        "{cm} is far too much here. If it was read in centimetres and taken for inches, it is "
        "{meant_cm}: check the tape, and give that."
    ),
    "measure_unlikely": _(
        "Such an animal measures from {low_cm} to {high_cm} here. Measure again."
    ),
    "length_from_shoulder": _(
        "This length seems to begin at the shoulder. This formula wants it from the point of the "
        "elbow to the point of the buttock: measure that, or choose a formula with the length from "
        "the shoulder."
    ),
    "length_from_elbow": _(
        "This length seems to begin at the elbow. This formula wants it from the point of the "
        "shoulder to the point of the buttock: measure that, or choose a formula with the length "
        "from the elbow."
    ),
    "measures_do_not_fit": _(
        "This does not fit the other measures: they cannot be of one animal. Measure again."
    ),
    "far_outside_sample": _(
        "This formula was made on animals from {low_kg} to {high_kg}, and {kg} is far outside. "
        "Measure again, choose another formula, or weigh on a weighbridge."
    ),
    "formula_gives_no_weight": _(
        "The formula makes no possible weight of these measures. Measure again."
    ),
    "weight_unlike_formula": _(
        "The formula makes {kg} of these measures. Leave the weight out, or correct a measure."
    ),
    "tape_only_by_tape": _("Give side and place of the tape only where a tape was used."),
}

WARNINGS: Words = {
    "formula_for_other_kinds": _(
        "This formula was made on other kinds than this one: the estimate is less sure."
    ),
    "formula_not_for_mares_in_foal": _(
        "No mare in foal was among those that this formula was made on: it may be well out."
    ),
    "formula_for_fat_animals": _(
        "This formula was made on fat animals that do not work. On one of ordinary condition it "
        "may be well out: choose another, or weigh on a weighbridge."
    ),
    "belly_girth_in_foal": _(
        "A foal to come widens the belly: in a mare in foal the estimate may be well out, and she "
        "and her foal are weighed together. Choose a formula without the belly girth."
    ),
    "perhaps_inches": _(
        "{cm} can be a small animal. If all was read in inches, this is {meant_cm}, of one many "
        "times as heavy: check the tape, and put the kind of animal on record."
    ),
    "age_not_known_for_formula": _(
        "Nothing on record says whether this animal is of the age that this formula is for."
    ),
    "shorter_than_sample": _(
        "This formula was made on animals from {cm} up: the estimate is less sure."
    ),
    "length_perhaps_from_shoulder": _(
        "The length is long for this girth. Make sure that it begins at the point of the elbow."
    ),
    "length_perhaps_from_elbow": _(
        "The length is short for this girth. Make sure that it begins at the point of the shoulder."
    ),
    "measures_hardly_fit": _("These measures rarely go together. Measure once more."),
    "outside_sample": _(
        "This formula was made on animals from {low_kg} to {high_kg}, and {kg} is outside: the "
        "estimate is less sure."
    ),
}

HABITS: Words = {
    "habit_hour": _(
        "Taken at another hour than usual, which is about {hour}. Feed and water move a weight "
        "within a day."
    ),
    "habit_fed": _("Usually taken {fed}. Feed moves a weight."),
    "habit_instrument": _(
        "Taken with another tape or scales than usual. Tapes differ: take one reading with both."
    ),
    "habit_instrument_unnamed": _(
        "The tape or scales are usually named, and are not here. Name them, so that readings of "
        "one tape are held together."
    ),
    "habit_formula": _("Usually worked out by another formula: {formula}. Two formulas differ."),
    "habit_side": _("The tape is usually read on the {side}. The two sides may differ."),
    "habit_position": _(
        "The tape usually lies elsewhere: {position}. On another place it reads differently."
    ),
}

QUESTIONS: Words = {
    "weight_far_from_last": _(
        "Last time {last_kg} on {on}. {kg} is far from that: right horse, right tape, right unit? "
        "Put it right, or tick that it is right and save again."
    ),
}

ALL: Words = {**REFUSALS, **WARNINGS, **HABITS, **QUESTIONS}

SIDES: Words = {"left": _("left side"), "right": _("right side")}
FED: Words = {"before_feed": _("before feed"), "after_feed": _("after feed")}
CONFIDENCES: Words = {
    "read": _("The source or its abstract was read."),
    "secondary": _("Quoted elsewhere; the source itself was not seen."),
    "memory": _("From memory: not checked against the source."),
}
