/* Hand in: a button below every graded sheet. It saves, has the kernel make the named copy, and says where that lies. */
import { attempt, element, onPages, style } from "./common.js";
import { checkAll } from "./sheet.js";

const SHEET = /^%sheet +/m;
const CALL = "__import__('coldcab.desk.hand_in', fromlist=['hand_in']).hand_in";
const LONGEST = 60_000; // ms that a kernel may take to come up
const OFTEN = 200;

const INTRO = "The sheet is ready? Hand in saves it and makes the copy for your instructor.";
const WORKING = "Saving, and making the copy ...";
const NOT_SAVED = "The sheet could not be saved, so nothing was handed in. Save it with Ctrl+S and try again.";
const NO_KERNEL = "The course did not answer. Press “Start this lesson” above the page, then Hand in again.";

/** Whether a page is a graded sheet. */
export const isSheet = (panel) =>
  panel.content.widgets.some((cell) => cell.model.type === "code" && SHEET.test(cell.model.sharedModel.getSource()));

const wait = (milliseconds) => new Promise((done) => setTimeout(done, milliseconds));

/** The page's kernel, also where it is still coming up. */
const kernelOf = async (panel) => {
  const until = Date.now() + LONGEST;
  while (!panel.sessionContext.session?.kernel && Date.now() < until && !panel.isDisposed) await wait(OFTEN);
  return panel.sessionContext.session?.kernel;
};

/** Ask the kernel; what it says is data, never shown as HTML. */
const handIn = async (panel) => {
  const kernel = await kernelOf(panel);
  const future = kernel.requestExecute({
    code: "",
    silent: true,
    store_history: false,
    user_expressions: { said: `${CALL}(${JSON.stringify(panel.context.path)})` },
  });
  const reply = await future.done;
  return reply.content.user_expressions.said.data["application/json"];
};

const list = (title, lines) =>
  lines.length ? [element("p", title), element("ul", "", lines.map((line) => element("li", line)))] : [];

const resolve = (from, to) => decodeURI(new URL(encodeURI(to), `http://here/${encodeURI(from)}`).pathname.slice(1));

/** Where the folder is not one of this computer's (a course in the browser), the copy must come out as a file. */
const download = async (app, path, name) => {
  const { content } = await app.serviceManager.contents.get(path, { content: true, format: "json", type: "notebook" });
  const file = new Blob([`${JSON.stringify(content, null, 1)}\n`], { type: "application/x-ipynb+json" });
  const link = Object.assign(element("a"), { href: URL.createObjectURL(file), download: name });
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 1000);
};

const show = (app, panel, place, made) => {
  const parts = [
    element("h3", made.title),
    ...made.said.map((words) => element("p", words)),
    ...list("Still blank:", made.blank),
    ...list("Not read, or not clear yet:", made.unread),
    ...(made.next ? [element("p", made.next)] : []),
  ];
  if (made.path) {
    const button = Object.assign(element("button", "Download the copy"), { className: "jp-mod-styled", type: "button" });
    const path = resolve(panel.context.path, made.path);
    button.addEventListener("click", () => download(app, path, made.name).catch((error) => console.info(error)));
    parts.push(button);
  }
  place.replaceChildren(...parts);
  place.scrollIntoView?.({ block: "nearest" });
};

const press = async (app, panel, place) => {
  place.replaceChildren(element("p", WORKING));
  await checkAll(panel).catch(() => {}); // so that the lines above do not call blank what is filled in
  try {
    await panel.context.save();
  } catch {
    return place.replaceChildren(element("p", NOT_SAVED));
  }
  if (panel.context.model.dirty) return place.replaceChildren(element("p", NOT_SAVED));
  const made = await handIn(panel).catch(() => undefined);
  if (made) show(app, panel, place, made);
  else place.replaceChildren(element("p", NO_KERNEL));
};

const addBar = (app, panel) => {
  // In the last cell: a notebook takes the cursor away from what stands in none.
  const last = panel.content.widgets.at(-1)?.node;
  if (!last || !isSheet(panel) || panel.node.querySelector(".coldcab-hand-in-bar")) return;
  const button = Object.assign(element("button", "Hand in"), { className: "jp-mod-styled jp-mod-accept", type: "button" });
  const place = element("div");
  place.setAttribute("role", "status");
  button.addEventListener("click", async () => {
    if (button.disabled) return;
    button.disabled = true;
    await press(app, panel, place);
    button.disabled = false;
    button.focus();
  });
  const bar = element("section", "", [element("p", INTRO), button, place]);
  bar.className = "coldcab-hand-in-bar";
  bar.setAttribute("aria-label", "Hand in");
  bar.dataset.lmSuppressShortcuts = "true"; // Enter presses the button here, nothing else
  last.append(bar);
};

export default {
  name: "hand_in",
  activate: (app) => {
    style(import.meta.url);
    onPages(app, { settled: (panel) => attempt(() => addBar(app, panel)) });
  },
};
