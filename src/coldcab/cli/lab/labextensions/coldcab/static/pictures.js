/* A stored picture carries its words. */
import { onPages } from "./common.js";

/** A stored picture carries its text alternative beside it; JupyterLab does not hand it on. */
const describePictures = (cell) => {
  const outputs = cell.model.outputs;
  for (let i = 0; i < (outputs?.length ?? 0); i += 1) {
    const words = outputs.get(i).data["text/plain"];
    const picture = cell.outputArea.widgets[i]?.node.querySelector("img:not([alt])");
    if (picture && words) picture.alt = [words].flat().join("");
  }
};

export default {
  name: "pictures",
  activate: (app) => onPages(app, { settled: (panel) => panel.content.widgets.forEach(describePictures) }),
};
