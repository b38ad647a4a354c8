"""Yards: who and where."""

from django.apps import AppConfig


class YardsConfig(AppConfig):
    """Organisations, yards, horses and their identity, people, grants, the ledger."""

    name = "yards"
    default_auto_field = "django.db.models.BigAutoField"
