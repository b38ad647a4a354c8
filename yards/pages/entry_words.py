"""What the ledger's entries are called: a sentence for each verb, groups to look by, kinds.

Entries of every package are read here, so the verbs of all stand here; a test holds the list to
what the actions write.
"""

from collections.abc import Callable, Mapping

from django.utils.translation import gettext

from yards.rules import bidi

Say = Callable[[], str]

GROUPS: Mapping[str, tuple[str, ...]] = {
    "scores": ("assessment.recorded", "assessment.corrected"),
    "weights": ("weighing.recorded", "weighing.corrected"),
    "alerts": (
        *("alert.acknowledged", "alert.resolved", "alert.snoozed", "alert.snooze_ended"),
        *("alert.escalated", "alert.reopened", "concern.recorded", "yard.swept"),
        *("alert.told", "alert.assigned", "alert.commented"),
        *("policy.changed", "absence.set", "absence.ended"),
        *("rule.changed", "rule_exception.given", "rule_exception.ended"),
    ),
    "horses": (
        *("horse.registered", "horse.changed", "horse.moved", "horse.merged"),
        *("event.recorded", "vet_order.given", "vet_order.ended", "standing.rebuilt"),
        *("question.asked", "question.answered", "question.withdrawn"),
        *("clinical_note.written", "clinical_note.corrected"),
        *("trends.fitted", "photo.kept"),
    ),
    "yards": (
        *("organisation.made", "organisation.changed"),
        *("yard.made", "yard.changed", "yard.walk_ordered", "instrument.added"),
    ),
    "people": (
        *("grant.issued", "grant.confirmed", "grant.revoked"),
        *("horse.restricted", "horse.opened"),
        *("glass.asked", "glass.approved", "glass.ended"),
        *("invitation.made", "invitation.sent_again", "invitation.withdrawn"),
        "invitation.accepted",
        *("token.issued", "token.revoked", "person.settings", "person.exported"),
        *("person.factor_reset", "person.erased"),
        *("board_view.kept", "board_view.removed"),
    ),
    "looks": ("read",),
}


def group(key: str) -> str:
    """Return what a group of entries is called."""
    return {
        "scores": gettext("Scores"),
        "weights": gettext("Weights"),
        "alerts": gettext("Alerts"),
        "horses": gettext("Horses"),
        "yards": gettext("Yards and tapes"),
        "people": gettext("People"),
        "looks": gettext("Auditors' looks"),
    }[key]


def sentence(verb: str, who: str) -> str:
    """Return what somebody did, or the verb itself where there are no words for it yet."""
    words = _SENTENCES.get(verb)
    who = bidi.isolated(who)
    return words().format(who=who) if words else f"{who}: {verb}"


