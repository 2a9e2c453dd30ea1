/* The table of a circuit sheet: Enter opens the next row, a kind unfolds its own fields, what is typed
   is looked through while it is typed and kept every twenty seconds. Without it the page is a plain form. */
"use strict";

const sheet = document.getElementById("sheet");
const KEEP_MS = 20000;
let keptAt = performance.now();
let isDirty = false;
let changes = 0;
let sentAt = 0;

/* rows: a new one is the template with an id of its own */
function addRow(list) {
  const letter = list.dataset.letter;
  const taken = [...list.children].map((row) => Number(row.dataset.row.slice(1)) || 0);
  const id = letter + (Math.max(-1, ...taken) + 1);
  const row = document.getElementById("new-" + list.dataset.rows).content.firstElementChild.cloneNode(true);
  named(row, id);
  list.append(row);
  return row;
}
function named(row, id) {
  const old = row.dataset.row;
  row.dataset.row = id;
  row.id = "row-" + id;
  for (const field of row.querySelectorAll("[name]")) {
    if (field.name.startsWith(old + ".")) field.name = id + field.name.slice(old.length);
    else if (field.value === old) field.value = id;
  }
  const notes = row.querySelector(".cst");
  if (notes) notes.id = "n-" + id;
}
const firstField = (row) => row.querySelector("input:not([type=hidden]), select");

sheet.addEventListener("keydown", (event) => {
  const row = event.target.closest("[data-row]");
  if (event.key !== "Enter" || !row || event.target.closest("summary, button, textarea")) return;
  event.preventDefault(); // a form would be sent
  const next = row.nextElementSibling || addRow(row.parentElement);
  firstField(next).focus();
});
for (const button of sheet.querySelectorAll("[data-add]")) {
  button.hidden = false;
  button.addEventListener("click", () => {
    firstField(addRow(sheet.querySelector(`[data-rows=${button.dataset.add}]`))).focus();
  });
}

