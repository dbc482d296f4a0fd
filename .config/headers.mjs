// What every response carries, worker scripts included: a worker escapes the page's policy unless its own response carries one.

export const CONTENT_POLICY = [
  "default-src 'none'",
  "script-src 'self'",
  "worker-src 'self'",
  "style-src 'self'",
  "img-src 'self' data: blob:",
  "connect-src 'self'",
  "manifest-src 'self'",
  "font-src 'self'",
  "media-src 'self' blob:",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
].join('; ');

/** Only what the bench needs from the machine: the serial port and a screen that stays on. */
export const PERMISSIONS_POLICY = [
  'serial=(self)',
  'screen-wake-lock=(self)',
  'camera=()',
  'microphone=()',
  'geolocation=()',
  'usb=()',
  'payment=()',
].join(', ');

export const RESPONSE_HEADERS = Object.freeze({
  'Content-Security-Policy': CONTENT_POLICY,
  'X-Content-Type-Options': 'nosniff',
  'Referrer-Policy': 'no-referrer',
  'Permissions-Policy': PERMISSIONS_POLICY,
});
