"""Where every path leads. Each app lists its own."""

from allauth.account import views as account
from allauth.mfa.base import views as mfa
from django.urls import include, path

from deploy import health

urlpatterns = [
    # Sign-in and out only. MFA's second step is part of signing in for whoever has set it up.
    path("accounts/login/", account.login, name="account_login"),
    path("accounts/logout/", account.logout, name="account_logout"),
    path("accounts/2fa/authenticate/", mfa.authenticate, name="mfa_authenticate"),
    path("healthz/live", health.live, name="health_live"),
    path("healthz/ready", health.ready, name="health_ready"),
    path("api/v1/", include("api.urls")),
    path("api/", include("api.docs_urls")),
    path("", include("scoring.pages.urls")),
    path("", include("yards.pages.urls")),
]

handler400 = "yards.pages.screen.bad_request"
handler403 = "yards.pages.screen.forbidden"
handler404 = "yards.pages.screen.not_found"
handler500 = "yards.pages.screen.failed"
