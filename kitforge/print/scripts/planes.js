// packing.py: rows of whole numbers, taken out of planes of bytes.
const planes = (() => {
  "use strict";
  const rowsOf = async (text, rows, bytes) => {
    const raw = Uint8Array.from(atob(text), (one) => one.charCodeAt(0));
    const stream = new Blob([raw]).stream().pipeThrough(new DecompressionStream("deflate-raw"));
    const found = new Uint8Array(await new Response(stream).arrayBuffer()), count = found.length / (bytes * rows);
    return Array.from({length: rows}, (_none, row) => {
      const numbers = new Uint32Array(count);
      for (let plane = 0; plane < bytes; plane += 1) {
        const from = (bytes * row + plane) * count, shift = 8 * plane;
        for (let at = 0; at < count; at += 1) numbers[at] |= found[from + at] << shift;
      }
      return numbers;
    });
  };
  return {rowsOf};
})();
