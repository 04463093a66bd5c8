/** What the time series show: the stretch of time, the crosshair, and how mouse and touch move them. */
import { type RefObject, useEffect, useRef, useState } from "react";
import { instantAt, margin, panned, pixelOf, type Range, zoomed } from "../../compute/plotPlace.js";

/** A pointer that moves less than this taps [px]. */
const tapReach = 8;
/** An event is taken hold of from as far as half a finger [px]. */
const holdReach = 24;

export interface Gestures {
  readonly range: Range;
  readonly events: readonly { readonly id: string; readonly x: number }[];
  readonly width: number;
  readonly setRange: (range: Range) => void;
  readonly setCrosshair: (x: number) => void;
  readonly hold: (id: string, x: number) => void;
}

/** Listens to mouse and touch over the panels: drag pans, pinch and Ctrl with the wheel zoom, a tap sets the crosshair. */
export function useGestures(place: RefObject<HTMLElement | null>, now: Gestures): void {
  const latest = useRef(now);
  latest.current = now;
  useEffect(() => {
    const element = place.current;
    if (element === null) return;
    const pointers = new Map<number, { x: number; y: number }>();
    let start: { readonly x: number; readonly range: Range; readonly spread: number } | undefined;
    let held: string | undefined;
    let hasMoved = false;
    const placeOf = (event: PointerEvent | WheelEvent) => {
      const box = element.getBoundingClientRect();
      return { x: event.clientX - box.left, y: event.clientY - box.top };
    };
    const centre = (): { readonly x: number; readonly spread: number } => {
      const xs = [...pointers.values()].map(({ x }) => x);
      const [low, high] = [Math.min(...xs), Math.max(...xs)];
      return { x: (low + high) / 2, spread: Math.max(high - low, 20) };
    };
    const begin = (): void => {
      start = pointers.size === 0 ? undefined : { ...centre(), range: latest.current.range };
    };
    const down = (event: PointerEvent): void => {
      if (event.button !== 0) return;
      const at = placeOf(event);
      pointers.set(event.pointerId, at);
      hasMoved = pointers.size > 1;
      const { events, range, width } = latest.current;
      const near = events
        .map(({ id, x }) => ({ id, away: Math.abs(pixelOf(x, range, width) - at.x) }))
        .sort((a, b) => a.away - b.away)[0];
      held = at.y < margin.strip && near !== undefined && near.away < holdReach ? near.id : undefined;
      begin();
    };
    const move = (event: PointerEvent): void => {
      if (!pointers.has(event.pointerId) || start === undefined) return;
      const at = placeOf(event);
      pointers.set(event.pointerId, at);
      const { x, spread } = centre();
      if (Math.abs(x - start.x) > tapReach || Math.abs(spread - start.spread) > tapReach) {
        if (!hasMoved) element.setPointerCapture(event.pointerId);
        hasMoved = true;
      }
      if (!hasMoved) return;
      const { width, setRange, hold, range } = latest.current;
      if (held !== undefined) {
        hold(held, instantAt(at.x, range, width));
        return;
      }
      const about = instantAt(start.x, start.range, width);
      const wide = pointers.size > 1 ? zoomed(start.range, about, start.spread / spread) : start.range;
      const by = instantAt(start.x, wide, width) - instantAt(x, wide, width);
      setRange([wide[0] + by, wide[1] + by]);
    };
    const up = (event: PointerEvent): void => {
      const at = pointers.get(event.pointerId);
      pointers.delete(event.pointerId);
      if (at !== undefined && !hasMoved && event.type === "pointerup") {
        const { range, width, setCrosshair, hold } = latest.current;
        const x = instantAt(at.x, range, width);
        const event_ = latest.current.events.find(({ id }) => id === held);
        if (event_ !== undefined) hold(event_.id, event_.x);
        setCrosshair(event_?.x ?? x);
      }
      held = undefined;
      begin();
    };
    const wheel = (event: WheelEvent): void => {
      const { range, width, setRange } = latest.current;
      if (event.ctrlKey) {
        event.preventDefault();
        setRange(zoomed(range, instantAt(placeOf(event).x, range, width), Math.exp(event.deltaY / 300)));
      } else if (Math.abs(event.deltaX) > Math.abs(event.deltaY) || event.shiftKey) {
        event.preventDefault();
        setRange(panned(range, (event.deltaX || event.deltaY) / width));
      }
    };
    element.addEventListener("pointerdown", down);
    element.addEventListener("pointermove", move);
    element.addEventListener("pointerup", up);
    element.addEventListener("pointercancel", up);
    element.addEventListener("wheel", wheel, { passive: false });
    return () => {
      element.removeEventListener("pointerdown", down);
      element.removeEventListener("pointermove", move);
      element.removeEventListener("pointerup", up);
      element.removeEventListener("pointercancel", up);
      element.removeEventListener("wheel", wheel);
    };
  }, [place]);
}

/** Width of an element [px of the page], as it changes. */
export function useWidth(place: RefObject<HTMLElement | null>): number {
  const [width, setWidth] = useState(900);
  useEffect(() => {
    const observer = new ResizeObserver(([entry]) => {
      setWidth(Math.max(280, Math.floor(entry?.contentRect.width ?? 900)));
    });
    if (place.current !== null) observer.observe(place.current);
    return () => observer.disconnect();
  }, [place]);
  return width;
}

/** Changes with the theme, so that what is drawn in its colours is drawn again. */
export function useThemeTurn(): number {
  const [turn, setTurn] = useState(0);
  useEffect(() => {
    const again = (): void => setTurn((so) => so + 1);
    const observer = new MutationObserver(again);
    observer.observe(document.documentElement, { attributes: true, attributeFilter: ["data-theme"] });
    const system = matchMedia("(prefers-color-scheme: dark)");
    system.addEventListener("change", again);
    return () => {
      observer.disconnect();
      system.removeEventListener("change", again);
    };
  }, []);
  return turn;
}