/* ways to what is left: each link to the field that is meant, its row's notes read out with it */
function fieldOf(go) {
  if (!go.includes(".")) {
    const list = sheet.querySelector(`[data-rows="${go}"]`);
    const free = list && [...list.children].find((row) => !firstField(row).value);
    return list && firstField(free || addRow(list));
  }
  const row = sheet.querySelector(`[data-row="${go.split(".")[0]}"]`);
  return sheet.querySelector(`[name="${CSS.escape(go)}"]:not([type=hidden])`) || (row && firstField(row));
}
function goTo(go) {
  const field = fieldOf(go);
  if (!field) return false;
  for (let fold = field.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
  const row = field.closest("[data-row]");
  if (row) {
    field.setAttribute("aria-describedby", "n-" + row.dataset.row);
    field.addEventListener("blur", () => field.removeAttribute("aria-describedby"), { once: true });
  }
  field.focus({ preventScroll: true });
  (row || field).scrollIntoView({ block: "center" });
  return true;
}
sheet.addEventListener("click", (event) => {
  const link = event.target.closest("a[data-go]");
  if (link && link.dataset.go && goTo(link.dataset.go)) event.preventDefault();
});
if (sheet.dataset.first) goTo(sheet.dataset.first);

/* kinds: typed in trade words or begun; the row takes the fields of its kind, and keeps what stands in it */
function kindOf(text) {
  const plain = text.trim().replace(/\s+/g, " ").toLowerCase();
  const kinds = document.getElementById("kinds");
  const known = [...kinds.options].map((one) => [one.value.toLowerCase(), one.dataset.is || one.value]);
  const exact = known.find(([words]) => words === plain);
  if (exact) return exact[1];
  const begun = plain.length < Number(kinds.dataset.least) ? [] : known.filter(([words]) => words.startsWith(plain));
  return new Set(begun.map(([, kind]) => kind)).size === 1 ? begun[0][1] : null;
}
function unfold(row, field) {
  const kind = kindOf(field.value);
  const template = [...sheet.querySelectorAll("template[data-kind]")].find((one) => one.dataset.kind === kind);
  if (!template) return;
  field.value = kind;
  if (row.dataset.kind === kind) return;
  row.dataset.kind = kind;
  const model = template.content.firstElementChild.cloneNode(true);
  named(model, row.dataset.row);
  const typed = new Map();
  for (const one of row.querySelectorAll("[name*='.']")) {
    const isBox = one.type === "checkbox";
    if (isBox ? one.checked : one.value) typed.set(one.name, isBox ? "yes" : one.value);
  }
  const [grid, seen, more] = [".csg", ".csk.seen", ".csm"].map((one) => row.querySelector(one));
  const anew = [...model.querySelector(".csg").children].slice(2);
  [...grid.children].slice(2).forEach((cell, at) => patch(cell, anew[at]));
  if (seen) seen.remove();
  more.replaceWith(...model.querySelectorAll(".csk.seen, .csm"));
  hintGrounds();
  for (const [name, value] of typed) {
    const found = row.querySelector(`[name="${CSS.escape(name)}"]`);
    if (found) {
      if (found.type === "checkbox") found.checked = true;
      else found.value = value;
      tellUnit(found);
      if (found.closest(".csm")) found.closest(".csm").open = true;
    } else {
      row.querySelector(".csm .csk").prepend(leftOver(name, value));
      row.querySelector(".csm").open = true;
    }
  }
  setTimeout(() => {
    if (document.activeElement === document.body) row.querySelector(".csk input").focus();
  });
}
/* where a ground leads by itself stands grey in its empty end, as the sheet says it now */
function hintGrounds() {
  const ground = document.getElementById("lists").dataset.ground;
  for (const row of sheet.querySelectorAll("[data-rows=part] > [data-kind=ground]")) {
    const [from, to] = [".e1", ".e2"].map((end) => row.querySelector(`[name$="${end}"]`));
    to.placeholder = from.value.trim() === ground ? "" : ground;
  }
}
/* the focus is on its way into a cell of the row: where it can be the same, the cell stays */
function patch(cell, model) {
  const [field, as] = [cell.querySelector("input"), model.querySelector("input")];
  if (cell.matches(".none") || model.matches(".none")) return cell.replaceWith(model);
  cell.className = model.className;
  cell.querySelector(".lab").textContent = model.querySelector(".lab").textContent;
  field.placeholder = as.placeholder;
  field.dataset.unit = as.dataset.unit || "";
}
function leftOver(name, value) {
  const label = document.createElement("label");
  label.className = "cse own";
  const words = document.createElement("span");
  words.className = "lab";
  words.textContent = name.split(".").pop() + ", left over";
  const field = document.createElement("input");
  field.name = name;
  field.value = value;
  label.append(words, field);
  return label;
}
for (const row of sheet.querySelectorAll("[data-rows=part] > [data-row]")) {
  const field = row.querySelector("[name$='.kind']");
  if (field.value) row.dataset.kind = field.value;
}

/* a number alone shows, once its field is left, in what it is taken: "3" metres is "3 m" */
function tellUnit(field) {
  const typed = field.value.trim();
  if (field.dataset.unit && /^[+-]?[0-9]+([.,][0-9]+)?$/.test(typed)) field.value = typed + " " + field.dataset.unit;
}

/* points named so far are offered at once, before the shop's machine has answered */
function offer(field) {
  const words = field.value.trim();
  const points = document.getElementById("points");
  if (!words || [...points.options].some((one) => one.value === words || one.label === words)) return;
  const option = document.createElement("option");
  option.value = words;
  points.append(option);
}

sheet.addEventListener("change", (event) => {
  isDirty = true;
  changes += 1;
  behind(true);
  const row = event.target.closest("[data-row]");
  if (row && event.target.name.endsWith(".kind")) unfold(row, event.target);
  tellUnit(event.target);
  if (event.target.getAttribute("list") === "points") offer(event.target);
});

/* looking through: the side is dim while it is behind; what comes back never takes a field away from
   under the hands, nor the focus from the side, nor folds what was opened there */
const side = document.getElementById("side");
let left = null;
function behind(isBehind) {
  side.classList.toggle("behind", isBehind);
  side.setAttribute("aria-busy", isBehind);
}
sheet.addEventListener("htmx:beforeSwap", (event) => {
  if (event.detail.target !== side) return;
  const focused = side.contains(document.activeElement) ? document.activeElement : null;
  left = { opened: [...side.querySelectorAll("details[id][open]")].map((one) => one.id), focused };
});
sheet.addEventListener("htmx:afterSwap", (event) => {
  if (event.detail.target !== side || !left) return;
  for (const id of left.opened) document.getElementById(id)?.setAttribute("open", "");
  if (left.focused) {
    const links = [...side.querySelectorAll("a[data-go]")];
    const same = links.find((one) => one.dataset.go === left.focused.dataset.go) || side.querySelector("summary, a") || side;
    same.focus({ preventScroll: true });
  }
  left = null;
  hintGrounds();
  if (changes === sentAt) behind(false);
});
sheet.addEventListener("htmx:configRequest", (event) => {
  if (isDirty && performance.now() - keptAt > KEEP_MS) event.detail.parameters.keep = "1";
  sentAt = changes;
});
setInterval(() => {
  if (isDirty && performance.now() - keptAt > KEEP_MS) htmx.trigger(sheet, "idle");
}, 5000);
document.addEventListener("htmx:oobBeforeSwap", (event) => {
  if (event.detail.target.contains(document.activeElement)) event.detail.shouldSwap = false;
});
sheet.addEventListener("htmx:afterRequest", (event) => {
  const { xhr, successful, requestConfig } = event.detail;
  document.getElementById("unreached").hidden = successful || Boolean(xhr.status);
  if (successful && requestConfig.parameters.keep) {
    keptAt = performance.now();
    if (changes === sentAt && xhr.responseText.includes('id="entry"')) isDirty = false;
  }
});

/* signed out: the page stays with what was typed until someone signs in in another tab; the browser has
   another token then, which the same page says when it is fetched anew */
const signedOut = document.getElementById("signedout");
let isTokenNew = false;
sheet.addEventListener("htmx:beforeOnLoad", async (event) => {
  const { xhr } = event.detail;
  signedOut.hidden = !(xhr.getResponseHeader("HX-Redirect") || "").startsWith("/signin");
  if (!signedOut.hidden) event.preventDefault(); // htmx would go there
  if (xhr.status < 300) isTokenNew = false;
  else if (xhr.status === 403 && (await renewed())) htmx.trigger(sheet, "idle");
});
async function renewed() {
  if (isTokenNew) return false; // it was not the token
  const page = parsed(await (await fetch(sheet.action)).text());
  const token = page.querySelector("#sheet [name=csrfmiddlewaretoken]");
  if (!token) return false;
  for (const field of document.querySelectorAll("[name=csrfmiddlewaretoken]")) field.value = token.value;
  return (isTokenNew = true);
}
const parsed = (text) => new DOMParser().parseFromString(text, "text/html");

/* leaving: what is not kept yet is sent on the way out; by a link it is kept before the page goes, so
   that the next one lists it; where it is refused the page stays, or what was typed would be gone */
const WAIT_MS = 2000;
const pause = (ms) => new Promise((done) => setTimeout(done, ms));
sheet.addEventListener("submit", () => (isDirty = false));
document.addEventListener("visibilitychange", () => {
  if (document.visibilityState === "hidden" && isDirty) keepNow();
  if (document.visibilityState === "visible" && !signedOut.hidden) htmx.trigger(sheet, "idle");
});
document.addEventListener("click", async (event) => {
  const link = event.target.closest("a[href]");
  if (!link || !isDirty || event.defaultPrevented || event.button) return;
  if (event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) return;
  const isHere = link.origin + link.pathname === location.origin + location.pathname && link.hash;
  if (isHere || link.target || link.hasAttribute("download") || link.origin !== location.origin) return;
  event.preventDefault();
  const isKept = await Promise.race([answered().then(keepNow), pause(WAIT_MS)]);
  if (isKept !== false) location.href = link.href;
  else if (!signedOut.hidden) signedOut.scrollIntoView({ block: "center" });
  else sheet.requestSubmit(sheet.querySelector("button[value=keep]")); // its page says why it was refused
});
/* a look that is under way may be keeping too: its answer brings the id of the next keeping */
async function answered() {
  while (sheet.classList.contains("htmx-request")) await pause(30);
}
/* true where nothing is left to keep, false where it was refused, null where no answer came that says so */
async function keepNow() {
  if (!isDirty) return true;
  const data = new URLSearchParams(new FormData(sheet));
  data.set("keep", "1");
  const isShort = data.toString().length < 60000; // a browser sends no more once its page is gone
  try {
    const answer = await fetch(sheet.getAttribute("hx-post"), { method: "POST", body: data, keepalive: isShort });
    signedOut.hidden = !isDoor(answer);
    if (answer.status === 403 && (await renewed())) return keepNow();
    const entry = parsed(await answer.text()).getElementById("entry");
    if (!entry) return answer.ok ? false : null;
    document.getElementById("entry").replaceWith(document.importNode(entry, true));
    isDirty = isTokenNew = false;
    return true;
  } catch {
    return null; // it is still dirty, and sent with the next change
  }
}
