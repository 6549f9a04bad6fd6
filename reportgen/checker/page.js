// ---- the list and the files

const composed = (name) => name.normalize("NFC");
const folded = (name) => composed(composed(name).toLowerCase());
const inside = (name) =>
  name.split("/").every((part) => !["", ".", ".."].includes(part)) &&
  !/[\\\u0000-\u001f\u007f-\u009f]/.test(name);

function readList(bytes) {
  const listed = new Map(),
    faults = [],
    spelled = new Set();
  let text;
  try {
    text = new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    return { listed, faults: [say("{list} is no text", { list: SUMS })] };
  }
  if (text.includes("\r"))
    return { listed, faults: [say("The line ends of {list} were changed on the way", { list: SUMS })] };
  if (!text.endsWith("\n")) faults.push(say("{list} is cut off at its end", { list: SUMS }));
  text
    .replace(/\n$/, "")
    .split("\n")
    .forEach((line, index) => {
      const match = /^([0-9a-f]{64}) [ *](.+)$/u.exec(line);
      const name = match && match[2],
        at = { list: SUMS, line: index + 1, name };
      if (!match) faults.push(say("{list}, line {line}: it is no sum and name", at));
      else if (!inside(name))
        faults.push(say("{list}, line {line}: {name} leads out of the folder or is no plain name", at));
      else if (name === SUMS || name === SIGNATURE)
        faults.push(say("{list}, line {line}: {name} can't list itself", at));
      else if (spelled.has(folded(name)))
        faults.push(say("{list}, line {line}: {name} is listed twice", at));
      else {
        listed.set(name, match[1]);
        spelled.add(folded(name));
      }
    });
  return { listed, faults };
}

const contents = async (file, most) => {
  if (file.size > most) throw new Error(say("{name} is larger than it can be", { name: file.name }));
  return new Uint8Array(await file.arrayBuffer());
};

async function compare(files, listed, faults, tick) {
  const byForm = new Map(
    [...files.keys()].filter((name) => !listed.has(name)).map((name) => [composed(name), name]),
  );
  const used = new Set([SUMS, SIGNATURE]),
    changed = [],
    missing = [];
  for (const [name, sum] of listed) {
    const at = files.has(name) ? name : byForm.get(composed(name));
    if (at === undefined) {
      missing.push(name);
      continue;
    }
    used.add(at);
    try {
      if (hex(await digest("SHA-256", await files.get(at).arrayBuffer())) !== sum) changed.push(name);
    } catch {
      faults.push(say("{name} can't be read", { name }));
    }
    tick();
  }
  const extra = [...files.keys()].filter((name) => !used.has(name));
  faults.push(...changed.sort().map((name) => say("changed: {name}", { name })));
  faults.push(...missing.sort().map((name) => say("missing: {name}", { name })));
  faults.push(...extra.sort().map((name) => say("extra: {name}", { name })));
  return new Set([...changed, ...missing]);
}

async function readReport(file) {
  try {
    const data = JSON.parse(textOf(await contents(file, MOST.report)));
    if (!/^reportgen report \d+$/.test(data.format)) return null;
    const survey = data.survey || {},
      surveyor = (data.people || {}).surveyor || {};
    const days = [survey.inspected]
      .flat()
      .filter((day) => /^\d{4}-\d\d-\d\d$/.test(day))
      .sort();
    const address = /[^\s<>()[\],;:"@]+@[^\s<>()[\],;:"@]+\.\w+/.exec(String(surveyor.contact || ""));
    return {
      survey,
      vessel: data.vessel || {},
      edition: data.edition,
      day: days.pop(),
      email: address ? address[0] : "",
    };
  } catch {
    return null;
  }
}

