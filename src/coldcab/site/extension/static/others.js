/* The course in two tabs of one browser: each has a kernel of its own, and the last one to write would win unseen. */
import { notice, takeAway } from "./notices.js";

const CHANNEL = "coldcab: tabs";
const WORDS =
  "The course is open in another tab of this browser too. Work in one of them and close the other: what you write in " +
  "one is not seen in the other, and can be lost.";

export default {
  name: "others",
  activate: () => {
    const channel = new BroadcastChannel(CHANNEL);
    channel.addEventListener("message", ({ data }) => {
      if (data === "leaves") return takeAway("others");
      if (data === "comes") channel.postMessage("is here");
      notice("others", WORDS, { "I see": null });
    });
    channel.postMessage("comes");
    window.addEventListener("pagehide", () => channel.postMessage("leaves"));
  },
};
