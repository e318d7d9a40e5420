"""The instructor's pages: they name every lesson, add up, and lead to what is there."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

import published_tables
from coldcab.classroom.sheets import source_text
from coldcab.lessons import FORMS, LESSONS
from material import GRADED as REFERENCE

ROOT = Path(__file__).parents[1]
INSTRUCTOR = ROOT / "instructor"
COURSE_PAGE = (INSTRUCTOR / "course.md").read_text(encoding="utf-8")


def written_points(name: str) -> float:
    book = json.loads(source_text(INSTRUCTOR / "lessons" / name, name))
    return sum(
        cell["metadata"]["nbgrader"]["points"]
        for cell in book["cells"]
        if cell["cell_type"] == "markdown" and cell["metadata"].get("nbgrader", {}).get("grade")
    )


@pytest.mark.parametrize("name", list(FORMS))
def test_points_and_minutes_are_those_of_the_sheet(name):
    found = re.search(rf"^\| {name} \| (\d+) \| (\d+) \| (\d+) \| (\d+) \|$", COURSE_PAGE, re.M)
    assert found, f"{name} is missing from the table of points in instructor/course.md"
    marked, written, together, minutes = (int(one) for one in found.groups())
    assert marked == sum(item.points for item in REFERENCE[name].items)
    assert written == written_points(name)
    assert together == marked + written
    assert minutes == REFERENCE[name].minutes


@pytest.mark.parametrize("name", list(LESSONS))
def test_every_lesson_has_a_page_for_the_instructor(name):
    text = (INSTRUCTOR / "lessons" / name / "page.md").read_text(encoding="utf-8")
    for part in ("Time", "What they will get wrong", "real machine", "aution"):
        assert part in text, f"{name}: {part}"
    assert name in COURSE_PAGE


@pytest.mark.parametrize("name", list(LESSONS))
def test_every_rubric_adds_up(name):
    text = (INSTRUCTOR / "lessons" / name / "written.md").read_text(encoding="utf-8")
    points = [float(one) for one in re.findall(r"^\| ([\d.]+) \|", text, re.M)]
    assert sum(points) == written_points(name)


def test_every_competency_is_served():
    """competency_map_sources.csv: each code or list stands in the table with at least one lesson."""
    for row in published_tables.rows("competency_map_sources"):
        code = row["code"] if row["code"][0].isdigit() else row["framework"].split(",")[0].split(" (")[0]
        code = {"i": "82.40(a)(2)(i)", "ii": "| (ii) |", "iii": "| (iii) |", "iv": "| (iv) |"}.get(row["code"], code)
        if code == "same":
            code = row["code"]
        line = next((one for one in COURSE_PAGE.splitlines() if code in one), "")
        assert re.search(r"(cycle|retrofit|oil|faults)-\d|capstone", line), (code, row)


def test_every_published_difficulty_is_met_by_an_item():
    """learner_difficulties.csv: as many rows in the table, each with an item that exists."""
    section = COURSE_PAGE[COURSE_PAGE.index("## Published difficulties") :]
    lines = [line for line in section.splitlines() if line.startswith("| ") and "---" not in line][1:]
    assert len(lines) == len(published_tables.rows("learner_difficulties"))
    for line in lines:
        places = re.findall(r"((?:cycle|retrofit|oil|faults)-\d): ([^;|]+)", line)
        assert places or "written answer" in line
        for name, label in places:
            assert FORMS[name].item(label.strip())


@pytest.mark.parametrize("path", sorted(INSTRUCTOR.rglob("*.md")), ids=lambda path: str(path.relative_to(INSTRUCTOR)))
def test_links_lead_somewhere(path):
    for target in re.findall(r"\]\(([^)#]+)\)", path.read_text(encoding="utf-8")):
        assert target.startswith("http") or (path.parent / target).resolve().exists(), target
