"""What learners install: the wheel is built, laid into an empty folder, and asked for every graded answer."""

from __future__ import annotations

import json
import subprocess
import sys
import zipfile
from collections import Counter
from pathlib import Path

import pytest

from coldcab.lessons import LESSONS
from material import GRADED

ROOT = Path(__file__).parents[1]
LEARNERS = [f"asker-{number:02d}" for number in range(12)]
TERM = "spring"

# Runs with nothing of ours on its path but the wheel. It asks whatever could have been made for marking: the numbers of
# the case with all that hangs on it, every function of the rooms of lessons and sheets that takes a case, every module
# that would be named as keys are, and the practice cards of whoever has the same numbers.
ASKER = '''
import importlib, inspect, json, pkgutil, sys
sys.path.insert(0, sys.argv[1])
import coldcab
from coldcab import assess, lessons
assert coldcab.__file__.startswith(sys.argv[1]), coldcab.__file__
modules = []
for room in ("lessons", "assess", "scenario"):
    package = importlib.import_module(f"coldcab.{room}")
    for found in pkgutil.walk_packages(package.__path__, f"coldcab.{room}."):
        modules.append(importlib.import_module(found.name))

def plain(value):
    return value if isinstance(value, (str, int, float)) and not isinstance(value, bool) else None

def said(case):
    """All that hangs on a case, a step or two away, by its place."""
    seen = []
    def walk(thing, depth, place):
        for name in dir(thing):
            if name.startswith("__"):
                continue
            try:
                value = getattr(thing, name)
                if inspect.ismethod(value) and name != "lines":
                    value = value()
            except Exception:
                continue
            here = f"{place}.{name}"
            several = isinstance(value, (tuple, list))
            for number, each in enumerate(value if several else [value]):
                one = f"{here}[{number}]" if several else here
                if plain(each) is not None:
                    seen.append((one, each))
                elif depth and hasattr(each, "__dataclass_fields__"):
                    walk(each, depth - 1, one)
    walk(case, 2, "case")
    return seen

def wanted(function):
    try:
        found = inspect.signature(function).parameters.values()
    except ValueError:
        return None
    return [one for one in found if one.default is one.empty and one.kind is not one.VAR_KEYWORD]

# Worked examples are pages to look at, and programs that write tables are no oracles.
functions = [
    function
    for module in modules
    if not module.__name__.endswith(".worked")
    for name, function in vars(module).items()
    if inspect.isfunction(function) and function.__module__ == module.__name__ and name != "main"
]
of_a_case = [function for function in functions if len(wanted(function) or ()) == 1]
keys = []
for function in functions:
    if wanted(function) == [] and not function.__name__.endswith("worked_out"):
        try:
            keys.append(function())
        except Exception:
            pass
keys = [one for one in keys if callable(getattr(one, "answer", None))]

def called(case):
    """What functions of one argument say of a case, and keys made by functions of none."""
    seen = []
    for number, function in enumerate((*of_a_case, *(key.answer for key in keys))):
        try:
            value = function(case)
            value = value.answer(case) if callable(getattr(value, "answer", None)) else value
        except Exception:
            continue
        if plain(value) is not None:
            seen.append((f"{number} {function.__module__}.{function.__qualname__}", value))
    return seen

out = {}
for name in lessons.FORMS:
    form = lessons.FORMS[name]
    out[name] = {"keyed": [item.label for item in form.items if item.key is not None], "said": []}
    for learner in json.loads(sys.argv[2]):
        case = form.case(sys.argv[3], learner)
        out[name]["said"].append(said(case) + called(case))
telling = ("KEYS", "ASSIGNMENT", "PROOFS", "TELLING_GROUPS")
out["names"] = [one for module in modules for one in vars(module) if one in telling]
print(json.dumps(out))
'''


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    place = tmp_path_factory.mktemp("wheel")
    options = ["--quiet", "--no-deps", "--no-build-isolation", "-w", str(place)]
    subprocess.run([sys.executable, "-m", "pip", "wheel", *options, "."], cwd=ROOT, check=True, capture_output=True)
    (file,) = place.glob("*.whl")
    return file


def test_nothing_of_the_instructor_is_in_it(wheel):
    names = zipfile.ZipFile(wheel).namelist()
    assert not [
        name for name in names if "instructor" in name or name.endswith(("keys.csv", "layout.md", "written.md"))
    ]
    assert not [name for name in names if "causes" in name]
    assert "coldcab/_course/start-here.ipynb" in names
    assert "coldcab/_course/graded/cycle-1/cycle-1.ipynb" in names
    assert sum(name.endswith("practice.json") for name in names) == len(LESSONS)


@pytest.fixture(scope="module")
def asked(wheel, tmp_path_factory):
    place = tmp_path_factory.mktemp("installed")
    zipfile.ZipFile(wheel).extractall(place)
    command = [sys.executable, "-I", "-c", ASKER, str(place), json.dumps(LEARNERS), TERM]
    done = subprocess.run(command, capture_output=True, text=True, cwd=place, check=False)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def test_no_key_is_called_by_its_name(asked):
    assert asked["names"] == []
    assert [name for name in LESSONS if asked[name]["keyed"]] == []


@pytest.mark.parametrize("name", LESSONS)
def test_no_graded_answer_can_be_asked_for(asked, name):
    """A line leaks if one place of the wheel gives the right answer of (nearly) every learner."""
    leaking = []
    for item in GRADED[name].items:
        cases = [GRADED[name].case(TERM, learner) for learner in LEARNERS]
        rights = [item.answer(case) for case in cases]
        if len(set(rights)) == 1 and isinstance(rights[0], str):
            continue  # the same for everybody: no place needs to be asked
        hits = Counter(
            place
            for right, said in zip(rights, asked[name]["said"], strict=True)
            for place in {place for place, value in said if _holds(item, right, value)}
        )
        leaking += [f"{item.label}: {place}" for place, count in hits.items() if count > len(LEARNERS) - 2]
    assert leaking == []


def _holds(item, right, value):
    if isinstance(right, str) or isinstance(value, str):
        return value == right
    return abs(value - right) <= max(item.tolerance.width(right) / 20, 1e-9 * abs(right))
