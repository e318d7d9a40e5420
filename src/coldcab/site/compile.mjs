/* Runs in Node, called by compiling.py: the release's own Python compiles what it will import in a browser, so that no
   browser has to. Arguments: the release's folder, an archive of sources, the archive to write. */
import { readFileSync, writeFileSync } from "node:fs";
import { pathToFileURL } from "node:url";

const [place, given, made] = process.argv.slice(2);

const PROGRAM = `
import zipfile
from importlib._bootstrap_external import _code_to_timestamp_pyc

# These read their own docstrings, numpy while it is imported; of all others they are a quarter of what would be fetched.
DOCUMENTED = ("IPython/", "traitlets/", "ipywidgets/", "numpy/", "pyodide/", "_pyodide/", "pyodide_kernel/", "piplite/")

with zipfile.ZipFile("/given.zip") as given, zipfile.ZipFile("/made.zip", "w") as made:
    for name in given.namelist():
        try:
            path = name.split("/", 1)[1]
            level = 0 if path.startswith(DOCUMENTED) else 2
            code = compile(given.read(name), path, "exec", dont_inherit=True, optimize=level)
        except (SyntaxError, ValueError):
            continue  # written for another Python; whoever asks for it there finds its source
        made.writestr(zipfile.ZipInfo(name + "c"), bytes(_code_to_timestamp_pyc(code)))
`;

const { loadPyodide } = await import(pathToFileURL(`${place}/pyodide.mjs`).href);
const python = await loadPyodide({ indexURL: `${place}/` });
python.FS.writeFile("/given.zip", readFileSync(given));
python.runPython(PROGRAM);
writeFileSync(made, python.FS.readFile("/made.zip"));
