"""Tables of tricks: bytes that are no notebook, words that deny a choice, numbers that are none, times, zips.

Each row is a name and what is handed in; ``make.py`` says what may become of it.
"""

from __future__ import annotations

import gzip
import io
import json
import stat
import struct
import tarfile
import zipfile
import zlib
from collections.abc import Callable

# Bytes instead of a notebook. Each is made of the honest text; none can be read as one.


def _tar(text: str) -> bytes:
    out = io.BytesIO()
    with tarfile.open(fileobj=out, mode="w:gz") as archive:
        entry = tarfile.TarInfo("cycle-1.ipynb")
        entry.size = len(text.encode())
        archive.addfile(entry, io.BytesIO(text.encode()))
    return out.getvalue()


def _worksheets(text: str) -> str:
    book = json.loads(text)
    return json.dumps({"worksheets": [{"cells": book["cells"]}], "nbformat": 3, "nbformat_minor": 0, "metadata": {}})


def _without(text: str, sign: str) -> str:
    place = text.rindex(sign)
    return text[:place] + text[place + 1 :]


NO_NOTEBOOK: dict[str, Callable[[str], str | bytes]] = {
    "gzip": lambda text: gzip.compress(text.encode()),
    "a tape archive": _tar,
    "compressed without a head": lambda text: zlib.compress(text.encode()),
    "UTF-16 without a mark": lambda text: text.encode("utf-16-le"),
    "UTF-32": lambda text: text.encode("utf-32"),
    "UTF-7": lambda text: ("ä" + text).encode("utf-7"),
    "another alphabet's bytes": lambda text: text.replace("{", '{"é": 1,', 1).encode("latin-1"),
    "overlong UTF-8": lambda text: b'{"cells": "\xc0\xaf"}',
    "half a sign at the end": lambda text: text.encode() + b"\xe2\x82",
    "surrogates as bytes": lambda text: b'{"cells": "\xed\xa0\x80"}',
    "two notebooks in a file": lambda text: text + text,
    "words behind the end": lambda text: text + "\nThe end.",
    "words before the start": lambda text: "Dear teacher:\n" + text,
    "a line for every value": lambda text: "\n".join(json.dumps(cell) for cell in json.loads(text)["cells"]),
    "the page of a platform": lambda text: f"<html><body><pre>{text}</pre></body></html>",
    "a letter with the notebook in it": lambda text: (
        f"From: me\nContent-Type: multipart/mixed; boundary=x\n\n--x\n\n{text}\n--x--"
    ),
    "a form from years ago": _worksheets,
    "the cells alone": lambda text: json.dumps(json.loads(text)["cells"]),
    "cells within cells": lambda text: json.dumps({"cells": [json.loads(text)["cells"]]}),
    "a notebook within a value": lambda text: json.dumps({"notebook": json.loads(text)}),
    "a notebook as a string": json.dumps,
    "single quotation marks": lambda text: repr(json.loads(text)),
    "a comma too many": lambda text: text.replace('"cells": [', '"cells": [,', 1),
    "a comma at the end": lambda text: text.rstrip().removesuffix("}").rstrip() + ",}",
    "a comment in it": lambda text: "// my sheet\n" + text,
    "a bracket lost": lambda text: _without(text, "]"),
    "a brace lost": lambda text: _without(text, "}"),
    "a quotation mark lost": lambda text: _without(text, '"'),
    "a raw line end in a string": lambda text: text.replace("\\n", "\n"),
    "a raw zero in a string": lambda text: text.replace("%%answers", "%%ans\0wers"),
    "a bad escape": lambda text: text.replace("%%answers", "\\q%%answers"),
    "half an escape": lambda text: text.replace("%%answers", "\\u12"),
    "a whole number of four million digits": lambda text: '{"cells": [], "x": ' + "9" * 4_000_000 + "}",
    "a number of five thousand digits": lambda text: text.replace('"nbformat": 4', '"nbformat": ' + "4" * 5000),
    "backslashes without an end": lambda text: '{"cells":["' + "\\" * 2_400_001,
    "quotation marks alone": lambda text: '"' * 4_900_000,
    "strings and backslashes in turn": lambda text: '{"cells":[' + '"\\' * 2_400_000,
    "brackets closed and opened": lambda text: "[]" * 2_400_000,
    "closed brackets alone": lambda text: "]" * 4_900_000,
    "colons": lambda text: "{" + ":" * 4_900_000,
    "a million empty cells of no kind": lambda text: '{"cells": [' + "0," * 2_400_000 + "0]}",
    "white space alone": lambda text: " \n\t" * 1_600_000,
    "minus signs": lambda text: "-" * 4_900_000,
    "zeros before a number": lambda text: '{"cells": ' + "0" * 4_900_000 + "}",
    "sixty-five brackets": lambda text: '{"cells": ' + "[" * 65 + "]" * 65 + "}",
}

