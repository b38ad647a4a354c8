"""Where message keys become sentences in the reader's language. Each says the remedy.

Rules, actions and doors know only keys with parameters. ``scoring.queries.wording`` extends this.
"""

import logging
from collections.abc import Callable, Mapping

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

logger = logging.getLogger(__name__)

Words = Mapping[str, str | Promise]

# What is said of a refusal as a whole, by its class.
REFUSALS: Words = {
    "refused": _("This could not be done, and nothing was written."),
    "not_signed_in": _("Sign in first, or send a token that is in force."),
    "access_revoked": _(
        "Your access to {organisation} ended on {at}: {by} ended it. What waits on this phone is "
        "kept. If you still need to get in, ask a coordinator there."
    ),
    "access_expired": _(
        "Your access to {organisation} ended on {at}, as was set when {by} let you in. What waits "
        "on this phone is kept. If you still need to get in, ask a coordinator there."
    ),
    "account_shut": _(
        "Your account was shut by whoever runs this service, and signs nobody in. What waits on "
        "this phone is kept. Ask your coordinator, who can have it opened again."
    ),
    "not_found": _("There is nothing here that you may see. Check the address."),
    "not_allowed": _("Your role does not allow this. Ask your coordinator."),
    "too_large": _("This is too much at once. Send it in smaller parts."),
    "malformed": _("This could not be read. Correct it and send it again."),
    "invalid": _("Something does not fit. Correct what is named and send it again."),
    "conflict": _("This no longer fits what is on record. Look at it again, then decide."),
}

# What is wrong with one value, and what to put instead.
VALUES: Words = {
    "required": _("Fill this in; it cannot be left out."),
    "unknown_field": _("There is no such field here. Leave it out."),
    "unknown_reference": _("Nothing in your reach has this id. Choose one that you can see."),
    "unreadable_text": _("This holds characters that cannot be shown. Type it again."),
    "too_long": _("Use at most {most} characters."),
    "too_many": _("Send at most {most}."),
    "too_many_places": _("Use at most {places} decimal places."),
    "out_of_range": _("Give a value from {low} to {high}."),
    "year_out_of_range": _("Give a year from {low} to {high}."),
    "given_twice": _("This name is given twice in one object. Give it once."),
    "not_a_choice": _("Choose one of: {choices}."),
    "not_a_date": _("Give a day as year-month-day, for example 2026-04-12."),
    "not_a_flag": _("Send true or false."),
    "not_a_list": _("Send a list."),
    "not_a_month_day": _("Give a day of the year as month-day, for example 03-01."),
    "not_in_lb": _("Give pounds as a plain number, for example 628."),
    "not_in_in": _("Give inches as a plain number, for example 58.5."),
    "not_in_hands": _("Give hands and inches, for example 14.2; the inches go from 0 to 3."),
    "not_a_number": _("Give a plain number in digits, for example 3.5."),
    "not_a_phone": _("Give a telephone number: digits, spaces, + ( ) - and an extension."),
    "not_a_time": _("Give a time of day as hours:minutes, for example 21:30."),
    "not_a_whole_number": _("Give a whole number."),
    "not_an_id": _("Give an id of the form xxxxxxxx-xxxx-xxxx-xxxx-xxxxxxxxxxxx."),
    "not_an_instant": _(
        "Give a date and time with its offset, for example 2026-04-12T09:40:00+01:00."
    ),
    "not_an_object": _("Send an object with named fields."),
    "not_text": _("Send text, in quotation marks."),
    "named_twice": _("This id stands in the list before. Leave one of the two out."),
    "not_utf8": _("Send JSON in UTF-8."),
    "json_unreadable": _("This is no JSON from line {line}, column {column} on. Correct it there."),
    "json_constant": _("{constant} is no JSON number. Send a number, or leave it out."),
    "nested_too_deep": _("This is nested too deep. Send plain objects and lists."),
    "broken_cursor": _("This cursor is not one of ours. Begin with the first page."),
    "same_id_other_content": _(
        "This id was used before, with other content. Send a new id, or what was sent at first."
    ),
    "stale_version": _("Somebody changed this meanwhile. Load it again, then make your change."),
}

