"""How many rows one statement may bring.

Where the server binds the values of a statement, it counts them in 16 bits. Django's engine still
writes any number of rows into one statement, which then fails; bounded, it writes several.
"""

from collections.abc import Sequence
from typing import Any

from django.db.backends.postgresql import base, features, operations


class DatabaseFeatures(features.DatabaseFeatures):
    """What PostgreSQL can do, and how much of it at a time."""

    max_query_params = 2**16 - 1


class DatabaseOperations(operations.DatabaseOperations):
    """How statements are written for PostgreSQL."""

    def bulk_batch_size(self, fields: Sequence[Any], objs: Sequence[Any]) -> int:
        """Return how many rows of these columns one statement may bring.

        An update of many brings the key beside each value.
        """
        return DatabaseFeatures.max_query_params // (2 * max(len(fields), 1))


class DatabaseWrapper(base.DatabaseWrapper):
    """A connection within those bounds."""

    features_class = DatabaseFeatures
    ops_class = DatabaseOperations
