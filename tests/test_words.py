"""Words for people stand whole in ``_("...")`` with named fields, so that a translator can get them as a list."""

from __future__ import annotations

import ast
import re
import string
from pathlib import Path

import pytest

from coldcab.make.words import catalog
from material import GRADED

PACKAGE = Path(__file__).parents[1] / "src" / "coldcab"
READ = (
    *("units", "assess", "instruments", "job", "notebook.py", "placement.py", "learner.py"),
    *(f"lessons/{unit}_{number}" for unit in ("cycle", "retrofit") for number in (1, 2, 3, 4)),
)
"""Rooms whose words learners and technicians read."""

FILES = sorted(
    path
    for name in READ
    for path in ([PACKAGE / name] if name.endswith(".py") else (PACKAGE / name).rglob("*.py"))
    # Prompts, examples and hints lie in `lines` as data and are collected from there; a table of units is no text.
    if path.name not in ("lines.py", "table.py")
)
# Markup, style sheets and patterns are not for reading.
_CODE = re.compile(r"</?\w|/>|[\w-]+:\s?[\w#.-]+;|@media|sans-serif|\(\?|\\[dws]|^\w+=|https?:")


def words(text: str) -> int:
    return 0 if _CODE.search(text) else len(re.findall(r"[A-Za-z’']{2,}", text))


def outside(tree: ast.AST) -> list[tuple[int, str]]:
    """Sentences that are not in ``_()``, and strings that are put together from words."""
    parents = {child: node for node in ast.walk(tree) for child in ast.iter_child_nodes(node)}
    found = []
    for node in ast.walk(tree):
        above = [node]
        while above[-1] in parents and not isinstance(above[-1], ast.stmt):
            above.append(parents[above[-1]])
        if any(isinstance(one, ast.Call) and getattr(one.func, "id", "") in ("_", "compile") for one in above):
            continue
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            stands_alone = isinstance(above[-1], ast.Expr) and len(above) == 2  # a docstring
            inside = any(isinstance(one, ast.JoinedStr) for one in above[1:])
            if not stands_alone and not inside and words(node.value) >= 4 and re.search(r"[.?!]$", node.value):
                found.append((node.lineno, node.value))
        elif isinstance(node, ast.JoinedStr):
            parts = [one.value for one in node.values if isinstance(one, ast.Constant)]
            if words(" x ".join(parts)) >= 4:
                found.append((node.lineno, " … ".join(parts)))
    return found


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_words_stand_whole(path):
    assert outside(ast.parse(path.read_text(encoding="utf-8"))) == []


def test_the_list_for_a_translator_is_complete_and_its_fields_have_names():
    found = catalog(PACKAGE, tuple(GRADED.values()))
    assert len(found) > 1500
    for sheet in GRADED.values():
        for item in sheet.items:
            assert {item.prompt, *item.choices, *(idea.feedback for idea in item.ideas)} <= {one.id for one in found}
    for message in found:
        if "python-brace-format" in message.flags:
            names = [name for _, name, _, _ in string.Formatter().parse(message.id) if name is not None]
            assert all(re.match(r"[a-z]\w*", name) for name in names), message.id
