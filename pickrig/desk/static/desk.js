"use strict";
// Asks the server again when an answer changes, and draws the sliders. It works nothing out itself; without it the
// form's own buttons do the same.

const WAIT = 250; // ms after the last key, so that a word typed is one question and not ten

function sliders(form) {
  for (const entry of form.querySelectorAll(".entry[data-unit]")) {
    const text = entry.querySelector("input");
    const { low, high, step, unit } = entry.dataset;
    const slider = Object.assign(document.createElement("input"), { type: "range", min: low, max: high, step, value: low });
    slider.setAttribute("aria-label", `${glance.dataset.slider}: ${form.querySelector(`label[for="${text.id}"]`).textContent}`);
    const follow = () => {
      const read = /^\s*([\d.,]+)\s*(\S+)\s*$/.exec(text.value);
      if (read && read[2] === unit) slider.value = read[1].replaceAll(",", "");
      slider.classList.toggle("unset", text.value.trim() === ""); // where nothing was answered, nothing is pointed at
      slider.setAttribute("aria-valuetext", text.value || glance.dataset.unsaid);
    };
    slider.addEventListener("input", () => {
      text.value = `${slider.value} ${unit}`;
      slider.classList.remove("unset");
      slider.setAttribute("aria-valuetext", text.value);
    });
    text.addEventListener("input", follow);
    follow();
    entry.append(slider);
  }
}

function show(form, told) {
  document.getElementById("glance").innerHTML = told.html; // made by our own server, every text in it escaped
  for (const field of form.querySelectorAll(".field[id]")) {
    const id = field.id.slice(2);
    field.hidden = !told.asked.includes(id);
    const input = field.querySelector("select, input:not([type=range])");
    const touched = input && (input.dataset.touched || input.value);
    const wrong = touched ? told.faults[id] || "" : "";
    field.querySelector(".wrong").textContent = wrong;
    if (input) wrong ? input.setAttribute("aria-invalid", "true") : input.removeAttribute("aria-invalid");
  }
}

function asking(form) {
  const glance = document.getElementById("glance");
  let timer = 0;
  let asked = 0;
  // What the server says it cannot do, a folder that is gone for one.
  function refused(turn, page) {
    if (turn !== asked) return;
    const said = new DOMParser().parseFromString(page, "text/html").querySelector("main li");
    glance.textContent = said ? said.textContent : glance.dataset.cannot;
    glance.classList.remove("waiting");
  }
  async function ask() {
    const turn = ++asked;
    glance.classList.add("waiting");
    try {
      const answer = await fetch("/glance", { method: "POST", body: new URLSearchParams(new FormData(form)) });
      if (!answer.ok) return refused(turn, await answer.text());
      const told = await answer.json();
      if (turn === asked) show(form, told); // an older answer that comes late is not shown
    } catch {
      if (turn === asked) glance.textContent = glance.dataset.silent;
    }
    if (turn === asked) glance.classList.remove("waiting");
  }
  document.getElementById("look").hidden = true; // it looks by itself
  form.addEventListener("input", (event) => {
    event.target.dataset.touched = "yes";
    clearTimeout(timer);
    timer = setTimeout(ask, WAIT);
  });
}

// On the page of a machine only what it stands on changes what is asked.
function gears(form) {
  const gear = document.getElementById("a-gear");
  const set = () => {
    for (const field of form.querySelectorAll("[data-gear]"))
      field.hidden = gear.value !== "" && gear.value !== field.dataset.gear;
  };
  form.addEventListener("input", set);
  set();
}

const job = document.getElementById("job");
if (job) {
  sliders(job);
  asking(job);
}
const machine = document.getElementById("machine");
if (machine) gears(machine);
