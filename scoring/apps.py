"""Scoring: what was felt and what it means."""

from django.apps import AppConfig


class ScoringConfig(AppConfig):
    """Scale, assessments, weighings, standing, risk and alerts."""

    name = "scoring"
    default_auto_field = "django.db.models.BigAutoField"
