"""Settings for all tests: nothing is timed, and a run on a server tries the same examples each time."""

import os

from hypothesis import settings

settings.register_profile("desk", deadline=None)
settings.register_profile("server", deadline=None, derandomize=True, print_blob=True)
settings.load_profile("server" if os.environ.get("CI") else "desk")
