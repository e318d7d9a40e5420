"""Write the reference answers into the source notebooks: ``python instructor/fill_reference.py``.

Run it after a form, a key or the drawing of numbers has changed. Each answer is the one for the learner id
``reference`` in the term ``open``, written as a person would, so that the solved source can be marked like any other
sheet. Nothing else in the notebooks is touched.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from coldcab import units
from coldcab.assess import CHOICE, MAGIC, Assignment, Item, load_reference

HERE = Path(__file__).parent
LEARNER, TERM = "reference", "open"


def written(item: Item, case: Any) -> str:
    """The right answer, in the unit of the form's own example."""
    value = item.answer(case)
    if item.kind == CHOICE:
        return str(value)
    unit = units.parse(item.example, item.kind).unit
    number = units.convert(value, item.kind, unit, atmosphere=case.atmosphere) if unit else value
    return f"{float(f'{number:.4g}'):,} {unit}".strip()


def fill(cell_text: str, assignment: Assignment) -> str:
    """One answer cell with every line filled."""
    case = assignment.case(TERM, LEARNER)
    lines = []
    for line in cell_text.split("\n"):
        label, colon, _ = line.partition(":")
        known = colon and any(item.label == label for item in assignment.items)
        lines.append(f"{label}: {written(assignment.item(label), case)}" if known else line)
    return "\n".join(lines)


def main() -> None:
    """Fill every source notebook that has a reference."""
    for name, assignment in load_reference(HERE / "reference").items():
        path = HERE / "source" / name / f"{name}.ipynb"
        book = json.loads(path.read_text(encoding="utf-8"))
        for cell in book["cells"]:
            text = "".join(cell["source"])
            if cell["cell_type"] == "code" and text.startswith(MAGIC):
                cell["source"] = fill(text, assignment).splitlines(keepends=True)
        path.write_text(json.dumps(book, indent=1, ensure_ascii=False, sort_keys=True) + "\n", encoding="utf-8")
        print(f"{name}: filled for {LEARNER}, term {TERM}")


if __name__ == "__main__":
    main()
