"""Yards: who and where."""

from django.apps import AppConfig


class YardsConfig(AppConfig):
    """Organisations, yards, horses and their identity, people, grants, the ledger."""

    name = "yards"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Say above every page what is to be known of who may see."""
        from yards.pages import frame, warnings

        frame.banners += [warnings.own_end, warnings.glass, warnings.ends_of_others]
