"""The base of every description."""

import copy
from typing import Any, ClassVar

from rest_framework import serializers

Field = serializers.Field[Any, Any, Any, Any]


class Shape(serializers.Serializer[Any]):
    """Describes one object. ``reserved`` holds the fields whose names Python or serializers use."""

    reserved: ClassVar[dict[str, Field]] = {}

    def get_fields(self) -> dict[str, Field]:
        """Return all fields, those with reserved names last."""
        return {**super().get_fields(), **copy.deepcopy(self.reserved)}
