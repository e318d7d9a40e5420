"use strict";
// Keeps ticks and typed readings: in this browser as they are made, and in the file itself when it is saved again.
(() => {
  document.documentElement.classList.add("live"); // without this program there is nothing to press
  const kept = [...document.querySelectorAll("[data-keep]")];
  const drawer = "coldcab plan " + document.title + " " + location.pathname;
  const said = document.querySelector("[data-said]");
  const tell = (words) => { said.textContent = words; };
  const next = () => {
    const open = kept.find((one) => one.type === "checkbox" && !one.checked);
    document.querySelector("[data-next]").textContent = open ? open.dataset.what : "All done: read the verdict and sign.";
  };
  const into_page = () => {
    for (const one of kept) {
      if (one.type === "checkbox") one.toggleAttribute("checked", one.checked);
      else one.setAttribute("value", one.value);
    }
  };
  const keep = () => {
    next();
    const all = Object.fromEntries(kept.map((one) => [one.dataset.keep, one.type === "checkbox" ? one.checked : one.value]));
    try { localStorage.setItem(drawer, JSON.stringify(all)); tell("Kept in this browser."); }
    catch { tell("This browser keeps nothing: save the page before you close it."); }
  };
  try {
    const all = JSON.parse(localStorage.getItem(drawer) || "{}");
    for (const one of kept) if (one.dataset.keep in all) {
      if (one.type === "checkbox") one.checked = all[one.dataset.keep];
      else one.value = all[one.dataset.keep];
    }
  } catch { tell("This browser keeps nothing: save the page before you close it."); }
  document.addEventListener("input", keep);
  document.querySelector("[data-save]").addEventListener("click", () => {
    into_page();
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob(["<!DOCTYPE html>\n" + document.documentElement.outerHTML], { type: "text/html" }));
    link.download = (document.title.replace(/[^\p{L}\p{N}]+/gu, "-") || "job") + ".html";
    link.click();
    tell("Saved with your downloads: " + link.download);
  });
  next();
})();
