// What Python does round the worksheet: a machine from a few figures, how a depth is divided, and the words of a row.
const reckoning = (() => {
  "use strict";
  const {MM_PER_INCH, roundEven, fixed, mmNumber, inchNumber} = numbers;
  const QUIET = {put() {}, enter() {}, leave() {}, pause() {}, resume() {}};
  const NO_WISH = {speed: null, feed: null, plunge: null, depth_per_pass: null, stepover: null};
  const exactly = (value) => ({low: value, high: value});

  // passes.py: the rule stands there.
  const SLACK = 1e-6;
  const MM = {perMm: 100, places: 2, written: mmNumber}, INCH = {perMm: 1000 / MM_PER_INCH, places: 3, written: inchNumber};
  const HANDY = [10, 5, 2, 1];
  const eachOf = (height, count, most) => {
    if (count <= 1) return height;
    if (height % count === 0) return height / count;
    const even = height / count;
    const limit = Math.min(most, even * (1 + Math.min(0.03, 0.5 / count)));
    const found = HANDY.map((step) => Math.ceil(even / step) * step).find((each) => each <= limit);
    return found === undefined ? Math.ceil(even) : found;
  };
  const passesOf = (top, tip, count, most, figures, asked) => {
    const steps = (length) => roundEven(Number(figures.written(length, 2)) * 10 ** figures.places);
    const value = (number) => Number(fixed(number * Number(`1e-${figures.places}`), figures.places));
    const height = Math.max(1, steps(tip) - steps(top));
    let each;
    if (asked !== null) {
      count = Math.max(1, Math.ceil((tip - top) / asked - SLACK));
      each = count === 1 ? height : Math.max(1, steps(asked));
    } else each = eachOf(height, count, Math.floor(most * figures.perMm + SLACK));
    count = Math.min(count, Math.ceil(height / each));
    const last = height - (count - 1) * each;
    if (last === each) return {count, each: value(each), last: null, total: count};
    return {count: count - 1, each: value(each), last: value(last), total: count};
  };

  // own_machine.py: what is not known is taken from the class that is named, else from the nearest.
  const distance = (machine, given) => {
    const has = {
      feed: machine.feed.low,
      power: (machine.cutter_power.low + machine.cutter_power.high) / 2,
      area: Math.sqrt(machine.area[0].low * machine.area[1].low),
    };
    let sum = 0;
    for (const [name, value] of Object.entries(given)) if (value !== null) sum += Math.abs(Math.log(Math.max(value, 1e-6) / has[name]));
    return sum;
  };
  const nearest = (library, form) => {
    const given = {feed: form.feed, power: form.power, area: form.area ? Math.sqrt(form.area[0] * form.area[1]) : null};
    return library.reduce((best, one) => (best === null || distance(one, given) < distance(best, given) ? one : best), null);
  };
  const machineOf = (form, data) => {
    const base = data.library.find((one) => one.key === form.like) || nearest(data.library, form);
    const feed = form.feed === null ? base.feed : exactly(form.feed);
    const plunge = base.plunge.low <= feed.low ? base.plunge : feed;
    const dial = form.dial || [];
    let lowest = base.lowest_speed, highest = base.highest_speed;
    if (form.rpm) [lowest, highest] = form.rpm.map(exactly);
    else if (dial.length) [lowest, highest] = [exactly(dial[0][1]), exactly(dial[dial.length - 1][1])];
    return {
      key: "own", name: form.name, like: base.key, side_force: base.side_force, clearance: base.clearance, acceleration: base.acceleration,
      area: form.area ? form.area.map(exactly) : base.area,
      z_travel: form.z === null ? base.z_travel : exactly(form.z),
      lowest_speed: lowest, highest_speed: highest, dial, feed,
      cutter_power: form.power === null ? base.cutter_power : exactly(form.power),
      plunge: form.plunge === null ? plunge : exactly(form.plunge),
      shanks: form.collets ? form.collets.map((one) => one.span) : base.shanks,
      collet_text: form.collets ? form.collets.map((one) => one.name).join(", ") : base.collet_text,
    };
  };

  // fit.py: whether the kit goes onto the machine. The sentences are Python's own.
  const length = (value, places) => ({value, unit: "mm", places});
  const misfits = (machine, data, cutters) => {
    const {sheets, travel, thickest, spoilboard, safe, templates} = data.fit;
    const [short, long] = machine.area.map((span) => span.low).sort((a, b) => a - b);
    const told = [];
    const tell = (name, values) => told.push({template: templates[name], values: Object.entries(values)});
    const size = (one, other) => ({times: [one, other]});
    for (const sheet of sheets) {
      if (sheet.width > short || sheet.length > long) {
        tell("table", {stock: sheet, size: size(sheet.length, sheet.width), table: size(long, short)});
      }
    }
    if (travel > machine.z_travel.low) tell("travel", {travel: length(travel, 0), has: length(machine.z_travel.low, 0)});
    if (thickest + spoilboard + safe > machine.clearance.low) {
      tell("clearance", {thickness: length(thickest, 2), spoilboard: length(spoilboard, 0), clearance: length(machine.clearance.low, 0)});
    }
    for (const cutter of cutters) {
      if (!machine.shanks.some(({low, high}) => low - 0.05 <= cutter.shank && cutter.shank <= high + 0.05)) {
        tell("collet", {cutter, shank: length(cutter.shank, 2), collets: {template: machine.collet_text, values: []}});
      }
    }
    return told;
  };

  // A step as it is at another thickness of its stock: what is other there, within records as well.
  const isRecord = (one) => typeof one === "object" && one !== null && !Array.isArray(one);
  const changed = (one, change) => {
    const found = {...one};
    for (const [name, value] of Object.entries(change)) found[name] = isRecord(value) && isRecord(one[name]) ? changed(one[name], value) : value;
    return found;
  };
  const onRung = (step, rung) => (rung && rung.stock === step.stock && rung.steps[step.number] ? changed(step, rung.steps[step.number]) : step);
  const allSteps = (data) => [null, ...data.rungs].flatMap((rung) => data.steps.map((step) => onRung(step, rung)));

  // adapter.py: from the values of the worksheet to what a row prints.
  const settingsOf = (step, machine, data, own, trace) => {
    const {cutter, material} = own, wish = own.wish || NO_WISH;
    const v = worksheet(trace || QUIET, step.cut, cutter, material, machine, data.data, data.tables, wish);
    if (v.refused) return {refused: v.refused};
    const window = (unit, start, lower, upper, wished, why) => ({
      unit, start, low: lower[0], high: upper[0], author: wished !== null && wished !== undefined, word: upper[1].words, why,
    });
    const speed = window("rpm", v.n, v.n_lower, v.n_upper, v.n_own, v.n_why);
    const feed = window("mm/min", v.vf, v.vf_lower, v.vf_upper, v.vf_own, v.vf_why);
    const plunge = v.vz_lower && v.vz_upper ? window("mm/min", v.vz, v.vz_lower, v.vz_upper, v.vz_own, v.vz_why) : feed;
    const depth = window("mm", v.ap, v.ap_lower, v.ap_upper, v.ap_own, v.ap_why);
    const has = v.s !== null && v.s_lower && v.s_upper && step.stepover;
    const stepover = has ? window("mm", v.s, v.s_lower, v.s_upper, v.s_own, v.s_why) : null;
    if (!speed.author && !feed.author && v.n_follow < speed.high) {
      speed.high = v.n_follow;
      speed.word = "feed at its upper end";
    }
    const asked = wish.depth_per_pass;
    const [inMm, inInches] = [MM, INCH].map((unit) => passesOf(step.top, step.depth, v.N, depth.high, unit, asked));
    depth.start = inMm.each;
    const direction = step.ways === "none" ? null : step.ways === "either" && v.direction !== null ? "either way" : v.direction;
    return {
      speed, feed, plunge, depth, stepover, inMm, inInches, direction, dial: v.dial, stickOut: v.L, notes: v.notes, values: v,
      entry: {manner: v.manner, angle: v.a_in, peck: v.peck ? inMm.each : null},
    };
  };

  // holding.py: whether the work holds what these settings pull at it, at the worst corner of their ranges.
  const HAIR = 1 - 1e-9;
  const pullOf = ({values: v}) => [Math.max(v.own.Fs, v.F_most), Math.max(v.own.Fa, v.U_most, 0)];
  const share = (demand, bears) => demand / Math.max(bears, 1e-9);
  const verdictOf = (kept, pull, write) => {
    const within = (bears) => bears[0] >= pull[0] * HAIR && bears[1] >= pull[1] * HAIR;
    const holds = within(kept.bears), near = !holds && kept.breaks !== null && within(kept.breaks);
    const up = share(pull[1], kept.bears[1]) > share(pull[0], kept.bears[0]) ? 1 : 0;
    const answer = write.say(holds ? "yes" : near ? "less" : "no");
    const figure = (value) => write.handy(value, -Infinity, Infinity);
    const words = write.say(up ? "upwards" : "sideways", {answer, demand: figure(pull[up]), capacity: figure(kept.bears[up])});
    return {holds: holds || near, heldBy: kept.names[write.code], words};
  };
  const holdingOf = (setups, settings, write) => setups.flatMap((setup) => {
    const pulls = setup.steps.filter((number) => settings.has(number)).map((number) => pullOf(settings.get(number)));
    if (!pulls.length) return [];
    const hardest = [0, 1].map((side) => Math.max(...pulls.map((pull) => pull[side])));
    const title = setup.names[write.code], rows = [];
    if (setup.stock) rows.push({title, when: "", ...verdictOf(setup.stock, hardest, write)});
    for (const {step, when, kept} of setup.pieces.filter((one) => settings.has(one.step))) {
      const pull = pullOf(settings.get(step));
      const least = ({bears}) => Math.min(bears[0] / Math.max(pull[0], 1e-9), bears[1] / Math.max(pull[1], 1e-9));
      const worst = kept.reduce((best, one) => (least(one) < least(best) ? one : best));
      rows.push({title, when: when[write.code], ...verdictOf(worst, pull, write)});
    }
    return rows;
  });

  // settings.py of the print: what stands beside the count of passes.
  const moreOf = (main, other, inMm, inInches, write) => {
    const {say, units} = write, last = (one, places) => (one.last === null ? "" : numbers.plain(one.last, places));
    const written = write.pick(last(inMm, 2), last(inInches, 3));
    const own = written.main ? say("last", {depth: written.main}) : "";
    if (!units.both || (main.last === null && other.last === null && main.count === other.count)) return own;
    const unit = units.first === "in" ? "mm" : "in", count = other.count;
    if (written.main && written.other && main.count === other.count) return say("last of both", {depth: written.main, other: written.other});
    const also = written.other ? say("passes elsewhere", {unit, count, depth: written.other}) : say("equal elsewhere", {unit, count});
    return `${own} ${also}`.trim();
  };

  // settings.py of the print: the words of a row.
  const rowOf = (found, write) => {
    const {units} = write;
    const view = (one) => {
      const span = write.span(one.low, one.high, one.unit), start = write.setting(one.start, one.unit, one.low, one.high);
      const word = one.author ? write.say("author's value") : write.text(one.word);
      return {start, span: span.main === start.main ? "" : span.main, word, author: one.author};
    };
    const depth = view(found.depth), {inMm, inInches} = found;
    depth.start = write.pick(numbers.plain(inMm.each, 2), numbers.plain(inInches.each, 3));
    if (found.depth.low <= 0 && !found.depth.author) {
      const high = found.depth.high;
      depth.span = write.pick(write.upTo(high, inMm.each), write.upTo(high / MM_PER_INCH, inInches.each)).main;
    }
    const [main, other] = units.first === "in" ? [inInches, inMm] : [inMm, inInches];
    const passes = {count: main.count, more: moreOf(main, other, inMm, inInches, write)};
    const {manner, angle, peck} = found.entry;
    let entry = write.text(manner);
    if (angle !== null) entry = write.say(manner === "ramp" ? "ramp" : "helix", {angle: write.figure(angle, 1)});
    else if (peck) entry = write.say("peck", {depth: write.figure(peck, 2)});
    return {
      speed: view(found.speed), feed: view(found.feed), plunge: view(found.plunge), depth, passes, entry,
      stepover: found.stepover ? view(found.stepover) : null,
      dial: found.dial === null ? "" : found.dial,
      direction: found.direction === null ? "" : write.text(found.direction),
      stickOut: write.length(found.stickOut, 0).main,
      warnings: found.notes.map((note) => write.write(note.message)),
    };
  };
  return {machineOf, misfits, settingsOf, rowOf, passesOf, holdingOf, onRung, allSteps};
})();
