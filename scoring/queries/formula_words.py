"""The texts of ``weight_formulas.json`` and ``tape.json`` as literals, for ``makemessages``.

Held equal to the fixtures by ``tests/queries/test_formula_words.py``; said by
``fixture_words.said``.
"""

from django.utils.translation import gettext_noop

CAUTION = gettext_noop("An estimate: not for drug doses, sedation or wormers without the vet.")
MEASURES = (
    gettext_noop("Girth"),
    gettext_noop(
        "Round the chest, close behind the elbow and over the foot of the withers. Read it "
        "snug, at the end of a breath out."
    ),
    gettext_noop("Belly girth"),
    gettext_noop("Round the belly at the navel. Read it snug, at the end of a breath out."),
    gettext_noop("Length"),
    gettext_noop("Along the side, from the point of the shoulder to the point of the buttock."),
    gettext_noop(
        "From the point of the shoulder straight back to an upright line at the point of the "
        "buttock; the tape is not wrapped round the quarters."
    ),
    gettext_noop("Length from the elbow"),
    gettext_noop(
        "Along the side, from the point of the elbow to the point of the buttock. Not from "
        "the shoulder: that is about a fifth longer."
    ),
    gettext_noop("Height"),
    gettext_noop(
        "From level ground to the highest point of the withers, the animal standing square."
    ),
    gettext_noop("Neck"),
    gettext_noop("Round the neck, halfway between poll and withers."),
    gettext_noop("Knee"),
    gettext_noop("Round the left foreleg at the middle of the knee."),
    gettext_noop("Foreleg"),
    gettext_noop("The left foreleg, from the point of the elbow to the ground."),
)
MEANINGS = (
    gettext_noop(
        "about two in three animals lie within it (standard deviation, Ellis and Hollands 1998)"
    ),
    gettext_noop(
        "no figure was seen for this formula; by that of Carroll and Huntington's, which it "
        "resembles, about two in three animals lie within it"
    ),
    gettext_noop("19 in 20 animals of the sample lay within it"),
    gettext_noop("about two in three animals lie within it (root mean square error of the sample)"),
    gettext_noop("as printed; how many animals lie within it is not said"),
    gettext_noop(
        "no figure was seen; formulas from several populations lie this far from their mean "
        "for one girth"
    ),
    gettext_noop("no figure was seen; a cautious guess of our own"),
)
TITLES = (
    gettext_noop("Girth and length, horses and ponies"),
    gettext_noop("Four measures, ponies"),
    gettext_noop("Four measures, Arabians"),
    gettext_noop("Four measures, stock horses"),
    gettext_noop("Four measures, warmbloods"),
    gettext_noop("Four measures, draught horses"),
    gettext_noop("Girth and length, Icelandic horses"),
    gettext_noop("Girth and height, sport horses"),
    gettext_noop("Belly girth and length from the elbow"),
    gettext_noop("Girth and length, from pounds and inches"),
    gettext_noop("Trunk and forelegs, foals"),
    gettext_noop("Girth, working donkeys"),
    gettext_noop("Girth and length from the elbow, working donkeys"),
    gettext_noop("Girth, large donkeys"),
    gettext_noop("Girth and height, fat donkeys at rest"),
    gettext_noop("Girth, West African donkeys"),
    gettext_noop("Girth, West African donkeys, straight line"),
    gettext_noop("Girth, Mexican donkeys, males"),
    gettext_noop("Girth, Mexican donkeys, females"),
    gettext_noop("Belly girth and length from the elbow, young donkeys"),
)
POPULATIONS = (
    gettext_noop("281 horses and ponies of varying breed, height and fatness"),
    gettext_noop("Grown ponies from 112 cm, among 629 Arabians, ponies and stock horses"),
    gettext_noop("Grown Arabians, among 629 Arabians, ponies and stock horses"),
    gettext_noop("Grown stock horses, among 629 Arabians, ponies and stock horses"),
    gettext_noop("89 warmbloods of three years and over, none in foal"),
    gettext_noop("138 draught horses of three years and over, none in foal"),
    gettext_noop("Grown Icelandic horses"),
    gettext_noop("Sport horses at work or at rest"),
    gettext_noop("53 horses and ponies from 230 to 707 kg"),
    gettext_noop("Grown horses; on how many it was made was not seen"),
    gettext_noop("153 growing Thoroughbreds"),
    gettext_noop("Grown working donkeys in Morocco, 74 to 252 kg"),
    gettext_noop("65 Miranda donkeys of mean weight 281 kg"),
    gettext_noop("Fat donkeys that do not work, scored 7 of 9 and over"),
    gettext_noop("1,352 donkeys of Burkina Faso, Mali, Niger and Senegal, 126 kg on average"),
    gettext_noop("Male donkeys, among 160 in central Mexico"),
    gettext_noop("Female donkeys, among 160 in central Mexico"),
    gettext_noop("Working donkeys under three years in Morocco, 52 to 128 kg"),
)
NOTES = (
    gettext_noop("The divisor 11877 is also in use. The least age is ours."),
    gettext_noop(
        "The divisor for centimetres and kilograms and the error of 22 kg are from memory; the "
        "divisor agrees within rounding with the one printed for inches and pounds. The exponent "
        "of the girth is quoted as 1.486, in places as 1.48."
    ),
    gettext_noop(
        "The abstract does not say where the length begins. Only from the shoulder does it "
        "meet the Icelandic means of Jensen et al. 2019 (4 per cent over). The least age is "
        "ours."
    ),
    gettext_noop("The least age is ours."),
    gettext_noop(
        "The abstract has 0.97 for the length; 1.05 circulates and is far too heavy. The "
        "least age is ours."
    ),
    gettext_noop(
        "The divisor 330 for inches and pounds is 11922 for centimetres and kilograms. The "
        "least age is ours."
    ),
    gettext_noop(
        "The abstract on the web has lost the stroke before 4 pi. It does not print where the"
        " length and the foreleg begin: from memory. The oldest age was not seen: 18 months "
        "is ours. At the break, near 292 kg, the two lines lie 5 kg apart."
    ),
    gettext_noop(
        "The abstract of 1996 prints the divisor 380, which is ten times too heavy: a "
        "misprint. 3801 is from memory."
    ),
    gettext_noop("Foals were in the sample too; the least age is ours."),
    gettext_noop(
        "The range is the mean and three standard deviations: ours. The least age is ours."
    ),
)
TAPE = (
    gettext_noop("Level ground, standing square, head up, not tied."),
    gettext_noop(
        "Lay the tape over the foot of the withers and down close behind the elbow, flat and "
        "untwisted, square to the ground."
    ),
    gettext_noop("Pull it snug, not tight: it lies on the coat and does not dent it."),
    gettext_noop(
        "Read it at the end of a breath out. Take it twice, and a third time if the two "
        "differ by more than a finger's breadth."
    ),
    gettext_noop(
        "On the top or on the slope of the withers it reads differently: 2 cm on Icelandic "
        "horses, 5 cm on warmbloods. Keep to one place."
    ),
    gettext_noop(
        "Stay beside the shoulder. Pass the tape under with a hand, never by stooping below "
        "the belly."
    ),
    gettext_noop(
        "Weigh at the same hour, before feed or after feed alike, with the same tape, read on"
        " the same side."
    ),
    gettext_noop("Feed, water and work move a weight by 1 to 3 per cent within a day."),
    gettext_noop("When tape or scales change, take one reading with both on the same day."),
    gettext_noop("Foot of the withers"),
    gettext_noop("Slope of the withers"),
    gettext_noop("Top of the withers"),
)
TEXTS = (CAUTION, *MEASURES, *MEANINGS, *TITLES, *POPULATIONS, *NOTES, *TAPE)
