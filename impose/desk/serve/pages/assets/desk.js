"use strict";
(() => {
  const body = document.body, job = body.dataset.job, at = (id) => document.getElementById(id);
  const tab = Math.random().toString(36).slice(2);
  const link = (route, path) => "/" + route + "/" + path.split("/").map(encodeURIComponent).join("/");

  // tell says something in passing.
  const tell = (text) => {
    const box = at("tell");
    if (!box) return;
    const p = document.createElement("p");
    p.textContent = text;
    box.replaceChildren(p);
    setTimeout(() => p.remove(), 8000);
  };

  // post sends JSON; json asks for JSON back, else for parts of a page.
  const post = (url, data, json) => fetch(url, {
    method: "POST", credentials: "same-origin", body: JSON.stringify(data),
    headers: { "Content-Type": "application/json", Accept: json ? "application/json" : "text/html", "X-Desk-Tab": tab },
  });
  const get = async (url) => (await fetch(url, { headers: { Accept: "application/json" } })).json();

  // failed says why an answer is a refusal.
  const failed = async (answer) => {
    const text = await answer.text();
    try {
      const f = JSON.parse(text);
      tell(f.error + (f.hint ? " (" + f.hint + ")" : ""));
    } catch {
      const page = new DOMParser().parseFromString(text, "text/html");
      tell(page.querySelector(".fault")?.textContent || text.slice(0, 200) || "That was not done.");
    }
  };

  /* Dropped artworks and tables, anywhere. */

  const upload = async (files) => {
    const form = new FormData();
    for (const f of files) form.append("file", f, f.name);
    tell("Copying " + files.length + (files.length === 1 ? " file …" : " files …"));
    const answer = await fetch("/upload", { method: "POST", body: form, headers: { Accept: "application/json", "X-Desk-Tab": tab } });
    if (!answer.ok) { await failed(answer); return null; }
    return (await answer.json()).files;
  };
  const begin = async (files) => {
    const answer = await post("/new", { artworks: files }, true);
    if (!answer.ok) return failed(answer);
    location.href = link("job", (await answer.json()).path);
  };
  const took = async (list) => {
    const files = [...list];
    if (!files.length) return;
    const names = await upload(files);
    if (!names) return;
    const lists = names.filter((n) => !/\.pdf$/i.test(n));
    if (lists.length && body.dataset.page === "records") return location.reload(); // they can be chosen now
    if (lists.length) { location.href = lists.length > 1 ? "/nights" : link("night", lists[0]); return; }
    if (!job) return begin(names);
    const dialog = at("dropped"), form = dialog.querySelector("form");
    at("dropped-what").textContent = names.join(", ");
    const choice = (text, value, strong) => {
      const b = document.createElement("button");
      b.textContent = text; b.value = value; if (strong) b.className = "strong";
      form.append(b);
    };
    form.replaceChildren();
    choice("Add as lanes of this job", "lanes", true);
    if (names.length === 1) choice("Print this job again with it", "again");
    choice("Begin a new job", "new");
    choice("Only keep it in the folder", "");
    dialog.onclose = () => {
      if (dialog.returnValue === "new") begin(names);
      if (dialog.returnValue === "again") location.href = link("again", job) + "?with=" + encodeURIComponent(names[0]);
      if (dialog.returnValue === "lanes") addLanes(names);
    };
    dialog.returnValue = "";
    dialog.showModal();
  };
  let over = 0;
  addEventListener("dragenter", (e) => { if (e.dataTransfer?.types.includes("Files")) { over++; at("landing").hidden = false; } });
  addEventListener("dragleave", () => { if (--over <= 0) { over = 0; if (at("landing")) at("landing").hidden = true; } });
  addEventListener("dragover", (e) => e.preventDefault());
  addEventListener("drop", (e) => { e.preventDefault(); over = 0; if (!at("landing")) return; at("landing").hidden = true; took(e.dataTransfer.files); });
  addEventListener("change", (e) => { if (e.target.id === "pick") { took(e.target.files); e.target.value = ""; } });

  /* The list of jobs: each is planned when it comes into sight. */

  if (body.dataset.page === "jobs") {
    const queue = [];
    let busy = 0;
    const next = async () => {
      if (busy >= 2 || !queue.length) return;
      busy++;
      const li = queue.shift();
      try {
        const answer = await fetch(link("card", li.dataset.job), { headers: { Accept: "text/html" } });
        if (answer.ok) {
          const part = new DOMParser().parseFromString(await answer.text(), "text/html");
          li.querySelector(".picture").replaceWith(part.querySelector(".picture"));
          li.querySelector(".facts").replaceWith(part.querySelector(".facts"));
        }
      } catch { /* the name stays */ }
      busy--;
      next();
    };
    const seen = new IntersectionObserver((entries) => {
      for (const e of entries) if (e.isIntersecting) { seen.unobserve(e.target); queue.push(e.target); next(); }
    }, { rootMargin: "200px" });
    const watch = (root) => root.querySelectorAll("[data-job]").forEach((li) => seen.observe(li));
    watch(document);
    const list = async (url, append) => {
      const page = new DOMParser().parseFromString(await (await fetch(url, { headers: { Accept: "text/html" } })).text(), "text/html");
      const cards = page.getElementById("cards"), more = page.querySelector(".more");
      document.querySelector(".count").textContent = page.querySelector(".count").textContent;
      document.querySelector(".more")?.remove();
      if (append && cards) { const items = [...cards.children]; at("cards").append(...items); items.forEach((li) => seen.observe(li)); } else {
        (at("cards") || document.querySelector(".empty")).replaceWith(cards || page.querySelector(".empty"));
        watch(document);
      }
      if (more) document.querySelector("main").append(more);
    };
    let typed;
    at("find").addEventListener("input", () => {
      clearTimeout(typed);
      typed = setTimeout(() => list("/jobs?find=" + encodeURIComponent(at("find").value)), 150);
    });
    addEventListener("click", (e) => { if (e.target.id === "more") { e.preventDefault(); list(e.target.href, true); } });
    return listen();
  }
  if (body.dataset.page === "write") { writing(); }
  if (body.dataset.page === "night") { night(); return listen(); }
  if (body.dataset.page === "materials") { materials(); return listen(); }
  if (body.dataset.page === "stockfile") { stock(); return listen(); }
  if (!at("bar")) return;

  /* The frame: closer, farther, along. */

  const pane = at("frame-pane");
  let all, seen;
  const svg = () => pane && at("frame")?.querySelector("svg");
  const box = () => svg()?.getAttribute("viewBox").split(" ").map(Number);
  const look = (b) => { seen = b; svg()?.setAttribute("viewBox", b.join(" ")); };
  const zoom = (by, x, y) => {
    if (!svg()) return;
    const [l, t, w, h] = seen;
    if (x === undefined) { x = l + w / 2; y = t + h / 2; }
    const k = Math.min(Math.max(by, all[2] / 400 / w * .01), all[2] * 4 / w);
    look([x - (x - l) * k, y - (y - t) * k, w * k, h * k]);
  };
  const onFrame = (e) => {
    const m = svg().getScreenCTM().inverse();
    return [e.clientX * m.a + m.e, e.clientY * m.d + m.f];
  };
  const settle = () => {
    const now = box();
    if (!now) { all = seen = undefined; return; }
    const same = all && now[2] === all[2] && now[3] === all[3];
    all = now;
    if (same && seen) look(seen); else across();
  };
  // across shows the whole width from the leading end: what a person reads first.
  const across = () => {
    const r = pane.getBoundingClientRect(), left = all[0] * .25, wide = all[0] + all[2] - left;
    look(r.width / r.height > wide / all[3] ? [left, left, wide, wide * r.height / r.width] : all);
  };
  settle();
  if (pane) {
  pane.addEventListener("wheel", (e) => { if (svg()) { e.preventDefault(); zoom(e.deltaY > 0 ? 1.2 : 1 / 1.2, ...onFrame(e)); } }, { passive: false });
  pane.addEventListener("pointerdown", (e) => {
    if (!svg()) return;
    pane.setPointerCapture(e.pointerId);
    pane.classList.add("held");
    const [x, y] = onFrame(e);
    const move = (m) => { const [a, b] = onFrame(m); look([seen[0] + x - a, seen[1] + y - b, seen[2], seen[3]]); };
    const up = () => { pane.classList.remove("held"); pane.removeEventListener("pointermove", move); pane.removeEventListener("pointerup", up); };
    pane.addEventListener("pointermove", move);
    pane.addEventListener("pointerup", up);
  });
  pane.addEventListener("pointermove", (e) => {
    const st = e.target.closest?.(".station");
    at("told").textContent = st ? st.id.replace(/^station-(\d+)-(\d+)$/, "Lane $1, row $2") : "";
  });
  pane.addEventListener("keydown", (e) => {
    if (!svg() || e.ctrlKey || e.metaKey || e.altKey) return;
    const step = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[e.key];
    if (step) look([seen[0] + step[0] * seen[2] / 8, seen[1] + step[1] * seen[3] / 8, seen[2], seen[3]]);
    else if (e.key === "+" || e.key === "=") zoom(1 / 1.25);
    else if (e.key === "-") zoom(1.25);
    else if (e.key === "0") look(all);
    else if (e.key === "1") across();
    else return;
    e.preventDefault();
  });
  }
  const spot = (numbers) => {
    svg()?.querySelector(".spotted")?.remove();
    const [x, y, w, h] = numbers, r = document.createElementNS("http://www.w3.org/2000/svg", "rect");
    for (const [k, v] of Object.entries({ x, y, width: w, height: h, class: "spotted" })) r.setAttribute(k, v);
    svg().append(r);
    const wide = Math.max(w * 2.2, h * 2.2 * seen[2] / seen[3], all[2] / 12), high = wide * all[3] / all[2];
    look([x + w / 2 - wide / 2, y + h / 2 - high / 2, wide, high]);
  };

  /* Changes: each is sent at once, and only the newest answer is shown. */

  let sent = 0, shown = 0, waiting = null, dropped = 0, last = { key: "", time: 0 }, line = Promise.resolve();
  const version = () => at("bar").dataset.version;
  const take = (html, keep) => {
    const page = new DOMParser().parseFromString(html, "text/html");
    const focus = document.activeElement?.id, field = document.activeElement?.closest?.(".field");
    const open = [...document.querySelectorAll("#values details[open] > summary")].map((s) => s.textContent);
    for (const id of ["bar", "numbers", "frame", "says", "remarks"]) {
      const part = page.getElementById(id);
      if (part && at(id)) at(id).replaceWith(document.adoptNode(part));
    }
    const values = page.getElementById("values");
    if (values && at("values")) {
      remember(values);
      values.querySelectorAll("details").forEach((d) => { d.open = open.includes(d.querySelector("summary").textContent); });
      const mine = keep && field && values.querySelector("#" + CSS.escape(field.id));
      if (mine) { // whoever types goes on typing
        field.dataset.was = mine.dataset.was;
        field.querySelector(".fault")?.remove();
        const fault = mine.querySelector(".fault");
        if (fault) field.append(document.adoptNode(fault));
        const list = field.parentElement, other = mine.parentElement;
        const kept = [...other.children].map((c) => c === mine ? field : document.adoptNode(c));
        for (const c of [...list.children]) if (c !== field) c.remove();
        let behind = false;
        for (const c of kept) { if (c === field) behind = true; else if (behind) list.append(c); else list.insertBefore(c, field); }
        const groups = [...at("values").children], news = [...values.children];
        groups.forEach((g, i) => { if (g !== list && news[i]) g.replaceWith(document.adoptNode(news[i])); });
      } else at("values").replaceWith(document.adoptNode(values));
    }
    if (focus && document.activeElement?.id !== focus) at(focus)?.focus();
    settle();
  };
  const ask = (html) => new Promise((done) => {
    const dialog = at("asks"), page = new DOMParser().parseFromString(html, "text/html");
    dialog.querySelector(".body").replaceChildren(...page.body.childNodes);
    dialog.querySelector("[value=mine]").hidden = !dialog.querySelector("b");
    dialog.returnValue = "";
    dialog.onclose = () => done(dialog.returnValue);
    dialog.showModal();
  });
  const send = (route, data) => {
    const n = ++sent, before = dropped;
    line = line.then(async () => {
      if (before !== dropped) return false; // with the change before it
      let answer = await post(link(route, job), { base: version(), ...data });
      if (answer.status === 409 && !route.startsWith("nothing")) {
        const html = await answer.text();
        if (!html.includes('id="conflict"')) { await failed(new Response(html)); return false; }
        const mine = await ask(html);
        const now = await get(link("job", job));
        if (mine === "mine") answer = await post(link(route, job), { ...data, base: now.version });
        else { dropped++; await reload(); return false; }
      }
      if (!answer.ok) { await failed(answer); return false; }
      const html = await answer.text();
      if (n >= shown) { shown = n; take(html, route === "change"); }
      return true;
    }).catch((e) => { tell("The desk does not answer: " + e.message); return false; });
    return line;
  };
  const reload = async () => {
    const answer = await fetch(link("job", job), { headers: { Accept: "text/html" } });
    if (answer.ok) take(await answer.text()); else await failed(answer);
  };
  const change = (set, more) => send("change", { set, ...more });
  const addLanes = async (files) => {
    const answer = await post(link("lanes", job), { base: version(), artworks: files });
    if (answer.ok) take(await answer.text()); else await failed(answer);
  };

  // remember notes what fields say, so that only what is changed is sent.
  const remember = (root) => root?.querySelectorAll(".field").forEach((f) => { f.dataset.was = valueOf(f); });
  const valueOf = (field) => {
    const parts = [...field.querySelectorAll("input, select")].map((i) => i.value.trim() || (field.dataset.kind === "size" ? i.placeholder : ""));
    if (field.dataset.kind !== "size") return parts[0];
    return [...field.querySelectorAll("input")].some((i) => i.value.trim()) ? parts.join("x") : "";
  };
  // changed sends a field's value after a while, in which it may go on changing;
  // that of another field goes ahead of it, never in its place.
  const changed = (field, wait) => {
    if (waiting && waiting.field !== field) flush();
    clearTimeout(waiting?.timer);
    waiting = { field, timer: setTimeout(flush, wait) };
  };
  const flush = () => {
    if (!waiting) return;
    const { field, timer } = waiting, key = field.dataset.key, value = valueOf(field), now = Date.now();
    waiting = null;
    clearTimeout(timer);
    if (field.dataset.was === value) return; // whoever leaves a field changes nothing
    field.dataset.was = value;
    const joined = last.key === key && now - last.time < 1200;
    last = { key, time: now };
    change([{ key, value }], { joined }).then((done) => { if (!done) delete field.dataset.was; });
  };
  addEventListener("pagehide", flush);
  remember(at("values"));
  const step = (input, by) => {
    const field = input.closest(".field"), unit = Number(field.dataset.step);
    if (!unit) return false;
    const text = input.value.trim() || input.placeholder;
    const m = /^(-?\d+(?:\.\d+)?)(.*)$/.exec(text.replace(/,/g, ""));
    if (!m && text) return false;
    const to = Math.max(0, Number(((m ? Number(m[1]) : 0) + by * unit).toFixed(4)));
    input.value = to + (m ? m[2] : "");
    changed(field, 60);
    return true;
  };
  addEventListener("change", (e) => { const f = e.target.closest?.("#values .field"); if (f) changed(f, 0); });
  addEventListener("keydown", (e) => {
    if ((e.ctrlKey || e.metaKey) && e.key.toLowerCase() === "z" && !document.querySelector("dialog[open]")) {
      e.preventDefault();
      flush();
      const undo = at(e.shiftKey ? "redo" : "undo");
      if (!undo.disabled) send(e.shiftKey ? "redo" : "undo", {});
      return;
    }
    const input = e.target.closest?.("#values .field input");
    if (!input) return;
    const by = { ArrowUp: 1, ArrowDown: -1, PageUp: 10, PageDown: -10 }[e.key];
    if (by && step(input, by)) e.preventDefault();
    if (e.key === "Enter") { e.preventDefault(); changed(input.closest(".field"), 0); }
  });
  addEventListener("wheel", (e) => {
    const input = e.target.closest?.("#values .field input");
    if (input && input === document.activeElement && step(input, e.deltaY < 0 ? 1 : -1)) e.preventDefault();
  }, { passive: false });
  addEventListener("submit", (e) => { if (e.target.id === "values") e.preventDefault(); });
  addEventListener("click", async (e) => {
    const b = e.target.closest?.("button");
    if (!b) return;
    if (b.dataset.zoom === "in") zoom(1 / 1.4);
    if (b.dataset.zoom === "out") zoom(1.4);
    if (b.dataset.zoom === "all" && svg()) look(all);
    if (b.dataset.zoom === "across" && svg()) across();
    flush();
    if (b.id === "undo" || b.id === "redo") send(b.id, {});
    if (b.id === "reload") reload();
    if (b.dataset.box && svg()) spot(b.dataset.box.split(" ").map(Number));
    if (b.dataset.edits && body.dataset.page === "dies") {
      const from = version();
      await change(JSON.parse(b.dataset.edits), { exact: true, label: b.closest(".option").querySelector("h3").textContent });
      if (version() !== from) location.href = link("job", job) + "?from=" + from;
      return;
    }
    if (b.dataset.edits) change(JSON.parse(b.dataset.edits), { exact: true, label: b.textContent });
    if (b.dataset.room) {
      await change([{ key: "dies", value: b.dataset.room }], {});
      location.reload();
    }
    if (b.id === "again") {
      const answer = await post(link("again", job), { artwork: Number(b.dataset.artwork), with: b.dataset.with }, true);
      if (answer.ok) location.href = link("job", (await answer.json()).path); else failed(answer);
    }
    if (b.id === "copy") {
      const answer = await post(link("copy", job), {}, true);
      if (answer.ok) location.href = link("job", (await answer.json()).path); else failed(answer);
    }
  });
  at("data-file")?.addEventListener("change", async () => {
    const from = version();
    const file = at("data-file").value;
    await change([{ key: "data.file", value: /^[\w.\/-]*$/.test(file) ? file : JSON.stringify(file) }], { exact: true, label: "Records" });
    if (version() !== from) location.reload();
  });
  listen();

  // writing starts what is written, shows how far it is, and stops it.
  function writing() {
    if (!at("write")) return;
    const chosen = () => [...document.querySelectorAll("#write input:checked")].map((i) => i.value);
    const show = async (id) => {
      const page = new DOMParser().parseFromString(await (await fetch("/task/" + id, { headers: { Accept: "text/html" } })).text(), "text/html");
      const t = page.querySelector(".task");
      if (!t) return;
      at("task").replaceChildren(document.adoptNode(t));
      const running = t.dataset.state === "running";
      at("go").disabled = running;
      at("stop").hidden = !running;
      at("stop").dataset.id = id;
      if (!running) {
        const job = await (await fetch(location.href, { headers: { Accept: "text/html" } })).text();
        const bar = new DOMParser().parseFromString(job, "text/html").getElementById("bar");
        if (bar) at("bar").replaceWith(document.adoptNode(bar));
        document.querySelectorAll("p.why").forEach((p) => p.remove());
      }
    };
    at("write").addEventListener("submit", async (e) => {
      e.preventDefault();
      const answer = await post(link("write", job), { base: at("bar").dataset.version, parts: chosen() }, true);
      if (!answer.ok) return failed(answer);
      show((await answer.json()).id);
    });
    at("write").addEventListener("change", async () => {
      const q = chosen().map((p) => "part=" + p).join("&") || "part=pdf";
      at("command").textContent = (await get(link("write", job) + "?" + q)).command;
    });
    at("stop").addEventListener("click", () => post("/stop/" + at("stop").dataset.id, {}, true));
    at("take").addEventListener("click", async () => {
      try { await navigator.clipboard.writeText(at("command").textContent); tell("Copied"); } catch { getSelection().selectAllChildren(at("command")); tell("Marked: copy it with the keys of your system"); }
    });
    addEventListener("desk", (e) => { if (e.detail.kind === "task" && e.detail.job === job) show(e.detail.task.id); });
    const t = document.querySelector(".task");
    if (t && t.dataset.state === "running") show(t.dataset.task);
  }

  // night plans and builds an order list; its settings stand in the address.
  function night() {
    const form = at("night");
    const settings = () => {
      const d = new FormData(form), out = {};
      for (const k of ["job", "press", "dies", "overs", "lanes", "by", "day", "time"]) if (d.get(k)) out[k] = d.get(k);
      for (const k of ["no_split", "compare"]) if (d.get(k)) out[k] = true;
      for (const k of ["without", "take_out", "together", "apart"]) if (d.getAll(k).length) out[k] = d.getAll(k);
      return out;
    };
    const address = () => link("night", job) + "?" + new URLSearchParams([...new FormData(form)].filter(([, v]) => v));
    // go shows the list under other settings, in place: what is planned stays until
    // the next plan is there, so that nothing moves under the pointer.
    const go = async () => {
      history.pushState(null, "", address());
      at("planned").classList.add("stale");
      const held = document.activeElement?.dataset ?? {};
      const answer = await fetch(location.href, { headers: { Accept: "text/html" } });
      if (!answer.ok) return failed(answer);
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      at("said").replaceWith(document.adoptNode(page.getElementById("said")));
      if (held.order) [...document.querySelectorAll(".hold")].find((b) => b.dataset.order === held.order && b.dataset.key === held.key)?.focus();
      ticked();
      again = false;
      const t = document.querySelector(".task");
      if (t?.dataset.state === "running" && t.dataset.what === "plan") post("/stop/" + at("stop").dataset.id, {}, true); // that is of other settings
      else planned();
    };
    addEventListener("popstate", () => location.reload());
    form.addEventListener("submit", (e) => { e.preventDefault(); go(); });
    form.addEventListener("change", go);
    let showing = false, further = null;
    const show = async (id) => {
      if (showing) { further = id; return; } // one after the other, the newest last
      showing = true;
      try { await shown(id); } finally { showing = false; }
      if (further) { const next = further; further = null; await show(next); }
    };
    const shown = async (id) => {
      const page = new DOMParser().parseFromString(await (await fetch("/task/" + id, { headers: { Accept: "text/html" } })).text(), "text/html");
      const t = page.querySelector(".task");
      if (!t) return;
      at("task").replaceChildren(document.adoptNode(t));
      const running = t.dataset.state === "running";
      at("plan-night").disabled = at("build-night").disabled = running;
      at("stop").hidden = !running;
      at("stop").dataset.id = id;
      if (t.dataset.state === "done" || t.dataset.state === "stopped") await planned();
    };
    let again = false; // once for each change
    const planned = async () => {
      const answer = await fetch(link("night-plan", job) + "?" + address().split("?")[1], { headers: { Accept: "text/html" } });
      if (!answer.ok) { // planned once, it is planned again with each change
        const busy = document.querySelector(".task")?.dataset.state === "running";
        if (!busy && !again && sessionStorage.getItem("night " + job)) { again = true; start("night-plan"); }
        return;
      }
      const plan = new DOMParser().parseFromString(await answer.text(), "text/html").querySelector(".plan");
      if (!plan) return;
      at("planned").replaceChildren(document.adoptNode(plan));
      at("planned").classList.remove("stale");
    };
    const start = async (route) => {
      const answer = await post(link(route, job), settings(), true);
      if (!answer.ok) return failed(answer);
      show((await answer.json()).id);
    };
    at("plan-night").addEventListener("click", () => { again = true; sessionStorage.setItem("night " + job, "1"); start("night-plan"); });
    at("build-night").addEventListener("click", () => start("night-build"));
    at("stop").addEventListener("click", () => { again = true; post("/stop/" + at("stop").dataset.id, {}, true); });
    const put = (name, value) => {
      const i = document.createElement("input");
      i.type = "hidden"; i.name = name; i.value = value;
      form.append(i);
    };
    const said = (name, value) => [...form.querySelectorAll('[name="' + name + '"]')].find((i) => i.value === value);
    const ticks = () => [...document.querySelectorAll(".ticks:checked")].map((i) => i.value);
    const quoted = (ids) => ids.map((v) => /[",\s]/.test(v) ? '"' + v.replaceAll('"', '""') + '"' : v).join(",");
    const ticked = () => {
      const n = ticks().length;
      document.querySelectorAll("[data-bind]").forEach((b) => { b.disabled = n < (b.dataset.bind === "together" || b.dataset.bind === "apart" ? 2 : 1); });
      at("ticked").textContent = n ? n + (n === 1 ? " order ticked" : " orders ticked") : "";
    };
    addEventListener("change", (e) => { if (e.target.matches?.(".ticks")) ticked(); });
    ticked();
    addEventListener("click", (e) => {
      const b = e.target.closest?.("button");
      if (!b) return;
      if (b.classList.contains("hold")) {
        const is = said(b.dataset.key, b.dataset.order);
        if (is) is.remove(); else put(b.dataset.key, b.dataset.order);
        said(b.dataset.key === "without" ? "take_out" : "without", b.dataset.order)?.remove();
      } else if (b.dataset.bind === "together" || b.dataset.bind === "apart") {
        if (!said(b.dataset.bind, quoted(ticks()))) put(b.dataset.bind, quoted(ticks()));
      } else if (b.dataset.bind) {
        for (const id of ticks()) if (!said(b.dataset.bind, id)) put(b.dataset.bind, id);
      } else if (b.classList.contains("unbind")) {
        said(b.dataset.key, b.dataset.value)?.remove();
      } else return;
      go();
    });
    addEventListener("desk", (e) => { if (e.detail.kind === "task" && e.detail.job === job) show(e.detail.task.id); });
    const t = document.querySelector(".task");
    if (t && t.dataset.state === "running") show(t.dataset.task);
    planned();
  }

  // materials changes single values of press files: each is sent when it is left.
  function materials() {
    const send = async (section, change) => {
      const answer = await post(link("materials", section.dataset.path), { base: section.dataset.version, ...change }, false);
      const page = new DOMParser().parseFromString(await answer.text(), "text/html"), now = page.querySelector("section.press");
      if (!now) return tell(page.querySelector(".fault")?.textContent || "That was not saved.");
      if (!answer.ok) return section.querySelector(".mat-says").replaceWith(document.adoptNode(now.querySelector(".mat-says")));
      const focus = document.activeElement?.getAttribute("aria-label");
      now.querySelector("h2").replaceWith(section.querySelector("h2"));
      section.replaceWith(document.adoptNode(now));
      if (focus) [...now.querySelectorAll("input")].find((i) => i.getAttribute("aria-label") === focus)?.focus();
    };
    addEventListener("change", (e) => {
      const i = e.target;
      if (i.dataset?.key) send(i.closest("section"), { set: [{ key: i.dataset.key, value: i.value.trim() }] });
    });
    addEventListener("click", (e) => {
      const b = e.target.closest?.("button");
      if (b?.dataset.drop) send(b.closest("section"), { drop: b.dataset.drop });
      if (b?.classList.contains("addline")) {
        const row = b.closest("tr"), item = [...row.querySelectorAll("input")].filter((i) => i.value.trim()).map((i) => ({ key: i.dataset.col, value: i.value.trim() }));
        if (item.length) send(b.closest("section"), { add: row.dataset.add, item });
      }
    });
  }

  // stock edits a press file or a die room, with the checks of its file.
  function stock() {
    const form = at("stockfile");
    form.addEventListener("submit", async (e) => {
      e.preventDefault();
      const answer = await post(link("stock", form.dataset.path), { base: form.dataset.version, text: at("stock-text").value }, false);
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      const says = page.getElementById("stock-says");
      if (!says) return tell(page.querySelector(".fault")?.textContent || "That was not saved.");
      at("stock-says").replaceWith(document.adoptNode(says));
      const saved = page.getElementById("stockfile")?.dataset.version;
      if (answer.ok && saved) { form.dataset.version = saved; tell("Saved"); }
    });
    addEventListener("click", (e) => {
      const b = e.target.closest?.("[data-line]");
      if (!b) return;
      const area = at("stock-text"), lines = area.value.split("\n"), n = Number(b.dataset.line) - 1;
      const from = lines.slice(0, n).join("\n").length + (n > 0 ? 1 : 0);
      area.focus();
      area.setSelectionRange(from, from + (lines[n] ?? "").length);
    });
  }

  // listen hears what others do, while the page is in sight: browsers allow few
  // connections to one address.
  function listen() {
    let source;
    const hear = () => {
      source?.close();
      if (document.hidden) return;
      source = new EventSource("/events" + (job ? "?job=" + encodeURIComponent(job) : ""));
      source.onmessage = (m) => {
        const e = JSON.parse(m.data);
        if (e.kind === "job" && e.job === job && e.by !== tab && e.version !== at("bar")?.dataset.version && at("changed")) at("changed").hidden = false;
        dispatchEvent(new CustomEvent("desk", { detail: e }));
      };
    };
    document.addEventListener("visibilitychange", hear);
    hear();
  }
})();
