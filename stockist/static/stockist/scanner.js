// What a keyboard-wedge scanner does that a keyboard does not, in every field that takes a scan.
// The separator of a GS1 symbol comes as Ctrl+], which types nothing: it is put in as U+001D. One
// that is spelled ^] is put in its place too. While a scan runs, other keys with Ctrl stay in the
// page: sent by a scanner they would open menus and windows. A scan that was wrong is heard.
(function () {
  "use strict";

  const SEPARATOR = "\u001d";
  const A_SCAN_RUNS = 60; // milliseconds between two keys: nobody types so fast
  let last = 0;

  function takesScans(field) {
    return field.matches && field.matches("[data-scan]");
  }

  function insert(field, text) {
    field.setRangeText(text, field.selectionStart, field.selectionEnd, "end");
    field.dispatchEvent(new Event("input", { bubbles: true }));
  }

  function onKey(event) {
    if (!takesScans(event.target)) {
      return;
    }
    const running = event.timeStamp - last < A_SCAN_RUNS;
    last = event.timeStamp;
    if (!event.ctrlKey || event.altKey || event.metaKey) {
      return;
    }
    if (event.code === "BracketRight" || event.key === "]" || event.key === SEPARATOR) {
      event.preventDefault();
      insert(event.target, SEPARATOR);
    } else if (running && event.key.length === 1) {
      event.preventDefault();
    }
  }

  function onInput(event) {
    if (takesScans(event.target) && event.target.value.includes("^]")) {
      event.target.value = event.target.value.replaceAll("^]", SEPARATOR);
    }
  }

  function sound() {
    const Context = window.AudioContext;
    if (!Context) {
      return;
    }
    const context = new Context();
    const tone = context.createOscillator();
    tone.type = "square";
    tone.frequency.value = 196;
    tone.connect(context.destination);
    tone.start();
    tone.stop(context.currentTime + 0.25);
  }

  document.addEventListener("keydown", onKey, true);
  document.addEventListener("input", onInput, true);
  if (document.querySelector("[data-sound='wrong']")) {
    sound();
  }
})();
