/* Room for the page on a phone. */
import { attempt, element, style } from "./common.js";

const NARROW = 700; // px; below it the list of files leaves no room for the page

/** A button in place of JupyterLab's sign opens the list of files and closes it. */
const listButton = (shell) => {
  const button = Object.assign(element("button", "☰"), { className: "coldcab-files", title: "Files" });
  button.setAttribute("aria-label", "Files");
  button.addEventListener("click", () => {
    if (shell.leftCollapsed) shell.activateById("filebrowser");
    else shell.collapseLeft();
  });
  document.querySelector("#jp-MainLogo")?.replaceChildren(button);
};

/** Once, at the start: whoever opens the list of files afterwards wants it open. */
const makeRoom = (shell) => {
  if (window.innerWidth >= NARROW) return;
  shell.collapseLeft();
  // Their strips would take a fifth of a phone's width.
  for (const side of ["left", "right"]) if (shell.isSideTabBarVisible(side)) shell.toggleSideTabBarVisibility(side);
  listButton(shell);
};

export default {
  name: "narrow",
  activate: (app) => {
    style(import.meta.url);
    app.restored.then(() => attempt(() => makeRoom(app.shell)));
  },
};
