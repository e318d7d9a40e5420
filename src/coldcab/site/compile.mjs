/* Runs in Node, called by compiling.py: the release's own Python compiles what it will import in a browser, so that no
   browser has to. Arguments: the release's folder, an archive of sources, the archive to write. */
import { readFileSync, writeFileSync } from "node:fs";
import { pathToFileURL } from "node:url";

const [place, given, made] = process.argv.slice(2);

const PROGRAM = `
import zipfile
from importlib._bootstrap_external import _code_to_timestamp_pyc

with zipfile.ZipFile("/given.zip") as given, zipfile.ZipFile("/made.zip", "w") as made:
    for name in given.namelist():
        try:
            code = compile(given.read(name), name.split("/", 1)[1], "exec", dont_inherit=True)
        except (SyntaxError, ValueError):
            continue  # written for another Python; whoever asks for it there finds its source
        made.writestr(zipfile.ZipInfo(name + "c"), bytes(_code_to_timestamp_pyc(code)))
`;

const { loadPyodide } = await import(pathToFileURL(`${place}/pyodide.mjs`).href);
const python = await loadPyodide({ indexURL: `${place}/` });
python.FS.writeFile("/given.zip", readFileSync(given));
python.runPython(PROGRAM);
writeFileSync(made, python.FS.readFile("/made.zip"));
