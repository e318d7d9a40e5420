/* The answer sheet: its own Check, and keys that stay in it. What stands beside its lines is in lines.js.

   A sheet is a cell whose text begins with %%answers, or several of one name: the parts of a graded sheet. It is marked
   where it stands, all parts of it, wherever the cursor is, and no other cell runs, except the one that shows the sheet's
   numbers where nobody has opened them yet. */
import { attempt, element, onPages, setTo, style } from "./common.js";
import { ask, forget, showBeside } from "./lines.js";
import { nothingWritten } from "./written.js";

const SHEET = /^[ \t]*%%answers\b *(.*)$/m;
const LINE = /^%check +(.+?) *$/m; // one line of a graded sheet, as the grading sees it
const SETUP = /^%load_ext +coldcab\b/m;
const LONGEST = 60_000; // ms that a kernel may take to come up
const PATIENCE = 15_000; // ms after which a busy kernel is named as the reason
const OFTEN = 200; // ms between two looks

const KEYS =
  "By keyboard: Tab goes from line to line, then to the choices (arrow keys, Space). Ctrl+Enter checks the sheet, " +
  "Ctrl+Shift+Enter starts the page, from wherever you are.";
const NO_SHEET = "There is no answer sheet on this page.";
const STARTING = "Python is starting. Your sheet is checked as soon as it is there …";
const CHECKING = "Checking …";
const BUSY = "Python is still busy with something else. Your sheet is checked next …";
const NOT_WRITTEN = " In your own words: nothing written yet.";
const NO_KERNEL = "Python did not start for this page. Press “Start this lesson” above the page, then check again.";

const source = (cell) => cell.model.sharedModel.getSource();

const known = new WeakMap(); // the name of each cell that was a sheet: its first line may be lost in writing

