"""What the database finds a name by is what the rule says it is found by, in any script."""

import random

from scoring.rules import board_search
from tests.conftest import viewer_of
from tests.queries import board_herds
from yards import isolation
from yards.models import Horse, Yard
from yards.rules import forms, identity

# Latin with all its marks, Greek, Cyrillic, Hebrew, Arabic, Devanagari; combining marks among them.
SCRIPTS = "".join(
    chr(code)
    for first, last in (
        *((0x20, 0x24F), (0x300, 0x36F), (0x370, 0x3FF), (0x400, 0x45F)),
        *((0x591, 0x5EA), (0x621, 0x652), (0x905, 0x94D), (0x1E00, 0x1EFF), (0x2018, 0x2019)),
    )
    for code in range(first, last + 1)
)


def names(many: int) -> list[str]:
    """Names as a form takes them, of letters that people's and horses' names are made of."""
    draw = random.Random(7)
    found: list[str] = []
    while len(found) < many:
        typed = "".join(draw.choice(SCRIPTS) for _ in range(draw.randint(1, 120)))
        try:
            name = forms.text(typed, 120, lines=False)
        except forms.Unfit:
            continue
        if name:
            found.append(name)
    return found


def test_a_name_is_folded_alike_by_the_rule_and_by_the_database(database: str) -> None:
    viewer, given = viewer_of("isolde"), [*board_herds.NAMES, *names(400)]
    with isolation.of(viewer):
        yards = list(Yard.objects.all())
        made = board_herds.horses(viewer, yards, len(given), random.Random(1))
        for horse, name in zip(made, given, strict=True):
            horse.name, horse.name_key = name, identity.name_key(name)
        Horse.objects.bulk_update(made, ["name", "name_key"])
        for horse in Horse.objects.filter(id__in=[each.id for each in made]):
            folded, transponder, ueln = horse.found_by.split("\n")
            assert folded == board_search.fold(horse.name), ascii(horse.name)
            assert (transponder, ueln) == (horse.transponder, horse.ueln.lower())
