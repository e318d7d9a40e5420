"""Words for people, each a whole sentence or caption, so that all can be handed to a translator as one list.

A text that somebody reads stands in ``_("...")``; what changes in it is a named field of ``format``. ``python -m
coldcab.make words`` collects them (GNU gettext, read with Babel), with the lines of the sheets and what the keys say. A
translation lies in ``locale/<language>/LC_MESSAGES/coldcab.mo`` beside this file and is chosen by the variables that
gettext looks at (LANGUAGE, LANG); without one the words are as they stand.
"""

from __future__ import annotations

import gettext
from pathlib import Path

_ = gettext.translation("coldcab", Path(__file__).parent / "locale", fallback=True).gettext
