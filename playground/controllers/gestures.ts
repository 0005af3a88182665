import type { ReactiveControllerHost } from 'lit';
import type { Point } from '../model/camera.ts';

/** What fingers, mouse and wheel do to the camera. Points are in CSS pixels of the target. */
interface Moves {
  /** A double click or a double tap. */
  twice?(at: Point): void;
  pan(dx: number, dy: number): void;
  zoom(at: Point, factor: number): void;
}

/** A wheel step of 100 units zooms by this factor. */
const WHEEL = 1.2;

/** Pan with one pointer, zoom with two or with the wheel. `attach` once, when the target exists. */
export const gestures = (host: ReactiveControllerHost, { pan, zoom, twice }: Moves) => {
  const down = new Map<number, Point>();
  let target: HTMLElement | undefined;
  const pointOf = (event: MouseEvent): Point => {
    const box = target!.getBoundingClientRect();
    return { x: event.clientX - box.left, y: event.clientY - box.top };
  };
  const press = (event: PointerEvent) => {
    if (event.button !== 0) return;
    target!.setPointerCapture(event.pointerId);
    down.set(event.pointerId, pointOf(event));
  };
  const move = (event: PointerEvent) => {
    const before = down.get(event.pointerId);
    if (before === undefined) return;
    const now = pointOf(event);
    down.set(event.pointerId, now);
    if (down.size === 1) return pan(now.x - before.x, now.y - before.y);
    const other = [...down].find(([id]) => id !== event.pointerId)![1];
    const spread = (p: Point) => Math.hypot(p.x - other.x, p.y - other.y);
    // The middle between two fingers moves half as far as one of them.
    pan((now.x - before.x) / 2, (now.y - before.y) / 2);
    zoom({ x: (now.x + other.x) / 2, y: (now.y + other.y) / 2 }, spread(now) / Math.max(1, spread(before)));
  };
  const lift = (event: PointerEvent) => void down.delete(event.pointerId);
  const wheel = (event: WheelEvent) => {
    event.preventDefault();
    const units = event.deltaMode === WheelEvent.DOM_DELTA_PIXEL ? event.deltaY : event.deltaY * 33;
    // Pinching a touchpad arrives as small wheel steps with Ctrl.
    zoom(pointOf(event), WHEEL ** (-units / (event.ctrlKey ? 10 : 100)));
  };
  const double = (event: MouseEvent) => twice?.(pointOf(event));
  const listeners = {
    pointerdown: press,
    pointermove: move,
    pointerup: lift,
    pointercancel: lift,
    dblclick: double,
    wheel,
  };
  const each = (act: 'addEventListener' | 'removeEventListener') => {
    for (const [type, listener] of Object.entries(listeners))
      target?.[act](type, listener as EventListener, { passive: false });
  };
  host.addController({
    hostConnected: () => each('addEventListener'),
    hostDisconnected: () => each('removeEventListener'),
  });
  return {
    attach(element: HTMLElement) {
      target = element;
      each('addEventListener');
    },
  };
};
