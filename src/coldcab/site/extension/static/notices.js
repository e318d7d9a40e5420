/* What the page has to say to its reader: strips at its foot, below each other so that none hides another. */

const place = Object.assign(document.createElement("div"), { id: "coldcab-notices" });

const strip = (name, role) => {
  const made = Object.assign(document.createElement("div"), { id: `coldcab-${name}` });
  made.setAttribute("role", role);
  place.append(made);
  if (!place.isConnected) document.body.append(place);
  return made;
};

/** Show words, in the place of what the strip of this name said; what it has buttons for goes when one is pressed. */
export const notice = (name, words, buttons = {}, role = "alert") => {
  const shown = document.getElementById(`coldcab-${name}`) ?? strip(name, role);
  const made = Object.entries(buttons).map(([label, act]) => {
    const button = Object.assign(document.createElement("button"), { textContent: label, type: "button" });
    button.addEventListener("click", () => {
      shown.remove();
      act?.();
    });
    return button;
  });
  shown.replaceChildren(words, ...made);
  return shown;
};

export const takeAway = (name) => document.getElementById(`coldcab-${name}`)?.remove();
