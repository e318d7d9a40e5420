"""Settings for all tests."""

import os

from hypothesis import settings

# A deadline in milliseconds measures the computer, not the code; busy machines would fail at random. The examples are
# the same in every run, so that a failure can be met again; HYPOTHESIS_PROFILE=searching looks for new ones.
settings.register_profile("steady", deadline=None, derandomize=True)
settings.register_profile("searching", deadline=None)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "steady"))
