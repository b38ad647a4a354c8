"""A lost phone: a spare code, or whoever runs the server takes the second factor away."""

import re
from collections.abc import Callable
from io import StringIO
from typing import Any

import pytest
from django.core import management
from django.test import Client

from tests import cast
from tests.mailbox import Mailbox
from tests.pages.test_accounts import by_form, code_of, post, send, with_app
from yards.models import Entry

__all__ = ["post"]

SignIn = Callable[[str], Client]


def test_a_lost_second_factor_is_taken_away_by_whoever_runs_the_server(
    signed_in: SignIn, inside: Any, post: Mailbox
) -> None:
    """Spare codes gone too: the operator's command, then the password, then a new factor."""
    asked = {"overall_rule": "mean", "second_factor": "true", "version": "1"}
    with_app("keziah")
    phone, _ = by_form("keziah")
    page = phone.get("/accounts/2fa/authenticate/").content.decode()
    assert "Ring your coordinator" in page
    code = code_of("JBSWY3DPEHPK3PXPJBSWY3DPEHPK3PXP")
    phone.post("/accounts/2fa/authenticate/", {"code": code})
    assert phone.get("/").status_code == 200
    assert signed_in("isolde").post("/organisation/", asked).status_code == 303
    said = StringIO()
    management.call_command("reset_second_factor", "Keziah@example.org", stdout=said)
    assert "told by mail" in said.getvalue()
    assert phone.get("/").headers["Location"].startswith("/accounts/login/")
    assert send(post) == 1
    [letter] = post.to("keziah@example.org")
    assert letter["Subject"] == "Your second factor was reset"
    own, answer = by_form("keziah")
    assert answer.headers["Location"] == "/", "the password alone, once more"
    assert own.get("/").headers["Location"] == "/accounts/2fa/?why=organisation"
    secret = re.search(r'<b class="code">(\w+)</b>', own.get("/accounts/2fa/app/").content.decode())
    assert secret is not None
    own.post("/accounts/2fa/app/", {"code": code_of(secret[1])})
    assert own.get("/").status_code == 200
    with inside("isolde"):
        entry = Entry.objects.get(verb="person.factor_reset")
        assert (entry.actor, entry.target_ref) == ("system", cast.ref("keziah"))
    told = StringIO()
    management.call_command("reset_second_factor", "maud@example.org", stdout=told)
    assert "They have no second factor" in told.getvalue()
    with pytest.raises(management.CommandError, match="Nobody signs in"):
        management.call_command("reset_second_factor", "nobody@example.org")
