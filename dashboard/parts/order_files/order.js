const focused = new WeakMap();

function piece(kind, words, name = "") {
  const made = document.createElement(kind);
  made.textContent = words;
  made.className = name;
  return made;
}

export default function ({ data, parentElement, setTriggerValue }) {
  const { names, words } = data;
  const root = parentElement;
  [...root.children].filter((each) => each.className === "order").forEach((old) => old.remove());
  const box = piece("div", "", "order");
  const list = document.createElement("ol");
  const said = piece("span", "", "said");
  said.setAttribute("role", "status");
  list.setAttribute("aria-label", words);
  let dragged = -1;

  function move(at, to) {
    if (to < 0 || to >= names.length || to === at) return;
    focused.set(root, to);
    said.textContent = `${names[at]}: ${to + 1} of ${names.length}`;
    setTriggerValue("moved", { at, to });
  }

  names.forEach((name, at) => {
    const item = document.createElement("li");
    item.draggable = true;
    const handle = piece("button", name, "name");
    handle.type = "button";
    handle.setAttribute("aria-label", `${name}, ${at + 1} of ${names.length}; arrow keys move it`);
    const back = piece("button", "\u2039", "step");
    const on = piece("button", "\u203a", "step");
    for (const [step, by, where] of [[back, -1, "earlier"], [on, 1, "later"]]) {
      step.type = "button";
      step.tabIndex = -1;
      step.setAttribute("aria-label", `Move ${name} ${where}`);
      step.disabled = at + by < 0 || at + by >= names.length;
      step.addEventListener("click", () => move(at, at + by));
    }
    handle.addEventListener("keydown", (event) => {
      const to = { ArrowLeft: at - 1, ArrowUp: at - 1, ArrowRight: at + 1, ArrowDown: at + 1,
        Home: 0, End: names.length - 1 }[event.key];
      if (to === undefined) return;
      event.preventDefault();
      move(at, to);
    });
    item.addEventListener("dragstart", (event) => {
      dragged = at;
      event.dataTransfer.effectAllowed = "move";
      event.dataTransfer.setData("text/plain", name);
    });
    item.addEventListener("dragend", () => { dragged = -1; });
    item.addEventListener("dragover", (event) => {
      if (dragged < 0) return;
      event.preventDefault();
      item.classList.toggle("over", dragged !== at);
    });
    item.addEventListener("dragleave", () => item.classList.remove("over"));
    item.addEventListener("drop", (event) => {
      event.preventDefault();
      item.classList.remove("over");
      if (dragged >= 0) move(dragged, at);
    });
    item.append(back, handle, on);
    list.append(item);
  });
  box.append(piece("p", words), list, said);
  root.append(box);
  if (focused.has(root)) {
    list.children[focused.get(root)]?.querySelector(".name").focus();
    focused.delete(root);
  }
}
