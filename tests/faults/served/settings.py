"""Deploy's settings with a probe beside its pages; HALFPOINT_CONTROL names what is broken."""

import os

from deploy.settings import *  # noqa: F403
from deploy.settings import INSTALLED_APPS

ROOT_URLCONF = "tests.faults.served.urls"
CONTROL = os.environ.get("HALFPOINT_CONTROL", "")
if CONTROL:
    INSTALLED_APPS = [*INSTALLED_APPS, "tests.faults.served.broken.Broken"]
