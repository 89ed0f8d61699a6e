// The page follows what is put up: pieces are fetched when they change and put in place; where the reader was stays.
(() => {
  "use strict";
  const id = (name) => document.getElementById(name);
  const policy = window.trustedTypes ? trustedTypes.createPolicy("kitforge", {createHTML: (text) => text}) : {createHTML: (text) => text};
  const all = (name, within = document) => [...within.querySelectorAll(name)];
  const el = (tag, values = {}, ...inside) => {
    const made = Object.assign(document.createElement(tag), values);
    made.append(...inside);
    return made;
  };
  const SECTIONS = {drawn: "drawn-section", settings: "settings-section", needs: "needs-section", cost: "cost-section"};
  const WORDS = JSON.parse(id("words").textContent);
  const say = (key, values = {}) => WORDS[key].replace(/\{(\w+)\}/g, (_all, name) => values[name]);
  const known = {}, coming = {};
  let status = {}, maps = null, place = 0, drawing = 0, shown = null, source = null, lit = null, chosen = "", given = "";
  const angle = {yaw: -0.5, pitch: -0.95};

  // ---- lighting what belongs together: lines of kit.yaml, drawings, steps, rows
  const madeBy = (one) => (one.dataset.made || "").split(" ").filter(Boolean);
  const light = (number) => {
    lit = number;
    for (const one of all("[data-made]")) one.classList.toggle("lit", Boolean(number) && (one.closest("svg") ? one.dataset.made === number : madeBy(one).includes(number)));
  };
  const shownNear = (one, block = "nearest") => { if (one) one.scrollIntoView({block, inline: "nearest"}); };
  const select = (line) => {
    for (const one of all(".lines li[aria-selected='true']")) one.setAttribute("aria-selected", "false");
    if (!line) return;
    line.setAttribute("aria-selected", "true");
    line.parentElement.setAttribute("aria-activedescendant", line.id);
    const box = line.parentElement, top = line.offsetTop - box.scrollTop;
    if (top < 0 || top > box.clientHeight - 40) box.scrollTop = line.offsetTop - box.clientHeight / 3;
  };
  const fromLine = (line) => {
    select(line);
    const number = madeBy(line).pop() || null;
    light(number);
    if (!number) return;
    const step = maps ? maps.steps.findIndex((one) => one.made.split(" ")[0] === number) : -1;
    if (step >= 0) { place = step; showStep(); }
    shownNear(document.querySelector(`svg .made[data-made="${number}"]`) || document.querySelector(`article[data-made="${number}"]`) || document.querySelector(`main [data-made~="${number}"]`));
  };
  const fromThing = (number) => {
    light(number);
    const line = all(".lines li").find((one) => madeBy(one).pop() === number);
    select(line);
    if (line && getComputedStyle(document.querySelector("aside")).position !== "sticky") shownNear(line.parentElement);
  };
  const toLine = (hash) => {
    const line = document.getElementById(hash.slice(1));
    if (!line) return;
    fromLine(line);
    line.parentElement.focus({preventScroll: true});
    if (getComputedStyle(document.querySelector("aside")).position !== "sticky") shownNear(line.parentElement);
  };
  const copy = async (button) => {
    try {
      await navigator.clipboard.writeText(button.closest("details").querySelector("pre").textContent);
      button.textContent = say("copied");
    } catch { button.textContent = say("copy yourself"); }
  };
  document.addEventListener("click", (event) => {
    const link = event.target.closest("a[href^='#L']"), line = event.target.closest(".lines li"), thing = event.target.closest("svg .made");
    if (link) { event.preventDefault(); toLine(link.getAttribute("href")); }
    else if (line) fromLine(line);
    else if (thing) fromThing(thing.dataset.made);
    else if (event.target.id === "make") fetch("/make");
    else if (event.target.matches(".copy")) copy(event.target);
  });
  document.addEventListener("keydown", (event) => {
    const thing = event.target.closest("svg .made"), box = event.target.closest(".lines");
    if (thing && (event.key === "Enter" || event.key === " ")) { event.preventDefault(); fromThing(thing.dataset.made); }
    if (!box || (event.key !== "ArrowDown" && event.key !== "ArrowUp")) return;
    const lines = [...box.children], now = lines.findIndex((one) => one.getAttribute("aria-selected") === "true");
    event.preventDefault();
    fromLine(lines[Math.min(Math.max(now + (event.key === "ArrowDown" ? 1 : -1), 0), lines.length - 1)]);
    box.focus({preventScroll: true});
  });

  // ---- the piece after each step
  const flat = async (canvas, number) => {
    // without three dimensions: from above, lit from the upper left by the slope of the map
    const part = await relief.mapsOf(maps, number), {columns, rows} = part, map = part.under ? part.bottom : part.top;
    canvas.width = columns;
    canvas.height = rows;
    const dots = new ImageData(columns, rows), wood = [1, 3, 5].map((from) => parseInt(part.colour.slice(from, from + 2), 16));
    for (let row = 0; row < rows; row += 1) for (let column = 0; column < columns; column += 1) {
      const at = (rows - 1 - row) * columns + column, deep = map[at];
      if (deep === 65535) continue;
      const left = map[column ? at - 1 : at], slope = (left === 65535 ? 0 : left - deep) / 100 / part.cell;
      const shade = 1 - 0.4 * deep / 100 / part.thickness + Math.max(-0.3, Math.min(0.2, slope * 0.15));
      wood.forEach((one, channel) => { dots.data[4 * (row * columns + column) + channel] = one * shade; });
      dots.data[4 * (row * columns + column) + 3] = 255;
    }
    canvas.getContext("2d").putImageData(dots, 0, 0);
    canvas.style.objectFit = "contain";
  };
  const draw = async () => {
    const mine = drawing += 1, step = maps.steps[place];
    const words = {role: "img", tabIndex: 0, ariaLabel: say("solid", step)};
    const fresh = () => el("canvas", {...words, width: 900, height: 640});
    let canvas = fresh(), view = null;
    try { view = await relief.shownIn(canvas, maps, step.number, () => {}, angle); }
    catch {
      canvas = fresh();
      try { await flat(canvas, step.number); } catch { canvas = el("p", {textContent: say("nothing cut")}); }
    }
    if (mine !== drawing) { if (view) view.end(); return; }
    id("solid").replaceChildren(canvas);
    if (shown) shown.end();
    shown = view;
    id("turns").hidden = !view;
    document.body.dataset.drawn = `${status.generation}:${step.number}`;
  };
  const showStep = () => {
    if (!maps || !maps.steps.length) return;
    place = Math.min(Math.max(place, 0), maps.steps.length - 1);
    const step = maps.steps[place], slider = id("slider");
    slider.max = String(maps.steps.length);
    slider.value = String(place + 1);
    slider.setAttribute("aria-valuetext", say("step", step));
    id("step-number").textContent = say("of", {number: place + 1, count: maps.steps.length});
    id("step-words").textContent = `${step.number} ${step.title}: ${step.part}, ${step.cutter}`;
    draw();
  };
  id("slider").addEventListener("input", (event) => {
    place = Number(event.target.value) - 1;
    showStep();
    light(maps.steps[place].made.split(" ")[0] || null);
  });
  id("turns").addEventListener("click", (event) => {
    const way = event.target.dataset.turn;
    if (!shown || !way) return;
    if (way === "flip") shown.flip();
    else shown.turn(Number(way), 0);
  });

  // ---- classes of machines, and one of the reader's own
  const showClass = () => {
    const pages = all("#settings > [data-class]"), choice = id("class");
    if (!pages.some((one) => one.dataset.class === chosen)) chosen = pages.length ? pages[0].dataset.class : "";
    choice.replaceChildren(...pages.map((one) => el("option", {value: one.dataset.class, textContent: one.dataset.name})));
    choice.value = chosen;
    for (const one of pages) one.hidden = one.dataset.class !== chosen;
  };
  id("class").addEventListener("change", (event) => { chosen = event.target.value; showClass(); });
  const compute = async () => {
    const answer = await fetch(`/machine?${given}`);
    if (answer.ok) id("own-settings").innerHTML = policy.createHTML(await answer.text());
    light(lit);
  };
  id("own-form").addEventListener("submit", (event) => {
    event.preventDefault();
    given = new URLSearchParams(new FormData(event.target)).toString();
    compute();
  });

  // ---- putting in place what changed
  const put = (name, text) => {
    const box = id(name), lines = box.querySelector(".lines"), scrolled = lines ? lines.scrollTop : 0;
    const selected = box.querySelector("[aria-selected='true']"), focused = box.contains(document.activeElement) ? document.activeElement.id : "";
    box.innerHTML = policy.createHTML(text);
    if (lines) box.querySelector(".lines").scrollTop = scrolled;
    if (selected && id(selected.id)) id(selected.id).setAttribute("aria-selected", "true");
    if (focused && id(focused)) id(focused).focus({preventScroll: true});
    for (const drawn of all("svg", box)) drawn.append(...all(".sign", drawn)); // signs above what can be pointed at
    if (SECTIONS[name]) id(SECTIONS[name]).hidden = !text.trim();
    if (name === "settings") showClass();
    if (name === "settings" && given) compute();
    if (name === "head") document.title = `${box.querySelector("h1").textContent} – kitforge live`;
    light(lit);
  };
  const fetched = async (name) => {
    const answer = await fetch(`/piece/${name}`);
    if (!answer.ok) throw new Error(`${name}: ${answer.status}`);
    if (name !== "maps") return put(name, await answer.text());
    maps = await answer.json();
    id("steps").hidden = !maps.steps.length;
    showStep();
  };
  // One answer at a time for each piece, the newest last; one that did not come is forgotten, so that it is asked for again.
  const bring = (name, sum) => {
    if (known[name] === sum) return coming[name];
    known[name] = sum;
    const forget = (error) => { if (known[name] === sum) delete known[name]; throw error; };
    const before = Promise.resolve(coming[name]).catch(() => {});
    coming[name] = before.then(() => (known[name] === sum ? fetched(name) : null)).catch(forget);
    return coming[name];
  };
  const follow = async (state) => {
    status = state.status;
    document.body.classList.toggle("old", status.stage === "trouble");
    id("state").textContent = say(WORDS[status.stage] ? status.stage : "reading");
    await Promise.all(Object.entries(state.pieces).map(([name, sum]) => bring(name, sum)));
    if (status !== state.status) return; // a newer state speaks for itself when its pieces are there
    document.body.dataset.stage = status.stage || "";
    document.body.dataset.generation = String(status.generation || 0);
  };
  const keepUp = (state) => follow(state).catch(() => setTimeout(() => { if (source && status === state.status) keepUp(state); }, 1000));
  const open = () => {
    if (source || document.hidden) return;
    source = new EventSource("/events");
    source.addEventListener("message", (event) => keepUp(JSON.parse(event.data)));
    source.addEventListener("error", () => {
      const over = source && source.readyState === EventSource.CLOSED;
      id("state").textContent = say(over ? "ended" : "no answer");
    });
  };
  const close = () => {
    if (source) source.close();
    source = null;
  };
  addEventListener("visibilitychange", () => (document.hidden ? close() : open()));
  addEventListener("pagehide", close);
  addEventListener("pageshow", open);
  open();
})();
