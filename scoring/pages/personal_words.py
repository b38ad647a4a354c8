"""What is held of people, in words: each kind with its reason, its time and its readers."""

from dataclasses import dataclass

from django.utils.translation import gettext


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of personal data."""

    what: str
    why: str
    long: str
    who: str


def held() -> tuple[Kind, ...]:
    """Return every kind, those of people who sign in first."""
    return (*_of_people(), *_of_work(), *_of_machines())


def _of_people() -> tuple[Kind, ...]:
    return (
        Kind(
            gettext("Name and e-mail address"),
            gettext("To sign in, to be told of alerts, to say who did what."),
            gettext("While the organisation keeps its record, or until the person is erased."),
            gettext(
                "The name: everybody who reads what the person did. The address: coordinators."
            ),
        ),
        Kind(
            gettext("Grants, and a vet's registration number and register"),
            gettext("To say who may do what, and on whose word."),
            gettext("While the organisation keeps its record; a grant ends, its row stays."),
            gettext("Coordinators, and the person."),
        ),
        Kind(
            gettext("Password (as a hash that cannot be read back), sessions with their address"),
            gettext("To let in the right person only."),
            gettext("A session: 14 days after it was begun. The password: until it is changed."),
            gettext("Nobody; whoever runs the server can see that there is one."),
        ),
    )


def _of_work() -> tuple[Kind, ...]:
    return (
        Kind(
            gettext("Who scored, weighed, looked, moved, answered or decided, and when"),
            gettext(
                "Hands differ: a score without its hand says less. The record needs an author."
            ),
            gettext("For good: readings and entries of the record are never changed."),
            gettext("Everybody who may read the horse or the record."),
        ),
        Kind(
            gettext("Notes, questions, reasons and clinical notes, where they name somebody"),
            gettext("They are what was said of the horse."),
            gettext("For good. Do not name people in them without need."),
            gettext("Everybody who may read the horse; clinical notes: vets and coordinators."),
        ),
        Kind(
            gettext("Photos"),
            gettext("To show the horse. Place and phone are taken out before a photo is kept."),
            gettext("For good. Do not keep a photo that shows a person."),
            gettext("Everybody who may read the horse."),
        ),
        Kind(
            gettext("Vets' names and telephone numbers at each yard; who held a horse"),
            gettext("To be phoned in an emergency; to know under which conditions was scored."),
            gettext("Numbers: until they are changed, and in the record after that."),
            gettext("Everybody who may read the yard or the horse."),
        ),
    )


def _of_machines() -> tuple[Kind, ...]:
    return (
        Kind(
            gettext("Messages that were sent, and absences"),
            gettext("To prove that an alert was told, and to tell somebody else meanwhile."),
            gettext("While the organisation keeps its record."),
            gettext("Coordinators; each message, whoever got it."),
        ),
        Kind(
            gettext("Log of the server"),
            gettext("To find faults. It names routes and times, no people and no addresses."),
            gettext("As long as whoever runs the server keeps it."),
            gettext("Whoever runs the server."),
        ),
    )


def goes(*, vet: bool) -> tuple[str, ...]:
    """Return what an erasure takes away, besides what it counts; of a ``vet`` more."""
    number = gettext(
        "Their registration number and register. Who signed is then told by the alias only: think "
        "of orders and cases in which it may be asked."
    )
    return (
        gettext("Messages that wait for them are called off."),
        gettext("Every page, answer, message and file calls them by the alias, you included."),
        *((number,) if vet else ()),
        gettext(
            "Their account is emptied once no organisation knows them any more. You are not told "
            "whether another does."
        ),
    )


def stays() -> tuple[str, ...]:
    """Return what an erasure leaves, and why."""
    return (
        gettext(
            "Readings, weights, photos, decisions and when they were made: they are about the "
            "animal, and its record must stand."
        ),
        gettext(
            "The entries themselves, with their fingerprints and the person's id: every proof "
            "still holds. Where a horse's facts were changed in words that hold the name, pages "
            "about days before that change know less."
        ),
        gettext("Photos: none of a person should be kept. If there is one, it stays."),
        gettext(
            "What has left the house: mail that was sent, files that were taken, backups until "
            "whoever runs the server lets them go."
        ),
        gettext(
            "If they come back, invite them to another address: they come in as somebody new, and "
            "what they did before stays under the alias."
        ),
    )


def texts(table: str) -> str:
    """Return what the texts of a table are called; a table without words by its own name."""
    return {
        "scoring_assessment": gettext("Scores: notes, limits, who held, reasons"),
        "scoring_weighing": gettext("Weights: reasons"),
        "scoring_concern": gettext("Concerns"),
        "scoring_clinicalnote": gettext("Clinical notes"),
        "scoring_question": gettext("Questions to the vet"),
        "scoring_questionend": gettext("Answers to questions"),
        "scoring_vetorder": gettext("Vet's orders"),
        "scoring_vetorderend": gettext("Ends of vet's orders"),
        "scoring_alert": gettext("Alerts: notes, next steps, reasons"),
        "scoring_alertact": gettext("Comments on alerts"),
        "scoring_absence": gettext("Absences of others"),
        "scoring_boardview": gettext("Names of board views"),
        "scoring_instrument": gettext("Names of tapes and scales"),
        "yards_horse": gettext("Facts of horses"),
        "yards_horseevent": gettext("Events"),
        "yards_yard": gettext("Settings of yards"),
        "yards_grant": gettext("Reasons of others' grants"),
        "yards_restriction": gettext("Reasons of restrictions"),
        "yards_glassbreak": gettext("Reasons of break-glass"),
        "scoring_rulesetting": gettext("Reasons of rules"),
        "scoring_ruleexception": gettext("Reasons of exceptions"),
        "scoring_escalationpolicy": gettext("Reasons of who is told"),
    }.get(table, table)
