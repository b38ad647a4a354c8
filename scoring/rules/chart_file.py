"""Readings as a file: its columns, and texts that no spreadsheet takes for a formula.

A cell that begins with one of the signs below may be run as a formula by what opens the file, so
such a text gets an apostrophe before it (OWASP, CSV injection). Figures of ours begin with none.
"""

COLUMNS = (
    *("reading", "id", "at", "time_zone", "by", "method", "scale"),
    *("neck_and_shoulder", "back_and_ribs", "hindquarters", "fat_pocket", "overall", "crest"),
    *("weight_kg", "likely_error_kg", "instrument", "heart_girth_cm", "belly_girth_cm"),
    *("in_the_trend", "corrected_since", "is_correction", "reason", "note"),
)
_SIGNS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")


def harmless(value: str) -> str:
    """Return a text that a spreadsheet shows as it is."""
    begins = value.startswith(_SIGNS) or value.lstrip(" ").startswith(_SIGNS)
    return f"'{value}" if begins else value
