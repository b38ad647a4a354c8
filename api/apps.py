"""The door for any client."""

from django.apps import AppConfig


class ApiConfig(AppConfig):
    """The REST surface; it has no tables of its own."""

    name = "api"
