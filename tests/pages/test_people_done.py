"""What somebody did about people is said in a sentence on the page that they are led back to."""

import re
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

from django.test import Client

from tests import cast
from yards.models import Invitation

SignIn = Callable[[str], Client]
VET = {"registration_number": "7002002", "register": "invented register"}


def test_what_was_done_is_said_in_a_sentence_while_it_is_news(
    signed_in: SignIn, inside: Any
) -> None:
    isolde = signed_in("isolde")
    assert 'value="invented register"' in isolde.get("/people/invite/vet/").content.decode()

    def said_after(path: str, asked: dict[str, str]) -> str:
        where = isolde.post(path, asked).headers["Location"]
        found = re.search(r'id="said"[^>]*><strong>([^<]*)', isolde.get(where).content.decode())
        return re.sub("[\u2066-\u2069]", "", found[1]) if found is not None else ""

    said = said_after("/people/invite/vet/", {"email": "vet@example.org", **VET})
    told = "A letter goes to vet@example.org now: in as vet (number 7002002, invented register), "
    assert said.startswith(f"{told}all yards, until ")
    with inside("isolde"):
        ref = Invitation.objects.get().ref
    path = f"/people/invitations/{ref}/"
    assert said_after(f"{path}send/", {}).startswith("A new letter goes to vet@example.org.")
    assert said_after(f"{path}withdraw/", {}).startswith("The invitation to vet@example.org is")
    keziah = {"person": str(cast.ref("keziah")), "role": "vet"}
    told = "Dr Keziah Orme is let in as vet (number 7002001, "
    assert said_after("/people/today/", keziah).startswith(told)
    assert "next sign-in" in said_after("/people/today/", keziah)
    nobody = isolde.post("/people/today/", {"person": "", "role": "vet"})
    assert nobody.status_code == 422, "nobody is chosen beforehand"
    end = f"/people/{cast.ref('grant of tobias')}/revoke/"
    assert "Tobias Wren as assessor has ended" in said_after(end, {"reason": "Left"})
    for odd in (f"invited.{ref}.", "invited.x", f"grant.{ref}", f"let_in.{ref}", "", "."):
        assert 'id="said"' not in isolde.get(f"/people/?saved={odd}").content.decode()
    with inside("isolde"):
        then = datetime.now(UTC) - timedelta(minutes=11)
        Invitation.objects.filter(ref=ref).update(invited_at=then)
    assert 'id="said"' not in isolde.get(f"/people/?saved=invited.{ref}").content.decode()