# Spoiled, and still an honest sheet: everything that was earned is earned.


def _in_metadata(value: str) -> Callable[[str], str]:
    return lambda text: text.replace('"metadata": {', '"metadata": {"extra": ' + value + ", ", 1)


STILL_READ: dict[str, Callable[[str], str | bytes]] = {
    "line ends of an old computer": lambda text: text.replace("\n", "\r"),
    "line ends of another system": lambda text: text.replace("\n", "\r\n"),
    "carriage returns within cells": lambda text: text.replace("\\n", "\\r"),
    "both ends within cells": lambda text: text.replace("\\n", "\\r\\n"),
    "line separators within cells": lambda text: text.replace("\\n", "\\u2028"),
    "form feeds within cells": lambda text: text.replace("\\n", "\\f"),
    "no number where one is": _in_metadata("NaN"),
    "an infinite number": _in_metadata("-Infinity"),
    "a number too large": _in_metadata("1e999"),
    "a number too small": _in_metadata("1e-999"),
    "a lone half of a sign": _in_metadata('"\\ud800"'),
    "a name of a megabyte": _in_metadata('{"' + "k" * 1_000_000 + '": 1}'),
    "a hundred thousand names": _in_metadata("{" + ", ".join(f'"k{n}": {n}' for n in range(100_000)) + "}"),
    "names that share a fingerprint": _in_metadata(
        "{" + ", ".join(f'"{n * (2**61 - 1)}": 0' for n in range(3000)) + "}"
    ),
    "fifty brackets deep": _in_metadata("[" * 50 + "]" * 50),
    "a list of a million": _in_metadata("[" + "1," * 1_000_000 + "1]"),
    "a traceback of brackets in a string": _in_metadata('"' + "[{" * 300_000 + '"'),
    "backslashes in a string": _in_metadata('"' + "\\\\" * 500_000 + '"'),
    "a version of four thousand digits": lambda text: text.replace('"nbformat": 4', '"nbformat": ' + "9" * 4000),
    "a version that is not finite": lambda text: text.replace('"nbformat": 4', '"nbformat": 1e999'),
    "sixty dictionaries deep": _in_metadata('{"a": ' * 60 + "0" + "}" * 60),
    "another version of the format": lambda text: text.replace('"nbformat": 4', '"nbformat": 99'),
    "no version of the format": lambda text: text.replace('"nbformat": 4', '"nbformatless": 4'),
    "another language": _in_metadata('{"kernelspec": {"name": "bash", "language": "sh"}}'),
}

# Values of a cell's source that is no text; the cell is not an answer cell.

ODD_SOURCES: dict[str, object] = {
    "nothing": None,
    "a number": 7,
    "a truth": True,
    "a dictionary": {"0": "%%answers"},
    "lists in a list": [["%%answers"]],
    "numbers in a list": [1, 2, 3],
    "nothing in a list": [None] * 5,
}

# Words beside a right choice that deny or doubt it, or name another too; nothing is earned with them.

