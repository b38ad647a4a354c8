"""The library's own forms about signing in, in our look and words."""

from collections.abc import Mapping
from typing import Any

from allauth.account.fields import SetPasswordField
from django import forms, template
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

register = template.Library()

LABELS: Mapping[str, Any] = {
    "oldpassword": _("Your password now"),
    "password1": _("New password"),
    "password2": _("New password, once more"),
    "password": _("Password"),
    "code": _("Code"),
    "name": _("Name"),
    "email": _("E-mail address"),
}


@register.inclusion_tag("account/parts/asked.html")
def ask(form: forms.BaseForm, title: str = "") -> dict[str, Any]:
    """Show a form's faults and fields; ``title`` stands above the faults."""
    fields = [_shown(field) for field in form.visible_fields()]
    return {
        "form": form,
        "fields": fields,
        "title": title or gettext("Please put this right"),
        "faulty": bool(form.errors),
    }


def _shown(field: forms.BoundField) -> dict[str, Any]:
    is_new = isinstance(field.field, SetPasswordField)
    hint = gettext("At least 12 characters; long and easy to remember is best.") if is_new else ""
    beside = [
        *([f"{field.id_for_label}-fault"] if field.errors else []),
        *([f"{field.id_for_label}-hint"] if hint else []),
    ]
    own = getattr(field.form, "own_words", False)
    is_tick = isinstance(field.field.widget, forms.CheckboxInput)
    said = {"aria-describedby": " ".join(beside) or False, "placeholder": False}
    return {
        "field": field,
        "id": field.id_for_label,
        "label": field.label if own else LABELS.get(field.name, field.label),
        "hint": hint,
        "is_tick": is_tick,
        "widget": field.as_widget(attrs=said if is_tick else {"class": "in", **said}),
    }