# Animals, their numbers, and where they stand.
ANIMALS: Words = {
    "after_death": _("This is after the animal died. Correct the time, or the death."),
    "after_departure": _("This is after the animal left. Correct the time, or the departure."),
    "already_gone": _("This animal's record has ended already. Look at it again."),
    "already_there": _("The animal stands in this yard already. Choose another yard."),
    "before_birth": _("This is before the animal was born. Correct the time, or the birth."),
    "before_current_stay": _(
        "This is before the animal came to where it stands. Give a later time."
    ),
    "born_in_the_future": _("Give a birth that lies in the past."),
    "born_too_long_ago": _("Give a birth in {year} or later."),
    "ends_only_when_gone": _("Give an end only together with the status rehomed or dead."),
    "in_the_future": _("This lies in the future. Correct the time, or the clock of the device."),
    "male_no_broodmare": _("A gelding or stallion is no broodmare. Choose another use."),
    "male_not_bred": _("A gelding or stallion is not in foal or in milk. Leave this out."),
    "merged_into_another": _("This record was joined to another animal's. Use that one."),
    "never_of_mares": _("A mare is not gelded. Correct the event, or the sex."),
    "not_in_this_yard": _("This animal does not stand in this yard now. Leave it out."),
    "no_longer_here": _("This animal is no longer here. If it is, say so in its facts first."),
    "not_a_birth": _("Give a birth as 2014, or as 2014-05-01."),
    "not_an_identified_horse_here": _("Choose an identified animal that is here."),
    "only_of_mares": _("Only a mare is covered, in foal or foals. Correct the event, or the sex."),
    "only_unknown_animals_merge": _("Only an animal recorded as unknown can be joined to another."),
    "other_species": _("The two are not of one species. Choose another animal."),
    "species_stays": _("A species is not changed. Register the animal anew if it was wrong."),
    "transponder_not_15_digits": _("Give the transponder's 15 digits."),
    "transponder_number_zero": _("After the code there are only noughts: read the chip again."),
    "transponder_shared_maker": _("900 is shared by several makers: read the number again."),
    "transponder_test_code": _("999 marks a transponder for tests: read the number again."),
    "transponder_too_large": _("No transponder has this number. Read it again."),
    "transponder_unassigned_country": _("No country has the code {code}: read the number again."),
    "transponder_without_country": _("No transponder begins with 000. Read it again."),
    "ueln_country": _("No country has the code {code}: look at the passport again."),
    "ueln_all_noughts": _("A UELN is not all noughts: look at the passport again."),
    "ueln_wrong_shape": _("Give the 15 characters of the UELN, digits first, as in the passport."),
    "yard_changes_by_a_move": _("The yard changes by a move. Record the move instead."),
}

# Yards, people and what they are granted.
PEOPLE: Words = {
    "all_or_some_yards": _("Say all yards, or tick some: not both."),
    "already_over": _("Give an end that is still to come."),
    "coordinator_has_all_yards": _("A coordinator's grant covers all yards. Say so."),
    "device_is_for_who_records": _("A device is for somebody who may record. Name one who may."),
    "ends_before_it_begins": _("Give an end after the beginning."),
    "erase_yourself": _("Nobody erases themselves. Ask another coordinator."),
    "erased_here": _(
        "This person was erased here, and stays so. If they come back, invite them to another "
        "address of theirs, as somebody new."
    ),
    "erasure_not_understood": _("Tick that you have read what goes and what stays."),
    "full_token_is_made_by_its_person": _("A person makes their own full token. Make a device's."),
    "grant_names_nothing": _("Name the yards or horses, or say all yards."),
    "invitation_accepted": _("This invitation was accepted. End the grant instead."),
    "invitation_withdrawn": _("This invitation was withdrawn. Make a new one."),
    "invited_somebody_else": _(
        "This invitation is for another address than yours. Sign out, then open the link again."
    ),
    "inviter_may_not": _(
        "Whoever invited you may not let people in any more. Ask the organisation for a new "
        "invitation."
    ),
    "last_coordinator": _("Somebody must coordinate. Grant that to another person first."),
    "not_an_email": _("Give an email address, for example maud@example.org."),
    "only_for_vets": _("Only a vet's grant has a registration number and register."),
    "no_number_of_this_vet": _(
        "No registration number of this vet is on record. Let them in by the whole form."
    ),
    "not_restricted": _("This horse is open to everybody in scope already."),
    "glass_by_another": _("Two people break glass: another coordinator has to approve it."),
    "glass_is_over": _("This was approved, refused or waited too long. Ask for it anew."),
    "only_for_auditors": _("Only an auditor's grant says which part of the record it opens."),
    "password_asked_again": _(
        "Give your password again on a page first, then send this once more."
    ),
    "quiet_hours_empty": _("Give two different times, or leave quiet hours out."),
    "reason_names_them": _("This stays in the record: give a reason without their name."),
    "second_factor_needed": _(
        "Your organisation asks for a second factor. Set one up on a page first."
    ),
    "sign_in_first": _("You have a password here already. Sign in with it, then accept."),
    "token_shown_once": _(
        "This token was made already, and its secret is shown only once. End it and make another."
    ),
    "too_far_ahead": _("Give an end within {days} days."),
    "unknown_time_zone": _("Give a time zone by its place, for example Europe/London."),
    "vet_grant_by_another": _("Nobody grants themselves the vet's role. Ask another coordinator."),
    "you_were_erased": _(
        "This organisation has erased you, so this address lets you in there no more. If you are "
        "to come back, ask them to invite you at another address of yours."
    ),
}

WORDS: dict[str, str | Promise] = {**REFUSALS, **VALUES, **ANIMALS, **PEOPLE}


def say(key: str, params: Mapping[str, object] | None = None) -> str:
    """Return the sentence of a key in the reader's language, by whoever knows most of them."""
    return _speakers[-1](key, params)


def _own(key: str, params: Mapping[str, object] | None = None) -> str:
    return spoken(WORDS, key, params or {})


_speakers: list[Callable[[str, Mapping[str, object] | None], str]] = [_own]


def extend(speaker: Callable[[str, Mapping[str, object] | None], str]) -> None:
    """Let a package that knows our words and its own speak for both."""
    _speakers.append(speaker)


def spoken(words: Words, key: str, params: Mapping[str, object]) -> str:
    """Return the sentence of a key from a table; a key without words is a fault of ours."""
    try:
        return str(words[key]).format(**params)
    except KeyError:
        logger.exception("no words, or a missing parameter, for message key %s", key)
        return str(REFUSALS["invalid"])
