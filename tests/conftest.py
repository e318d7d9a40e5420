"""Settings for all tests."""

from hypothesis import settings

# A deadline in milliseconds measures the computer, not the code; busy machines would fail at random.
settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")
