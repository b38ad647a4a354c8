"""How alerts escalate, and who is away."""

from collections.abc import Mapping
from uuid import UUID

from rest_framework.request import Request
from rest_framework.response import Response

from api import creating, filters, paging
from api.base import ApiView
from api.present import escalation as present
from api.schema import describe, fields
from api.schema import escalation as shapes
from scoring.actions import absences, own_policies
from scoring.queries import absences as away
from scoring.queries import policies as queries
from yards.rules.roles import Verb


class PoliciesView(ApiView):
    """Every severity's ladder."""

    verb = Verb.READ_RULES
    kind = "policies"

    @describe.gets("list_policies", shapes.PoliciesShape, summary="Escalation policies")
    def get(self, request: Request) -> Response:
        """Return all three, gravest first."""
        found = queries.list_policies(self.viewer, now=self.now)
        return Response({"results": [present.policy(each) for each in found]})


class _OfSeverity(ApiView):
    """A view of one severity's ladder, by its name."""

    def _admit(self, verb: Verb, path: Mapping[str, UUID], safe: bool) -> None:
        queries.severity_known(str(path["severity"]))
        super()._admit(verb, path, safe)


class PolicyView(_OfSeverity):
    """One severity's ladder."""

    verb = {"get": Verb.READ_RULES, "patch": Verb.CHANGE_RULES}
    kind = "policies"

    @describe.gets("get_policy", shapes.PolicyShape, summary="One escalation policy")
    def get(self, request: Request, severity: str) -> Response:
        """Return it."""
        return Response(present.policy(queries.get_policy(self.viewer, severity, now=self.now)))

    @describe.changes(
        "change_policy",
        shapes.PolicyChange,
        shapes.PolicyShape,
        summary="Change an escalation policy",
    )
    def patch(self, request: Request, severity: str) -> Response:
        """Set the whole ladder; open alerts go by it from their next step on."""
        done = own_policies.change_policy(self.viewer, severity, self.raw, now=self.now)
        return Response(present.policy(done))


class PolicyPreviewView(_OfSeverity):
    """A question: nothing is stored."""

    verb = Verb.CHANGE_RULES

    @describe.changes(
        "preview_policy",
        shapes.PolicyTry,
        shapes.PolicyPreviewShape,
        summary="What an escalation policy would come to",
    )
    def post(self, request: Request, severity: str) -> Response:
        """Return when who would be told of an alert that nobody answers."""
        found = queries.preview(self.viewer, severity, self.raw, now=self.now)
        return Response(present.preview(found))


class AbsencesView(ApiView):
    """Who is away."""

    verb = Verb.ANSWER_ALERTS
    kind = "absences"

    @describe.lists(
        "list_absences",
        shapes.AbsenceShape,
        fields.query("state", enum=("standing",)),
        summary="Absences",
    )
    def get(self, request: Request) -> Response:
        """Return one's own, or a coordinator's whole organisation's, newest first."""
        standing = filters.choice(request, "state", ("standing",)) == "standing"
        page = away.list_absences(
            self.viewer, now=self.now, standing=standing, cursor=paging.cursor_of(request)
        )
        return paging.response(request, page, present.absence)

    @describe.makes("set_absence", shapes.AbsenceIn, shapes.AbsenceShape, summary="Say who is away")
    def post(self, request: Request) -> Response:
        """Say it of oneself, or, as a coordinator, of somebody else."""
        made = absences.set_away(self.viewer, self.raw, now=self.now)
        return creating.response(present.absence(made), replayed=made.replayed)


class EndAbsenceView(ApiView):
    """Somebody is back."""

    verb = Verb.ANSWER_ALERTS
    finder = away.get_absence

    @describe.changes(
        "end_absence", shapes.AbsenceEnd, shapes.AbsenceShape, summary="End an absence"
    )
    def post(self, request: Request, id: UUID) -> Response:
        """End it before its time."""
        return Response(present.absence(absences.end(self.viewer, id, self.raw, now=self.now)))
