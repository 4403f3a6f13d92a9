/**
 * The signs that stand in the page's margin. Shape tells the rank (diamond, triangle, disc), filling
 * tells the state (solid: nobody has answered; hollow with a tick: acknowledged; hollow with a level
 * line: back to normal; with a shackle on that line: over but latched; hollow with two bars: set aside). Colour only repeats what shape says, and a
 * word always stands beside the sign, which is why it is hidden from screen readers.
 */
import type { Alarm, AlarmState, Priority } from '../../monitoring/alarms/alarm.ts';

const outlines = {
  high: 'M12 1.5 22.5 12 12 22.5 1.5 12Z',
  medium: 'M12 2.5 22.5 21.5H1.5Z',
  low: 'M12 3a9 9 0 1 0 0 18 9 9 0 0 0 0-18Z',
} as const satisfies Record<Priority, string>;

/** Where the inner mark sits: a triangle's middle is lower than a diamond's. */
const middles = { high: 12, medium: 15.5, low: 12 } as const satisfies Record<Priority, number>;

const inner = (state: AlarmState, middle: number): string => {
  switch (state) {
    case 'unacknowledged':
      return `M12 ${middle - 4.5}v5M12 ${middle + 3.6}v.4`;
    case 'acknowledged':
      return `M8.8 ${middle + 0.2}l2.3 2.3 4.2-4.6`;
    case 'latched-unacknowledged':
    case 'latched-acknowledged':
      return `M8.4 ${middle}h7.2M9.6 ${middle}v-3a2.4 2.4 0 0 1 4.8 0v3`;
    case 'returned-unacknowledged':
    case 'normal':
      return `M8.4 ${middle}h7.2`;
    case 'shelved':
    case 'suppressed':
    case 'out-of-service':
      return `M10.2 ${middle - 2.6}v5.2M13.8 ${middle - 2.6}v5.2`;
  }
};

export const AlarmSign = ({ alarm }: { readonly alarm: Pick<Alarm, 'priority' | 'state'> }) => (
  <svg
    class={`sign sign-${alarm.priority} ${alarm.state === 'unacknowledged' ? 'sign-solid' : 'sign-hollow'}`}
    viewBox="0 0 24 24"
    aria-hidden="true"
    focusable="false"
  >
    <path class="sign-body" d={outlines[alarm.priority]} />
    <path class="sign-mark" d={inner(alarm.state, middles[alarm.priority])} />
  </svg>
);

const plainPaths = {
  /** A full measure: the batch has come to rest. */
  ready: 'M12 4a8 8 0 1 0 0 16 8 8 0 0 0 0-16ZM4.4 10h15.2',
  /** An open ring: nothing to say. */
  well: 'M12 7a5 5 0 1 0 0 10 5 5 0 0 0 0-10Z',
  /** A dash: nothing here. */
  empty: 'M8 12h8',
} as const;

export const PlainSign = ({ kind }: { readonly kind: keyof typeof plainPaths }) => (
  <svg class="sign sign-plain" viewBox="0 0 24 24" aria-hidden="true" focusable="false">
    <path d={plainPaths[kind]} />
  </svg>
);
