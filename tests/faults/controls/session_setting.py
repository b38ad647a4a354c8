"""The organisation is set for as long as the connection lasts, and connections are kept."""

from django.db import connection

from yards import isolation


def breaks() -> None:
    """Set without the word that ends it with the transaction."""

    def _set(organisation: str = "", person: str = "", token: str = "") -> None:
        with connection.cursor() as cursor:
            cursor.execute(
                "SELECT set_config('halfpoint.organisation', %s, false),"
                " set_config('halfpoint.person', %s, false),"
                " set_config('halfpoint.token', %s, false)",
                [organisation, person, token],
            )

    isolation._set = _set
