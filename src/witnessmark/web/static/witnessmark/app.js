/* The page's own script: PIN pad, ids of entries, photo preview, entries that could not be sent.
   Every page works without it, except what waits for a lost connection. */
"use strict";

/* ids: a page that comes back from the browser's memory must not reuse the ids of its entries */
function newId() {
  if (crypto.randomUUID) return crypto.randomUUID(); // only where the connection is secure
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 0x0f) | 0x40;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}
addEventListener("pageshow", (event) => {
  if (!event.persisted) return;
  for (const field of document.querySelectorAll("[data-fresh]")) field.value = newId();
});

/* a point or part is tapped among the letters, in practice in the drawing too, or its letter typed;
   it is said in words */
const TAP_PX = 32; // from a tap to the letter that is meant
const PAUSE_MS = 900; // after it a typed letter begins a new name
function setUpPlaces(chips) {
  const said = chips.parentElement.querySelector("[data-put]");
  const places = [...chips.querySelectorAll("input")];
  const say = () => {
    const put = chips.querySelector(":checked");
    if (put && said) said.textContent = put.getAttribute("aria-label");
  };
  const choose = (place) => {
    place.checked = true;
    place.focus({ preventScroll: true });
    place.dispatchEvent(new Event("change", { bubbles: true }));
  };
  let typed = "";
  let at = 0;
  chips.addEventListener("keydown", (event) => {
    if (event.key.length !== 1 || event.key === " " || event.ctrlKey || event.metaKey || event.altKey) return;
    const key = event.key.toLowerCase();
    const named = (name) => {
      const begin = places.filter((one) => one.value.toLowerCase().startsWith(name));
      return begin.find((one) => one.value.toLowerCase() === name) || begin[0];
    };
    typed = event.timeStamp - at < PAUSE_MS ? typed + key : key;
    if (!named(typed)) typed = key;
    at = event.timeStamp;
    if (!named(typed)) return;
    event.preventDefault();
    choose(named(typed));
  });
  for (const drawing of document.querySelectorAll("#circuit .cct")) {
    drawing.classList.add("taps");
    drawing.addEventListener("click", (event) => {
      const far = (text) => {
        const box = text.getBoundingClientRect();
        return Math.hypot(
          Math.max(box.left - event.clientX, 0, event.clientX - box.right),
          Math.max(box.top - event.clientY, 0, event.clientY - box.bottom),
        );
      };
      const near = [...drawing.querySelectorAll("text.b")]
        .map((text) => [far(text), places.find((one) => one.value === (text.dataset.of || text.textContent))])
        .filter(([px, place]) => place && px < TAP_PX)
        .sort(([one], [other]) => one - other)[0];
      if (!near) return;
      choose(near[1]);
      chips.closest("form").scrollIntoView();
    });
  }
  for (const hint of document.querySelectorAll("[data-tap]")) hint.hidden = false;
  chips.addEventListener("change", say);
  say();
  /* whoever goes on with a keyboard types the next letter at once */
  const goesOn = ["#next", "#other"].includes(location.hash) || location.hash.startsWith("#answer");
  if (goesOn && places.length && matchMedia("(pointer: fine)").matches) {
    const first = chips.querySelector(":checked") || places[0];
    // after the browser itself has gone to the # of the address, which takes the focus away
    addEventListener("load", () => setTimeout(() => first.focus({ preventScroll: true })));
  }
}

/* the field of which something is refused comes into sight: a # in the address keeps the browser from it */
const refused = document.querySelector("[autofocus][aria-invalid=true]");
if (refused && location.hash) {
  addEventListener("load", () => setTimeout(() => {
    refused.focus({ preventScroll: true });
    refused.scrollIntoView({ block: "center" });
  }));
}

/* what is drawn, and how large, stays as the person set it, in this tab */
function setUpView(box) {
  const key = (field) => "view " + box.dataset.stays + " " + field.name;
  for (const field of box.querySelectorAll("input[type=radio]")) {
    if (sessionStorage.getItem(key(field)) === field.value) field.checked = true;
    field.addEventListener("change", () => sessionStorage.setItem(key(field), field.value));
  }
}

