"""The lessons as files: where they lie, a learner's own copy of them, and re-making their stored outputs.

``python -m coldcab.make pages`` is the developer's command for the last.
"""

from coldcab.course.copying import (
    STATE_FOLDER,
    Copied,
    CourseError,
    copy_course,
    default_folder,
    folder,
)
from coldcab.course.saved_instruments import drop_live_instruments
from coldcab.words import _

__all__ = [
    "STATE_FOLDER",
    "Copied",
    "CourseError",
    "copy_course",
    "default_folder",
    "drop_live_instruments",
    "folder",
    "remake",
]


def __getattr__(name: str) -> object:
    # Re-making needs nbclient and a browser; whoever only copies the course does not wait for them.
    if name == "remake":
        from coldcab.course.remaking import remake

        return remake
    raise AttributeError(_("module {name!r} has no attribute {name_2!r}").format(name=__name__, name_2=name))
