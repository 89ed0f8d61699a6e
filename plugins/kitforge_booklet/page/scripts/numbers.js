// Numbers and messages as print writes them: figures.py, units.py and messages.py once more, the same to the last sign.
const numbers = (() => {
  "use strict";
  const MM_PER_INCH = 25.4;

  // What lies half way goes to the even neighbour, as in Python; a script's own rounding goes up.
  const roundEven = (x) => (Math.abs(x % 1) === 0.5 ? 2 * Math.round(x / 2) : Math.round(x));
  const fixed = (value, places) => {
    const size = Math.abs(value);
    const exact = size.toFixed(Math.min(100, places + 50));
    const dot = exact.indexOf(".");
    const kept = exact.slice(0, places ? dot + 1 + places : dot);
    const tie = /^50*$/.test(exact.slice(dot + 1 + places));
    const text = tie && Number(kept[kept.length - 1]) % 2 === 0 ? kept : size.toFixed(places);
    return value < 0 ? `-${text}` : text;
  };
  const plain = (value, places) => {
    let text = fixed(value, places);
    if (text.includes(".")) text = text.replace(/0+$/, "").replace(/\.$/, "");
    return text === "-0" || text === "" ? "0" : text;
  };
  const partOfInch = (value, parts) => {
    const share = (value / MM_PER_INCH) * parts;
    return roundEven(share) !== 0 && Math.abs(share - roundEven(share)) < 1e-5;
  };
  const mmNumber = (value, places) => plain(value, places === 2 && partOfInch(value, 8) ? 3 : places);
  const inchNumber = (value, places) => {
    const inches = value / MM_PER_INCH;
    if (places >= 2 && partOfInch(value, 16) && !partOfInch(value, 8)) return fixed(inches, 4);
    return fixed(inches, places < 2 && Math.abs(inches) >= 0.1 ? 2 : 3);
  };

  // How one language writes: texts by their English, the decimal sign, units first and whether the others follow.
  const writer = (language, units) => {
    const text = (message) => language.texts[message] || message;
    const decimal = (number) => (language.point === "." ? number : number.replaceAll(".", language.point));
    const fill = (template, values) => template.replace(/\{(\w+)\}/g, (place, name) => (name in values ? values[name] : place));
    const say = (key, values) => fill(language.words[key], values || {});
    const write = (value) => {
      if (typeof value === "object" && "template" in value) {
        return fill(text(value.template), Object.fromEntries(value.values.map(([name, one]) => [name, write(one)])));
      }
      if (typeof value === "object" && "names" in value) return value.names[language.code];
      if (typeof value === "object" && "times" in value) {
        return `${value.times.map((side) => decimal(mmNumber(side, 0))).join(" × ")} mm`;
      }
      if (typeof value === "object") {
        const number = value.unit === "mm" ? mmNumber(value.value, value.places) : plain(value.value, value.places);
        return `${decimal(number)} ${value.unit}`.trimEnd();
      }
      return String(value);
    };

    const grouped = (value, places) => {
      const number = plain(value, Math.max(0, places));
      const [whole, rest] = number.split(".");
      const thousands = whole.replace("-", "").length > 4 ? whole.replace(/\B(?=(\d{3})+$)/g, "\u00a0") : whole;
      return decimal(rest === undefined ? thousands : `${thousands}.${rest}`);
    };
    const stepOf = (value) => {
      if (value === 0) return [1, 0];
      const size = Math.floor(Math.log10(Math.abs(value)));
      if (size >= 3) return [size >= 4 ? 100 : 10, 0];
      return [Number(`1e${size - 1}`), Math.max(0, 1 - size)];
    };
    const finer = ([step, places]) => [step / 10, places + (step <= 1 ? 1 : 0)];
    const handy = (value, low, high) => {
      let at = stepOf(value);
      for (let count = 0; count < 4; count += 1) {
        const [step, places] = at;
        const share = value / step;
        for (const near of [roundEven(share) * step, Math.floor(share) * step, Math.ceil(share) * step]) {
          const inside = low - 1e-9 <= near && near <= high + 1e-9;
          if (inside && Math.abs(near - value) <= 0.05 * Math.abs(value)) return grouped(near, places);
        }
        at = finer(at);
      }
      return grouped(value, at[1] + 1);
    };
    const below = (high, least) => {
      let at = stepOf(high), top = 0;
      for (;;) {
        top = Math.floor(high / at[0] + 1e-6) * at[0];
        if (!(top < Math.max(high * 0.97, least - 1e-9))) break;
        at = finer(at);
      }
      return grouped(top, at[1]);
    };
    const upTo = (high, least) => say("up to", {high: below(Math.max(high, least), least)});
    const between = (low, high) => {
      if (low <= 0) return say("up to", {high: below(high, 0)});
      if (high <= low * (1 + 1e-9)) return handy(low, low, high);
      let at = stepOf(high);
      for (let count = 0; count < 4; count += 1) {
        const [step, places] = at;
        const bottom = Math.ceil(low / step - 1e-6) * step, top = Math.floor(high / step + 1e-6) * step;
        if (0 < bottom && bottom < top && top >= 0.97 * high) return `${grouped(bottom, places)}–${grouped(top, places)}`;
        at = finer(at);
      }
      return handy((low + high) / 2, low, high);
    };

    const pick = (mm, inch) => {
      const [main, other] = units.first === "in" ? [decimal(inch), decimal(mm)] : [decimal(mm), decimal(inch)];
      return {main, other: units.both ? other : ""};
    };
    const isLength = (unit) => unit.startsWith("mm");
    const setting = (value, unit, low, high) => {
      const metric = handy(value, low, high);
      if (!isLength(unit)) return {main: metric, other: ""};
      return pick(metric, handy(value / MM_PER_INCH, low / MM_PER_INCH, high / MM_PER_INCH));
    };
    const span = (low, high, unit) =>
      isLength(unit) ? pick(between(low, high), between(low / MM_PER_INCH, high / MM_PER_INCH)) : {main: between(low, high), other: ""};
    const length = (mm, places) => pick(`${mmNumber(mm, places)} mm`, `${inchNumber(mm, places)} in`);
    const figure = (value, places) => decimal(plain(value, places));
    // figures.py: a span of time in s, in minutes that nobody takes for more exact than they are.
    const clock = (value) => {
      const hours = Math.floor(value / 60), rest = value % 60;
      if (!hours) return say("minutes only", {minutes: rest});
      return rest ? say("hours and minutes", {hours, minutes: String(rest).padStart(2, "0")}) : say("hours only", {hours});
    };
    const minutes = (span) => {
      const [short, long] = span.map((seconds) => {
        const value = seconds / 60, step = value < 20 ? 1 : value < 120 ? 5 : 10;
        return Math.ceil(value / step - 1e-9) * step;
      });
      if (short === long) return long ? say("about", {time: clock(long)}) : say("under a minute");
      if (long < 90) return say("from minutes", {short, long});
      return say("from to", {short: clock(short), long: clock(long)});
    };
    const whole = (measure) => (measure.other ? `${measure.main} (${measure.other})` : measure.main);
    // Four leading digits, as formulas are printed.
    const four = (value) => decimal(Math.abs(value) >= 1000 ? fixed(value, 0) : String(Number(value.toPrecision(4))));
    return {code: language.code, text, say, write, pick, handy, setting, span, upTo, length, figure, whole, four, minutes, units};
  };
  return {MM_PER_INCH, roundEven, fixed, plain, mmNumber, inchNumber, writer};
})();