/* practice: a fault that is always there is not offered as one that comes and goes */
const goes = document.querySelector("[name=comes_and_goes]");
const hidden = document.getElementById("fault");
if (goes && hidden) {
  const stays = (option) => "stays" in option.dataset;
  const offerFaults = () => {
    for (const one of hidden.options) one.disabled = goes.checked && stays(one) && !one.selected;
    goes.disabled = !goes.checked && stays(hidden.selectedOptions[0]);
  };
  for (const field of [goes, hidden]) field.addEventListener("change", offerFaults);
  offerFaults();
}

/* PIN pad: writes into the password field that stands there without it */
function setUpPin(box) {
  const field = box.querySelector("input");
  const dots = box.querySelector("[data-dots]");
  const show = () => {
    const entered = field.value.length;
    while (dots.children.length < Math.max(4, entered)) dots.append(document.createElement("i"));
    [...dots.children].forEach((dot, at) => dot.classList.toggle("on", at < entered));
    dots.setAttribute("aria-label", entered + " figures entered");
  };
  box.querySelector("[data-pad]").addEventListener("click", (event) => {
    const key = event.target.closest("button");
    if (!key) return;
    if ("figure" in key.dataset) field.value = (field.value + key.dataset.figure).slice(0, 8);
    else field.value = "clear" in key.dataset ? "" : field.value.slice(0, -1);
    show();
  });
  field.addEventListener("input", show);
  for (const part of box.querySelectorAll("[data-dots],[data-pad]")) part.hidden = false;
  box.querySelector("[data-field]").classList.add("typed");
}

/* photos: shown before they are sent */
function setUpPhoto(field) {
  const form = field.form;
  const shown = form.querySelector("[data-preview]");
  const later = form.querySelectorAll("[data-after-photo]");
  for (const part of later) part.hidden = true;
  field.addEventListener("change", () => {
    const file = field.files[0];
    if (!file || !shown) return;
    if (shown.src) URL.revokeObjectURL(shown.src);
    shown.src = URL.createObjectURL(file);
    shown.hidden = false;
    for (const part of later) part.hidden = false;
  });
}

/* entries that could not be sent: text in this tab's storage, photos only while the page is open */
const person = document.body.dataset.person;

/* what was begun to be written stays in this tab, for whoever began it, when the page is loaded anew;
   it goes when it was sent for good, and when they sign out or somebody else is here */
const BEGUN = "begun ";
const begunHere = BEGUN + person + " " + location.pathname.split("/").slice(0, 4).join("/") + " "; // refused or not
function forget(which) {
  for (const key of Object.keys(sessionStorage)) if (which(key)) sessionStorage.removeItem(key);
}
if (person) forget((key) => key.startsWith(BEGUN) && !key.startsWith(BEGUN + person + " "));
if (document.querySelector("[data-ended]")) forget((key) => key.startsWith(begunHere));
for (const field of document.querySelectorAll("[data-begun]")) {
  const key = begunHere + field.name;
  field.value ||= sessionStorage.getItem(key) || "";
  field.addEventListener("input", () => sessionStorage.setItem(key, field.value));
}
const STORE = "unsent";
const forgetAll = () => forget((key) => key !== STORE); // what was not sent yet waits for its person
if (document.querySelector("[data-closed]")) forgetAll();
for (const form of document.querySelectorAll("form[data-leaves]")) form.addEventListener("submit", forgetAll);
const photos = new Map(); // id of the entry -> its form data
const readUnsent = () => JSON.parse(sessionStorage.getItem(STORE) || "[]").filter((one) => one.person === person);
const writeUnsent = (list) => {
  const others = JSON.parse(sessionStorage.getItem(STORE) || "[]").filter((one) => one.person !== person);
  sessionStorage.setItem(STORE, JSON.stringify([...others, ...list]));
};

