// Drawings that can be enlarged and moved: buttons, keys, wheel, pinch and drag. It changes the view box only, so that
// lines and text stay sharp. Without this script a drawing fits its page.
(() => {
  "use strict";
  const MOST = 8;
  for (const figure of document.querySelectorAll("figure[data-zoom]")) {
    const pane = figure.querySelector(".frame");
    const drawing = pane.querySelector("svg");
    const { x: left, y: top, width, height } = drawing.viewBox.baseVal;
    let view = { x: left, y: top, scale: 1 };

    const show = () => {
      const shown = { width: width / view.scale, height: height / view.scale };
      view.x = Math.min(Math.max(view.x, left), left + width - shown.width);
      view.y = Math.min(Math.max(view.y, top), top + height - shown.height);
      drawing.setAttribute("viewBox", [view.x, view.y, shown.width, shown.height].join(" "));
      pane.classList.toggle("enlarged", view.scale > 1);
    };
    const enlarge = (factor, point) => {
      const scale = Math.min(Math.max(view.scale * factor, 1), MOST);
      const kept = view.scale / scale;
      view = { x: point.x - (point.x - view.x) * kept, y: point.y - (point.y - view.y) * kept, scale };
      show();
    };
    const under = (clientX, clientY) => new DOMPoint(clientX, clientY).matrixTransform(drawing.getScreenCTM().inverse());
    const middle = () => ({ x: view.x + width / view.scale / 2, y: view.y + height / view.scale / 2 });
    const move = (dx, dy) => { view.x += dx; view.y += dy; show(); };
    const filling = () => figure.classList.contains("filling");
    const fillButton = figure.querySelector('[data-zoom-do="fill"]');
    const fill = on => {
      figure.classList.toggle("filling", on);
      document.body.classList.toggle("filled", on);
      fillButton.setAttribute("aria-pressed", on);
      pane.focus();
    };
    const acts = {
      in: () => enlarge(1.5, middle()),
      out: () => enlarge(1 / 1.5, middle()),
      fit: () => { view = { x: left, y: top, scale: 1 }; show(); },
      fill: () => fill(!filling()),
    };
    for (const button of figure.querySelectorAll("[data-zoom-do]")) {
      button.addEventListener("click", () => acts[button.dataset.zoomDo]());
    }
    pane.tabIndex = 0;
    pane.addEventListener("keydown", event => {
      if (event.ctrlKey || event.altKey || event.metaKey) return;
      const step = { x: width / view.scale / 8, y: height / view.scale / 8 };
      const moves = { ArrowLeft: [-step.x, 0], ArrowRight: [step.x, 0], ArrowUp: [0, -step.y], ArrowDown: [0, step.y] };
      const keys = { "+": acts.in, "=": acts.in, "-": acts.out, 0: acts.fit };
      if (event.key in moves && view.scale > 1) move(...moves[event.key]);
      else if (event.key in keys) keys[event.key]();
      else if (event.key === "Escape" && filling()) fill(false);
      else return;
      event.preventDefault();
    });
    pane.addEventListener("wheel", event => {
      if (!event.ctrlKey && !filling()) return; // the page scrolls
      event.preventDefault();
      enlarge(Math.exp(-event.deltaY / 300), under(event.clientX, event.clientY));
    }, { passive: false });

    const fingers = new Map();
    let spread = 0;
    let dragged = false;
    pane.addEventListener("pointerdown", event => {
      fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
      spread = 0;
      dragged = false;
    });
    pane.addEventListener("pointermove", event => {
      const before = fingers.get(event.pointerId);
      if (!before) return;
      const now = { x: event.clientX, y: event.clientY };
      fingers.set(event.pointerId, now);
      if (fingers.size === 2) {
        const [one, other] = [...fingers.values()];
        const apart = Math.hypot(one.x - other.x, one.y - other.y);
        if (spread) enlarge(apart / spread, under((one.x + other.x) / 2, (one.y + other.y) / 2));
        spread = apart;
        dragged = true;
      } else if (view.scale > 1) {
        const from = under(before.x, before.y);
        const to = under(now.x, now.y);
        if (Math.hypot(now.x - before.x, now.y - before.y) > 0) dragged = true;
        move(from.x - to.x, from.y - to.y);
      }
    });
    for (const end of ["pointerup", "pointercancel", "pointerleave"]) {
      pane.addEventListener(end, event => { fingers.delete(event.pointerId); spread = 0; });
    }
    // A drag that ends on a part must not open its page.
    pane.addEventListener("click", event => { if (dragged) event.preventDefault(); }, true);
  }
})();
