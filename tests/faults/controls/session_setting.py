"""The organisation is set for as long as the connection lasts, and connections are kept."""

from django.db import connection

from yards import isolation


def breaks() -> None:
    """Set without the word that ends it with the transaction."""

    def _set(*, read_only: bool = False, **values: str) -> None:
        each = ", ".join(
            f"set_config('halfpoint.{name}', %s, false)" for name in isolation._SETTINGS
        )
        closed = ", set_config('transaction_read_only', 'on', true)" if read_only else ""
        given = [values.get(name, "") for name in isolation._SETTINGS]
        with connection.cursor() as cursor:
            cursor.execute(f"SELECT {each}{closed}", given)

    isolation._set = _set
