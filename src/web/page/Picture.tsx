/** One picture, drawn by the same code as the sheet's; its data, SVG and PNG are one press away. */
import { useEffect, useRef, useState } from "react";
import { drawSvg, type Figure, figureCsv } from "../../picture/index.js";
import { keepPng, keepText } from "./keepFile.js";
import { css } from "./look.js";
import { themeWorn, typeScale } from "./theme.js";

const widest = 860;
const narrowest = 300;

/** @param figure of an answer */
export function Picture({ figure }: { readonly figure: Figure }) {
  const place = useRef<HTMLDivElement>(null);
  const [width, setWidth] = useState(720);
  useEffect(() => {
    let found = widest;
    const measure = (): void => {
      const room = Math.floor(found / typeScale() / 20) * 20;
      setWidth(Math.min(widest, Math.max(narrowest, room)));
    };
    const observer = new ResizeObserver(([entry]) => {
      found = entry?.contentRect.width ?? widest;
      measure();
    });
    if (place.current !== null) observer.observe(place.current);
    window.addEventListener(themeWorn, measure);
    return () => {
      observer.disconnect();
      window.removeEventListener(themeWorn, measure);
    };
  }, []);
  useEffect(() => {
    // The page's own sheet has the colours: its content policy admits no style in a picture.
    const svg = drawSvg(figure, { width, caption: "left out" }).replace(/<style>.*?<\/style>/s, "");
    const drawn = new DOMParser().parseFromString(svg, "image/svg+xml");
    place.current?.replaceChildren(document.importNode(drawn.documentElement, true));
    performance.mark("drawn");
  }, [figure, width]);
  return (
    <figure className={css.picture}>
      <div ref={place} className="picture" />
      <figcaption>
        <p>
          <small>{figure.words}</small>
        </p>
        <fieldset className={`${css.acts} noprint`} aria-label={`Keep the picture: ${figure.title}`}>
          <button
            type="button"
            onClick={() => keepText(drawSvg(figure, { width: widest }), `${figure.id}.svg`, "image/svg+xml")}
          >
            SVG
          </button>
          <button
            type="button"
            onClick={() => void keepPng(drawSvg(figure, { width: widest }), `${figure.id}.png`)}
          >
            PNG
          </button>
          <button type="button" onClick={() => keepText(figureCsv(figure), `${figure.id}.csv`, "text/csv")}>
            Data (CSV)
          </button>
        </fieldset>
      </figcaption>
    </figure>
  );
}
