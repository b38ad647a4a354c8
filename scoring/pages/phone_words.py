"""What the pages of the phone say by script, in the reader's language; {names} are filled in."""

from django.utils.translation import gettext

from scoring.pages import score_labels


def sending() -> dict[str, object]:
    """Return what the page of what waits says."""
    return {
        "kinds": kinds(),
        "by": gettext("{kind}, {at}"),
        "whose": gettext("Entered by {person}, {organisation}"),
        "follows": gettext("Goes once what it belongs to has gone."),
        "sent_at": gettext("Sent {at}"),
        "others": gettext(
            "Waiting here: {n}. What {person} entered goes when {person} signs in again, and is "
            "shown to nobody else."
        ),
        "elsewhere": gettext(
            "Waiting here: {n}. What {person} entered for {organisation} goes when {person} works "
            "there again, and is shown nowhere else."
        ),
        "safe": gettext(
            "This browser has promised to keep what is here until you remove it yourself."
        ),
        "unsafe": gettext(
            "This browser has made no promise to keep what is here: it may clear it when the phone "
            "runs out of space, and a private window forgets it when it is closed. Send soon."
        ),
        "room": gettext("Kept on this phone: {used} MB of {quota} MB that the browser allows."),
        "pending": gettext("Trying again by itself in {n} s."),
        "hanging": gettext("Goes with it, since it cannot be sent without: {n}."),
        "whys": _whys(),
        "fields": {**score_labels.labels(), **_fields()},
        "no_horse": gettext("Choose the animal"),
    }


def kinds() -> dict[str, str]:
    """Return what a thing in the queue is called."""
    return {
        "assessment": gettext("Score"),
        "unscored": gettext("Not scored: not safe to touch"),
        "weighing": gettext("Weight"),
        "concern": gettext("Concern"),
        "horse": gettext("Unknown animal"),
        "photo": gettext("Photo"),
    }


def _whys() -> dict[str, str]:
    """Return what to do about each kind of refusal."""
    return {
        "signed_out": gettext(
            "You are signed out. Sign in as {person}; then it goes by itself. Nothing is lost."
        ),
        "other_person": gettext(
            "Somebody else is signed in on this phone. It goes when {person} signs in again."
        ),
        "other_organisation": gettext(
            "Another organisation is open here now. It goes when {person} works in {organisation}."
        ),
        "no_grant": gettext(
            "Nothing is open to {person} in {organisation} at the moment: a grant has ended or was "
            "revoked. Ask the coordinator; it stays here, and goes when there is a grant again."
        ),
        "forbidden": gettext(
            "The role of {person} no longer allows this. Ask the coordinator; it stays here, and "
            "goes when the role allows it again."
        ),
        "conflict": gettext(
            "The server holds something else under the same number, and that stands. Look at the "
            "horse's page first; then send this as one of its own, or remove it here."
        ),
        "too_large": gettext("It is too large to be taken as it is."),
        "lost": gettext(
            "The picture itself is no longer on this phone: the browser cleared it. Remove this, "
            "and take it again."
        ),
        "refused": gettext("The server did not take it. Put right what it names, and send it."),
    }


def _fields() -> dict[str, str]:
    return {
        "horse": gettext("Animal"),
        "yard": gettext("Yard"),
        "name": gettext("Name"),
        "seen_at": gettext("When it was seen"),
        "weight_kg": gettext("Weight in kg"),
        "weighing.weight_kg": gettext("Weight in kg"),
        "method": gettext("How it was weighed"),
        "instrument": gettext("Which tape or scales"),
        "image": gettext("Photo"),
    }


def away() -> dict[str, object]:
    """Return what the page for being away says."""
    return {
        "taken": gettext("Downloaded {at}"),
        "unknown": gettext("unknown animal"),
        "due": {
            "score": gettext("Score due"),
            "weight": gettext("Weight due"),
            "both": gettext("Score and weight due"),
        },
        "overdue": {
            "score": gettext("Score overdue"),
            "weight": gettext("Weight overdue"),
            "both": gettext("Score and weight overdue"),
        },
        "score": gettext("Score"),
        "scored_today": gettext("Scored today at {at}"),
        "due_first": gettext("Due first, as it stood when this round was downloaded, {at}"),
    }


def photos() -> dict[str, object]:
    """Return what taking photos says."""
    return {
        "photo_full": gettext("This phone has no room for a photo. All else is kept without it."),
        "photo_failed": gettext("That file is no picture this phone can read. Take it again."),
        "photos": {
            "left": gettext("Left side photographed"),
            "right": gettext("Right side photographed"),
            "rear": gettext("Rear photographed"),
            "mark": gettext("Marks photographed"),
        },
    }


def dialling() -> dict[str, str]:
    """Return what the numbers to ring are called."""
    return {
        "phone": gettext("Phone {practice}"),
        "the_vet": gettext("the vet"),
        "day_line": gettext("Day line"),
        "night_line": gettext("Out-of-hours line"),
        "second": gettext("Second number"),
        "second_when": gettext("If neither answers"),
    }


def unknown() -> dict[str, object]:
    """Return what taking in an unknown animal says."""
    return {
        "nameless": gettext("Unknown, {at}"),
        "no_yard": gettext("Choose a yard: its round must have been downloaded to this phone."),
        "no_species": gettext("Say whether it is a horse, a donkey or a mule."),
        **photos(),
        "not_kept": gettext(
            "This phone could not keep it: its storage is closed to us. Leave this page open, and "
            "press Save again."
        ),
        "not_kept_full": gettext(
            "This phone could not keep all of it: its storage is full. Leave this page open, make "
            "room, and press Save again: nothing is entered twice."
        ),
        "not_kept_gone": gettext(
            "What was saved first is just being sent. Leave this page open, wait a moment, and "
            "press Save again: nothing is entered twice."
        ),
        **dialling(),
    }
