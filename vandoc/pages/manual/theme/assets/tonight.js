// Adds up the devices that are ticked and shows how long the battery lasts. Without it the page is a table.
(() => {
  "use strict";
  for (const form of document.querySelectorAll("form.tonight")) {
    const fact = name => Number(form.dataset[name]);
    const words = form.querySelector("output").dataset;
    const scales = JSON.parse(words.scales);
    const dust = 1e-9;
    // The same rule and scales as owners_time in vandoc/ground/figures/owners.py; a test compares both.
    const say = hours => {
      if (!hours) return words.none;
      const scale = scales.find(one => one.below === null || hours < one.below);
      const steps = hours / scale.step;
      const count = (scale.exceeded ? Math.ceil(steps - dust) - 1 : Math.floor(steps + dust)) * scale.count;
      if (!count) return scale.less;
      const shown = (count < 1 ? "" : Math.floor(count)) + (count % 1 ? "½" : "");
      return (count > 1 ? scale.many : scale.one).replace("#", shown);
    };
    const work = () => {
      const amps = [...form.querySelectorAll("input:checked")].reduce((sum, box) => sum + Number(box.value), 0);
      const hours = remaining(Number(form.charge.value), fact("keep"), fact("capacity"), fact("rated"),
        Number(form.warmth.value), fact("exponent"), amps);
      form.querySelector("output strong").textContent = amps ? say(hours) : words.nothing;
      form.querySelector("output .amps").textContent = amps ? words.amps.replace("#", Number(amps.toPrecision(2))) : "";
    };
    form.addEventListener("input", work);
    form.addEventListener("submit", event => event.preventDefault());
    work();
  }
})();
