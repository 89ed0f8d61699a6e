// The functions of the worksheet beyond arithmetic, as functions.py has them, and what the sheet tells.
// A result that is no finite number is an error here, as it is in Python.
const degrees = (x) => x * (Math.PI / 180);
const finite = (x) => {
  if (!Number.isFinite(x)) throw new RangeError("a formula of the worksheet gave no number");
  return x;
};
const chart = (rows, x, column) => {
  let before = rows[0];
  if (x <= before[0]) return before[column];
  for (const row of rows.slice(1)) {
    if (x <= row[0]) return before[column] + (row[column] - before[column]) * ((x - before[0]) / (row[0] - before[0]));
    before = row;
  }
  return before[column];
};
const step = (rows, x, column) => (rows.find((row) => x <= row[0]) || rows[rows.length - 1])[column];
const least = (rows, column) => Math.min(...rows.map((row) => row[column]));
const most = (rows, column) => Math.max(...rows.map((row) => row[column]));
const nearest = (rows, column, x, low, high) => {
  let found = null;
  for (const row of rows) {
    const value = row[column];
    if (low <= value && value <= high && (found === null || Math.abs(value - x) < Math.abs(found - x))) found = value;
  }
  return found;
};
const named = (rows, x) => {
  const row = rows.find((one) => one[1] === x);
  return row === undefined ? null : row[0];
};
const fits = (ranges, x, slack) => ranges.some(({low, high}) => low - slack <= x && x <= high + slack);
const largest = (top, holds) => {
  let low = 0, high = top;
  for (let count = 0; count < 40; count += 1) {
    const middle = (low + high) / 2;
    if (holds(middle)) low = middle;
    else high = middle;
    if (high - low < 1e-5) break;
  }
  return low;
};
const has = (table, key) => Object.hasOwn(table, key);
const tightest = (bounds, side) => {
  let found = null;
  for (const bound of bounds) if (found === null || (side > 0 ? bound[0] > found[0] : bound[0] < found[0])) found = bound;
  return found;
};
const figures = (value, unit) => {
  let places = 0, bound = 1000;
  while (Math.abs(value) < bound && places < 9) {
    places += 1;
    bound /= 10;
  }
  return {value, unit, places};
};
const quantity = (value, unit, places) => ({value, unit, places});
const msg = (template, values) => ({template, values: values || []});
const worded = (text) => (typeof text === "string" ? msg(text) : text);
const crossing = (message, low, high) => {
  const found = [...new Set([...(HELPS[high[1].words] || []), ...(HELPS[low[1].words] || [])])];
  const helps = found.length ? found : ["another cutter"];
  return {refused: [{key: "NO_WINDOW", message, helps, low, high}]};
};
