/* The answer sheet. */
import { onPages, setTo } from "./common.js";

const SHEET = /^%%answers *(.*)/;

const nameSheet = (cell) => {
  const sheet = SHEET.exec(cell.model.sharedModel.getSource());
  const editor = cell.node.querySelector(".cm-content");
  if (editor && sheet) setTo(editor, "aria-label", `Answer sheet ${sheet[1]}`.trim());
};

export default {
  name: "sheet",
  activate: (app) => onPages(app, { settled: (panel) => panel.content.widgets.forEach(nameSheet) }),
};
