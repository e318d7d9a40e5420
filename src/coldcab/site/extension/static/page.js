/* What several files need of a page. */

/** Call `work(panel)` for every notebook page that is opened. */
export const onPages = (app, work) =>
  app.docRegistry.addWidgetExtension("Notebook", {
    createNew: (panel) => {
      Promise.resolve(work(panel)).catch((error) => console.info("coldcab:", error));
    },
  });
