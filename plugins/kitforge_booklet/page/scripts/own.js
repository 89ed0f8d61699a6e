// The form for one's own machine, cutters and board: what is written is read strictly, and refused in words.
const own = (() => {
  "use strict";
  const number = (text) => {
    const plain = text.trim().replace(",", ".");
    return /^\d+(\.\d+)?$/.test(plain) ? Number(plain) : NaN;
  };

  // The fields by name: words, bounds as Python has them, whether in lengths or feeds.
  const FIELDS = [
    ["x", "travel x", "area", "mm"], ["y", "travel y", "area", "mm"], ["z", "travel z", "z_travel", "mm"],
    ["slowest", "slowest", "rpm", ""], ["fastest", "fastest", "rpm", ""], ["dial", "dial", "dial", "dial"],
    ["feed", "fastest feed", "feed_limit", "mm/min"], ["plunge", "fastest plunge", "plunge_limit", "mm/min"],
    ["power", "power", "power", ""], ["collets", "collets", "collets", "collets"],
  ];

  const reader = (data, write, form) => {
    const refused = [], {say} = write;
    const inches = form.units === "in";
    const text = (key) => (form[key] || "").trim();
    const bounded = (label, value, name, perUnit) => {
      const [low, high, unit] = data.bounds[name];
      if (low <= value && value <= high) return value;
      refused.push(say("out of bounds", {field: label, value: write.four(value / perUnit), low: write.four(low / perUnit), high: write.four(high / perUnit), unit: perUnit > 1 ? unit.replace("mm", "in") : unit}));
      return null;
    };
    const amount = (key, label, name, unit) => {
      if (!text(key)) return null;
      const value = number(text(key));
      if (Number.isNaN(value)) {
        refused.push(say("no number", {field: label, text: text(key)}));
        return null;
      }
      const perUnit = inches && unit.startsWith("mm") ? numbers.MM_PER_INCH : 1;
      return name ? bounded(label, value * perUnit, name, perUnit) : value * perUnit;
    };
    const pair = (one, other, rising) => {
      const [first, second] = [one, other].map((key) => {
        const [, label, name, unit] = FIELDS.find((field) => field[0] === key);
        return amount(key, say(label), name, unit);
      });
      const label = say(FIELDS.find((field) => field[0] === one)[1]);
      if (!text(one) && !text(other)) return null;
      if (!text(one) || !text(other)) refused.push(say("pair missing", {field: label}));
      if (first === null || second === null) return null;
      if (rising && first > second) {
        refused.push(say("low first", {field: label}));
        return null;
      }
      return [first, second];
    };
    const dial = () => {
      if (!text("dial")) return null;
      const rows = text("dial").split(/[,;]\s*/).map((part) => /^\s*([^:\s]{1,12})\s*:\s*(\d+(?:\.\d+)?)\s*$/.exec(part));
      const found = rows.every(Boolean) ? rows.map((row) => [row[1], Number(row[2])]) : [];
      const rising = found.length && found.length <= 40 && found.every((row, place) => !place || found[place - 1][1] < row[1]);
      if (!rising) refused.push(say("dial wrong", {field: say("dial")}));
      else for (const row of found) bounded(say("dial"), row[1], "dial", 1);
      return rising ? found : null;
    };
    const collets = () => {
      if (!text("collets")) return null;
      const found = [];
      for (const part of text("collets").split(/[,;]\s+|;|,(?=\s*[A-Za-z])/).map((one) => one.trim()).filter(Boolean).slice(0, 40)) {
        const size = part.toUpperCase().replace(/\s/g, "");
        const perUnit = inches ? numbers.MM_PER_INCH : 1, value = number(part) * perUnit;
        if (Object.hasOwn(data.collets, size)) found.push({name: size, span: data.collets[size]});
        else if (Number.isNaN(value)) refused.push(say("collet unknown", {field: say("collets"), text: part, names: Object.keys(data.collets).join(", ")}));
        else if (bounded(say("collets"), value, "collets", perUnit) !== null) found.push({name: `${write.four(value)} mm`, span: {low: value, high: value}});
      }
      return found.length ? found : null;
    };
    const single = (key) => {
      const [, label, name, unit] = FIELDS.find((field) => field[0] === key);
      return amount(key, say(label), name, unit);
    };
    const machine = () => {
      const speeds = pair("slowest", "fastest", true), positions = dial();
      if (speeds && positions && positions.some((row) => row[1] < speeds[0] || row[1] > speeds[1])) {
        refused.push(say("dial wrong", {field: say("dial")}));
      }
      return {
        name: say("my machine"), like: text("like") || null, area: pair("x", "y", false), z: single("z"), rpm: speeds,
        dial: positions, feed: single("feed"), plunge: single("plunge"), power: single("power"), collets: collets(),
      };
    };
    return {refused, text, amount, machine};
  };

  // own_cutters.py: a cutter stands in where the drawing stays true.
  const HAIR = 1e-6;
  const cuttersOf = (data, write, read) => {
    const found = {};
    for (const [place, [key, named]] of Object.entries(data.cutters).entries()) {
      const title = named.names[write.code], {say} = write;
      const field = (name) => read.amount(`cutter-${place}-${name}`, `${title}, ${say(name)}`, "", name === "flutes" || name === "marked" ? "" : "mm");
      const [diameter, flutes, edge, marked] = ["diameter", "flutes", "edge", "marked"].map(field);
      const size = (mm) => write.whole(write.length(mm, 2));
      const refuse = (word, own, limit) => read.refused.push(say(word, {cutter: title, own: size(own), limit: size(limit)}));
      if (diameter !== null && diameter > named.high + HAIR) refuse("too wide", diameter, named.high);
      if (diameter !== null && diameter < Math.max(named.low, 0.1) - HAIR) refuse("too narrow", diameter, Math.max(named.low, 0.1));
      if (edge !== null && edge < Math.min(named.deepest, named.edge) - HAIR) refuse("edge short", edge, Math.min(named.deepest, named.edge));
      if (flutes !== null && ![1, 2, 3, 4, 5, 6, 7, 8].includes(flutes)) {
        read.refused.push(say("out of bounds", {field: `${title}, ${say("flutes")}`, value: write.four(flutes), low: "1", high: "8", unit: ""}));
      }
      found[key] = {diameter, flutes, edge, marked};
    }
    return found;
  };
  const withOwn = (geometry, {diameter, flutes, edge, marked}) => ({
    ...geometry,
    diameter: diameter === null ? geometry.diameter : diameter,
    flutes: flutes === null ? geometry.flutes : flutes,
    cutting_length: edge === null ? geometry.cutting_length : edge,
    overall_length: geometry.overall_length + Math.max(0, (edge === null ? geometry.cutting_length : edge) - geometry.cutting_length),
    max_speed: marked === null ? geometry.max_speed : marked,
  });

  // Where there are drawings for several thicknesses: the smallest that is the measured one or more.
  const rungOf = (rungs, stock, measured, write, read, told) => {
    const size = (mm) => write.whole(write.length(mm, 2)), [least, most] = [rungs[0].thickness, rungs[rungs.length - 1].thickness];
    const step = rungs.length > 1 ? rungs[1].thickness - least : 0;
    const values = {stock: stock.names[write.code], own: size(measured), least: size(least), most: size(most), drawn: size(stock.actual)};
    const rung = rungs.find((one) => one.thickness >= measured - HAIR) || null;
    if (!rung) read.refused.push(write.say("rung thick", values));
    else if (measured < least - step - HAIR) read.refused.push(write.say("rung thin", values));
    else told.push(write.say("rung", {...values, folder: rung.folder}));
    return rung;
  };

  // Depths are drawn for one thickness: what differs little is told, what does not come out is refused.
  const FAR = 0.1;
  const boardsOf = (data, write, read, told) => data.stock.map((stock, place) => {
    const measured = read.amount(`stock-${place}-thickness`, `${stock.names[write.code]}, ${write.say("thickness")}`, "", "mm");
    const wood = data.woods.find((one) => one.key === (read.text(`stock-${place}-wood`) || stock.wood));
    const rungs = data.rungs.filter((one) => one.stock === stock.key);
    if (measured !== null && rungs.length) {
      return {key: stock.key, wood, same: wood.key === stock.wood, rung: rungOf(rungs, stock, measured, write, read, told)};
    }
    if (measured !== null) {
      const size = (mm) => write.whole(write.length(mm, 2));
      const values = {stock: stock.names[write.code], own: size(measured), drawn: size(stock.actual)};
      if (Math.abs(measured - stock.actual) > FAR * stock.actual) read.refused.push(write.say("board far", values));
      else if (stock.through !== null && measured > stock.through - HAIR) {
        read.refused.push(write.say("board thick", {...values, limit: size(stock.through)}));
      } else if (measured < stock.actual - 0.05) {
        told.push(write.say("board thin", {...values, more: size(stock.actual - measured)}));
      }
    }
    return {key: stock.key, wood, same: wood.key === stock.wood, rung: null};
  });

  // Everything for one form: refusals, what keeps the kit off the machine, and the settings or reasons of each step.
  const reckon = (data, write, form, ways) => {
    const read = reader(data, write, form), told = [];
    const given = read.machine(), cutters = cuttersOf(data, write, read), boards = boardsOf(data, write, read, told);
    if (read.refused.length) return {refused: read.refused, told: [], steps: []};
    const machine = reckoning.machineOf(given, data);
    const all = Object.values(data.cutters);
    const misfits = reckoning.misfits(machine, data, all);
    const steps = data.steps.map((drawn) => {
      const board = boards.find((one) => one.key === drawn.stock), step = reckoning.onRung(drawn, board.rung);
      const deep = step.depth === drawn.depth ? "" : write.say("deep", {depth: write.whole(write.length(step.depth, 2))});
      if (!board.same && step.cut.keeping !== null) {
        const wood = data.woods.find((one) => one.key === data.stock.find((stock) => stock.key === step.stock).wood);
        return {step, reasons: [write.say("other wood", {wood: wood.names[write.code]})]};
      }
      const taken = {cutter: withOwn(step.geometry, cutters[step.cutter]), material: board.wood, wish: step.wish};
      const found = reckoning.settingsOf(step, machine, data, taken);
      if (found.refused) return {step, taken, reasons: found.refused.map((one) => write.write(one.message))};
      const seconds = timing.secondsOf(step, ways, machine, found.values, data.times);
      return {step, taken, found, row: reckoning.rowOf(found, write), seconds, deep};
    });
    const like = data.library.find((one) => one.key === machine.like);
    const from = write.say("taken from", {name: write.text(like.name)});
    told.unshift(from);
    const settings = new Map(steps.filter((one) => one.found).map((one) => [one.step.number, one.found]));
    if (steps.every((one) => one.seconds)) {
      const total = [0, 1].map((end) => steps.reduce((sum, one) => sum + one.seconds[end], data.times.handling[end]));
      told.push(write.say("at the machine", {time: write.minutes(total)}));
      if (data.times.flattened) told.push(write.say("without flattening"));
    }
    const known = boards.every((board) => board.same);
    const holding = known ? reckoning.holdingOf(data.setups, settings, write) : [];
    if (!known) told.push(write.say("other hold"));
    return {refused: [], told, taken: from, holding, misfits: misfits.map(write.write), machine, steps};
  };
  return {FIELDS, reckon};
})();
