"""Puts one control in force when Django's apps are loaded."""

import importlib

from django.apps import AppConfig
from django.conf import settings


class Broken(AppConfig):
    """The service with one thing broken, as projects ship it."""

    name = "tests.faults.served"
    label = "broken"

    def ready(self) -> None:
        """Break it."""
        broken: str = getattr(settings, "CONTROL", "")
        importlib.import_module(f"tests.faults.controls.{broken}").breaks()
