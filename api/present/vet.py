"""Questions to the vet, and clinical notes."""

from api.present import forms
from api.present.people import person
from scoring.queries.clinical_notes import NoteCard
from scoring.queries.questions import QuestionCard


def question(found: QuestionCard) -> dict[str, object]:
    """Return one question, with its end if it has come to one."""
    end = found.end
    return {
        "id": str(found.id),
        "horse": str(found.horse),
        "text": found.text,
        "state": found.state,
        "asked_by": person(found.asked_by),
        "asked_at": forms.instant(found.asked_at),
        "end": None
        if end is None
        else {
            "id": str(end.id),
            "how": end.how,
            "text": end.text,
            "by": person(end.by),
            "at": forms.instant(end.at),
        },
    }


def note(found: NoteCard) -> dict[str, object]:
    """Return one clinical note, for those who may read it."""
    return {
        "id": str(found.id),
        "horse": str(found.horse),
        "text": found.text,
        "written_by": person(found.written_by),
        "written_at": forms.instant(found.written_at),
        "supersedes": forms.ref(found.supersedes),
        "superseded_by": forms.ref(found.superseded_by),
        "reason": found.reason,
    }
