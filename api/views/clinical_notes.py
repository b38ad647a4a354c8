"""Clinical notes: written by vets, read by vets and coordinators, and by nobody else."""

from uuid import UUID

from rest_framework.request import Request
from rest_framework.response import Response

from api import creating, paging
from api.base import ApiView
from api.present import vet as present
from api.schema import describe
from api.schema.vet import ClinicalNoteCorrectIn, ClinicalNoteIn, ClinicalNoteShape
from scoring.access import vet
from scoring.actions import clinical_notes as actions
from scoring.queries import clinical_notes
from yards.access import doors
from yards.rules.roles import Verb


class ClinicalNotesView(ApiView):
    """A horse's clinical notes."""

    verb = {"get": Verb.READ_CLINICAL, "post": Verb.WRITE_CLINICAL}
    finder = doors.horse_for_read
    kind = "clinical_notes"

    @describe.lists("list_clinical_notes", ClinicalNoteShape, summary="A horse's clinical notes")
    def get(self, request: Request, id: UUID) -> Response:
        """Return them, newest first, corrected ones too."""
        page = clinical_notes.list_notes(self.viewer, id, cursor=paging.cursor_of(request))
        return paging.response(request, page, present.note)

    @describe.makes(
        "write_clinical_note", ClinicalNoteIn, ClinicalNoteShape, summary="Write a clinical note"
    )
    def post(self, request: Request, id: UUID) -> Response:
        """Write one; only a vet may."""
        made = actions.write(self.viewer, id, self.raw, now=self.now)
        return creating.response(present.note(made), replayed=made.replayed)


class CorrectClinicalNoteView(ApiView):
    """A later note in the place of an earlier one."""

    verb = Verb.WRITE_CLINICAL
    finder = vet.note_for_read

    @describe.makes(
        "correct_clinical_note",
        ClinicalNoteCorrectIn,
        ClinicalNoteShape,
        summary="Correct a clinical note",
    )
    def post(self, request: Request, id: UUID) -> Response:
        """Put the newest of a chain right with a whole new note; both stay."""
        made = actions.correct(self.viewer, id, self.raw, now=self.now)
        return creating.response(present.note(made), replayed=made.replayed)
