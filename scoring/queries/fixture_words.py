"""The texts of the fixtures, once more as literals: ``makemessages`` reads code, not JSON.

Held equal to ``fixtures/`` by ``tests/queries/test_fixture_words.py``. Pages and letters say a text
of a fixture through ``said``, the only place where what is translated is not a literal.
"""

from django.utils.translation import gettext, gettext_noop

from scoring.queries import formula_words, level_words

FINDINGS = (
    gettext_noop("Crest"),
    gettext_noop("Neck hollow"),
    gettext_noop("None seen"),
    gettext_noop("Seen, bends easily"),
    gettext_noop("Fills hand, bends less"),
    gettext_noop("Stiff, or leans over"),
    gettext_noop("Shoulder blade edge"),
    gettext_noop("Stands out"),
    gettext_noop("Stops the hand"),
    gettext_noop("Fat, still felt"),
    gettext_noop("Not found"),
    gettext_noop("Spine, hand across"),
    gettext_noop("Ridge"),
    gettext_noop("Curved"),
    gettext_noop("Nearly flat"),
    gettext_noop("Groove"),
    gettext_noop("Ribs"),
    gettext_noop("Seen"),
    gettext_noop("Felt without pressing"),
    gettext_noop("Only by pressing"),
    gettext_noop("Rump beside the spine"),
    gettext_noop("Hollow"),
    gettext_noop("Flat"),
    gettext_noop("Rounded"),
    gettext_noop("Hip bones"),
    gettext_noop("Stand out"),
    gettext_noop("Beside the tail"),
    gettext_noop("Pit"),
    gettext_noop("Slight hollow"),
    gettext_noop("Level"),
    gettext_noop("Soft fat"),
    gettext_noop("Bulging fat"),
    gettext_noop("Pads of fat on neck, ribs or rump"),
    gettext_noop("None"),
    gettext_noop("Soft"),
    gettext_noop("Hard"),
)
# The same inside a sentence that says why a score is suggested.
SAID = (
    gettext_noop("a hollow neck"),
    gettext_noop("no crest seen"),
    gettext_noop("a crest that bends easily"),
    gettext_noop("a crest that fills the hand"),
    gettext_noop("a stiff or leaning crest"),
    gettext_noop("edge of the shoulder blade stands out"),
    gettext_noop("edge of the shoulder blade stops the hand"),
    gettext_noop("fat in front of the shoulder blade, its edge still felt"),
    gettext_noop("edge of the shoulder blade not found"),
    gettext_noop("back a ridge"),
    gettext_noop("back curved"),
    gettext_noop("back nearly flat"),
    gettext_noop("back grooved"),
    gettext_noop("ribs seen"),
    gettext_noop("ribs felt without pressing"),
    gettext_noop("ribs felt only by pressing"),
    gettext_noop("ribs not found"),
    gettext_noop("rump hollow"),
    gettext_noop("rump flat"),
    gettext_noop("rump rounded"),
    gettext_noop("rump grooved"),
    gettext_noop("hip bones stand out"),
    gettext_noop("hip bones felt without pressing"),
    gettext_noop("hip bones felt only by pressing"),
    gettext_noop("hip bones not found"),
    gettext_noop("a pit beside the tail"),
    gettext_noop("a slight hollow beside the tail"),
    gettext_noop("level beside the tail"),
    gettext_noop("soft fat beside the tail"),
    gettext_noop("fat bulging beside the tail"),
    gettext_noop("no pads of fat"),
    gettext_noop("soft pads of fat"),
    gettext_noop("hard pads of fat"),
)
SIGNS = (
    gettext_noop("Down, cannot get up"),
    gettext_noop("Fits, swaying or staggering"),
    gettext_noop("Hard or fast breathing at rest"),
    gettext_noop("Rolling, pawing, watching its flank, or no droppings"),
    gettext_noop("Not eating, or leaves its feed"),
    gettext_noop("Very dull, does not respond"),
    gettext_noop("Will not walk or turn, or leans back on its heels"),
    gettext_noop("Dark or red-brown urine"),
    gettext_noop("Gums or eyes yellow, very pale, dark red or blue"),
    gettext_noop("Thin, with swollen belly or legs"),
    gettext_noop("Adult's temperature above 38.5 °C"),
    gettext_noop("Starved, first ten days of feeding up: any new dullness"),
    gettext_noop("Heavy bleeding or deep wound"),
)
_KNOWN = frozenset((*FINDINGS, *SAID, *SIGNS, *level_words.TEXTS, *formula_words.TEXTS))


def said(text: str) -> str:
    """Return a text of a fixture in the reader's language; KeyError for one that is not here."""
    if text not in _KNOWN:
        raise KeyError(text)
    return gettext(text)
