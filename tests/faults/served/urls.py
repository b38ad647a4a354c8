"""Deploy's addresses and a probe."""

from django.db import connection
from django.http import HttpRequest, JsonResponse
from django.urls import path

from deploy.urls import handler400, handler403, handler404, handler500
from deploy.urls import urlpatterns as deployed

TABLES = ("yards_horse", "scoring_assessment", "scoring_notice")
__all__ = ["handler400", "handler403", "handler404", "handler500", "urlpatterns"]


def unopened(_request: HttpRequest) -> JsonResponse:
    """Say how many rows this process sees with no organisation open: none, if the wall holds."""
    seen = 0
    with connection.cursor() as cursor:
        for table in TABLES:
            cursor.execute(f"SELECT count(*) FROM {table}")  # noqa: S608 - listed above
            seen += cursor.fetchone()[0]
    return JsonResponse({"seen": seen})


urlpatterns = [path("faults/unopened", unopened), *deployed]
