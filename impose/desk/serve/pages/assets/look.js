"use strict";
(() => {
  const root = document.getElementById("look");
  if (!root) return;
  const at = (id) => document.getElementById(id), plates = JSON.parse(root.dataset.plates), limit = Number(root.dataset.limit);
  const job = document.body.dataset.job.split("/").map(encodeURIComponent).join("/");
  const { width, height } = plates, tints = plates.inks.map(() => null);
  const canvas = at("mix"), ctx = canvas.getContext("2d");
  const show = { total: false, mirror: false, measure: false };
  let cursor = [width >> 1, height >> 1], from = null, to = null, picture = null;
  canvas.width = width;
  canvas.height = height;

  const load = (i) => new Promise((done) => {
    const img = new Image();
    img.onload = () => {
      const c = document.createElement("canvas");
      c.width = width; c.height = height;
      const x = c.getContext("2d", { willReadFrequently: true });
      x.drawImage(img, 0, 0);
      const data = x.getImageData(0, 0, width, height).data, grey = new Uint8Array(width * height);
      for (let k = 0; k < grey.length; k++) grey[k] = data[4 * k];
      tints[i] = grey;
      done();
    };
    img.onerror = () => { at("tint-" + i).textContent = "not drawn"; done(); };
    img.src = `/plate/${job}?artwork=${root.dataset.artwork}&ink=${i}`;
  });

  // mix lays the inks that are shown over each other on white: each takes its
  // share of the light away, as its own colour does.
  const mix = () => {
    const on = plates.inks.map((k, i) => tints[i] && at("ink-" + i).checked ? { grey: tints[i], kind: k.kind, take: k.rgb.map((c) => 1 - c) } : null).filter(Boolean);
    const out = ctx.createImageData(width, height), d = out.data;
    let most = 0, mostAt = 0;
    for (let p = 0; p < width * height; p++) {
      let r = 1, g = 1, b = 1, sum = 0;
      for (const k of on) {
        const a = k.grey[p];
        if (!a) continue;
        if (k.kind !== "technical") sum += a;
        if (k.kind === "white" || k.kind === "varnish") continue;
        const t = a / 255;
        r *= 1 - t * k.take[0]; g *= 1 - t * k.take[1]; b *= 1 - t * k.take[2];
      }
      if (sum > most) { most = sum; mostAt = p; }
      if (show.total) {
        const pc = sum / 2.55;
        if (pc > limit) { r = .78; g = .1; b = .1; } else { r = g = b = 1 - pc / limit * .85; }
      }
      d[4 * p] = 255 * r; d[4 * p + 1] = 255 * g; d[4 * p + 2] = 255 * b; d[4 * p + 3] = 255;
    }
    picture = out;
    const [x, y] = place(mostAt % width, Math.floor(mostAt / width));
    at("most").textContent = `Most ink: ${(most / 2.55).toFixed(0)} %, at ${x.toFixed(1)} × ${y.toFixed(1)} mm` + (most / 2.55 > limit ? `; more than ${limit} %` : "");
    paint();
  };
  const place = (x, y) => [plates.left_mm + (x + .5) * plates.pixel_mm, plates.top_mm + (y + .5) * plates.pixel_mm];
  const paint = () => {
    if (!picture) return;
    ctx.putImageData(picture, 0, 0);
    const px = 1 / plates.pixel_mm;
    ctx.lineWidth = Math.max(1, width / 500);
    ctx.strokeStyle = "#00a3a3";
    ctx.setLineDash([6, 4]);
    ctx.strokeRect(-plates.left_mm * px, -plates.top_mm * px, plates.size_mm[0] * px, plates.size_mm[1] * px);
    ctx.setLineDash([]);
    ctx.strokeStyle = "#c2410c";
    if (from) { ctx.beginPath(); ctx.moveTo(...from); ctx.lineTo(...(to || cursor)); ctx.stroke(); }
    if (document.activeElement === canvas) { const [x, y] = cursor, r = width / 60; ctx.beginPath(); ctx.moveTo(x - r, y); ctx.lineTo(x + r, y); ctx.moveTo(x, y - r); ctx.lineTo(x, y + r); ctx.stroke(); }
  };
  const tell = () => {
    const [x, y] = cursor, p = y * width + x;
    let sum = 0;
    plates.inks.forEach((k, i) => {
      if (!tints[i]) return;
      at("tint-" + i).textContent = (tints[i][p] / 2.55).toFixed(0) + " %";
      if (k.kind !== "technical") sum += tints[i][p];
    });
    const pc = sum / 2.55;
    at("total").textContent = pc.toFixed(0) + " %" + (pc > limit ? " !" : "");
    const [a, b] = place(x, y);
    at("spot").textContent = a.toFixed(1) + " × " + b.toFixed(1) + " mm";
    const end = to || cursor;
    if (from) {
      const dx = Math.abs(end[0] - from[0]) * plates.pixel_mm, dy = Math.abs(end[1] - from[1]) * plates.pixel_mm;
      at("distance").textContent = Math.hypot(dx, dy).toFixed(2) + " mm (" + dx.toFixed(2) + " across, " + dy.toFixed(2) + " around)";
    } else at("distance").textContent = "–";
  };
  const move = (x, y) => {
    cursor = [Math.min(width - 1, Math.max(0, Math.round(x))), Math.min(height - 1, Math.max(0, Math.round(y)))];
    tell();
    paint();
  };
  const mark = () => { if (!from || to) { from = [...cursor]; to = null; } else to = [...cursor]; tell(); paint(); };
  canvas.addEventListener("pointermove", (e) => {
    const r = canvas.getBoundingClientRect();
    const x = (e.clientX - r.x) / r.width;
    move((show.mirror ? 1 - x : x) * width, (e.clientY - r.y) / r.height * height);
  });
  canvas.addEventListener("click", () => { if (show.measure) mark(); });
  canvas.addEventListener("keydown", (e) => {
    const far = e.shiftKey ? 10 : 1, way = show.mirror ? -1 : 1;
    const by = { ArrowLeft: [-far * way, 0], ArrowRight: [far * way, 0], ArrowUp: [0, -far], ArrowDown: [0, far] }[e.key];
    if (by) move(cursor[0] + by[0], cursor[1] + by[1]);
    else if (e.key === "Enter") mark();
    else return;
    e.preventDefault();
  });
  canvas.addEventListener("focus", () => { tell(); paint(); });
  canvas.addEventListener("blur", paint);
  root.addEventListener("change", (e) => { if (e.target.dataset.ink) mix(); });
  root.addEventListener("click", (e) => {
    const what = e.target.dataset.show;
    if (!what) return;
    if (what === "mix" || what === "total") show.total = what === "total";
    else show[what] = !show[what];
    if (what === "measure" && !show.measure) { from = to = null; tell(); }
    canvas.classList.toggle("mirrored", show.mirror);
    root.querySelectorAll("[data-show]").forEach((b) => b.setAttribute("aria-pressed", String(b.dataset.show === "mix" ? !show.total : show[b.dataset.show])));
    mix();
  });
  (async () => {
    for (let i = 0; i < tints.length; i++) { await load(i); mix(); }
    at("loading").textContent = "";
    root.dataset.ready = "true";
    tell();
  })();
})();
