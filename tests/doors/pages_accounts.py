"""Who may do what about coming in: invitations on both surfaces, passwords, second factors."""

from tests import cast
from tests.doors.row import Row

OF_INVITATION = {"id": "invitation"}
VET = {"registration_number": "7002002", "register": "invented register"}
COORDINATORS, ONE_OF_THEIRS = "403 403 403 403 -", "403 403 403 403 - 404 302"
SIGNED_IN, ANYBODY = "200 200 200 200 200 - 200 302", "200 200 200 200 200 - 200 200"
NONE_YET, AWAY = "404 404 404 404 404 - 404 302", "302 302 302 302 302 - 302 302"
OWN = (
    *("account_reauthenticate", "account_change_password", "account_email", "usersessions_list"),
    *(
        "mfa_index",
        "mfa_generate_recovery_codes",
        "mfa_activate_totp",
        "mfa_list_webauthn",
        "mfa_add_webauthn",
    ),
)
OPEN = (
    *("account_inactive", "account_reset_password", "account_reset_password_done"),
    *("account_reset_password_from_key_done", "account_email_verification_sent"),
)
# Of a second factor that nobody here has set up.
OF_A_FACTOR = (*("mfa_deactivate_totp", "mfa_view_recovery_codes", "mfa_download_recovery_codes"),)


def at_quillet(_scene: object) -> dict[str, str]:
    """Work at Quillet Moor."""
    return {"organisation": str(cast.ref(cast.QUILLET))}


INVITATIONS = (
    Row("GET", "api_invitations", "200 403 403 403 403 403 200 401"),
    Row(
        "POST",
        "api_invitations",
        "201 403 403 403 403 403 422 401",
        body=lambda scene: {
            "email": "jonty@example.org",
            "role": "assessor",
            "yards": [scene["Top Barn"]],
        },
    ),
    Row("POST", "api_invitation_send", "200 403 403 403 403 403 404 401", OF_INVITATION),
    Row("POST", "api_invitation_withdraw", "200 403 403 403 403 403 404 401", OF_INVITATION),
)

ACCOUNTS = (
    Row("GET", "yards:invitations", f"200 {COORDINATORS} 200 302"),
    Row("GET", "yards:invite", f"200 {COORDINATORS} 200 302"),
    Row(
        "POST",
        "yards:invite",
        f"303 {COORDINATORS} 303 302",
        body=lambda _: {"email": "jonty@example.org", "role": "assessor", "all_yards": "true"},
    ),
    Row("GET", "yards:invite_vet", f"200 {COORDINATORS} 200 302"),
    Row(
        "POST",
        "yards:invite_vet",
        f"303 {COORDINATORS} 303 302",
        body=lambda _: {"email": "vet@example.org", **VET},
    ),
    Row("GET", "yards:send_invitation", f"200 {ONE_OF_THEIRS}", OF_INVITATION),
    Row("POST", "yards:send_invitation", f"303 {ONE_OF_THEIRS}", OF_INVITATION),
    Row("GET", "yards:withdraw_invitation", f"200 {ONE_OF_THEIRS}", OF_INVITATION),
    Row("POST", "yards:withdraw_invitation", f"303 {ONE_OF_THEIRS}", OF_INVITATION),
    # A link that opens nothing looks the same to everybody; one that does is its own test's.
    Row("GET", "yards:arrive", "303 303 303 303 303 - 303 303", {"token": "no link"}),
    Row("GET", "yards:join", "404 404 404 404 404 - 404 404"),
    Row("GET", "yards:organisations", SIGNED_IN),
    # Where one is already; a second organisation is its own test's.
    Row("POST", "yards:organisations", "303 303 303 303 303 - 422 302", body=at_quillet),
    *(Row("GET", name, SIGNED_IN) for name in OWN),
    *(Row("GET", name, ANYBODY) for name in OPEN),
    *(Row("GET", name, NONE_YET) for name in OF_A_FACTOR),
    *(
        Row("GET", name, NONE_YET, {"pk": "1"})
        for name in ("mfa_edit_webauthn", "mfa_remove_webauthn")
    ),
    *(Row("GET", name, AWAY) for name in ("mfa_reauthenticate", "mfa_reauthenticate_webauthn")),
    Row("GET", "account_reset_password_from_key", ANYBODY, {"uidb36": "0", "key": "no-key"}),
    Row("GET", "account_confirm_email", ANYBODY, {"key": "no-key"}),
    # The same answer whoever there is; another device than none is signed out everywhere else.
    Row("POST", "account_change_password", SIGNED_IN),
    Row("POST", "usersessions_list", AWAY),
)
