"""How nbval compares a lesson's stored outputs with fresh ones: drawings are stored as PNG, so theirs is left out.

What a drawing shows is compared all the same, through its text alternative (text/plain). Everything else, HTML
tables included, must be equal to the letter. Without this, every drawing would count as missing from the file.
"""

import os
import sys

# Threads of the linear algebra wait for each other by spinning: on two cores with two workers that doubles their work.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
# jsonschema, which nbformat loads, compiles a grammar of international web addresses if it can: 1.5 s of every process.
sys.modules.setdefault("rfc3987_syntax", None)

from nbformat import from_dict  # noqa: E402
from nbval.plugin import IPyNbCell  # noqa: E402

from coldcab.course.remaking import drawing_of  # noqa: E402

_compare = IPyNbCell.compare_outputs


def _without_drawing(output):
    data = output.get("data", {})
    if drawing_of(data) is None:
        return output
    kept = {kind: value for kind, value in data.items() if kind != "text/html"}
    return from_dict({**output, "data": kept})


def _compare_all_but_drawings(self, test, ref, skip_compare=None):
    return _compare(self, [_without_drawing(output) for output in test], ref, skip_compare)


IPyNbCell.compare_outputs = _compare_all_but_drawings
