"""Words of scoring and weighing: key, title, text, source, page of help."""

from django.utils.translation import gettext_lazy as _

SCORING = (
    (
        "assessment",
        _("Assessment"),
        _(
            "One horse, felt or seen by one person at one time: its scores, what was found, and "
            "what was noted beside them. It is never edited. A correction is a new one, and both "
            "stay in the record."
        ),
        "",
        "feeling",
    ),
    (
        "scale",
        _("Scale"),
        _(
            "The table that a score belongs to: 0 to 5 by three regions, 1 to 9 for the whole "
            "horse, 1 to 5 for donkeys, 0 to 5 for the crest alone. A score of one is never turned "
            "into a score of another: no tested conversion is published."
        ),
        "Jensen R.B. et al. 2019, Acta Veterinaria Scandinavica 61",
        "five",
    ),
    (
        "region",
        _("Region"),
        _(
            "A third of the horse that gets a score of its own on the 0 to 5 scale: neck and "
            "shoulder, back and ribs, hindquarters. Fat does not lie evenly, so each is felt apart."
        ),
        "Carroll C.L. and Huntington P.J. 1988, Equine Veterinary Journal 20:41-45",
        "five",
    ),
    (
        "half-points",
        _("Half points"),
        _(
            "The finest step that a hand can tell. A half lies between its neighbours: choose it "
            "where one finding fits the score below and another the score above."
        ),
        "",
        "five",
    ),
    (
        "felt-or-seen",
        _("Felt by hand, or seen only"),
        _(
            "A score by hand counts in the trend. One that was only seen is kept, marked as that, "
            "and never counts in it: coat, rug and belly mislead the eye."
        ),
        "",
        "feeling",
    ),
    (
        "by-eye",
        _("By-eye estimate"),
        _(
            "What somebody guesses before hands are laid on. It is kept apart from the score, so "
            "that eye and hand can be compared later, and is drawn as an open diamond."
        ),
        "",
        "feeling",
    ),
    (
        "not-safe",
        _("Not safe to palpate"),
        _(
            "A full answer, not a gap: this region could not be felt without risk. There is then "
            "no overall score, and no guess in its place."
        ),
        "",
        "feeling",
    ),
    (
        "fat-pocket",
        _("Fat pocket behind the shoulder"),
        _(
            "Fat that gathers close behind the shoulder blade. It is asked by itself and kept "
            "apart from the score that was felt. A marked one adds half a point to back and ribs, "
            "and to nothing else."
        ),
        "",
        "five",
    ),
    (
        "crest",
        _("Crest"),
        _(
            "The ridge of fat along the top of the neck. It has a scale of its own, 0 to 5, and "
            "may be raised on a horse that is not fat elsewhere."
        ),
        "Carter R.A. et al. 2009, The Veterinary Journal 179:204-210",
        "crest",
    ),
    (
        "fattest",
        _("Fattest region"),
        _(
            "The one region with the highest score, drawn as a filled diamond. Two that tie are "
            "not marked."
        ),
        "",
        "",
    ),
    (
        "suggestion",
        _("What the findings suggest"),
        _(
            "From which to which score your findings usually go together. It is shown after they "
            "are chosen. It never sets the score: your hand does."
        ),
        "",
        "five",
    ),
)
WEIGHT = (
    (
        "weigh-tape",
        _("Weigh tape"),
        _(
            "A tape laid round the chest that shows a weight. In the same hands on the same horse "
            "it repeats within {ten}. How near it comes to the true weight it cannot say, so "
            "each tape is held apart, and only its own readings are compared."
        ),
        "",
        "tape",
    ),
    (
        "weighbridge",
        _("Weighbridge"),
        _("Scales that the whole horse stands on: the only true weight of the four ways."),
        "",
        "tape",
    ),
    (
        "formula",
        _("Girth and length by formula"),
        _(
            "A weight worked out of measures by a published formula, which was made on animals of "
            "one kind. Its likely error stands beside it."
        ),
        "",
        "tape",
    ),
    (
        "estimate",
        _("Estimate"),
        _("Every weight that did not come from scales. Not for drug doses without the vet."),
        "",
        "tape",
    ),
    (
        "overlap",
        _("Weighed with both"),
        _(
            "When a tape or scales are replaced, one reading with the old and the new on the same "
            "day. Without it the two cannot be told apart from a change in the horse."
        ),
        "",
        "tape",
    ),
)
