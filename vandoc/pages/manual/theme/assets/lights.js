// Finds a light in three taps: device, colour, pattern. Without this script the lights are listed in groups.
(() => {
  "use strict";
  const form = document.querySelector("form.see");
  const lights = [...document.querySelectorAll(".seen")];
  const count = form.querySelector(".count");
  const devices = [...document.querySelectorAll(".device")];
  const narrow = () => {
    const wanted = Object.fromEntries(new FormData(form));
    const fits = (light, but) => ["device", "colour", "pattern"].every(name =>
      name === but || !wanted[name] || light.dataset[name] === wanted[name]);
    for (const light of lights) light.hidden = !fits(light);
    for (const device of devices) device.hidden = !device.querySelector(".seen:not([hidden])");
    // Options that no remaining light has are hidden, and so are the others of a row with a choice; "any" shows them.
    for (const box of form.querySelectorAll("input[value]:not([value=''])"))
      box.parentElement.hidden = !box.checked && (Boolean(wanted[box.name])
        || !lights.some(light => fits(light, box.name) && light.dataset[box.name] === box.value));
    for (const row of form.querySelectorAll("fieldset")) row.classList.toggle("chosen", Boolean(wanted[row.name]));
    const found = lights.filter(light => !light.hidden).length;
    const any = Object.values(wanted).some(Boolean);
    count.textContent = !any ? "" : found === 1 ? count.dataset.one : count.dataset.many.replace("#", found);
  };
  form.addEventListener("input", narrow);
  form.addEventListener("submit", event => event.preventDefault());
  narrow();
})();
