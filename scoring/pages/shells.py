"""Pages that hold nobody's data, so that a phone may keep them and open them without a network.

The horse, the yard and the person come from what the phone keeps itself. A shell depends on nothing
but how its reader likes words and units, and is drawn once for each such taste.
"""

import functools
import json
from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import translation
from django.utils.cache import patch_cache_control, patch_vary_headers
from django.utils.text import capfirst
from django.utils.translation import gettext
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_safe

from scoring.pages import choices, help_content, phone_words, score_labels, score_steps
from scoring.rules import scale
from yards.pages import sheets, words
from yards.queries import tastes
from yards.rules import horse, organisation

# The header by which a phone knows a shell of ours from what a network that wants a sign-in of its
# own answers in our place.
MARK = "Halfpoint-Shell"
UNKNOWN, SENDING, AWAY = "unknown", "sending", "away"
# No page: what the form says of a score once every region has one, which its page must not hold.
FACING = "facing"
TEMPLATES = {
    UNKNOWN: "scoring/round/unknown.html",
    SENDING: "scoring/round/sending.html",
    AWAY: "scoring/round/away.html",
}
SCORE = "scoring/score.html"
_DRAWN = 128  # pages kept: every shell in each language and set of units that is in use here


@dataclass(frozen=True, slots=True)
class Shell:
    """One shell: its name, the scale that it scores on, or its page of help."""

    name: str = ""
    scale: str = ""
    help: str = ""

    @property
    def path(self) -> str:
        """Where it is reached."""
        if self.help:
            return f"{help_content.ALL[self.help].path}?kept"
        return reverse(f"scoring:score_{self.scale}" if self.scale else f"scoring:{self.name}")


ALL = (
    *(Shell(scale=key) for key in scale.SCALES),
    Shell(FACING),
    *(Shell(name) for name in TEMPLATES),
)
# Shown only where the page itself does not come: with a network help is never older than the rest.
HELP = tuple(Shell(help=key) for key in help_content.ALL)


def taste_of(request: HttpRequest) -> tastes.Tastes:
    """Return how whoever asks reads; for nobody, as the browser asks."""
    if request.user.is_authenticated:
        return tastes.of_person(request.user)
    return tastes.Tastes(language=translation.get_language() or "")


@functools.lru_cache(maxsize=_DRAWN)
def drawn(shell: Shell, taste: tastes.Tastes) -> str:
    """Return a shell's page for a taste."""
    with tastes.of(taste):
        if shell.name == FACING:
            return _json(score_steps.facing())
        if shell.help:
            told = help_content.context(shell.help)
            return render_to_string(help_content.template(shell.help), {**told, "kept": True})
        context = _score(shell.scale) if shell.scale else _other(shell.name)
        template = SCORE if shell.scale else TEMPLATES[shell.name]
        return render_to_string(template, context)


def _score(key: str) -> dict[str, Any]:
    """Return what the scoring form asks for, without a horse in it."""
    species = horse.DONKEY if key == scale.DONKEY else horse.HORSE
    form = sheets.Sheet({"scale": key, "manner": "palpated"})
    form.labels = score_labels.labels()
    return {
        "shell": "score",
        "horse": None,
        "vet": None,
        "scale": key,
        "scale_label": choices.scale_label(key),
        "scales": choices.scales(species, key),
        "zone": "",
        "form": form,
        "choices": choices.all_choices(None, key),
        "weight": choices.weight(),
        "correcting": False,
        "steps": score_steps.context(key, None, rule=organisation.MEAN, zone=""),
        "stands": "",
    }


def _other(name: str) -> dict[str, Any]:
    said = {
        UNKNOWN: phone_words.unknown,
        SENDING: phone_words.sending,
        AWAY: phone_words.away,
    }[name]
    context: dict[str, Any] = {
        "shell": name,
        "words": _json(said()),
    }
    return {**context, **_intake()} if name == UNKNOWN else context


def _json(said: Any) -> str:
    return json.dumps(said, ensure_ascii=False, separators=(",", ":"))


def _intake() -> dict[str, Any]:
    return {
        "form": sheets.Sheet(),
        "choices": {
            "species": [(each, capfirst(words.species(each))) for each in horse.SPECIES],
            "sex": [(each, capfirst(words.sex(each))) for each in horse.SEXES],
            "danger_signs": choices.danger_signs(),
            "sides": [*choices.photo_sides(), ("mark", gettext("Marks"))],
        },
    }


def answer(request: HttpRequest, shell: Shell, media: str | None = None) -> HttpResponse:
    """Return a shell in the taste of whoever asks, to be asked for again before it is used."""
    response = HttpResponse(drawn(shell, taste_of(request)), content_type=media)
    response[MARK] = shell.scale or shell.name or shell.help
    patch_cache_control(response, no_cache=True, private=True)
    patch_vary_headers(response, ["Cookie", "Accept-Language"])
    return response


@gzip_page
@require_safe
def score(request: HttpRequest, key: str) -> HttpResponse:
    """Show the scoring form for a scale; the phone brings the horse."""
    return answer(request, Shell(scale=key))


@gzip_page
@require_safe
def facing(request: HttpRequest) -> HttpResponse:
    """Hand over what is said of a score that has been given."""
    return answer(request, Shell(FACING), "application/json")


@gzip_page
@require_safe
def unknown(request: HttpRequest) -> HttpResponse:
    """Show the form for an animal that nobody knows."""
    return answer(request, Shell(UNKNOWN))


@gzip_page
@require_safe
def sending(request: HttpRequest) -> HttpResponse:
    """Show what the phone holds: waiting, being sent, sent, and what needs somebody."""
    return answer(request, Shell(SENDING))


@gzip_page
@require_safe
def away(request: HttpRequest) -> HttpResponse:
    """Show the rounds that the phone took along, where there is no network."""
    return answer(request, Shell(AWAY))
