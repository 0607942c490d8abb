/* What htmx cannot know: the board does not refresh while nobody looks at it, a page that took the
   board's place (signing in) is opened instead of pasted in, and trouble is said. */
(function () {
  "use strict";
  const live = document.getElementById("board-live");
  const trouble = document.getElementById("board-trouble");
  if (!live || !trouble) return;
  live.addEventListener("htmx:beforeRequest", function (event) {
    if (document.hidden) event.preventDefault();
  });
  live.addEventListener("htmx:beforeSwap", function (event) {
    const answer = event.detail.xhr;
    if (answer.status === 200 && answer.getResponseHeader("X-Board") !== "live") {
      event.detail.shouldSwap = false;
      window.location.reload();
    }
  });
  live.addEventListener("htmx:afterSwap", function () { trouble.hidden = true; });
  ["htmx:sendError", "htmx:responseError", "htmx:timeout"].forEach(function (name) {
    live.addEventListener(name, function () { trouble.hidden = false; });
  });
})();
