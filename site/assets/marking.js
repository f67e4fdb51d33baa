/* Judges one typed answer as package marking does: the same rules, in the same
 * order, named by the same ids (M1 to M12). It is used by practice pages alone;
 * an assessment page holds nothing to judge by. A test puts the two markers side
 * by side, with the cases of marking.json and with many thousand odd strings.
 *
 * judge(question, text) gives {verdict, rule, readings, order}. A question has
 * one of
 *   number  {key, tolerance, unit, of, mode, figures, low, high, mark, difference}
 *   choice  {options: [[id, name, ...], ...], right}
 *   order   {steps: [[id, name, ...], ...], before: [[id, id], ...], safety}
 * with numbers as exact fractions or decimals in text, "-6/5", "-1.2". Nothing typed is evaluated,
 * and no number goes through floating point. */
const marking = (() => {
  "use strict";
  const T = markingTables;

  /* Exact fractions: [numerator, denominator], both BigInt, denominator > 0. */
  const frac = (s) => {
    const [n, d] = String(s).split("/"), [whole, part = ""] = n.split(".");
    return [BigInt(whole + part), d ? BigInt(d) : 10n ** BigInt(part.length)];
  };
  const mul = (a, b) => [a[0] * b[0], a[1] * b[1]];
  const div = (a, b) => b[0] < 0n ? [-a[0] * b[1], -a[1] * b[0]] : [a[0] * b[1], a[1] * b[0]];
  const add = (a, b) => [a[0] * b[1] + b[0] * a[1], a[1] * b[1]];
  const sub = (a, b) => add(a, [-b[0], b[1]]);
  const cmp = (a, b) => { const d = a[0] * b[1] - b[0] * a[1]; return d < 0n ? -1 : d > 0n ? 1 : 0; };
  const near = (x, key, tolerance) => { const d = sub(x, key); return cmp([d[0] < 0n ? -d[0] : d[0], d[1]], tolerance) <= 0; };

  /* M1: one form for what looks alike. */
  const LOOKS = {"\u03bc": "\u00b5", "\u2126": "\u03a9", "\u212a": "K", "\u00ba": "°", "\uff05": "%", "\u066a": "%"};
  const MARKS = {"\u066b": "·", "\u2219": "·", "\u22c5": "·", "\u2e33": "·", "\u30fb": "·",
    "\uff0e": ".", "\ufe52": ".", "\uff0c": ",", "\ufe50": ",", "\uff0b": "+", "\ufe62": "+"};
  const HIDDEN = /[\p{C}\p{Default_Ignorable_Code_Point}\p{Variation_Selector}]/u;
  const THOUSANDS = "\u066c";
  const zeros = new Set(T.zeros);

  function tidy(text) {
    const t = text.split(/\p{White_Space}+/u).filter((w) => w).join(" ");
    if (HIDDEN.test(t)) return null;
    return [...t].map((c) => LOOKS[c] || c).join("");
  }
  const isBlank = (t) => t === "" || [...t].length === 1 && T.dashes.includes(t);
  const isMark = (c) => c === "." || c === "," || c === "·";

  // The value of a digit of any script and the 0 of its script, or null.
  function digit(c) {
    if (c === undefined) return null;
    const n = c.codePointAt(0);
    for (let v = 0; v < 10; v++) if (zeros.has(n - v)) return {value: v, zero: n - v};
    return null;
  }

  // Marks, signs and dashes before a digit in their plain form.
  function marks(t) {
    const out = [...t].map((c) => MARKS[c] || c);
    out.forEach((c, i) => {
      if (!T.dashes.includes(c) || i + 1 === out.length) return;
      let next = out[i + 1];
      if (!digit(next) && isMark(next) && i + 2 < out.length) next = out[i + 2];
      if (digit(next)) out[i] = "-";
    });
    return out;
  }

  /* M2 to M4: [sign] digits [decimal mark] [exponent] [space] [unit]. */
  function scan(chars) {
    let rest = chars, zero = 0, mixed = false;
    const take = (c) => rest[0] === c && (rest = rest.slice(1), true);
    const takeDigit = () => {
      const d = digit(rest[0]);
      if (!d) return null;
      zero = zero || d.zero;
      mixed = mixed || zero !== d.zero;
      rest = rest.slice(1);
      return String(d.value);
    };
    const negative = take("-");
    if (!negative) take("+");

    const groups = [""], seps = [];
    for (;;) {
      const d = takeDigit();
      if (d !== null) { groups[groups.length - 1] += d; continue; }
      const c = rest[0];
      const parts = c !== undefined && (c === " " && rest.length > 1 ? digit(rest[1]) : isMark(c) || c === THOUSANDS);
      if (!parts) break;
      seps.push(c);
      groups.push("");
      rest = rest.slice(1);
    }
    if (groups.join("") === "") return {rule: "M8.one-answer"};

    const exponent = (() => {
      const before = [rest, zero, mixed], back = () => { [rest, zero, mixed] = before; return 0; };
      if (!take("e") && !take("E")) {
        take(" ");
        if (!take("x") && !take("X") && !take("×")) return back();
        take(" ");
        if (takeDigit() !== "1" || takeDigit() !== "0" || !take("^")) return back();
      }
      const down = take("-");
      if (!down) take("+");
      let value = 0, any = false;
      for (let d; (d = takeDigit()) !== null;) { value = Math.min(1000, value * 10 + Number(d)); any = true; }
      if (!any) return back();
      return down ? -value : value;
    })();
    if (mixed) return {rule: "M1.scripts"};
    const readings = split(groups, seps);
    if (!readings) return {rule: "M3.groups"};
    for (const r of readings) { r.negative = negative; r.exponent = exponent; }
    take(" ");
    return {readings, unit: rest.join("")};
  }

  // The ways to read groups of digits: the last separator the decimal mark, or
  // none of them.
  function split(groups, seps) {
    const n = seps.length, out = [];
    if (n === 0) return [{whole: groups[0], part: "", byComma: ""}];
    const last = seps[n - 1];
    if (isMark(last) && (n === 1 || parted(groups.slice(0, n), seps.slice(0, n - 1), last)))
      out.push({whole: groups.slice(0, n).join(""), part: groups[n], byComma: ""});
    if (parted(groups, seps, "") && (last !== "." || n > 1))
      out.push({whole: groups.join(""), part: "", byComma: ""});
    if (out.length === 2) { out[0].byComma = ","; out[1].byComma = "."; }
    return out.length ? out : null;
  }
  function parted(groups, seps, mark) {
    if (!groups[0] || groups[0].length > 3 || groups[0][0] === "0") return false;
    return seps.every((s, i) => s === seps[0] && s !== mark && s !== "·" && groups[i + 1].length === 3);
  }

  const MOST_EXPONENT = 30;
  function valueOf(t) {
    if (Math.abs(t.exponent) > MOST_EXPONENT) return null;
    let n = BigInt("0" + t.whole + t.part);
    if (t.negative) n = -n;
    const shift = t.exponent - t.part.length;
    return shift < 0 ? [n, 10n ** BigInt(-shift)] : [n * 10n ** BigInt(shift), 1n];
  }
  const plain = (t) => (t.negative ? "\u2212" : "") + (t.whole || "0") + (t.part ? "." + t.part : "") + (t.exponent ? "e" + t.exponent : "");

  /* M5: units. */
  const spellings = Object.keys(T.spellings).sort();
  const unitOf = (s) => Object.hasOwn(T.spellings, s) ? T.units[T.spellings[s]] : null;
  const lower = (c) => c >= "A" && c <= "Z" ? c.toLowerCase() : c;

  // Case does not matter, but a typed m is no M.
  function sameLetters(typed, name) {
    if (typed.length !== name.length) return false;
    for (let i = 0; i < typed.length; i++)
      if (typed[i] !== name[i] && (lower(typed[i]) !== lower(name[i]) || typed[i] === "m")) return false;
    return true;
  }

  // What a typed unit can mean; [] if it is none.
  function lookUp(typed) {
    const name = typed.replaceAll(" ", "");
    const exact = unitOf(name);
    if (exact) return [{unit: exact, factor: [1n, 1n], name: exact.s}];
    const out = [];
    const push = (s) => { if (!out.some((o) => o.unit === s.unit && cmp(o.factor, s.factor) === 0)) out.push(s); };
    for (const s of spellings) if (sameLetters(name, s)) push({unit: unitOf(s), factor: [1n, 1n], name: unitOf(s).s});
    if (name[0] !== "M" && name[0] !== "m") return out;
    for (const base of T.prefixed) {
      if (!sameLetters(name.slice(1), base.n)) continue;
      const u = T.units[base.u];
      for (const [letter, factor] of [["m", [1n, 1000n]], ["M", [1000000n, 1n]]])
        if (!unitOf(letter + base.n) && (name[0] === "M" || letter === "m")) push({unit: u, factor, name: letter + u.s});
    }
    return out;
  }

  function fits(q, have, want) {
    return have.d === want.d || have.p && want.p && (!q.of || q.of.includes("span"));
  }
  function convert(q, x, s, want) {
    x = mul(x, s.factor);
    if (s.unit === want || s.unit.d !== want.d) return x;
    if (!s.unit.m || !want.m) return null;
    const offset = (u) => !q.difference && u.c ? frac(u.c) : [0n, 1n];
    return div(sub(add(mul(x, frac(s.unit.m)), offset(s.unit)), offset(want)), frac(want.m));
  }

  /* M10: the least and the most figures that a number can be said to have. */
  function figures(t) {
    const all = (t.whole + t.part).replace(/^0+/, "");
    if (!all) return null;
    return {least: t.part ? all.length : all.replace(/0+$/, "").length, most: all.length};
  }

  const query = (rule, readings) => ({verdict: "QUERY", rule, readings: readings || []});
  const BLANK = {verdict: "BLANK", rule: "M9.blank", readings: []};

  function judgeNumber(q, text) {
    const t = tidy(text);
    if (t === null) return query("M1.hidden");
    if (isBlank(t)) return BLANK;
    if ([...t].length > 64) return query("M1.long");
    const {readings, unit, rule} = scan(marks(t));
    if (rule) return query(rule);
    let scales = [null];
    if (unit && unit !== tidy(q.unit || "")) {
      scales = lookUp(unit);
      if (!scales.length) return query(manyAnswers(unit) ? "M8.one-answer" : "M5.unknown");
    }
    let weighed = readings.flatMap((x) => scales.map((s) => weigh(q, x, s, unit !== "")));
    const keep = (f) => { const some = weighed.filter(f); if (some.length) weighed = some; };
    keep((w) => w.shown);
    if (q.mark) keep((w) => !w.typed.byComma || w.typed.byComma === q.mark);
    return settle(q, weighed);
  }

  const manyAnswers = (rest) => "±/+-*=(_^<>~".includes([...rest][0]) || /^[0-9]/.test(rest) ||
    rest === "or" || /^(or|to) ./s.test(rest);

  function weigh(q, x, s, unitTyped) {
    const w = {typed: x, shown: true, right: false, unitLost: false, figuresLost: false, value: valueOf(x)};
    const name = s ? s.name : unitTyped ? q.unit : "";
    w.text = plain(x) + (name ? "\u00a0" + name : "");
    const is = (verdict, rule) => Object.assign(w, {verdict, rule});
    if (w.value === null) return is("WRONG", "M4.exponent");
    if (s) {
      const own = lookUp(q.unit || "")[0];
      if (!own || !fits(q, s.unit, own.unit)) {
        w.unitLost = true;
        w.right = near(w.value, frac(q.key), frac(q.tolerance));
        return is("WRONG_UNIT", "M5.quantity");
      }
      const converted = convert(q, w.value, s, own.unit);
      if (!converted) return is("QUERY", "M5.unknown");
      w.value = converted;
    }
    w.shown = q.low === undefined || q.low === null || cmp(w.value, frac(q.low)) >= 0 && cmp(w.value, frac(q.high)) <= 0;
    w.right = near(w.value, frac(q.key), frac(q.tolerance));
    if (!w.right) return is("WRONG", "M7.outside");
    is("CORRECT", "M7.within");
    const f = figures(x);
    if (f && q.figures > 0 && (f.most < q.figures || f.least > q.figures + 1)) { w.figuresLost = true; is("SF", "M10.figures"); }
    if (!unitTyped && q.mode === "required") { w.unitLost = true; is("UNIT_MISSING", "M6.missing"); }
    return w;
  }

  // The verdict on which all readings agree, or a query.
  function settle(q, weighed) {
    const [first] = weighed;
    const readings = weighed.map((w) => ({text: w.text, value: w.value, verdict: w.verdict}));
    const agree = weighed.every((w) => w.verdict === first.verdict && w.right === first.right &&
      w.unitLost === first.unitLost && w.figuresLost === first.figuresLost);
    if (agree) return {verdict: first.verdict, rule: first.rule, right: first.right, readings};
    return query(weighed.every((w) => w.typed === first.typed) ? "M5.prefix" : "M3.two-readings", readings);
  }

  /* M11: choices, and the words of options and steps. */
  // Upper first, letter by letter, as the other marker does.
  const single = (c, mapped, whole) => [...mapped].length === 1 ? mapped : whole ? [...mapped][0] : c;
  function tidyWords(text) {
    const t = tidy(text);
    if (t === null) return null;
    return [...marks(t).join("").replace(/\.$/, "").replace(/^\p{White_Space}+|\p{White_Space}+$/gu, "")]
      .map((c) => single(c, c.toUpperCase())).map((c) => single(c, c.toLowerCase(), true)).join("");
  }
  function named(list) {
    const names = new Map();
    list.forEach((o, i) => { for (const name of o) names.set(tidyWords(name), i); });
    return names;
  }

  function judgeChoice(q, text) {
    const names = named(q.options), t = tidyWords(text);
    if (t === null) return query("M1.hidden");
    const chosen = (i) => {
      const id = q.options[i][0], right = id === q.right;
      return {verdict: right ? "CORRECT" : "WRONG", rule: "M11.option", right, readings: [{text: id}]};
    };
    if (names.has(t)) return chosen(names.get(t));
    if (isBlank(tidy(text))) return BLANK;
    const pieces = t.replaceAll(" or ", ";").replaceAll(" and ", ";").split(/[;,/&+|]/).filter((p) => p);
    const several = new Set(pieces.map((p) => names.get(p.trim())));
    if (several.has(undefined) || several.size === 0) return query("M11.no-option");
    if (several.size === 1) return chosen([...several][0]);
    return {verdict: "WRONG", rule: "M11.two-options", right: false, readings: [...several].map((i) => ({text: q.options[i][0]}))};
  }

  /* M12: orders. */
  function judgeOrder(q, text) {
    const t = tidy(text);
    if (t === null) return query("M1.hidden");
    if (isBlank(t)) return BLANK;
    const names = named(q.steps);
    let given = null;
    for (const parts of [t.split(/[,;>→]/), t.split(/[,;>→ ]/), [...t]]) {
      const list = parts.filter((p) => p).map((p) => names.get(tidyWords(p)));
      if (list.length && !list.includes(undefined) && new Set(list).size === list.length) { given = list; break; }
    }
    if (!given) return query("M12.no-step");
    const order = rank(q, given);
    const right = !order.broken.length && !order.omitted.length && order.against === 0;
    return {verdict: right ? "CORRECT" : "WRONG", rule: order.broken.length ? "M12.safety" : "M12.order", right, readings: [], order};
  }

  function rank(q, given) {
    const n = q.steps.length, ids = q.steps.map((s) => s[0]), at = (id) => ids.indexOf(id);
    const place = ids.map((_, i) => given.includes(i) ? given.indexOf(i) : given.length);
    const before = ids.map(() => 0);
    for (const [a, b] of [...q.before || [], ...q.safety || []]) before[at(b)] |= 1 << at(a);
    const right = nearest(place, before), rankOf = ids.map((_, i) => right.indexOf(i));
    let against = 0;
    for (let i = 0; i < n; i++) for (let j = 0; j < i; j++) if ((place[i] - place[j]) * (rankOf[i] - rankOf[j]) < 0) against++;
    const run = longestRun(given.map((i) => rankOf[i]));
    const broken = (q.safety || []).filter(([a, b]) => place[at(a)] === given.length || place[at(a)] > place[at(b)]);
    return {
      nearest: right.map((i) => ids[i]), against, broken,
      omitted: ids.filter((_, i) => place[i] === given.length),
      move: given.filter((_, p) => !run.includes(p)).map((i) => ids[i]),
    };
  }

  // Among the orders in which nothing precedes what must come before it, the
  // one with the fewest pairs against the places given: the least cost of
  // putting each set of steps first, worked up from the empty set.
  function nearest(place, before) {
    const n = place.length, full = (1 << n) - 1, never = 1 << 30;
    const cost = new Int32Array(full + 1), last = new Int8Array(full + 1);
    for (let set = 1; set <= full; set++) {
      cost[set] = never;
      for (let i = 0; i < n; i++) {
        const rest = set & ~(1 << i);
        if (rest === set || before[i] & ~rest || cost[rest] === never) continue;
        let c = cost[rest];
        for (let j = 0; j < n; j++) if (rest & 1 << j && place[j] > place[i]) c++;
        if (c < cost[set] || c === cost[set] && place[i] >= place[last[set]]) { cost[set] = c; last[set] = i; }
      }
    }
    const out = [];
    for (let set = full; set; set &= ~(1 << out[0])) out.unshift(last[set]);
    return out;
  }

  // The places of a longest rising run, the one that begins furthest left.
  function longestRun(seq) {
    const best = seq.map(() => 1);
    let longest = 0;
    for (let i = seq.length - 1; i >= 0; i--) {
      for (let j = i + 1; j < seq.length; j++) if (seq[j] > seq[i]) best[i] = Math.max(best[i], best[j] + 1);
      longest = Math.max(longest, best[i]);
    }
    const run = [];
    seq.forEach((v, i) => { if (best[i] === longest && (!run.length || v > seq[run.at(-1)])) { run.push(i); longest--; } });
    return run;
  }

  function judge(q, text) {
    if (q.number) return judgeNumber(q.number, text);
    if (q.choice) return judgeChoice(q.choice, text);
    return judgeOrder(q.order, text);
  }
  // Whether the value of a reading lies within a tolerance of a number.
  const within = (value, key, tolerance) => near(value, frac(key), frac(tolerance));
  return {judge, within};
})();
