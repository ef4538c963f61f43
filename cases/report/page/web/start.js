"use strict";
(data.study ? studyPage : data.runs ? comparison : report)();
// The width changes when a phone is turned or the page is printed.
let width = window.innerWidth;
window.addEventListener("resize", () => {
  if (window.innerWidth !== width) {
    width = window.innerWidth;
    redraw();
  }
});
document.documentElement.dataset.drawn = "yes";