// Gives the signature's standing: words for the reader, whether it proves, and what is wrong.
async function judge(files, list, known, email) {
  const asked = known.keys.length + known.signers.length > 0;
  if (!files.has(SIGNATURE))
    return { words: say("Not signed."), fault: asked ? say("It is not signed, though you named a key") : "" };
  try {
    const found = readSignature(textOf(await contents(files.get(SIGNATURE), MOST.signature)));
    const print = `SHA256:${base64(await digest("SHA-256", found.key)).replace(/=+$/, "")}`;
    if (!(await holds(found, list)))
      return { fault: say("The signature is not of this list: the list was changed, or the signature") };
    if (!asked) return { words: say("Signed with the key {print}; whose that is, is not known.", { print }) };
    if (known.keys.includes(print))
      return { proves: true, words: say("Signed with the key you named, {print}.", { print }) };
    const theirs = known.signers.filter((signer) => signer.key === base64(found.key));
    const usable = theirs.filter((signer) => signer.usable);
    if (!usable.length && theirs.length)
      return { fault: say("Signed with another key than you named, {print}, or not valid for this", { print }) };
    if (!usable.length) return { fault: say("Signed with another key than you named, {print}", { print }) };
    const fitting = usable.find((signer) => !signer.who || !email || fits(signer.who, email));
    const other = { who: usable[0].who, email };
    if (!fitting) return { fault: say("Signed by {who}, but the report names {email} as its surveyor", other) };
    if (!fitting.who) return { proves: true, words: say("Signed by the key you named, {print}.", { print }) };
    return { proves: true, words: say("Signed by {who}, {print}.", { who: fitting.who, print }) };
  } catch (error) {
    if (error instanceof Unsupported) return { words: error.message, unchecked: asked };
    const damaged = error instanceof DOMException || error instanceof TypeError;
    const why = damaged ? say("it is damaged") : error.message;
    return { fault: say("The signature is no good: {why}", { why }) };
  }
}

async function checkOne(name, files, known, tick) {
  const list = await contents(files.get(SUMS), MOST.list),
    { listed, faults } = readList(list);
  const lost = await compare(files, listed, faults, tick);
  const report = listed.has(REPORT) && !lost.has(REPORT) ? await readReport(files.get(REPORT)) : null;
  if (listed.has(REPORT) && !lost.has(REPORT) && !report) faults.push(say("{file} is no report", { file: REPORT }));
  const print = hex(await digest("SHA-256", list)),
    signature = await judge(files, list, known, report ? report.email : "");
  if (signature.fault) faults.push(signature.fault);
  const told = known.packets.some((digits) => print.startsWith(digits));
  if (known.packets.length && !told) faults.push(say("The packet fingerprint is another than you were told"));
  return {
    name,
    count: listed.size,
    listed,
    lost,
    faults,
    report,
    print,
    signature,
    proven: (signature.proves || told) && !signature.unchecked,
  };
}

// A folder with a list of its own in a site is a report, unless the index has files in it.
async function checkAll(files, known, tick) {
  if (!files.has(SUMS))
    throw new Error(
      say("There is no {list} in that folder. Choose the folder of the report itself.", { list: SUMS }),
    );
  const { listed } = readList(await contents(files.get(SUMS), MOST.list)),
    tops = new Set([...listed.keys()].map((n) => n.split("/")[0]));
  const below = listed.has(REPORT)
    ? []
    : [...files.keys()]
        .map((n) => /^([^/]+)\/SHA256SUMS$/.exec(n))
        .filter((m) => m && !tops.has(m[1]))
        .map((m) => m[1])
        .sort();
  const part = (folder) =>
    new Map(
      [...files].filter(([n]) => n.startsWith(`${folder}/`)).map(([n, f]) => [n.slice(folder.length + 1), f]),
    );
  const own = new Map([...files].filter(([n]) => !below.some((folder) => n.startsWith(`${folder}/`))));
  const results = [await checkOne("", own, known, tick)];
  for (const folder of below) results.push(await checkOne(folder, part(folder), known, tick));
  for (const each of results.filter((r) => !r.listed.has(REPORT) && (r.name || !below.length)))
    each.faults.push(say("{list} lists no {file}: this is no report", { list: SUMS, file: REPORT }));
  if (below.length || !listed.has(REPORT))
    results[0].faults.push(...(await againstLinks(results[0], own, below)));
  return results;
}

