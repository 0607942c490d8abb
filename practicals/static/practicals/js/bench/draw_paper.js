// Redraws the paper beside the form as one types. Without this script the drawing follows each save.
// The places come from the same sums as calculations/drawing.py; only attributes are set.
"use strict";

(function () {
  const form = document.querySelector("form[data-readings]");
  const svg = document.querySelector("svg.paper-drawing[data-height]");
  if (!form || !svg) { return; }

  const SVG = "http://www.w3.org/2000/svg";
  const TO_MM = { mm: 1, cm: 10, m: 1000 };
  const OUTSIDE = 4;
  const width = Number(svg.dataset.width);
  const height = Number(svg.dataset.height);
  const lanes = [...svg.querySelectorAll("[data-lane]")].map((tick) => ({ number: tick.dataset.lane, x: Number(tick.dataset.x) }));
  const pitch = lanes.length ? width / lanes.length : width;
  const parts = { origins: svg.querySelector(".origins"), fronts: svg.querySelector(".fronts"), spots: svg.querySelector(".spots"), scales: svg.querySelector(".scales") };
  const drawnZero = Number(svg.querySelector("[data-zero]")?.dataset.zero ?? height);
  const drawnOrigin = Number(parts.origins.querySelector(".origin").getAttribute("d").split(/[ h]/)[1]);
  // With the ruler's zero on the origin line, that line is where it was planned.
  const planned = Number(form.dataset.plannedOrigin);

  function unit() {
    return form.querySelector("input[name=unit]:checked")?.value || "mm";
  }

  // Reads "34,5", "3.45 cm" or "-2"; anything else is left to the server, which says what is wrong.
  function millimetres(name) {
    const field = form.elements.namedItem(name);
    const found = /^\s*([+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+))\s*(mm|cm|m)?\s*$/.exec(field ? field.value : "");
    return found ? Number(found[1].replace(",", ".")) * TO_MM[found[2] || unit()] : null;
  }

  function part(parent, name, attributes) {
    const node = document.createElementNS(SVG, name);
    for (const [key, value] of Object.entries(attributes)) { node.setAttribute(key, value); }
    parent.append(node);
    return node;
  }

  function places() {
    const origin = millimetres("origin");
    const zero = origin !== null && origin > 0 ? height : height - planned;
    return { origin, zero, y: (reading) => Math.min(Math.max(zero - reading, -OUTSIDE), height + OUTSIDE) };
  }

  function drawFronts(at) {
    parts.fronts.replaceChildren();
    const draw = (reading, left, right) => reading !== null && part(parts.fronts, "path", {
      class: "front", d: `M${left} ${at.y(reading)}H${right}`, fill: "none", stroke: "#000", "stroke-width": "0.35",
    });
    draw(millimetres("front"), 0, width);
    for (const lane of lanes) { draw(millimetres(`l${lane.number}_front`), lane.x - pitch / 2, lane.x + pitch / 2); }
  }

  function drawSpot(at, lane, name) {
    const leading = millimetres(`${name}leading`);
    const trailing = millimetres(`${name}trailing`);
    const both = leading !== null && trailing !== null;
    const centre = millimetres(`${name}centre`) ?? (both ? (leading + trailing) / 2 : null);
    if (centre === null) { return; }
    const tall = both ? Math.max(1, Math.abs(leading - trailing) / 2) : 2.5;
    const group = part(parts.spots, "g", { transform: `translate(${lane.x} ${at.y(centre)})` });
    part(group, "ellipse", {
      class: "spot", rx: Math.min(tall, pitch * 0.4, 5), ry: Math.min(tall, height / 2), fill: "#000", "fill-opacity": "0.28",
    });
    part(group, "path", { class: "centre", d: "M-1.5 0h3M0 -1.5v3", fill: "none", stroke: "#000", "stroke-width": "0.2" });
  }

  function draw() {
    const at = places();
    parts.scales.setAttribute("transform", `translate(0 ${at.zero - drawnZero})`);
    parts.origins.setAttribute("transform", `translate(0 ${at.y(at.origin ?? 0) - drawnOrigin})`);
    drawFronts(at);
    parts.spots.replaceChildren();
    for (const lane of lanes) {
      for (let spot = 1; form.elements.namedItem(`l${lane.number}_s${spot}_centre`); spot += 1) {
        drawSpot(at, lane, `l${lane.number}_s${spot}_`);
      }
    }
    svg.querySelector("title").textContent = `The paper as typed: ${parts.spots.childElementCount} spots, ${parts.fronts.childElementCount ? "with a" : "without a"} solvent front.`;
  }

  function notSavedYet() {
    const state = form.querySelector("[data-saved]");
    if (!state || state.classList.contains("is-waiting")) { return; }
    state.classList.replace("is-saved", "is-waiting") || state.classList.add("is-waiting");
    state.textContent = state.dataset.unsaved;
  }

  form.addEventListener("input", (event) => {
    if (event.target.name === "unit") {
      for (const word of form.querySelectorAll("[data-unit]")) { word.textContent = unit(); }
    }
    draw();
    notSavedYet();
  });
})();
