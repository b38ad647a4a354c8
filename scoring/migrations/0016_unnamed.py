"""In texts of what is never altered, an erased person's alias may take the place of their name."""

from django.db import migrations

from yards.migrations import _tenancy as tenancy

_WORDS = {
    "scoring_assessment": ("note", "limits", "held_by", "reason"),
    "scoring_weighing": ("reason",),
    "scoring_concern": ("note",),
    "scoring_clinicalnote": ("text", "reason"),
    "scoring_question": ("text",),
    "scoring_questionend": ("text",),
    "scoring_vetorder": ("reason",),
    "scoring_vetorderend": ("reason",),
    "scoring_alertact": ("text",),
}


class Migration(migrations.Migration):
    dependencies = [("scoring", "0015_ending_notice"), ("yards", "0017_unnamed")]

    operations = [tenancy.unnamed(table, *words) for table, words in _WORDS.items()]
