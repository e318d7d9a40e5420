"""The developer's command ``python -m coldcab.make [PART ...]``: makes everything that is made, in its order."""

from __future__ import annotations

import argparse
import runpy
import sys
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

from coldcab.lessons import LESSONS, module_name
from coldcab.lessons.keys import keyed
from coldcab.quantities import ColdcabError

PACKAGE = Path(__file__).parents[1]
ROOT = PACKAGE.parents[1]


@dataclass(frozen=True)
class Part:
    """Something that is made: after which changes, what it writes, and how; ``slow`` ones only when they are named."""

    after: str
    writes: str
    make: Callable[[Path], Iterable[Path]]
    slow: bool = False


def practice_cards(material: Path) -> Iterable[Path]:
    """Write each lesson's finished cards, and where their lines are taught."""
    from coldcab.make.practice import practice_deck, practice_passages

    for name in LESSONS:
        sheet = keyed(material / "lessons" / name, f"practice-{name}")
        yield _write(PACKAGE / "lessons" / module_name(name) / "practice.json", practice_deck(sheet))
    yield _write(PACKAGE / "lessons" / "passages.json", practice_passages(material))


def blank_forms(material: Path) -> Iterable[Path]:
    """Write the forms that come with the course, exactly as a class would release them."""
    from coldcab.classroom.sheets import notebook_text
    from coldcab.make.forms import forms

    for name, book in forms(material).items():
        yield _write(material.parent / "course" / "graded" / name / f"{name}.ipynb", notebook_text(book))


def lines_in_si(material: Path) -> Iterable[Path]:
    """Write what each line of the pages with a quantity in it reads like for who wants SI first."""
    import json

    from coldcab.course.order import turned_lines

    text = json.dumps(turned_lines(material.parent / "course"), ensure_ascii=False, indent=0) + "\n"
    yield _write(PACKAGE / "cli" / "lab" / "labextensions" / "coldcab" / "static" / "order.json", text)


def pages(material: Path) -> Iterable[Path]:
    """Run every notebook of the course and store its outputs anew."""
    from coldcab.course.remaking import remake

    for made in remake():
        for remark in made.remarks:
            print(f"  {made.path.name}: {remark}")
        if made.changed:
            yield made.path


def property_tables(material: Path) -> Iterable[Path]:
    """Write the property tables from CoolProp."""
    from coldcab.refrigerants import generate

    generate.main([])
    return sorted((PACKAGE / "refrigerants" / "tables").glob("*.npz"))


def unit_factors(material: Path) -> Iterable[Path]:
    """Write how large each unit is, as pint says."""
    from coldcab.units import generate

    yield generate.main()


def truth(material: Path) -> Iterable[Path]:
    """Write the model beside printed figures, and the doubt that follows."""
    from coldcab.make import comparison

    for place, text in comparison.texts(ROOT / "tests" / "published").items():
        yield _write(PACKAGE / place, text)


def words(material: Path) -> Iterable[Path]:
    """Write all words for people as a template for translators; it is not kept."""
    from coldcab.make.words import template

    sheets = tuple(keyed(material / "lessons" / name, name) for name in LESSONS)
    yield _write(ROOT / "words.pot", template(PACKAGE, sheets))


def _program(place: str) -> Callable[[Path], Iterable[Path]]:
    """Return what runs a generator that lies in the package or in the teaching material."""

    def run(material: Path) -> Iterable[Path]:
        file = (PACKAGE if (PACKAGE / place).is_file() else material) / place
        runpy.run_path(str(file), run_name="__main__")
        return [file]

    return run


PARTS = {
    "tables": Part("CoolProp's version, the tables' grid", "refrigerants/tables", property_tables, slow=True),
    "factors": Part("a unit, pint's version", "units/factors.json", unit_factors, slow=True),
    "blend": Part("the mixture model", "machine/r12_in_r134a.npz", _program("machine/generate_blend.py"), slow=True),
    "evidence": Part(
        "pairs, offers or signs of faults-3", "its tables", _program("lessons/faults-3/make_evidence.py"), slow=True
    ),
    "curves": Part(
        "the machines, for retrofit-4", "its charge curves", _program("lessons/retrofit_4/charge_curves.py"), slow=True
    ),
    "tickets": Part(
        "the clinic's causes, tells or size", "its tickets", _program("lessons/faults-4/make_tickets.py"), slow=True
    ),
    "par": Part(
        "the machines, the tickets or how to measure next",
        "par of each case",
        _program("lessons/faults-4/make_par.py"),
        slow=True,
    ),
    "truth": Part("the machines; printed rows and how they are set", "doubts, printed rows beside the model", truth),
    "cards": Part(
        "a key, a line, how numbers are drawn, passages.toml",
        "practice.json of each lesson, passages.json",
        practice_cards,
    ),
    "forms": Part("the same; layout.md, written.md", "course/graded", blank_forms),
    "lines": Part("the text of a page or a form", "what it reads like with SI first", lines_in_si),
    "words": Part("any words", "words.pot, for translators; not kept", words, slow=True),
    "pages": Part("a lesson, an instrument, a worked example", "outputs of the course's notebooks", pages),
}
"""In the order in which they follow from each other."""


def _write(path: Path, text: str) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    if not path.is_file() or path.read_text(encoding="utf-8") != text:
        path.write_text(text, encoding="utf-8")
    return path


def main(arguments: list[str] | None = None) -> int:
    """Make the parts named, or all that are not slow; return the exit code."""
    table = "\n".join(
        f"  {name:9} after {part.after}: {part.writes}{' (only when named)' if part.slow else ''}"
        for name, part in PARTS.items()
    )
    reader = argparse.ArgumentParser(
        prog="python -m coldcab.make",
        description=f"{main.__doc__}\n\n{table}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    reader.add_argument("parts", nargs="*", metavar="PART")
    reader.add_argument("--material", type=Path, default=ROOT / "instructor", help="the teaching material's folder")
    chosen = reader.parse_args(arguments)
    unknown = [name for name in chosen.parts if name not in PARTS]
    if unknown:
        print(f"There is no part {unknown[0]!r}; there are {', '.join(PARTS)}.", file=sys.stderr)
        return 2
    names = chosen.parts or [name for name, part in PARTS.items() if not part.slow]
    for name in [name for name in PARTS if name in names]:
        try:
            for path in PARTS[name].make(chosen.material):
                print(f"{name}: {path.name if path.parent == ROOT else '/'.join(path.parts[-3:])}", flush=True)
        except ColdcabError as error:
            print(error, file=sys.stderr)
            return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
