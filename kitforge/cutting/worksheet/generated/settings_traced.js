// Generated from the worksheet of the physics of the cut; do not edit.
const worksheet = (() => {
  "use strict";
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
  const HELPS = {"way down": ["use a centre-cutting cutter", "drill a starting hole"], "chip too thin": ["fewer flutes"], "machine feed": ["fewer flutes", "a class that feeds faster"], "machine plunge": ["fewer flutes", "a class that plunges faster"], "machine force": ["a smaller cutter", "a stronger class"], "spindle power": ["a smaller cutter", "a smaller depth per pass", "a class with more power"], "cutter bends": ["a shorter or thicker cutter", "solid carbide instead of steel"], "cutter may break": ["a shorter or thicker cutter", "a smaller depth per pass"], "piece held": ["more or wider tabs, or a thicker skin", "tape under the part", "a smaller cutter"], "chip too thick": ["a smaller depth per pass", "a thicker cutter"], "cutter maximum": ["a cutter marked for a higher speed", "a class with a lower lowest speed"], "cutter diameter": ["a smaller cutter", "a class with a lower lowest speed"], "machine speed": ["another class"], "cutting length": ["a cutter with a longer cutting length"], "ridges on the floor": ["a cutter with sharper corners", "a ball nose or bowl cutter"], "wanted cusp": ["a higher cusp", "a cutter with a larger radius"]};
  const R104 = {"case": 104, "words": "lanes must overlap", "hard": false, "load": false, "formula": "s <= q_most * D", "source": "common practice"};
  const R105 = {"case": 105, "words": "wanted cusp", "hard": false, "load": false, "formula": "s <= b + 2 * sqrt(hc_top * (2 * R - hc_top))", "source": "exact cusp formula, shop page (2006)"};
  const R106 = {"case": 106, "words": "wanted cusp", "hard": false, "load": false, "formula": "s <= 2 * sqrt(hc_top * (2 * R - hc_top)) * cos(slope)", "source": "exact cusp formula, shop page (2006)"};
  const R107 = {"case": 107, "words": "ridges on the floor", "hard": false, "load": false, "formula": "s <= b", "source": "geometry of the cutter"};
  const R110 = {"case": 110, "words": "needless time", "hard": false, "load": false, "formula": "s >= min(q_least * D, q_narrow * s.high)", "source": "common practice"};
  const R112 = {"case": 112, "words": "narrowest lane", "hard": false, "load": false, "formula": "s >= s_least", "source": "common practice"};
  const R277 = {"case": 277, "words": "whole depth", "hard": false, "load": false, "formula": "ap <= H", "source": "kit"};
  const R278 = {"case": 278, "words": "cutting length", "hard": true, "load": false, "formula": "ap <= APMX", "source": "cutter"};
  const R279 = {"case": 279, "words": "chip clearing", "hard": false, "load": false, "formula": "ap <= q_peck * D", "source": "@data.plunge.peck_depth"};
  const R280 = {"case": 280, "words": "depth rule", "hard": false, "load": false, "formula": "ap <= kD * D_ap", "source": "common practice"};
  const R281 = {"case": 281, "words": "machine force", "hard": true, "load": true, "formula": "ap <= largest(ap, ap_0, pushed(ap).Fs <= F_max)", "source": "derived"};
  const R282 = {"case": 282, "words": "spindle power", "hard": true, "load": true, "formula": "ap <= largest(ap, ap_0, powered(ap).P <= P_max)", "source": "derived"};
  const R283 = {"case": 283, "words": "cutter bends", "hard": false, "load": true, "formula": "ap <= largest(ap, ap_0, pushed(ap).Fs <= F_bend)", "source": "derived"};
  const R284 = {"case": 284, "words": "piece held", "hard": true, "load": true, "formula": "ap <= largest(ap, ap_0, pushed(ap).Fs <= F_kept)", "source": "derived"};
  const R285 = {"case": 285, "words": "cutter may break", "hard": true, "load": true, "formula": "ap <= largest(ap, ap_0, pushed(ap).Fs <= F_break)", "source": "derived"};
  const R286 = {"case": 286, "words": "way down", "hard": false, "load": false, "formula": "ap <= way * tan(a_steep)", "source": "derived"};
  const R287 = {"case": 287, "words": "no lower limit", "hard": false, "load": false, "formula": "ap >= 0", "source": "a flat cut makes the same chip at any depth"};
  const R289 = {"case": 289, "words": "thinnest pass", "hard": false, "load": false, "formula": "ap >= min(ap_least, H)", "source": "common practice"};
  const R306 = {"case": 306, "words": "machine speed", "hard": true, "load": false, "formula": "n >= max(n_bottom, n_dial_low)", "source": "@machine.lowest_speed"};
  const R307 = {"case": 307, "words": "machine speed", "hard": true, "load": false, "formula": "n >= n_bottom", "source": "@machine.lowest_speed"};
  const R308 = {"case": 308, "words": "machine speed", "hard": true, "load": false, "formula": "n <= min(n_top, n_dial_high)", "source": "@machine.highest_speed"};
  const R309 = {"case": 309, "words": "machine speed", "hard": true, "load": false, "formula": "n <= n_top", "source": "@machine.highest_speed"};
  const R310 = {"case": 310, "words": "cutter maximum", "hard": true, "load": false, "formula": "n <= n_mark", "source": "marked on the cutter"};
  const R311 = {"case": 311, "words": "cutter diameter", "hard": true, "load": false, "formula": "n <= n_D", "source": "@data.speed_limits"};
  const R312 = {"case": 312, "words": "chip too thin", "hard": false, "load": false, "formula": "n <= vf_cap / (z * fz_floor)", "source": "derived"};
  const R313 = {"case": 313, "words": "spindle power", "hard": true, "load": true, "formula": "n <= P_max * n_trial / thinnest.P", "source": "power grows with the speed where the chip stays the same"};
  const R358 = {"case": 358, "words": "chip too thin", "hard": false, "load": false, "formula": "vf >= fz_floor * z * n", "source": "common practice"};
  const R359 = {"case": 359, "words": "machine plunge", "hard": true, "load": false, "formula": "vf <= vz_max", "source": "@machine.plunge"};
  const R360 = {"case": 360, "words": "axial thrust", "hard": false, "load": true, "formula": "vf <= vz_thrust", "source": "derived"};
  const R361 = {"case": 361, "words": "machine feed", "hard": true, "load": false, "formula": "vf <= vf_max", "source": "@machine.feed"};
  const R362 = {"case": 362, "words": "chip too thick", "hard": false, "load": false, "formula": "vf <= fz_top * deep.kd * deep.kt * z * n", "source": "common practice"};
  const R363 = {"case": 363, "words": "machine force", "hard": true, "load": true, "formula": "vf <= by_force(deep, ap_deep, F_max, n).vf", "source": "derived"};
  const R364 = {"case": 364, "words": "spindle power", "hard": true, "load": true, "formula": "vf <= by_power(deep, n_most).vf", "source": "derived"};
  const R365 = {"case": 365, "words": "cutter bends", "hard": false, "load": true, "formula": "vf <= by_force(deep, ap_deep, F_bend, n).vf", "source": "derived"};
  const R366 = {"case": 366, "words": "piece held", "hard": true, "load": true, "formula": "vf <= by_force(deep, ap_deep, F_kept, n).vf", "source": "derived"};
  const R367 = {"case": 367, "words": "cutter may break", "hard": true, "load": true, "formula": "vf <= by_force(deep, ap_deep, F_break, n).vf", "source": "derived"};
  const R395 = {"case": 395, "words": "chip too thin", "hard": false, "load": false, "formula": "vz >= min(q_vz_low * vf, q_vz_low / q_vz * min(vz_max, vz_thrust))", "source": "@data.plunge.feed_ratio"};
  const R396 = {"case": 396, "words": "half the feed", "hard": false, "load": false, "formula": "vz <= q_vz * vf", "source": "@data.plunge.feed_ratio"};
  const R397 = {"case": 397, "words": "machine plunge", "hard": true, "load": false, "formula": "vz <= vz_max", "source": "@machine.plunge"};
  const R398 = {"case": 398, "words": "axial thrust", "hard": false, "load": true, "formula": "vz <= vz_thrust", "source": "derived"};
  return (t, cut, cutter, material, machine, data, tables, wish) => {
    // The cutter (ISO 13399)
    const v_shape = cutter.shape;
    t.put(1, v_shape);
    const v_D = cutter.diameter;
    t.put(2, v_D);
    const v_APMX = cutter.cutting_length;
    t.put(3, v_APMX);
    const v_DMM = cutter.shank;
    t.put(4, v_DMM);
    const v_OAL = cutter.overall_length;
    t.put(5, v_OAL);
    const v_z = cutter.flutes;
    t.put(6, v_z);
    const v_w = cutter.tip;
    t.put(7, v_w);
    const v_RE = cutter.corner_radius;
    t.put(8, v_RE);
    const v_centre = cutter.centre_cutting;
    t.put(9, v_centre);
    const v_n_mark = cutter.max_speed;
    t.put(10, v_n_mark);
    const v_L_own = cutter.stick_out;
    t.put(11, v_L_own);
    let v_helix;
    if (cutter.helix !== null) {
      v_helix = cutter.helix;
      t.put(12, v_helix);
    } else if (["up-cut", "compression", "ball nose"].includes(v_shape)) {
      v_helix = 30;
      t.put(13, v_helix);
    } else if (v_shape === "down-cut") {
      v_helix = -30;
      t.put(14, v_helix);
    } else {
      v_helix = 0;
      t.put(15, v_helix);
    }
    let v_A;
    if (v_shape === "v-bit" && cutter.angle !== null) {
      v_A = cutter.angle;
      t.put(16, v_A);
    } else {
      v_A = 0;
      t.put(17, v_A);
    }
    let v_body;
    if (cutter.substrate === "carbide tipped") {
      v_body = "tipped";
      t.put(18, v_body);
    } else if (cutter.substrate === "hss") {
      v_body = "hss";
      t.put(19, v_body);
    } else {
      v_body = "carbide";
      t.put(20, v_body);
    }
    const v_E = data.tool_materials[v_body].modulus;
    t.put(21, v_E);
    const v_s_max = data.tool_materials[v_body].allowable_stress;
    t.put(22, v_s_max);
    // The cut
    const v_work = cut.work;
    t.put(23, v_work);
    const v_finishing = cut.finishing;
    t.put(24, v_finishing);
    const v_H = cut.depth;
    t.put(25, v_H);
    let v_reach;
    if (cut.reach !== null) {
      v_reach = cut.reach;
      t.put(26, v_reach);
    } else {
      v_reach = v_H;
      t.put(27, v_reach);
    }
    const v_a = cut.side_stock;
    t.put(28, v_a);
    const v_W = cut.width;
    t.put(29, v_W);
    const v_way = cut.length;
    t.put(30, v_way);
    const v_slope = cut.slope;
    t.put(31, v_slope);
    const v_hc_max = cut.cusp;
    t.put(32, v_hc_max);
    const v_corners = cut.inside_corners;
    t.put(33, v_corners);
    const v_open_entry = cut.open_entry;
    t.put(34, v_open_entry);
    const v_keeper = (cut.keeping !== null ? cut.keeping.name : null);
    t.put(35, v_keeper);
    const v_F_hold = (cut.keeping !== null ? cut.keeping.bears : null);
    t.put(36, v_F_hold);
    const v_U_hold = (cut.keeping !== null ? cut.keeping.lifts : null);
    t.put(37, v_U_hold);
    // What the author insists on
    let v_s_own;
    if (wish.stepover !== null) {
      v_s_own = wish.stepover;
      t.put(38, v_s_own);
    } else {
      v_s_own = cut.stepover;
      t.put(39, v_s_own);
    }
    const v_ap_own = wish.depth_per_pass;
    t.put(40, v_ap_own);
    const v_n_own = wish.speed;
    t.put(41, v_n_own);
    const v_vz_own = wish.plunge;
    t.put(42, v_vz_own);
    let v_vf_own;
    if (wish.feed !== null) {
      v_vf_own = wish.feed;
      t.put(43, v_vf_own);
    } else if (v_work === "drill") {
      v_vf_own = v_vz_own;
      t.put(44, v_vf_own);
    } else {
      v_vf_own = null;
    }
    // The wood
    const v_kind = material.kind;
    t.put(45, v_kind);
    const v_panel = !(["hardwood", "softwood"].includes(v_kind));
    t.put(46, v_panel);
    const v_rho = material.density;
    t.put(47, v_rho);
    const v_k_mat = data.material_factors[v_kind];
    t.put(48, v_k_mat);
    // The machine class, its weak end
    const v_machine_name = machine.name;
    t.put(49, v_machine_name);
    const v_collets = machine.collet_text;
    t.put(50, v_collets);
    const v_F_max = machine.side_force.low;
    t.put(51, v_F_max);
    const v_P_max = machine.cutter_power.low;
    t.put(52, v_P_max);
    const v_vf_max = machine.feed.low;
    t.put(53, v_vf_max);
    const v_vz_max = machine.plunge.low;
    t.put(54, v_vz_max);
    const v_n_bottom = machine.lowest_speed.high;
    t.put(55, v_n_bottom);
    const v_n_top = machine.highest_speed.low;
    t.put(56, v_n_top);
    const v_dialled = machine.dial.length > 0;
    t.put(57, v_dialled);
    const v_light = v_F_max < 200;
    t.put(58, v_light);
    const v_rigid = v_F_max >= 600;
    t.put(59, v_rigid);
    // Conditions that many rows share
    const v_hair = 0.000001;
    t.put(60, v_hair);
    const v_drilling = v_work === "drill";
    t.put(61, v_drilling);
    const v_along_wall = v_finishing && v_a > 0 && ["profile", "pocket", "dish"].includes(v_work);
    t.put(62, v_along_wall);
    const v_lanes = ["face", "surfacing", "pocket", "dish"].includes(v_work) && !v_along_wall;
    t.put(63, v_lanes);
    const v_end_mill = ["straight", "up-cut", "down-cut", "compression"].includes(v_shape);
    t.put(64, v_end_mill);
    const v_headed = ["v-bit", "bowl", "surfacing"].includes(v_shape);
    t.put(65, v_headed);
    const v_ball_like = ["ball nose", "bowl"].includes(v_shape);
    t.put(66, v_ball_like);
    let v_R;
    if (v_shape === "ball nose") {
      v_R = finite(v_D / 2);
      t.put(67, v_R);
    } else {
      v_R = v_RE;
      t.put(68, v_R);
    }
    const v_b = v_D - 2 * v_R;
    t.put(69, v_b);
    const v_vee = v_A > 0 && !v_drilling;
    t.put(70, v_vee);
    const v_rounded = v_ball_like && v_R > 0 && !v_drilling;
    t.put(71, v_rounded);
    const v_open_area = ["face", "surfacing"].includes(v_work) && !(v_vee || v_rounded);
    t.put(72, v_open_area);
    // What makes the cut impossible
    const v_shank_play = 0.05;
    t.put(73, v_shank_play);
    const v_q_grip = data.plunge.shank_grip.low;
    t.put(74, v_q_grip);
    const v_grip_least = v_q_grip * v_DMM;
    t.put(75, v_grip_least);
    let stops = [];
    if (!fits(machine.shanks, v_DMM, v_shank_play)) {
      stops.push({key: "SHANK", message: msg("A shank of {DMM} does not fit the collets of {machine_name}: {collets}.", [["DMM", figures(v_DMM, "mm")], ["machine_name", worded(v_machine_name)], ["collets", worded(v_collets)]]), helps: ["a cutter with another shank", "a collet or reducer"], low: null, high: null});
    }
    if (v_W !== null && v_W < v_D - v_hair && v_shape !== "v-bit" && !(v_drilling || v_open_area)) {
      stops.push({key: "TOO_WIDE", message: msg("The place is {W} wide at its narrowest, the cutter {D}.", [["W", figures(v_W, "mm")], ["D", figures(v_D, "mm")]]), helps: ["a smaller cutter"], low: null, high: null});
    }
    if (v_drilling && !v_centre) {
      stops.push({key: "ENTRY", message: msg("The {shape} of {D} cannot go down here: a hole is drilled straight down, and this cutter has no edge at its centre.", [["shape", worded(v_shape)], ["D", quantity(v_D, "mm", 4)]]), helps: ["use a centre-cutting cutter", "drill a starting hole"], low: null, high: null});
    }
    if (v_L_own !== null && v_reach > v_L_own) {
      stops.push({key: "REACH", message: msg("The cutter sticks out {L_own}, the cut goes {reach} down.", [["L_own", figures(v_L_own, "mm")], ["reach", figures(v_reach, "mm")]]), helps: ["let it stick out further", "a longer cutter"], low: null, high: null});
    }
    if (!(v_L_own !== null && v_reach > v_L_own) && v_reach + v_grip_least > v_OAL) {
      stops.push({key: "REACH", message: msg("The cut goes {reach} down and the collet needs {grip_least} of shank, but the cutter is {OAL} long.", [["reach", figures(v_reach, "mm")], ["grip_least", figures(v_grip_least, "mm")], ["OAL", figures(v_OAL, "mm")]]), helps: ["a longer cutter", "a shallower cut"], low: null, high: null});
    }
    // Stick-out and stiffness
    if (stops.length) return {refused: stops};
    const v_run_out = 2;
    t.put(76, v_run_out);
    const v_clearance = 5;
    t.put(77, v_clearance);
    const v_q_part = data.plunge.shank_grip_part;
    t.put(78, v_q_part);
    const v_L_shank = Math.max(0, v_OAL - v_APMX);
    t.put(79, v_L_shank);
    const v_grip = Math.min(v_L_shank, Math.max(v_grip_least, v_q_part * v_L_shank));
    t.put(80, v_grip);
    const v_L_need = Math.max(v_APMX + v_run_out, v_reach + v_clearance);
    t.put(81, v_L_need);
    const v_L_least = Math.max(Math.min(v_L_need, v_OAL - v_grip), Math.min(v_reach, v_OAL));
    t.put(82, v_L_least);
    let v_L;
    if (v_L_own !== null) {
      v_L = v_L_own;
      t.put(83, v_L);
    } else {
      v_L = v_L_least;
      t.put(84, v_L);
    }
    const v_q_core = data.equivalent_diameter;
    t.put(85, v_q_core);
    let v_d1;
    if (v_headed) {
      v_d1 = v_DMM;
      t.put(86, v_d1);
    } else {
      v_d1 = v_q_core * v_D;
      t.put(87, v_d1);
    }
    const v_l1 = Math.min(v_APMX, v_L);
    t.put(88, v_l1);
    const v_c = finite(64 / (3 * Math.PI * v_E) * (Math.pow(v_l1, 3) / Math.pow(v_d1, 4) + (Math.pow(v_L, 3) - Math.pow(v_l1, 3)) / Math.pow(v_DMM, 4)));
    t.put(89, v_c);
    const v_cs = finite(32 / Math.PI * Math.max(v_l1 / Math.pow(v_d1, 3), v_L / Math.pow(v_DMM, 3)));
    t.put(90, v_cs);
    let v_d_max;
    if (v_finishing) {
      v_d_max = data.deflection_limits.finish;
      t.put(91, v_d_max);
    } else {
      v_d_max = data.deflection_limits.rough;
      t.put(92, v_d_max);
    }
    const v_finish_round = v_finishing && (v_work === "dish" || v_ball_like);
    t.put(93, v_finish_round);
    let v_q_least;
    if (v_finish_round) {
      v_q_least = 0.02;
      t.put(94, v_q_least);
    } else if (v_finishing) {
      v_q_least = 0.1;
      t.put(95, v_q_least);
    } else if (v_ball_like) {
      v_q_least = 0.4;
      t.put(96, v_q_least);
    } else {
      v_q_least = 0.3;
      t.put(97, v_q_least);
    }
    let v_q;
    if (v_finish_round) {
      v_q = 0.1;
      t.put(98, v_q);
    } else {
      v_q = 0.4;
      t.put(99, v_q);
    }
    let v_q_most;
    if (v_finish_round) {
      v_q_most = 0.25;
      t.put(100, v_q_most);
    } else if (v_open_area) {
      v_q_most = 0.75;
      t.put(101, v_q_most);
    } else {
      v_q_most = 0.5;
      t.put(102, v_q_most);
    }
    let v_hc_top;
    if (v_hc_max !== null && v_ball_like) {
      v_hc_top = Math.min(v_hc_max, v_R);
      t.put(103, v_hc_top);
    } else {
      v_hc_top = null;
    }
    const h_s = [];
    if (v_lanes) {
      const y_104 = v_q_most * v_D;
      t.put(104, y_104);
      h_s.push([finite(y_104), R104]);
    }
    if (v_lanes && v_hc_top !== null && v_shape === "bowl" && v_slope === 0) {
      const y_105 = v_b + 2 * Math.sqrt(v_hc_top * (2 * v_R - v_hc_top));
      t.put(105, y_105);
      h_s.push([finite(y_105), R105]);
    } else if (v_lanes && v_hc_top !== null) {
      const y_106 = 2 * Math.sqrt(v_hc_top * (2 * v_R - v_hc_top)) * Math.cos(degrees(v_slope));
      t.put(106, y_106);
      h_s.push([finite(y_106), R106]);
    }
    if (v_lanes && v_RE > 0 && !v_ball_like) {
      const y_107 = v_b;
      t.put(107, y_107);
      h_s.push([finite(y_107), R107]);
    }
    const u_s_high = tightest(h_s, -1);
    const v_s_high = u_s_high === null ? null : u_s_high[0];
    const v_s_reason = u_s_high === null ? null : u_s_high[1].words;
    const v_s_load = u_s_high === null ? null : u_s_high[1].load;
    let v_q_narrow;
    if (v_ball_like && !v_finishing) {
      v_q_narrow = 0.8;
      t.put(108, v_q_narrow);
    } else {
      v_q_narrow = 0.6;
      t.put(109, v_q_narrow);
    }
    const l_s = [];
    if (v_s_high !== null) {
      const y_110 = Math.min(v_q_least * v_D, v_q_narrow * v_s_high);
      t.put(110, y_110);
      l_s.push([finite(y_110), R110]);
    }
    const u_s_low = tightest(l_s, 1);
    const v_s_low = u_s_low === null ? null : u_s_low[0];
    const v_s_low_reason = u_s_low === null ? null : u_s_low[1].words;
    const v_s_least = 0.01;
    t.put(111, v_s_least);
    const c_s = [];
    if (v_lanes) {
      const y_112 = v_s_least;
      t.put(112, y_112);
      c_s.push([finite(y_112), R112]);
    }
    const k_s = tightest([...l_s, ...c_s], 1);
    if (k_s !== null && u_s_high !== null && k_s[0] > u_s_high[0]) {
      return crossing(msg("No {quantity} for the {shape} of {D} on {machine_name}: at least {low} ({low_reason}) and at most {high} ({high_reason}); {gap}.", [["quantity", msg("stepover")], ["shape", worded(v_shape)], ["D", figures(v_D, "mm")], ["machine_name", worded(v_machine_name)], ["low", figures(k_s[0], "mm")], ["low_reason", msg(k_s[1].words)], ["high", figures(u_s_high[0], "mm")], ["high_reason", msg(u_s_high[1].words)], ["gap", msg("no value satisfies both")]]), k_s, u_s_high);
    }
    let v_s;
    if (v_lanes && v_s_own !== null) {
      v_s = v_s_own;
      t.put(113, v_s);
    } else if (v_s_high !== null) {
      v_s = Math.min(v_q * v_D, v_s_high);
      t.put(114, v_s);
    } else {
      v_s = null;
    }
    let v_s_why;
    if (v_s_high !== null && v_q * v_D >= v_s_high) {
      v_s_why = v_s_reason;
      t.put(115, v_s_why);
    } else {
      v_s_why = "share of the diameter";
      t.put(116, v_s_why);
    }
    let v_s_wide;
    if (v_s !== null && v_s_high !== null) {
      v_s_wide = Math.max(v_s_high, v_s);
      t.put(117, v_s_wide);
    } else {
      v_s_wide = v_D;
      t.put(118, v_s_wide);
    }
    let v_s_thin;
    if (v_s !== null && v_s_low !== null) {
      v_s_thin = Math.min(v_s_low, v_s);
      t.put(119, v_s_thin);
    } else {
      v_s_thin = v_D;
      t.put(120, v_s_thin);
    }
    let v_s_now;
    if (v_s !== null) {
      v_s_now = v_s;
      t.put(121, v_s_now);
    } else {
      v_s_now = v_D;
      t.put(122, v_s_now);
    }
    // Force constants: kc = A h^-m
    const v_kc_ref = data.cutting_force.kc_ref;
    t.put(123, v_kc_ref);
    const v_h_ref = data.cutting_force.h_ref;
    t.put(124, v_h_ref);
    const v_m = data.cutting_force.m;
    t.put(125, v_m);
    const v_rho_ref = data.cutting_force.density_ref;
    t.put(126, v_rho_ref);
    const v_nd = data.cutting_force.n;
    t.put(127, v_nd);
    const v_h_low = data.cutting_force.h_clamp.low;
    t.put(128, v_h_low);
    const v_h_high = data.cutting_force.h_clamp.high;
    t.put(129, v_h_high);
    const v_B = data.cutting_force.band.high;
    t.put(130, v_B);
    const v_u = data.wear_factors.used;
    t.put(131, v_u);
    let v_g_mean;
    if (v_kind === "plywood") {
      v_g_mean = data.grain_factors.plywood;
      t.put(132, v_g_mean);
    } else if (v_panel) {
      v_g_mean = data.grain_factors.isotropic;
      t.put(133, v_g_mean);
    } else {
      v_g_mean = data.grain_factors.any_direction;
      t.put(134, v_g_mean);
    }
    let v_g_worst;
    if (v_panel) {
      v_g_worst = v_g_mean;
      t.put(135, v_g_worst);
    } else {
      v_g_worst = data.grain_factors.across;
      t.put(136, v_g_worst);
    }
    const v_Af = finite(v_kc_ref * Math.pow(v_h_ref, v_m) * Math.pow(v_rho / v_rho_ref, v_nd) * v_g_worst * v_u * v_B);
    t.put(137, v_Af);
    const v_Ap = finite(v_kc_ref * Math.pow(v_h_ref, v_m) * Math.pow(v_rho / v_rho_ref, v_nd) * v_g_mean * v_u * v_B);
    t.put(138, v_Ap);
    const v_ks = data.force_ratios.side_resultant;
    t.put(139, v_ks);
    let v_F_kept;
    if (v_F_hold !== null && v_U_hold !== null && v_helix > 0) {
      v_F_kept = finite(Math.min(v_F_hold, v_U_hold * v_ks / Math.tan(degrees(v_helix))));
      t.put(140, v_F_kept);
    } else {
      v_F_kept = v_F_hold;
      t.put(141, v_F_kept);
    }
    const v_k60 = 60000;
    t.put(142, v_k60);
    // Engagement
    const v_r_in = 0.5;
    t.put(143, v_r_in);
    const v_thin_most = 2;
    t.put(144, v_thin_most);
    const v_D_split = data.rubbing.split_diameter;
    t.put(145, v_D_split);
    const v_fz_large = data.rubbing.feed_per_tooth;
    t.put(146, v_fz_large);
    const v_hm_large = data.rubbing.mean_chip;
    t.put(147, v_hm_large);
    const v_hair_t = 0.000001;
    t.put(148, v_hair_t);
    const b_meet = (v_ap, v_wall, v_aside) => {
      const v_low = Math.min(v_ap, v_R);
      t.put(149, v_low);
      let v_De;
      if (v_vee) {
        v_De = finite(Math.min(v_D, Math.max(v_w + 2 * v_ap * Math.tan(degrees(v_A / 2)), v_hair)));
        t.put(150, v_De);
      } else if (v_rounded) {
        v_De = finite(v_b + 2 * Math.sqrt(v_low * (2 * v_R - v_low)));
        t.put(151, v_De);
      } else {
        v_De = v_D;
        t.put(152, v_De);
      }
      let v_ae;
      if (v_wall) {
        v_ae = v_a;
        t.put(153, v_ae);
      } else if (v_work === "chamfer") {
        v_ae = finite(v_De / 2);
        t.put(154, v_ae);
      } else if (v_lanes) {
        v_ae = v_aside;
        t.put(155, v_ae);
      } else {
        v_ae = v_De;
        t.put(156, v_ae);
      }
      const v_x = finite(Math.min(1, v_ae / v_De));
      t.put(157, v_x);
      const v_turn = finite((Math.pow(Math.max(0, 1 + v_r_in - 2 * v_a / v_De), 2) - Math.pow(v_r_in, 2) - 1) / (2 * v_r_in));
      t.put(158, v_turn);
      let v_xw;
      if (v_wall && v_corners) {
        v_xw = finite(Math.max(v_x, (1 - Math.min(Math.max(v_turn, -1), 1)) / 2));
        t.put(159, v_xw);
      } else if (v_wall || !v_lanes || v_open_area) {
        v_xw = v_x;
        t.put(160, v_xw);
      } else {
        v_xw = 1;
        t.put(161, v_xw);
      }
      let v_e;
      if (v_vee) {
        v_e = finite(Math.cos(degrees(v_A / 2)));
        t.put(162, v_e);
      } else if (v_rounded) {
        v_e = finite(v_ap / (v_R * Math.acos((v_R - v_low) / v_R) + v_ap - v_low));
        t.put(163, v_e);
      } else {
        v_e = 1;
        t.put(164, v_e);
      }
      let v_S_slot;
      if (v_drilling) {
        v_S_slot = finite(Math.PI / 4 * Math.pow(v_D, 2));
        t.put(165, v_S_slot);
      } else if (v_vee) {
        v_S_slot = finite(v_w * v_ap + Math.pow(v_ap, 2) * Math.tan(degrees(v_A / 2)));
        t.put(166, v_S_slot);
      } else if (v_rounded) {
        v_S_slot = finite(Math.pow(v_R, 2) * Math.acos((v_R - v_low) / v_R) - (v_R - v_low) * Math.sqrt(2 * v_R * v_low - Math.pow(v_low, 2)) + v_b * v_low + v_D * (v_ap - v_low));
        t.put(167, v_S_slot);
      } else {
        v_S_slot = v_D * v_ap;
        t.put(168, v_S_slot);
      }
      let v_S;
      if (v_wall) {
        v_S = v_ap * v_De * v_xw;
        t.put(169, v_S);
      } else if (v_work === "chamfer") {
        v_S = finite(v_S_slot / 2);
        t.put(170, v_S);
      } else if (v_lanes && v_open_area) {
        v_S = Math.min(v_S_slot, v_aside * v_ap);
        t.put(171, v_S);
      } else {
        v_S = v_S_slot;
        t.put(172, v_S);
      }
      let v_kx;
      if (v_xw < 0.5) {
        v_kx = finite(2 * Math.sqrt(v_xw - Math.pow(v_xw, 2)));
        t.put(173, v_kx);
      } else {
        v_kx = 1;
        t.put(174, v_kx);
      }
      const v_km = finite(2 * v_xw / Math.acos(1 - 2 * v_xw));
      t.put(175, v_km);
      const v_teeth = finite(v_z * Math.acos(1 - 2 * v_xw) / (2 * Math.PI));
      t.put(176, v_teeth);
      const v_t = Math.max(1, -Math.floor(v_hair_t - v_teeth));
      t.put(177, v_t);
      let v_kx_x;
      if (v_x < 0.5) {
        v_kx_x = finite(2 * Math.sqrt(v_x - Math.pow(v_x, 2)));
        t.put(178, v_kx_x);
      } else {
        v_kx_x = 1;
        t.put(179, v_kx_x);
      }
      let v_kn;
      if (v_rounded && v_finishing && !v_wall) {
        v_kn = finite(Math.max(v_hair_t, Math.sqrt(2 * v_R * v_low - Math.pow(v_low, 2)) / v_R));
        t.put(180, v_kn);
      } else {
        v_kn = 1;
        t.put(181, v_kn);
      }
      let v_kt;
      if (v_open_area || v_wall) {
        v_kt = finite(Math.min(v_thin_most, 1 / v_kx_x, 1 / v_kx));
        t.put(182, v_kt);
      } else if (v_kn < 1) {
        v_kt = finite(Math.min(v_thin_most, 1 / v_kn));
        t.put(183, v_kt);
      } else {
        v_kt = 1;
        t.put(184, v_kt);
      }
      let v_kd;
      if (v_drilling) {
        v_kd = 1;
        t.put(185, v_kd);
      } else {
        v_kd = finite(chart(tables.derating, v_ap / v_D, 1));
        t.put(186, v_kd);
      }
      let v_fz_least;
      if (v_De < v_D_split) {
        v_fz_least = data.rubbing.feed_per_tooth_small;
        t.put(187, v_fz_least);
      } else {
        v_fz_least = v_fz_large;
        t.put(188, v_fz_least);
      }
      const v_hm_least = finite(v_hm_large * v_fz_least / v_fz_large);
      t.put(189, v_hm_least);
      let v_fz_min;
      if (v_finishing || v_drilling) {
        v_fz_min = v_fz_least;
        t.put(190, v_fz_min);
      } else {
        v_fz_min = finite(Math.max(v_fz_least, v_hm_least * Math.max(Math.acos(1 - 2 * v_x) / (2 * v_x), Math.PI / 2)));
        t.put(191, v_fz_min);
      }
      return {ap: v_ap, wall: v_wall, aside: v_aside, low: v_low, De: v_De, ae: v_ae, x: v_x, turn: v_turn, xw: v_xw, e: v_e, S_slot: v_S_slot, S: v_S, kx: v_kx, km: v_km, teeth: v_teeth, t: v_t, kx_x: v_kx_x, kn: v_kn, kt: v_kt, kd: v_kd, fz_least: v_fz_least, hm_least: v_hm_least, fz_min: v_fz_min};
    };
    // Loads of a chip
    const b_push = (v_p, v_ap, v_fz) => {
      const v_h = v_fz * v_p.kx;
      t.put(192, v_h);
      const v_h_e = Math.min(Math.max(v_h * v_p.e, v_h_low), v_h_high);
      t.put(193, v_h_e);
      const v_kc = finite(v_Af * Math.pow(v_h_e, -v_m));
      t.put(194, v_kc);
      let v_edge;
      if (v_drilling) {
        v_edge = finite(v_D / 2);
        t.put(195, v_edge);
      } else {
        v_edge = v_ap;
        t.put(196, v_edge);
      }
      const v_Ft = v_kc * v_edge * v_h;
      t.put(197, v_Ft);
      const v_Fs = v_ks * v_Ft * v_p.t;
      t.put(198, v_Fs);
      const v_Fa = finite(Math.max(0, v_Ft * Math.tan(degrees(v_helix)) * v_p.t));
      t.put(199, v_Fa);
      let v_d;
      if (v_drilling) {
        v_d = 0;
        t.put(200, v_d);
      } else {
        v_d = v_Fs * v_c;
        t.put(201, v_d);
      }
      let v_sb;
      if (v_drilling) {
        v_sb = 0;
        t.put(202, v_sb);
      } else {
        v_sb = v_Fs * v_cs;
        t.put(203, v_sb);
      }
      return {p: v_p, ap: v_ap, fz: v_fz, h: v_h, h_e: v_h_e, kc: v_kc, edge: v_edge, Ft: v_Ft, Fs: v_Fs, Fa: v_Fa, d: v_d, sb: v_sb};
    };
    const b_power = (v_p, v_fz, v_n) => {
      const v_hm_e = Math.min(Math.max(v_fz * v_p.km * v_p.e, v_h_low), v_h_high);
      t.put(204, v_hm_e);
      const v_kcm = finite(v_Ap * Math.pow(v_hm_e, -v_m));
      t.put(205, v_kcm);
      const v_Q = v_p.S * v_fz * v_z * v_n;
      t.put(206, v_Q);
      const v_P = finite(v_kcm * v_Q / v_k60);
      t.put(207, v_P);
      return {p: v_p, fz: v_fz, n: v_n, hm_e: v_hm_e, kcm: v_kcm, Q: v_Q, P: v_P};
    };
    const b_by_force = (v_p, v_ap, v_F, v_n) => {
      const v_v = finite(v_F * v_p.e / (v_ks * v_p.t * v_ap * v_Af));
      t.put(208, v_v);
      const v_h_0 = finite(Math.pow(v_v, 1 / (1 - v_m)));
      t.put(209, v_h_0);
      let v_h;
      if (v_h_0 < v_h_low) {
        v_h = finite(v_v * Math.pow(v_h_low, v_m));
        t.put(210, v_h);
      } else if (v_h_0 > v_h_high) {
        v_h = finite(v_v * Math.pow(v_h_high, v_m));
        t.put(211, v_h);
      } else {
        v_h = v_h_0;
        t.put(212, v_h);
      }
      const v_vf = finite(v_h / (v_p.e * v_p.kx) * v_z * v_n);
      t.put(213, v_vf);
      return {p: v_p, ap: v_ap, F: v_F, n: v_n, v: v_v, h_0: v_h_0, h: v_h, vf: v_vf};
    };
    const b_by_power = (v_p, v_n) => {
      const v_v = finite(v_P_max * v_k60 * v_p.km * v_p.e / (v_p.S * v_z * v_n * v_Ap));
      t.put(214, v_v);
      const v_h_0 = finite(Math.pow(v_v, 1 / (1 - v_m)));
      t.put(215, v_h_0);
      let v_h;
      if (v_h_0 < v_h_low) {
        v_h = finite(v_v * Math.pow(v_h_low, v_m));
        t.put(216, v_h);
      } else if (v_h_0 > v_h_high) {
        v_h = finite(v_v * Math.pow(v_h_high, v_m));
        t.put(217, v_h);
      } else {
        v_h = v_h_0;
        t.put(218, v_h);
      }
      const v_vf = finite(v_h / (v_p.e * v_p.km) * v_z * v_n);
      t.put(219, v_vf);
      return {p: v_p, n: v_n, v: v_v, h_0: v_h_0, h: v_h, vf: v_vf};
    };
    const v_D_vee = 3;
    t.put(220, v_D_vee);
    let v_D_chip;
    if (v_shape === "v-bit") {
      v_D_chip = Math.min(v_D, v_D_vee);
      t.put(221, v_D_chip);
    } else if (v_shape === "bowl" && v_RE > 0) {
      v_D_chip = v_RE;
      t.put(222, v_D_chip);
    } else {
      v_D_chip = v_D;
      t.put(223, v_D_chip);
    }
    const v_D_small = least(tables.starts, 0);
    t.put(224, v_D_small);
    const v_k_small_D = finite(Math.min(1, v_D_chip / v_D_small));
    t.put(225, v_k_small_D);
    const v_fz_low_hard = chart(tables.starts, v_D_chip, 1);
    t.put(226, v_fz_low_hard);
    const v_fz_top_hard = chart(tables.starts, v_D_chip, 2);
    t.put(227, v_fz_top_hard);
    const v_fz_low = v_fz_low_hard * v_k_small_D * v_k_mat;
    t.put(228, v_fz_low);
    const v_fz_top = v_fz_top_hard * v_k_small_D * v_k_mat;
    t.put(229, v_fz_top);
    // The chip and the speed that depths are set by
    let v_vf_cap;
    if (v_drilling) {
      v_vf_cap = v_vz_max;
      t.put(230, v_vf_cap);
    } else {
      v_vf_cap = v_vf_max;
      t.put(231, v_vf_cap);
    }
    const v_n_common = 18000;
    t.put(232, v_n_common);
    const v_v_rim = 12;
    t.put(233, v_v_rim);
    const v_k_rim = 60000;
    t.put(234, v_k_rim);
    const v_n_rim = finite(v_k_rim * v_v_rim / (Math.PI * v_D));
    t.put(235, v_n_rim);
    let v_n_ref;
    if (v_n_mark !== null) {
      v_n_ref = Math.min(v_n_common, v_n_rim, v_n_top, v_n_mark);
      t.put(236, v_n_ref);
    } else {
      v_n_ref = Math.min(v_n_common, v_n_rim, v_n_top);
      t.put(237, v_n_ref);
    }
    const b_pushed = (v_ap) => {
      t.enter(238, v_ap, v_along_wall, v_s_wide);
      const x_238 = b_meet(v_ap, v_along_wall, v_s_wide);
      t.leave();
      const v_p = x_238;
      t.put(238, v_p);
      const v_fz_ref = v_fz_low * v_p.kd;
      t.put(239, v_fz_ref);
      const v_fz = Math.max(v_fz_ref, v_p.fz_min);
      t.put(240, v_fz);
      t.enter(241, v_p, v_ap, v_fz);
      const x_241 = b_push(v_p, v_ap, v_fz);
      t.leave();
      const v_f = x_241;
      t.put(241, v_f);
      const v_Fs = v_f.Fs;
      t.put(242, v_Fs);
      return {ap: v_ap, p: v_p, fz_ref: v_fz_ref, fz: v_fz, f: v_f, Fs: v_Fs};
    };
    const b_powered = (v_ap) => {
      t.enter(243, v_ap, v_along_wall, v_s_wide);
      const x_243 = b_meet(v_ap, v_along_wall, v_s_wide);
      t.leave();
      const v_p = x_243;
      t.put(243, v_p);
      const v_fz_ref = v_fz_low * v_p.kd;
      t.put(244, v_fz_ref);
      const v_fz = finite(Math.min(Math.max(v_fz_ref, v_p.fz_min), v_vf_cap / (v_z * v_n_ref)));
      t.put(245, v_fz);
      t.enter(246, v_p, v_fz, v_n_ref);
      const x_246 = b_power(v_p, v_fz, v_n_ref);
      t.leave();
      const v_o = x_246;
      t.put(246, v_o);
      const v_P = v_o.P;
      t.put(247, v_P);
      return {ap: v_ap, p: v_p, fz_ref: v_fz_ref, fz: v_fz, o: v_o, P: v_P};
    };
    // The way down that the cut offers
    const v_a_usual = data.plunge.ramp_angle_typical;
    t.put(248, v_a_usual);
    const v_a_steep = data.plunge.ramp_angle.high;
    t.put(249, v_a_steep);
    const v_a_helix = data.plunge.helix_angle.high;
    t.put(250, v_a_helix);
    const v_q_helix_low = data.plunge.helix_path.low;
    t.put(251, v_q_helix_low);
    const v_q_helix = data.plunge.helix_path.high;
    t.put(252, v_q_helix);
    let v_D_helix;
    if (v_W !== null) {
      v_D_helix = Math.min(v_W - v_D, v_q_helix * v_D);
      t.put(253, v_D_helix);
    } else {
      v_D_helix = null;
    }
    const v_outside = !v_drilling && (v_open_entry || ["face", "surfacing", "chamfer"].includes(v_work));
    t.put(254, v_outside);
    const v_helix_fits = v_D_helix !== null && v_D_helix >= v_q_helix_low * v_D;
    t.put(255, v_helix_fits);
    const v_must_ramp = !(v_drilling || v_outside || v_centre || v_helix_fits);
    t.put(256, v_must_ramp);
    // What bounds the depth of one pass
    const v_q_peck = data.plunge.peck_depth.high;
    t.put(257, v_q_peck);
    let v_q_ap_strong;
    if (v_F_max <= 600) {
      v_q_ap_strong = 0.8;
      t.put(258, v_q_ap_strong);
    } else {
      v_q_ap_strong = 1;
      t.put(259, v_q_ap_strong);
    }
    let v_q_ap;
    if (v_F_max <= 20) {
      v_q_ap = 0.2;
      t.put(260, v_q_ap);
    } else if (v_F_max <= 200) {
      v_q_ap = 0.5;
      t.put(261, v_q_ap);
    } else {
      v_q_ap = v_q_ap_strong;
      t.put(262, v_q_ap);
    }
    const v_q_wall = 2;
    t.put(263, v_q_wall);
    const v_q_skim = 0.1;
    t.put(264, v_q_skim);
    let v_kD;
    if (v_along_wall) {
      v_kD = v_q_wall;
      t.put(265, v_kD);
    } else if (v_shape === "surfacing") {
      v_kD = v_q_skim * v_q_ap;
      t.put(266, v_kD);
    } else {
      v_kD = v_q_ap;
      t.put(267, v_kD);
    }
    const v_D_wide = 12.7;
    t.put(268, v_D_wide);
    let v_D_ap;
    if (v_shape === "surfacing") {
      v_D_ap = v_D;
      t.put(269, v_D_ap);
    } else if (v_shape === "bowl" && v_RE > 0) {
      v_D_ap = v_RE;
      t.put(270, v_D_ap);
    } else {
      v_D_ap = Math.min(v_D, v_D_wide);
      t.put(271, v_D_ap);
    }
    const v_ap_0 = Math.min(v_H, v_APMX, v_kD * v_D_ap);
    t.put(272, v_ap_0);
    const v_F_bend = finite(v_d_max / v_c);
    t.put(273, v_F_bend);
    let v_F_break;
    if (v_s_max !== null) {
      v_F_break = finite(v_s_max / v_cs);
      t.put(274, v_F_break);
    } else {
      v_F_break = null;
    }
    let v_first;
    if (!v_drilling) {
      t.enter(275, v_ap_0);
      const x_275 = b_pushed(v_ap_0);
      t.leave();
      v_first = x_275;
      t.put(275, v_first);
    } else {
      v_first = null;
    }
    let v_first_P;
    if (!v_drilling) {
      t.enter(276, v_ap_0);
      const x_276 = b_powered(v_ap_0);
      t.leave();
      v_first_P = x_276;
      t.put(276, v_first_P);
    } else {
      v_first_P = null;
    }
    const h_ap = [];
    const y_277 = v_H;
    t.put(277, y_277);
    h_ap.push([finite(y_277), R277]);
    const y_278 = v_APMX;
    t.put(278, y_278);
    h_ap.push([finite(y_278), R278]);
    if (v_drilling) {
      const y_279 = v_q_peck * v_D;
      t.put(279, y_279);
      h_ap.push([finite(y_279), R279]);
    }
    if (!v_drilling) {
      const y_280 = v_kD * v_D_ap;
      t.put(280, y_280);
      h_ap.push([finite(y_280), R280]);
    }
    if (v_first !== null && v_first.Fs > v_F_max) {
      t.pause();
      const x_281 = largest(v_ap_0, (w_ap) => b_pushed(w_ap).Fs <= v_F_max);
      t.resume();
      t.enter(281, x_281);
      b_pushed(x_281);
      t.leave();
      const y_281 = x_281;
      t.put(281, y_281);
      h_ap.push([finite(y_281), R281]);
    }
    if (v_first_P !== null && v_first_P.P > v_P_max) {
      t.pause();
      const x_282 = largest(v_ap_0, (w_ap) => b_powered(w_ap).P <= v_P_max);
      t.resume();
      t.enter(282, x_282);
      b_powered(x_282);
      t.leave();
      const y_282 = x_282;
      t.put(282, y_282);
      h_ap.push([finite(y_282), R282]);
    }
    if (v_first !== null && v_first.Fs > v_F_bend) {
      t.pause();
      const x_283 = largest(v_ap_0, (w_ap) => b_pushed(w_ap).Fs <= v_F_bend);
      t.resume();
      t.enter(283, x_283);
      b_pushed(x_283);
      t.leave();
      const y_283 = x_283;
      t.put(283, y_283);
      h_ap.push([finite(y_283), R283]);
    }
    if (v_first !== null && v_F_kept !== null && v_first.Fs > v_F_kept) {
      t.pause();
      const x_284 = largest(v_ap_0, (w_ap) => b_pushed(w_ap).Fs <= v_F_kept);
      t.resume();
      t.enter(284, x_284);
      b_pushed(x_284);
      t.leave();
      const y_284 = x_284;
      t.put(284, y_284);
      h_ap.push([finite(y_284), R284]);
    }
    if (v_first !== null && v_F_break !== null && v_first.Fs > v_F_break) {
      t.pause();
      const x_285 = largest(v_ap_0, (w_ap) => b_pushed(w_ap).Fs <= v_F_break);
      t.resume();
      t.enter(285, x_285);
      b_pushed(x_285);
      t.leave();
      const y_285 = x_285;
      t.put(285, y_285);
      h_ap.push([finite(y_285), R285]);
    }
    if (v_must_ramp && v_way !== null) {
      const y_286 = v_way * Math.tan(degrees(v_a_steep));
      t.put(286, y_286);
      h_ap.push([finite(y_286), R286]);
    }
    const u_ap_high = tightest(h_ap, -1);
    const v_ap_high = u_ap_high === null ? null : u_ap_high[0];
    const v_ap_reason = u_ap_high === null ? null : u_ap_high[1].words;
    const v_ap_load = u_ap_high === null ? null : u_ap_high[1].load;
    const l_ap = [];
    const y_287 = 0;
    t.put(287, y_287);
    l_ap.push([finite(y_287), R287]);
    const u_ap_low = tightest(l_ap, 1);
    const v_ap_low = u_ap_low === null ? null : u_ap_low[0];
    const v_ap_low_reason = u_ap_low === null ? null : u_ap_low[1].words;
    const v_ap_least = 0.1;
    t.put(288, v_ap_least);
    const c_ap = [];
    const y_289 = Math.min(v_ap_least, v_H);
    t.put(289, y_289);
    c_ap.push([finite(y_289), R289]);
    const k_ap = tightest([...l_ap, ...c_ap], 1);
    if (k_ap !== null && u_ap_high !== null && k_ap[0] > u_ap_high[0] * 1.000000001) {
      return crossing(msg("No {quantity} for the {shape} of {D} on {machine_name}: at least {low} ({low_reason}) and at most {high} ({high_reason}); {gap}.", [["quantity", msg("depth per pass")], ["shape", worded(v_shape)], ["D", figures(v_D, "mm")], ["machine_name", worded(v_machine_name)], ["low", figures(k_ap[0], "mm")], ["low_reason", msg(k_ap[1].words)], ["high", figures(u_ap_high[0], "mm")], ["high_reason", msg(u_ap_high[1].words)], ["gap", msg("no value satisfies both")]]), k_ap, u_ap_high);
    }
    // Passes
    const v_hair_N = 0.000001;
    t.put(290, v_hair_N);
    let v_ap_m;
    if (v_ap_own !== null) {
      v_ap_m = Math.min(v_ap_own, v_H);
      t.put(291, v_ap_m);
    } else {
      v_ap_m = v_ap_high;
      t.put(292, v_ap_m);
    }
    const v_N = finite(Math.max(1, -Math.floor(v_hair_N - v_H / v_ap_m)));
    t.put(293, v_N);
    const v_ap = finite(v_H / v_N);
    t.put(294, v_ap);
    const v_ap_why = msg("{N} equal passes", [["N", figures(v_N, "")]]);
    t.put(295, v_ap_why);
    const v_ap_deep = Math.max(v_ap_high, v_ap);
    t.put(296, v_ap_deep);
    t.enter(297, v_ap_deep, v_along_wall, v_s_wide);
    const x_297 = b_meet(v_ap_deep, v_along_wall, v_s_wide);
    t.leave();
    const v_deep = x_297;
    t.put(297, v_deep);
    t.enter(298, v_ap_deep, v_along_wall, v_s_thin);
    const x_298 = b_meet(v_ap_deep, v_along_wall, v_s_thin);
    t.leave();
    const v_thin = x_298;
    t.put(298, v_thin);
    const v_fz_floor = Math.max(v_thin.fz_min, v_deep.fz_min);
    t.put(299, v_fz_floor);
    let v_n_dial_low;
    if (v_dialled) {
      v_n_dial_low = least(machine.dial, 1);
      t.put(300, v_n_dial_low);
    } else {
      v_n_dial_low = null;
    }
    let v_n_dial_high;
    if (v_dialled) {
      v_n_dial_high = most(machine.dial, 1);
      t.put(301, v_n_dial_high);
    } else {
      v_n_dial_high = null;
    }
    const v_D_charts = most(tables.speeds, 0);
    t.put(302, v_D_charts);
    let v_n_D;
    if (v_D <= v_D_charts) {
      v_n_D = step(tables.speeds, v_D, 1);
      t.put(303, v_n_D);
    } else {
      v_n_D = null;
    }
    const v_n_trial = 1000;
    t.put(304, v_n_trial);
    t.enter(305, v_deep, v_fz_floor, v_n_trial);
    const x_305 = b_power(v_deep, v_fz_floor, v_n_trial);
    t.leave();
    const v_thinnest = x_305;
    t.put(305, v_thinnest);
    const l_n = [];
    if (v_n_dial_low !== null) {
      const y_306 = Math.max(v_n_bottom, v_n_dial_low);
      t.put(306, y_306);
      l_n.push([finite(y_306), R306]);
    } else {
      const y_307 = v_n_bottom;
      t.put(307, y_307);
      l_n.push([finite(y_307), R307]);
    }
    const u_n_low = tightest(l_n, 1);
    const v_n_low = u_n_low === null ? null : u_n_low[0];
    const v_n_low_reason = u_n_low === null ? null : u_n_low[1].words;
    const h_n = [];
    if (v_n_dial_high !== null) {
      const y_308 = Math.min(v_n_top, v_n_dial_high);
      t.put(308, y_308);
      h_n.push([finite(y_308), R308]);
    } else {
      const y_309 = v_n_top;
      t.put(309, y_309);
      h_n.push([finite(y_309), R309]);
    }
    if (v_n_mark !== null) {
      const y_310 = v_n_mark;
      t.put(310, y_310);
      h_n.push([finite(y_310), R310]);
    }
    if (v_n_D !== null) {
      const y_311 = v_n_D;
      t.put(311, y_311);
      h_n.push([finite(y_311), R311]);
    }
    const y_312 = v_vf_cap / (v_z * v_fz_floor);
    t.put(312, y_312);
    h_n.push([finite(y_312), R312]);
    if (!v_drilling) {
      const y_313 = v_P_max * v_n_trial / v_thinnest.P;
      t.put(313, y_313);
      h_n.push([finite(y_313), R313]);
    }
    const u_n_high = tightest(h_n, -1);
    const v_n_high = u_n_high === null ? null : u_n_high[0];
    const v_n_reason = u_n_high === null ? null : u_n_high[1].words;
    const v_n_load = u_n_high === null ? null : u_n_high[1].load;
    const k_n = tightest(l_n, 1);
    if (k_n !== null && u_n_high !== null && k_n[0] > u_n_high[0]) {
      return crossing(msg("No {quantity} for the {shape} of {D} on {machine_name}: at least {low} ({low_reason}) and at most {high} ({high_reason}); {gap}.", [["quantity", msg("speed")], ["shape", worded(v_shape)], ["D", figures(v_D, "mm")], ["machine_name", worded(v_machine_name)], ["low", figures(k_n[0], "min-1")], ["low_reason", msg(k_n[1].words)], ["high", figures(u_n_high[0], "min-1")], ["high_reason", msg(u_n_high[1].words)], ["gap", msg("no value satisfies both")]]), k_n, u_n_high);
    }
    const v_n_drill = 6000;
    t.put(314, v_n_drill);
    let v_n_usual;
    if (v_shape === "drill") {
      v_n_usual = v_n_drill;
      t.put(315, v_n_usual);
    } else {
      v_n_usual = Math.min(v_n_rim, v_n_common);
      t.put(316, v_n_usual);
    }
    let v_usual_why;
    if (v_shape === "drill") {
      v_usual_why = "speed of boring heads";
      t.put(317, v_usual_why);
    } else if (v_n_rim < v_n_common) {
      v_usual_why = msg("rim speed {v_rim}", [["v_rim", figures(v_v_rim, "m/s")]]);
      t.put(318, v_usual_why);
    } else {
      v_usual_why = "usual speed";
      t.put(319, v_usual_why);
    }
    const v_q_floor = 1.25;
    t.put(320, v_q_floor);
    const v_fz_safe = v_q_floor * v_fz_floor;
    t.put(321, v_fz_safe);
    const v_q_half = 0.65;
    t.put(322, v_q_half);
    const v_q_more = 0.75;
    t.put(323, v_q_more);
    const v_vf_use = Math.max(v_q_half * v_vf_cap, Math.min(v_z * v_fz_safe * Math.max(v_n_low, Math.min(v_n_usual, v_n_high)), v_q_more * v_vf_cap));
    t.put(324, v_vf_use);
    const v_n_fast = finite(v_vf_use / (v_z * v_fz_safe));
    t.put(325, v_n_fast);
    const v_n_pick = Math.min(v_n_usual, v_n_fast);
    t.put(326, v_n_pick);
    const v_n_in = Math.min(Math.max(v_n_pick, v_n_low), v_n_high);
    t.put(327, v_n_in);
    const v_n_step = 100;
    t.put(328, v_n_step);
    const v_hair_step = 0.000000001;
    t.put(329, v_hair_step);
    const v_n_even = finite(Math.max(v_n_low, Math.floor(v_n_in / v_n_step + v_hair_step) * v_n_step));
    t.put(330, v_n_even);
    let v_n_dial;
    if (v_dialled) {
      v_n_dial = nearest(machine.dial, 1, v_n_even, v_n_low, v_n_high);
      t.put(331, v_n_dial);
    } else {
      v_n_dial = null;
    }
    if (v_dialled && v_n_dial === null) {
      return crossing(msg("No {quantity} for the {shape} of {D} on {machine_name}: at least {low} ({low_reason}) and at most {high} ({high_reason}); {gap}.", [["quantity", msg("speed")], ["shape", worded(v_shape)], ["D", figures(v_D, "mm")], ["machine_name", worded(v_machine_name)], ["low", figures(u_n_low[0], "min-1")], ["low_reason", msg(u_n_low[1].words)], ["high", figures(u_n_high[0], "min-1")], ["high_reason", msg(u_n_high[1].words)], ["gap", msg("no dial position lies between")]]), u_n_low, u_n_high);
    }
    let v_n_0;
    if (v_n_dial !== null) {
      v_n_0 = v_n_dial;
      t.put(332, v_n_0);
    } else {
      v_n_0 = v_n_even;
      t.put(333, v_n_0);
    }
    let v_n;
    if (v_n_own !== null) {
      v_n = v_n_own;
      t.put(334, v_n);
    } else {
      v_n = v_n_0;
      t.put(335, v_n);
    }
    const v_dial = named(machine.dial, v_n);
    t.put(336, v_dial);
    let v_pick_why;
    if (v_n_pick < v_n_low * (1 - v_hair_step)) {
      v_pick_why = "lowest allowed";
      t.put(337, v_pick_why);
    } else if (v_n_pick > v_n_high * (1 + v_hair_step)) {
      v_pick_why = "highest allowed";
      t.put(338, v_pick_why);
    } else if (v_n_fast < v_n_usual * (1 - v_hair_step)) {
      v_pick_why = "keeps the chip above the rubbing floor";
      t.put(339, v_pick_why);
    } else {
      v_pick_why = v_usual_why;
      t.put(340, v_pick_why);
    }
    let v_n_why;
    if (v_dial !== null) {
      v_n_why = msg("{pick_why}; dial {dial}", [["pick_why", worded(v_pick_why)], ["dial", worded(v_dial)]]);
      t.put(341, v_n_why);
    } else {
      v_n_why = v_pick_why;
      t.put(342, v_n_why);
    }
    const v_n_most = Math.max(v_n_high, v_n);
    t.put(343, v_n_most);
    // Thrust of a cutter that goes straight down
    const v_q_thrust = 0.5;
    t.put(344, v_q_thrust);
    let v_k_thrust;
    if (v_shape === "drill") {
      v_k_thrust = 0.5;
      t.put(345, v_k_thrust);
    } else if (["straight", "down-cut"].includes(v_shape)) {
      v_k_thrust = 1.3;
      t.put(346, v_k_thrust);
    } else {
      v_k_thrust = 1;
      t.put(347, v_k_thrust);
    }
    const v_A_thrust = finite(v_kc_ref * Math.pow(v_h_ref, v_m) * Math.pow(v_rho / v_rho_ref, v_nd) * v_k_thrust);
    t.put(348, v_A_thrust);
    let v_D_thrust;
    if (v_vee) {
      v_D_thrust = finite((v_w + v_deep.De) / 2);
      t.put(349, v_D_thrust);
    } else if (v_rounded) {
      v_D_thrust = finite((v_b + v_deep.De) / 2);
      t.put(350, v_D_thrust);
    } else {
      v_D_thrust = v_D;
      t.put(351, v_D_thrust);
    }
    const v_v_thrust = finite(v_q_thrust * v_F_max / (v_A_thrust * v_D_thrust * v_z));
    t.put(352, v_v_thrust);
    const v_h_thrust_0 = finite(Math.pow(v_v_thrust, 1 / (1 - v_m)));
    t.put(353, v_h_thrust_0);
    let v_h_thrust;
    if (v_h_thrust_0 < v_h_low) {
      v_h_thrust = finite(v_v_thrust * Math.pow(v_h_low, v_m));
      t.put(354, v_h_thrust);
    } else if (v_h_thrust_0 > v_h_high) {
      v_h_thrust = finite(v_v_thrust * Math.pow(v_h_high, v_m));
      t.put(355, v_h_thrust);
    } else {
      v_h_thrust = v_h_thrust_0;
      t.put(356, v_h_thrust);
    }
    const v_vz_thrust = v_h_thrust * v_z * v_n;
    t.put(357, v_vz_thrust);
    // Limits
    const l_vf = [];
    const y_358 = v_fz_floor * v_z * v_n;
    t.put(358, y_358);
    l_vf.push([finite(y_358), R358]);
    const u_vf_low = tightest(l_vf, 1);
    const v_vf_low = u_vf_low === null ? null : u_vf_low[0];
    const v_vf_low_reason = u_vf_low === null ? null : u_vf_low[1].words;
    const h_vf = [];
    if (v_drilling) {
      const y_359 = v_vz_max;
      t.put(359, y_359);
      h_vf.push([finite(y_359), R359]);
    }
    if (v_drilling) {
      const y_360 = v_vz_thrust;
      t.put(360, y_360);
      h_vf.push([finite(y_360), R360]);
    }
    if (!v_drilling) {
      const y_361 = v_vf_max;
      t.put(361, y_361);
      h_vf.push([finite(y_361), R361]);
    }
    const y_362 = v_fz_top * v_deep.kd * v_deep.kt * v_z * v_n;
    t.put(362, y_362);
    h_vf.push([finite(y_362), R362]);
    if (!v_drilling) {
      t.enter(363, v_deep, v_ap_deep, v_F_max, v_n);
      const x_363 = b_by_force(v_deep, v_ap_deep, v_F_max, v_n).vf;
      t.leave();
      const y_363 = x_363;
      t.put(363, y_363);
      h_vf.push([finite(y_363), R363]);
    }
    t.enter(364, v_deep, v_n_most);
    const x_364 = b_by_power(v_deep, v_n_most).vf;
    t.leave();
    const y_364 = x_364;
    t.put(364, y_364);
    h_vf.push([finite(y_364), R364]);
    if (!v_drilling) {
      t.enter(365, v_deep, v_ap_deep, v_F_bend, v_n);
      const x_365 = b_by_force(v_deep, v_ap_deep, v_F_bend, v_n).vf;
      t.leave();
      const y_365 = x_365;
      t.put(365, y_365);
      h_vf.push([finite(y_365), R365]);
    }
    if (v_F_kept !== null && !v_drilling) {
      t.enter(366, v_deep, v_ap_deep, v_F_kept, v_n);
      const x_366 = b_by_force(v_deep, v_ap_deep, v_F_kept, v_n).vf;
      t.leave();
      const y_366 = x_366;
      t.put(366, y_366);
      h_vf.push([finite(y_366), R366]);
    }
    if (v_F_break !== null && !v_drilling) {
      t.enter(367, v_deep, v_ap_deep, v_F_break, v_n);
      const x_367 = b_by_force(v_deep, v_ap_deep, v_F_break, v_n).vf;
      t.leave();
      const y_367 = x_367;
      t.put(367, y_367);
      h_vf.push([finite(y_367), R367]);
    }
    const u_vf_high = tightest(h_vf, -1);
    const v_vf_high = u_vf_high === null ? null : u_vf_high[0];
    const v_vf_reason = u_vf_high === null ? null : u_vf_high[1].words;
    const v_vf_load = u_vf_high === null ? null : u_vf_high[1].load;
    const k_vf = tightest(l_vf, 1);
    if (k_vf !== null && u_vf_high !== null && k_vf[0] > u_vf_high[0] * 1.000000001) {
      return crossing(msg("No {quantity} for the {shape} of {D} on {machine_name}: at least {low} ({low_reason}) and at most {high} ({high_reason}); {gap}.", [["quantity", msg("feed")], ["shape", worded(v_shape)], ["D", figures(v_D, "mm")], ["machine_name", worded(v_machine_name)], ["low", figures(k_vf[0], "mm/min")], ["low_reason", msg(k_vf[1].words)], ["high", figures(u_vf_high[0], "mm/min")], ["high_reason", msg(u_vf_high[1].words)], ["gap", msg("no value satisfies both")]]), k_vf, u_vf_high);
    }
    // Where the feed starts
    let v_q_class;
    if (v_F_max <= 60) {
      v_q_class = 0.3;
      t.put(368, v_q_class);
    } else if (v_light) {
      v_q_class = 0.35;
      t.put(369, v_q_class);
    } else if (v_rigid) {
      v_q_class = 0.55;
      t.put(370, v_q_class);
    } else {
      v_q_class = 0.45;
      t.put(371, v_q_class);
    }
    let v_q_kind;
    if (v_ball_like) {
      v_q_kind = 0.7;
      t.put(372, v_q_kind);
    } else {
      v_q_kind = 1;
      t.put(373, v_q_kind);
    }
    const v_fz_range = v_q_class * v_q_kind * v_fz_top * v_deep.kd * v_deep.kt;
    t.put(374, v_fz_range);
    const v_fz_0 = Math.max(v_fz_range, v_fz_safe);
    t.put(375, v_fz_0);
    let v_range_why;
    if (v_fz_range < v_fz_safe) {
      v_range_why = "just above the rubbing floor";
      t.put(376, v_range_why);
    } else {
      v_range_why = "starting chip of the class";
      t.put(377, v_range_why);
    }
    const v_q_load = 0.8;
    t.put(378, v_q_load);
    const v_vf_chip = v_fz_0 * v_z * v_n;
    t.put(379, v_vf_chip);
    let v_vf_top;
    if (v_vf_load) {
      v_vf_top = v_q_load * v_vf_high;
      t.put(380, v_vf_top);
    } else {
      v_vf_top = v_vf_high;
      t.put(381, v_vf_top);
    }
    const v_vf_pick = Math.min(v_vf_chip, v_vf_use, v_vf_top);
    t.put(382, v_vf_pick);
    const v_vf_step = 10;
    t.put(383, v_vf_step);
    const v_vf_0 = finite(Math.max(v_vf_low, Math.floor(Math.max(v_vf_pick, v_vf_low) / v_vf_step + v_hair_step) * v_vf_step));
    t.put(384, v_vf_0);
    let v_vf;
    if (v_vf_own !== null) {
      v_vf = v_vf_own;
      t.put(385, v_vf);
    } else {
      v_vf = v_vf_0;
      t.put(386, v_vf);
    }
    let v_vf_why;
    if (v_vf_pick <= v_vf_low) {
      v_vf_why = v_vf_low_reason;
      t.put(387, v_vf_why);
    } else if (v_vf_top <= Math.min(v_vf_chip, v_vf_use)) {
      v_vf_why = v_vf_reason;
      t.put(388, v_vf_why);
    } else if (v_vf_chip <= v_vf_use) {
      v_vf_why = v_range_why;
      t.put(389, v_vf_why);
    } else {
      v_vf_why = "share of the machine's feed";
      t.put(390, v_vf_why);
    }
    const v_n_follow = finite(v_n * v_vf_high / v_vf);
    t.put(391, v_n_follow);
    // Plunge
    const v_q_vz_low = data.plunge.feed_ratio.low;
    t.put(392, v_q_vz_low);
    const v_q_vz = data.plunge.feed_ratio.high;
    t.put(393, v_q_vz);
    const v_q_vz_0 = 0.4;
    t.put(394, v_q_vz_0);
    const l_vz = [];
    if (!v_drilling) {
      const y_395 = Math.min(v_q_vz_low * v_vf, v_q_vz_low / v_q_vz * Math.min(v_vz_max, v_vz_thrust));
      t.put(395, y_395);
      l_vz.push([finite(y_395), R395]);
    }
    const u_vz_low = tightest(l_vz, 1);
    const v_vz_low = u_vz_low === null ? null : u_vz_low[0];
    const v_vz_low_reason = u_vz_low === null ? null : u_vz_low[1].words;
    const h_vz = [];
    if (!v_drilling) {
      const y_396 = v_q_vz * v_vf;
      t.put(396, y_396);
      h_vz.push([finite(y_396), R396]);
    }
    if (!v_drilling) {
      const y_397 = v_vz_max;
      t.put(397, y_397);
      h_vz.push([finite(y_397), R397]);
    }
    if (!v_drilling) {
      const y_398 = v_vz_thrust;
      t.put(398, y_398);
      h_vz.push([finite(y_398), R398]);
    }
    const u_vz_high = tightest(h_vz, -1);
    const v_vz_high = u_vz_high === null ? null : u_vz_high[0];
    const v_vz_reason = u_vz_high === null ? null : u_vz_high[1].words;
    const v_vz_load = u_vz_high === null ? null : u_vz_high[1].load;
    const k_vz = tightest(l_vz, 1);
    if (k_vz !== null && u_vz_high !== null && k_vz[0] > u_vz_high[0]) {
      return crossing(msg("No {quantity} for the {shape} of {D} on {machine_name}: at least {low} ({low_reason}) and at most {high} ({high_reason}); {gap}.", [["quantity", msg("plunge")], ["shape", worded(v_shape)], ["D", figures(v_D, "mm")], ["machine_name", worded(v_machine_name)], ["low", figures(k_vz[0], "mm/min")], ["low_reason", msg(k_vz[1].words)], ["high", figures(u_vz_high[0], "mm/min")], ["high_reason", msg(u_vz_high[1].words)], ["gap", msg("no value satisfies both")]]), k_vz, u_vz_high);
    }
    const v_vz_step = 10;
    t.put(399, v_vz_step);
    let v_vz_pick;
    if (v_vz_high !== null) {
      v_vz_pick = Math.min(v_q_vz_0 * v_vf, v_q_load * v_vz_high);
      t.put(400, v_vz_pick);
    } else {
      v_vz_pick = null;
    }
    let v_vz_0;
    if (v_vz_pick !== null && v_vz_low !== null) {
      v_vz_0 = finite(Math.max(v_vz_low, Math.floor(v_vz_pick / v_vz_step + v_hair_step) * v_vz_step));
      t.put(401, v_vz_0);
    } else {
      v_vz_0 = v_vf;
      t.put(402, v_vz_0);
    }
    let v_vz;
    if (v_vz_own !== null && !v_drilling) {
      v_vz = v_vz_own;
      t.put(403, v_vz);
    } else {
      v_vz = v_vz_0;
      t.put(404, v_vz);
    }
    let v_vz_why;
    if (v_vz_pick !== null && v_vz_pick < v_q_vz_0 * v_vf) {
      v_vz_why = v_vz_reason;
      t.put(405, v_vz_why);
    } else {
      v_vz_why = "two fifths of the feed";
      t.put(406, v_vz_why);
    }
    // How the cutter goes down
    const v_q_whole = data.plunge.single_peck;
    t.put(407, v_q_whole);
    const v_q_ramp = data.plunge.ramp_feed_over_feed_times_flutes;
    t.put(408, v_q_ramp);
    const v_Lr_usual = finite(v_ap / Math.tan(degrees(v_a_usual)));
    t.put(409, v_Lr_usual);
    const v_Lr_steep = finite(v_ap / Math.tan(degrees(v_a_steep)));
    t.put(410, v_Lr_steep);
    const v_pecks = v_drilling && v_H > v_q_whole * v_D;
    t.put(411, v_pecks);
    let v_q_straight;
    if (v_light) {
      v_q_straight = 0.5;
      t.put(412, v_q_straight);
    } else {
      v_q_straight = 1;
      t.put(413, v_q_straight);
    }
    const v_thrust_bears = v_vz_thrust >= v_q_vz_low * v_vf;
    t.put(414, v_thrust_bears);
    const v_straight = v_drilling || v_centre && v_thrust_bears && (v_ap <= v_q_straight * v_D || v_shape === "v-bit");
    t.put(415, v_straight);
    const v_ramps = v_way === null || v_way + v_hair >= v_Lr_steep;
    t.put(416, v_ramps);
    let v_sloping;
    if (v_ramps) {
      v_sloping = "ramp";
      t.put(417, v_sloping);
    } else if (v_helix_fits) {
      v_sloping = "helix";
      t.put(418, v_sloping);
    } else if (v_centre) {
      v_sloping = "straight plunge";
      t.put(419, v_sloping);
    } else {
      v_sloping = null;
    }
    let v_manner;
    if (v_pecks) {
      v_manner = "peck";
      t.put(420, v_manner);
    } else if (v_outside) {
      v_manner = "from outside";
      t.put(421, v_manner);
    } else if (v_straight) {
      v_manner = "straight plunge";
      t.put(422, v_manner);
    } else {
      v_manner = v_sloping;
      t.put(423, v_manner);
    }
    let v_way_has;
    if (v_way !== null) {
      v_way_has = v_way;
      t.put(424, v_way_has);
    } else {
      v_way_has = 0;
      t.put(425, v_way_has);
    }
    const v_W_helix = v_D * (1 + v_q_helix_low);
    t.put(426, v_W_helix);
    stops = [];
    if (v_manner === null) {
      stops.push({key: "ENTRY", message: msg("The {shape} of {D} cannot go down here: a ramp of {a_steep} needs {Lr_steep} of travel for a pass of {ap}, the cut has {way_has}, and a helix needs a width of {W_helix}.", [["shape", worded(v_shape)], ["D", quantity(v_D, "mm", 4)], ["a_steep", figures(v_a_steep, "deg")], ["Lr_steep", quantity(v_Lr_steep, "mm", 1)], ["ap", quantity(v_ap, "mm", 2)], ["way_has", quantity(v_way_has, "mm", 1)], ["W_helix", quantity(v_W_helix, "mm", 1)]]), helps: ["use a centre-cutting cutter", "drill a starting hole"], low: null, high: null});
    }
    if (stops.length) return {refused: stops};
    let v_a_in;
    if (v_manner === "helix") {
      v_a_in = Math.min(v_a_usual, v_a_helix);
      t.put(427, v_a_in);
    } else if (v_manner === "ramp" && (v_way === null || v_way + v_hair >= v_Lr_usual)) {
      v_a_in = v_a_usual;
      t.put(428, v_a_in);
    } else if (v_manner === "ramp") {
      v_a_in = v_a_steep;
      t.put(429, v_a_in);
    } else {
      v_a_in = null;
    }
    let v_Lr;
    if (v_a_in !== null) {
      v_Lr = finite(v_ap / Math.tan(degrees(v_a_in)));
      t.put(430, v_Lr);
    } else {
      v_Lr = null;
    }
    let v_vr;
    if (v_a_in !== null) {
      v_vr = finite(Math.min(v_vf * v_q_ramp / v_z, v_vz_max / Math.sin(degrees(v_a_in))));
      t.put(431, v_vr);
    } else {
      v_vr = v_vz;
      t.put(432, v_vr);
    }
    let v_D_path;
    if (v_manner === "helix") {
      v_D_path = v_D_helix;
      t.put(433, v_D_path);
    } else {
      v_D_path = null;
    }
    let v_peck;
    if (v_manner === "peck") {
      v_peck = v_ap;
      t.put(434, v_peck);
    } else {
      v_peck = null;
    }
    // The chip and the loads at the start values
    t.enter(435, v_ap, v_along_wall, v_s_now);
    const x_435 = b_meet(v_ap, v_along_wall, v_s_now);
    t.leave();
    const v_at = x_435;
    t.put(435, v_at);
    const v_fz = finite(v_vf / (v_z * v_n));
    t.put(436, v_fz);
    const v_hm = finite(v_fz * 2 * v_at.x / Math.acos(1 - 2 * v_at.x));
    t.put(437, v_hm);
    const v_h_top = v_fz * v_at.kx_x;
    t.put(438, v_h_top);
    const v_thinning = finite(1 / v_at.kx_x);
    t.put(439, v_thinning);
    const v_v_tip = finite(Math.PI * v_at.De * v_n / v_k_rim);
    t.put(440, v_v_tip);
    t.enter(441, v_at, v_ap, v_fz);
    const x_441 = b_push(v_at, v_ap, v_fz);
    t.leave();
    const v_own = x_441;
    t.put(441, v_own);
    t.enter(442, v_at, v_fz, v_n);
    const x_442 = b_power(v_at, v_fz, v_n);
    t.leave();
    const v_own_P = x_442;
    t.put(442, v_own_P);
    const v_fz_most = finite(Math.max(v_vf_high, v_vf) / (v_z * v_n));
    t.put(443, v_fz_most);
    t.enter(444, v_deep, v_ap_deep, v_fz_most);
    const x_444 = b_push(v_deep, v_ap_deep, v_fz_most);
    t.leave();
    const v_worst = x_444;
    t.put(444, v_worst);
    const v_F_most = v_worst.Fs;
    t.put(445, v_F_most);
    const v_U_most = v_worst.Fa;
    t.put(446, v_U_most);
    let v_half_s;
    if (v_s !== null && v_shape === "bowl" && v_slope === 0) {
      v_half_s = finite(Math.max(0, v_s - v_b) / 2);
      t.put(447, v_half_s);
    } else if (v_s !== null && v_ball_like) {
      v_half_s = finite(v_s / (2 * Math.cos(degrees(v_slope))));
      t.put(448, v_half_s);
    } else {
      v_half_s = null;
    }
    let v_hc;
    if (v_half_s !== null && v_half_s <= v_R) {
      v_hc = finite(v_R - Math.sqrt(Math.pow(v_R, 2) - Math.pow(v_half_s, 2)));
      t.put(449, v_hc);
    } else {
      v_hc = null;
    }
    // Direction of cut
    const v_F_belt = 63;
    t.put(450, v_F_belt);
    const v_gives = v_F_max < v_F_belt;
    t.put(451, v_gives);
    const v_D_climb = 50;
    t.put(452, v_D_climb);
    const v_a_climb = 3;
    t.put(453, v_a_climb);
    const v_light_pass = v_finishing && !v_panel && v_D <= v_D_climb && v_a <= v_a_climb;
    t.put(454, v_light_pass);
    const v_has_way = ["profile", "pocket", "dish", "face", "surfacing"].includes(v_work);
    t.put(455, v_has_way);
    let v_direction;
    if (v_has_way && v_light_pass && !v_gives) {
      v_direction = "climb";
      t.put(456, v_direction);
    } else if (v_has_way) {
      v_direction = "conventional";
      t.put(457, v_direction);
    } else {
      v_direction = null;
    }
    let v_direction_why;
    if (v_direction === "climb") {
      v_direction_why = "a light climb pass tears the grain less";
      t.put(458, v_direction_why);
    } else if (v_direction === "conventional" && v_gives) {
      v_direction_why = "a climb cut would pull the frame along";
      t.put(459, v_direction_why);
    } else if (v_direction === "conventional") {
      v_direction_why = "a conventional cut is easier to control";
      t.put(460, v_direction_why);
    } else {
      v_direction_why = null;
    }
    // What is risky
    const v_hm_new = data.rubbing.edge_radius_new.high;
    t.put(461, v_hm_new);
    const v_fz_small = data.rubbing.feed_per_tooth_small;
    t.put(462, v_fz_small);
    let v_k_small;
    if (v_at.De < v_D_split) {
      v_k_small = finite(v_fz_small / v_fz_large);
      t.put(463, v_k_small);
    } else {
      v_k_small = 1;
      t.put(464, v_k_small);
    }
    const v_h_seen = v_h_top * v_deep.kn;
    t.put(465, v_h_seen);
    const v_h_new = v_k_small * v_hm_new;
    t.put(466, v_h_new);
    const v_hm_burn = v_k_small * v_hm_large;
    t.put(467, v_hm_burn);
    const v_slack = 0.001;
    t.put(468, v_slack);
    let v_L_over;
    if (!v_headed) {
      v_L_over = finite(Math.max(v_APMX / v_D, v_L / v_DMM));
      t.put(469, v_L_over);
    } else {
      v_L_over = finite(v_L / v_DMM);
      t.put(470, v_L_over);
    }
    const v_L_sings = 5;
    t.put(471, v_L_sings);
    const v_grip_left = v_OAL - v_L;
    t.put(472, v_grip_left);
    const v_D_range_high = most(tables.starts, 0);
    t.put(473, v_D_range_high);
    const notes = [];
    if (v_finishing && (v_fz < v_fz_floor * (1 - v_slack) || v_h_seen < v_h_new * (1 - v_slack) && !v_drilling)) {
      notes.push({key: "BURN", message: msg("Burn risk: the thickest chip is {h_seen} at {fz} per tooth; under {h_new} the edge rubs more than it cuts.", [["h_seen", figures(v_h_seen, "mm")], ["fz", figures(v_fz, "mm")], ["h_new", figures(v_h_new, "mm")]]), helps: ["keep the cutter sharp and moving", "feed faster, up to the end of the range"], low: null, high: null});
    }
    if (!v_finishing && (v_fz < v_fz_floor * (1 - v_slack) || v_hm < v_hm_burn * (1 - v_slack) && !v_drilling)) {
      notes.push({key: "BURN", message: msg("Burn risk: the mean chip is {hm} at {fz} per tooth; under {hm_burn} the edge rubs more than it cuts.", [["hm", figures(v_hm, "mm")], ["fz", figures(v_fz, "mm")], ["hm_burn", figures(v_hm_burn, "mm")]]), helps: ["keep the cutter sharp and moving", "feed faster, up to the end of the range"], low: null, high: null});
    }
    if (v_L_over >= v_L_sings && !v_drilling && v_L_own !== null && v_L_own > v_L_least + v_hair) {
      notes.push({key: "CHATTER", message: msg("Chatter risk: the cutter is {L_over} times as long as it is thick; from {L_sings} on it tends to sing.", [["L_over", quantity(v_L_over, "", 1)], ["L_sings", figures(v_L_sings, "")]]), helps: ["push the cutter further into the collet", "a shorter cutter"], low: null, high: null});
    }
    if (v_L_over >= v_L_sings && !v_drilling && !(v_L_own !== null && v_L_own > v_L_least + v_hair)) {
      notes.push({key: "CHATTER", message: msg("Chatter risk: the cutter is {L_over} times as long as it is thick; from {L_sings} on it tends to sing.", [["L_over", quantity(v_L_over, "", 1)], ["L_sings", figures(v_L_sings, "")]]), helps: ["a shorter or thicker cutter"], low: null, high: null});
    }
    if (v_s_max !== null && v_own.sb > v_s_max * (1 + v_slack)) {
      notes.push({key: "FRAGILE", message: msg("The cutter is stressed to {own_sb}; {s_max} is allowed.", [["own_sb", figures(v_own.sb, "MPa")], ["s_max", figures(v_s_max, "MPa")]]), helps: ["a smaller depth per pass", "a shorter or thicker cutter"], low: null, high: null});
    }
    if (v_grip_left < v_grip_least - v_hair) {
      notes.push({key: "SHORT_GRIP", message: msg("The collet holds only {grip_left} of a {DMM} shank; two diameters are wanted.", [["grip_left", figures(v_grip_left, "mm")], ["DMM", figures(v_DMM, "mm")]]), helps: ["a longer cutter", "a shallower cut"], low: null, high: null});
    }
    if (!(["v-bit", "surfacing"].includes(v_shape)) && (v_D < v_D_small || v_D > v_D_range_high)) {
      notes.push({key: "BEYOND_TABLE", message: msg("No starting chip is known for a diameter of {D}; the nearest one was taken.", [["D", figures(v_D, "mm")]]), helps: ["follow the cutter maker's chart", "try on scrap"], low: null, high: null});
    }
    // What helps where limits cross
    return {shape: v_shape, D: v_D, APMX: v_APMX, DMM: v_DMM, OAL: v_OAL, z: v_z, w: v_w, RE: v_RE, centre: v_centre, n_mark: v_n_mark, L_own: v_L_own, helix: v_helix, A: v_A, body: v_body, E: v_E, s_max: v_s_max, work: v_work, finishing: v_finishing, H: v_H, reach: v_reach, a: v_a, W: v_W, way: v_way, slope: v_slope, hc_max: v_hc_max, corners: v_corners, open_entry: v_open_entry, keeper: v_keeper, F_hold: v_F_hold, U_hold: v_U_hold, s_own: v_s_own, ap_own: v_ap_own, n_own: v_n_own, vz_own: v_vz_own, vf_own: v_vf_own, kind: v_kind, panel: v_panel, rho: v_rho, k_mat: v_k_mat, machine_name: v_machine_name, collets: v_collets, F_max: v_F_max, P_max: v_P_max, vf_max: v_vf_max, vz_max: v_vz_max, n_bottom: v_n_bottom, n_top: v_n_top, dialled: v_dialled, light: v_light, rigid: v_rigid, hair: v_hair, drilling: v_drilling, along_wall: v_along_wall, lanes: v_lanes, end_mill: v_end_mill, headed: v_headed, ball_like: v_ball_like, R: v_R, b: v_b, vee: v_vee, rounded: v_rounded, open_area: v_open_area, shank_play: v_shank_play, q_grip: v_q_grip, grip_least: v_grip_least, run_out: v_run_out, clearance: v_clearance, q_part: v_q_part, L_shank: v_L_shank, grip: v_grip, L_need: v_L_need, L_least: v_L_least, L: v_L, q_core: v_q_core, d1: v_d1, l1: v_l1, c: v_c, cs: v_cs, d_max: v_d_max, finish_round: v_finish_round, q_least: v_q_least, q: v_q, q_most: v_q_most, hc_top: v_hc_top, q_narrow: v_q_narrow, s_least: v_s_least, s_lower: u_s_low, s_lowers: l_s, s_upper: u_s_high, s_uppers: h_s, s: v_s, s_why: v_s_why, s_wide: v_s_wide, s_thin: v_s_thin, s_now: v_s_now, kc_ref: v_kc_ref, h_ref: v_h_ref, m: v_m, rho_ref: v_rho_ref, nd: v_nd, h_low: v_h_low, h_high: v_h_high, B: v_B, u: v_u, g_mean: v_g_mean, g_worst: v_g_worst, Af: v_Af, Ap: v_Ap, ks: v_ks, F_kept: v_F_kept, k60: v_k60, r_in: v_r_in, thin_most: v_thin_most, D_split: v_D_split, fz_large: v_fz_large, hm_large: v_hm_large, hair_t: v_hair_t, D_vee: v_D_vee, D_chip: v_D_chip, D_small: v_D_small, k_small_D: v_k_small_D, fz_low_hard: v_fz_low_hard, fz_top_hard: v_fz_top_hard, fz_low: v_fz_low, fz_top: v_fz_top, vf_cap: v_vf_cap, n_common: v_n_common, v_rim: v_v_rim, k_rim: v_k_rim, n_rim: v_n_rim, n_ref: v_n_ref, a_usual: v_a_usual, a_steep: v_a_steep, a_helix: v_a_helix, q_helix_low: v_q_helix_low, q_helix: v_q_helix, D_helix: v_D_helix, outside: v_outside, helix_fits: v_helix_fits, must_ramp: v_must_ramp, q_peck: v_q_peck, q_ap_strong: v_q_ap_strong, q_ap: v_q_ap, q_wall: v_q_wall, q_skim: v_q_skim, kD: v_kD, D_wide: v_D_wide, D_ap: v_D_ap, ap_0: v_ap_0, F_bend: v_F_bend, F_break: v_F_break, first: v_first, first_P: v_first_P, ap_least: v_ap_least, ap_lower: u_ap_low, ap_lowers: l_ap, ap_upper: u_ap_high, ap_uppers: h_ap, hair_N: v_hair_N, ap_m: v_ap_m, N: v_N, ap: v_ap, ap_why: v_ap_why, ap_deep: v_ap_deep, deep: v_deep, thin: v_thin, fz_floor: v_fz_floor, n_dial_low: v_n_dial_low, n_dial_high: v_n_dial_high, D_charts: v_D_charts, n_D: v_n_D, n_trial: v_n_trial, thinnest: v_thinnest, n_lower: u_n_low, n_lowers: l_n, n_upper: u_n_high, n_uppers: h_n, n_drill: v_n_drill, n_usual: v_n_usual, usual_why: v_usual_why, q_floor: v_q_floor, fz_safe: v_fz_safe, q_half: v_q_half, q_more: v_q_more, vf_use: v_vf_use, n_fast: v_n_fast, n_pick: v_n_pick, n_in: v_n_in, n_step: v_n_step, hair_step: v_hair_step, n_even: v_n_even, n_dial: v_n_dial, n_0: v_n_0, n: v_n, dial: v_dial, pick_why: v_pick_why, n_why: v_n_why, n_most: v_n_most, q_thrust: v_q_thrust, k_thrust: v_k_thrust, A_thrust: v_A_thrust, D_thrust: v_D_thrust, v_thrust: v_v_thrust, h_thrust_0: v_h_thrust_0, h_thrust: v_h_thrust, vz_thrust: v_vz_thrust, vf_lower: u_vf_low, vf_lowers: l_vf, vf_upper: u_vf_high, vf_uppers: h_vf, q_class: v_q_class, q_kind: v_q_kind, fz_range: v_fz_range, fz_0: v_fz_0, range_why: v_range_why, q_load: v_q_load, vf_chip: v_vf_chip, vf_top: v_vf_top, vf_pick: v_vf_pick, vf_step: v_vf_step, vf_0: v_vf_0, vf: v_vf, vf_why: v_vf_why, n_follow: v_n_follow, q_vz_low: v_q_vz_low, q_vz: v_q_vz, q_vz_0: v_q_vz_0, vz_lower: u_vz_low, vz_lowers: l_vz, vz_upper: u_vz_high, vz_uppers: h_vz, vz_step: v_vz_step, vz_pick: v_vz_pick, vz_0: v_vz_0, vz: v_vz, vz_why: v_vz_why, q_whole: v_q_whole, q_ramp: v_q_ramp, Lr_usual: v_Lr_usual, Lr_steep: v_Lr_steep, pecks: v_pecks, q_straight: v_q_straight, thrust_bears: v_thrust_bears, straight: v_straight, ramps: v_ramps, sloping: v_sloping, manner: v_manner, way_has: v_way_has, W_helix: v_W_helix, a_in: v_a_in, Lr: v_Lr, vr: v_vr, D_path: v_D_path, peck: v_peck, at: v_at, fz: v_fz, hm: v_hm, h_top: v_h_top, thinning: v_thinning, v_tip: v_v_tip, own: v_own, own_P: v_own_P, fz_most: v_fz_most, worst: v_worst, F_most: v_F_most, U_most: v_U_most, half_s: v_half_s, hc: v_hc, F_belt: v_F_belt, gives: v_gives, D_climb: v_D_climb, a_climb: v_a_climb, light_pass: v_light_pass, has_way: v_has_way, direction: v_direction, direction_why: v_direction_why, hm_new: v_hm_new, fz_small: v_fz_small, k_small: v_k_small, h_seen: v_h_seen, h_new: v_h_new, hm_burn: v_hm_burn, slack: v_slack, L_over: v_L_over, L_sings: v_L_sings, grip_left: v_grip_left, D_range_high: v_D_range_high, notes};
  };
})();
