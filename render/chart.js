"use strict";
/* Hands each chart's option, which stands beside it as inert JSON, to the
   chart library. Colours are custom properties of the page, so that dark mode
   and paper need no second drawing. Without the library the table below each
   chart serves alone. */
(function () {
  if (typeof echarts === "undefined") return;
  /* Settings that a chart does not give are those of the page's first. */
  var first = "{}";
  document.querySelectorAll("script[data-chart]").forEach(function (data, i) {
    var box = document.getElementById(data.getAttribute("data-chart"));
    if (i === 0) first = data.textContent;
    if (!box) return;
    var option = Object.assign(JSON.parse(first), JSON.parse(data.textContent));
    option.animation = false;
    /* Errors carry their sign, with the minus that the table has. */
    option.yAxis.forEach(function (axis) {
      if (box.classList.contains("class-chart")) return; /* counts have no sign */
      axis.axisLabel.formatter = function (v) {
        var size = String(Math.abs(Math.round(v * 1000) / 1000));
        return v > 0 ? "+" + size : v < 0 ? "\u2212" + size : "0";
      };
    });
    box.setAttribute("data-drawn", "yes");
    var height = Number(box.getAttribute("data-height")) || 300;
    echarts.init(box, null, { renderer: "svg", width: 640, height: height }).setOption(option);
    var svg = box.querySelector("svg");
    if (!svg) { box.removeAttribute("data-drawn"); return; }
    svg.setAttribute("viewBox", "0 0 640 " + height);
    svg.setAttribute("aria-hidden", "true");
    /* The library gives its own box a fixed size, which would not shrink. */
    for (var e = svg.parentElement; e && e !== box; e = e.parentElement) {
      e.style.width = "100%"; e.style.height = "100%";
    }
    svg.removeAttribute("width"); svg.removeAttribute("height");
    svg.style.width = "100%"; svg.style.height = "100%";
  });
})();
