"""What a worker process loads before it forks: everything that reading, marking and writing pages need."""

import sys
from importlib import import_module

# jsonschema, which nbformat loads, compiles a grammar of international web addresses if it can: 0.8 s for nothing.
sys.modules.setdefault("rfc3987_syntax", None)  # type: ignore[arg-type]

LOADED = tuple(
    map(
        import_module,
        (
            "nbformat",
            "nbconvert.exporters.html",
            "nbconvert.preprocessors.sanitize",
            "coldcab.air",
            "coldcab.refrigerants",
            "coldcab.classroom.autograder",
            "coldcab.classroom.marked_notebook",
            "coldcab.classroom.pages",
        ),
    )
)
