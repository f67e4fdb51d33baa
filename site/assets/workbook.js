"use strict";
/* Keeps what is typed or chosen in a workbook on this device while the work
 * goes on, and saves it as an answer file. Without this script the page is a
 * workbook of paper. It compares nothing: the page holds no marker.
 *
 * Kept under "loopdrill answers FORM" in localStorage, and saved as the file
 * answers-FORM.json:
 *
 *   {"loopdrill": "answers", "version": 1,
 *    "form": "P7KX-Q2M1", "course": "live-zero-basics",
 *    "who": {"name": "as typed", "date": "as typed"},
 *    "answers": {"3.a": "-1,3", "3.b.2": "low", "3.c.working": "..."}}
 *
 * A key is the number of the exercise, a point, and the id of the box. A number
 * box gives its text exactly as typed; lettered boxes give the id of the option
 * that is marked; the ruled lines of part c give "3.c.working". Boxes left
 * empty are left out. Keys that the page does not know are kept as they came. */
(() => {
  const form = document.body.dataset.form, course = document.body.dataset.course;
  const bar = document.getElementById("answers");
  if (!form || !bar) return;
  const slot = "loopdrill answers " + form, before = slot + " before";
  const $ = (id) => document.getElementById("answers-" + id);
  const fields = [...document.querySelectorAll("input[name], textarea[name]")];
  const boxes = new Set(fields.filter((f) => !f.dataset.who && !f.name.endsWith(".working")).map((f) => f.name));
  let strange = {};  // answers to boxes that this page does not have
  let kept = true;   // whether the device keeps anything

  const read = (key) => { try { return JSON.parse(localStorage.getItem(key)); } catch { return null; } };
  const write = (key, value) => {
    try {
      if (value) localStorage.setItem(key, JSON.stringify(value)); else localStorage.removeItem(key);
      return true;
    } catch { return false; }
  };

  function collect() {
    const d = {loopdrill: "answers", version: 1, form, course, who: {}, answers: {...strange}};
    for (const f of fields) {
      if (f.type === "radio" ? !f.checked : f.value === "") continue;
      if (f.dataset.who) d.who[f.dataset.who] = f.value; else d.answers[f.name] = f.value;
    }
    return d;
  }

  function fill(d) {
    const known = new Set(), answers = d.answers || {}, who = d.who || {};
    for (const f of fields) {
      const value = f.dataset.who ? who[f.dataset.who] : answers[f.name];
      if (f.type === "radio") {
        f.checked = value === f.value;
        if (f.checked) known.add(f.name);
      } else {
        f.value = typeof value === "string" ? value : "";
        known.add(f.name);
      }
    }
    for (const a of areas) fit(a);
    strange = Object.fromEntries(Object.entries(answers).filter(([k]) => !known.has(k)));
  }

  // Ruled space grows with what is written, so that paper shows all of it.
  const fit = (f) => {
    f.style.height = "";
    if (f.scrollHeight > f.clientHeight) f.style.height = f.scrollHeight + "px";
  };
  const areas = fields.filter((f) => f.tagName === "TEXTAREA");

  const count = (d) => [...boxes].filter((name) => name in d.answers).length;
  const empty = (d) => !Object.keys(d.answers).length && !Object.keys(d.who).length;

  function state(note) {
    const n = count(collect());
    $("state").textContent = (note ? note + " " : "") + n + " of " + boxes.size + " boxes filled in" +
      (kept ? ", kept on this device." : ". This browser keeps nothing: save an answer file before you close.");
  }

  function keep(note) {
    const d = collect();
    kept = write(slot, empty(d) ? null : d);
    state(note);
  }

  // Why a file cannot be opened here, or "".
  function refuse(d) {
    if (!d || typeof d !== "object" || d.loopdrill !== "answers") return "This is not an answer file.";
    if (d.version !== 1) return "This answer file is of version " + d.version + ", which this page does not know.";
    if (d.form !== form) return "This answer file belongs to form " + d.form + ", and this is form " + form + ".";
    for (const group of [d.answers, d.who || {}])
      if (!group || typeof group !== "object" || Object.values(group).some((v) => typeof v !== "string"))
        return "This answer file is damaged.";
    return "";
  }

  function save() {
    const a = document.createElement("a");
    a.href = URL.createObjectURL(new Blob([JSON.stringify(collect(), null, 1) + "\n"], {type: "application/json"}));
    a.download = "answers-" + form + ".json";
    a.click();
    setTimeout(() => URL.revokeObjectURL(a.href), 60000);
    state("Answer file handed to the browser.");
  }

  // What is replaced or cleared is put aside and can be brought back.
  function putAside() {
    const d = collect();
    if (!empty(d)) { write(before, d); $("back").hidden = false; }
  }

  $("file").addEventListener("change", async () => {
    const file = $("file").files[0];
    $("file").value = "";
    if (!file) return;
    let d = null;
    try { d = JSON.parse(await file.text()); } catch { /* refuse says so */ }
    const why = refuse(d);
    if (why) { state(why); return; }
    if (!empty(collect()) && !confirm("Put the answers of the file in place of those on this page?")) return;
    putAside();
    fill(d);
    keep("Answer file opened.");
  });
  $("open").addEventListener("click", () => $("file").click());
  $("save").addEventListener("click", save);
  $("clear").addEventListener("click", () => {
    if (!confirm("Clear all answers of form " + form + " from this page and this device?")) return;
    putAside();
    strange = {};
    fill({});
    keep("Cleared.");
  });
  $("back").addEventListener("click", () => {
    const d = read(before);
    if (refuse(d)) return;
    fill(d);
    write(before, null);
    $("back").hidden = true;
    keep("Brought back.");
  });
  document.addEventListener("input", (e) => {
    if (areas.includes(e.target)) fit(e.target);
    if (fields.includes(e.target)) keep();
  });
  // The same form open in another tab: show what was typed there.
  addEventListener("storage", (e) => {
    if (e.key !== slot) return;
    const d = read(slot);
    fill(refuse(d) ? {} : d);
    state();
  });

  // Solutions are left out on paper unless asked for.
  const solutions = document.getElementById("solutions-print");
  if (document.querySelector(".solution")) {
    solutions.hidden = false;
    const box = solutions.querySelector("input");
    box.addEventListener("change", () => document.body.classList.toggle("print-solutions", box.checked));
    let opened = [];
    addEventListener("beforeprint", () => {
      if (!box.checked) return;
      opened = [...document.querySelectorAll(".solution:not([open])")];
      for (const s of opened) s.open = true;
    });
    addEventListener("afterprint", () => { for (const s of opened) s.open = false; opened = []; });
  }

  const d = read(slot);
  if (d && !refuse(d)) fill(d);
  else kept = write(slot + " try", "x") && write(slot + " try", null);
  $("back").hidden = Boolean(refuse(read(before)));
  bar.hidden = false;
  state();
})();
