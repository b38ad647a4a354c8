"""Readings as a file: its columns, in their order."""

COLUMNS = (
    *("reading", "id", "at", "time_zone", "by", "method", "scale"),
    *("neck_and_shoulder", "back_and_ribs", "hindquarters", "fat_pocket", "overall", "crest"),
    *("weight_kg", "likely_error_kg", "instrument", "heart_girth_cm", "belly_girth_cm"),
    *("in_the_trend", "corrected_since", "is_correction", "corrected_by", "reason", "note"),
)