// No list names whole reports, so the index's links say which there should be.
async function againstLinks(index, files, below) {
  const linked = new Set();
  for (const name of index.listed.keys()) {
    if (!/^[^/]+\.html$/.test(name) || index.lost.has(name) || !files.has(name)) continue;
    const page = new DOMParser().parseFromString(await files.get(name).text(), "text/html");
    for (const link of page.querySelectorAll("a[href]")) {
      const match = /^([^/:]+)\/index\.html$/.exec(link.getAttribute("href"));
      if (match) linked.add(decodeURIComponent(match[1]));
    }
  }
  const missing = [...linked]
    // plain pages stand in folders too, and are listed with the index
    .filter((name) => !below.includes(name) && name !== "." && !index.listed.has(`${name}/index.html`))
    .map((name) => say("missing: {name}", { name: `${name}/` }));
  const extra = below.filter((name) => !linked.has(name));
  return [...missing, ...extra.map((name) => say("extra: {name}", { name: `${name}/` }))];
}

// ---- the page

const by = (id) => document.getElementById(id);
// signs that turn a line round or can't be seen are shown by their number
const tame = (text) =>
  String(text).replace(
    /[\p{Cc}\p{Cf}\p{Co}\p{Cs}\p{Zl}\p{Zp}]/gu,
    (c) => `\\u{${c.codePointAt(0).toString(16)}}`,
  );

function add(parent, tag, text, name = "") {
  const made = document.createElement(tag);
  made.textContent = tame(text);
  if (name) made.className = name;
  return parent.appendChild(made);
}

function inspected(day, age) {
  const values = { day, n: age };
  if (age < 0) return say("Inspected on {day}, a day to come by this machine's clock.", values);
  if (age === 1) return say("Inspected on {day}, {n} day ago.", values);
  return say("Inspected on {day}, {n} days ago.", values);
}

function replaced(by) {
  const { number, version, on } = typeof by === "string" ? { number: by } : by;
  const words = [number, version && say("version {version}", { version }), on && say("on {day}", { day: on })];
  return say("Replaced by {report}.", { report: words.filter(Boolean).join(" ") });
}

function aboutReport({ survey, vessel, edition, day }) {
  const now = new Date(),
    today = Date.UTC(now.getFullYear(), now.getMonth(), now.getDate());
  const until = survey.not_to_be_relied_on_after,
    by = survey.replaced_by;
  const what = {
    boat: vessel.name || (vessel.type ? sayIn("boat", vessel.type) : say("Boat not named")),
    number: survey.number || say("without a number"),
    version: survey.version || say("not stated"),
    status: survey.status ? sayIn("status", survey.status) : say("status not stated"),
    edition: sayIn("edition", edition),
  };
  const lines = [say("{boat}: report {number}, version {version}, {status}, {edition} edition.", what)];
  if (day) lines.push(inspected(day, Math.round((today - Date.parse(day)) / 864e5)));
  if (until && Date.parse(until) < today)
    lines.push(say("Not to be relied on after {day}: that day has passed.", { day: until }));
  else if (until) lines.push(say("Not to be relied on after {day}.", { day: until }));
  if (survey.status === "withdrawn") lines.push(say("Withdrawn: not to be relied on."));
  if (by) lines.push(replaced(by));
  else lines.push(say("It names no newer version; a copy can't know of later ones, its surveyor can."));
  return lines;
}

function show(result, place) {
  const state = result.faults.length ? "bad" : result.proven ? "good" : "open",
    box = add(place, "section", "", `checked ${state}`);
  if (result.name) add(box, "h3", result.name);
  const head = {
    bad: say("Not as published."),
    good: say("As published: every file is the one listed, none is missing, none extra."),
    open: say("The files agree with their list. That alone proves nothing."),
  };
  add(box, "p", head[state], "verdict");
  if (result.faults.length) {
    const list = add(box, "ul", "");
    result.faults.forEach((fault) => add(list, "li", fault));
  }
  if (result.report) aboutReport(result.report).forEach((line) => add(box, "p", line));
  if (result.signature.words) add(box, "p", result.signature.words);
  const told = { n: result.count, print: inFours(result.print.slice(0, 32)) };
  const one = result.count === 1;
  const listed = one
    ? say("{n} file listed. Packet fingerprint {print}.", told)
    : say("{n} files listed. Packet fingerprint {print}.", told);
  add(box, "p", listed, "print");
  if (state !== "open") return;
  const noProof = say(
    "Nothing here shows who made the list of files: whoever changes a file can change the list too. " +
      "Ask the surveyor, by a way you knew before, for the key or for the packet fingerprint.",
  );
  add(box, "p", noProof);
}