let reached = false; // the shop's machine answered, but did not keep it
function showUnsent() {
  const list = readUnsent();
  const box = document.getElementById("unsent");
  if (!box) return;
  box.hidden = list.length === 0;
  for (const words of box.querySelectorAll("[data-reached]")) {
    words.hidden = words.dataset.reached !== String(reached);
  }
  box.querySelector("[data-count]").textContent = list.length;
  if (list.length) {
    const since = new Date(list[0].typed);
    const hour = [since.getHours(), since.getMinutes()].map((part) => String(part).padStart(2, "0")).join(":");
    for (const words of box.querySelectorAll("[data-since]")) words.textContent = " since " + hour;
  }
  const line = document.getElementById("unsent-line").content.firstElementChild;
  box.querySelector("[data-list]").replaceChildren(
    ...list.map((one) => {
      const copy = line.cloneNode(true);
      copy.children[0].textContent = one.label;
      copy.children[1].textContent = one.shown;
      copy.querySelector("button").addEventListener("click", () => {
        dropUnsent(one.id);
        showUnsent();
      });
      return copy;
    }),
  );
}

function keepUnsent(form, data) {
  const id = data.get("id");
  const fields = [...data].filter(([, value]) => typeof value === "string");
  if (fields.length < [...data].length) photos.set(id, data);
  const shown = form.querySelector("[data-shown]:not([type=radio]), [data-shown]:checked");
  const list = readUnsent().filter((one) => one.id !== id);
  list.push({
    id, person, url: form.action, fields, typed: Date.now(),
    label: form.dataset.keep, shown: shown ? shown.dataset.shown || shown.value : "", photo: photos.has(id),
  });
  writeUnsent(list);
  showUnsent();
}

/* refusals whose page shows what was typed: there it goes on, not here */
const ANSWERED = [409, 422];
/* what was done is said on the page that a person sees, which is loaded once more */
const UNSEEN = { "X-Unseen": "1" };
const isDoor = (answer) => answer.redirected && new URL(answer.url).pathname.startsWith("/signin");

let sending = false;
async function sendUnsent() {
  if (sending) return;
  sending = true;
  let sent = 0;
  try {
    for (const one of readUnsent()) {
      const data = photos.get(one.id) || new FormData();
      if (!photos.has(one.id)) {
        if (one.photo) continue; // its page was closed: the picture is gone, the line says so
        for (const [name, value] of one.fields) data.append(name, value);
      }
      data.set("waited_s", Math.round((Date.now() - one.typed) / 1000));
      data.set("csrfmiddlewaretoken", document.querySelector("#unsent [name=csrfmiddlewaretoken]").value);
      const answer = await fetch(one.url, { method: "POST", body: data, headers: UNSEEN });
      reached = true;
      if (isDoor(answer)) return location.assign(answer.url);
      if (ANSWERED.includes(answer.status)) return showAnswer(answer, () => dropUnsent(one.id));
      if (!answer.ok) continue; // it stays here until it is kept, or until someone forgets it
      dropUnsent(one.id);
      sent += 1;
    }
  } catch {
    reached = false;
  } finally {
    sending = false;
    showUnsent();
  }
  if (sent) location.reload();
}
function dropUnsent(id) {
  photos.delete(id);
  writeUnsent(readUnsent().filter((one) => one.id !== id));
}

async function showAnswer(answer, done, place = "") {
  if (answer.redirected) {
    history.replaceState(null, "", answer.url + place); // an address read by script has lost its #
    if (!ANSWERED.includes(answer.status)) return location.reload();
  }
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  document.getElementById("main").replaceWith(page.getElementById("main"));
  done();
  setUp();
  const at = document.querySelector("#main [autofocus]"); // the field that a sentence stands at
  if (at) at.focus();
  else scrollTo(0, 0);
}

function unsay(part) {
  for (const said of part.querySelectorAll("#at_field")) said.remove();
  for (const field of part.querySelectorAll("[aria-describedby=at_field]")) {
    field.removeAttribute("aria-invalid");
    field.removeAttribute("aria-describedby");
  }
}

/* once something else is chosen, what was said of the field goes; a heading of choices has no name */
document.addEventListener("change", (event) => {
  const field = event.target;
  const spoken = document.querySelector("[aria-describedby=at_field]");
  if (!spoken || !field.matches("select, [type=radio], [type=checkbox]")) return;
  const isMended = spoken.name
    ? spoken.name === field.name && spoken.form === field.form
    : spoken.closest("fieldset")?.contains(field);
  if (isMended) unsay(document);
});

