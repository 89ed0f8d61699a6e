// The piece in three dimensions, drawn from its height maps when it is asked for and when it is turned.
const relief = (() => {
  "use strict";
  const GONE = 65535;
  // The maps of both faces after a step: differences added up from the first step of its part.
  const mapsOf = async (data, number) => {
    const part = data.maps.find((one) => one.steps.some((step) => step[0] === number));
    if (!part) return null;
    const count = part.columns * part.rows, top = new Uint16Array(count), bottom = new Uint16Array(count);
    let under = false, cut = false;
    for (const [step, turned, upper, lower] of part.steps) {
      for (const [map, text] of [[top, upper], [bottom, lower]]) {
        if (!text) continue;
        const [change] = await planes.rowsOf(text, 1, 2);
        for (let cell = 0; cell < count; cell += 1) map[cell] += change[cell];
      }
      cut = cut || Boolean(lower);
      under = turned;
      if (step === number) break;
    }
    if (!cut) for (let cell = 0; cell < count; cell += 1) bottom[cell] = top[cell] === GONE ? GONE : 0;
    return {...part, top, bottom, under};
  };

  const VERTEX = `#version 300 es
    precision highp float;
    uniform highp usampler2D map;
    uniform ivec2 size;
    uniform float cell, thick, side;
    uniform mat3 turn;
    uniform vec2 fit;
    out vec3 place;
    out float gone;
    void main() {
      ivec2 at = ivec2(gl_VertexID >> 1, gl_InstanceID + (gl_VertexID & 1)) - 1;
      bool outside = any(lessThan(at, ivec2(0))) || any(greaterThanEqual(at, size));
      uint deep = outside ? ${GONE}u : texelFetch(map, at, 0).r;
      gone = deep == ${GONE}u ? 1.0 : 0.0;
      float depth = gone > 0.5 ? (side > 0.0 ? thick : 0.0) : float(deep) / 100.0;
      vec2 flat_ = (vec2(clamp(at, ivec2(0), size - 1)) + 0.5 - vec2(size) / 2.0) * cell;
      place = turn * vec3(flat_, side * (thick / 2.0 - depth));
      gl_Position = vec4(place.xy * fit, -place.z * 0.0005, 1.0);
    }`;
  const FRAGMENT = `#version 300 es
    precision highp float;
    uniform vec3 wood;
    uniform float side;
    in vec3 place;
    in float gone;
    out vec4 colour;
    void main() {
      if (gone > (side > 0.0 ? 0.999 : 0.5)) discard;
      vec3 normal = normalize(cross(dFdx(place), dFdy(place)));
      if (normal.z < 0.0) normal = -normal;
      float light = 0.42 + 0.62 * max(dot(normal, normalize(vec3(-0.45, 0.55, 0.75))), 0.0);
      colour = vec4(wood * light, 1.0);
    }`;
  const program = (gl) => {
    const made = gl.createProgram();
    for (const [kind, text] of [[gl.VERTEX_SHADER, VERTEX], [gl.FRAGMENT_SHADER, FRAGMENT]]) {
      const shader = gl.createShader(kind);
      gl.shaderSource(shader, text);
      gl.compileShader(shader);
      if (!gl.getShaderParameter(shader, gl.COMPILE_STATUS)) throw new Error(gl.getShaderInfoLog(shader));
      gl.attachShader(made, shader);
    }
    gl.linkProgram(made);
    if (!gl.getProgramParameter(made, gl.LINK_STATUS)) throw new Error(gl.getProgramInfoLog(made));
    return made;
  };
  const upload = (gl, unit, {columns, rows}, map) => {
    gl.activeTexture(gl.TEXTURE0 + unit);
    gl.bindTexture(gl.TEXTURE_2D, gl.createTexture());
    gl.pixelStorei(gl.UNPACK_ALIGNMENT, 1);
    gl.texImage2D(gl.TEXTURE_2D, 0, gl.R16UI, columns, rows, 0, gl.RED_INTEGER, gl.UNSIGNED_SHORT, map);
    for (const name of [gl.TEXTURE_MIN_FILTER, gl.TEXTURE_MAG_FILTER]) gl.texParameteri(gl.TEXTURE_2D, name, gl.NEAREST);
    for (const name of [gl.TEXTURE_WRAP_S, gl.TEXTURE_WRAP_T]) gl.texParameteri(gl.TEXTURE_2D, name, gl.CLAMP_TO_EDGE);
  };
  const times = (a, b) => [0, 1, 2].map((row) => [0, 1, 2].map((column) => [0, 1, 2].reduce((sum, one) => sum + a[row][one] * b[one][column], 0)));
  const turned = (yaw, pitch, over) => {
    const [c, s, d, t] = [Math.cos(yaw), Math.sin(yaw), Math.cos(pitch), Math.sin(pitch)];
    const flip = over ? [[-1, 0, 0], [0, 1, 0], [0, 0, -1]] : [[1, 0, 0], [0, 1, 0], [0, 0, 1]];
    return times(times([[1, 0, 0], [0, d, -t], [0, t, d]], [[c, -s, 0], [s, c, 0], [0, 0, 1]]), flip);
  };

  // Puts a picture that can be turned into a canvas; throws where the browser cannot, and the still picture stays.
  // view: from where it is looked at; kept by who wants to look at the next one from there as well.
  const shownIn = async (canvas, data, number, lost, view = {yaw: -0.5, pitch: -0.95}) => {
    const gl = canvas.getContext("webgl2", {antialias: false, alpha: true, preserveDrawingBuffer: true});
    if (!gl) throw new Error("no WebGL 2");
    const part = await mapsOf(data, number);
    if (!part) throw new RangeError("no maps of this step");
    canvas.addEventListener("webglcontextlost", (event) => { event.preventDefault(); lost(); });
    const made = program(gl), at = (name) => gl.getUniformLocation(made, name);
    upload(gl, 0, part, part.top);
    upload(gl, 1, part, part.bottom);
    view.over = part.under;
    const wood = [1, 3, 5].map((from) => parseInt(part.colour.slice(from, from + 2), 16) / 255);
    const reach = Math.hypot(part.columns, part.rows) * part.cell / 2 + part.thickness;
    let waiting = false;
    const draw = () => {
      waiting = false;
      gl.viewport(0, 0, canvas.width, canvas.height);
      gl.clearColor(0, 0, 0, 0);
      gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
      gl.enable(gl.DEPTH_TEST);
      gl.useProgram(made);
      const scale = Math.min(canvas.width, canvas.height * 1.25) / (2 * reach);
      gl.uniform2f(at("fit"), 2 * scale / canvas.width, 2 * scale / canvas.height);
      gl.uniformMatrix3fv(at("turn"), true, turned(view.yaw, view.pitch, view.over).flat());
      gl.uniform2i(at("size"), part.columns, part.rows);
      gl.uniform1f(at("cell"), part.cell);
      gl.uniform1f(at("thick"), part.thickness);
      gl.uniform3f(at("wood"), ...wood);
      for (const [unit, side] of [[0, 1], [1, -1]]) {
        gl.uniform1i(at("map"), unit);
        gl.uniform1f(at("side"), side);
        gl.drawArraysInstanced(gl.TRIANGLE_STRIP, 0, 2 * (part.columns + 2), part.rows + 1);
      }
    };
    const soon = () => {
      if (waiting) return;
      waiting = true;
      requestAnimationFrame(draw);
    };
    const turn = (yaw, pitch) => {
      view.yaw += yaw;
      view.pitch = Math.min(0, Math.max(-1.5, view.pitch + pitch));
      soon();
    };
    let from = null;
    canvas.addEventListener("pointerdown", (event) => {
      from = [event.clientX, event.clientY];
      canvas.setPointerCapture(event.pointerId);
    });
    canvas.addEventListener("pointermove", (event) => {
      if (!from) return;
      turn((event.clientX - from[0]) * 0.01, event.pointerType === "touch" ? 0 : (event.clientY - from[1]) * 0.01);
      from = [event.clientX, event.clientY];
    });
    for (const name of ["pointerup", "pointercancel"]) canvas.addEventListener(name, () => { from = null; });
    const KEYS = {ArrowLeft: [-0.15, 0], ArrowRight: [0.15, 0], ArrowUp: [0, 0.1], ArrowDown: [0, -0.1]};
    canvas.addEventListener("keydown", (event) => {
      if (!KEYS[event.key]) return;
      turn(...KEYS[event.key]);
      event.preventDefault();
      event.stopPropagation();
    });
    draw();
    return {turn, now: draw, flip() { view.over = !view.over; soon(); }, end() { const ext = gl.getExtension("WEBGL_lose_context"); if (ext) ext.loseContext(); }};
  };
  return {mapsOf, shownIn};
})();
