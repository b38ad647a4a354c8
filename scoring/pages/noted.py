"""What was noted around a score, as its page and a horse's list of scores say it back."""

from django.utils.translation import gettext

from scoring.pages import choices, labels
from scoring.queries import wording
from scoring.queries.assessments import AssessmentAnswer

Facts = list[tuple[str, str]]


def all_of(found: AssessmentAnswer) -> Facts:
    """Return every note with its name; whether danger signs were looked for is always said."""
    told = [(gettext("Danger signs"), danger(found)), *_looks(found), *_written(found)]
    return [each for each in told if each[1]]


def in_brief(found: AssessmentAnswer) -> tuple[str, str]:
    """Return the note of a score, and beside it what else was noted, for a list."""
    looked = found.danger_signs or found.looked_for_danger
    told = [(gettext("Danger signs"), danger(found) if looked else ""), *_looks(found)]
    told += [(gettext("By-eye estimate"), _eye(found)), (gettext("Limits"), found.limits)]
    said = [
        gettext("{name}: {value}").format(name=name, value=value) for name, value in told if value
    ]
    return found.note, ". ".join(said)


def danger(found: AssessmentAnswer) -> str:
    """Return the signs that were seen, or whether anybody looked."""
    if found.danger_signs:
        return "; ".join(wording.sign(name) for name in found.danger_signs)
    return gettext("Looked, none seen") if found.looked_for_danger else gettext("Not answered")


def _looks(found: AssessmentAnswer) -> Facts:
    rug = {True: "true", False: "false", None: ""}[found.rug_off]
    return [
        (gettext("Appetite"), choices.look("appetite", found.appetite)),
        (gettext("Muscle, apart from fat"), choices.look("muscle", found.muscle)),
        (gettext("Coat"), choices.look("coat", found.coat)),
        (gettext("Rug"), choices.look("rug_off", rug)),
    ]


def _written(found: AssessmentAnswer) -> Facts:
    eye = _eye(found)
    told = gettext("{eye}, before hands were laid on; not used in the trend").format(eye=eye)
    return [
        (gettext("By-eye estimate"), told if eye else ""),
        (gettext("Who held"), choices.look("held", found.held_by) or found.held_by),
        (gettext("What limited the score"), found.limits),
        (gettext("Note"), found.note),
    ]


def _eye(found: AssessmentAnswer) -> str:
    return "" if found.by_eye is None else labels.written(int(found.by_eye * 2))