/* nothing waits where nothing was typed: it is said at the field, as the page itself would say it */
function saysEmpty(form) {
  const isEmpty = (field) => (field.type === "radio" ? !chosen(field) : !field.value.trim());
  const chosen = (field) => form.querySelector(`[name="${field.name}"]:checked`);
  const empty = [...form.querySelectorAll("input:not([type]), .pts input, .exp input")].find(isEmpty);
  if (!form.noValidate || !empty) return false;
  unsay(document);
  const said = document.getElementById("unsent-empty").content.firstElementChild.cloneNode(true);
  said.id = "at_field"; // there is one on a page
  said.setAttribute("role", "alert");
  empty.closest(empty.type === "radio" ? "fieldset" : ".erow, .fld").after(said);
  empty.setAttribute("aria-invalid", "true");
  empty.setAttribute("aria-describedby", said.id);
  empty.focus();
  return true;
}

/* forms that are kept: sent as ever, and held here when the shop's machine cannot be reached */
async function sendKept(event) {
  event.preventDefault();
  const form = event.target;
  const data = new FormData(form, event.submitter);
  const buttons = form.querySelectorAll("button");
  for (const button of buttons) button.disabled = true;
  try {
    const answer = await fetch(form.action, { method: "POST", body: data, headers: UNSEEN });
    if (isDoor(answer)) {
      keepUnsent(form, data); // signed out meanwhile: it waits for the same person
      return location.assign(answer.url);
    }
    const part = form.closest("section[id]");
    await showAnswer(answer, () => {}, part ? "#" + part.id : "");
  } catch {
    reached = false;
    if (saysEmpty(form)) return;
    keepUnsent(form, data);
    unsay(form);
    form.reset();
    for (const field of form.querySelectorAll("[data-fresh]")) field.value = newId();
    document.getElementById("unsent").scrollIntoView();
  } finally {
    for (const button of buttons) button.disabled = false;
  }
}

/* a choice whose words are longer than its box stands below it in full; a screen reader says it already */
const ARROW_PX = 24; // room that the box keeps for its arrow
function setUpChoice(choice) {
  const box = choice.closest(".fld");
  if (!box || choice.dataset.full) return;
  choice.dataset.full = "said below";
  const full = document.createElement("p");
  full.className = "full-words";
  full.setAttribute("aria-hidden", "true");
  const pen = document.createElement("canvas").getContext("2d");
  const say = () => {
    const look = getComputedStyle(choice);
    pen.font = `${look.fontWeight} ${look.fontSize} ${look.fontFamily}`;
    const words = choice.selectedOptions.length ? choice.selectedOptions[0].text : "";
    const room = choice.clientWidth - parseFloat(look.paddingLeft) - parseFloat(look.paddingRight) - ARROW_PX;
    full.hidden = pen.measureText(words).width <= room;
    full.textContent = full.hidden ? "" : words;
  };
  box.after(full);
  choice.addEventListener("change", say);
  choice.form?.addEventListener("reset", () => setTimeout(say));
  new ResizeObserver(say).observe(choice);
  document.fonts.ready.then(say);
}

function setUp() {
  for (const choice of document.querySelectorAll(".fld select")) setUpChoice(choice);
  for (const box of document.querySelectorAll("[data-pin]")) setUpPin(box);
  for (const field of document.querySelectorAll("input[type=file]")) setUpPhoto(field);
  for (const box of document.querySelectorAll("[data-stays]")) setUpView(box);
  for (const chips of document.querySelectorAll(".pts")) setUpPlaces(chips);
  for (const form of document.querySelectorAll("form[data-keep]")) form.addEventListener("submit", sendKept);
  for (const button of document.querySelectorAll("[data-send]")) button.addEventListener("click", sendUnsent);
  for (const button of document.querySelectorAll("[data-print]")) button.addEventListener("click", () => print());
  showUnsent();
}
setUp();
if (readUnsent().length) sendUnsent();
addEventListener("online", sendUnsent);
setInterval(() => readUnsent().length && sendUnsent(), 10000);
