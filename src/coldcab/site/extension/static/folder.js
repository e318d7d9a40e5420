/* The learner's folder, in this browser's storage: pages that were saved are JupyterLite's contents; what the kernel
   writes (the id, progress, copies for handing in) lies beside them by its path. The kernel works on a copy in its memory;
   whatever either side writes, the other is told. */

const PAGES = "coldcab: pages"; // which pages were saved here
const CHANNEL = "coldcab"; // as the kernel's side has it
export const TAB = Math.random().toString(36).slice(2); // which of this browser's tabs this is
const STORE = "files";
const PAGE = /^(?!\.)(?!hand-in\/earlier\/).*\.ipynb$/; // what lies where pages lie
const told = []; // who wants to hear of the kernel's stages and files
const held = new Map(); // what the browser would not keep, by its path; for this visit
const refusals = new Set(); // who wants to hear of that

export const bytes = (base64) => Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));

export const asBase64 = (text) => {
  const array = new TextEncoder().encode(text);
  let letters = "";
  for (let i = 0; i < array.length; i += 8192) letters += String.fromCharCode(...array.subarray(i, i + 8192));
  return btoa(letters);
};

// --- The kernel's files ------------------------------------------------------------------------------------------

const asked = (request) =>
  new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });

let database;

const store = async (mode) => {
  if (!database) {
    const request = indexedDB.open("coldcab: folder", 1);
    request.onupgradeneeded = () => request.result.createObjectStore(STORE);
    database = asked(request);
  }
  return (await database).transaction(STORE, mode).objectStore(STORE);
};

const keep = async (path, data) => {
  try {
    await asked((await store("readwrite")).put(data, path));
    held.delete(path);
  } catch (error) {
    console.info("coldcab:", error);
    held.set(path, data);
    refused();
  }
};

const kept = async () => {
  const place = await store("readonly");
  const [names, data] = await Promise.all([asked(place.getAllKeys()), asked(place.getAll())]);
  return Object.fromEntries(names.map((name, i) => [name, data[i]]));
};

const files = async () => ({ ...(await kept().catch(() => ({}))), ...Object.fromEntries(held) });

const refused = () => refusals.forEach((listener) => listener());

/** Hear of it when the browser would not keep something; returns what ends it. */
export const onRefusal = (listener) => {
  refusals.add(listener);
  return () => refusals.delete(listener);
};

// --- Pages -------------------------------------------------------------------------------------------------------

let seen = []; // the same for this visit, for a browser that keeps nothing

const pages = () => {
  try {
    return JSON.parse(localStorage.getItem(PAGES)) ?? seen;
  } catch {
    return seen;
  }
};

const remember = (changed) => {
  seen = [...changed];
  try {
    localStorage.setItem(PAGES, JSON.stringify([...changed].sort()));
  } catch (error) {
    console.info("coldcab:", error);
  }
};

/** A page as the kernel takes it, or null where it is gone. */
const page = async (contents, path) => {
  try {
    return asBase64(JSON.stringify((await contents.get(path, { content: true })).content, null, 1));
  } catch {
    return null;
  }
};

// --- Both --------------------------------------------------------------------------------------------------------

/** Everything that is kept, by its path, in base64. */
export const everything = async (contents) => {
  const found = await files();
  for (const path of pages()) {
    const data = await page(contents, path);
    if (data !== null) found[path] = data;
  }
  return found;
};

/** Keep a file: one that the kernel wrote, or that a copy brings back. */
export const put = async (contents, path, data) => {
  if (!PAGE.test(path)) return keep(path, data);
  const content = JSON.parse(new TextDecoder().decode(bytes(data)));
  await contents.save(path, { name: path.split("/").pop(), type: "notebook", format: "json", content });
};

/** Hear of what the kernel says: `{ stage }` while it starts, `{ path, content }` for each file that it wrote. */
export const onKernel = (listener) => told.push(listener);

/** Give an open notebook's file to the browser's downloads, or whatever else the kernel made to be taken away. */
export const download = (name, data, type = "application/octet-stream") => {
  const address = URL.createObjectURL(new Blob([data], { type }));
  const link = Object.assign(document.createElement("a"), { href: address, download: name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
};

export default {
  name: "folder",
  activate: (app) => {
    const { contents } = app.serviceManager;
    new BroadcastChannel(CHANNEL).addEventListener("message", ({ data }) => {
      const said = JSON.parse(data);
      if (said.tab && said.tab !== TAB) return; // its own page takes it
      if (said.path) put(contents, said.path, said.content).catch((error) => console.info("coldcab:", error));
      for (const listener of told) listener(said);
    });
    contents.fileChanged.connect((_, { type, oldValue, newValue }) => {
      const known = new Set(pages());
      if (type === "delete" || type === "rename") known.delete(oldValue?.path);
      if (type !== "delete" && newValue?.path?.endsWith(".ipynb")) known.add(newValue.path);
      remember(known);
    });
  },
};
