"""Erasing somebody whose name is a word of the house, and what else holds a name."""

from collections.abc import Callable
from contextlib import AbstractContextManager

from scoring.models import Assessment
from scoring.queries import free_words
from tests import cast, signing
from tests.actions.record import NOW, refused
from tests.api.asking import Asker
from tests.doors.scene import assessment
from yards import audit
from yards.access.invited import Invited
from yards.actions import erasing, grants, invitations, joining
from yards.models import Entry, EntryPayload, User
from yards.queries import erasing as queries
from yards.queries import roster
from yards.rules import errors
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
MAUD, TEASEL = cast.ref("maud"), str(cast.ref("Teasel"))
SURE = {"reason": "Asked for it", "understood": True, "texts": True}
NOTES = ("The vet saw it", "Ask vet@example.org, the vet")


def kept() -> set[int]:
    """The entries that still say what they said."""
    return set(EntryPayload.objects.values_list("entry_id", flat=True))


def test_of_a_name_that_is_a_word_the_address_alone_is_looked_for(inside: Inside) -> None:
    for note in NOTES:
        asked = Asker("maud").post("assessments/", assessment(TEASEL, note=note))
        assert asked.status_code == 201
    with inside("isolde") as viewer:
        number = {"registration_number": "123", "register": "R"}
        for person, role, more in (
            (str(cast.ref("tobias")), "assessor", {}),
            (str(cast.ref("keziah")), "vet", number),
            ("vet@example.org", "assessor", {}),
        ):
            body = {"person": person, "role": role, "yards": "all", **more}
            grants.issue_grant(viewer, body, now=NOW)
        vet = User.objects.get(email="vet@example.org")
        assert vet.name == "vet"
        known = queries.known(viewer, vet.pk)
        before = kept()
        going = set(queries.entries_of(viewer, known))
        [texts] = free_words.holding(viewer, known)
        assert (texts.table, texts.rows) == ("scoring_assessment", 1)
    page = signing.signed_in("isolde").get(f"/organisation/personal/{vet.pk}/erase/")
    assert "Their name is a single word" in page.content.decode()
    with inside("isolde") as viewer:
        erasing.erase(viewer, vet.pk, SURE, now=NOW)
        # The grant of their own, and the reading whose note holds the address.
        assert before - kept() == going
        verbs = Entry.objects.filter(id__in=going).order_by("id").values_list("verb", flat=True)
        assert list(verbs) == ["assessment.recorded", "grant.issued"]
        notes = Assessment.objects.order_by("id").values_list("note", flat=True)
        assert list(notes) == [NOTES[0], "Ask Erased person 1, the vet"]
    again = signing.signed_in("isolde").get(f"/organisation/personal/{vet.pk}/erase/")
    assert "Texts that others wrote" in again.content.decode()


def test_looks_hold_a_name_as_addresses_do_and_names_of_fields_are_none(inside: Inside) -> None:
    with inside("isolde") as viewer:
        for said in ({"path": "/?search=maud+Pell"}, {"q": "x%20maud%40example.org"}):
            audit.record(viewer, verb="looked", target=("look", None), payload=said, at=NOW)
        for said in ({"Maud Pell": "x"}, {"path": "/?search=Maud+Pellow"}):
            audit.record(viewer, verb="other", target=("look", None), payload=said, at=NOW)
        assert roster.last_register(viewer) not in ("", erasing.NOTHING)
        for person in (MAUD, cast.ref("keziah")):
            erasing.erase(viewer, person, SURE, now=NOW)
        left = Entry.objects.filter(target_kind="look", id__in=kept())
        assert set(left.values_list("verb", flat=True)) == {"other"}
        assert left.count() == 2
        assert roster.last_register(viewer) == ""


def test_whoever_was_erased_is_told_so_when_they_are_invited(inside: Inside) -> None:
    with inside("isolde") as viewer:
        erasing.erase(viewer, MAUD, SURE, now=NOW)
        asked = {"email": "maud@example.org", "role": "auditor", "yards": "all"}
        made = invitations.invite(viewer, asked, now=NOW)
        offered = Invited(viewer.organisation, made.ref, "maud@example.org", cast.ref("isolde"))
    told = (errors.Conflict, [("", "you_were_erased")])
    assert refused(lambda: joining.join_as_known(offered, MAUD, now=NOW)) == told
    fresh = {"name": "Maud Pell", "password": cast.PASSWORD}
    assert refused(lambda: joining.join_as_new(offered, **fresh, now=NOW)) == told
