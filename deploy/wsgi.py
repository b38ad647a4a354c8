"""The web process: refuses to serve unless the database keeps organisations apart."""

import os

from django.core.handlers.wsgi import WSGIHandler
from django.core.wsgi import get_wsgi_application


def _application() -> WSGIHandler:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "deploy.settings")
    made = get_wsgi_application()
    # Only now are settings and apps there to be asked.
    from django.conf import settings
    from django.db import connections

    from deploy import celery
    from yards.isolation import catalog

    celery.hook()
    catalog.gate(settings.TABLE_CLASSES)
    connections.close_all()  # processes forked from this one must not share a connection
    return made


application = _application()
