// What htmx leaves to the page: saying that an answer did not come. Everything else works without this file.
"use strict";
(() => {
  const place = () => document.getElementById("trouble");
  const say = (text) => {
    const here = place();
    if (here) {
      here.textContent = text;
      here.hidden = false;
      here.scrollIntoView({ block: "nearest" });
    }
  };
  const read = (xhr) => {
    const found = new DOMParser().parseFromString(xhr.responseText || "", "text/html").querySelector("main .lead");
    return found ? found.textContent : `The pages answered with ${xhr.status}.`;
  };
  document.addEventListener("htmx:sendError", () =>
    say("The pages do not answer. What you typed still stands here: start ‘turnwright serve’ again on the same port, then press the button once more."));
  document.addEventListener("htmx:timeout", () => say("No answer came in time. What you typed still stands here."));
  document.addEventListener("htmx:responseError", (event) => say(read(event.detail.xhr)));
  document.addEventListener("htmx:afterSwap", () => {
    const here = place();
    if (here) {
      here.hidden = true;
      here.textContent = "";
    }
  });
})();
