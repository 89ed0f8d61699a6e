// How a figure came about: the calculation done again, each value noted with its formula, in the order of reckoning.
const explaining = (() => {
  "use strict";
  const tracer = (rows) => {
    const frameOf = (outside) => ({outside, map: {}, limits: {}, last: null});
    const top = frameOf(null), order = [];
    let frame = top, paused = false;
    return {
      top, order,
      put(number, value) {
        if (paused) return;
        const [symbol, , , , , , side] = rows[number];
        const entry = {number, value, inner: frame.last, frame};
        frame.last = null;
        order.push(entry);
        if (side) (frame.limits[symbol] = frame.limits[symbol] || []).push({entry, side});
        else frame.map[symbol] = entry;
      },
      enter() { if (!paused) frame = frameOf(frame); },
      leave() {
        if (paused || frame.outside === null) return;
        const inner = frame;
        frame = frame.outside;
        frame.last = inner;
      },
      pause() { paused = true; },
      resume() { paused = false; },
    };
  };
  const find = (name, frame) => {
    const [symbol, part] = name.split(".");
    for (let at = frame; at; at = at.outside) {
      if (part && at.limits[symbol]) {
        const sides = at.limits[symbol].filter((one) => one.side === (part === "low" ? ">=" : "<=")).map((one) => one.entry);
        const sign = part === "low" ? -1 : 1;
        return sides.reduce((best, one) => (best === null || sign * one.value < sign * best.value ? one : best), null);
      }
      if (Object.hasOwn(at.map, symbol)) {
        const entry = at.map[symbol];
        return part && entry.inner && entry.inner.map[part] ? entry.inner.map[part] : entry;
      }
    }
    return null;
  };
  const SYMBOLS = {speed: "n", feed: "vf", plunge: "vz", depth: "ap", stepover: "s"};

  // The lines that lead to a quantity: its limits, its start value, and all that these take.
  const linesOf = (quantity, step, machine, data, taken) => {
    const trace = tracer(data.rows), symbol = SYMBOLS[quantity];
    const found = reckoning.settingsOf(step, machine, data, taken, trace);
    const wanted = new Set();
    const want = (entry) => {
      if (!entry || wanted.has(entry)) return;
      wanted.add(entry);
      for (const name of data.rows[entry.number][5]) want(find(name, entry.frame));
      if (entry.inner) want(entry.inner.map[data.rows[entry.number][7]]);
    };
    const limits = (trace.top.limits[symbol] || []).map(({entry}) => entry);
    limits.forEach(want);
    want(trace.top.map[symbol]);
    const line = ({number, value}) => {
      const [name, unit, words, formula, source, , side] = data.rows[number];
      return {name, unit, words, formula, source: data.sources[source], side, value};
    };
    const isNumber = ({value}) => typeof value === "number";
    const lines = trace.order.filter((one) => wanted.has(one) && isNumber(one)).map(line);
    return {refused: Boolean(found.refused), limits: limits.filter(isNumber).map(line), lines};
  };
  return {linesOf};
})();
