"""Plain trade English: no text that somebody reads holds a word of the list ``odd_words.txt``."""

import ast
import json
import re
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
ODD = [
    line
    for line in (Path(__file__).with_name("odd_words.txt")).read_text(encoding="utf-8").splitlines()
    if line and not line.startswith("#")
]
READ = [
    *sorted((ROOT / "course").rglob("*.ipynb")),
    *sorted((ROOT / "src" / "coldcab").rglob("*.py")),
    *sorted((ROOT / "src" / "coldcab").rglob("*.j2")),
    *sorted((ROOT / "instructor").rglob("*.py")),
    *sorted((ROOT / "instructor").rglob("*.md")),
]


def texts_of_program(source):
    """The strings of a program that are no docstrings."""
    tree = ast.parse(source)
    alone = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    return [
        node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in alone
    ]


@cache
def texts(path):
    """What somebody reads of a file."""
    source = path.read_text(encoding="utf-8")
    if path.suffix == ".py":
        # A single word is a name in a program, and a pattern reads what people type: neither is a sentence.
        return [text for text in texts_of_program(source) if " " in text and "(?" not in text]
    if path.suffix == ".ipynb":
        return ["".join(cell["source"]) for cell in json.loads(source)["cells"] if cell["cell_type"] == "markdown"]
    return [source]


@pytest.mark.parametrize("odd", ODD)
def test_no_odd_word_comes_back(odd):
    pattern = re.compile(odd, re.IGNORECASE if odd.islower() else 0)
    found = [
        f"{path.relative_to(ROOT)}: {text[max(0, hit.start() - 40) : hit.end() + 40]!r}"
        for path in READ
        for text in texts(path)
        if (hit := pattern.search(text))
    ]
    assert not found, "\n".join(found)
