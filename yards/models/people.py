"""People who sign in. A person is one row however many organisations they serve."""

from typing import Any

import uuid_utils.compat as uuid_utils
from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models

from yards.models.called import Address, Called
from yards.rules import units


class UserManager(BaseUserManager["User"]):
    """Makes people."""

    def create_user(self, email: str, password: str | None = None, **facts: Any) -> "User":
        """Create a person with a hashed password; without one they cannot sign in by password."""
        user = self.model(
            id=facts.pop("id", None) or uuid_utils.uuid7(),
            email=self.normalize_email(email).lower(),
            **facts,
        )
        user.set_password(password)
        user.save(using=self._db)
        return user


class User(AbstractBaseUser):
    """A person with a sign-in. What they may do is in their grants, never here."""

    id = models.UUIDField(primary_key=True)
    email = Address(unique=True)
    name = Called(max_length=120)
    language = models.CharField(max_length=12, default="en-gb")
    weight_unit = models.CharField(max_length=5, default=units.KG, db_default=units.KG)
    length_unit = models.CharField(max_length=5, default=units.CM, db_default=units.CM)
    height_unit = models.CharField(max_length=5, default=units.CM, db_default=units.CM)
    is_active = models.BooleanField(default=True)
    created_at = models.DateTimeField()

    USERNAME_FIELD = "email"
    REQUIRED_FIELDS = ["name"]

    objects = UserManager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="user_units",
                condition=models.Q(weight_unit__in=units.WEIGHT)
                & models.Q(length_unit__in=units.LENGTH)
                & models.Q(height_unit__in=units.HEIGHT),
            )
        ]

    def __str__(self) -> str:
        return str(self.email)
