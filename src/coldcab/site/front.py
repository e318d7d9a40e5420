"""The site's first page, which stands without a program: for print, for search, for whoever has no JavaScript."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from pathlib import Path
from urllib.parse import quote

from jinja2 import Environment, PackageLoader, StrictUndefined

from coldcab.course import folder as course_folder
from coldcab.lessons import LESSONS
from coldcab.words import _

TITLE = _("Cab air conditioning of off-road machines: a course")
FIRST = "start-here.ipynb"
MISSING = "404.html"
"""What many web servers give out by itself where something is missing."""
PAGES_OWN = 7.6
"""MB that a first visit fetches of JupyterLite and the page beside the runtime (tests/benchmarks/test_site.py)."""


def address(version: str, path: str) -> str:
    """Return where a page of the course opens, from the front page."""
    return f"{version}/lab/index.html?mode=single-document&page={quote(path)}"


def write(target: Path, version: str, course_version: str) -> None:
    """Write the front page of a site whose pages lie under ``version``."""
    environment = Environment(
        loader=PackageLoader("coldcab.site", "."),
        autoescape=True,
        undefined=StrictUndefined,
        keep_trailing_newline=True,
    )
    lessons = [(name, _heading(path), address(version, path)) for name, path in LESSONS.items()]
    page = environment.get_template("front.html.j2").render(
        title=TITLE,
        start=address(version, FIRST),
        planner=address(version, "refresher/job-planner.ipynb"),
        placement=address(version, "refresher/placement.ipynb"),
        bench=address(version, "faults/bench.ipynb"),
        lessons=lessons,
        course_version=course_version,
        megabytes=round(first_visit(target / version)),
    )
    (target / "index.html").write_text(page, encoding="utf-8")


def write_missing(target: Path, earlier: Iterable[str]) -> None:
    """Write the page about what is not there, also where lessons of earlier versions lay: bookmarks name those."""
    page = (Path(__file__).parent / "missing.html").read_bytes()
    for place in (target / MISSING, *(target / version / "lab" / "index.html" for version in earlier)):
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_bytes(page)


def first_visit(built: Path) -> float:
    """Return how many MB a first visit fetches: all of the runtime, and of JupyterLite what a page needs."""
    return sum(path.stat().st_size for path in (built / "runtime").iterdir()) / 1e6 + PAGES_OWN


def _heading(path: str) -> str:
    """The first heading of a page."""
    cells = json.loads((course_folder() / path).read_text(encoding="utf-8"))["cells"]
    text = "\n".join("".join(cell["source"]) for cell in cells if cell["cell_type"] == "markdown")
    found = re.search(r"^# (.+)$", text, re.MULTILINE)
    return found[1] if found else path
