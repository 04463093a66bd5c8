// The search of the site. Index and engine lie beside this file: nothing is asked of any server, and a
// page opened from a folder finds as much as one that is served.
(() => {
  const field = document.getElementById("search");
  const list = document.getElementById("found");
  const root = document.body.dataset.root ?? "";
  const shown = 12;
  let engine;

  // The index is a script, since a page opened from a folder may load scripts, and no data.
  function loadIndex() {
    if (engine !== undefined) return;
    engine = new Promise((resolve, reject) => {
      const script = document.createElement("script");
      script.src = `${root}assets/index.js`;
      script.onload = () =>
        resolve(MiniSearch.loadJSON(globalThis.coldturnIndex, globalThis.coldturnOptions));
      script.onerror = () => reject(new Error("the index of the search could not be loaded"));
      document.head.append(script);
    });
  }

  function entry({ address, title, heading, begin }) {
    const link = document.createElement("a");
    link.href = root + address;
    link.textContent = heading === title || heading === "" ? title : `${title}: ${heading}`;
    const words = document.createElement("span");
    words.textContent = begin;
    link.append(words);
    const item = document.createElement("li");
    item.append(link);
    return item;
  }

  function say(words) {
    const line = document.createElement("p");
    line.textContent = words;
    list.replaceChildren(line);
  }

  async function find() {
    const asked = field.value.trim();
    list.hidden = asked === "";
    if (asked === "") return;
    loadIndex();
    try {
      const results = (await engine).search(asked).slice(0, shown);
      if (field.value.trim() !== asked) return;
      if (results.length === 0) say("Nothing is found.");
      else list.replaceChildren(...results.map(entry));
    } catch (error) {
      say(error.message);
    }
  }

  field.addEventListener("focus", loadIndex);
  field.addEventListener("input", find);
  document.addEventListener("keydown", (event) => {
    if (event.key === "/" && document.activeElement !== field) {
      event.preventDefault();
      field.focus();
    } else if (event.key === "Escape") list.hidden = true;
  });
  document.addEventListener("click", (event) => {
    if (!event.target.closest("form")) list.hidden = true;
  });
})();
