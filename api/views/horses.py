"""Horses, donkeys and mules: registered, changed, moved, merged."""

from uuid import UUID

from rest_framework.request import Request
from rest_framework.response import Response

from api import creating, filters, paging
from api.base import ApiView
from api.present import horses as present
from api.schema import choices, describe, fields
from api.schema.horses import HorseChange, HorseIn, HorseShape, MergeIn, MoveIn
from yards.access import doors
from yards.actions import horses as actions
from yards.actions import merges
from yards.queries import horses
from yards.rules.roles import Verb


class HorsesView(ApiView):
    """Animals."""

    # Whoever records events may register an unknown animal; the action asks for more otherwise.
    verb = {"get": Verb.READ_HORSES, "post": Verb.RECORD_EVENTS}
    kind = "horses"

    @describe.lists(
        "list_horses",
        HorseShape,
        fields.query("yard", fields.REF),
        fields.query("species", enum=choices.SPECIES),
        fields.query("status", enum=choices.STATUSES),
        fields.query("search", description="The beginning of a name, or a transponder."),
        summary="Horses, donkeys and mules",
    )
    def get(self, request: Request) -> Response:
        """Return the animals in scope, newest first; merged ones only when asked for."""
        page = horses.list_horses(
            self.viewer,
            yard=filters.ref(request, "yard"),
            species=filters.choice(request, "species", choices.SPECIES),
            status=filters.choice(request, "status", choices.STATUSES),
            search=filters.text(request, "search"),
            cursor=paging.cursor_of(request),
        )
        return paging.response(request, page, present.horse)

    @describe.makes("register_horse", HorseIn, HorseShape, summary="Register an animal")
    def post(self, request: Request) -> Response:
        """Register an animal. One that nobody can name yet may be registered by an assessor."""
        made = actions.register_horse(self.viewer, self.raw, now=self.now)
        shown = present.horse(horses.get_horse(self.viewer, made.ref))
        return creating.response(shown, replayed=made.replay)


class HorseView(ApiView):
    """One animal."""

    # Whoever records events may change the note on handling; the action asks for more otherwise.
    verb = {"get": Verb.READ_HORSES, "patch": Verb.RECORD_EVENTS}
    finder = doors.horse_for_read
    kind = "horse"

    @describe.gets("get_horse", HorseShape, summary="One animal")
    def get(self, request: Request, id: UUID) -> Response:
        """Return it."""
        return Response(present.horse(horses.get_horse(self.viewer, id)))

    @describe.changes("change_horse", HorseChange, HorseShape, summary="Change an animal's facts")
    def patch(self, request: Request, id: UUID) -> Response:
        """Change what was sent."""
        actions.change_horse(self.viewer, id, self.raw, now=self.now)
        return Response(present.horse(horses.get_horse(self.viewer, id)))


class MoveView(ApiView):
    """A change of yard."""

    verb = Verb.MOVE_HORSES
    finder = doors.horse_for_read

    @describe.changes("move_horse", MoveIn, HorseShape, summary="Move an animal to another yard")
    def post(self, request: Request, id: UUID) -> Response:
        """End one stay and begin the next."""
        actions.move_horse(self.viewer, id, self.raw, now=self.now)
        return Response(present.horse(horses.get_horse(self.viewer, id)))


class MergeView(ApiView):
    """An unknown animal, once identified."""

    verb = Verb.CHANGE_HORSES
    finder = doors.horse_for_read

    @describe.changes("merge_horse", MergeIn, HorseShape, summary="Merge an unknown animal")
    def post(self, request: Request, id: UUID) -> Response:
        """Join it to the known animal that it turned out to be; its readings go with it."""
        merges.merge_horse(self.viewer, id, self.raw, now=self.now)
        return Response(present.horse(horses.get_horse(self.viewer, id)))
