// Answers as one types, and rows that can be added. Every page of the Reckoner
// works without this: its forms are links.

const wait = 350;

// address is where a form leads with what is typed; empty fields are left out.
function address(form) {
  const url = new URL(form.action);
  for (const [name, value] of new FormData(form)) if (value.trim()) url.searchParams.append(name, value);
  return url;
}

// live asks again a moment after the last key and hands over the page that
// came, unless a later question has been asked meanwhile.
function live(form, show) {
  let timer, latest = 0;
  const ask = async () => {
    const url = address(form), mine = ++latest;
    try {
      const answer = await fetch(url);
      if (!answer.ok || answer.redirected) return;
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      if (mine === latest) show(page, url);
    } catch {
      // no connection: the button says so when it is pressed
    }
  };
  const later = () => {
    clearTimeout(timer);
    timer = setTimeout(ask, wait);
  };
  form.addEventListener("input", later);
  form.addEventListener("submit", () => clearTimeout(timer));
}

for (const form of document.querySelectorAll("form[data-live]")) {
  live(form, (page, url) => {
    for (const id of form.dataset.live.split(" ")) {
      const here = document.getElementById(id), new_ = page.getElementById(id);
      if (here && new_) here.replaceChildren(...new_.childNodes);
    }
    clearFaults(form, page);
    sentences();
    copies();
    history.replaceState(null, "", url);
  });
}

// clearFaults takes away what was wrong and is not any more.
function clearFaults(form, page) {
  for (const fault of form.querySelectorAll(".fault")) {
    if (page.getElementById(fault.id)) continue;
    const field = fault.closest(".field");
    field.classList.remove("wrong");
    for (const input of field.querySelectorAll("[aria-invalid]")) {
      input.removeAttribute("aria-invalid");
      const left = (input.getAttribute("aria-describedby") || "").split(" ").filter((id) => id !== fault.id);
      input.setAttribute("aria-describedby", left.join(" "));
    }
    fault.remove();
  }
}

// sentences answer in their own words.
function sentences() {
  for (const form of document.querySelectorAll("form[data-sentence]:not([data-ready])")) {
    form.dataset.ready = "yes";
    live(form, (page) => {
      for (const told of form.querySelectorAll("[data-output]")) {
        told.textContent = page.querySelector(`[data-output="${told.dataset.output}"]`)?.dataset.brief ?? "…";
      }
    });
  }
}
sentences();

// copies turn the link to an answer into one that copies itself.
function copies() {
  if (!navigator.clipboard) return;
  for (const link of document.querySelectorAll("[data-copy]:not([data-ready])")) {
    link.dataset.ready = "yes";
    const button = document.createElement("button");
    button.type = "button";
    button.className = "plain";
    button.textContent = "Copy link";
    button.addEventListener("click", async () => {
      await navigator.clipboard.writeText(link.href);
      button.textContent = "Copied";
    });
    link.after(button);
  }
}
copies();

// Rows: the last one is copied empty, its number one higher.
for (const group of document.querySelectorAll(".places")) {
  const add = group.querySelector(".add");
  add.hidden = false;
  add.querySelector("button").addEventListener("click", () => {
    const last = [...group.querySelectorAll(".place")].pop();
    const row = last.cloneNode(true), was = Number(last.dataset.place), n = was + 1;
    row.dataset.place = n;
    for (const fault of row.querySelectorAll(".fault")) fault.remove();
    for (const field of row.querySelectorAll(".wrong")) field.classList.remove("wrong");
    for (const part of row.querySelectorAll("*")) {
      part.removeAttribute("aria-invalid");
      for (const name of ["id", "for", "name", "aria-describedby"]) {
        const text = part.getAttribute(name);
        if (text) part.setAttribute(name, text.replaceAll(`_${was}`, `_${n}`));
      }
    }
    for (const label of row.querySelectorAll("label")) {
      label.firstChild.textContent = label.firstChild.textContent.replace(`, ${was}`, `, ${n}`);
    }
    for (const input of row.querySelectorAll("input")) input.value = "";
    last.after(row);
    row.querySelector("input").focus();
    if (n >= 50) add.hidden = true;
  });
}
