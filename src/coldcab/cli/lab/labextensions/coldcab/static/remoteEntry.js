/* Small aids that JupyterLab's settings cannot give: one file a matter, beside this one.

   JupyterLab (and JupyterLite) loads this file as it stands, through the two functions at its end; nothing has to be
   built. An aid is a module `export default { name, activate: (app) => ... }`; to add one, write its file and name it
   in FILES (its style sheet, if it has one, has the same name; the learner's folder takes whatever lies here). Aids use
   what JupyterLab hands to every extension, no module of JupyterLab's. Where a later JupyterLab lacks something, that
   aid is missing and everything else works. */
(() => {
  "use strict";

  const FILES = [
    "controls", "pictures", "tables", "written", "sheet", "lines", "numbers", "narrow", "validate",
    "start", "desk", "tabs", "hand_in", "order",
  ];
  const here = document.currentScript.src;

  const plugin = ({ name, activate }) => ({
    id: `coldcab:${name}`,
    autoStart: true,
    activate: (app) => {
      try {
        activate(app);
      } catch (error) {
        console.info("coldcab:", error);
      }
    },
  });

  const plugins = async () => {
    const loaded = await Promise.allSettled(FILES.map((name) => import(new URL(`${name}.js`, here))));
    for (const { reason } of loaded) if (reason) console.info("coldcab:", reason);
    return loaded.filter(({ value }) => value).map(({ value }) => plugin(value.default));
  };

  window._JUPYTERLAB = window._JUPYTERLAB || {};
  window._JUPYTERLAB.coldcab = {
    init: () => {},
    get: async () => {
      const made = await plugins();
      return () => ({ __esModule: true, default: made });
    },
  };
})();
