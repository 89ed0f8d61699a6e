// One step at a time, large, for one thumb: what is not of the step is out of sight, the bar at the foot leads on.
const working = (() => {
  "use strict";
  let screen = null, place = 0, lock = null, ticking = 0, until = 0;
  const steps = () => [...document.querySelectorAll(`.in.${screen.code()} article.step`)];
  const wake = async () => {
    try { lock = document.body.classList.contains("working") ? await navigator.wakeLock.request("screen") : null; }
    catch { lock = null; }
  };
  const cutterOf = (article) => article.querySelector(".where strong").textContent;
  const show = (focus) => {
    const all = steps(), {say} = screen.write();
    place = Math.min(Math.max(place, 0), all.length - 1);
    all.forEach((one, at) => one.classList.toggle("now", at === place));
    const bar = document.getElementById("bar"), at = say("step of", {number: place + 1, count: all.length});
    bar.querySelector(".at").textContent = at;
    const after = all[place + 1];
    const title = after ? after.querySelector("h3").dataset.title : "";
    bar.querySelector(".then").textContent = after ? say("next cutter", {title, cutter: cutterOf(after)}) : "";
    bar.querySelector(".back").disabled = place === 0;
    bar.querySelector(".on").disabled = !after;
    screen.tell(at);
    if (focus) {
      all[place].querySelector("h3").focus({preventScroll: true});
      all[place].scrollIntoView({block: "start"});
    }
  };
  const enter = (at) => {
    place = at;
    document.body.classList.add("working");
    show(true);
    wake();
  };
  const leave = () => {
    const now = steps()[place];
    document.body.classList.remove("working");
    if (lock) lock.release().catch(() => {});
    lock = null;
    now.scrollIntoView({block: "start"});
    now.querySelector("h3").focus({preventScroll: true});
  };
  const move = (by) => {
    place += by;
    show(true);
  };
  const clock = (seconds) => `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
  const timer = () => {
    const {el, write} = screen, {say} = write();
    const minutes = el("input", {type: "text", inputMode: "numeric", value: "10", id: "minutes", size: 4, autocomplete: "off"});
    const shown = el("output", {className: "clock", ariaLive: "off"}), button = el("button", {type: "button", textContent: say("start")});
    const stop = () => {
      clearInterval(ticking);
      ticking = 0;
      button.textContent = screen.write().say("start");
    };
    const tick = () => {
      const left = Math.max(0, Math.round((until - Date.now()) / 1000));
      shown.textContent = clock(left);
      if (left) return;
      stop();
      shown.textContent = screen.write().say("time is up");
      screen.tell(shown.textContent);
      try { navigator.vibrate([400, 200, 400]); } catch { /* a screen that cannot */ }
    };
    button.addEventListener("click", () => {
      if (ticking) return stop();
      const wanted = Number(minutes.value.replace(",", "."));
      if (!(wanted > 0 && wanted <= 10000)) return minutes.focus();
      until = Date.now() + wanted * 60000;
      button.textContent = screen.write().say("stop");
      ticking = setInterval(tick, 1000);
      return tick();
    });
    const label = el("label", {htmlFor: "minutes", textContent: say("minutes")});
    return el("div", {className: "timer"}, el("h3", {textContent: say("timer")}), el("p", {}, label, minutes, button, shown));
  };
  const bar = () => {
    const {el, write} = screen, {say} = write();
    const button = (className, text, act) => {
      const made = el("button", {type: "button", className, textContent: text});
      made.addEventListener("click", act);
      return made;
    };
    const made = el("nav", {id: "bar", ariaLabel: say("work")},
      el("p", {}, el("strong", {className: "at"}), " ", el("span", {className: "then"})),
      el("p", {className: "buttons"}, button("back", say("before"), () => move(-1)), button("on", say("next"), () => move(1)), button("leave", say("leave"), leave)));
    return made;
  };
  addEventListener("keydown", (event) => {
    if (!document.body.classList.contains("working") || /^(INPUT|TEXTAREA|SELECT)$/.test(event.target.tagName)) return;
    if (event.key === "ArrowRight") move(1);
    else if (event.key === "ArrowLeft") move(-1);
    else if (event.key === "Escape") leave();
  });
  addEventListener("visibilitychange", () => { if (!document.hidden) wake(); });
  return {
    start(given) { screen = given; },
    enter, show, bar, timer,
    inside: () => document.body.classList.contains("working"),
  };
})();