DENIALS: tuple[str, ...] = (
    "not {right}",
    "isn't {right}",
    "isnt {right}",
    "isn’t {right}",
    "never {right}",
    "non-{right}",
    "un{right}",
    "no {right}",
    "anything but {right}",
    "everything except {right}",
    "far from {right}",
    "other than {right}",
    "neither {right}",
    "without being {right}",
    "the opposite of {right}",
    "{right} is wrong",
    "{right} is false",
    "{right}? no",
    "{right}, not",
    "hardly {right}",
    "barely {right}",
    "scarcely {right}",
    "{right} or {wrong}",
    "{wrong} or {right}",
    "{right} / {wrong}",
    "{right} and {wrong}",
    "{right}, {wrong}",
    "{right} {wrong}",
    "{right};{wrong}",
    "{right}|{wrong}",
    "{right}+{wrong}",
    "{right} versus {wrong}",
    "{wrong}, no, {right}",
    "either {right} or {wrong}",
    "{right} (or {wrong})",
    "{right} unless {wrong}",
    "{right}{wrong}",
    "{right}\u200b{wrong}",
    "{right}\t{wrong}",
    "ain't {right}",
    "it cannot be {right}",
    "can't be {right}",
    "rather {wrong} than {right}",
    "{wrong} instead of {right}",
    "less {right} than {wrong}",
    "{right} was my first thought, {wrong}",
    "false: {right}",
    "untrue that it is {right}",
    "impossible to be {right}",
    "{right} fails to be the case",
    "lacks being {right}",
    "no longer {right}",
    "nothing {right}",
    "cannot say {right}",
    "I doubt it is {right}",
    "almost {right}",
    "nearly {right}",
    "n\u043et {right}",
    "\u043d\u0435 {right}",
    "nein, {right}",
    "nope, {right}",
    "\u2260 {right}",
    "!{right}",
    "\u274c {right}",
    "{right} \U0001f44e",
    "~~{right}~~",
    "<del>{right}</del>",
    "<!-- {right} -->",
    "\u0336{right}\u0336",
    "[ ] {right}",
    "{right}?",
    "maybe {right}",
    "{right}, perhaps",
    "50 % {right}",
    "might be {right}",
    "quasi {right}",
    "anti-{right}",
    "{right}ish",
    "half {right}",
    "used to be {right}",
    "{right} ruled out",
    "excluding {right}",
    "less than {right}",
    "I disagree with {right}",
    "{right}, just kidding",
    "supposedly {right}",
    "n o t {right}",
    "{right} n't",
    "{right} etc",
    "{right} on Mondays",
)

# Numbers that are none, or not sure to be one; nothing is earned. ``{0}`` is the right number, ``{1}`` its unit.

ODD_NUMBERS: tuple[str, ...] = (
    "{0} {1} or 1 {1}",
    "{0} {1} / 1 {1}",
    "{0} to 9999 {1}",
    "{0}-9999 {1}",
    "{0}…9999 {1}",
    "not {0} {1}",
    "{0} {1} is wrong",
    "{0} {1}?? 1 {1}",
    "anything but {0} {1}",
    "{0}e400 {1}",
    "{0}e{0} {1}",
    "0x{0} {1}",
    "{0}**9 {1}",
    "{0}^9 {1}",
    "1/{0} {1}",
    "{0}j {1}",
    "{0} {1} {0} {1} {0} {1}",
    "- - {0} {1}",
    "{0} kitten",
    "{0} {1}^2",
    "{0} {1}·{1}",
    "{0} {1}**-1",
    "\u221e {1}",
    "{0}!{1}",
    "sqrt({0}) {1}",
    "${{{0}}} {1}",
    "{0}%{1}",
    "about everything",
    "{0} {1}; drop table",
    "{0},,{0} {1}",
    "{0}..{0} {1}",
    "0,{0}00000 {1}",
    "{0} {1}?",
    "\u2260 {0} {1}",
    "\u2264 {0} {1}",
    "at least {0} {1}",
    "{0}-ish {1}",
    "{0} {1} or so",
    "{0} \u00b1 9 {1}",
    "0 to {0} {1}",
    "{0} {1} (9999 {1})",
    "{0} {1} <!-- no -->",
    "<s>{0} {1}</s>",
    "{0}_0 {1}",
    "{0}\u0336 {1}",
    "{0}\u2070\u00b9 {1}",
    "\u2212\u2212{0} {1}",
    "half {0} {1}",
    "maybe {0} {1}",
    "{0} {1} n\u043et",
)

