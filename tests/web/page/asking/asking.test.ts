import { afterEach, expect, test, vi } from 'vitest';
import { onNextThing } from '../../../../web/asking/any-key.ts';
import { askForPort, serialOf } from '../../../../web/asking/serial-port.ts';
import { StayAwake } from '../../../../web/asking/stay-awake.ts';

const navigatorWith = (serial: object): Navigator => ({ userAgent: '', serial }) as unknown as Navigator;

test('without Web Serial there is none, and asking is refused in words', async () => {
  const bare = { userAgent: '' };
  expect(serialOf(bare)).toBeNull();
  expect(await askForPort(bare)).toEqual({ ok: false, because: 'no-serial-here' });
});

test('the picked port is named by its place among the granted ones', async () => {
  const ports = [{}, {}, {}];
  const serial = { requestPort: () => Promise.resolve(ports[1]), getPorts: () => Promise.resolve(ports) };
  expect(await askForPort(navigatorWith(serial))).toEqual({ ok: true, value: 1 });
});

test.each([
  ['NotFoundError', 'no-port-picked'],
  ['SecurityError', 'permission-refused'],
])('%s becomes %s', async (name, because) => {
  const serial = { requestPort: () => Promise.reject(new DOMException('', name)) };
  expect(await askForPort(navigatorWith(serial))).toEqual({ ok: false, because });
});

let forget: () => void = () => undefined;
afterEach(() => {
  forget();
  document.body.replaceChildren();
});

function press(target: EventTarget, key: string, more: KeyboardEventInit = {}): KeyboardEvent {
  const event = new KeyboardEvent('keydown', { key, bubbles: true, cancelable: true, ...more });
  target.dispatchEvent(event);
  return event;
}

test('space, a letter or a pedal’s key on the page is the next thing, and does not scroll', () => {
  const act = vi.fn();
  forget = onNextThing(window, act);
  for (const key of [' ', 'b', 'PageDown', 'F9'])
    expect(press(document.body, key).defaultPrevented).toBe(true);
  expect(act).toHaveBeenCalledTimes(4);
});

test.each(['Tab', 'Enter', 'Escape', 'ArrowUp', 'ArrowLeft', 'Shift'])(
  '%s is never the next thing',
  (key) => {
    const act = vi.fn();
    forget = onNextThing(window, act);
    press(document.body, key);
    expect(act).not.toHaveBeenCalled();
  },
);

test('with a modifier, held down, in a field or on another button it is not the next thing', () => {
  const act = vi.fn();
  forget = onNextThing(window, act);
  const input = document.body.appendChild(document.createElement('input'));
  const button = document.body.appendChild(document.createElement('button'));
  press(document.body, 'r', { ctrlKey: true });
  press(document.body, ' ', { repeat: true });
  press(input, ' ');
  press(button, ' ');
  expect(act).not.toHaveBeenCalled();
});

test('on a chosen radio it is the next thing; on one not chosen space chooses, and arrows always move', () => {
  const act = vi.fn();
  forget = onNextThing(window, act);
  const radio = document.body.appendChild(document.createElement('input'));
  radio.type = 'radio';
  expect(press(radio, ' ').defaultPrevented).toBe(false);
  radio.checked = true;
  press(radio, 'ArrowDown');
  expect(act).not.toHaveBeenCalled();
  press(radio, ' ');
  press(radio, 'b');
  expect(act).toHaveBeenCalledTimes(2);
});

test('words that hold the focus count as the page', () => {
  const act = vi.fn();
  forget = onNextThing(window, act);
  const heading = document.body.appendChild(document.createElement('h1'));
  heading.tabIndex = -1;
  press(heading, ' ');
  expect(act).toHaveBeenCalledOnce();
});

test('on the large button space acts once: its own click on release is held back', () => {
  const act = vi.fn();
  forget = onNextThing(window, act);
  const button = document.body.appendChild(document.createElement('button'));
  button.dataset['mainAction'] = '';
  press(button, ' ');
  const up = new KeyboardEvent('keyup', { key: ' ', bubbles: true, cancelable: true });
  button.dispatchEvent(up);
  expect(act).toHaveBeenCalledOnce();
  expect(up.defaultPrevented).toBe(true);
});

test('the screen is asked for again when the page comes back, and let go at the end', async () => {
  const locks: { released: boolean; release: () => Promise<void> }[] = [];
  const request = vi.fn(() => {
    const lock = {
      released: false,
      release: () => {
        lock.released = true;
        return Promise.resolve();
      },
    };
    locks.push(lock);
    return Promise.resolve(lock);
  });
  let seen: () => void = () => undefined;
  const watched = {
    visibilityState: 'visible' as const,
    addEventListener: (_: string, listener: () => void) => (seen = listener),
  };
  const awake = new StayAwake({ wakeLock: { request } } as unknown as Navigator, watched);
  awake.want(true);
  await vi.waitFor(() => expect(locks).toHaveLength(1));
  locks[0]!.released = true;
  seen();
  await vi.waitFor(() => expect(locks).toHaveLength(2));
  awake.want(false);
  await vi.waitFor(() => expect(locks[1]!.released).toBe(true));
});
