"""Where every path leads. Each app lists its own."""

from django.urls import include, path

from deploy import health

urlpatterns = [
    path("accounts/", include("deploy.account_urls")),
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
