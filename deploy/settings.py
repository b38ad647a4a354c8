"""Django's settings, all of them from the environment. DEVELOPERS.md lists every variable.

No variable turns a safeguard off. Values are checked here, so that a process with a bad one does
not start.
"""

import sys
from pathlib import Path
from typing import Any

from csp.constants import NONE, SELF
from django.utils.csp import CSP  # noqa: F401
