"use strict";
// Sorting, the turn of the blades, values of marks, light and dark. Everything reads without this script.
(() => {
  const minus = (text) => text.replace("-", "−");
  const four = (value) => value === 0 ? "0" : minus(Math.abs(value) >= 1e-4 ? value.toPrecision(4) : value.toExponential(3));

  // Light and dark: the system's choice until the button is pressed.
  const theme = document.getElementById("theme");
  const dark = () =>
    (document.documentElement.dataset.theme || (matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light")) === "dark";
  const label = () => { theme.textContent = dark() ? "Light" : "Dark"; theme.setAttribute("aria-label", `Show the page ${dark() ? "light" : "dark"}`); };
  theme.hidden = false;
  theme.addEventListener("click", () => { document.documentElement.dataset.theme = dark() ? "light" : "dark"; label(); });
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", label);
  label();

  // Tables: a press sorts upwards, a second one downwards; numbers before words, empty cells last.
  const worth = (cell) => ("v" in cell.dataset ? Number(cell.dataset.v) : cell.textContent.trim());
  const compare = (a, b) => {
    const [x, y] = [worth(a), worth(b)];
    if (typeof x === typeof y) return typeof x === "number" ? x - y : x.localeCompare(y, "en", { numeric: true });
    return typeof x === "number" ? -1 : 1;
  };
  const empty = (cell) => !("v" in cell.dataset) && ["", "–"].includes(cell.textContent.trim());
  for (const button of document.querySelectorAll("table.sortable thead button")) {
    button.addEventListener("click", () => {
      const head = button.closest("th"), table = button.closest("table"), body = table.tBodies[0];
      const column = head.cellIndex, down = head.getAttribute("aria-sort") === "ascending";
      for (const other of table.tHead.rows[0].cells) other.setAttribute("aria-sort", "none");
      head.setAttribute("aria-sort", down ? "descending" : "ascending");
      const order = (a, b) => {
        const [x, y] = [a.cells[column], b.cells[column]];
        if (empty(x) || empty(y)) return empty(x) - empty(y);
        return down ? -compare(x, y) : compare(x, y);
      };
      body.append(...[...body.rows].sort(order));
    });
  }

  // Marks of a chart: arrow keys walk through them once the chart has the focus, their value stands below.
  for (const svg of document.querySelectorAll("figure.chart svg[tabindex]")) {
    const marks = [...svg.querySelectorAll("title")].map((title) => title.parentNode);
    if (!marks.length) continue;
    const readout = document.createElement("p");
    readout.className = "readout";
    readout.setAttribute("role", "status");
    svg.after(readout);
    let at = -1;
    const show = (mark) => {
      for (const other of marks) other.classList.remove("mark-on");
      if (mark) mark.classList.add("mark-on");
      readout.textContent = mark ? mark.querySelector("title").textContent : "";
    };
    svg.addEventListener("keydown", (event) => {
      const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
      if (!step) return;
      event.preventDefault();
      at = (at + step + marks.length) % marks.length;
      show(marks[at]);
    });
    svg.addEventListener("focus", () => { readout.textContent = "Arrow keys walk through the values."; });
    svg.addEventListener("blur", () => { at = -1; show(null); });
    svg.addEventListener("pointerover", (event) => {
      const mark = event.target.closest("[class]");
      if (mark && mark.querySelector(":scope > title")) readout.textContent = mark.querySelector("title").textContent;
    });
  }

  // The disk: the slider turns the blades.
  for (const turn of document.querySelectorAll(".turn")) {
    const data = JSON.parse(turn.querySelector("script").textContent);
    const slider = turn.querySelector("input"), output = turn.querySelector("output");
    const blades = [...turn.querySelectorAll("g.blade")], lines = [...turn.querySelectorAll("svg.along path.line")];
    const count = data.angles[0].length, degrees = Number(slider.dataset.degrees);
    const [left, right, top, bottom] = data.axes, [cx, cy] = data.centre;
    const angle = (station, place) => {
      const from = Math.floor(place), share = place - from, ring = data.angles[station];
      const [a, b] = [ring[((from % count) + count) % count], ring[(((from + 1) % count) + count) % count]];
      return a === null || b === null ? NaN : (a * (1 - share) + b * share) / 100;
    };
    const show = () => {
      const step = Number(slider.value), psi = step * degrees;
      output.textContent = `${Number(psi.toFixed(1))}°`;
      slider.setAttribute("aria-valuetext", `${Number(psi.toFixed(1))} degrees`);
      blades.forEach((blade, k) => {
        blade.setAttribute("transform", `rotate(${data.sense * (psi + data.ahead[k])} ${cx} ${cy})`);
        let pen = "M";
        const path = data.radii.map((radius, station) => {
          const value = angle(station, step + (count * data.ahead[k]) / 360);
          if (Number.isNaN(value)) { pen = "M"; return ""; }
          const x = left + radius * (right - left), y = bottom - ((value - data.low) / (data.high - data.low)) * (bottom - top);
          const point = `${pen}${x.toFixed(1)} ${y.toFixed(1)}`;
          pen = "L";
          return point;
        });
        lines[k].setAttribute("d", path.join(""));
      });
      for (const cell of turn.querySelectorAll("[data-load]")) cell.textContent = four(data.loads[cell.dataset.load][step]);
    };
    slider.addEventListener("input", show);
    show();

    const map = turn.querySelector("svg.diskmap"), words = turn.querySelector("[data-hover]"), usual = words.textContent;
    map.addEventListener("pointermove", (event) => {
      const box = map.getBoundingClientRect(), view = map.viewBox.baseVal;
      const x = ((event.clientX - box.left) / box.width) * view.width - cx, y = ((event.clientY - box.top) / box.height) * view.height - cy;
      const ratio = Math.hypot(x, y) / data.radius;
      if (ratio > 1 || ratio < data.root) { words.textContent = usual; return; }
      const psi = ((Math.atan2(data.sense * x, -y) * 180) / Math.PI + 360) % 360;
      const outer = Math.min(Math.max(data.radii.findIndex((r) => r >= ratio), 0) || (ratio > data.radii[0] ? data.radii.length - 1 : 0), data.radii.length - 1);
      const inner = Math.max(outer - 1, 0), span = data.radii[outer] - data.radii[inner];
      const share = span > 0 ? Math.min(Math.max((ratio - data.radii[inner]) / span, 0), 1) : 0;
      const value = angle(inner, psi / degrees) * (1 - share) + angle(outer, psi / degrees) * share;
      words.textContent = `${minus(value.toFixed(2))}° at azimuth ${psi.toFixed(0)}°, ${ratio.toFixed(2)} of the tip radius`;
    });
    map.addEventListener("pointerleave", () => { words.textContent = usual; });
  }

  // On paper everything is open.
  addEventListener("beforeprint", () => { for (const details of document.querySelectorAll("details")) details.open = true; });
})();
