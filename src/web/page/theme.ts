/** The themes, and the colours that page and pictures share. */
import { paints } from "../../picture/index.js";
import { pageColours } from "../../sheet/index.js";

export const themes = ["as the system", "light", "dark", "sunlight"] as const;
export type Theme = (typeof themes)[number];

const place = "coldturn-theme";

/** The theme chosen on this machine. */
export function chosenTheme(): Theme {
  const kept = localStorage.getItem(place);
  return themes.find((theme) => theme === kept) ?? "as the system";
}

/** Type of the sunlight theme over that of the others; base.css says the same [-]. */
const sunlightType = 1.4;
/** Heard by what draws type of its own. */
export const themeWorn = "coldturn-theme-worn";

/** How much larger type is drawn in the theme that is worn. */
export function typeScale(): number {
  return document.documentElement.dataset.theme === "sunlight" ? sunlightType : 1;
}

/** Puts a theme on and remembers it. */
export function wearTheme(theme: Theme = chosenTheme()): void {
  localStorage.setItem(place, theme);
  document.documentElement.dataset.theme = theme.replaceAll(" ", "-");
  document.adoptedStyleSheets = [paintSheet()];
  window.dispatchEvent(new Event(themeWorn));
}

/** Colours of page and pictures: a sheet of the page's own, because pictures may not bring theirs along. */
function paintSheet(): CSSStyleSheet {
  const sheet = new CSSStyleSheet();
  const both = ({ light, dark }: { readonly light: string; readonly dark: string }) =>
    `light-dark(${light},${dark})`;
  const names = Object.entries(pageColours).map(([name, colour]) => `--${name}:${both(colour)}`);
  const marks = Object.entries(paints).flatMap(([name, colour]) => [
    `.picture .f-${name}{fill:${both(colour)}}`,
    `.picture .s-${name}{stroke:${both(colour)}}`,
  ]);
  sheet.replaceSync([`:root{${names.join(";")}}`, ...marks].join("\n"));
  return sheet;
}
