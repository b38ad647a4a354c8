"""The texts of the fixtures, once more as literals: ``makemessages`` reads code, not JSON.

Held equal to ``fixtures/`` by ``tests/queries/test_fixture_words.py``. Pages and letters say a text
of a fixture through ``said``, the only place where what is translated is not a literal.
"""

from django.utils.translation import gettext, gettext_noop

FINDINGS = (
    gettext_noop("Crest"),
    gettext_noop("None or hollow"),
    gettext_noop("Slight"),
    gettext_noop("Full, soft"),
    gettext_noop("Hard or leaning"),
    gettext_noop("Edge of the shoulder blade"),
    gettext_noop("Stands out"),
    gettext_noop("Stops the hand"),
    gettext_noop("Filling in"),
    gettext_noop("Not found"),
    gettext_noop("Spine"),
    gettext_noop("Ridge"),
    gettext_noop("Curved"),
    gettext_noop("Nearly flat"),
    gettext_noop("Groove"),
    gettext_noop("Ribs"),
    gettext_noop("Stand out"),
    gettext_noop("Felt lightly"),
    gettext_noop("Press to feel"),
    gettext_noop("Rump beside the spine"),
    gettext_noop("Hollow"),
    gettext_noop("Flat"),
    gettext_noop("Rounded"),
    gettext_noop("Hip bones"),
    gettext_noop("Beside the tail"),
    gettext_noop("Pit"),
    gettext_noop("Slight hollow"),
    gettext_noop("Soft fat"),
    gettext_noop("Bulging fat"),
    gettext_noop("Pads of fat on neck, ribs or rump"),
    gettext_noop("None"),
    gettext_noop("Soft"),
    gettext_noop("Hard"),
)
LEVELS = (
    gettext_noop(
        "Neck hollow and curved in at the top, thin and slack where it joins the body. The edge of "
        "the shoulder blade and the withers stand out. No fat under the skin anywhere."
    ),
    gettext_noop("Skin lies tight on every rib. The spine is a sharp ridge from withers to croup."),
    gettext_noop(
        "Every point of the pelvis is sharp under tight skin. The rump is deeply hollow, with a "
        "deep pit below the tail."
    ),
    gettext_noop(
        "Neck still hollow and narrow, slack at the base. The shoulder blade is plain to see."
    ),
    gettext_noop(
        "Each rib is easily seen. The spine stands high and the flesh on both sides of it is "
        "sunken."
    ),
    gettext_noop(
        "Pelvis and croup stand out. The rump is hollow, but the skin moves over bone. Deep pit "
        "below the tail."
    ),
    gettext_noop(
        "Neck narrow but firm. The hand finds the edge of the shoulder blade at once, lightly "
        "covered behind."
    ),
    gettext_noop(
        "Ribs are only just seen. The spine is covered, yet single spines can still be felt."
    ),
    gettext_noop(
        "Rump flat on both sides of the spine. The croup is well defined with a little fat over "
        "it. Slight hollow below the tail."
    ),
    gettext_noop(
        "Neck firm, without a crest (stallions apart). The edge of the shoulder blade still stops "
        "the hand."
    ),
    gettext_noop(
        "Ribs cannot be seen and are found with a light touch. No groove along the back; spines "
        "are felt through cover."
    ),
    gettext_noop(
        "Rump rounded, bones covered by fat. The points of the hips are easily felt. No groove."
    ),
    gettext_noop(
        "Neck wide and firm with a slight crest. The hollow in front of the shoulder blade fills "
        "in."
    ),
    gettext_noop("Ribs are found only by pressing. A groove begins along the back."),
    gettext_noop(
        "A groove runs to the root of the tail. Fat over the pelvis is soft; firm pressure is "
        "needed to find bone."
    ),
    gettext_noop(
        "Neck very wide with a marked crest and folds of fat. The edge of the shoulder blade "
        "cannot be found."
    ),
    gettext_noop("Ribs cannot be found. The back is broad and flat with a deep groove."),
    gettext_noop(
        "A deep groove runs to the root of the tail. The pelvis is buried and the skin is taut."
    ),
    gettext_noop(
        "No fat can be felt anywhere. Spine, ribs, shoulder, hip points and tailhead are all sharp "
        "to the hand."
    ),
    gettext_noop(
        "A trace of fat at the base of the spines. The side-processes of the loin feel rounded; "
        "ribs, hips and tailhead still stand out."
    ),
    gettext_noop(
        "Fat covers the spines about half-way up and the side-processes of the loin are no longer "
        "felt. Ribs show. Hip points are rounded but seen; pin bones are hidden."
    ),
    gettext_noop(
        "A slight ridge along the back and a faint outline of ribs. Hip points are not seen."
    ),
    gettext_noop(
        "Back level. Ribs are felt but not seen. The tailhead begins to feel spongy; shoulder and "
        "neck run smoothly into the body."
    ),
    gettext_noop(
        "Perhaps a slight groove along the back. Ribs feel spongy and the tailhead soft. First fat "
        "at the withers, behind the shoulder and along the neck."
    ),
    gettext_noop(
        "A groove is likely. Fat fills in between the ribs, which are still felt. Fat at the "
        "withers and along the neck is plain."
    ),
    gettext_noop(
        "A groove along the back. Ribs are hard to find, the place behind the shoulder is filled "
        "flush, the neck is thick and fat lies along the inner buttocks."
    ),
    gettext_noop(
        "A plain groove and patches of fat over the ribs. Fat bulges at tailhead, withers, "
        "shoulder and neck; the flank is filled in."
    ),
    gettext_noop(
        "Bones are sharp to the hand everywhere, the belly is tucked up and there is a pit beside "
        "the tail."
    ),
    gettext_noop(
        "Little muscle. A step where the neck joins the shoulder; ribs and spine are felt with "
        "ease."
    ),
    gettext_noop(
        "The neck runs smoothly into the shoulder. Ribs are felt under a light cover, hips are "
        "rounded, the belly is firm and flat."
    ),
    gettext_noop(
        "The neck is thick and the crest hard. Ribs are felt only by pressing; a slight groove "
        "begins along the back."
    ),
    gettext_noop(
        "The crest bulges or has fallen over. Uneven pads of fat lie on ribs and beside the tail, "
        "the groove is deep, the belly hangs and bones cannot be found."
    ),
)
SIGNS = (
    gettext_noop("Down and cannot get up"),
    gettext_noop("Fits, swaying or staggering"),
    gettext_noop("Hard or fast breathing at rest"),
    gettext_noop("Rolling, pawing, looking at the flank, or no droppings"),
    gettext_noop("Not eating, or leaves its feed"),
    gettext_noop("Very dull, does not answer to people or other horses"),
    gettext_noop("Will not walk or turn, or stands leaning back on its heels"),
    gettext_noop("Dark or red-brown urine"),
    gettext_noop("Gums or eyes yellow, very pale, dark red or blue"),
    gettext_noop("Swollen belly or legs in a thin or starved animal"),
    gettext_noop("Temperature above 38.5 °C in an adult"),
    gettext_noop(
        "Any new dullness in the first ten days of feeding up a starved animal, above all on days "
        "3 to 7"
    ),
    gettext_noop("Heavy bleeding or a deep wound"),
)
_KNOWN = frozenset((*FINDINGS, *LEVELS, *SIGNS))


def said(text: str) -> str:
    """Return a text of a fixture in the reader's language; KeyError for one that is not here."""
    if text not in _KNOWN:
        raise KeyError(text)
    return gettext(text)
