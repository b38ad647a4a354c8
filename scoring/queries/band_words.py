"""The sentences that say why a horse has the target band that it has.

None of them says that a mare is in foal: her record does, and a vet. Where slimming could hurt, the
caution stands beside (common practice).
"""

from django.utils.translation import gettext_lazy as _

from yards.queries.wording import Words

SEASONS: Words = {
    "spring": _("spring"),
    "summer": _("summer"),
    "autumn": _("autumn"),
    "winter": _("winter"),
}
STAGES: Words = {
    "foal": _("a foal"),
    "weanling": _("a weanling"),
    "yearling": _("a yearling"),
    "youngster": _("a youngster"),
    "adult": _("an adult"),
    "aged": _("an old animal"),
    "unknown": _("of unknown age"),
}
WHY: Words = {
    "band_vet": _("The vet set this band."),
    "band_donkey": _("Donkeys have a scale and a band of their own."),
    "band_donkey_bred": _(
        "No band was found for jennies in foal or in milk. No slimming now without the vet: they "
        "fall ill more easily when feed is cut."
    ),
    "band_early_in_milk": _(
        "In milk, month {month}: some fat may go now. No slimming without the vet."
    ),
    "band_in_milk": _("In milk, month {month}."),
    "band_in_milk_undated": _("In milk; the day of foaling is not on record."),
    "band_milk_over": _("Foaled more than {months} months ago, so counted as dry."),
    "band_late_in_foal": _(
        "Late in foal by her record, month {month}. No slimming now without the vet."
    ),
    "band_in_foal": _("In foal by her record, month {month}."),
    "band_perhaps_in_foal": _(
        "Covered and not found empty since: perhaps in foal, month {month}. The vet can say."
    ),
    "band_in_foal_undated": _("In foal by her record; the day of covering is not known."),
    "band_covered_too_long_ago": _(
        "The last covering on record lies too far back to be carrying from. Ask the vet, and record"
        " what is so."
    ),
    "band_broodmare": _("A broodmare: to be neither thin nor fat when she is covered and foals."),
    "band_growing": _("Still growing, {stage}: growth counts as much as the score."),
    "band_youngster": _("Kept as a youngster: growth counts as much as the score."),
    "band_aged": _("Over 20 years old. Fat can hide lost muscle: look at muscle apart."),
    "band_athlete": _("An athlete: kept nearer the lean end."),
    "band_stallion": _("A breeding stallion."),
    "band_leisure": _("An adult in ordinary use."),
    "band_birth_unknown": _("Its birth is not known, so it counts as an adult."),
    "band_birth_by_year": _("Only the year of birth is known; age counts from its first day."),
    "band_aim_leaner": _(
        "It is {season} at this yard, whose spring is {spring_first} to {spring_last}: aim "
        "{points} points below the middle of the band."
    ),
    "band_aim_fuller": _(
        "It is {season} at this yard, whose spring is {spring_first} to {spring_last}: aim "
        "{points} points above the middle of the band."
    ),
    "band_aim_leaner_by_own_spring": _(
        "By this yard's own spring, {spring_first} to {spring_last}, the aim is {points} points "
        "below the middle of the band."
    ),
    "band_aim_fuller_by_own_spring": _(
        "By this yard's own spring, {spring_first} to {spring_last}, the aim is {points} points "
        "above the middle of the band."
    ),
    "band_no_seasons": _("This yard has no seasons, so the aim stays in the middle."),
}
