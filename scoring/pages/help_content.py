"""The pages of help: which there are, what each is called and what it shows. Nobody's data."""

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from scoring.pages import choices, help_sheet, help_tape, phone_words
from scoring.queries import help_words
from scoring.rules import scale

INDEX, FEELING, TAPE, WORDS, WHO = "index", "feeling", "tape", "words", "who"


@dataclass(frozen=True, slots=True)
class Page:
    """One page of help: its title, one line on it, its template and what that needs."""

    key: str
    title: str | Promise
    lead: str | Promise
    template: str
    context: Callable[[], dict[str, Any]] = dict

    @property
    def path(self) -> str:
        """Where it is reached."""
        return reverse("scoring:help" if self.key == INDEX else f"scoring:help_{self.key}")


def _sheet(key: str, title: str | Promise, lead: str | Promise) -> Page:
    return Page(key, title, lead, "sheet", lambda: {"sheet": help_sheet.of(key)})


def _whom() -> dict[str, Any]:
    """Return the danger signs, and what a phone says of the numbers that it took along."""
    return {
        "signs": [text for _value, text in choices.danger_signs()],
        "dialling": json.dumps(phone_words.dialling(), ensure_ascii=False),
    }


ALL: Mapping[str, Page] = {
    page.key: page
    for page in (
        Page(
            INDEX,
            _("Help"),
            _("How it is felt, how it is weighed, what the words mean, whom to ring."),
            "index",
        ),
        Page(
            FEELING,
            _("How to feel a horse"),
            _("A condition score is felt, not seen: where the hand goes, and how firmly."),
            "feeling",
        ),
        _sheet(
            scale.FIVE,
            _("What each score feels like, 0 to 5"),
            _("Three regions, whole and half points, thin to fat."),
        ),
        _sheet(
            scale.NINE,
            _("What each score feels like, 1 to 9"),
            _("One score for the whole horse, whole and half points, thin to fat."),
        ),
        _sheet(
            scale.DONKEY,
            _("What each score feels like, donkeys"),
            _("Their own chart of 1 to 5. A donkey is never scored on a horse’s."),
        ),
        _sheet(
            scale.CREST,
            _("What each crest score feels like, 0 to 5"),
            _("The fat along the top of the neck, scored by itself."),
        ),
        Page(
            TAPE,
            _("How to lay a weigh tape, and how to measure"),
            _("Where the tape lies, when, and what a tape, scales and a formula can say."),
            "tape",
            help_tape.context,
        ),
        Page(
            WORDS,
            _("What the words mean"),
            _("Every word that these pages use in a meaning of its own."),
            "words",
            lambda: {"groups": help_words.groups()},
        ),
        Page(
            WHO,
            _("Whom to ring, and when"),
            _("A score never diagnoses. When in doubt, the vet."),
            "who",
            _whom,
        ),
    )
}


def context(key: str) -> dict[str, Any]:
    """Return what a page shows to anybody."""
    page = ALL[key]
    return {"page": page, "pages": list(ALL.values()), **page.context()}


def template(key: str) -> str:
    """Return a page's template."""
    return f"scoring/help/{ALL[key].template}.html"
