"""Spoils honest hand-ins and zips at random: ``python tests/hostile/fuzz.py SECONDS [SEED]`` prints what broke.

Promised is: only a plain reason is raised, no point is gained, and nothing takes longer than ``SLOW`` seconds. What is
found belongs into the corpus (``make.py``, ``tables.py``) once it is mended.
"""

from __future__ import annotations

import base64
import io
import json
import random
import sys
import tempfile
import time
import traceback
import zipfile
from datetime import UTC, datetime
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from classes import filled, small_class
from coldcab.classroom import archives, demo, second_looks, submission_files
from coldcab.classroom.autograder import MarkingPackage, autograder_of
from coldcab.classroom.intake import NotGradable
from coldcab.classroom.submissions import HandIn

SLOW = 1.0
SNIPPETS = (
    '"',
    "\\",
    '\\"',
    "[",
    "{",
    "]",
    "}",
    ",",
    ":",
    "\r",
    "\n",
    "\0",
    "\\u0000",
    "\\ud800",
    "\ufeff",
    "%%answers cycle-1\\n",
    "1e999",
    "-1e-999",
    "NaN",
    "Infinity",
    "null",
    "true",
    '"source": ',
    '"grade_id": "cycle-1-answers-1"',
    '"cells": []',
    "\u0301" * 200,
    "\ufdfa" * 50,
    "9" * 5000,
    "(" * 3000,
    "[](" * 500,
    "*_" * 500,
    "`" * 500,
    "$$",
    "<script>",
    "&lt;",
    "or",
    " and ",
    " to 9999",
    "..",
    "=",
    "\u2028",
    "/" * 900,
    "1," * 300,
    "1e",
    "+-" * 300,
    "psia ",
    "lb " * 200,
    "**" * 300,
    "^9" * 200,
)


def spoiled(data: bytes, dice: random.Random) -> bytes:
    """The bytes with a few random wounds."""
    for _ in range(dice.choice((1, 1, 2, 3, 8))):
        start = dice.randrange(len(data) + 1)
        length = dice.choice((0, 1, 2, 10, 200))
        other = dice.randrange(len(data) + 1)
        new = dice.choice(
            (
                b"",
                dice.choice(SNIPPETS).encode(),
                bytes(dice.randrange(256) for _ in range(dice.randrange(6))),
                data[other : other + dice.choice((3, 50, 2000))],
                dice.choice(SNIPPETS).encode() * dice.choice((2, 50, 400)),
            )
        )
        data = data[:start] + new + data[start + length :]
    return data


def respelled(text: str, dice: random.Random) -> bytes:
    """A notebook whose values, not whose bytes, were spoiled: it can still be read."""
    book = json.loads(text)
    for _ in range(dice.choice((1, 2, 5))):
        cell = dice.choice(book["cells"])
        key = dice.choice(("source", "metadata", "cell_type", "id", "outputs"))
        snippet = dice.choice(SNIPPETS) * dice.choice((1, 1, 30))
        source = "".join(cell["source"]) if isinstance(cell["source"], list) else str(cell["source"])
        place = dice.randrange(len(source) + 1)
        cell[key] = dice.choice(
            (
                source[:place] + snippet + source[place:],
                source.replace(" ", snippet[:40], 3),
                [source, snippet],
                None,
                7,
                {"a": snippet},
                cell.get(key),
            )
        )
    return json.dumps(book, ensure_ascii=False).encode("utf-8", "surrogatepass")


def zipped(data: bytes, dice: random.Random) -> bytes:
    """A zip with the notebook, and at times a zip in it."""
    inner = io.BytesIO()
    with zipfile.ZipFile(inner, "w", dice.choice((zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED))) as archive:
        for number in range(dice.randrange(1, 5)):
            archive.writestr(
                dice.choice(("a.ipynb", "../a.IPYNB", "b.txt", f"{number}.zip", "c/" * 40 + "d.ipynb")), data
            )
    return inner.getvalue() if dice.random() < 0.6 else zipped(inner.getvalue(), dice)


def watch(what: str, data: bytes, act) -> object:
    """Do it; say what was promised and not kept."""
    began = time.process_time()
    found = None
    try:
        found = act()
    except NotGradable:
        pass
    except Exception:
        report(what, data, traceback.format_exc())
    if (took := time.process_time() - began) > SLOW:
        report(what, data, f"{took:.1f} s")
    return found


def report(what: str, data: bytes, why: str) -> None:
    name = f"{what}-{abs(hash(data)):x}"
    Path(tempfile.gettempdir(), f"coldcab-fuzz-{name}.b64").write_bytes(base64.b64encode(data))
    print(f"{name}: {why}", flush=True)


def main(seconds: float, seed: int) -> None:
    """Spoil for so long."""
    dice, count = random.Random(seed), 0
    with tempfile.TemporaryDirectory() as place:
        folder = small_class(Path(place) / "class")
        bench = autograder_of(MarkingPackage.of(folder, "cycle-1"))
        text = filled(folder, "ash", demo.partly, said="Weigh it [here](x) (see http://a.b/c).")
        honest = bench.result(HandIn("ash", text.encode(), "2026-09-05 18:30:00 UTC"))
        most = sum(score or 0 for _, score in honest.scores)
        stamp = Path(place) / "cycle-1.ipynb"
        stamp.write_text(text)
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            count += 1
            data = spoiled(text.encode(), dice) if dice.random() < 0.5 else respelled(text, dice)
            result = watch("sheet", data, lambda d=data: bench.result(HandIn("ash", d, "2026-09-05 18:30:00 UTC")))
            if result and not result.problem and sum(score or 0 for _, score in result.scores) > most:
                report("points", data, f"more than {most}")
            pack = spoiled(zipped(data, dice), dice)
            budget = archives._Budget(UTC, 20_000, 2_000_000_000).within()
            watch(
                "zip", pack, lambda p=pack, b=budget: archives._zip_within(p, ("a", "b.zip"), b, 1, datetime.now(UTC))
            )
            wish = spoiled(b"sheet: cycle-1\nline: state at A\nwhy: because\nline: words\nwhy: more\n", dice)
            watch("request", wish, lambda w=wish: second_looks.read_text(w))
            said = spoiled(b"2026-09-05 18:30:00.123456 UTC", dice)[:300]
            (Path(place) / "timestamp.txt").write_bytes(said)
            watch("time", said, lambda: submission_files.time_of(stamp))
    print(f"{count} sheets, zips and times", flush=True)


if __name__ == "__main__":
    main(float(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else time.time_ns())
