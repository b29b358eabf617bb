/**
 * A screen that stays on while the page is seen: a painter's hands are full of paint.
 *
 * Where the browser has no such thing (an old one, or a page that does not come from this very
 * machine or by https) there is no switch, and nothing is said.
 */
import { h } from "./dom.js";

const KEY = "refmatch-awake";
const byTouch = matchMedia("(pointer: coarse)");
/** @type {WakeLockSentinel | null} */
let lock = null;

/** Keep the screen on as was chosen last time; without a choice, where fingers are the pointer. */
export function recallAwake() {
  if (!("wakeLock" in navigator)) return;
  document.addEventListener("visibilitychange", hold);
  hold();
}

/**
 * The switch; nothing where the browser cannot. `again` draws the header anew.
 *
 * @param {() => void} again
 */
export function awakeSwitch(again) {
  if (!("wakeLock" in navigator)) return null;
  const on = isWanted();
  return h("button", {
    key: "awake",
    type: "button",
    class: "awake",
    "aria-pressed": on,
    title: on ? "The screen stays on while this page is seen" : "The screen may go dark by itself",
    onclick: () => {
      localStorage.setItem(KEY, on ? "off" : "on");
      hold();
      again();
    },
  }, "Stay on");
}

function isWanted() {
  const kept = localStorage.getItem(KEY);
  return kept ? kept === "on" : byTouch.matches;
}

/** Ask for the lock or let it go; the browser itself lets go of it when the page is hidden. */
async function hold() {
  if (!isWanted()) {
    await lock?.release();
    lock = null;
  } else if (!document.hidden && (!lock || lock.released)) {
    lock = await navigator.wakeLock.request("screen").catch(() => null); // as with an empty battery
  }
}
