"""Every message key that the rules of yards emit, with the names of its parameters.

The wording lives with the edges; a test proves that each key here has words, and that no rule emits
a key that is not here.
"""

from collections.abc import Mapping

Keys = Mapping[str, tuple[str, ...]]

# The sentence of a whole refusal, by kind.
KINDS: Keys = {
    "refused": (),
    "not_signed_in": (),
    "access_revoked": ("at", "by", "organisation"),
    "access_expired": ("at", "by", "organisation"),
    "not_found": (),
    "not_allowed": (),
    "too_large": (),
    "malformed": (),
    "invalid": (),
    "conflict": (),
}

MALFORMED: Keys = {
    "not_utf8": (),
    "json_unreadable": ("line", "column"),
    "json_constant": ("constant",),
    "given_twice": (),
    "nested_too_deep": (),
}

FIELDS: Keys = {
    "required": (),
    "unknown_field": (),
    "not_an_object": (),
    "not_a_list": (),
    "too_many": ("most",),
    "not_text": (),
    "too_long": ("most",),
    "unreadable_text": (),
    "not_a_phone": (),
    "not_a_choice": ("choices",),
    "not_a_flag": (),
    "not_an_id": (),
    "not_a_number": (),
    "out_of_range": ("low", "high"),
    "too_many_places": ("places",),
    "not_a_whole_number": (),
    "not_an_instant": (),
    "year_out_of_range": ("low", "high"),
    "not_a_date": (),
    "not_a_month_day": (),
    "not_a_time": (),
}

REFUSALS: Keys = {
    "unknown_time_zone": (),
    "quiet_hours_empty": (),
    "not_a_birth": (),
    "born_too_long_ago": ("year",),
    "born_in_the_future": (),
    "transponder_not_15_digits": (),
    "transponder_without_country": (),
    "transponder_too_large": (),
    "ueln_wrong_shape": (),
    "ueln_all_noughts": (),
    "male_not_bred": (),
    "male_no_broodmare": (),
    "species_stays": (),
    "yard_changes_by_a_move": (),
    "ends_only_when_gone": (),
    "in_the_future": (),
    "before_birth": (),
    "only_of_mares": (),
    "never_of_mares": (),
    "coordinator_has_all_yards": (),
    "grant_names_nothing": (),
    "ends_before_it_begins": (),
    "only_for_vets": (),
    "only_for_auditors": (),
    "no_number_of_this_vet": (),
    "not_restricted": (),
    "glass_by_another": (),
    "glass_is_over": (),
    "already_over": (),
}

# Odd, not wrong: told beside what was written, never a refusal.
WARNINGS: Keys = {
    "transponder_test_code": (),
    "transponder_shared_maker": (),
    "transponder_number_zero": (),
    "transponder_unassigned_country": ("code",),
    "ueln_country": ("code",),
}

ALL: Keys = {**KINDS, **MALFORMED, **FIELDS, **REFUSALS, **WARNINGS}