# Letters of a list that are to stand for more than themselves; {} is the right list, and its last letter comes last.

LISTS = (
    "{} to 9999",
    "{} to Z",
    "{}..Z",
    "{}–Z",
    "{} - 9999",
    "{} onward",
    "{}, etc",
    "{}, and so on",
    "{} …",
    "{}+",
    "{} -",
    "{}, all",
    "{} and more",
    "{}, not others",
    "{}?",
    "all but {}",
    "\u00ac{}",
    "from {} on",
    "{} excluded",
)

# What may stand in timestamp.txt. False: nothing can have been handed in then, and it says so.

TIMES: dict[str, bool] = {
    "0001-01-01 00:00:00 UTC": False,
    "0001-01-01 00:00:00 +1400": False,
    "9999-12-31 23:59:59 UTC": False,
    "9999-12-31 23:59:59 -1200": False,
    "2999-01-01 00:00:00 UTC": False,
    "1969-12-31 23:59:59 UTC": False,
    "2026-09-05 18:30:00 -0500": True,
    "2026-09-05 18:30:00 -05:00": True,
    "2026-09-05 18:30:00 Europe/Vienna": True,
    "2026-09-05 18:30:00 ../../etc/passwd": True,
    "2026-09-05 18:30:00 /etc/localtime": True,
    "2026-09-05 18:30:00 +9999": True,
    "2026-13-45 99:99:99 UTC": True,
    "2026-02-30 00:00:00 UTC": True,
    "2026-09-05 27868468730:123456 UTC": True,
    "yesterday": True,
    "2026-09-05 18:30:60 UTC": True,
    "\u0662\u0660\u0662\u0666-09-05 18:30:00 UTC": True,
    "": True,
    "\x00": True,
    "2026-09-05 18:30:00.99999999999999999999 UTC": True,
    "2026-09-05 18:30:00 " + "A" * 40: True,
    "<script>": True,
}


# Zips, as one learner packs them. Each is made of the honest sheet; what is said of it, or nothing where it is found.


def pack(files: list[tuple[str, bytes | str]], how: int = zipfile.ZIP_DEFLATED) -> bytes:
    """A zip of names and contents."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", how) as archive:
        for name, data in files:
            archive.writestr(zipfile.ZipInfo(name, (2026, 10, 1, 12, 0, 0)), data, how)
    return out.getvalue()


def nested(data: bytes, times: int, width: int = 1) -> bytes:
    """A zip in a zip in a zip."""
    for _ in range(times):
        data = pack([(f"{number}.zip", data) for number in range(width)])
    return data


def overlapping(text: bytes, count: int) -> bytes:
    """Many names for one piece of compressed data, as in zip bombs without zips in them."""
    one = pack([("00000.ipynb", text)])
    start = one.index(b"PK\x01\x02")
    entry = one[start : one.index(b"PK\x05\x06")]
    entries = b"".join(entry.replace(b"00000.ipynb", b"%05d.ipynb" % number, 1) for number in range(count))
    return (
        one[:start]
        + entries
        + struct.pack("<4sHHHHIIH", b"PK\x05\x06", 0, 0, count & 0xFFFF, count & 0xFFFF, len(entries), start, 0)
    )


def patched(data: bytes, mark: bytes, offset: int, new: bytes) -> bytes:
    """The zip with other bytes at a place in its first record of a kind."""
    place = data.index(mark) + offset
    return data[:place] + new + data[place + len(new) :]


ENTRY, END = b"PK\x01\x02", b"PK\x05\x06"


def asking(why: str) -> str:
    """A request for another look."""
    return f"sheet: cycle-1\nline: state at A\nwhy: {why}\n"


def links(text: bytes) -> bytes:
    """A zip of links to a file of the computer."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for name in ("cycle-1.ipynb", "regrade.txt"):
            entry = zipfile.ZipInfo(name)
            entry.external_attr = (stat.S_IFLNK | 0o777) << 16
            archive.writestr(entry, "/etc/passwd")
    return out.getvalue()


