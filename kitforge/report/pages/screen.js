(function () {
  "use strict";
  function light() {
    var number = (/^#[fm](\d+)$/.exec(location.hash) || [])[1];
    document.querySelectorAll("[data-n]").forEach(function (one) {
      one.classList.toggle("lit", one.dataset.n === number);
    });
  }
  addEventListener("hashchange", light);
  light();
})();
