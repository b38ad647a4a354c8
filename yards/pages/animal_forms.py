"""What is asked of an animal: who it is, and what its band, intervals and risks hang on."""

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext

from yards.pages import controls, words
from yards.pages.controls import Control, quantity
from yards.queries.horses import HorseCard
from yards.rules import horse as rule


def name() -> Control:
    """Ask the name."""
    return Control(
        "name", gettext("Name"), hint=gettext("A stray without a name: what everybody calls it")
    )


def species() -> Control:
    """Ask the species, once for all."""
    return Control(
        "species",
        gettext("Species"),
        "segments",
        choices=words.all_of(rule.SPECIES, words.species),
        hint=gettext("It decides the scale. It cannot be changed later."),
    )


def unknown() -> Control:
    """Ask whether nobody knows yet who it is."""
    return Control("is_unknown", gettext("Unknown animal: nobody knows yet who it is"), "flag")


def changes(card: HorseCard) -> tuple[Control, ...]:
    """Ask what may be put right of an animal as it stands; of one that is gone, its return too."""
    asked = [name()]
    if card.is_unknown:
        asked.append(unknown())
    if card.status in ("rehomed", "dead"):
        asked.append(
            Control(
                "status",
                gettext("Is it here after all?"),
                "pick",
                choices=words.all_of(rule.HERE, words.status),
                empty=gettext("No: {status}").format(status=words.status(card.status)),
                hint=gettext("If it came back, or its end was entered by mistake."),
            )
        )
    return (*asked, *facts(card))


def facts(card: HorseCard | None = None) -> tuple[Control, ...]:
    """Ask everything else that is known of an animal; ``card`` is it as it stands."""
    return (*_body(card), *_health(), *_identity(), handling())


def handling() -> Control:
    """Ask what whoever goes up to it must know."""
    return Control(
        "handling",
        gettext("Handling"),
        "area",
        hint=gettext(
            "What whoever goes up to it must know: kicks, head-shy, never alone, sore on one side. "
            "Shown on every round."
        ),
    )


def _body(card: HorseCard | None) -> tuple[Control, ...]:
    height = card.height_cm if card is not None else None
    return (
        Control("kind", gettext("Kind"), "pick", choices=words.kinds(), empty=gettext("Not known")),
        Control("sex", gettext("Sex"), "segments", choices=words.all_of(rule.SEXES, words.sex)),
        Control(
            "use",
            gettext("Kept for"),
            "pick",
            choices=words.all_of(rule.USES, words.use),
            hint=gettext("The target band hangs on this."),
        ),
        Control(
            "born",
            gettext("Born"),
            hint=gettext("As far as it is known: 2012, 2012-05, 2012-05-01"),
        ),
        Control(
            "born_basis",
            gettext("How the birth is known"),
            "pick",
            choices=words.all_of(rule.BORN_BASIS, words.born_basis),
        ),
        quantity("height_cm", gettext("Height at the withers"), controls.HEIGHT, kept=height),
    )


def _health() -> tuple[Control, ...]:
    return (
        Control(
            "breeding",
            gettext("Breeding"),
            "pick",
            choices=words.all_of(rule.BREEDING, words.breeding),
        ),
        Control(
            "laminitis",
            gettext("Laminitis, as told or seen by a vet"),
            "pick",
            choices=words.all_of(rule.LAMINITIS, words.laminitis),
            hint=gettext("After laminitis a horse is assessed more often."),
        ),
        Control(
            "endocrine",
            gettext("Endocrine disease, as told by a vet"),
            "pick",
            choices=words.all_of(rule.ENDOCRINE, words.endocrine),
        ),
    )


def _identity() -> tuple[Control, ...]:
    return (
        Control(
            "transponder",
            gettext("Transponder"),
            hint=gettext("15 digits, as read"),
            mode="numeric",
        ),
        Control("ueln", gettext("UELN"), hint=gettext("15 letters and digits, from the passport")),
    )


def start(card: HorseCard) -> Mapping[str, Any]:
    """Return an animal's facts as the form begins with them."""
    return {
        **{
            each: getattr(card, each)
            for each in (
                *("name", "kind", "sex", "use", "born_basis", "breeding"),
                *("laminitis", "endocrine", "transponder", "ueln", "handling"),
            )
        },
        "born": card.born or "",
        "height_cm": controls.start(controls.HEIGHT, card.height_cm),
        "is_unknown": "true" if card.is_unknown else "",
        "version": str(card.version),
    }
