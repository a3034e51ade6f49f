// A scanner ends each scan with Enter. In a form that is scanned, Enter goes to the next empty
// field, and sends the form from the last one. The label of another SKU, scanned where a date code
// is wanted, sends it at once: it is the next tyre.
(function () {
  "use strict";

  function fieldsOf(form) {
    return Array.from(form.querySelectorAll("input, select")).filter(function (field) {
      return field.type !== "hidden" && field.type !== "checkbox" && field.offsetParent !== null;
    });
  }

  // An article number is a long row of figures, and a date code is no longer than four; GS1 data
  // begin with their symbol's prefix, with the number of the article, or with an address.
  function isNextTyre(form, text) {
    const known = (form.dataset.skus || "").split("|");
    const plain = text.trim().toLowerCase();
    const article = /^([0-9]{8,14}$|\][a-z][0-9a-z]|\(01\)|01[0-9]{14}|https?:)/.test(plain);
    return article || (plain !== "" && known.includes(plain));
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

  document.querySelectorAll("form[data-scanned]").forEach(function (form) {
    form.addEventListener("keydown", onEnter);
  });
})();