def with_extra(text: bytes, extra: bytes) -> bytes:
    """A zip whose list says something more of its one file."""
    one = pack([("a.ipynb", text)])
    entry, end = one.index(ENTRY), one.index(END)
    size = struct.unpack("<I", one[end + 12 : end + 16])[0] + len(extra)
    head = one[: entry + 30] + struct.pack("<H", len(extra)) + one[entry + 32 : entry + 53] + extra
    return head + one[entry + 53 : end + 12] + struct.pack("<I", size) + one[end + 16 :]


def of_kind(text: bytes, kind: int) -> bytes:
    """A zip of something that is no plain file where it came from."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        entry = zipfile.ZipInfo("a.ipynb", (2026, 10, 1, 12, 0, 0))
        entry.external_attr = (kind | 0o666) << 16
        archive.writestr(entry, text)
    return out.getvalue()


LOCAL = b"PK\x03\x04"

ZIPS: dict[str, tuple[Callable[[bytes], bytes], str]] = {
    "nothing in it": (lambda text: pack([]), "no file in the zip"),
    "twenty-five thousand names": (
        lambda text: pack([(f"{n}.txt", "") for n in range(25_000)]),
        "more than 2,000 files",
    ),
    "twenty-five thousand notebooks": (
        lambda text: pack([(f"{n}.ipynb", "") for n in range(25_000)]),
        "more than 2,000 files",
    ),
    "zeros in zips": (
        lambda text: nested(pack([(f"{n}.ipynb", bytes(4_900_000)) for n in range(40)]), 1, 5),
        "more than",
    ),
    "zeros in a wide zip": (lambda text: pack([(f"{n}.ipynb", bytes(4_900_000)) for n in range(60)]), "more than"),
    "zips in zips for ever": (lambda text: nested(pack([("a.ipynb", text)]), 30), "not a notebook"),
    "wide zips in zips": (lambda text: nested(pack([("a.txt", b"")]), 2, 60), "more than"),
    "one datum under many names": (lambda text: overlapping(bytes(4_900_000), 60_000), "more than"),
    "a few names for one datum": (lambda text: overlapping(bytes(4_900_000), 1_500), ""),
    "cut off": (lambda text: pack([("a.ipynb", text)])[:-40], "cannot be read"),
    "cut off at half": (lambda text: pack([("a.ipynb", text)])[:300], "cannot be read"),
    "no zip": (lambda text: b"Dear teacher", "cannot be read"),
    "empty": (lambda text: b"", "cannot be read"),
    "the head alone": (lambda text: b"PK\x05\x06", "cannot be read"),
    "damaged": (lambda text: patched(pack([("a.ipynb", text)]), b"PK\x03\x04", 60, b"\xff" * 30), "damaged"),
    "a wrong sum": (lambda text: patched(pack([("a.ipynb", text)]), ENTRY, 16, b"\0\0\0\0"), "damaged"),
    "locked": (lambda text: patched(pack([("a.ipynb", text)]), ENTRY, 8, b"\x01\0"), "password"),
    "packed in a rare way": (lambda text: pack([("a.ipynb", text)], zipfile.ZIP_LZMA), "only some programs"),
    "packed in an unknown way": (
        lambda text: patched(pack([("a.ipynb", text)]), ENTRY, 10, b"\x63\0"),
        "only some programs",
    ),
    "a size that is a lie": (lambda text: patched(pack([("a.ipynb", text)]), ENTRY, 24, b"\x01\0\0\0"), "damaged"),
    "a size of four thousand million": (
        lambda text: patched(pack([("a.ipynb", text)]), ENTRY, 20, b"\xff\xff\xff\x7f"),
        "",
    ),
    "a place beyond the end": (
        lambda text: patched(pack([("a.ipynb", text)]), ENTRY, 42, b"\xff\xff\xff\x7f"),
        "damaged",
    ),
    "a list beyond the end": (lambda text: patched(pack([("a.ipynb", text)]), END, 16, b"\xff\xff\xff\x7f"), "damaged"),
    "an unfolding of six megabytes": (lambda text: pack([("a.ipynb", bytes(6_000_000))]), "unfolds to more than 5 MB"),
    "an unfolding of three hundred": (
        lambda text: pack([("a.zip", bytes(300_000_000))]),
        "unfolds to more than 100 MB",
    ),
    "names that climb": (lambda text: pack([("../../../evil.ipynb", text)]), ""),
    "names from the root": (lambda text: pack([("/etc/cron.d/evil.ipynb", text)]), ""),
    "names of another system": (lambda text: pack([("C:\\Users\\..\\evil.ipynb", text)]), ""),
    "a name of sixty thousand signs": (lambda text: pack([("a" * 60_000 + ".ipynb", text)]), "not a notebook"),
    "a name of markup": (lambda text: pack([("<img src=x onerror=alert(1)>.ipynb", text)]), ""),
    "a name that speaks to the screen": (lambda text: pack([("\x1b[31mred\x07.ipynb", text)]), ""),
    "a name turned around": (lambda text: pack([("\u202ebnypi.evil.ipynb", text)]), ""),
    "a thousand folders deep": (lambda text: pack([("a/" * 400 + "a.ipynb", text)]), ""),
    "a device's name": (lambda text: pack([("aux.ipynb", text)]), ""),
    "an ending in capitals": (lambda text: pack([("CYCLE-1.IPYNB", text)]), ""),
    "words before it": (lambda text: b"MZ" + bytes(2000) + pack([("a.ipynb", text)]), ""),
    "a long comment": (lambda text: pack([("a.ipynb", text)])[:-2] + b"\xff\xff" + b"x" * 65_535, ""),
    "a day that is none": (lambda text: patched(pack([("a.ipynb", text)]), ENTRY, 12, b"\xff\xff\xff\xff"), ""),
    "the same name twice": (
        lambda text: pack([("a.ipynb", text), ("b.ipynb", text)]).replace(b"b.ipynb", b"a.ipynb"),
        "",
    ),
    "links": (links, "a link to another place"),
    "a zero in a name": (
        lambda text: pack([("aXb.ipynb", text)]).replace(b"aXb.ipynb", b"a\0b.ipynb"),
        "not a notebook",
    ),
    "half a sign in a name": (lambda text: pack([("aXXX.ipynb", text)]).replace(b"aXXX", b"a\xed\xa0\x80"), ""),
    "a notebook and a zip in one": (lambda text: text + pack([("a.ipynb", text)]), ""),
    "names that differ in capitals": (
        lambda text: pack([("A.ipynb", text), ("a.ipynb", text + b" ")]),
        "of the same time",
    ),
    "sizes of the long kind without them": (
        lambda text: patched(pack([("a.ipynb", text)]), ENTRY, 20, b"\xff" * 8),
        "",
    ),
    "one name nineteen hundred times": (
        lambda text: pack([(f"b{n:04d}.ipynb", text) for n in range(1900)]).replace(b"b0", b"a0"),
        "",
    ),
    "nineteen hundred requests": (
        lambda text: pack([(f"regrade {n}.txt", asking(f"because {n}")) for n in range(1900)]),
        "20 are the most",
    ),
    "a request of a megabyte": (lambda text: pack([("regrade.txt", asking("x" * 10**6))]), "more than 20,000 bytes"),
    "a request that unfolds": (lambda text: pack([("regrade.txt", bytes(300_000_000))]), "more than 20,000 bytes"),
    "a request about another folder": (
        lambda text: pack([("regrade.txt", asking("x").replace("cycle-1", "../../../evil"))]),
        "names no sheet",
    ),
    "a request of colons": (lambda text: pack([("regrade.txt", ":" * 19_000)]), "it names no line"),
    "a name of nothing": (lambda text: pack([("", text)]), "no file in the zip"),
    "a folder with content": (lambda text: pack([("a.ipynb/", text)]), "no file in the zip"),
    "another zip's end in the comment": (
        lambda text: pack([("a.ipynb", text)])[:-2] + b"\x16\x00" + pack([]),
        "no file in the zip",
    ),
    "two zips in a row": (lambda text: pack([("a.ipynb", b"{}")]) + pack([("b.ipynb", text)]), ""),
    "an end far from the end": (lambda text: pack([("a.ipynb", text)]) + bytes(70_000), "cannot be read"),
    "a beginning that is gone": (lambda text: pack([("a.ipynb", text)])[100:], "damaged"),
    "another name at the file": (lambda text: patched(pack([("a.ipynb", text)]), LOCAL, 30, b"b"), "damaged"),
    "locked at the file alone": (lambda text: patched(pack([("a.ipynb", text)]), LOCAL, 6, b"\x01\0"), ""),
    "no sum at all": (
        lambda text: patched(patched(pack([("a.ipynb", text)]), ENTRY, 16, bytes(4)), LOCAL, 14, bytes(4)),
        "damaged",
    ),
    "a patch": (lambda text: patched(pack([("a.ipynb", text)]), ENTRY, 8, b"\x20\0"), "damaged"),
    "a list shorter than it says": (
        lambda text: patched(pack([("a.ipynb", text)]), END, 12, b"\xff\xff"),
        "cannot be read",
    ),
    "more files than there are": (lambda text: patched(pack([("a.ipynb", text)]), END, 8, b"\xff" * 4), ""),
    "another disk": (lambda text: patched(pack([("a.ipynb", text)]), END, 4, b"\x07\0"), ""),
    "a long kind that leads nowhere": (
        lambda text: (
            (one := pack([("a.ipynb", text)]))[: one.rindex(END)]
            + struct.pack("<4sIQI", b"PK\x06\x07", 0, 2**62, 1)
            + one[one.rindex(END) :]
        ),
        "cannot be read",
    ),
    "an extra longer than the zip": (lambda text: with_extra(text, struct.pack("<HH", 1, 60_000)), "cannot be read"),
    "an extra of the long kind": (lambda text: with_extra(text, struct.pack("<HH4s", 1, 4, b"abcd")), ""),
    "an extra with another name": (
        lambda text: with_extra(text, struct.pack("<HHBI8s", 0x7075, 13, 1, 0, b"evil.txt")),
        "",
    ),
    "a pipe in it": (lambda text: of_kind(text, stat.S_IFIFO), ""),
    "a device in it": (lambda text: of_kind(text, stat.S_IFCHR), ""),
    "a name that is no UTF-8": (
        lambda text: patched(patched(pack([("aaa.ipynb", text)]), ENTRY, 8, b"\0\x08"), ENTRY, 46, b"\xff\xff"),
        "cannot be read",
    ),
    "names that look alike": (
        lambda text: pack([("e\u0301.ipynb", text), ("\u00e9.ipynb", text + b" ")]),
        "of the same time",
    ),
    "a name of another computer": (lambda text: pack([("\\\\server\\share\\a.ipynb", text)]), ""),
    "a name with a stream": (lambda text: pack([("a.ipynb:evil.ipynb", text)]), ""),
    "a name of two lines": (lambda text: pack([("a\nb.ipynb", text)]), ""),
    "the name of another learner": (lambda text: pack([("honest/cycle-1.ipynb", text)]), ""),
    "a name with an early time": (lambda text: pack([("2020-01-01 10-00-00 a.ipynb", text)]), ""),
    "the last second of its calendar": (
        lambda text: patched(pack([("a.ipynb", text)]), ENTRY, 12, b"\x7d\xbf\x9f\xff"),
        "",
    ),
    "bzip2 in it": (lambda text: pack([("a.ipynb", text)], zipfile.ZIP_BZIP2), "only some programs"),
    "a zip called a notebook": (lambda text: pack([("a.ipynb", pack([("a.ipynb", text)]))]), ""),
    "brackets ten times": (lambda text: pack([(f"{n}.ipynb", b"[" * 4_900_000) for n in range(10)]), ""),
    "ninety megabytes of zeros": (lambda text: pack([("a.zip", bytes(90_000_000))]), "more than"),
    "quotation marks without an end": (lambda text: pack([("a.ipynb", b'{"cells":["' + b'\\"' * 2_000_000)]), ""),
}
