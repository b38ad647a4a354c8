"""Words of what comes after the hand: level, chart, work, alerts, record."""

from django.utils.translation import gettext_lazy as _

LEVEL = (
    (
        "overall",
        _("Overall"),
        _(
            "On the 0 to 5 scale the mean of the three regions, a marked fat pocket counted in. "
            "Band and alerts go by its nearest half; only the trend uses the exact mean. An "
            "organisation may show the pelvis-led score beside it."
        ),
        "Carroll C.L. and Huntington P.J. 1988, Equine Veterinary Journal 20:41-45",
        "five",
    ),
    (
        "range",
        _("80% range"),
        _(
            "Where the true level lies in about eight of ten cases, by all readings so far. It is "
            "wide after few readings or long ago, and narrow after many that agree. A figure "
            "without its range says too much."
        ),
        "",
        "",
    ),
    (
        "rate",
        _("Score change"),
        _(
            "How fast the level moves, in points a month, with its range. It takes three scores "
            "by hand over two weeks; before that there is no rate."
        ),
        "",
        "",
    ),
    (
        "about-level",
        _("About level"),
        _(
            "The range of the change holds zero, so the readings cannot tell gain from loss. "
            "Its arrow is dashed."
        ),
        "",
        "",
    ),
    (
        "target-band",
        _("Target band"),
        _(
            "From which to which score this animal is meant to be, by its kind, use, age and "
            "breeding. Its edges stand still all year. A vet may set another, with a reason and a "
            "last day."
        ),
        "",
        "",
    ),
    (
        "aim",
        _("Aim"),
        _(
            "Where in the band to be today: lowest in late winter, highest in late autumn, never "
            "outside the band. It is the thin dashed line."
        ),
        "",
        "",
    ),
)
CHART = (
    (
        "points",
        _("The points"),
        _(
            "One shape for each hand, named beside the chart; a triangle is a vet’s. An open "
            "diamond was only seen and is not used in the trend."
        ),
        "",
        "",
    ),
    (
        "line",
        _("Line and ribbon"),
        _(
            "The line is the likely level, worked out of all readings, each by how far its hand "
            "or its tape may be off. The ribbon is its 80% range: between readings it widens."
        ),
        "",
        "",
    ),
    (
        "whisker",
        _("Weights on the chart"),
        _(
            "A filled mark is a weighbridge. An open one with a line above and below is a tape or "
            "a formula, with how far it may be off."
        ),
        "",
        "tape",
    ),
    (
        "gap",
        _("Gap"),
        _(
            "No line is drawn across 90 days without readings: nobody knows what it did then. "
            "After foaling, or another tape that was never compared, a new line begins."
        ),
        "",
        "",
    ),
    (
        "forecast",
        _("Dotted line"),
        _(
            "Where it goes if nothing changes, six weeks at most. It is no promise, and any "
            "change of feed or work ends it."
        ),
        "",
        "",
    ),
)
WORK = (
    (
        "due",
        _("Due"),
        _(
            "The day on which a horse is to be scored or weighed again. The bar fills as time is "
            "used up; the tick on it is the day. Sicker, thinner and fatter animals are due sooner."
        ),
        "",
        "",
    ),
    ("overdue", _("Overdue"), _("That day has passed. The bar runs past its tick."), "", ""),
    (
        "care-plan",
        _("Care plan"),
        _(
            "What a vet has ordered for one horse: how often to look, which band, until when. "
            "A ration is as the vet set it. Nobody else makes one up."
        ),
        "",
        "who",
    ),
    (
        "round",
        _("Round"),
        _(
            "Going from horse to horse through one yard, in walking order. A phone can download "
            "it and score without a signal; what was entered goes when there is one."
        ),
        "",
        "",
    ),
    (
        "waiting",
        _("Waiting to send"),
        _(
            "Entered on this phone and kept there, but not yet with Halfpoint. Nothing of it is "
            "removed before the answer has come."
        ),
        "",
        "",
    ),
    (
        "concern",
        _("Concern"),
        _(
            "Something seen that has no score: danger signs, a note, a photo. It can be recorded "
            "of any horse at any time."
        ),
        "",
        "who",
    ),
)
ALERTS = (
    (
        "alert",
        _("Alert"),
        _(
            "Opened when a score, a weight, a danger sign or a missed day asks for a decision. It "
            "says what was found, what to do, what not to do, and whom to ring. It never diagnoses."
        ),
        "",
        "who",
    ),
    (
        "haste",
        _("Now, today, this week"),
        _(
            "How soon an alert must be answered. “Now” is told at any hour, also in quiet hours. "
            "“Today” waits until the yard is awake. “This week” goes with the morning's summary."
        ),
        "",
        "who",
    ),
    (
        "acknowledge",
        _("Acknowledge"),
        _(
            "To say that you have read it, what happens next, who does it and by when. It does "
            "not close the alert. If nothing follows by then, it goes out again."
        ),
        "",
        "",
    ),
    (
        "escalate",
        _("Escalate"),
        _(
            "An alert that nobody answers in time goes out again, step by step as your "
            "organisation has set it, and from the second step on says to ring the vet first. Its "
            "last step is repeated until somebody answers. Unless it is set otherwise the second "
            "step comes after half an hour if it means now, after four waking hours if it means "
            "today, and goes to the vet too."
        ),
        "",
        "",
    ),
    (
        "resolve",
        _("Resolve"),
        _(
            "To end an alert, by a reading that clears its cause or by a person with a reason. "
            "One that protects life is ended by a vet only, or by a coordinator who records what "
            "the vet said."
        ),
        "",
        "",
    ),
)
RECORD = (
    (
        "entry",
        _("Entry"),
        _(
            "One line of the record: who did what, when and to which animal. Entries are added, "
            "never changed or taken away."
        ),
        "",
        "",
    ),
    (
        "fingerprint",
        _("Fingerprint"),
        _(
            "A long number worked out of an entry. If a single letter of the entry were changed, "
            "the number would be another. It shows that nothing was altered. It does not show "
            "that a score was right."
        ),
        "RFC 9162, section 2.1.1",
        "",
    ),
    (
        "correction",
        _("Correction"),
        _(
            "A new reading that takes the place of a wrong one, with who, when and why. The old "
            "one stays legible, struck, beside it."
        ),
        "",
        "",
    ),
)
