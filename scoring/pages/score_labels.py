"""What the fields of the scoring page are called, for its summary of faults."""

from django.utils.translation import gettext


def labels() -> dict[str, str]:
    """Return what each field is called on the page, in the reader's language."""
    return {
        "by_eye": gettext("By-eye estimate"),
        "danger_signs": gettext("Danger signs"),
        "manner": gettext("How it was scored"),
        "regions.neck_and_shoulder": gettext("Neck and shoulder"),
        "regions.back_and_ribs": gettext("Back and ribs"),
        "regions.hindquarters": gettext("Hindquarters"),
        "overall": gettext("Score for the whole animal"),
        "fat_pocket": gettext("Fat pocket behind shoulder"),
        "crest": gettext("Crest"),
        "appetite": gettext("Appetite"),
        "muscle": gettext("Muscle"),
        "coat": gettext("Coat"),
        "rug_off": gettext("Rug"),
        "held": gettext("Who held"),
        "held_by": gettext("Held by"),
        "limits": gettext("What limited the score"),
        "weighing.method": gettext("How it was weighed"),
        "weighing.instrument": gettext("Which tape or scales"),
        "weighing.weight_kg": gettext("Weight"),
        "weighing.formula": gettext("Formula"),
        "weighing.fed": gettext("Before or after feed"),
        "weighing.tape_position": gettext("Where the tape lay"),
        "weighing.tape_side": gettext("Side read"),
        "weighing.measures.girth_cm": gettext("Girth"),
        "weighing.measures.belly_girth_cm": gettext("Belly girth"),
        "weighing.measures.length_cm": gettext("Length"),
        "weighing.measures.height_cm": gettext("Height"),
        "weighing.measures.neck_cm": gettext("Neck"),
        "weighing.measures.carpus_cm": gettext("Knee"),
        "weighing.measures.forelimb_cm": gettext("Foreleg"),
        "photo-left": gettext("Photo, left side"),
        "photo-right": gettext("Photo, right side"),
        "photo-rear": gettext("Photo, rear"),
        "taken_at": gettext("When"),
        "note": gettext("Note"),
        "reason": gettext("Why it is corrected"),
    }
