// Adds up what is ticked and says how long it lasts. Without it the page is a table.
(() => {
  "use strict";
  for (const form of document.querySelectorAll("form.tonight")) {
    const fact = name => Number(form.dataset[name]);
    const words = form.querySelector("output").dataset;
    const say = hours => {
      if (hours < .25) return words.none;
      if (hours < .75) return words.half;
      if (hours < 1.5) return words.one;
      if (hours < 48) return words.hours.replace("#", Math.floor(hours));
      return hours < 24 * 60 ? words.days.replace("#", Math.floor(hours / 24)) : words.months;
    };
    const work = () => {
      const amps = [...form.querySelectorAll("input:checked")].reduce((sum, box) => sum + Number(box.value), 0);
      const hours = remaining(Number(form.charge.value), fact("keep"), fact("capacity"), fact("rated"),
        Number(form.warmth.value), fact("exponent"), amps);
      form.querySelector("output strong").textContent = amps ? say(hours) : words.nothing;
      form.querySelector("output .amps").textContent = amps ? words.amps.replace("#", amps.toFixed(1)) : "";
    };
    form.addEventListener("input", work);
    form.addEventListener("submit", event => event.preventDefault());
    work();
  }
})();
