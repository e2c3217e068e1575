// Helps on the recording form. The form works without them: what is worked out
// here is worked out by the server too when the form is sent.

const form = document.querySelector("form.opening");

// Enter on a phone's keyboard closes it; it must not send half a record.
form.addEventListener("keydown", (event) => {
  if (event.key === "Enter" && event.target.matches("input")) event.preventDefault();
});

// The short form hides only what holds no answer.
const answered = (control) =>
  control.type === "radio" || control.type === "checkbox" ? control.checked && control.value !== "" : control.value.trim() !== "";
function keepAnswered() {
  for (const part of form.querySelectorAll(".full")) {
    part.classList.toggle("kept", [...part.querySelectorAll("input:not([type=hidden]), select, textarea")].some(answered));
  }
}
form.addEventListener("change", (event) => {
  if (event.target.name === "path") keepAnswered();
});
keepAnswered();

// The dew point as it is typed. The server sends saturation pressures by whole
// degree; this looks dew points up in them, also without signal.
const air = form.querySelector(".air");
if (air) {
  const ladder = air.dataset.ladder.split(" ").map(Number);
  const from = Number(air.dataset.from);
  const fahrenheit = air.dataset.unit === "°F";
  const verdict = air.querySelector(".verdict");
  const asked = verdict.textContent;

  const pressure = (c) => {
    const i = Math.floor(c - from);
    if (!(i >= 0 && i < ladder.length - 1)) return NaN;
    const part = c - from - i;
    return Math.exp(Math.log(ladder[i]) * (1 - part) + Math.log(ladder[i + 1]) * part);
  };
  const dewPoint = (pa) => {
    const i = ladder.findIndex((p) => p > pa) - 1;
    if (i < 0) return NaN;
    return from + i + Math.log(pa / ladder[i]) / Math.log(ladder[i + 1] / ladder[i]);
  };
  // A number with or without its unit; "" is nothing, NaN is for the server.
  const typed = (name) => {
    const text = form.elements[name].value.trim();
    if (text === "") return null;
    const parts = /^(-?\d+(?:\.\d+)?)\s*°?\s*([fc%]?)$/i.exec(text);
    return parts ? { number: Number(parts[1]), unit: parts[2].toLowerCase() } : { number: NaN, unit: "" };
  };
  const celsius = (value) =>
    value.unit === "f" || (value.unit === "" && fahrenheit) ? (value.number - 32) / 1.8 : value.number;
  const show = (c) => (fahrenheit ? `${(c * 1.8 + 32).toFixed(0)} °F` : `${c.toFixed(1)} °C`);

  const says = () => {
    const [temp, rh, dew] = ["room_temp", "room_rh", "room_dew_point"].map(typed);
    if (!temp || (!rh && !dew)) return asked;
    const t = celsius(temp);
    const d = dew ? celsius(dew) : dewPoint((rh.number / 100) * pressure(t));
    if (!(d <= t)) return asked;
    const metal = air.dataset.metal === "" ? t : Number(air.dataset.metal);
    const sentence = metal < d ? air.dataset.sweats : air.dataset.dry;
    return `Dew point ${show(d)}, metal ${show(metal)}${air.dataset.metalFrom}: ${sentence}`;
  };
  air.addEventListener("input", () => { verdict.textContent = says(); });
  air.querySelector(".work").hidden = true;
}

// Typing a percentage is choosing that scale.
form.elements.area?.addEventListener("input", (event) => {
  if (event.target.value.trim() === "") return;
  form.querySelector("[name=rust][value=area]").checked = true;
});

// One more row of wall readings, with the gauge of the row before.
const more = form.querySelector(".add");
if (more) {
  more.hidden = false;
  more.querySelector("button").addEventListener("click", () => {
    const rows = form.querySelectorAll(".reading");
    const last = rows[rows.length - 1];
    const row = last.cloneNode(true);
    const renumber = (text) => text?.replace(`reading_${rows.length}_`, `reading_${rows.length + 1}_`);
    row.querySelector("legend").textContent = `Reading ${rows.length + 1}`;
    for (const part of row.querySelectorAll("[id], [name], [for], [aria-describedby]")) {
      for (const name of ["id", "name", "for", "aria-describedby"]) {
        if (part.hasAttribute(name)) part.setAttribute(name, renumber(part.getAttribute(name)));
      }
    }
    for (const part of row.querySelectorAll(".fault, input[type=hidden]")) part.remove();
    for (const part of row.querySelectorAll(".wrong")) part.classList.remove("wrong");
    for (const name of ["point", "value"]) row.querySelector(`[name$=_${name}]`).value = "";
    const check = last.querySelector("[name$=_check]");
    row.querySelector("[name$=_check]").value = check.value;
    last.after(row);
    row.querySelector("[name$=_point]").focus();
    if (rows.length + 1 >= 40) more.hidden = true;
  });
}

// Steppers, for fingers in gloves.
for (const [name, step] of [["minutes", 5], ["water_share", 10]]) {
  const input = form.elements[name];
  if (!input) continue;
  const steps = document.createElement("span");
  steps.className = "steps";
  for (const [sign, way, word] of [["−", -1, "less"], ["+", 1, "more"]]) {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = sign;
    button.setAttribute("aria-label", `${step} ${word}, ${input.labels[0].firstChild.textContent.trim()}`);
    button.addEventListener("click", () => {
      const next = (parseFloat(input.value) || 0) + way * step;
      input.value = next > 0 ? String(name === "water_share" ? Math.min(next, 100) : next) : "";
    });
    steps.append(button);
  }
  input.closest(".measure").append(steps);
}

// The last tap can be taken back.
const groups = new Map();
for (const radio of form.querySelectorAll("input[type=radio]:checked")) groups.set(radio.name, radio);
const bar = document.createElement("div");
bar.className = "undo";
bar.hidden = true;
bar.setAttribute("role", "region");
bar.setAttribute("aria-label", "Last answer");
const said = document.createElement("p");
const undo = document.createElement("button");
undo.type = "button";
undo.textContent = "Undo";
bar.append(said, undo);
document.body.append(bar);
let before = null;

form.addEventListener("change", (event) => {
  const radio = event.target;
  if (radio.type !== "radio") return;
  before = { now: radio, was: groups.get(radio.name) };
  groups.set(radio.name, radio);
  const question = radio.closest("fieldset").querySelector("legend").firstChild.textContent.trim();
  const answer = radio.closest("label").querySelector("b") ?? radio.closest("label").querySelector("span");
  said.textContent = `${question}: ${answer.textContent.trim()}`;
  bar.hidden = false;
});

undo.addEventListener("click", () => {
  const { now, was } = before;
  if (was) {
    was.checked = true;
    groups.set(was.name, was);
  } else {
    now.checked = false;
    groups.delete(now.name);
  }
  if (now.name === "path") keepAnswered();
  bar.hidden = true;
  now.focus();
});
