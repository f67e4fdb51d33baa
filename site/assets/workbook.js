"use strict";
/* Keeps what is typed or chosen in a workbook on this device while the work
 * goes on, and saves it as an answer file. Without this script the page is a
 * workbook of paper. On practice pages it also compares answers with the key
 * that the page carries; an assessment page carries none.
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
 * box gives its text exactly as typed, with ".unit" behind its id the unit that
 * was asked for, and with ".stop" the tick that it cannot be read ("stop").
 * Lettered boxes give the id of the option that is marked. Steps give their ids
 * in the order they were numbered, "permit, shut, read"; where the numbers are
 * no order (one is there twice), they stand as they are, "permit=1, shut=1".
 * The ruled lines of part c give "3.c.working". Boxes left empty are left out.
 * Keys that the page does not know are kept as they came. */
(() => {
  const form = document.body.dataset.form, course = document.body.dataset.course;
  const bar = document.getElementById("answers");
  if (!form || !bar) return;
  const slot = "loopdrill answers " + form, before = slot + " before";
  const $ = (id) => document.getElementById("answers-" + id);
  const make = (name, text, more) => Object.assign(document.createElement(name), {textContent: text || ""}, more);
  const fields = [...document.querySelectorAll("input[name], textarea[name]")];
  const orders = new Map([...document.querySelectorAll(".order")].map((o) => [o.dataset.box, o]));
  const boxes = new Set([...fields.filter((f) => !f.dataset.who && !/\.(working|unit|stop)$/.test(f.name)).map((f) => f.name), ...orders.keys()]);
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
      if (f.type === "radio" || f.type === "checkbox" ? !f.checked : f.value === "") continue;
      if (f.dataset.who) d.who[f.dataset.who] = f.value; else d.answers[f.name] = f.value;
    }
    for (const [name, o] of orders) if (orderText(o)) d.answers[name] = orderText(o);
    return d;
  }

  function fill(d) {
    const known = new Set(), answers = d.answers || {}, who = d.who || {};
    for (const f of fields) {
      const value = f.dataset.who ? who[f.dataset.who] : answers[f.name];
      if (f.type === "radio" || f.type === "checkbox") {
        f.checked = value === f.value;
        if (f.checked) known.add(f.name);
      } else {
        f.value = typeof value === "string" ? value : "";
        known.add(f.name);
      }
    }
    for (const [name, o] of orders) if (fillOrder(o, answers[name])) known.add(name);
    for (const a of areas) fit(a);
    for (const c of comparisons) c.forget();
    strange = Object.fromEntries(Object.entries(answers).filter(([k]) => !known.has(k)));
  }

  // Ruled space grows with what is written, so that paper shows all of it.
  const fit = (f) => {
    f.style.height = "";
    if (f.scrollHeight > f.clientHeight) f.style.height = f.scrollHeight + "px";
  };
  const areas = fields.filter((f) => f.tagName === "TEXTAREA");

  const count = (d) => [...boxes].filter((name) => name in d.answers || name + ".stop" in d.answers).length;
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
    if (fields.includes(e.target) || e.target.closest(".order")) keep();
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

  /* Steps to be put in order: number them, or move them up and down. */
  const steps = (o) => [...o.querySelectorAll(".order-step")];
  const place = (step) => step.querySelector(".place");

  function orderText(o) {
    const numbered = steps(o).map((s) => [s.dataset.step, place(s).value.trim()]).filter(([, n]) => n);
    const good = numbered.every(([, n]) => /^[1-9][0-9]?$/.test(n)) && new Set(numbered.map(([, n]) => n)).size === numbered.length;
    if (!good) return numbered.map(([id, n]) => id + "=" + n).join(", ");
    return numbered.sort(([, a], [, b]) => a - b).map(([id]) => id).join(", ");
  }

  // Whether the text could be put into the boxes whole.
  function fillOrder(o, text) {
    const list = steps(o).sort((a, b) => a.dataset.printed - b.dataset.printed);
    for (const s of list) { place(s).value = ""; s.parentElement.append(s); }
    let whole = true;
    (text ? text.split(/, */) : []).forEach((piece, i) => {
      const [, id, n] = /^(.*?)(?:=(.*))?$/s.exec(piece);
      const s = list.find((s) => s.dataset.step === id);
      if (s && !place(s).value) place(s).value = n === undefined ? i + 1 : n; else whole = false;
    });
    sortSteps(o);
    return whole;
  }

  // Steps stand as they are numbered, once all are.
  function sortSteps(o) {
    const list = steps(o), numbers = list.map((s) => Number(place(s).value));
    if (new Set(numbers).size !== list.length || numbers.some((n) => !(n >= 1 && n <= list.length))) return;
    const held = document.activeElement;
    list.sort((a, b) => place(a).value - place(b).value).forEach((s) => s.parentElement.append(s));
    if (held && o.contains(held)) held.focus();
  }

  function moved(o) {
    steps(o).forEach((s, i) => { place(s).value = i + 1; });
    o.dispatchEvent(new Event("input", {bubbles: true}));
  }

  function move(o, step, by) {
    const list = steps(o), at = list.indexOf(step), other = list[at + by];
    if (!other) return;
    if (by < 0) other.before(step); else other.after(step);
    moved(o);
    tell.textContent = "Step " + step.querySelector(".letter").textContent + " is now number " + (at + by + 1) + ".";
  }

  const tell = make("p", "", {className: "vh"});
  tell.setAttribute("role", "status");
  document.body.append(tell);
  for (const o of orders.values()) {
    o.querySelector(".order-how").textContent += " Or move them: with the arrows, or by their letters.";
    steps(o).forEach((step, i) => {
      step.dataset.printed = i;
      const letter = step.querySelector(".letter"), buttons = make("span", "", {className: "step-moves"});
      for (const [sign, by, way] of [["\u2191", -1, "up"], ["\u2193", 1, "down"]]) {
        const b = make("button", sign, {type: "button"});
        b.setAttribute("aria-label", "move step " + letter.textContent + " " + way);
        b.addEventListener("click", () => { move(o, step, by); b.focus(); });
        buttons.append(b);
      }
      step.append(buttons);
      // The pointer takes a step by its letter.
      letter.addEventListener("pointerdown", (e) => {
        if (e.button !== 0) return;
        letter.setPointerCapture(e.pointerId);
        step.dataset.held = "";
        e.preventDefault();
      });
      letter.addEventListener("pointermove", (e) => {
        if (!("held" in step.dataset)) return;
        const list = steps(o), at = list.indexOf(step);
        const middle = (s) => { const r = s.getBoundingClientRect(); return r.top + r.height / 2; };
        if (at > 0 && e.clientY < middle(list[at - 1])) list[at - 1].before(step);
        else if (at + 1 < list.length && e.clientY > middle(list[at + 1])) list[at + 1].after(step);
        else return;
        letter.setPointerCapture(e.pointerId);
      });
      for (const end of ["pointerup", "pointercancel"]) letter.addEventListener(end, () => {
        if (!("held" in step.dataset)) return;
        delete step.dataset.held;
        if (steps(o).indexOf(step) !== [...steps(o)].sort((a, b) => (place(a).value || 99) - (place(b).value || 99)).indexOf(step) || !place(step).value) moved(o);
      });
      place(step).addEventListener("change", () => sortSteps(o));
    });
  }

  /* Comparing with the key: only where the page carries it, and only what has
     been answered. */
  const comparisons = [...document.querySelectorAll("script[data-compare]")].map((data) => comparison(data));

  function comparison(data) {
    const number = data.dataset.compare, exercise = data.closest(".exercise"), solution = exercise.querySelector(".solution");
    const parts = JSON.parse(data.textContent);
    const bar = make("div", "", {className: "compare"}), button = make("button", "Compare my answers", {type: "button"});
    bar.append(button, make("span", "Try first; parts without an answer are left out.", {className: "compare-how"}));
    solution.before(bar);

    const groups = [...exercise.querySelectorAll(".part")];
    const said = parts.map((part, i) => {
      const p = make("div", "", {className: "compared", hidden: true});
      p.setAttribute("role", "status");
      groups[i].querySelector(".reply").append(p);
      return p;
    });
    const signs = new Map();
    const forget = (name) => {
      for (const [at, sign] of signs) if (!name || at === name) { sign.remove(); signs.delete(at); }
    };

    const field = (name) => exercise.querySelector("[name=\"" + CSS.escape(name) + "\"]");
    const answer = (name) => collect().answers[name] || "";

    // What became of one box: {verdict, slips, why}.
    function judged(box) {
      const name = number + "." + box.id, text = answer(name), unit = answer(name + ".unit"), stop = answer(name + ".stop") !== "";
      const slips = (f) => (box.s || []).filter(([, a]) => f(a)).map(([n]) => n);
      const near = (value, tolerance) => (a) => typeof a === "string" && marking.within(value, a, tolerance);
      if (box.judged) return {verdict: text ? "JUDGED" : "BLANK", slips: []};
      if (box.o !== undefined) return {verdict: !text ? "BLANK" : text === box.o ? "CORRECT" : "WRONG", slips: slips((a) => a === text)};
      if (stop && text) return {verdict: "QUERY", slips: [], why: "there is a number and the tick; one of them is meant"};
      if (stop) return {verdict: box.stop ? "CORRECT" : "WRONG", slips: slips((a) => a === true)};
      if (box.stop) {
        // No number is right here; the slips say which wrong one it is.
        const r = marking.judge({number: {key: "0", tolerance: "0", unit: ""}}, text), value = r.readings.length === 1 && r.readings[0].value;
        return {verdict: r.verdict === "BLANK" ? "BLANK" : "WRONG", slips: value ? slips(near(value, "0")) : []};
      }
      if (box.order) {
        const r = marking.judge({order: box.order}, text);
        return {verdict: r.verdict, rule: r.rule, order: r.order, slips: slips((a) => a.join(", ") === text)};
      }
      const r = marking.judge({number: {key: box.k, tolerance: box.t, unit: box.u, of: box.w, mode: box.m ? "required" : "given",
        figures: box.f, low: box.lo, high: box.hi}}, (text + " " + unit).trim());
      const value = r.readings.length === 1 ? r.readings[0].value : null;
      return {verdict: r.verdict, rule: r.rule, right: r.right, readings: r.readings,
        slips: r.right || !value ? [] : slips(near(value, box.t))};
    }

    function compare() {
      forget();
      const wrong = new Set();
      parts.forEach((part, i) => {
        const results = part.boxes.map((b) => ({box: b, ...judged(b)}));
        const given = results.filter((r) => r.verdict !== "BLANK");
        for (const r of given) if (!good(r) && r.verdict !== "QUERY" && r.verdict !== "JUDGED") wrong.add(r.box.id);
        say(said[i], part, results, given, wrong);
        if (results.length > 1) for (const r of given) sign(r);
      });
      const first = said.find((p) => !p.hidden);
      if (first) first.scrollIntoView({block: "nearest"});
    }

    const good = (r) => r.verdict === "CORRECT" || r.right;

    // A sign beside one of several boxes.
    function sign(r) {
      const name = number + "." + r.box.id;
      const at = orders.get(name) || field(name);
      if (!at || r.verdict === "JUDGED") return;
      const [mark, word] = r.verdict === "QUERY" ? ["?", "cannot be told"] : good(r) ? ["\u2713", "correct"] : ["\u2717", "not correct"];
      const s = make("span", mark, {className: "sign"});
      s.setAttribute("role", "img");
      s.setAttribute("aria-label", word);
      (at.closest(".choices") || at.closest(".entry") || at)[at.closest(".choices") ? "append" : "after"](s);
      signs.set(name, s);
    }

    // What is said about a part.
    function say(p, part, results, given, wrong) {
      p.replaceChildren();
      p.hidden = false;
      const line = (mark, text) => { const l = make("p"); l.append(make("b", mark + " "), text); p.append(l); };
      if (!given.length) { line("\u2013", "No answer yet."); return; }
      const right = given.filter(good).length;
      const bad = given.filter((r) => !good(r) && r.verdict !== "QUERY" && r.verdict !== "JUDGED");
      const asks = given.filter((r) => r.verdict === "QUERY");
      const all = results.length;
      if (given.every((r) => r.verdict === "JUDGED")) line("\u2013", "A person judges this one: read the working and compare for yourself.");
      else if (all === 1 && bad.length) line("\u2717", "Not correct.");
      else if (all === 1 && given[0].verdict === "CORRECT") line("\u2713", "Correct.");
      else if (all > 1) line(right === all ? "\u2713" : bad.length ? "\u2717" : "\u2013", right + " of " + all + " correct" + (given.length < all ? ", " + (all - given.length) + " without an answer." : "."));
      for (const r of given) {
        if (r.verdict === "UNIT_MISSING") line("!", "The number is right; its unit is missing.");
        if (r.verdict === "SF") line("!", "The number is right, with too few or too many figures.");
        if (r.verdict === "WRONG_UNIT") line("!", (r.right ? "The number is right, but its" : "Its") + " unit is one of another quantity.");
      }
      for (const r of asks) line("?", "This page cannot tell" + (all > 1 ? " for " + nameOf(r.box) : "") + ": " + (r.why || reason(r)) + ". Write it plainly, or ask whoever marks it.");
      for (const r of bad) if (r.order) orderLines(line, r);
      slipLines(line, part, bad, all);
      const from = new Set(bad.flatMap((r) => r.box.from || []).filter((id) => wrong.has(id)));
      if (from.size) line("\u2192", "It builds on " + [...from].map((id) => "(" + id.split(".")[0] + ")").filter((v, i, l) => l.indexOf(v) === i).join(", ") + ", which is not correct: put that right first.");
      if (bad.length || asks.length || given.some((r) => r.verdict === "JUDGED")) {
        const b = make("button", "Show the working of (" + part.part + ")", {type: "button"});
        b.addEventListener("click", () => show(part.part));
        p.append(b);
      }
    }

    function orderLines(line, r) {
      const letterOf = (id) => orders.get(number + "." + r.box.id).querySelector("[data-step=\"" + CSS.escape(id) + "\"] .letter").textContent;
      for (const [a, b] of r.order.broken) line("!", letterOf(a) + " keeps people safe and comes before " + letterOf(b) + ": as it is, this order earns nothing.");
      if (r.order.omitted.length) line("\u2192", "Steps without a number count as last: " + r.order.omitted.map(letterOf).join(", ") + ".");
      if (r.order.move.length) line("\u2192", (r.order.move.length === 1 ? "One step has" : r.order.move.length + " steps have") + " to move: " + r.order.move.map(letterOf).join(", ") + ".");
    }

    // One slip that explains all that is wrong goes before others.
    function slipLines(line, part, bad, all) {
      const by = new Map();
      for (const r of bad) for (const n of r.slips) by.set(n, [...by.get(n) || [], r.box]);
      let list = [...by];
      const whole = list.filter(([, of]) => of.length === bad.length);
      if (whole.length) list = whole;
      const words = solution.querySelectorAll("[data-part=\"" + CSS.escape(part.part) + "\"] .slips-short li > i");
      list.forEach(([n, of], i) => {
        const text = make("span");
        if (all > 1 && of.length < bad.length) text.append(make("i", of.map(nameOf).join(", ") + ": "));
        if (list.length > 1) text.append(i ? "or perhaps: " : "perhaps: ");
        if (words[n]) text.append(...words[n].cloneNode(true).childNodes);
        line("\u2192", text);
      });
    }

    function nameOf(box) {
      const name = number + "." + box.id, f = field(name);
      const label = f && (f.getAttribute("aria-label") || f.closest("fieldset")?.querySelector("legend")?.textContent || f.labels?.[0]?.textContent);
      return (label || "(" + box.id + ")").replace(/, in .*$/, "");
    }

    function show(part) {
      solution.open = true;
      const head = solution.querySelector("[data-part=\"" + CSS.escape(part) + "\"] h4");
      head.tabIndex = -1;
      head.focus();
      head.scrollIntoView({block: "start"});
    }

    button.addEventListener("click", compare);
    exercise.addEventListener("input", (e) => {
      const group = e.target.closest(".part"), i = groups.indexOf(group);
      if (i < 0 || e.target.name?.endsWith(".working") || said[i].hidden) return;
      said[i].hidden = true;
      for (const b of parts[i].boxes) forget(number + "." + b.id);
    });
    return {forget: () => { forget(); for (const p of said) p.hidden = true; }};
  }

  // Why a text has no one reading, in a few words.
  function reason(r) {
    const said = (r.readings || []).map((w) => w.text);
    if (said.length > 1) return "it may be read as " + said.join(" or as ");
    return {"M1.hidden": "there are characters in it that cannot be seen", "M1.long": "it is longer than 64 characters", "M1.scripts": "its digits are of two scripts",
      "M3.groups": "its digits are parted in no regular way", "M5.unknown": "its unit is not known here",
      "M12.no-step": "the numbers are no order; give each step one of its own"}[r.rule] || "it is not one plain number";
  }

  const d = read(slot);
  if (d && !refuse(d)) fill(d);
  else kept = write(slot + " try", "x") && write(slot + " try", null);
  $("back").hidden = Boolean(refuse(read(before)));
  bar.hidden = false;
  state();
})();
