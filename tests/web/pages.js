// Measures of a page that axe does not take. A file of functions that the accessibility test evaluates by name.
({
  /** Open everything that is folded away or opens in place, so that all of it is measured. */
  openAll() {
    for (const fold of document.querySelectorAll("details")) fold.open = true;
    document.querySelector('li[data-root] > a.line[aria-expanded="false"]')?.click(); // one is open at a time
    for (const note of document.querySelectorAll(".note[hidden]")) note.hidden = false;
  },

  /** Controls below the least size, and pairs that are nearer to each other than the least gap. */
  targets({ size, gap }) {
    const slack = 0.6; // fractions of a pixel that a layout gains or loses by rounding
    const inText = (control) =>
      control.matches("a") && getComputedStyle(control).display === "inline" && control.parentElement.textContent.trim() !== control.textContent.trim();
    const boxes = [...document.querySelectorAll("a[href], button, input:not([type=hidden]), select, textarea, summary")]
      .filter((control) => control.checkVisibility({ visibilityProperty: true }) && !control.matches(".skip") && !inText(control))
      // What stays in place over the page while it scrolls is not beside what it hides for the moment.
      .map((control) => ({ control, box: control.getBoundingClientRect(), over: Boolean(control.closest(".outbox, .keep-row")) }));
    const name = ({ control }) => `${control.tagName.toLowerCase()} "${(control.textContent.trim() || control.name || "").slice(0, 30)}"`;
    const faults = [];
    for (const one of boxes) {
      const { width, height } = one.box;
      if (width < size - slack || height < size - slack) faults.push(`${name(one)} is ${Math.round(width)} x ${Math.round(height)}`);
    }
    boxes.forEach((one, place) => {
      for (const other of boxes.slice(place + 1)) {
        if (one.over !== other.over || one.control.contains(other.control)) continue;
        const across = Math.max(one.box.left, other.box.left) - Math.min(one.box.right, other.box.right);
        const down = Math.max(one.box.top, other.box.top) - Math.min(one.box.bottom, other.box.bottom);
        if (across < gap - slack && down < gap - slack) faults.push(`${name(one)} is ${Math.round(Math.max(across, down))} from ${name(other)}`);
      }
    });
    return faults;
  },

  /** By how much the page is wider than the screen. */
  overhang: () => document.documentElement.scrollWidth - innerWidth,

  /** Smallest text on the page, in px. */
  smallestText() {
    const sizes = [];
    const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    while (texts.nextNode()) {
      const holder = texts.currentNode.parentElement;
      if (texts.currentNode.data.trim() && holder.checkVisibility()) sizes.push(parseFloat(getComputedStyle(holder).fontSize));
    }
    return Math.min(...sizes);
  },

  /** Name every control that the tab key should reach: one of each group of radio buttons. */
  nameControls() {
    const groups = new Map();
    const named = [];
    for (const control of document.querySelectorAll("a[href], button, input:not([type=hidden]), select, textarea, summary, [tabindex='0']")) {
      if (!control.checkVisibility({ visibilityProperty: true }) || control.disabled) continue;
      if (control.type === "radio") {
        const form = [...document.forms].indexOf(control.form);
        const group = `${form} ${control.name}`;
        if (!groups.has(group)) groups.set(group, String(named.push(group) - 1));
        control.dataset.reach = groups.get(group);
      } else {
        control.dataset.reach = String(named.push(control.outerHTML.slice(0, 80)) - 1);
      }
    }
    return named;
  },

  /** What has the focus: its name, whether the focus can be seen, whether something lies over it. */
  focused() {
    const control = document.activeElement;
    if (!control || control === document.body) return null;
    const seen = control.closest(".option") ?? control;
    const { outlineStyle, outlineWidth } = getComputedStyle(seen);
    const box = seen.getBoundingClientRect();
    const top = document.elementFromPoint(box.left + Math.min(box.width / 2, 40), box.top + Math.min(box.height / 2, 20));
    return {
      reach: control.dataset.reach ?? null,
      what: control.outerHTML.slice(0, 80),
      visible: outlineStyle !== "none" && parseFloat(outlineWidth) >= 2,
      covered: !(top && (seen.contains(top) || top.contains(seen))),
    };
  },
})
