import type { ReactiveControllerHost } from 'lit';
import { stepNumber } from '../model/number.ts';

interface Dragged {
  value(): number;
  step(): number;
  change(value: number): void;
}

/** Movements up to this many pixels are a click, which puts the caret into the field. */
const STILL = 3;
const PIXELS_PER_STEP = 2;

/** Changes a number while the pointer moves sideways: a step every two pixels, ten times finer with Shift. */
export const dragNumber = (host: ReactiveControllerHost, { value, step, change }: Dragged) => {
  let end = () => {};
  host.addController({ hostDisconnected: () => end() });
  const begin = (event: PointerEvent) => {
    const field = event.currentTarget as HTMLInputElement;
    // A field that is being typed in keeps its caret and selection.
    if (event.button !== 0 || isActive(field)) return;
    const start = value();
    let moved = false;
    const move = (now: PointerEvent) => {
      const distance = now.clientX - event.clientX;
      moved ||= Math.abs(distance) > STILL;
      if (!moved) return;
      const size = now.shiftKey ? step() / 10 : step();
      change(stepNumber(start, size, Math.round(distance / PIXELS_PER_STEP)));
    };
    end = () => {
      field.removeEventListener('pointermove', move);
      field.removeEventListener('pointerup', up);
      field.removeEventListener('pointercancel', end);
    };
    const up = () => {
      end();
      if (!moved) {
        field.focus();
        field.select();
      }
    };
    event.preventDefault();
    field.setPointerCapture(event.pointerId);
    field.addEventListener('pointermove', move);
    field.addEventListener('pointerup', up);
    field.addEventListener('pointercancel', end);
  };
  return { begin };
};

const isActive = (field: HTMLElement): boolean => (field.getRootNode() as ShadowRoot).activeElement === field;
