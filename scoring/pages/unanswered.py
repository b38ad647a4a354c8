"""What stands above every coordinator's page while a ladder was climbed in vain."""

from datetime import datetime

from django.urls import reverse
from django.utils.translation import gettext

from scoring.queries import alerts
from yards.pages.frame import Banner
from yards.pages.tables import query
from yards.rules.roles import Role, Viewer


def banner(viewer: Viewer, _now: datetime) -> Banner | None:
    """Return the banner, or None while somebody answers; one query, of coordinators only."""
    if viewer.role is not Role.COORDINATOR:
        return None
    found = alerts.exhausted(viewer)
    if not found:
        return None
    text = gettext("Everybody has been told of an alert, and nobody has answered.")
    if len(found) == 1:
        page = reverse("scoring:alert", args=[found[0]])
        return Banner(text, page, gettext("Read and answer it"))
    page = reverse("scoring:alerts") + query(state="open")
    text = gettext("Everybody has been told of several alerts, and nobody has answered.")
    return Banner(text, page, gettext("Read and answer them"))
