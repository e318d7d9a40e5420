"""Settings for all tests."""

import os
import re

from hypothesis import settings

# A deadline in milliseconds measures the computer, not the code; busy machines would fail at random. The examples are
# the same in every run, so that a failure can be met again; HYPOTHESIS_PROFILE=searching looks for new ones.
settings.register_profile("steady", deadline=None, derandomize=True)
settings.register_profile("searching", deadline=None)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "steady"))


PIECE = re.compile(
    r"tests/lessons/test_(?P<lesson>[a-z]+_\d|capstone)\.py::"
    r"|tests/(?:lessons/)?test_(?:assess|assess_copying|assess_class|make|unchanged|units_order)\.py::"
    r".*\[(?:practice-)?(?P<sheet>[a-z]+-\d|capstone)[\]:]"
)


def piece(nodeid):
    """A file is one piece of work; tests of one lesson's sheet are one piece, whatever their file.

    They share its made-up class (`made_up_class`) and the machines that were solved for it.
    """
    found = PIECE.match(nodeid)
    return (found["lesson"] or found["sheet"]).replace("_", "-") if found else nodeid.partition("::")[0]


def pytest_collection_modifyitems(items):
    first = {}
    for item in items:
        first.setdefault(piece(item.nodeid), len(first))
    items.sort(key=lambda item: first[piece(item.nodeid)])


def pytest_xdist_make_scheduler(config, log):
    from xdist.scheduler import LoadScopeScheduling

    class ByPiece(LoadScopeScheduling):
        def _split_scope(self, nodeid):
            return piece(nodeid)

    return ByPiece(config, log)
