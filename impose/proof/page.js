"use strict";
(() => {
  const view = document.getElementById("view");
  const svg = view.querySelector("svg");
  const told = document.getElementById("told");
  const pick = document.getElementById("pick");
  const data = JSON.parse(document.getElementById("data").textContent);
  const stations = data.stations;
  window.proof = { view, svg, data };
  const byID = new Map(stations.map((s) => [s.id, s]));
  const face = document.getElementById("face"); // what is mirrored across for the printed face
  const whole = svg.getAttribute("viewBox").split(" ").map(Number);
  let box = [...whole]; // what is seen, in mm: left, top, width, height

  const show = () => svg.setAttribute("viewBox", box.join(" "));
  const scale = () => Math.max(box[2] / view.clientWidth, box[3] / view.clientHeight); // mm in a pixel

  // zoom keeps the point at x, y (of 0 to 1 within the view) where it is.
  const zoom = (factor, x = 0.5, y = 0.5) => {
    const width = Math.min(whole[2] * 2, Math.max(2, box[2] * factor));
    const f = width / box[2];
    box[0] += box[2] * x * (1 - f);
    box[1] += box[3] * y * (1 - f);
    box[2] *= f;
    box[3] *= f;
    show();
  };
  const move = (dx, dy) => { box[0] += dx; box[1] += dy; show(); };
  const all = () => { box = [...whole]; show(); };

  document.getElementById("in").addEventListener("click", () => zoom(0.7));
  document.getElementById("out").addEventListener("click", () => zoom(1 / 0.7));
  document.getElementById("all").addEventListener("click", all);
  view.addEventListener("wheel", (e) => {
    e.preventDefault();
    const r = view.getBoundingClientRect();
    zoom(e.deltaY < 0 ? 0.85 : 1 / 0.85, (e.clientX - r.left) / r.width, (e.clientY - r.top) / r.height);
  }, { passive: false });
  view.addEventListener("keydown", (e) => {
    const step = { ArrowLeft: [-0.1, 0], ArrowRight: [0.1, 0], ArrowUp: [0, -0.1], ArrowDown: [0, 0.1] }[e.key];
    if (step) move(step[0] * box[2], step[1] * box[3]);
    else if (e.key === "+" || e.key === "=") zoom(0.7);
    else if (e.key === "-") zoom(1 / 0.7);
    else if (e.key === "0") all();
    else return;
    e.preventDefault();
  });

  let from = null;
  view.addEventListener("pointerdown", (e) => { from = [e.clientX, e.clientY]; view.setPointerCapture(e.pointerId); view.classList.add("moving"); });
  view.addEventListener("pointermove", (e) => {
    if (from) {
      const s = scale();
      move((from[0] - e.clientX) * s, (from[1] - e.clientY) * s);
      from = [e.clientX, e.clientY];
      return;
    }
    const g = document.elementFromPoint(e.clientX, e.clientY)?.closest(".station");
    if (g) tell(g.id);
  });
  for (const end of ["pointerup", "pointercancel"]) {
    view.addEventListener(end, () => { from = null; view.classList.remove("moving"); });
  }

  // tell says what stands on a station, and frames it.
  const frame = document.createElementNS("http://www.w3.org/2000/svg", "rect");
  for (const [k, v] of Object.entries({ fill: "none", stroke: "#0b5a8a", "stroke-width": "1", "pointer-events": "none" })) frame.setAttribute(k, v);
  const tell = (id) => {
    const s = byID.get(id);
    if (!s || pick.value === id && frame.isConnected) return;
    told.textContent = s.text;
    pick.value = id;
    ["x", "y", "width", "height"].forEach((k, i) => frame.setAttribute(k, s.box[i]));
    face.append(frame);
  };
  for (const s of stations) pick.append(new Option(s.text.split(":")[0], s.id));
  pick.addEventListener("change", () => {
    if (pick.value) { const id = pick.value; pick.value = ""; tell(id); } else { frame.remove(); told.textContent = ""; }
  });

  for (const input of document.querySelectorAll("input[name=face]")) {
    input.addEventListener("change", () => {
      const printed = input.value === "printed";
      if (printed) face.setAttribute("transform", face.dataset.mirror);
      else face.removeAttribute("transform");
      document.getElementById("facing").textContent = printed ? "Printed face, as the press prints it: mirrored" : "As seen through the film";
    });
  }

  for (const input of document.querySelectorAll("input[name=layer]")) {
    const layers = svg.querySelectorAll(`[data-layer="${input.value}"]`);
    const set = () => layers.forEach((g) => { g.style.display = input.checked ? "" : "none"; });
    input.addEventListener("change", set);
    set();
  }
})();
