"""What a role is called, in the reader's language."""

from django.utils.translation import gettext


def label(role: str) -> str:
    """Return what a role is called, or its key where it has no name."""
    return {
        "coordinator": gettext("coordinator"),
        "assessor": gettext("assessor"),
        "vet": gettext("vet"),
        "auditor": gettext("auditor"),
    }.get(role, role)
