
// What the plates say: the tint of every ink under the pointer, single inks,
// where they add up to too much, and distances.
(() => {
  const { view, svg, data } = window.proof;
  const face = document.getElementById("face");
  const tints = document.getElementById("tints");
  const film = [189, 204, 209];

  // Each plate as bytes: 0 is no ink, 255 is solid.
  const ready = Promise.all(data.labels.flatMap((label) => label.inks.map((ink) => new Promise((done) => {
    const img = new Image();
    img.onload = () => {
      const canvas = Object.assign(document.createElement("canvas"), { width: label.width, height: label.height });
      const c = canvas.getContext("2d", { willReadFrequently: true });
      c.drawImage(img, 0, 0);
      const rgba = c.getImageData(0, 0, label.width, label.height).data;
      ink.bytes = new Uint8Array(label.width * label.height);
      for (let i = 0; i < ink.bytes.length; i++) ink.bytes[i] = 255 - rgba[4 * i];
      done();
    };
    img.onerror = done;
    img.src = ink.plate;
  }))));

  // onFace gives a point of the screen in mm of the frame, as it is seen.
  const onFace = (x, y) => {
    const p = new DOMPoint(x, y).matrixTransform(face.getScreenCTM().inverse());
    return [p.x, p.y];
  };

  // onLabel gives where a point of the frame is on a station's label upright, in
  // mm from its trim's leading left corner.
  const onLabel = (s, [x, y]) => {
    const [left, top, width, height] = s.box;
    const u = x - left, v = y - top;
    switch (s.turn) {
      case 90: return [height - v, u];
      case 180: return [width - u, height - v];
      case 270: return [v, width - u];
    }
    return [u, v];
  };

  // read gives what stands under a point of the frame, and the inks there.
  const read = (at) => {
    for (const p of data.patches) {
      if (at[0] >= p.box[0] && at[0] < p.box[2] && at[1] >= p.box[1] && at[1] < p.box[3]) return { what: p.name, inks: p.inks };
    }
    // Between labels the bleed of the nearer one stands: it ends in the middle.
    let best = null;
    for (const s of data.stations) {
      const label = data.labels[s.art];
      const [u, v] = onLabel(s, at);
      const beyond = Math.max(-u, -v, u - label.size[0], v - label.size[1]);
      if (beyond < label.bleed && (!best || beyond < best.beyond)) best = { label, u, v, beyond };
    }
    if (best) {
      const { label, u, v, beyond } = best;
      const px = Math.floor((u + label.bleed) / (label.size[0] + 2 * label.bleed) * label.width);
      const py = Math.floor((v + label.bleed) / (label.size[1] + 2 * label.bleed) * label.height);
      const inks = label.inks.map((ink) => ({ name: ink.name, kind: ink.kind, percent: (ink.bytes?.[py * label.width + px] ?? 0) / 2.55 }));
      return { what: `${u.toFixed(2)} mm across, ${v.toFixed(2)} mm around ${beyond < 0 ? "on the label" : "in its bleed"}`, inks };
    }
    return null;
  };

  const number = (v) => (Math.round(v * 10) / 10).toString();
  const tell = (at) => {
    const found = read(at);
    const body = tints.tBodies[0];
    body.replaceChildren();
    tints.hidden = !found;
    if (!found) return;
    const row = (name, value) => {
      const tr = body.insertRow();
      const th = document.createElement("th");
      th.scope = "row";
      th.textContent = name;
      tr.append(th);
      const td = tr.insertCell();
      td.className = "n";
      td.textContent = value;
    };
    row("Place", found.what);
    let total = 0;
    for (const ink of found.inks) {
      row(ink.name, number(ink.percent) + " %");
      if (ink.kind !== "white" && ink.kind !== "varnish") total += ink.percent;
    }
    row("All colours", number(total) + " %");
  };
  view.addEventListener("pointermove", (e) => tell(onFace(e.clientX, e.clientY)));

  // Single inks. All of them are the picture; of some, the plates are laid over
  // each other on the paper, or over the white on film; one alone is grey.
  const boxes = [...document.querySelectorAll("input[name=ink]")];
  const heavy = document.getElementById("heavy");
  const limit = document.getElementById("limit");
  const pictures = data.labels.map((_, i) => document.getElementById("art" + (i + 1)));
  const originals = pictures.map((p) => p?.getAttribute("href"));

  const paint = (label) => {
    const on = new Set(boxes.filter((b) => b.checked).map((b) => b.value));
    const shown = label.inks.filter((ink) => on.has(ink.name) && ink.kind !== "varnish" && ink.bytes);
    const colours = label.inks.filter((ink) => ink.kind !== "white" && ink.kind !== "varnish" && ink.bytes);
    const alone = shown.length === 1 && boxes.length > 1 ? shown[0] : null;
    const canvas = Object.assign(document.createElement("canvas"), { width: label.width, height: label.height });
    const c = canvas.getContext("2d");
    const img = c.createImageData(label.width, label.height);
    let most = 0;
    for (let i = 0; i < label.width * label.height; i++) {
      let rgb = data.film ? [...film] : [255, 255, 255];
      let total = 0;
      for (const ink of colours) total += ink.bytes[i];
      most = Math.max(most, total);
      if (alone) {
        rgb = rgb.map(() => 255 - alone.bytes[i]);
      } else {
        for (const ink of shown) if (ink.kind === "white") rgb = rgb.map((v) => v + (255 - v) * ink.bytes[i] / 255);
        for (const ink of shown) if (ink.kind !== "white") rgb = rgb.map((v, k) => v * (1 - ink.bytes[i] / 255 * (1 - ink.rgb[k])));
      }
      if (heavy.checked && total / 2.55 > Number(limit.value)) rgb = [226, 0, 26];
      img.data.set([...rgb, 255], 4 * i);
    }
    c.putImageData(img, 0, 0);
    return { href: canvas.toDataURL(), most: most / 2.55 };
  };
  const repaint = () => {
    const whole = boxes.every((b) => b.checked) && !heavy.checked;
    let most = 0, at = "";
    pictures.forEach((p, i) => {
      if (!p) return;
      if (whole) {
        p.setAttribute("href", originals[i]);
        return;
      }
      const painted = paint(data.labels[i]);
      p.setAttribute("href", painted.href);
      if (painted.most > most) { most = painted.most; at = data.labels[i].name; }
    });
    document.getElementById("heaviest").textContent = heavy.checked ? `at most ${number(most)} %${at ? ", on " + at : ""}` : "";
    document.body.dataset.painted = String(Number(document.body.dataset.painted ?? 0) + 1);
  };
  if (boxes.length) {
    for (const b of [...boxes, heavy, limit]) b.addEventListener("change", () => ready.then(repaint));
  }

  // Distances: two points, by the mouse or by the keyboard.
  const measure = document.getElementById("measure");
  const distance = document.getElementById("distance");
  const line = document.createElementNS("http://www.w3.org/2000/svg", "path");
  for (const [k, v] of Object.entries({ fill: "none", stroke: "#b3003c", "stroke-width": "1.5", "vector-effect": "non-scaling-stroke", "pointer-events": "none" })) line.setAttribute(k, v);
  let points = [], cross = null;
  const measuring = () => measure.getAttribute("aria-pressed") === "true";
  const mark = ([x, y]) => `M${x - 2} ${y}H${x + 2}M${x} ${y - 2}V${y + 2}`;
  const drawLine = () => {
    const ends = points.length === 1 && cross ? [points[0], cross] : points;
    let d = ends.map(mark).join("");
    if (cross && points.length !== 1) d += mark(cross);
    if (ends.length === 2) d += `M${ends[0].join(" ")}L${ends[1].join(" ")}`;
    line.setAttribute("d", d);
    face.append(line);
    if (ends.length < 2) {
      distance.textContent = "Choose two points: click, or move the cross with the arrow keys (Shift for tenths of a millimetre) and press Enter.";
      return;
    }
    const dx = Math.abs(ends[1][0] - ends[0][0]), dy = Math.abs(ends[1][1] - ends[0][1]);
    distance.textContent = `${dx.toFixed(2)} mm across, ${dy.toFixed(2)} mm around, ${Math.hypot(dx, dy).toFixed(2)} mm straight`;
  };
  const put = (p) => {
    if (points.length >= 2) points = [];
    points.push(p);
    drawLine();
  };
  measure.addEventListener("click", () => {
    const on = !measuring();
    measure.setAttribute("aria-pressed", String(on));
    distance.hidden = !on;
    points = [];
    cross = null;
    if (on) { drawLine(); view.focus(); } else line.remove();
  });
  let pressed = null;
  view.addEventListener("pointerdown", (e) => { pressed = [e.clientX, e.clientY]; });
  view.addEventListener("pointerup", (e) => {
    const still = pressed && Math.hypot(e.clientX - pressed[0], e.clientY - pressed[1]) < 4; // a drag moves the picture
    if (measuring() && still) put(onFace(e.clientX, e.clientY));
    pressed = null;
  });
  view.addEventListener("keydown", (e) => {
    if (!measuring()) return;
    const step = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[e.key];
    if (!step && e.key !== "Enter") return;
    e.preventDefault();
    e.stopImmediatePropagation();
    if (!cross) {
      const r = view.getBoundingClientRect();
      cross = onFace(r.left + r.width / 2, r.top + r.height / 2);
    }
    if (e.key === "Enter") {
      put([...cross]);
      return;
    }
    const by = e.shiftKey ? 0.1 : 1;
    cross = [cross[0] + by * step[0], cross[1] + by * step[1]];
    tell(cross);
    drawLine();
  }, { capture: true });
  ready.then(() => { document.body.dataset.plates = "ready"; });
})();
