/* Validate stands where a graded sheet is open, and speaks plain words. */
import { attempt, element, style } from "./common.js";
import { isSheet } from "./hand_in.js";
import { nothingWritten } from "./written.js";

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

const speakPlainly = (dialog, notebook) => {
  const message = dialog.querySelector("#validation-message");
  if (!message) return;
  const is = (result) => message.classList.contains(`validation-${result}`);
  const say = (...content) => message.replaceChildren(element("h2", TITLE), ...content);
  if (is("success") || is("failed")) {
    // nbgrader sees that the form's own sentence is gone, not whether another has come.
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

/** The style sheet hides the button on every other page: there is nothing there to validate. */
const seen = async (app) => {
  const panel = app.shell.currentWidget;
  await panel?.context?.ready;
  if (app.shell.currentWidget !== panel) return;
  document.body.classList.toggle("coldcab-graded", Boolean(panel?.content?.widgets && isSheet(panel)));
};

export default {
  name: "validate",
  activate: (app) => {
    style(import.meta.url);
    listen(app.shell);
    const look = () => seen(app).catch((error) => console.info("coldcab:", error));
    app.shell.currentChanged?.connect(look);
    app.restored.then(look);
  },
};
