/* The written answer: a box that opens at one touch, for mouse, thumb and keys. What was typed stays as it was typed: Enter
   begins a line, and writes neither a number nor a dash of a list. */
import { attempt, onPages, setTo, style } from "./common.js";

export const STUB = "*Write your answer here.*"; // as the released forms have it

export const isWritten = (cell) =>
  cell.model.type === "markdown" && cell.model.getMetadata("nbgrader")?.solution === true;

/** Whether nothing has been written in one of a page's written answers; the form's own sentence is none. */
export const nothingWritten = (notebook) =>
  Boolean(
    notebook?.widgets?.some((cell) => isWritten(cell) && ["", STUB].includes(cell.model.sharedModel.getSource().trim())),
  );

const beginLine = (cell, event) => {
  const plain = !(event.shiftKey || event.ctrlKey || event.altKey || event.metaKey || event.isComposing);
  if (event.key !== "Enter" || !plain || !event.target.closest(".cm-content")) return;
  event.preventDefault();
  event.stopPropagation(); // the editor would go on with a list
  const view = cell.editor.editor;
  view.dispatch(view.state.replaceSelection("\n"), { scrollIntoView: true });
};

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
  cell.node.addEventListener("keydown", (event) => attempt(() => beginLine(cell, event)), true);
  cell.node.addEventListener("click", (event) => {
    const inText = event.target.closest(".jp-MarkdownOutput") && !event.target.closest("a");
    // Someone who drags over the words wants to copy them.
    if (inText && window.getSelection().isCollapsed) attempt(() => openAnswer(notebook, cell));
  });
};

const tend = (panel) => {
  for (const cell of panel.content.widgets) {
    if (!isWritten(cell)) continue;
    prepareAnswer(panel.content, cell);
    const editor = cell.node.querySelector(".cm-content");
    if (editor) setTo(editor, "aria-label", "Your written answer");
  }
};

export default {
  name: "written",
  activate: (app) => {
    style(import.meta.url);
    onPages(app, { settled: tend });
  },
};