_SENTENCES: Mapping[str, Say] = {
    "assessment.recorded": lambda: gettext("{who} recorded a score"),
    "assessment.corrected": lambda: gettext("{who} corrected a score"),
    "weighing.recorded": lambda: gettext("{who} recorded a weight"),
    "weighing.corrected": lambda: gettext("{who} corrected a weight"),
    "concern.recorded": lambda: gettext("{who} recorded a concern"),
    "alert.acknowledged": lambda: gettext("{who} acknowledged an alert"),
    "alert.resolved": lambda: gettext("{who} resolved an alert"),
    "alert.snoozed": lambda: gettext("{who} let an alert rest for a time"),
    "alert.snooze_ended": lambda: gettext("{who}: an alert's rest was over"),
    "alert.escalated": lambda: gettext("{who} took alerts to the next person"),
    "alert.told": lambda: gettext("{who} told people of alerts"),
    "alert.assigned": lambda: gettext("{who} made an alert somebody's"),
    "alert.commented": lambda: gettext("{who} commented on an alert"),
    "policy.changed": lambda: gettext("{who} changed who is told of alerts, and when"),
    "absence.set": lambda: gettext("{who} said who is away"),
    "absence.ended": lambda: gettext("{who} said who is back"),
    "alert.reopened": lambda: gettext("{who} opened an alert again"),
    "yard.swept": lambda: gettext("{who} judged a yard's horses by the day's date"),
    "rule.changed": lambda: gettext("{who} changed a risk rule"),
    "rule_exception.given": lambda: gettext("{who} made an exception to a risk rule"),
    "rule_exception.ended": lambda: gettext("{who} ended an exception to a risk rule"),
    "trends.fitted": lambda: gettext("{who} worked out how hands and tapes differ"),
    "horse.registered": lambda: gettext("{who} took a horse in"),
    "horse.changed": lambda: gettext("{who} changed a horse's facts"),
    "horse.moved": lambda: gettext("{who} moved a horse"),
    "horse.merged": lambda: gettext("{who} identified an unknown animal"),
    "event.recorded": lambda: gettext("{who} recorded an event"),
    "photo.kept": lambda: gettext("{who} added a photo"),
    "vet_order.given": lambda: gettext("{who} gave a vet's order"),
    "vet_order.ended": lambda: gettext("{who} ended a vet's order early"),
    "question.asked": lambda: gettext("{who} put a question to the vet"),
    "question.answered": lambda: gettext("{who} answered a question"),
    "question.withdrawn": lambda: gettext("{who} withdrew a question"),
    "clinical_note.written": lambda: gettext("{who} wrote a clinical note"),
    "clinical_note.corrected": lambda: gettext("{who} corrected a clinical note"),
    "organisation.made": lambda: gettext("{who} made the organisation"),
    "organisation.changed": lambda: gettext("{who} changed the organisation's settings"),
    "yard.made": lambda: gettext("{who} added a yard"),
    "yard.changed": lambda: gettext("{who} changed a yard's settings"),
    "yard.walk_ordered": lambda: gettext("{who} set a yard's walking order"),
    "instrument.added": lambda: gettext("{who} added a tape or scale"),
    "standing.rebuilt": lambda: gettext("{who} worked out a horse's standing again"),
    "grant.issued": lambda: gettext("{who} let somebody in"),
    "grant.confirmed": lambda: gettext("{who} confirmed a vet's grant"),
    "horse.restricted": lambda: gettext("{who} kept a horse to named people"),
    "horse.opened": lambda: gettext("{who} lifted a horse's restriction"),
    "glass.asked": lambda: gettext("{who} asked to look under break-glass"),
    "glass.approved": lambda: gettext("{who} approved another's break-glass"),
    "glass.ended": lambda: gettext("{who} ended a break-glass"),
    "grant.revoked": lambda: gettext("{who} ended a grant"),
    "invitation.made": lambda: gettext("{who} invited somebody"),
    "invitation.sent_again": lambda: gettext("{who} sent an invitation again"),
    "invitation.withdrawn": lambda: gettext("{who} withdrew an invitation"),
    "invitation.accepted": lambda: gettext("{who} accepted an invitation"),
    "token.issued": lambda: gettext("{who} made a token"),
    "token.revoked": lambda: gettext("{who} ended a token"),
    "person.settings": lambda: gettext("{who} chose a language and units"),
    "person.factor_reset": lambda: gettext("{who} took a lost second factor away"),
    "person.erased": lambda: gettext("{who} erased a person"),
    "person.exported": lambda: gettext("{who} took a copy of what is held of a person"),
    "board_view.kept": lambda: gettext("{who} kept a view of the board"),
    "board_view.removed": lambda: gettext("{who} took a view of the board away"),
    "read": lambda: gettext("{who} looked"),
}


def actor(text: str, name: str) -> str:
    """Return who acted: a person's name today, or the service itself."""
    if text == "system":
        return "Halfpoint"
    return name or gettext("Somebody whose name is gone")


def kind(key: str) -> str:
    """Return what kind of thing an entry is about."""
    return {
        "horse": gettext("horse"),
        "yard": gettext("yard"),
        "event": gettext("event"),
        "photo": gettext("photo"),
        "assessment": gettext("score"),
        "weighing": gettext("weight"),
        "concern": gettext("concern"),
        "alert": gettext("alert"),
        "alert_act": gettext("comment on an alert"),
        "policy": gettext("who is told, and when"),
        "absence": gettext("absence"),
        "vet_order": gettext("vet's order"),
        "question": gettext("question to the vet"),
        "clinical_note": gettext("clinical note"),
        "rule": gettext("risk rule"),
        "rule_exception": gettext("exception to a risk rule"),
        "instrument": gettext("tape or scale"),
        "grant": gettext("grant"),
        "glass": gettext("break-glass"),
        "invitation": gettext("invitation"),
        "token": gettext("token"),
        "person": gettext("person"),
        "board_view": gettext("view of the board"),
        "organisation": gettext("organisation"),
        "entry": gettext("entry of the record"),
        "list": gettext("a list"),
    }.get(key, key)


def via(key: str) -> str:
    """Return by which way somebody acted."""
    return {
        "page": gettext("on these pages"),
        "api": gettext("by a phone or program"),
        "task": gettext("by a timer"),
        "command": gettext("by a command on the server"),
    }.get(key, key)
