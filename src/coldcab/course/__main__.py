"""The developer's command ``python -m coldcab.course remake [NOTEBOOK ...]``."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from coldcab.course import CourseError
from coldcab.words import _


def main(arguments: list[str] | None = None) -> int:
    """Re-make the stored outputs of the named notebooks, or of all; return the exit code."""
    reader = argparse.ArgumentParser(prog="python -m coldcab.course", description=main.__doc__)
    commands = reader.add_subparsers(dest="command", required=True)
    remaking = commands.add_parser("remake", help=_("run notebooks and store their outputs anew"))
    remaking.add_argument("notebooks", nargs="*", type=Path, help=_("by default every notebook of the course"))
    remaking.add_argument("--root", type=Path, help=_("the folder of the lessons, by default the course's own"))
    chosen = reader.parse_args(arguments)
    from coldcab.course.remaking import remake

    try:
        for made in remake(chosen.notebooks, root=chosen.root):
            print(f"{made.path.name}: {'written' if made.changed else 'unchanged'}", flush=True)
            for remark in made.remarks:
                print(f"  {remark}")
    except CourseError as error:
        print(error, file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
