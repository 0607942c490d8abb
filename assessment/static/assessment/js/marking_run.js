/* The form works without this. Figures answer only while the focus is on the answers (WCAG 2.1.4), never
   while somebody types; boxes for references become buttons that write at the cursor. */
(function () {
  "use strict";
  const form = document.querySelector("form[data-marking-run]");
  if (!form) return;
  const comment = form.querySelector("textarea");
  const radios = form.querySelectorAll("input[type=radio]");
  const named = function (value) {
    return Array.from(radios).find(function (radio) { return radio.value === value; });
  };
  const tick = function (end) {
    const box = form.querySelector("input[name$='-" + end + "']");
    if (box) { box.checked = !box.checked; box.focus(); }
  };
  const keys = {
    "1": function () { const met = named("met"); met.checked = true; met.focus(); },
    "2": function () { const not = named("not yet met"); not.checked = true; not.focus(); },
    "3": function () { tick("valid"); },
    "4": function () { tick("sufficient"); },
    "5": function () { comment.focus(); },
  };
  form.addEventListener("keydown", function (event) {
    const answers = event.target.matches("input[type=radio], input[type=checkbox]");
    if (event.target === comment && event.key === "Enter" && (event.ctrlKey || event.metaKey)) {
      event.preventDefault();
      form.requestSubmit();
    } else if (answers && keys[event.key] && !event.ctrlKey && !event.altKey && !event.metaKey) {
      event.preventDefault();
      keys[event.key]();
    }
  });
  form.querySelectorAll(".references .choice").forEach(function (choice) {
    const box = choice.querySelector("input");
    const button = document.createElement("button");
    button.type = "button";
    button.className = "button-quiet";
    button.textContent = "Insert: " + choice.querySelector("label").textContent;
    button.addEventListener("click", function () {
      comment.setRangeText(box.value + ": ", comment.selectionStart, comment.selectionEnd, "end");
      comment.focus();
    });
    choice.replaceChildren(button);
  });
  const said = form.querySelector("[data-keys]");
  if (said) said.hidden = false;
})();
