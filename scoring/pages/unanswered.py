"""What stands above a coordinator's and a vet's pages while a ladder was climbed in vain."""

from datetime import datetime

from django.urls import reverse
from django.utils.translation import gettext

from scoring.queries import alerts, wording
from yards.pages.frame import Banner
from yards.pages.tables import query
from yards.rules import bidi
from yards.rules.roles import Role, Viewer

READERS = (Role.COORDINATOR, Role.VET)
# So many alerts are named.
NAMED = 3


def banner(viewer: Viewer, _now: datetime, path: str) -> Banner | None:
    """Return the banner, or None while somebody answers; one query, of its readers only.

    On an alert's own page, and the pages below it, that alert is not named: it stands there.
    """
    if viewer.role not in READERS:
        return None
    found = alerts.exhausted(viewer, most=NAMED + 2)
    pages = [(reverse("scoring:alert", args=[each.id]), each) for each in found]
    left = [(page, each) for page, each in pages if not path.startswith(page)]
    if not left:
        return None
    named = "; ".join(_named(each) for _, each in left[:NAMED])
    if len(left) == 1:
        text = gettext("{alert}. Everybody has been told of this alert, and nobody has answered.")
        return Banner(text.format(alert=named), left[0][0], gettext("Read and answer it"))
    text = gettext("{alerts}. Everybody has been told of these alerts, and nobody has answered.")
    if len(left) > NAMED:
        text = gettext(
            "{alerts}; and more. Everybody has been told of these alerts, and nobody has answered."
        )
    page = reverse("scoring:alerts") + query(state="open")
    return Banner(text.format(alerts=named), page, gettext("Read and answer them"))


def _named(alert: alerts.Unheard) -> str:
    return gettext("{horse}: {rule}").format(
        horse=bidi.isolated(alert.horse), rule=wording.title(alert.rule)
    )
