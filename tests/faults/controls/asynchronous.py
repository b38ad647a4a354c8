"""The service as it is; the role's commits do not wait for the disk (see CONTROLS)."""


def breaks() -> None:
    """Nothing here: the database is told."""
