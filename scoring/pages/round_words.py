"""What is said of a round as it is walked, on its page and after each horse."""

from django.utils.translation import gettext


def done(count: int, horses: int) -> str:
    """Return how many of a round's horses were answered today; marks.html has it for a phone."""
    return gettext("{n} of {all} done today").format(n=count, all=horses)