let held = null,
  turn = 0;

async function check() {
  const place = by("result"),
    mine = ++turn,
    known = readKnown(by("known").value);
  by("known-faults").replaceChildren();
  known.faults.forEach((fault) => add(by("known-faults"), "li", fault));
  if (!held) return;
  place.setAttribute("aria-busy", "true");
  place.replaceChildren();
  const status = add(place, "p", say("Checking …")),
    files = held;
  let done = 0;
  const fresh = document.createDocumentFragment();
  try {
    const tick = () => {
      done += 1;
      if (done % 20 === 0) status.textContent = say("Checking … {done} of {n} files", { done, n: files.size });
    };
    const results = known.faults.length ? [] : await checkAll(files, known, tick);
    results.forEach((result) => show(result, fresh));
    const stopped = say("Not checked: first put right what you were told.");
    if (known.faults.length) add(fresh, "p", stopped, "verdict");
  } catch (error) {
    add(add(fresh, "section", "", "checked bad"), "p", error.message, "verdict");
  }
  if (mine !== turn) return; // another check has begun meanwhile
  place.replaceChildren(fresh);
  place.setAttribute("aria-busy", "false");
}

function complain(words) {
  turn += 1;
  held = null;
  by("result").replaceChildren();
  add(by("result"), "p", words, "verdict");
  by("result").setAttribute("aria-busy", "false");
}

// Takes the first folder off each name; files that came without a folder are told.
function hand(pairs) {
  const tops = new Set(pairs.map(([name]) => name.split("/")[0]));
  held =
    tops.size === 1 && pairs.every(([name]) => name.includes("/"))
      ? new Map(pairs.map(([name, file]) => [name.slice(name.indexOf("/") + 1), file]))
      : new Map();
  check();
}

async function gather(entry) {
  if (entry.isFile)
    return [[entry.fullPath.slice(1), await new Promise((done, fail) => entry.file(done, fail))]];
  const reader = entry.createReader(),
    found = [];
  for (;;) {
    // a browser gives a hundred at a time
    const some = await new Promise((done, fail) => reader.readEntries(done, fail));
    if (!some.length) return found;
    for (const each of some) found.push(...(await gather(each)));
  }
}

by("folder").webkitdirectory = true;
by("folder").addEventListener("change", (event) =>
  hand([...event.target.files].map((f) => [f.webkitRelativePath || f.name, f])),
);
by("known").addEventListener("input", check);
by("known-file").addEventListener("change", async (event) => {
  const file = event.target.files[0];
  if (file) {
    by("known").value = file.size > MOST.signature ? "" : await file.text();
    check();
  }
});
for (const name of ["dragover", "drop"]) document.addEventListener(name, (event) => event.preventDefault());
by("drop").addEventListener("dragover", () => by("drop").classList.add("over"));
by("drop").addEventListener("dragleave", () => by("drop").classList.remove("over"));
by("drop").addEventListener("drop", async (event) => {
  by("drop").classList.remove("over");
  by("result").setAttribute("aria-busy", "true");
  const entries = [...event.dataTransfer.items].map((item) => item.webkitGetAsEntry()).filter(Boolean);
  try {
    hand((await Promise.all(entries.map(gather))).flat());
  } catch {
    // some browsers let only a page from a site read what is dropped
    complain(say("This browser can't read a dropped folder here. Choose it with the button instead."));
  }
});
by("works").hidden = !(window.crypto && crypto.subtle);
by("fails").hidden = !by("works").hidden;
