/* Five small aids that JupyterLab's settings cannot give: names for every control, a written answer that opens at one
   touch, room for the page on a phone, plain words after Validate, and a start that is never lost.

   JupyterLab loads this file as it stands, through the two functions at its end; nothing has to be built. It uses what
   JupyterLab hands to every extension, no module of JupyterLab's. Where a later JupyterLab lacks something, that aid is
   missing and everything else works. Nothing here changes what a learner wrote. */
(() => {
  "use strict";

  const STUB = "*Write your answer here.*"; // as the released forms have it
  const NARROW = 700; // px; below it the list of files leaves no room for the page
  const SETTLED = 120; // ms after the last change; an instrument has answered by then

  /** Do something that JupyterLab's next release may break, and carry on without it. */
  const attempt = (work) => {
    try {
      return work();
    } catch (error) {
      console.info("coldcab:", error);
    }
  };

  const element = (tag, text = "", children = []) => {
    const made = Object.assign(document.createElement(tag), { textContent: text });
    made.append(...children);
    return made;
  };

  // --- Names of controls -----------------------------------------------------------------------------------------

  const CONTROLS = ".jupyter-widgets :is(input, select, textarea, .noUi-handle)";

  /** The words that stand beside or above a control: its own label, its slider's, or the question over it. */
  const label = (control) => {
    const own = control.closest(".widget-inline-hbox");
    for (const place of [own, own?.previousElementSibling]) {
      const words = place?.querySelector(".widget-label:not(:empty), strong")?.textContent.trim();
      if (words) return words;
    }
    return "";
  };

  const setTo = (node, attribute, text) => {
    if (text && node.getAttribute(attribute) !== text) node.setAttribute(attribute, text);
  };

  const nameControl = (control) => {
    const handles = control.closest(".noUi-base")?.querySelectorAll(".noUi-handle").length;
    // A box or a list whose own label is shown has its name from there.
    if (!handles && [...(control.labels ?? [])].some((own) => own.textContent.trim())) return;
    const end = control.classList.contains("noUi-handle-lower") ? "lower end" : "upper end";
    const words = label(control);
    setTo(control, "aria-label", words && handles > 1 ? `${words}, ${end}` : words);
  };

  // --- What a slider says ----------------------------------------------------------------------------------------

  const before = new WeakMap(); // what the box beside a slider showed when its handle was last moved

  const box = (handle) => handle.closest(".widget-slider")?.nextElementSibling?.querySelector("input[type=text]");

  /** The slider library has just written a bare number, "199.99999999999997": say it as the box is going to. */
  const sayNumber = (handle) => {
    const raw = handle.getAttribute("aria-valuetext");
    const beside = box(handle);
    const shown = beside?.value;
    if (!shown || !/^-?[\d.]+(e-?\d+)?$/.test(raw)) return;
    const digits = /\.(\d+)/.exec(shown)?.[1].length ?? 0;
    const number = Number(Number(raw).toFixed(digits)) + 0; // no "-0"
    const fraction = { minimumFractionDigits: digits, maximumFractionDigits: digits };
    const unit = /, ([^,]+)$/.exec(label(handle))?.[1] ?? "";
    // Moved by what was typed into the box, the handle comes after it and does not make it old.
    if (beside === document.activeElement) before.delete(handle);
    else before.set(handle, shown);
    setTo(handle, "aria-valuetext", `${number.toLocaleString("en-US", fraction)} ${unit}`.trim());
  };

  /** The box has the last word: below zero a gauge reads in inches of vacuum, and a typed number stands between steps. */
  const sayBox = (handle) => {
    const shown = box(handle)?.value;
    // Words without a number are a slip of the hand; the instrument has not followed them.
    if (/\d/.test(shown) && shown !== before.get(handle)) setTo(handle, "aria-valuetext", shown);
  };

  // --- Pictures and sheets ---------------------------------------------------------------------------------------

  /** A stored picture carries its text alternative beside it; JupyterLab does not hand it on. */
  const describePictures = (cell) => {
    const outputs = cell.model.outputs;
    for (let i = 0; i < (outputs?.length ?? 0); i += 1) {
      const words = outputs.get(i).data["text/plain"];
      const picture = cell.outputArea.widgets[i]?.node.querySelector("img:not([alt])");
      if (picture && words) picture.alt = [words].flat().join("");
    }
  };

  const nameSheet = (cell) => {
    const sheet = /^%%answers *(.*)/.exec(cell.model.sharedModel.getSource());
    const words = sheet ? `Answer sheet ${sheet[1]}` : isWritten(cell) ? "Your written answer" : "";
    const editor = cell.node.querySelector(".cm-content");
    if (editor && words) setTo(editor, "aria-label", words.trim());
  };

  // --- The written answer ----------------------------------------------------------------------------------------

  const isWritten = (cell) => cell.model.type === "markdown" && cell.model.getMetadata("nbgrader")?.solution === true;

  const openAnswer = (notebook, cell) => {
    notebook.activeCellIndex = notebook.widgets.indexOf(cell);
    notebook.mode = "edit";
    cell.rendered = false;
  };

  /** Whichever way it was opened, the hand is in it. */
  const beginWriting = (notebook, cell) => {
    if (cell.rendered || notebook.activeCell !== cell || notebook.mode !== "edit") return;
    // What had the focus, the shown text, has just been hidden.
    cell.editor.focus();
    if (cell.model.sharedModel.getSource() !== STUB) return;
    // Selected, the form's own sentence gives way to the first letter typed.
    cell.editor.setSelection({ start: { line: 0, column: 0 }, end: { line: 0, column: STUB.length } });
  };

  const prepareAnswer = (notebook, cell) => {
    cell.node.classList.toggle("coldcab-empty", cell.model.sharedModel.getSource().trim() === "");
    const text = cell.node.querySelector(".jp-MarkdownOutput");
    if (text && !text.hasAttribute("tabindex")) {
      // Tab reaches it as it reaches a box.
      text.tabIndex = 0;
      text.setAttribute("role", "group");
      text.setAttribute("aria-label", "Your written answer. Press Enter to write.");
      text.addEventListener("keydown", (event) => {
        const alone = !(event.shiftKey || event.ctrlKey || event.altKey || event.metaKey);
        if (event.key !== "Enter" || !alone || event.target !== text) return;
        event.preventDefault(); // else it would be the first line break
        attempt(() => openAnswer(notebook, cell));
      });
    }
    if (cell.node.classList.contains("coldcab-written")) return;
    cell.node.classList.add("coldcab-written");
    cell.renderedChanged?.connect(() => attempt(() => beginWriting(notebook, cell)));
    cell.node.addEventListener("click", (event) => {
      const inText = event.target.closest(".jp-MarkdownOutput") && !event.target.closest("a");
      // Someone who drags over the words wants to copy them.
      if (inText && window.getSelection().isCollapsed) attempt(() => openAnswer(notebook, cell));
    });
  };

  // --- Each page -------------------------------------------------------------------------------------------------

  const tend = (panel) => {
    panel.node.querySelectorAll(CONTROLS).forEach(nameControl);
    panel.node.querySelectorAll(".noUi-handle").forEach(sayBox);
    for (const cell of panel.content.widgets) {
      if (isWritten(cell)) prepareAnswer(panel.content, cell);
      nameSheet(cell);
      describePictures(cell);
    }
  };

  const watch = (panel) => {
    let timer;
    const observer = new MutationObserver((changes) => {
      for (const { type, target } of changes) if (type === "attributes") attempt(() => sayNumber(target));
      clearTimeout(timer);
      timer = setTimeout(() => attempt(() => tend(panel)), SETTLED);
    });
    observer.observe(panel.node, { childList: true, subtree: true, attributeFilter: ["aria-valuetext"] });
    panel.disposed.connect(() => observer.disconnect());
  };

  // --- Narrow windows --------------------------------------------------------------------------------------------

  /** Once, at the start: whoever opens the list of files afterwards wants it open. */
  const makeRoom = (shell) => {
    if (window.innerWidth >= NARROW) return;
    shell.collapseLeft();
    // Its strip is empty in this course and would take a tenth of a phone's width.
    if (shell.isSideTabBarVisible("right")) shell.toggleSideTabBarVisibility("right");
  };

  // --- Validate --------------------------------------------------------------------------------------------------

  const TITLE = "Before you hand in";
  const READY =
    "Every line can be read, and the written answer is there. Whether they are right is for the grading. " +
    "It is saved; hand it in.";
  const NOT_READY = "Not ready yet. Mend these lines and press Validate again:";
  const NOT_WRITTEN = "In your own words: nothing written yet";
  const CHANGED =
    "Something outside the answers was changed on this page, so its lines cannot be checked here. " +
    "What you wrote in the answers still counts.";
  const NOT_RUN =
    "The check could not be run. Save with Ctrl+S and hand the sheet in as it is; the grading does not need this check.";

  /** The lines that fail: nbgrader shows each one's source, then the reason. */
  const failing = (message) => {
    const texts = [...message.querySelectorAll("pre")].map((pre) => pre.textContent.trim());
    return texts.flatMap((reason, i) => {
      const line = /^%check +(.*)/.exec(texts[i - 1])?.[1];
      if (i % 2 === 0 || !line) return [];
      return [reason.includes("Traceback") ? `${line}: could not be checked` : reason];
    });
  };

  /** nbgrader sees that the form's own sentence is gone, not whether another has come. */
  const nothingWritten = (notebook) =>
    notebook?.widgets?.some(
      (cell) => isWritten(cell) && ["", STUB].includes(cell.model.sharedModel.getSource().trim()),
    );

  const speakPlainly = (dialog, notebook) => {
    const message = dialog.querySelector("#validation-message");
    if (!message) return;
    const is = (result) => message.classList.contains(`validation-${result}`);
    const say = (...content) => message.replaceChildren(element("h2", TITLE), ...content);
    if (is("success") || is("failed")) {
      const lines = [...failing(message), ...(nothingWritten(notebook) ? [NOT_WRITTEN] : [])];
      const list = element("ul", "", lines.map((line) => element("li", line)));
      if (lines.length) say(element("p", NOT_READY), list);
      else say(element("p", READY));
    } else {
      // Whoever helps may want nbgrader's own words.
      const details = element("details", "", [element("summary", "Details"), ...message.childNodes]);
      say(element("p", is("changed") || is("type-changed") ? CHANGED : NOT_RUN), details);
    }
    // JupyterLab writes its title when it likes; the style sheet hides it.
    dialog.classList.add("coldcab-hand-in");
    dialog.setAttribute("aria-label", TITLE);
  };

  const listen = (shell) => {
    // JupyterLab hangs every dialog directly into the page's body.
    new MutationObserver((changes) => {
      const added = changes.flatMap((change) => [...change.addedNodes]);
      for (const node of added)
        if (node.querySelector) attempt(() => speakPlainly(node, shell.currentWidget?.content));
    }).observe(document.body, { childList: true });
  };

  // --- A start that is never lost --------------------------------------------------------------------------------

  const STARTING = ["notebook:run-all-cells", "notebook:run-cell"]; // behind "Start this lesson" and "Check this sheet"
  const LONGEST = 60_000; // ms that a kernel may take to come up
  const OFTEN = 200; // ms between two looks

  const kernel = (panel) => panel.sessionContext.session?.kernel;

  /** JupyterLab drops what is started before the page has a kernel, without a word. (What is started while the kernel is
      still being reached it keeps.) Start it again once the kernel is there. */
  const startLater = (app, id) => {
    const panel = app.shell.currentWidget;
    if (!STARTING.includes(id) || !panel?.sessionContext || panel.coldcabWaits || kernel(panel)) return;
    panel.coldcabWaits = true;
    panel.node.classList.add("coldcab-waits");
    const until = Date.now() + LONGEST;
    const look = () => {
      if (!kernel(panel) && Date.now() < until && !panel.isDisposed) return setTimeout(look, OFTEN);
      panel.coldcabWaits = false;
      panel.node.classList.remove("coldcab-waits");
      if (kernel(panel) && app.shell.currentWidget === panel) attempt(() => app.commands.execute(id));
    };
    setTimeout(look, OFTEN);
  };

  // --- What JupyterLab asks for ----------------------------------------------------------------------------------

  const here = document.currentScript?.src;

  const plugin = {
    id: "coldcab:aids",
    description: "Names, written answers, narrow windows and plain words for the pages of the course",
    autoStart: true,
    activate: (app) => {
      if (here) document.head.append(Object.assign(element("link"), { rel: "stylesheet", href: new URL("style.css", here) }));
      attempt(() => app.docRegistry.addWidgetExtension("Notebook", { createNew: (panel) => attempt(() => watch(panel)) }));
      attempt(() => app.restored.then(() => attempt(() => makeRoom(app.shell))));
      attempt(() => listen(app.shell));
      attempt(() => app.commands.commandExecuted.connect((_, { id }) => attempt(() => startLater(app, id))));
    },
  };

  window._JUPYTERLAB = window._JUPYTERLAB || {};
  window._JUPYTERLAB.coldcab = {
    init: () => {},
    get: async () => () => ({ __esModule: true, default: [plugin] }),
  };
})();
