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
            gettext("While the organisation keeps its record."),
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
