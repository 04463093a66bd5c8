/** Section of ball, seats and port at any angle, moved along the computed opening, coloured by the open area. */
import { type ReactNode, useEffect, useId, useRef, useState } from "react";
import { Refusal } from "../../../fault/index.js";
import { type Paint, paints } from "../../../picture/index.js";
import { keepPng, keepText } from "../keepFile.js";
import { css } from "../look.js";
import { useAnswer, useBench } from "../useBench.js";
import { angleAt, type MotionPath, motionPath } from "./motionPath.js";
import {
  ballShape,
  bodyShape,
  boreShape,
  openArea,
  portShape,
  reach,
  type SectionGeometry,
  seatShapes,
} from "./sectionShape.js";

/** The motion is shown so many times slower than it is. */
const slower = 10;
/** Where motion is not wanted, the opening is shown in so many steps. */
const steps = 10;
const degrees = Math.PI / 180;
/** Pixels of a ball radius in a kept picture. */
const scale = 160;
const legendSteps = [0, 0.25, 0.5, 0.75, 1] as const;

const fields = {
  ballDiameter: "valve.ball_diameter",
  bore: "valve.bore",
  seatContact: "valve.seat_contact_diameter",
  travel: "valve.travel",
} as const;

/** The section with its controls; says what is missing where it cannot be drawn. */
export function Section() {
  const ballDiameter = useNumber(fields.ballDiameter);
  const bore = useNumber(fields.bore);
  const seatContact = useNumber(fields.seatContact);
  const travel = useNumber(fields.travel);
  const isStale = useBench(({ reading, readingKey, key }) => reading !== undefined && readingKey !== key);
  if (ballDiameter === undefined || bore === undefined || travel === undefined)
    return (
      <p>
        The section needs the diameters of ball and bore and the travel; not known:{" "}
        {[
          ballDiameter === undefined ? fields.ballDiameter : "",
          bore === undefined ? fields.bore : "",
          travel === undefined ? fields.travel : "",
        ]
          .filter((path) => path !== "")
          .join(", ")}
        .
      </p>
    );
  const geometry = { ballDiameter, bore, seatContact, travel };
  const trouble = troubleOf(geometry);
  if (trouble !== undefined) return <p className={css.fault}>{trouble}</p>;
  return (
    <div className={isStale ? css.stale : ""} aria-busy={isStale}>
      {isStale && <strong>The values are being read again; this is the valve before the edit.</strong>}
      <Drawing geometry={geometry} />
    </div>
  );
}

/** The nominal value of a field as it was last read, SI. */
function useNumber(path: string): number | undefined {
  return useBench((bench) => bench.reading?.values.find((one) => one.path === path)?.slide?.value);
}

function troubleOf(geometry: SectionGeometry): string | undefined {
  try {
    openArea(geometry, 0);
    return undefined;
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    return thrown.faults.map(({ found, mend }) => `${found}. ${mend}`).join(" ");
  }
}

function Drawing({ geometry }: { readonly geometry: SectionGeometry }) {
  const id = useId();
  const place = useRef<SVGSVGElement>(null);
  const opening = useAnswer(3);
  const path = opening === undefined ? undefined : motionPath(opening.answer.figures);
  const end = geometry.travel / degrees;
  const [angle, setAngle] = useState(end / 2);
  const [time, setTime] = useState<number>();
  const [isPlaying, play] = usePlay(path, (at) => {
    setTime(at);
    if (path !== undefined) setAngle(angleAt(path, at));
  });
  const shown = Math.min(Math.max(angle, 0), end);
  const { area, share } = openArea(geometry, shown * degrees);
  const said = `${shown.toFixed(1)} deg open: throat ${(area * 1e6).toFixed(0)} mm2, ${(100 * share).toFixed(1)} % of wide open`;
  const svg = (): string =>
    place.current === null ? "" : new XMLSerializer().serializeToString(place.current);
  return (
    <figure className={css.picture}>
      <div className="picture">
        <Shapes ref={place} geometry={geometry} angle={shown} share={share} said={said} />
      </div>
      <figcaption>
        <p>
          <output htmlFor={id}>{said}</output>
          {time !== undefined && `; ${time.toFixed(0)} ms after the command`}.{" "}
          <small>
            Section in the plane of the pipe's axis, square to the stem, flow from left to right; to scale but
            for the outside of the body and the depth of the seats.
            {geometry.seatContact === undefined &&
              " The seats' contact diameter is not known: none is drawn."}
          </small>
        </p>
        <div className="noprint">
          <label htmlFor={id}>Opening angle</label>
          <input
            id={id}
            type="range"
            min={0}
            max={end}
            step={0.5}
            value={shown}
            aria-valuetext={said}
            onChange={({ target }) => {
              play("stop");
              setTime(undefined);
              setAngle(Number(target.value));
            }}
          />
        </div>
        <fieldset className={`${css.acts} noprint`} aria-label="Motion and copies of the section">
          {path === undefined ? (
            <p>The motion is not known: question 3 says what it needs.</p>
          ) : (
            <button type="button" onClick={() => play(isPlaying ? "stop" : "go")}>
              {isPlaying
                ? "Stop"
                : isStill()
                  ? "Next step of the opening"
                  : `Show the opening, ${slower} times slower`}
            </button>
          )}
          <button type="button" onClick={() => keepText(svg(), "section.svg", "image/svg+xml")}>
            SVG
          </button>
          <button type="button" onClick={() => void keepPng(svg(), "section.png")}>
            PNG
          </button>
          <button type="button" onClick={() => keepText(areaCsv(geometry, path), "section.csv", "text/csv")}>
            Data (CSV)
          </button>
        </fieldset>
        {opening?.isStale === true && path !== undefined && (
          <p>
            <strong>The motion is being worked out again; this is the last one.</strong>
          </p>
        )}
      </figcaption>
    </figure>
  );
}

