from django.db import migrations, models
from django.db.models.functions import Lower


class Migration(migrations.Migration):
    """What a board finds horses by, and reads of all that are here."""

    dependencies = [("yards", "0009_round")]

    operations = [
        migrations.AddField(
            model_name="horse",
            name="found_by",
            field=models.GeneratedField(
                db_persist=True,
                expression=models.Func(
                    models.Func(
                        models.F("name_key"),
                        output_field=models.TextField(),
                        template=(
                            "replace(replace(replace(translate(regexp_replace("
                            "normalize(%(expressions)s, NFD), "
                            r"'[\u0300-\u036f\u0591-\u05c7\u064b-\u0652\u0670]', '', 'g'), "
                            "'øłđðħı’ʼ', 'olddhi'''''), 'æ', 'ae'), 'œ', 'oe'), 'þ', 'th')"
                        ),
                    ),
                    models.Value("\n"),
                    models.F("transponder"),
                    models.Value("\n"),
                    Lower("ueln"),
                    arg_joiner=" || ",
                    output_field=models.TextField(),
                    template="(%(expressions)s)",
                ),
                output_field=models.TextField(),
            ),
        ),
        migrations.AddIndex(
            model_name="horse",
            index=models.Index(
                fields=["organisation", "id"],
                include=["name_key", "ref", "use"],
                name="yards_horse_here",
                condition=models.Q(("status", "present")),
            ),
        ),
    ]
