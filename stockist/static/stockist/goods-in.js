// A scanner ends each scan with Enter. In a form that is scanned, Enter goes to the next empty
// field, and sends the form from the last one. The label of another SKU, scanned where a date code
// is wanted, sends it at once: it is the next tyre. A scan that was wrong is heard as well as read.
(function () {
  "use strict";

  function fieldsOf(form) {
    return Array.from(form.querySelectorAll("input, select")).filter(function (field) {
      return field.type !== "hidden" && field.type !== "checkbox" && field.offsetParent !== null;
    });
  }

  // An article number is a long row of figures; a date code is no longer than four.
  function isNextTyre(form, text) {
    const known = (form.dataset.skus || "").split("|");
    const plain = text.trim().toLowerCase();
    return /^[0-9]{8,14}$/.test(plain) || (plain !== "" && known.includes(plain));
  }

  function onEnter(event) {
    if (event.key !== "Enter" || event.target.tagName !== "INPUT") {
      return;
    }
    if (event.target.name === "date_code" && isNextTyre(event.currentTarget, event.target.value)) {
      return;
    }
    const fields = fieldsOf(event.currentTarget);
    const rest = fields.slice(fields.indexOf(event.target) + 1);
    const next = rest.find(function (field) {
      return field.value === "" && field.hasAttribute("data-wanted");
    });
    if (next) {
      event.preventDefault();
      next.focus();
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

  document.querySelectorAll("form[data-scanned]").forEach(function (form) {
    form.addEventListener("keydown", onEnter);
  });
  if (document.querySelector("[data-sound='wrong']")) {
    sound();
  }
})();
