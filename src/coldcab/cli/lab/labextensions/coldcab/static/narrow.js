/* Room for the page on a phone. */
import { attempt, style } from "./common.js";

const NARROW = 700; // px; below it the list of files leaves no room for the page

/** Once, at the start: whoever opens the list of files afterwards wants it open. */
const makeRoom = (shell) => {
  if (window.innerWidth >= NARROW) return;
  shell.collapseLeft();
  // Its strip is empty in this course and would take a tenth of a phone's width.
  if (shell.isSideTabBarVisible("right")) shell.toggleSideTabBarVisibility("right");
};

export default {
  name: "narrow",
  activate: (app) => {
    style(import.meta.url);
    app.restored.then(() => attempt(() => makeRoom(app.shell)));
  },
};
