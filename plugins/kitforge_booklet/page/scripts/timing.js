// motion.py, timing.py and layers.py once more: how long a step takes, from the ways of its cutter. mm, s, degrees.
const timing = (() => {
  "use strict";
  const PER_UNIT = 1000, CLEAR = 5, APPROACH = 1, HAIR = 1e-6, STRAIGHT = 1 - 1e-12;
  const {sqrt, min, max, abs, hypot} = Math;
  const sum = (values) => values.reduce((total, one) => total + one, 0);

  // paths.py: the sign at the lower end.
  const signed = (bits) => (bits >>> 1) ^ -(bits & 1);
  const unpacked = async (text, rows) => (await planes.rowsOf(text, rows, 4)).map((row) => Array.from(row, signed));
  const nameOf = (path) => `${path.chains}:${path.way}`;
  const waysOf = async (steps) => {
    const found = new Map();
    for (const {path} of steps) {
      if (!path || found.has(nameOf(path))) continue;
      if (!path.way) found.set(nameOf(path), {lengths: [], angles: [], chains: []});
      else if (path.does === "engrave") {
        const rows = (await unpacked(path.way, 3)).map((row) => {
          let at = 0;
          return row.map((change) => (at += change) / PER_UNIT);
        });
        let from = 0;
        const chains = path.chains.map((count) => {
          const chain = Array.from({length: count}, (_none, at) => rows.map((row) => row[from + at]));
          from += count;
          return chain;
        });
        found.set(nameOf(path), {chains});
      } else {
        const [lengths, angles] = (await unpacked(path.way, 2)).map((row) => row.map((one) => one / PER_UNIT));
        found.set(nameOf(path), {lengths, angles, chains: []});
      }
    }
    return found;
  };

  const moveTime = (length, speed, a) => (length >= (speed * speed) / a ? length / speed + speed / a : 2 * sqrt(length / a));
  const cornerSpeed = (angle, a, tolerance) => {
    const half = Math.sin((min(max(angle, 0), 180) * Math.PI) / 180 / 2);
    return half >= STRAIGHT ? Infinity : sqrt((a * tolerance * half) / (1 - half));
  };
  const pieceTime = (length, start, end, cap, a) => {
    if (length <= 0) return 0;
    const squares = start * start + end * end, peak = sqrt(squares / 2 + a * length);
    if (peak <= cap) return (2 * peak - start - end) / a;
    return (2 * cap - start - end) / a + (length - (2 * cap * cap - squares) / (2 * a)) / cap;
  };
  // angles: at the start of each piece; that of the first one says nothing.
  const pathTime = (lengths, angles, speed, a, tolerance) => {
    const count = lengths.length, joints = new Float64Array(count + 1);
    for (let at = 1; at < count; at += 1) joints[at] = min(cornerSpeed(angles[at], a, tolerance), speed);
    for (let at = 0; at < count; at += 1) {
      if (joints[at + 1] > joints[at]) joints[at + 1] = min(joints[at + 1], sqrt(joints[at] ** 2 + 2 * a * lengths[at]));
    }
    for (let at = count - 1; at >= 0; at -= 1) {
      if (joints[at] > joints[at + 1]) joints[at] = min(joints[at], sqrt(joints[at + 1] ** 2 + 2 * a * lengths[at]));
    }
    let total = 0;
    for (let at = 0; at < count; at += 1) total += pieceTime(lengths[at], joints[at], joints[at + 1], speed, a);
    return total;
  };

  // layers.py: what an engraving cuts between two depths, piece by piece; a chain of one point is a plunge.
  const turned = (one, other) => {
    const cross = [0, 1, 2].map((axis) => one[(axis + 1) % 3] * other[(axis + 2) % 3] - one[(axis + 2) % 3] * other[(axis + 1) % 3]);
    const along = one[0] * other[0] + one[1] * other[1] + one[2] * other[2];
    return (Math.atan2(sqrt(cross[0] ** 2 + cross[1] ** 2 + cross[2] ** 2), along) * 180) / Math.PI;
  };
  const travelled = (chains) => chains.map((chain) => (chain.every((point) => point.every((one, axis) => one === chain[0][axis])) ? [chain[0]] : chain));
  const crossed = (chain, depth) => chain.flatMap((point, at) => {
    const next = chain[at + 1];
    if (!next || point[2] > depth === next[2] > depth) return [point];
    const share = (depth - point[2]) / (next[2] - point[2]);
    return [point, [point[0] + share * (next[0] - point[0]), point[1] + share * (next[1] - point[1]), depth]];
  });
  const layerOf = (chains, number, each, passes) => {
    const low = number * each, high = number + 1 < passes ? (number + 1) * each : Infinity, whole = passes === 1;
    const layer = {lengths: [], angles: [], rises: [], starts: 0};
    for (const chain of chains) {
      if (chain.length === 1) {
        if (whole || chain[0][2] >= low) layer.starts += 1;
        continue;
      }
      const points = number ? crossed(chain, low) : chain;
      let before = null;
      for (let at = 0; at + 1 < points.length; at += 1) {
        const [from, to] = [points[at], points[at + 1]];
        if (!whole && (from[2] + to[2]) / 2 < low) {
          before = null;
          continue;
        }
        if (before === null) {
          layer.starts += 1;
          before = [];
        }
        const step = [to[0] - from[0], to[1] - from[1], min(to[2], high) - min(from[2], high)];
        const length = sqrt(step[0] ** 2 + step[1] ** 2 + step[2] ** 2);
        if (!(length > 0)) continue;
        layer.lengths.push(length);
        layer.angles.push(before.length ? max(180 - turned(before, step), 1e-6) : 0);
        layer.rises.push(abs(step[2]));
        before = step;
      }
    }
    return layer;
  };

  const secondsAt = (step, way, machine, v, tolerance, a) => {
    const {path} = step, feed = v.vf, speed = feed / 60, plunge = v.vz_lower && v.vz_upper ? v.vz : v.vf;
    const lift = machine.plunge.low / 60, over = machine.feed.low / 60, far = hypot(...path.size);
    const above = (distance, depth) => 2 * moveTime(depth + CLEAR, lift, a) + moveTime(distance, over, a);
    const down = () => {
      if (v.Lr) return moveTime(v.Lr, v.vr / 60, a);
      if (v.manner !== "from outside") return moveTime(v.ap + APPROACH, plunge / 60, a);
      return moveTime(v.ap, lift, a) + moveTime(step.diameter / 2 + APPROACH, speed, a);
    };
    const between = () => above(far, step.depth) + sum(path.hops.map((hop) => above(hop, step.depth)));
    if (path.does === "engrave") {
      const chains = travelled(way.chains), hop = above(far / 3 / sqrt(max(1, path.plunges)), v.ap), once = down() + hop;
      let total = above(far, step.depth) - hop;
      for (let number = 0; number < v.N; number += 1) {
        const layer = layerOf(chains, number, v.ap, v.N);
        const held = layer.lengths.map((length, at) => max(length, (layer.rises[at] * feed) / machine.plunge.low));
        if (held.length) total += pathTime(held, layer.angles, speed, a, tolerance);
        total += layer.starts * once;
      }
      return total;
    }
    if (path.does === "drill") {
      const pecks = v.manner === "peck" ? v.N : 1, height = step.depth - step.top;
      let hole = pecks * moveTime(height / pecks + APPROACH, plunge / 60, a);
      for (let number = 1; number < pecks; number += 1) hole += 2 * moveTime(step.top + (height * number) / pecks + CLEAR, lift, a);
      return path.places * hole + between();
    }
    let along = sum(path.joins.map((join) => moveTime(join, speed, a)));
    if (way.lengths.length) along += pathTime(way.lengths, way.angles, speed, a, tolerance);
    if (path.lanes && v.s !== null && v.s_lower && v.s_upper) along *= path.lanes / v.s;
    const back = sum(path.backs.map((distance) => above(distance, (step.top + step.depth) / 2)));
    const tabs = sum(path.tabs.map((height) => {
      const rise = height + path.spoilboard;
      let total = 0;
      for (let number = 1; number <= max(1, Math.ceil(rise / v.ap - HAIR)); number += 1) {
        const up = min(number * v.ap, rise);
        total += moveTime(up, lift, a) + moveTime(up, plunge / 60, a);
      }
      return total;
    }));
    return v.N * (along + path.places * down()) + (v.N - 1) * back + tabs + between();
  };

  // The short and the long time of all copies; null while the ways are not unpacked, or where there are none.
  const secondsOf = (step, ways, machine, v, practice) => {
    const way = ways && step.path && ways.get(nameOf(step.path));
    if (!way) return null;
    const {low, high} = machine.acceleration, [least, most] = practice.overhead;
    const timed = [[high, least], [low, most]].map(([a, overhead]) => secondsAt(step, way, machine, v, practice.tolerance, a) * overhead);
    return timed.map((seconds) => seconds * step.path.copies);
  };
  return {waysOf, secondsOf};
})();
