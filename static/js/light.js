// The light to read by: as the phone, day, night, sunlight. Remembered on this phone.

const NAME = "walkabout-light";

/** Apply the remembered light and let the buttons choose another. */
export function startLight(group) {
  const buttons = [...(group?.querySelectorAll("button[data-light]") ?? [])];
  const show = (light) => {
    if (light === "auto") delete document.documentElement.dataset.light;
    else document.documentElement.dataset.light = light;
    for (const button of buttons) button.setAttribute("aria-pressed", String(button.dataset.light === light));
  };
  show(remembered());
  for (const button of buttons) {
    button.addEventListener("click", () => {
      remember(button.dataset.light);
      show(button.dataset.light);
    });
  }
  if (group) group.hidden = false;
}

function remembered() {
  try {
    return localStorage.getItem(NAME) ?? "auto";
  } catch {
    return "auto"; // storage is shut off: the light is forgotten, nothing else
  }
}

function remember(light) {
  try {
    localStorage.setItem(NAME, light);
  } catch {
    // as above
  }
}
