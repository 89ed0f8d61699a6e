// The page comes to life: without this script all of it can be read. Everything is put in as text, nothing as markup.
(() => {
  "use strict";
  const data = JSON.parse(document.getElementById("data").textContent);
  const FIGURES = ["speed", "feed", "plunge", "depth", "stepover"], MINE = 99;
  const LENGTHS = ["diameter", "edge"];
  const EXAMPLES = {dial: "1: 10000, 2: 14000", collets: "6.35, ER11"};
  const code = () => {
    const chosen = document.querySelector('input[name="language"]:checked');
    return chosen ? chosen.id.slice(2) : Object.keys(data.languages)[0];
  };
  const writers = Object.fromEntries(Object.entries(data.languages).map(([name, one]) => [name, numbers.writer(one, data.units)]));
  const write = () => writers[code()];
  const el = (tag, values, ...inside) => {
    const made = document.createElement(tag);
    for (const [name, value] of Object.entries(values)) {
      if (name === "role") made.setAttribute(name, value);
      else if (name === "data") Object.assign(made.dataset, value);
      else made[name] = value;
    }
    made.append(...inside.filter((one) => one !== null));
    return made;
  };
  const said = document.getElementById("said");
  const tell = (text) => { said.textContent = text; };
  const screen = {code, write, el, tell};
  const attempt = (act) => { try { act(); } catch (error) { console.error(error); } };

  // One's own settings in the tables of the steps and of the sheet.
  const cell = (name, view, ruled) => {
    const className = `c${FIGURES.indexOf(name) + 1}`;
    if (!view) return el("td", {className}, "–");
    const parts = [el("b", {textContent: view.start.main})];
    if (view.start.other) parts.push(" ", el("span", {textContent: view.start.other}));
    if (view.span) parts.push(" ", el("small", {textContent: view.span}));
    if (ruled) parts.push(" ", el("em", {textContent: view.word}));
    return el("td", {className}, ...parts);
  };
  const cellsOf = (row, over, ruled) => {
    const found = FIGURES.filter((name) => name !== "stepover" || over).map((name) => cell(name, row[name], ruled && (name !== "stepover" || (row.stepover && row.stepover.author))));
    const passes = el("td", {className: "c6"}, el("b", {textContent: row.passes.count}));
    if (row.passes.more) passes.append(" ", el("small", {textContent: row.passes.more}));
    return [...found, passes];
  };
  const moreOf = ({row, deep}) => {
    const {say} = write();
    const dial = row.dial ? say("dial at", {position: row.dial}) : "";
    return [deep, dial, row.entry, row.direction, say("stick-out", {length: row.stickOut}), ...row.warnings].filter(Boolean).join(" · ");
  };
  const mark = () => el("th", {scope: "row"}, el("span", {className: "tab", textContent: write().say("yours")}));
  const place = (result, body, sheet, over, columns) => {
    const line = (extra, ...cells) => el("tr", {className: `row k${MINE}${extra}`}, ...cells);
    const lead = () => (sheet ? [el("td", {})] : []), room = columns - (sheet ? 1 : 0);
    if (result.row) {
      const tail = sheet ? [] : [el("td", {className: "c7", textContent: result.seconds ? write().minutes(result.seconds) : "–"})];
      body.append(line("", ...lead(), mark(), ...cellsOf(result.row, over, sheet), ...tail));
      body.append(line(" detail", ...lead(), el("td", {colSpan: room, textContent: moreOf(result)})));
      if (sheet) body.querySelector(".named th").append(el("span", {className: `mine k${MINE}`, textContent: moreOf(result)}));
    } else {
      const none = el("b", {textContent: write().say("no settings")});
      body.append(line("", ...lead(), mark(), el("td", {colSpan: room - 1}, none, ` ${result.reasons.join(" ")}`)));
    }
  };
  const clear = () => document.querySelectorAll(`.row.k${MINE}, .mine, details.how`).forEach((one) => one.remove());

  const raised = (unit) => unit.replace(/-1\b/g, "⁻¹").replace(/2\b/g, "²").replace(/3\b/g, "³");
  const cited = (source) => {
    const said = write().text(source), made = el("td", {className: "soft", textContent: said});
    if (said === source) made.lang = "en";
    return made;
  };
  const explain = (result, machine) => {
    const {say, four} = write();
    const how = el("details", {className: "how"}, el("summary", {textContent: say("how")}));
    how.addEventListener("toggle", () => {
      if (how.childElementCount > 1) return;
      for (const quantity of FIGURES.filter((name) => result.found[name])) {
        const {limits, lines} = explaining.linesOf(quantity, result.step, machine, data, result.taken);
        const list = limits.map((one) => el("li", {}, `${say(one.side === "<=" ? "at most" : "at least")} ${four(one.value)} ${raised(one.unit)}: ${write().text(one.words)} `, el("span", {className: "soft", textContent: write().text(one.source)})));
        const rows = lines.map((one) => el("tr", {},
          el("td", {lang: "en", textContent: one.words}), el("td", {className: "formula", textContent: `${one.name}${one.side ? ` ${one.side}` : " ="} ${one.formula}`}),
          el("td", {textContent: `${four(one.value)} ${raised(one.unit)}`}), cited(one.source)));
        const head = ["what", "formula", "result", "origin"].map((word) => el("th", {scope: "col", textContent: say(word)}));
        how.append(el("h4", {textContent: say(quantity)}), el("ul", {className: "mind"}, ...list),
          el("details", {}, el("summary", {textContent: say("calculation")}), el("div", {className: "wide", tabIndex: 0, role: "region", ariaLabel: `${say(quantity)}, ${result.step.number}: ${say("calculation")}`}, el("table", {}, el("thead", {}, el("tr", {}, ...head)), el("tbody", {}, ...rows)))));
      }
    });
    return how;
  };

  // What the reader wrote, for the printed table: whose figures they are.
  const written = (form, taken) => {
    const {say} = write(), unit = form.units === "in" ? "in" : "mm";
    const told = own.FIELDS.filter(([name]) => form[name]).map(([name, label, , kind]) => [say(label), form[name], kind.startsWith("mm") ? kind.replace("mm", unit) : ""]);
    Object.values(data.cutters).forEach((cutter, at) => {
      for (const name of ["diameter", "flutes", "edge", "marked"]) {
        const text = form[`cutter-${at}-${name}`];
        if (text) told.push([`${cutter.names[code()]}, ${say(name)}`, text, LENGTHS.includes(name) ? unit : ""]);
      }
    });
    data.stock.forEach((stock, at) => {
      const thickness = form[`stock-${at}-thickness`], wood = data.woods.find((one) => one.key === form[`stock-${at}-wood`]);
      if (thickness) told.push([`${stock.names[code()]}, ${say("thickness")}`, thickness, unit]);
      if (wood) told.push([`${stock.names[code()]}, ${say("wood")}`, wood.names[code()], ""]);
    });
    return `${say("my machine")}: ${told.map((one) => `${one[0]} ${one.slice(1).join(" ")}`.trim()).join(" · ")}. ${taken}`;
  };
  let ways = null;
  const verdicts = el("div", {role: "status", className: "verdicts"});
  const compute = () => {
    const form = keeping.all("form"), {say} = write(), label = document.getElementById("mine");
    clear();
    verdicts.replaceChildren();
    if (!Object.entries(form).some(([name, value]) => value && name !== "units")) {
      label.hidden = true;
      return false;
    }
    const done = own.reckon(data, write(), form, ways);
    const list = (lines) => el("ul", {className: "mind"}, ...lines.map((text) => el("li", {textContent: text})));
    if (done.refused.length) {
      label.hidden = true;
      verdicts.append(list(done.refused));
      return false;
    }
    label.hidden = false;
    verdicts.append(el("p", {}, el("strong", {textContent: say(done.misfits.length ? "does not fit" : "fits")})), list([...done.misfits, ...done.told]));
    const told = document.querySelector(`.in.${code()} .told`);
    if (told) told.append(" ", el("span", {className: `mine k${MINE}`, textContent: written(form, done.taken)}));
    const held = done.holding.map((one) => {
      const words = one.holds ? one.words : el("strong", {textContent: one.words});
      return el("li", {}, `${one.title}: ${one.heldBy}${one.when ? `, ${one.when}` : ""}: `, words);
    });
    if (held.length) verdicts.append(el("p", {}, el("strong", {textContent: say("holds")})), el("ul", {className: "mind"}, ...held));
    const known = new Set(data.steps.map((step) => step.number));
    const all = [...document.querySelectorAll(`.in.${code()} article.step`)].map((one) => Number(one.dataset.step));
    const others = all.filter((number) => !known.has(number)).map((number) => ({step: {number}, reasons: [say("cannot say")]}));
    for (const result of [...done.steps, ...others]) {
      const inside = document.querySelectorAll(`.in.${code()} [data-step="${result.step.number}"]`);
      for (const one of inside) {
        const sheet = one.tagName === "TBODY", table = sheet ? one.closest("table") : one.querySelector("table.settings");
        if (!table) continue;
        const columns = table.tHead.rows[0].cells.length, over = columns === (sheet ? 9 : 8) - (sheet ? 1 : 0);
        place(result, sheet ? one : table.tBodies[0], sheet, over, columns);
        if (!sheet && result.found) table.after(explain(result, done.machine));
      }
    }
    return true;
  };
  const choose = (number) => { document.getElementById(`k${number}`).checked = true; };

  // The form.
  const form = () => {
    const {say} = write(), fields = [], labels = [];
    const field = (name, label, values, kind) => {
      const id = `f-${name}`, input = el(kind || "input", {id, name, ...(kind ? {} : {type: "text", autocomplete: "off", maxLength: 200}), ...values.own}, ...(values.options || []));
      input.value = keeping.get("form", name) || (kind ? values.first : "");
      input.addEventListener("change", () => keeping.set("form", name, input.value));
      const title = el("label", {htmlFor: id});
      fields.push(input);
      labels.push([title, label, values.unit || ""]);
      return el("p", {className: "field"}, title, input);
    };
    // Every length and feed says what it is written in.
    const relabel = () => {
      const inches = fields.find((one) => one.name === "units").value === "in";
      for (const [title, label, unit] of labels) title.textContent = unit ? `${label}, ${inches ? unit.replace("mm", "in") : unit}` : label;
    };
    const options = (pairs) => pairs.map(([value, text]) => el("option", {value, textContent: text}));
    const group = (title, ...inside) => el("fieldset", {className: "group"}, el("legend", {textContent: title}), ...inside);
    const classes = options([["", say("nearest")], ...data.library.map((one) => [one.key, write().text(one.name)])]);
    const decimal = (unit) => ({own: {inputMode: "decimal"}, unit});
    const machine = group(say("my machine"),
      field("like", say("like"), {options: classes, first: ""}, "select"),
      field("units", say("lengths in"), {options: options([["mm", "mm, mm/min"], ["in", "in, in/min"]]), first: data.units.first}, "select"),
      ...own.FIELDS.map(([name, label, , unit]) => field(name, say(label), EXAMPLES[name] ? {own: {placeholder: EXAMPLES[name]}} : decimal(unit))));
    const cutters = group(say("my cutters"), ...Object.values(data.cutters).flatMap((cutter, at) => {
      const title = el("p", {className: "of", textContent: cutter.names[code()]});
      return [title, ...["diameter", "flutes", "edge", "marked"].map((name) => field(`cutter-${at}-${name}`, say(name), {own: {inputMode: "decimal", placeholder: say("as the kit")}, unit: LENGTHS.includes(name) ? "mm" : ""}))];
    }));
    const boards = group(say("my board"), ...data.stock.flatMap((stock, at) => {
      const woods = data.woods.map((wood) => [wood.key === stock.wood ? "" : wood.key, wood.names[code()]]).sort((one, other) => one[1].localeCompare(other[1], code()));
      return [el("p", {className: "of", textContent: stock.names[code()]}),
        field(`stock-${at}-thickness`, say("thickness"), {own: {inputMode: "decimal", placeholder: say("as the kit")}, unit: "mm"}),
        field(`stock-${at}-wood`, say("wood"), {options: options(woods), first: ""}, "select")];
    }));
    relabel();
    fields.find((one) => one.name === "units").addEventListener("change", relabel);
    const button = el("button", {type: "submit", className: "main", textContent: say("compute")});
    const made = el("form", {noValidate: true}, machine, cutters, boards, el("p", {}, button));
    made.addEventListener("submit", (event) => {
      event.preventDefault();
      fields.forEach((input) => keeping.set("form", input.name, input.value));
      if (compute()) {
        choose(MINE);
        keeping.set("chosen", "class", String(MINE));
      } else if (document.getElementById(`k${MINE}`).checked) choose(0);
    });
    const details = el("details", {}, el("summary", {textContent: say("own machine")}), el("p", {textContent: say("own about")}), made);
    details.open = Object.keys(keeping.all("form")).length > 0;
    document.getElementById("own").replaceChildren(details, verdicts);
    document.getElementById("own").hidden = false;
  };

  // Notes as a file.
  const files = () => {
    const {say} = write();
    const save = el("button", {type: "button", textContent: say("save")}), load = el("input", {type: "file", accept: ".json,application/json", id: "load"});
    save.addEventListener("click", () => {
      const address = URL.createObjectURL(new Blob([keeping.asFile()], {type: "application/json"}));
      el("a", {href: address, download: `${data.key.split(":")[1].split("#")[0].replace("@", "-")}-notes.json`}).click();
      setTimeout(() => URL.revokeObjectURL(address), 10000);
    });
    load.addEventListener("change", async () => {
      try {
        if (load.files[0].size > 2000000) throw new RangeError("too large");
        keeping.fromFile(await load.files[0].text());
        refresh();
      } catch { tell(lost.textContent = say("no notes")); }
    });
    return el("p", {className: "files"}, save, el("label", {htmlFor: "load", className: "button"}, say("load"), load));
  };
  const lost = el("p", {className: "fine", textContent: ""});

  // A button below each step's picture; one view at a time, since each takes memory of the graphics card.
  let seen = null;
  const solids = () => {
    const {say} = write();
    document.querySelectorAll(".solid").forEach((one) => one.remove());
    seen = null;
    for (const article of document.querySelectorAll(`.in.${code()} article.step`)) {
      const number = Number(article.dataset.step);
      if (!data.maps.some((part) => part.steps.some((step) => step[0] === number))) continue;
      const open = el("button", {type: "button", textContent: say("turn it")}), told = el("span", {className: "fine"});
      const box = el("div", {className: "solid"}, el("p", {}, open, told));
      article.querySelector(".views").after(box);
      open.addEventListener("click", async () => {
        if (seen) seen.close();
        const canvas = el("canvas", {width: 900, height: 640, tabIndex: 0, role: "img", ariaLabel: say("solid of", {number})});
        const close = () => {
          canvas.remove();
          box.querySelectorAll(".turns").forEach((one) => one.remove());
          open.hidden = false;
        };
        try {
          const view = await relief.shownIn(canvas, data, number, () => { close(); told.textContent = say("no solid"); });
          const button = (word, act) => {
            const made = el("button", {type: "button", textContent: say(word)});
            made.addEventListener("click", act);
            return made;
          };
          const away = () => { close(); view.end(); seen = null; };
          seen = {close: away};
          open.hidden = true;
          box.append(canvas, el("p", {className: "turns"}, button("turn left", () => view.turn(-0.3, 0)), button("turn right", () => view.turn(0.3, 0)),
            button("other face", view.flip), button("close", () => { away(); open.focus(); })));
        } catch (error) {
          close();
          told.textContent = say("no solid");
        }
      });
    }
  };

  const notes = () => {
    const {say} = write();
    document.querySelectorAll(".notes").forEach((one) => one.remove());
    for (const article of document.querySelectorAll(`.in.${code()} article.step`)) {
      const name = `step-${article.dataset.step}`, id = `n-${name}`;
      const area = el("textarea", {id, rows: 3, maxLength: 5000, value: keeping.get("notes", name)});
      area.addEventListener("input", () => keeping.set("notes", name, area.value));
      article.append(el("p", {className: "notes"}, el("label", {htmlFor: id, textContent: say("my notes")}), area));
    }
  };
  const tools = () => {
    const {say} = write();
    document.querySelectorAll(".tools").forEach((one) => one.remove());
    const steps = document.querySelector(`.in.${code()} section.steps`), sheet = document.querySelector(`.in.${code()} section.sheet`);
    const work = el("button", {type: "button", className: "main", textContent: say("work")});
    work.addEventListener("click", () => working.enter(0));
    steps.querySelector("h2").after(el("div", {className: "tools"}, el("p", {}, work), files(), lost, working.timer()));
    const print = el("button", {type: "button", textContent: say("print")});
    print.addEventListener("click", () => window.print());
    sheet.querySelector(".only").after(el("p", {className: "tools"}, print));
    const old = document.getElementById("bar");
    if (old) old.remove();
    document.body.append(working.bar());
  };
  const ticks = () => {
    for (const box of document.querySelectorAll("input.keeps")) box.checked = keeping.get("ticks", box.id.replace(/^\w+-/, "")) === "1";
  };
  const refresh = () => {
    attempt(form);
    attempt(compute);
    attempt(notes);
    attempt(solids);
    attempt(tools);
    attempt(ticks);
    const chosen = document.getElementById(`k${keeping.get("chosen", "class") || 0}`);
    if (chosen && !(chosen.id === `k${MINE}` && document.getElementById("mine").hidden)) chosen.checked = true;
    if (working.inside()) working.show(false);
  };

  document.addEventListener("change", (event) => {
    const box = event.target;
    if (box.classList.contains("keeps")) {
      const name = box.id.replace(/^\w+-/, "");
      keeping.set("ticks", name, box.checked ? "1" : "");
      ticks();
    }
    if (box.name === "class") keeping.set("chosen", "class", box.value);
    if (box.name === "language") {
      document.documentElement.lang = code();
      keeping.set("chosen", "language", code());
      refresh();
    }
  });
  working.start(screen);
  keeping.open(data.key, () => { lost.textContent = write().say("not kept"); });
  // A page of another size says in which language it was left.
  const asked = location.hash.startsWith("#l-") ? location.hash.slice(3) : keeping.get("chosen", "language");
  const spoken = document.getElementById(`l-${asked}`);
  if (spoken) spoken.checked = true;
  document.documentElement.lang = code();
  refresh();
  // Where a browser cannot unpack the ways of the cutter, or not yet, all is there but the times.
  timing.waysOf(reckoning.allSteps(data)).then((found) => {
    ways = found;
    attempt(compute);
  }, (error) => console.error(error));
})();
