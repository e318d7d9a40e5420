/* How the pages look in a browser: the learner's own style sheet of JupyterLab, and what only this place needs. */

/** The page alone: lessons are reached from the first page, not from a list of files; no menus for programs. */
const alone = (shell) => {
  if (shell.mode !== "single-document") shell.mode = "single-document";
  shell.collapseLeft?.();
  shell._menuHandler?.panel?.hide(); // it has no public switch; its room stays where this fails
  for (const side of ["left", "right"]) {
    if (shell.isSideTabBarVisible?.(side)) shell.toggleSideTabBarVisibility(side);
  }
  if (shell.isTopInSimpleModeVisible?.()) shell.toggleTopInSimpleModeVisibility();
};

export default {
  name: "look",
  activate: (app) => {
    app.commands.addCommand("coldcab:home", {
      label: "All lessons",
      caption: "To the list of lessons",
      execute: () => app.commands.execute("docmanager:open", { path: "start-here.ipynb" }),
    });
    // JupyterLab asks for its launcher between two pages, and there is none here.
    const launcher = "launcher:create";
    if (!app.commands.hasCommand(launcher)) app.commands.addCommand(launcher, { execute: () => undefined });
    for (const name of ["custom.css", "look.css"]) {
      const href = new URL(name, import.meta.url);
      document.head.append(Object.assign(document.createElement("link"), { rel: "stylesheet", href }));
    }
    const always = () => alone(app.shell);
    // Once more a little later: JupyterLite sets its own mode when it has come up.
    app.restored.then(() => [0, 500, 2000].forEach((later) => setTimeout(always, later)));
    app.shell.currentChanged?.connect(always);
  },
};
