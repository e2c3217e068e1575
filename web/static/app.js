// Small helps on every page. Each page works without them.

// After a form came back, the list of faults is what to read first.
document.getElementById("faults")?.focus();

// A link shown once is selected as soon as it is entered.
for (const field of document.querySelectorAll("input.copy")) {
  field.addEventListener("focus", () => field.select());
}

// The menu closes with Escape and gives the focus back.
for (const menu of document.querySelectorAll("details.menu")) {
  menu.addEventListener("keydown", (event) => {
    if (event.key !== "Escape" || !menu.open) return;
    menu.open = false;
    menu.querySelector("summary").focus();
  });
}

// A form is sent once, however often the button is pressed.
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.method !== "post" || event.defaultPrevented) return;
  if (form.dataset.sent) {
    event.preventDefault();
    return;
  }
  form.dataset.sent = "yes";
  for (const button of form.querySelectorAll("button")) button.setAttribute("aria-disabled", "true");
});

// A page that comes back from the browser's memory can be sent again.
window.addEventListener("pageshow", (event) => {
  if (!event.persisted) return;
  for (const form of document.querySelectorAll("form[data-sent]")) {
    delete form.dataset.sent;
    for (const button of form.querySelectorAll("button")) button.removeAttribute("aria-disabled");
  }
});
