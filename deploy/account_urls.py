"""Where the sign-in library's pages are. Nobody makes an account for themselves, so no sign-up."""

from allauth.account import views as account
from allauth.mfa.base import views as mfa
from allauth.mfa.recovery_codes import views as codes
from allauth.mfa.totp import views as totp
from allauth.mfa.webauthn import views as keys
from allauth.usersessions import views as sessions
from django.urls import path, re_path

from yards.pages import own_address, own_password

urlpatterns = [
    path("login/", account.login, name="account_login"),
    path("logout/", account.logout, name="account_logout"),
    path("inactive/", account.account_inactive, name="account_inactive"),
    path("reauthenticate/", account.reauthenticate, name="account_reauthenticate"),
    path("password/", own_password.change, name="account_change_password"),
    path("password/forgotten/", account.password_reset, name="account_reset_password"),
    path("password/sent/", account.password_reset_done, name="account_reset_password_done"),
    re_path(
        r"^password/new/(?P<uidb36>[0-9A-Za-z]+)-(?P<key>.+)/$",
        account.password_reset_from_key,
        name="account_reset_password_from_key",
    ),
    path(
        "password/done/",
        account.password_reset_from_key_done,
        name="account_reset_password_from_key_done",
    ),
    path("email/", own_address.email, name="account_email"),
    path("email/sent/", account.email_verification_sent, name="account_email_verification_sent"),
    path("email/<str:key>/", account.confirm_email, name="account_confirm_email"),
    path("sessions/", sessions.list_usersessions, name="usersessions_list"),
    path("2fa/", mfa.index, name="mfa_index"),
    path("2fa/authenticate/", mfa.authenticate, name="mfa_authenticate"),
    path("2fa/reauthenticate/", mfa.reauthenticate, name="mfa_reauthenticate"),
    path("2fa/app/", totp.activate_totp, name="mfa_activate_totp"),
    path("2fa/app/off/", totp.deactivate_totp, name="mfa_deactivate_totp"),
    path("2fa/codes/", codes.view_recovery_codes, name="mfa_view_recovery_codes"),
    path("2fa/codes/new/", codes.generate_recovery_codes, name="mfa_generate_recovery_codes"),
    path("2fa/codes/file/", codes.download_recovery_codes, name="mfa_download_recovery_codes"),
    path("2fa/keys/", keys.list_webauthn, name="mfa_list_webauthn"),
    path("2fa/keys/add/", keys.add_webauthn, name="mfa_add_webauthn"),
    path("2fa/keys/use/", keys.reauthenticate_webauthn, name="mfa_reauthenticate_webauthn"),
    path("2fa/keys/<int:pk>/", keys.edit_webauthn, name="mfa_edit_webauthn"),
    path("2fa/keys/<int:pk>/remove/", keys.remove_webauthn, name="mfa_remove_webauthn"),
]