/** Whether this person wants no motion. */
const isStill = (): boolean => matchMedia("(prefers-reduced-motion: reduce)").matches;

/** Runs along the path, or steps along it where motion is not wanted. @param show is given the time [ms] */
function usePlay(
  path: MotionPath | undefined,
  show: (time: number) => void,
): readonly [boolean, (what: "go" | "stop") => void] {
  const [isPlaying, setPlaying] = useState(false);
  const stepped = useRef(-1);
  const showing = useRef(show);
  showing.current = show;
  const duration = path === undefined ? 0 : (path.time_ms[path.time_ms.length - 1] ?? 0);
  useEffect(() => {
    if (!isPlaying) return undefined;
    const started = performance.now();
    let frame = requestAnimationFrame(function next(now) {
      const at = Math.max(0, now - started) / slower;
      showing.current(Math.min(at, duration));
      if (at >= duration) setPlaying(false);
      else frame = requestAnimationFrame(next);
    });
    return () => cancelAnimationFrame(frame);
  }, [isPlaying, duration]);
  const play = (what: "go" | "stop"): void => {
    if (what === "stop") setPlaying(false);
    else if (isStill()) {
      stepped.current = (stepped.current + 1) % (steps + 1);
      show((duration * stepped.current) / steps);
    } else setPlaying(true);
  };
  return [isPlaying, play];
}

const fill = (paint: Paint) => ({ className: `f-${paint}`, fill: paints[paint].light });
const both = (paint: Paint, line: Paint) => ({
  className: `f-${paint} s-${line}`,
  fill: paints[paint].light,
  stroke: paints[line].light,
  strokeWidth: 0.012,
});
/** How strongly the fluid is coloured where a share of the throat is open [-]. */
const tint = (share: number): number => 0.06 + 0.84 * share;

function Shapes({
  ref,
  geometry,
  angle,
  share,
  said,
}: {
  readonly ref: React.Ref<SVGSVGElement>;
  readonly geometry: SectionGeometry;
  readonly angle: number;
  readonly share: number;
  readonly said: string;
}): ReactNode {
  const opening = angle * degrees;
  const legendTop = reach.y + 0.16;
  const width = (2 * reach.x) / legendSteps.length;
  return (
    <svg
      ref={ref}
      xmlns="http://www.w3.org/2000/svg"
      viewBox={`${-reach.x} ${-reach.y} ${2 * reach.x} ${2 * reach.y + 0.62}`}
      width={2 * reach.x * scale}
      height={(2 * reach.y + 0.62) * scale}
      role="img"
      aria-label={`Section through ball, seats and port, ${said}`}
      fontFamily="'Liberation Sans',Arial,'DejaVu Sans',sans-serif"
    >
      <rect {...fill("paper")} x={-reach.x} y={-reach.y} width={2 * reach.x} height={2 * reach.y + 0.62} />
      <path {...both("rule", "quiet")} d={bodyShape(geometry)} />
      <path {...fill("prediction")} fillOpacity={tint(1)} d={portShape(geometry, -1)} />
      <path {...fill("prediction")} fillOpacity={tint(share)} d={portShape(geometry, 1)} />
      <path {...fill("prediction")} fillOpacity={tint(share)} d={boreShape(geometry, opening)} />
      <path {...both("neutral", "ink")} d={ballShape(geometry, opening)} />
      {seatShapes(geometry).map((d) => (
        <path key={d} {...both("available", "ink")} d={d} />
      ))}
      {legendSteps.map((step, index) => (
        <g key={step}>
          <rect
            {...both("prediction", "quiet")}
            fillOpacity={tint(step)}
            x={-reach.x + index * width + 0.04}
            y={legendTop}
            width={width - 0.08}
            height={0.14}
          />
          <text
            {...fill("ink")}
            x={-reach.x + (index + 0.5) * width}
            y={legendTop + 0.33}
            textAnchor="middle"
            fontSize={0.13}
          >
            {`${100 * step} % open`}
          </text>
        </g>
      ))}
    </svg>
  );
}

/** Open area over the opening in whole degrees, and the times at which the motion passes them. */
function areaCsv(geometry: SectionGeometry, path: MotionPath | undefined): string {
  const end = geometry.travel / degrees;
  const rows = Array.from({ length: Math.floor(end) + 1 }, (_, angle) => {
    const { area, share } = openArea(geometry, angle * degrees);
    const index = path === undefined ? -1 : Array.from(path.angle_deg).findIndex((a) => a >= angle);
    const time = index < 0 ? "" : (path?.time_ms[index] ?? "");
    return `${angle},${area * 1e6},${share},${time}\n`;
  });
  return `opening_deg,throat_mm2,share_of_wide_open,passed_after_ms\n${rows.join("")}`;
}
