// Notes, ticks and the own machine, kept in this browser under one name for the kit and its version, or in memory.
const keeping = (() => {
  "use strict";
  let name = "", kept = {}, works = true, tell = () => {};
  const isPlain = (one) => typeof one === "object" && one !== null && !Array.isArray(one);
  const texts = (one, most) => {
    const found = {};
    if (!isPlain(one)) return found;
    for (const [key, value] of Object.entries(one).slice(0, 2000)) if (typeof value === "string") found[key] = value.slice(0, most);
    return found;
  };
  // What comes from a file or from the store is anybody's: texts of known places, nothing else.
  const cleaned = (one) => {
    const from = isPlain(one) ? one : {};
    return {ticks: texts(from.ticks, 1), notes: texts(from.notes, 5000), form: texts(from.form, 300), chosen: texts(from.chosen, 40)};
  };
  const save = () => {
    if (!works) return;
    try { localStorage.setItem(name, JSON.stringify(kept)); }
    catch { works = false; tell(); }
  };
  return {
    open(key, whenLost) {
      name = key;
      tell = whenLost;
      try { kept = cleaned(JSON.parse(localStorage.getItem(name) || "{}")); }
      catch (error) { kept = cleaned({}); works = error instanceof SyntaxError; }
      if (!works) tell();
    },
    get: (room, key) => (Object.hasOwn(kept[room], key) ? kept[room][key] : ""),
    set(room, key, value) {
      if (value) kept[room][key] = String(value);
      else delete kept[room][key];
      save();
    },
    all: (room) => ({...kept[room]}),
    replace(room, values) { kept[room] = values; save(); },
    asFile: () => JSON.stringify({kit: name, ...kept}, null, 1),
    fromFile(text) {
      const read = JSON.parse(text);
      if (!isPlain(read) || String(read.kit).split("@")[0] !== name.split("@")[0]) throw new RangeError("another kit");
      kept = cleaned(read);
      save();
    },
  };
})();
