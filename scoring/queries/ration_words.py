"""The sentences of energy, forage and rations: cautions, who gets none, what is wrong.

All cautions are common practice or of the sources beside the numbers, to be reviewed by the
organisation's vet. None diagnoses, and none names an amount of feed.
"""

from django.utils.translation import gettext_lazy as _

from yards.queries.wording import Words

ALWAYS: Words = {
    "ration_is_an_estimate": _(
        "An estimate from tables for the average animal: none is average. Watch weight and score."
    ),
    "ration_for_light_horses": _(
        "Written for grown light horses. For ponies, cobs and heavy horses with discretion; never "
        "for donkeys or mules."
    ),
    "ration_by_current_weight": _(
        "By the weight that the animal has now, not by the weight that it should have."
    ),
    "ration_vet_decides": _("The vet decides. Ask before any change of feed."),
}
NEEDS: Words = {
    "ration_not_for_slimming": _(
        "What a healthy animal needs: no ration for slimming, and none for feeding up a starved "
        "animal."
    ),
    "ration_surroundings": _(
        "Cold, heat, company and grazing can add a tenth to a half, and breeds differ."
    ),
    "ration_beyond_tables": _(
        "The tables print no animal of this weight: the formula goes on past them."
    ),
    "ration_weight_before_foal": _("By what the mare weighs without the foal."),
    "ration_past_last_month": _(
        "The tables end with the eleventh month; that one is shown. Ask the vet when she is due."
    ),
}
FORAGE: Words = {
    "forage_below_usual_floor": _(
        "Less forage than the usual least. Sources disagree on how little is safe: ask the vet."
    ),
    "forage_signed_by_vet": _("So little only under the plan that a vet signed, and watched."),
    "forage_needs_balancer": _(
        "Little or soaked forage lacks vitamins, minerals, protein and salt: a balancer belongs "
        "beside it. Ask the vet which."
    ),
    "forage_weighed_before_soaking": _(
        "Weighed dry, before soaking: soaked kilograms are mostly water."
    ),
    "forage_soaking_unsure": _(
        "What soaking takes differs much from hay to hay. It makes no hay safe for sure: have it "
        "analysed."
    ),
    "forage_energy_is_typical": _(
        "The energy is typical of its kind. An analysis of this very forage says more."
    ),
    "forage_energy_unknown": _("No source gives the energy of this forage: have it analysed."),
}
CHANGES: Words = {
    "change_only_mid_scale": _(
        "Known for one step in the middle of the 1 to 9 scale only. Near its ends a point weighs "
        "something else."
    ),
    "change_approximate_on_five": _(
        "Approximate: nobody has published what a point of the 0 to 5 scale weighs. It is taken "
        "for two of the 1 to 9 scale."
    ),
    "change_energy_varies": _(
        "Animals differ much in what a kilogram costs: in one trial from 18 to 34 Mcal."
    ),
    "change_faster_than_published": _("Faster than the usual tables go. Ask the vet first."),
    "change_girth_before_score": _(
        "Girths move before the score does, which may stand still for three months. Measure both."
    ),
    "change_often_slower": _(
        "Many lose more slowly than is aimed at. Do not cut further without the vet."
    ),
    "change_first_week_left_out": _(
        "The first week of a diet is left out: what falls then is mostly what was in the gut."
    ),
}
PACES: Words = {
    "pace_not_yet": _("Not enough weighings after the first week to say how fast."),
    "pace_no_loss": _("No loss since the first week. Ask the vet before anything is cut."),
    "pace_slower": _("Losing more slowly than is aimed at. That is common, and safe."),
    "pace_as_aimed": _("Losing as fast as is aimed at."),
    "pace_too_fast": _("Losing too fast. Call the vet today, and cut nothing further."),
}
GUARDS: Words = {
    "ration_emaciated": _(
        "Very thin: the first feeds can kill. Phone the vet now, before feeding. Amounts come "
        "from the vet's plan, never from here."
    ),
    "ration_sick": _("Unwell, or off its feed: nothing is worked out. Ask the vet."),
    "ration_laminitis": _(
        "Laminitis is suspected: call the vet today. No change of feed without the vet's plan."
    ),
    "ration_other_species": _(
        "The tables are of horses. Donkeys and mules need less, and fall ill when feed is cut: "
        "only by the vet's plan."
    ),
    "ration_growing": _(
        "It may still be growing, and there are no tables of that here: ask the vet."
    ),
    "ration_in_foal": _("In foal, or perhaps: nothing is worked out without the vet's plan."),
    "ration_in_milk": _("In milk: nothing is worked out without the vet's plan."),
    "ration_condition_unknown": _(
        "Nobody has scored it by hand lately: do that first. Until then nothing is worked out "
        "without the vet's plan."
    ),
    "ration_too_thin_to_restrict": _("Thin, or below its band: feed is not cut without the vet."),
    "ration_no_exercise": _(
        "Footsore, or laminitis is suspected: no exercise, and do not make it walk. Call the vet."
    ),
}
DOUBTS: Words = {
    "ration_age_unknown": _(
        "Its birth is not known. If it is still growing, this does not hold for it."
    ),
    "ration_weigh_again": _("Its weight is not known, or is old. Weigh it first."),
    "ration_pony_or_draught": _(
        "Ponies, cobs, miniatures and heavy horses may need less than these tables say."
    ),
    "ration_feed_never_cut_suddenly": _(
        "Never change or cut feed suddenly: that can do harm, to ponies above all."
    ),
}
REFUSALS: Words = {
    "forage_never_below": _(
        "This is {percent}% of its weight in dry matter. Below {least}% nothing is worked out, "
        "signed or not: it is too little."
    ),
    "forage_needs_signature": _(
        "This is {percent}% of its weight in dry matter. Below {least}% only with a plan that a "
        "vet signed: give more, or ask the vet."
    ),
    "pasture_not_weighed": _("Nobody can weigh what is grazed. Choose a forage that is fed."),
    "no_weight_per_point": _(
        "Nobody has published what a point of this scale weighs. Choose the 1 to 9 scale."
    ),
    "analysis_beyond_formula": _("The formula holds from {low} to {high} per cent of dry matter."),
    "plan_names_no_vet": _("Name the vet who signed the plan."),
    "plan_ends_before_it_begins": _("Give an end of the plan after its signature."),
}

ALL: Words = {
    **ALWAYS,
    **NEEDS,
    **FORAGE,
    **CHANGES,
    **PACES,
    **GUARDS,
    **DOUBTS,
    **REFUSALS,
}
