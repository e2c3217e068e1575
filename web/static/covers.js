// Choosing covers in a list: all at once, and how many are chosen. Without it
// the boxes work one by one.
const form = document.querySelector("form.rooms");
const boxes = form ? [...form.querySelectorAll("input[name=cover]")] : [];

if (boxes.length > 0) {
  const send = form.querySelector(".picked button");
  const all = document.createElement("button");
  all.type = "button";
  all.className = "button quiet";
  const says = document.createElement("span");
  says.setAttribute("role", "status");
  send.before(all);
  send.after(says);

  const count = () => {
    const n = boxes.filter((box) => box.checked).length;
    all.textContent = n === boxes.length ? "Choose none" : "Choose all " + boxes.length + " shown";
    says.textContent = n === 0 ? "" : n + " chosen";
    send.setAttribute("aria-disabled", String(n === 0));
  };
  all.addEventListener("click", () => {
    const on = boxes.some((box) => !box.checked);
    for (const box of boxes) box.checked = on;
    count();
  });
  form.addEventListener("change", count);
  form.addEventListener("submit", (event) => {
    if (boxes.some((box) => box.checked)) return;
    event.preventDefault();
    says.textContent = "Choose at least one cover.";
  });
  count();
}
