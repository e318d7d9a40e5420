/* What the course needs in a browser alone, one file a matter, beside this one. JupyterLite loads this file as it
   stands; nothing has to be built. As the course's other aids do, these use what JupyterLab hands to every extension. */
(() => {
  "use strict";

  const FILES = ["folder", "kernel", "editions", "saving", "copies", "others", "look"];
  const here = document.currentScript.src;

  const plugin = ({ name, activate }) => ({
    id: `coldcab-site:${name}`,
    autoStart: true,
    activate: (app) => {
      try {
        activate(app);
      } catch (error) {
        console.info("coldcab:", error);
      }
    },
  });

  window._JUPYTERLAB = window._JUPYTERLAB || {};
  window._JUPYTERLAB["coldcab-site"] = {
    init: () => {},
    get: async () => {
      const loaded = await Promise.all(FILES.map((name) => import(new URL(`${name}.js`, here))));
      const made = loaded.map((module) => plugin(module.default));
      return () => ({ __esModule: true, default: made });
    },
  };
})();
