/* What several aids need. */

const SETTLED = 120; // ms after the last change; an instrument has answered by then

/** Do something that JupyterLab's next release may break, and carry on without it. */
export const attempt = (work) => {
  try {
    return work();
  } catch (error) {
    console.info("coldcab:", error);
  }
};

/** Make an element with its text and its children. */
export const element = (tag, text = "", children = []) => {
  const made = Object.assign(document.createElement(tag), { textContent: text });
  made.append(...children);
  return made;
};

/** Set an attribute where it is not so already: every change of the page is looked at again. */
export const setTo = (node, attribute, text) => {
  if (text && node.getAttribute(attribute) !== text) node.setAttribute(attribute, text);
};

/** Bring the style sheet that lies beside a file: `style(import.meta.url)` in written.js brings written.css. */
export const style = (file) => {
  const href = file.replace(/\.js(?=$|\?)/, ".css");
  document.head.append(Object.assign(element("link"), { rel: "stylesheet", href }));
};

const watchers = [];

const watch = (panel) => {
  let timer;
  const observer = new MutationObserver((changes) => {
    for (const { changed } of watchers) if (changed) attempt(() => changed(panel, changes));
    clearTimeout(timer);
    timer = setTimeout(() => watchers.forEach(({ settled }) => attempt(() => settled(panel))), SETTLED);
  });
  observer.observe(panel.node, { childList: true, subtree: true, attributeFilter: ["aria-valuetext"] });
  panel.disposed.connect(() => observer.disconnect());
};

/** Call `settled(panel)` for every notebook page whenever it has come to rest after a change, and, where it is given,
    `changed(panel, changes)` at each change (nodes come and gone, what a slider says). */
export const onPages = (app, watcher) => {
  watchers.push(watcher);
  if (watchers.length > 1) return;
  app.docRegistry.addWidgetExtension("Notebook", { createNew: (panel) => attempt(() => watch(panel)) });
};
