"""Passwords of tests: hashed as everybody's, by Argon2, at a hundredth of the work.

A hash says itself at what cost it was made, so a web process beside the tests takes these too.
"""

from django.contrib.auth.hashers import Argon2PasswordHasher


def cheapen() -> None:
    """Let passwords that this process hashes from now on cost next to nothing."""
    Argon2PasswordHasher.time_cost = 1
    Argon2PasswordHasher.memory_cost = 64  # KiB, for Django's 102400
    Argon2PasswordHasher.parallelism = 1