/** Whether all that stands in a cell are labels with answers; such a text is no program. */
const looksAnswered = (text) => {
  const lines = text.split("\n").filter((line) => line.trim());
  return lines.length > 1 && lines.every((line) => /^[\w '’,-]+:[^(){}[\]]*$/.test(line));
};

/** The name of the sheet that a cell holds; undefined for any other cell. */
const sheetName = (cell) => {
  if (cell.model.type !== "code") return undefined;
  const named = SHEET.exec(source(cell))?.[1].trim();
  if (named !== undefined) known.set(cell, named);
  return named ?? known.get(cell) ?? (looksAnswered(source(cell)) ? "" : undefined);
};

const sheets = (panel) => panel.content.widgets.filter((cell) => sheetName(cell) !== undefined);

/** All parts of the sheet that a cell is one of; a part that lost its name belongs to it as well. */
const partsOf = (panel, cell) => {
  const name = sheetName(cell);
  return sheets(panel).filter((one) => one === cell || !name || ["", name].includes(sheetName(one)));
};

// --- Checking ----------------------------------------------------------------------------------------------------

const kernelOf = (panel) => {
  const kernel = panel.sessionContext.session?.kernel;
  return kernel && !kernel.isDisposed && kernel.status !== "dead" ? kernel : undefined;
};

const wait = (time) => new Promise((resolve) => setTimeout(resolve, time));

const say = (cell, words, done = false) => {
  const place = cell.node.querySelector(".coldcab-said");
  place?.classList.toggle("coldcab-done", done);
  if (place && place.textContent !== words) place.textContent = words;
};

/** Run one cell and no other; the cursor and the page stay where they are. */
const run = async (panel, cell) => {
  const { model, outputArea } = cell;
  cell.outputHidden = false;
  model.trusted = true; // as for every cell that is run by hand
  const future = kernelOf(panel).requestExecute({ code: source(cell) }, false, { cellId: model.sharedModel.getId() });
  outputArea.future = future;
  const { content } = await future.done;
  model.executionCount = content.execution_count ?? null;
};

/** Make sure that the kernel knows this sheet and that its numbers stand on the page. */
const open = async (panel, name) => {
  const cells = panel.content.widgets.filter((cell) => cell.model.type === "code");
  let state = await ask(kernelOf(panel), name, "");
  const setup = cells.find((cell) => SETUP.test(source(cell)));
  if (!state && setup) {
    await run(panel, setup);
    forget(kernelOf(panel));
    state = await ask(kernelOf(panel), name, "");
  }
  if (!state || state.opened) return;
  const opens = cells.find((cell) =>
    source(cell).split("\n").some((line) => {
      const [magic, which] = line.trim().split(/\s+/);
      return (magic === "%practice" && `practice-${which}` === name) || (magic === "%sheet" && which === name);
    }),
  );
  if (opens) await run(panel, opens);
};

/** The page's kernel, also where it is still coming up or was shut down. */
const kernelThere = async (panel) => {
  const until = Date.now() + LONGEST;
  // A second kernel would end the one that is on its way.
  await Promise.race([panel.sessionContext.ready, wait(LONGEST)]);
  let asked = false;
  while (!kernelOf(panel) && Date.now() < until && !panel.isDisposed) {
    await wait(OFTEN);
    if (asked) continue;
    asked = true; // nothing else is going to start it
    await attempt(() => panel.sessionContext.startKernel?.())?.catch?.(() => {});
  }
  return kernelOf(panel);
};

/** Show anew, at the end of a graded sheet, the lines of its parts. */
const repeat = async (panel, parts) => {
  const labels = parts.flatMap((cell) =>
    source(cell)
      .split("\n")
      .map((line) => line.split(/[:=]/, 1)[0].trim().toLowerCase()),
  );
  for (const one of panel.content.widgets) {
    const label = one.model.type === "code" && LINE.exec(source(one))?.[1];
    if (label && labels.includes(label.toLowerCase())) await run(panel, one);
  }
};

/** Say what became of each part beside it, and how far the whole sheet is beside all of them. */
const tell = async (panel, parts) => {
  const text = parts.map(source).join("\n");
  const state = parts.length > 1 && (await ask(kernelOf(panel), sheetName(parts[0]), text, { whole: true }));
  const own = nothingWritten(panel.content) ? NOT_WRITTEN : "";
  for (const cell of parts) {
    if (state?.whole) say(cell, state.whole + own);
    else say(cell, cell.outputArea.node.querySelector("strong")?.textContent ?? "", true);
  }
};

/** Mark the parts of one sheet; true if they were marked. */
const mark = async (panel, parts) => {
  const patience = setTimeout(() => parts.forEach((cell) => say(cell, BUSY)), PATIENCE);
  try {
    await open(panel, sheetName(parts[0]));
    for (const cell of parts) await run(panel, cell);
    await repeat(panel, parts);
    await tell(panel, parts);
    return true;
  } catch (error) {
    console.info("coldcab:", error);
    return false;
  } finally {
    clearTimeout(patience);
  }
};

const checkSheet = async (panel, parts) => {
  const sayAll = (words) => parts.forEach((cell) => say(cell, words));
  // A kernel may end just then; the next one answers.
  for (let tries = 0; tries < 2; tries += 1) {
    sayAll(kernelOf(panel) ? CHECKING : STARTING);
    if (!(await kernelThere(panel))) break;
    sayAll(CHECKING);
    if (await mark(panel, parts)) return;
  }
  sayAll(NO_KERNEL);
};

/** The sheets of a page, each with all its parts. */
const wholeSheets = (panel) => {
  const found = [];
  for (const cell of sheets(panel)) if (!found.flat().includes(cell)) found.push(partsOf(panel, cell));
  return found;
};

/** Check a sheet of the page: the one of the cell that is named, the one that the cursor is in, or all. */
const check = async (app, panel, cell) => {
  const all = panel?.content?.widgets ? sheets(panel) : [];
  if (!all.length) {
    return app.commands.execute("apputils:notify", { message: NO_SHEET, type: "info", options: { autoClose: 4000 } });
  }
  const { activeCell, activeCellIndex, widgets } = panel.content;
  const meant = cell ?? (all.includes(activeCell) ? activeCell : undefined);
  const checked = meant ? [partsOf(panel, meant)] : wholeSheets(panel);
  for (const parts of checked) await checkSheet(panel, parts);
  const nearest = meant ?? all.findLast((one) => widgets.indexOf(one) < activeCellIndex) ?? all[0];
  nearest.outputArea.node.scrollIntoView({ block: "nearest" });
  // Whoever stands elsewhere is told there, too.
  const said = nearest.node.querySelector(".coldcab-said:not(.coldcab-done)")?.textContent;
  const options = { autoClose: 6000 };
  if (!meant && said) app.commands.execute("apputils:notify", { message: said, type: "info", options });
};

/** Read every sheet of the page anew, unless its kernel is busy with something else or not there. */
export const checkAll = async (panel) => {
  if (kernelOf(panel)?.status !== "idle") return;
  for (const parts of wholeSheets(panel)) await mark(panel, parts);
};

// --- Keys --------------------------------------------------------------------------------------------------------

/** The lines of an editor on which something can be answered. */
const answerLines = (cell) =>
  source(cell)
    .split("\n")
    .flatMap((line, number) => (/^\s*(%|#|$)/.test(line) || !/[:=]/.test(line) ? [] : [{ line, number }]));

const goTo = (cell, { line, number }) => cell.editor.setCursorPosition({ line: number, column: line.length });

/** Tab goes to the next line; from the last line, as from any box, to what comes after the sheet. */
const step = (cell, event) => {
  const here = cell.editor.getCursorPosition().line;
  const lines = answerLines(cell);
  const next = event.shiftKey ? lines.findLast(({ number }) => number < here) : lines.find(({ number }) => number > here);
  event.stopImmediatePropagation(); // an editor would take Tab for itself
  if (!next) return;
  event.preventDefault();
  goTo(cell, next);
};

let byTab = false; // whether the last move was a Tab forward, and not a touch

/** Whoever comes by Tab begins at the first line that is open. */
const enter = (cell) => {
  if (!byTab) return;
  const lines = answerLines(cell);
  const first = lines.find(({ line }) => /[:=]\s*$/.test(line)) ?? lines[0];
  if (first) goTo(cell, first);
};

/** Before JupyterLab and its editors see them: the keys that mean something else on a sheet. */
const listen = (app) => {
  window.addEventListener("mousedown", () => (byTab = false), true);
  window.addEventListener(
    "keydown",
    (event) => {
      const tab = event.key === "Tab";
      byTab = tab && !event.shiftKey;
      const node = event.target.closest?.(".jp-Notebook .jp-CodeCell");
      const panel = app.shell.currentWidget;
      if (!node || !panel?.content?.widgets) return;
      const cell = panel.content.widgets.find((one) => one.node === node);
      const isSheet = cell && sheetName(cell) !== undefined;
      const plain = !(event.ctrlKey || event.metaKey || event.altKey);
      if (tab && plain && isSheet && event.target.closest(".cm-content")) attempt(() => step(cell, event));
      if (event.key !== "Enter" || (plain && !event.shiftKey) || (!plain && event.shiftKey) || !cell) return;
      // An instrument that ran anew would lose what was set; a lesson's other cells have nothing to run by hand.
      if (!isSheet && !(sheets(panel).length && node.querySelector(".jupyter-widgets"))) return;
      event.preventDefault();
      event.stopImmediatePropagation();
      attempt(() => check(app, panel, isSheet ? cell : undefined));
    },
    true,
  );
};

// --- Each sheet --------------------------------------------------------------------------------------------------

const dress = (app, panel, cell) => {
  const editor = cell.node.querySelector(".cm-content");
  if (editor) {
    setTo(editor, "aria-label", `Answer sheet ${sheetName(cell)}`.trim());
    setTo(editor, "tabindex", "0");
  }
  if (cell.node.classList.contains("coldcab-sheet")) return;
  cell.node.classList.add("coldcab-sheet");
  const button = Object.assign(element("button", "Check this sheet"), { type: "button", className: "coldcab-check" });
  button.addEventListener("click", () => attempt(() => check(app, panel, cell)));
  const said = Object.assign(element("span"), { className: "coldcab-said" });
  said.setAttribute("role", "status");
  const bar = Object.assign(element("div", "", [button, said]), { className: "coldcab-bar" });
  const keys = Object.assign(element("p", KEYS), { className: "coldcab-keys" });
  const below = Object.assign(element("div", "", [bar, keys]), { className: "coldcab-below" });
  below.dataset.lmSuppressShortcuts = "true"; // Space and arrow keys press a choice and move no cell
  cell.node.querySelector(".jp-Cell-inputWrapper").after(below);
  cell.node.addEventListener("focusin", ({ target }) => {
    if (target.closest(".cm-content")) attempt(() => enter(cell));
  });
  showBeside(panel, cell, { name: () => sheetName(cell), kernel: () => kernelOf(panel), bar, below });
};

export default {
  name: "sheet",
  activate: (app) => {
    style(import.meta.url);
    app.commands.addCommand("coldcab:check-sheet", {
      label: "Check this sheet",
      execute: () => check(app, app.shell.currentWidget),
    });
    listen(app);
    onPages(app, {
      settled: (panel) => {
        const all = sheets(panel);
        panel.node.classList.toggle("coldcab-no-sheet", !all.length);
        for (const cell of all) dress(app, panel, cell);
      },
    });
  },
};
