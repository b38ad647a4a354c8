"""Invitations over REST: made, listed, sent again, withdrawn, and never with their link."""

from datetime import UTC, datetime, timedelta

from tests import cast, signing
from tests.api.asking import Asker
from tests.conftest import as_somebody
from tests.doors.scene import ahead
from yards.access import viewers
from yards.actions import invitations, letter_words
from yards.models import Letter
from yards.pages import words

BARN = str(cast.ref("Top Barn"))
VET = {"role": "vet", "registration_number": "7002002", "register": "invented register"}
ASKED = {"email": "Vet@Example.org", **VET, "yards": [BARN], "hours": 24, "reason": "Teeth"}


def test_an_invitation_is_made_sent_again_and_withdrawn_and_its_link_is_in_no_answer(
    database: str,
) -> None:
    isolde, until = Asker("isolde"), ahead(hours=12)
    made = isolde.post("invitations/", {**ASKED, "until": until, "id": str(cast.ref("it"))})
    said = made.json()
    assert (made.status_code, said["email"], said["yards"]) == (201, "vet@example.org", [BARN])
    assert (said["state"], said["reason"], said["sees_notes"]) == ("unsent", "Teeth", False)
    assert datetime.fromisoformat(said["until"]) == datetime.fromisoformat(until)
    assert said["expires_at"] == said["until"], "never longer than the grant"
    assert said["invited_by"] == {"id": str(cast.ref("isolde")), "name": "Isolde Kerr"}
    again = isolde.post("invitations/", {**ASKED, "until": until, "id": said["id"]})
    assert (again.status_code, again.json(), Letter.objects.count()) == (200, said, 1)
    other = isolde.post("invitations/", {**ASKED, "until": until, "id": said["id"], "hours": 2})
    assert other.status_code == 409
    letter = Letter.objects.get()
    assert letter.organisation is not None
    mail = letter_words.invitation(letter.organisation, cast.ref("it"), "<x>", datetime.now(UTC))
    assert mail is not None
    token = str(mail.body).split("/invitations/")[1].split("/")[0]
    answers = [made, isolde.get("invitations/")]
    path = f"invitations/{said['id']}/"
    answers.append(isolde.post(f"{path}send/", {}))
    assert isolde.post(f"{path}withdraw/", {"why": "x"}).json()["errors"][0]["field"] == "why"
    answers += [
        isolde.post(f"{path}withdraw/", {"reason": "Ill"}),
        isolde.post(f"{path}withdraw/", {}),
    ]
    assert [each.status_code for each in answers] == [201, 200, 200, 200, 200]
    digest = viewers.digest_of(token).hex()
    for each in answers:
        assert token not in each.content.decode()
        assert digest not in each.content.decode()
    listed = isolde.get("invitations/").json()["results"]
    assert [(each["id"], each["state"]) for each in listed] == [(said["id"], "withdrawn")]
    refused = isolde.post(f"{path}send/", {})
    assert (refused.status_code, "Make a new one" in refused.json()["errors"][0]["message"]) == (
        409,
        True,
    )


def test_sent_again_it_opens_for_as_long_as_was_chosen_at_first(database: str) -> None:
    made = Asker("isolde").post("invitations/", {**ASKED, "hours": 100, "id": str(cast.ref("it"))})
    assert made.status_code == 201
    later = datetime.now(UTC) + timedelta(hours=50)
    with as_somebody("isolde") as viewer:
        invitations.send_again(viewer, cast.ref("it"), now=later)
    ends = later + timedelta(hours=100)
    [told] = Asker("isolde").get("invitations/").json()["results"]
    assert datetime.fromisoformat(told["expires_at"]) == ends
    page = signing.signed_in("isolde").get("/people/invitations/").content.decode()
    assert f"opens until {words.at(ends, 'Europe/London')}" in page


def test_what_cannot_be_offered_is_refused_at_its_field_and_no_letter_waits(database: str) -> None:
    faults = {
        "email": {**ASKED, "email": "vet"},
        "hours": {**ASKED, "hours": 1000},
        "registration_number": {**ASKED, "registration_number": ""},
        "yards": {**ASKED, "yards": [str(cast.ref("Larchgill Yard"))]},
        "person": {**ASKED, "person": str(cast.ref("maud"))},
    }
    for field, body in faults.items():
        answer = Asker("isolde").post("invitations/", body)
        told = [(each["field"], bool(each["message"])) for each in answer.json()["errors"]]
        assert (answer.status_code, told) == (422, [(field, True)])
    assert not Letter.objects.exists()
